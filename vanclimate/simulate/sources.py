"""The sources that follow the clock: when the van drives, when it is plugged in, and what it gets.

What does not belong here: the models themselves (energy/alternator, energy/shore).
"""

from __future__ import annotations

from collections.abc import Iterable
from math import inf

import numpy as np
from numpy.typing import NDArray

from vanclimate.energy.alternator import Alternator, DcCharger, Drive, drive
from vanclimate.energy.shore import Shore
from vanclimate.network.compile import Array
from vanclimate.simulate.times import within
from vanclimate.van.days import EVERY_DAY, Days
from vanclimate.van.driving import Generator
from vanclimate.van.fields import Period
from vanclimate.van.sheet import Sheet

NOON = 720
ALL_DAY: tuple[Period, ...] = ((0, NOON), (NOON, 0))


def source_marks(sheet: Sheet) -> set[int]:
    """Return the minutes of the day at which driving or shore power begins or ends."""
    periods = (*_drives(sheet), *_plugged(sheet))
    return {mark for period in periods for mark in period}


def driving(sheet: Sheet, ordinal: NDArray[np.int_], minute: Array) -> NDArray[np.bool_]:
    """Return (segments,) whether the van drives.

    Parameters
    ----------
    ordinal : (segments,) number of the date, as ``date.toordinal`` counts
    minute : (segments,) of the day
    """
    if sheet.driving is None:
        return np.zeros(len(minute), dtype=bool)
    return during(_drives(sheet), sheet.driving.days, ordinal, minute)


def on_shore(sheet: Sheet, ordinal: NDArray[np.int_], minute: Array) -> NDArray[np.bool_]:
    """Return (segments,) whether the van is plugged in, which it is not while it drives."""
    if sheet.shore is None:
        return np.zeros(len(minute), dtype=bool)
    plugged = during(_plugged(sheet), sheet.shore.days, ordinal, minute)
    return plugged & ~driving(sheet, ordinal, minute)


def always_plugged(sheet: Sheet, minute: Array) -> NDArray[np.bool_]:
    """Return whether the van is plugged in at minutes of the day, on each day alike."""
    out = np.zeros(len(minute), dtype=bool)
    if sheet.shore is None or set(sheet.shore.days.week) < set(EVERY_DAY.week):
        return out
    if sheet.shore.days.every > 1:
        return out
    for start, end in _plugged(sheet):
        out |= within(minute, start, end)
    for start, end in _drives(sheet):
        out &= ~within(minute, start, end)
    return out


def during(
    periods: Iterable[Period], days: Days, ordinal: NDArray[np.int_], minute: Array
) -> NDArray[np.bool_]:
    """Return (segments,) whether one of some periods runs; it counts to the day it began on."""
    out = np.zeros(len(minute), dtype=bool)
    for start, end in periods:
        begun = np.where((end <= start) & (minute < end), ordinal - 1, ordinal)
        out |= within(minute, start, end) & on_days(days, begun)
    return out


def on_days(days: Days, ordinal: NDArray[np.int_]) -> NDArray[np.bool_]:
    """Return whether dates are among the days; ordinal 1 was a Monday."""
    return np.asarray(np.isin((ordinal - 1) % 7, days.week) & (ordinal % days.every == 0))


def drive_of(
    sheet: Sheet, voltage: float, driving: NDArray[np.bool_], seconds: Array, outdoor: Array
) -> Drive:
    """Return what driving can bring to the bank; parameters as of `drive`."""
    speed = "highway" if sheet.driving is None else sheet.driving.speed
    part, more, first, second = sheet.alternator, sheet.second_alternator, None, None
    if part is not None:
        first = Alternator(
            *_at_speed(part, speed),
            vehicle=part.vehicle_draw,
            house=part.house_share * part.amps,
            fuse=inf if part.post_fuse is None else part.post_share * part.post_fuse,
            voltage=part.voltage,
            feed_resistance=part.feed_resistance,
        )
    if more is not None:
        house = more.regulator_share * more.amps
        second = Alternator(*_at_speed(more, speed), vehicle=0.0, house=house)
    unit = sheet.dc_charger
    charger = None if unit is None else DcCharger(unit.count * unit.amps, unit.efficiency)
    return drive(first, charger, second, voltage, driving, seconds, outdoor)


def shore_of(sheet: Sheet) -> Shore | None:
    """Return the mains side for the loop; None where the van has none."""
    part = sheet.shore
    if part is None:
        return None
    return Shore(
        amps=part.continuous * min(part.inlet, part.pedestal),
        voltage=part.voltage,
        resistance=part.cord + part.sag * part.voltage / part.pedestal,
        charger_amps=part.charger,
        charger_efficiency=part.charger_efficiency,
        loads_first=part.air_conditioner_first,
    )


def _at_speed(part: Generator, speed: str) -> tuple[float, float, float, float]:
    """Return plate, share at a speed, share left when warm, and the time of warming."""
    shares = {"highway": part.highway_share, "town": part.town_share, "idle": part.idle_share}
    hot = part.hot_idle_share if speed == "idle" else part.hot_share
    return part.amps, shares[speed], hot, part.warm_up


def _drives(sheet: Sheet) -> tuple[Period, ...]:
    return () if sheet.driving is None else sheet.driving.hours


def _plugged(sheet: Sheet) -> tuple[Period, ...]:
    when = "never" if sheet.shore is None else sheet.shore.hours
    if not isinstance(when, str):
        return when
    bedtime, waking = sheet.people.bedtime, sheet.people.waking
    words = {"never": (), "always": ALL_DAY, "night": ((bedtime, waking),),
             "day": ((waking, bedtime),)}  # fmt: skip
    return words[when]
