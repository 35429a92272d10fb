"""What the compiled loop takes and leaves: plain arrays under names.

Here: the types alone. ``plan`` fills them from a sheet; ``kernel`` reads them.
"""

from __future__ import annotations

from typing import NamedTuple

from vanclimate.energy.array import Controllers
from vanclimate.energy.cells import Cells
from vanclimate.energy.inverter import Inverter
from vanclimate.energy.shore import Shore
from vanclimate.equipment.air_conditioner import AirConditioner
from vanclimate.equipment.heater import ElectricHeater, FuelHeater
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
    are. Loads stand in groups that are shed together, on two feeds, see ``loads``; devices in the
    order of ``switches``.
    """

    start: Array  # s
    end: Array  # s
    abrupt: Array  # 1 where something switches at the start
    covered: Array  # (segments, chains) 1 where the cover is closed, the curtain drawn
    passage_open: Array  # (segments, zones) 1 where the way to the living space stands open
    ac_share: Array  # 0 off, else the most of full output
    ac_setpoint: Array  # °C
    ac_floor: Array  # Ah at which a rule holds the air conditioner off
    heat_setpoint: Array  # (segments, devices) °C, NaN for off
    heat_floor: Array  # (segments, devices) Ah at which a rule holds a heater off
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
    load_power: Array  # (segments, groups, feeds) W
    load_heat: Array  # (segments, groups, feeds, zones) W of it that stay inside
    load_water: Array  # (segments, groups, feeds, zones) kg/s
    fridge_power: Array  # (segments, groups, feeds) W while its compressor runs
    fridge_heat: Array  # (segments, groups, feeds) W of it that stay inside
    group_floor: Array  # (segments, groups) Ah at which a group is shed
    air_gain: Array  # (segments, zones) W of the fans' heat into the air, while there is power
    star_gain: Array  # (segments, zones) W of scheduled heat by radiation
    free_gain: Array  # (segments, zones) W into the air of what needs no power: gas, drying
    free_water: Array  # (segments, zones) kg/s of the same
    flame_carbon_dioxide: Array  # m3/s of open flames in the living space
    solar: Array  # (segments, 2) W at the bank by the controllers of roof and ground, before amps
    drive_power: Array  # W at the bank that all alternators allow, at its charge voltage
    drive_amps: Array  # A that the DC-DC chargers give at most
    direct_amps: Array  # A that a second alternator gives
    drive_heat: Array  # W of the DC-DC chargers' heat for each watt used
    on_shore: Array  # 1 while it is plugged in
    bank_live: Array  # 1 where the bank is followed, 0 where power is taken as given
    bank_set: Array  # Ah to set the bank to at the start, below 0 to leave it
    tank_set: Array  # L to set the tank to at the start, below 0 to leave it
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
    roof_lane: int  # whose skin a rooftop unit's condenser stands over
    fridge_zone: int
    inverter_zone: int
    bank_zone: int
    roof_controller_zone: int
    ground_controller_zone: int
    drive_zone: int
    charger_zone: int
    burner_zone: int
    electric_zone: int


class Equipment(NamedTuple):
    """What draws, holds or brings power, and what heats and cools."""

    unit: AirConditioner
    burner: FuelHeater
    electric: ElectricHeater
    cells: Cells
    inverter: Inverter
    shore: Shore
    controllers: Controllers
    kept: float  # Ah below which the air conditioner is not run: reserve and the morning's loads
    limited: float  # 0 where the bank stops nothing


class Trace(NamedTuple):
    """What a run leaves; a row a base step, columns in ``columns``."""

    rows: Array  # (rows, columns)
    faces: Array  # (rows, chains) W from inside faces into their zone, mean
    water: Array  # (rows, chains) kg on inside faces at the row's end, frost as well
    zones: Array  # (rows, zones, zone columns)
    nodes: Array  # (rows or 0, nodes) °C at the row's end
