"""What the compiled loop takes and leaves: plain arrays under names.

Here: the types alone. ``plan`` fills them from a sheet; ``kernel`` reads them.
"""

from __future__ import annotations

from typing import NamedTuple

from vanclimate.network.compile import Array
from vanclimate.physics.opening_flow import Drive


class Outside(NamedTuple):
    """The outside at hour edges, and the segments' sun."""

    temp: Array  # (hours + 1,) °C
    humidity: Array  # (hours + 1,) kg/kg
    wind: Array  # (hours + 1,) m/s at 10 m
    surroundings: Array  # (hours + 1, chains) °C
    wet_bulb: Array  # (hours + 1,) °C
    windward: Array  # (hours + 1, chains) 1 to windward, 0 to leeward, 0.5 where not known
    sun: Array  # (segments, nodes) W
    pressure: float  # Pa


class Schedule(NamedTuple):
    """What holds during each segment; (segments,) each unless said otherwise.

    Zone 0 is the living space, in which the air conditioner, its thermostat and the ideal plant
    are.
    """

    start: Array  # s
    end: Array  # s
    abrupt: Array  # 1 where something switches at the start
    covered: Array  # (segments, chains) 1 where the cover is closed, the curtain drawn
    passage_open: Array  # (segments, zones) 1 where the way to the living space stands open
    ac_share: Array  # 0 off, else the share of full output
    ac_setpoint: Array  # °C
    fan_flow: Array  # (segments, zones) m3/s, one-way
    fan_balanced: Array  # (segments, zones) m3/s that fans bring in and take out alike
    by_stack: Array  # (segments, zones) what drives air through openings, see opening_flow.Drive
    by_wind: Array
    in_calm: Array
    door_rate: Array  # 1/s, openings of the living space's door
    stirred: Array  # (segments, zones) m/s along the faces, from fans
    fan_power: Array  # W
    asleep: Array  # (segments, zones) people
    awake: Array  # (segments, zones)
    load_dc: Array  # W
    load_ac: Array  # W on the inverter's output
    fridge_dc: Array  # W while its compressor runs
    fridge_ac: Array  # W the same, on the inverter's output
    fridge_heat: Array  # W of both that stay inside
    air_gain: Array  # (segments, zones) W of scheduled heat into the air, while there is power
    star_gain: Array  # (segments, zones) W of scheduled heat by radiation
    water_gain: Array  # (segments, zones) kg/s, while there is power
    free_gain: Array  # (segments, zones) W into the air of what needs no power: gas, drying
    free_water: Array  # (segments, zones) kg/s of the same
    flame_carbon_dioxide: Array  # m3/s of open flames in the living space
    solar: Array  # W at the bank
    bank_live: Array  # 1 where the bank is followed, 0 where power is taken as given
    bank_set: Array  # Ah to set the bank to at the start, below 0 to leave it
    heat_below: Array  # °C of the ideal plant, NaN for none
    cool_above: Array


class Cabin(NamedTuple):
    """The zones' own figures, what stands in which, and the people's heat; (zones,) each."""

    air_mass: Array  # kg dry air
    leakage: Array  # m2 to outdoors
    passage_leak: Array  # m2 to the living space; 0 for the living space itself
    passage_opening: Array  # m2 free opening to it while open
    passage_height: Array  # m of that opening
    buffer: Array  # kg of water that linings and fabrics take up per unit of relative humidity
    buffer_exchange: Array  # kg/s per kg/kg between them and the air
    stack: float  # coefficients of the leakage formula
    shelter: float
    door: Drive  # of the living space's door while it stands open
    door_seconds: float  # that it stands open each time
    sleeping: float  # W per sleeper, total
    awake: float  # W per person awake, total
    fridge_zone: int
    inverter_zone: int
    bank_zone: int


class Trace(NamedTuple):
    """What a run leaves; a row a base step, columns in ``columns``."""

    rows: Array  # (rows, columns)
    faces: Array  # (rows, chains) W from inside faces into their zone, mean
    water: Array  # (rows, chains) kg on inside faces at the row's end, frost as well
    zones: Array  # (rows, zones, zone columns)
    nodes: Array  # (rows or 0, nodes) °C at the row's end
