"""What the compiled loop takes and leaves: plain arrays under names.

Here: the types alone. ``plan`` fills them from a sheet; ``kernel`` reads them.
"""

from __future__ import annotations

from typing import NamedTuple

from vanclimate.network.compile import Array


class Outside(NamedTuple):
    """The outside at hour edges, and the segments' sun."""

    temp: Array  # (hours + 1,) °C
    humidity: Array  # (hours + 1,) kg/kg
    wind: Array  # (hours + 1,) m/s at 10 m
    surroundings: Array  # (hours + 1, chains) °C
    sun: Array  # (segments, nodes) W
    pressure: float  # Pa


class Schedule(NamedTuple):
    """What holds during each segment; (segments,) each unless said otherwise."""

    start: Array  # s
    end: Array  # s
    abrupt: Array  # 1 where something switches at the start
    covered: Array  # (segments, chains) 1 where the cover is closed
    ac_share: Array  # 0 off, else the share of full output
    ac_setpoint: Array  # °C
    fan_flow: Array  # m3/s, one-way
    fan_power: Array  # W
    asleep: Array  # people
    awake: Array
    load_dc: Array  # W
    load_ac: Array  # W on the inverter's output
    fridge_dc: Array  # W while its compressor runs
    fridge_ac: Array  # W the same, on the inverter's output
    fridge_heat: Array  # W of both that stay inside
    air_gain: Array  # W of scheduled heat into the air
    star_gain: Array  # W of scheduled heat by radiation
    water_gain: Array  # kg/s
    solar: Array  # W at the bank
    bank_live: Array  # 1 where the bank is followed, 0 where power is taken as given
    bank_set: Array  # Ah to set the bank to at the start, below 0 to leave it
    heat_below: Array  # °C of the ideal plant, NaN for none
    cool_above: Array


class Cabin(NamedTuple):
    """The zone's own figures and its people's heat."""

    air_mass: float  # kg dry air
    leakage: float  # m2
    stack: float  # coefficients of the leakage formula
    shelter: float
    sleeping: float  # W per sleeper, total
    awake: float  # W per person awake, total


class Trace(NamedTuple):
    """What a run leaves; a row a base step, columns in ``columns``."""

    rows: Array  # (rows, columns)
    faces: Array  # (rows, chains) W from inside faces into the cabin, mean
    nodes: Array  # (rows or 0, nodes) °C at the row's end
