"""From a sheet, a place and a time span to the arrays the loop takes.

What does not belong here: where a span is cut (``segments``), and the equipment (``gear``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from math import nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.energy.alternator import Drive
from vanclimate.energy.array import Solar
from vanclimate.network.compile import Array, Model
from vanclimate.network.solar import AbsorbedSun, absorbed_sun
from vanclimate.network.surroundings import radiant_surroundings, windward
from vanclimate.physics.convection import FAN_REACH
from vanclimate.simulate.air import Moments, MovedAir, moved_air
from vanclimate.simulate.inputs import Outside, Schedule
from vanclimate.simulate.loads import Drawn, load_arrays, refused_loads
from vanclimate.simulate.panels import solar_of
from vanclimate.simulate.place import Place, wet_roof_temp
from vanclimate.simulate.rules import Facts, Ruled, least_ac_power, ruled
from vanclimate.simulate.segments import When, segments
from vanclimate.simulate.sources import drive_of, driving, on_shore
from vanclimate.simulate.switches import N_DEVICES
from vanclimate.simulate.thermostats import (
    ROWS,
    ac_schedule,
    heat_schedule,
    ruled_cooling,
)
from vanclimate.simulate.times import at_times
from vanclimate.simulate.ways import WAYS
from vanclimate.site.sun import Irradiance
from vanclimate.van.fields import DAY
from vanclimate.van.rules import HEAT_SOURCES
from vanclimate.van.sheet import Sheet

Leg = tuple[datetime, datetime]
"""From when and until when the van drives."""


@dataclass(frozen=True)
class Plan:
    """A time span ready to run."""

    start: datetime
    outside: Outside
    schedule: Schedule
    sun: AbsorbedSun
    power: Power


class Power(NamedTuple):
    """What sources can bring and loads ask in each segment, and what limits took before that."""

    solar: Solar
    drive: Drive
    driving: NDArray[np.bool_]
    on_shore: NDArray[np.bool_]
    drawn: Drawn
    refused: NDArray[np.bool_]  # (loads, segments) more than the inverter or the inlet carries
    ruled: Ruled


def cover_closed(model: Model, minute: Array, night: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return (segments, chains) whether each window's cover is closed, each curtain drawn."""
    closed = np.zeros((len(night), len(model.chains)), dtype=bool)
    for k, c in enumerate(model.chains):
        if c.glazing is not None and c.glazing.cover is not None:
            closed[:, k] = at_times(c.glazing.covered, minute, night)
        elif c.glazing is None:
            closed[:, k] = at_times(c.covered, minute, night)
    return closed


def passages_open(model: Model, minute: Array, night: NDArray[np.bool_]) -> Array:
    """Return (segments, zones) 1 where the way from a zone to the living space stands open."""
    out = np.zeros((len(night), len(model.zones)))
    for passage in model.passages:
        out[:, passage.zone] = at_times(passage.open, minute, night)
    return out


def make_plan(
    sheet: Sheet, model: Model, place: Place, way: str, start: datetime, end: datetime,
    bedtimes: Sequence[datetime], charge: float | Sequence[float] | None,
    fuel: float | None = None, legs: Sequence[Leg] = (), ends: Sequence[datetime] = (),
) -> Plan:  # fmt: skip
    """Return the plan of a span with one or more nights, or stays, to be followed.

    The bank is followed from the first of ``bedtimes`` on, and set to ``charge`` [Ah] at each, or
    to one for each; before, power is taken as given. Where ``charge`` is None it is followed from
    the start on, full then. The tank is set to ``fuel`` [L] at the same moments; without it, to
    what the sheet fills it with where it gives the charge at bedtime. On ``legs`` the van drives
    beside the sheet's own hours of driving. Stays have ``ends``, one each: outside them power is
    taken as given, and the tank holds ``fuel``.
    """
    moments = [*bedtimes, *ends, *(end for leg in legs for end in leg)]
    when = segments(sheet, place.weather, start, end, [m for m in moments if start <= m <= end])
    covered = cover_closed(model, when.minute, when.night)
    sun = absorbed_sun(model, {k: _rows(v, when.row) for k, v in place.sides.items()}, covered)
    power = power_of(sheet, place, when, on_road(when, legs))
    live, bank_set = bank_of(sheet, when, bedtimes, charge, ends)
    filled = np.where(bank_set >= 0.0, filled_with(sheet) if fuel is None else fuel, -1.0)
    if ends and fuel is not None:
        filled[~live] = fuel
    return Plan(
        when.base,
        outside_of(sheet, model, place, when.edge, sun),
        _schedule(sheet, model, way, when, covered, power, live, bank_set, filled),
        sun,
        power,
    )


def outside_of(
    sheet: Sheet, model: Model, place: Place, edge: NDArray[np.int64], sun: AbsorbedSun
) -> Outside:
    """Return the outside at the weather's rows ``edge`` (hours + 1,), and the segments' sun."""
    weather, sky, ground = place.weather, place.sky, place.ground
    temp, wind = weather.temp_air[edge], weather.wind_speed[edge]
    return Outside(
        temp=temp,
        humidity=sky.humidity_ratio[edge],
        wind=wind,
        surroundings=radiant_surroundings(
            model, temp, sky.temp_sky[edge], place.panels.roof.temp[edge], ground.beside[edge],
            ground.under[edge],
        ),
        wet_bulb=wet_roof_temp(sheet, place, edge),
        windward=windward(model, weather.wind_direction[edge], wind, place.heading),
        sun=sun.nodes,
        pressure=float(np.mean(weather.pressure[edge])),
    )  # fmt: skip


def bank_of(
    sheet: Sheet, when: When, bedtimes: Sequence[datetime],
    charge: float | Sequence[float] | None, ends: Sequence[datetime] = (),
) -> tuple[NDArray[np.bool_], Array]:  # fmt: skip
    """Return (segments,) whether the bank is followed, and what it is set to [Ah], -1 for not."""
    first, bank_set = when.edges[:-1], np.full(len(when.mid), -1.0)
    if charge is None:
        bank_set[0] = sheet.battery.capacity * sheet.battery.health
        return np.ones(len(first), dtype=bool), bank_set
    moments = [(bedtime - when.base).total_seconds() for bedtime in bedtimes]
    for moment, amp_hours in zip(moments, np.broadcast_to(charge, len(moments)), strict=True):
        bank_set[first == moment] = amp_hours
    if not ends:
        return first >= min(moments, default=np.inf), bank_set
    until = [(end - when.base).total_seconds() for end in ends]
    pairs = zip(moments, until, strict=True)
    return np.any([(first >= a) & (first < b) for a, b in pairs], axis=0), bank_set


def filled_with(sheet: Sheet) -> float:
    """Return the fuel [L] that the tank holds where the sheet gives a charge, -1 where it is none.

    A charge given at bedtime comes with the tank of that moment.
    """
    if sheet.battery.charge_at_bedtime is None or sheet.heater is None:
        return -1.0
    return sheet.heater.usable_fuel


def on_road(when: When, legs: Sequence[Leg]) -> NDArray[np.bool_]:
    """Return (segments,) whether the van is on one of some legs."""
    out = np.zeros(len(when.mid), dtype=bool)
    for first, last in legs:
        begin, end = ((moment - when.base).total_seconds() for moment in (first, last))
        out |= (when.mid > begin) & (when.mid < end)
    return out


def power_of(sheet: Sheet, place: Place, when: When, on_road: NDArray[np.bool_]) -> Power:
    """Return what sources can bring and loads ask in each segment."""
    volts = sheet.battery.charge_voltage
    solar = solar_of(sheet, place.panels, when.row, when.minute, volts)
    drives = driving(sheet, when.ordinal, when.minute) | on_road
    plugged = on_shore(sheet, when.ordinal, when.minute) & ~on_road
    drive = drive_of(sheet, volts, drives, np.diff(when.edges), when.outdoor)
    facts = Facts(
        when.minute, when.night, when.home, drives, plugged, solar.power, least_ac_power(sheet)
    )
    rule = ruled(sheet.rules, [load.name for load in sheet.loads], facts)
    refused = refused_loads(sheet, when.minute, plugged) & (rule.load_allowed > 0)
    drawn = load_arrays(sheet, when.minute, rule.load_allowed * ~refused, rule.load_floor)
    return Power(solar, drive, drives, plugged, drawn, refused, rule)


def _rows(irr: Irradiance, row: NDArray[np.int64]) -> Irradiance:
    return Irradiance(irr.beam[row], irr.cos_aoi[row], irr.sky_diffuse[row], irr.ground[row])


def _schedule(
    sheet: Sheet, model: Model, way: str, when: When, covered: NDArray[np.bool_], power: Power,
    live: NDArray[np.bool_], bank_set: Array, tank_set: Array,
) -> Schedule:  # fmt: skip
    """Return what holds in each segment."""
    minute, night, home = when.minute, when.night, when.home
    n, zones, capacity = len(minute), len(model.zones), sheet.battery.capacity
    capacity *= sheet.battery.health
    rule, drawn = power.ruled, power.drawn
    cooled = ruled_cooling(ac_schedule(sheet, way, minute, night), rule, way)
    warm = heat_schedule(sheet, way, minute, night, home, rule)
    moved = moved_air(
        sheet,
        model,
        way,
        Moments(minute, night, home, cooled.share > 0, when.outdoor < sheet.people.least),
    )
    opened = passages_open(model, minute, night)
    abrupt = changes(
        n, *cooled, np.nan_to_num(warm, nan=-99.0), drawn.power, drawn.heat, drawn.fridge,
        drawn.free_heat, night, home, live, covered, opened, moved.fan_flow, moved.fan_balanced,
        moved.in_calm, power.driving, power.on_shore,
    )  # fmt: skip
    sleepers = float(sheet.people.sleepers)
    return Schedule(
        start=when.edges[:-1],
        end=when.edges[1:],
        abrupt=abrupt,
        covered=covered.astype(float),
        passage_open=opened,
        ac_share=cooled.share,
        ac_setpoint=cooled.setpoint,
        ac_floor=capacity * rule.ac_floor,
        heat_setpoint=warm,
        heat_floor=capacity * heat_floors(rule),
        fan_flow=moved.fan_flow,
        fan_balanced=moved.fan_balanced,
        by_stack=moved.by_stack,
        by_wind=moved.by_wind,
        in_calm=moved.in_calm,
        door_rate=moved.door_rate,
        stirred=living(stirring_speed(sheet, moved, night & WAYS[way].blows), zones),
        fan_power=moved.roof_power + moved.inside_power,
        asleep=living(np.where(night, sleepers, 0.0), zones),
        awake=living(np.where(home & ~night, sleepers, 0.0), zones),
        load_power=drawn.power,
        load_heat=drawn.heat,
        load_water=drawn.water,
        fridge_power=drawn.fridge,
        fridge_heat=drawn.fridge_heat,
        group_floor=capacity * drawn.floor,
        air_gain=living(moved.inside_power, zones),
        star_gain=np.zeros((n, zones)),
        free_gain=drawn.free_heat,
        free_water=drawn.free_water,
        flame_carbon_dioxide=drawn.carbon_dioxide,
        solar=power.solar.passed,
        drive_power=power.drive.power,
        drive_amps=power.drive.amps,
        direct_amps=power.drive.direct.amps,
        drive_heat=power.drive.loss,
        on_shore=power.on_shore.astype(float),
        bank_live=live.astype(float),
        bank_set=bank_set,
        tank_set=tank_set,
        heat_below=np.full(n, nan),
        cool_above=np.full(n, nan),
    )


def changes(n: int, *held: Array | NDArray[np.bool_]) -> Array:
    """Return (n,) 1 where one of some arrays (n, …) is not what it was in the segment before."""
    flat = np.hstack([x.reshape(n, -1) for x in held])
    out = np.ones(n)
    out[1:] = (np.nan_to_num(np.diff(flat, axis=0)) != 0).any(axis=1)
    return out


def heat_floors(rule: Ruled) -> Array:
    """Return (segments, devices) the share of the bank at which a rule holds a heater off."""
    out = np.zeros((rule.heat_floor.shape[1], N_DEVICES))
    for name, row in ROWS.items():
        out[:, row] = rule.heat_floor[HEAT_SOURCES.index(name)]
    return out


def stirring_speed(sheet: Sheet, moved: MovedAir, bed_fan: NDArray[np.bool_]) -> Array:
    """Return how fast fans drive the living space's air along its faces [m/s].

    The greater of the through flow's mean speed in the body's section, and of what a bed fan's
    breeze keeps where it meets a wall, see `physics.convection.FAN_REACH`.
    """
    through = moved.fan_flow[:, 0] + moved.fan_balanced[:, 0]
    along = through / (sheet.body.width * sheet.body.height)
    speed: Array = np.maximum(along, FAN_REACH * sheet.fans.bed_fan_speed * bed_fan)
    return speed


def living(values: Array, zones: int) -> Array:
    """Return (segments, zones): the values in the living space, nothing elsewhere."""
    out = np.zeros((len(values), zones))
    out[:, 0] = values
    return out


def bedtime_on(sheet: Sheet, zone: tzinfo, day: date) -> datetime:
    """Return the moment of bedtime on an evening; a bedtime before noon is on the day after."""
    minutes = sheet.people.bedtime
    moment = datetime(day.year, day.month, day.day, tzinfo=zone) + timedelta(minutes=minutes)
    return moment + timedelta(days=1) if minutes < DAY // 2 else moment
