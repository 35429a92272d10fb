"""From a sheet, a place and a time span to the arrays the loop takes.

A plan is cut at every hour and at every clock time of the sheet, so that within a segment nothing
scheduled changes. Clock times are local standard time of the weather data. Three ways of spending
the night: ``closed``, ``fans``, ``ac``; by day all three live as the sheet says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from math import nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.energy.bank import Bank
from vanclimate.equipment.air_conditioner import LATENT_HEAT
from vanclimate.equipment.burner import carbon_dioxide_of, water_of
from vanclimate.network.compile import Array, Model
from vanclimate.network.solar import AbsorbedSun, absorbed_sun
from vanclimate.network.surroundings import radiant_surroundings, windward
from vanclimate.physics.air import density
from vanclimate.physics.airflow import stack_coefficient, wind_coefficient
from vanclimate.physics.comfort import AWAKE_HEAT
from vanclimate.physics.convection import FAN_REACH
from vanclimate.simulate.air import MovedAir, door_of, moments_of, moved_air
from vanclimate.simulate.inputs import Cabin, Outside, Schedule
from vanclimate.simulate.place import Place, wet_roof_temp
from vanclimate.simulate.times import DAY, at_times, within
from vanclimate.site.sun import Irradiance
from vanclimate.site.weather import hour_start, window, window_edges
from vanclimate.van.loads import Load
from vanclimate.van.sheet import Sheet
from vanclimate.van.water import HOT_WATER

MORNING = 120  # minutes after waking whose loads must still be in the bank; assumed


@dataclass(frozen=True)
class Plan:
    """A time span ready to run."""

    start: datetime
    outside: Outside
    schedule: Schedule
    sun: AbsorbedSun


def ac_start(sheet: Sheet) -> int:
    """Return the minute at which the air conditioner is switched on for the night."""
    unit = sheet.air_conditioner
    if unit is None or unit.starts is None:
        return sheet.people.bedtime
    return unit.starts


def cut_times(sheet: Sheet, base: datetime, start: datetime, end: datetime) -> Array:
    """Return the segment edges [s] after ``base``: its hours, the sheet's clock times, ends."""
    people = sheet.people
    marks = {people.bedtime, people.waking, people.home_from, people.home_until, ac_start(sheet)}
    for load in sheet.loads:
        for period in load.when:
            marks |= set(period)
    for w in sheet.windows:
        for when in (w.covered if w.cover != "none" else "never", w.open):
            if not isinstance(when, str):
                marks |= {mark for period in when for mark in period}
    first, last = (start - base).total_seconds(), (end - base).total_seconds()
    edges = {first, last}
    edges |= {3600.0 * i for i in range(int(last // 3600) + 2)}
    midnight = -3600.0 * base.hour - 60.0 * base.minute
    for day in range(int((last - midnight) // 86400) + 1):
        edges |= {midnight + 86400.0 * day + 60.0 * m for m in marks}
    return np.array(sorted(e for e in edges if first <= e <= last))


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
    bedtimes: Sequence[datetime], charge: float,
) -> Plan:  # fmt: skip
    """Return the plan of a span with one or more nights to be followed.

    The bank is followed from the first of ``bedtimes`` on, and set to ``charge`` [Ah] at each;
    before, power is taken as given.
    """
    base = hour_start(place.weather, start)
    edges = cut_times(sheet, base, start, end)
    mid = 0.5 * (edges[:-1] + edges[1:])
    minute = np.mod(base.hour * 60 + base.minute + mid / 60.0, DAY)
    night = within(minute, sheet.people.bedtime, sheet.people.waking)
    hours = int(np.ceil(edges[-1] / 3600.0))
    at = window(place.weather, base, hours)
    edge = window_edges(place.weather, base, hours)
    row = at[(mid // 3600.0).astype(int)]
    covered = cover_closed(model, minute, night)
    sun = absorbed_sun(model, {k: _rows(v, row) for k, v in place.sides.items()}, covered)
    weather = place.weather
    outside = Outside(
        temp=weather.temp_air[edge],
        humidity=place.sky.humidity_ratio[edge],
        wind=weather.wind_speed[edge],
        surroundings=radiant_surroundings(
            model,
            weather.temp_air[edge],
            place.sky.temp_sky[edge],
            place.panel.temp[edge],
            place.ground.beside[edge],
            place.ground.under[edge],
        ),
        wet_bulb=wet_roof_temp(sheet, place, edge),
        windward=windward(
            model, weather.wind_direction[edge], weather.wind_speed[edge], place.heading
        ),
        sun=sun.nodes,
        pressure=float(np.mean(weather.pressure[edge])),
    )
    set_at = [(bedtime - base).total_seconds() for bedtime in bedtimes]
    bank_set = np.where(np.isin(edges[:-1], set_at), charge, -1.0)
    live = edges[:-1] >= min(set_at, default=np.inf)
    schedule = _schedule(
        sheet, model, place, way, edges, minute, night, covered, row, live, bank_set
    )
    return Plan(base, outside, schedule, sun)


def _rows(irr: Irradiance, row: NDArray[np.int64]) -> Irradiance:
    return Irradiance(irr.beam[row], irr.cos_aoi[row], irr.sky_diffuse[row], irr.ground[row])


def _schedule(
    sheet: Sheet, model: Model, place: Place, way: str, edges: Array, minute: Array,
    night: NDArray[np.bool_], covered: NDArray[np.bool_], row: NDArray[np.int64],
    live: NDArray[np.bool_], bank_set: Array,
) -> Schedule:  # fmt: skip
    """Return what holds in each segment."""
    n, zones = len(minute), len(model.zones)
    people = sheet.people
    share, setpoint = ac_schedule(sheet, way, minute, night)
    at = moments_of(sheet, minute, night, share > 0)
    moved, home = moved_air(sheet, model, way, at), at.home
    drawn = load_arrays(sheet, minute)
    opened = passages_open(model, minute, night)
    panels = sheet.roof_panels
    solar = place.panel.power_ratio[row] * panels.power * (1 - panels.soiling)
    if sheet.body.roof_state.kind == "snow":
        solar = np.zeros(n)
    start = edges[:-1]
    switched = np.vstack(
        [share, setpoint, drawn.dc, drawn.ac, drawn.free_heat.T, night, home, live, covered.T,
         opened.T, moved.fan_flow.T, moved.fan_balanced.T, moved.in_calm.T]
    )  # fmt: skip
    abrupt = np.ones(n)
    abrupt[1:] = (np.nan_to_num(np.diff(switched, axis=1)) != 0).any(axis=0)
    return Schedule(
        start=start,
        end=edges[1:],
        abrupt=abrupt,
        covered=covered.astype(float),
        passage_open=opened,
        ac_share=share,
        ac_setpoint=setpoint,
        fan_flow=moved.fan_flow,
        fan_balanced=moved.fan_balanced,
        by_stack=moved.by_stack,
        by_wind=moved.by_wind,
        in_calm=moved.in_calm,
        door_rate=moved.door_rate,
        stirred=living(stirring_speed(sheet, moved, night & (way == "fans")), zones),
        fan_power=moved.roof_power + moved.inside_power,
        asleep=living(np.where(night, float(people.sleepers), 0.0), zones),
        awake=living(np.where(home & ~night, float(people.sleepers), 0.0), zones),
        load_dc=drawn.dc,
        load_ac=drawn.ac,
        fridge_dc=drawn.fridge_dc,
        fridge_ac=drawn.fridge_ac,
        fridge_heat=drawn.fridge_heat,
        air_gain=drawn.heat + living(moved.inside_power, zones),
        star_gain=np.zeros((n, zones)),
        water_gain=drawn.water,
        free_gain=drawn.free_heat,
        free_water=drawn.free_water,
        flame_carbon_dioxide=drawn.carbon_dioxide,
        solar=solar * panels.controller_efficiency,
        bank_live=live.astype(float),
        bank_set=bank_set,
        heat_below=np.full(n, nan),
        cool_above=np.full(n, nan),
    )


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


def ac_schedule(
    sheet: Sheet, way: str, minute: Array, night: NDArray[np.bool_]
) -> tuple[Array, Array]:
    """Return the unit's share of full output (0 off) and its setpoint [°C] in each segment."""
    share, setpoint = np.zeros(len(minute)), np.full(len(minute), 99.0)
    unit = sheet.air_conditioner
    if way != "ac" or unit is None:
        return share, setpoint
    if unit.by_day is not None:
        share[:], setpoint[:] = 1.0, unit.by_day
    wanted = within(minute, ac_start(sheet), sheet.people.waking)
    share[wanted], setpoint[wanted] = 1.0, unit.setpoint
    share[night & wanted] = unit.night_limit
    return share, setpoint


class Drawn(NamedTuple):
    """What the sheet's loads draw and give off in each segment; fridges at full duty."""

    dc: Array  # W on the bank's side
    ac: Array  # W on the inverter's output
    heat: Array  # (segments, zones) W of both that stay inside
    free_heat: Array  # (segments, zones) W of what needs no power
    fridge_dc: Array
    fridge_ac: Array
    fridge_heat: Array
    water: Array  # (segments, zones) kg/s of what draws power
    free_water: Array  # (segments, zones) kg/s of what needs none: gas, drying
    carbon_dioxide: Array  # m3/s of open flames


def load_arrays(sheet: Sheet, minute: Array) -> Drawn:
    """Return what the sheet's loads draw at minutes of the day."""
    n, zones = len(minute), len(sheet.zones)
    out = Drawn(*(np.zeros(n) for _ in Drawn._fields))
    by_zone = ("heat", "water", "free_heat", "free_water")
    out = out._replace(**{name: np.zeros((n, zones)) for name in by_zone})
    for load in sheet.loads:
        zone = sheet.zones.index(load.zone)
        on = np.full(len(minute), not load.when)
        for start, end in load.when:
            on |= within(minute, start, end)
        power = on * load.power * load.duty
        feed = "ac" if load.feed == "inverter" else "dc"
        kind = "fridge_" if load.kind == "fridge" else ""
        if load.feed == "gas":
            out.free_water[:, zone] += water_of(1.0) * power
            out.carbon_dioxide[:] += carbon_dioxide_of(1.0) * power
        else:
            getattr(out, kind + feed)[:] += power
        needs_power = load.feed != "gas" and load.power > 0.0
        heat, water = (out.heat, out.water) if needs_power else (out.free_heat, out.free_water)
        into = out.fridge_heat if load.kind == "fridge" else heat[:, zone]
        into += warmth_of(load, power, on * load.water)
        water[:, zone] += on * load.water
    return out


def warmth_of(load: Load, power: Array, water: Array) -> Array:
    """Return the warmth [W] that a load leaves in the air of its room, less that of its vapour.

    Vapour takes no more than what the load leaves inside. What dries without watts takes its heat
    from the room; what gives off much without any is hot already, from a heat that no sheet tells.

    Parameters
    ----------
    load : Load
    power, water : what it draws [W] and gives off [kg/s] in each segment
    """
    left = power * load.heat_inside - water * LATENT_HEAT
    if load.power == 0.0 and load.water < HOT_WATER:
        return left
    return np.maximum(0.0, left)


def bank_of(sheet: Sheet) -> Bank:
    """Return the bank and the inverter, with what must be left at waking."""
    b, inverter = sheet.battery, sheet.inverter
    capacity = b.capacity * b.health
    return Bank(
        capacity=capacity,
        voltage=b.voltage,
        resistance=b.resistance,
        charge_efficiency=b.charge_efficiency,
        cut_off=b.cut_off * capacity,
        kept=max(b.reserve, b.cut_off) * capacity + morning_charge(sheet),
        inverter_idle=inverter.idle,
        inverter_efficiency=inverter.efficiency,
        inverter_always_on=inverter.on == "always",
    )


def morning_charge(sheet: Sheet) -> float:
    """Return the charge [Ah] that the scheduled loads of the first two hours after waking take.

    Loads that always run are left out: they go on whatever the hour, and the sun is up by then.
    """
    minute = np.mod(sheet.people.waking + np.arange(MORNING) + 0.5, DAY)
    timed = sheet.model_copy(update={"loads": tuple(x for x in sheet.loads if x.when)})
    drawn = load_arrays(timed, minute)
    on_bank = drawn.dc + drawn.fridge_dc
    on_inverter = drawn.ac + drawn.fridge_ac
    watt_hours = (on_bank + on_inverter / sheet.inverter.efficiency).sum() / 60.0
    return float(watt_hours / sheet.battery.voltage)


def cabin_of(sheet: Sheet, model: Model, pressure: float) -> Cabin:
    """Return the zones' figures; dry air is weighed at 25 °C."""
    zones = model.zones
    index = {zone.name: i for i, zone in enumerate(zones)}
    leak, opening, height = (np.zeros(len(zones)) for _ in range(3))
    for passage in model.passages:
        leak[passage.zone] = passage.leak
        opening[passage.zone], height[passage.zone] = passage.opening, passage.height
    return Cabin(
        air_mass=model.network.volume * float(density(25.0, 0.01, pressure)),
        leakage=sheet.body.leakage * np.array([z.leakage_share for z in zones]),
        passage_leak=leak,
        passage_opening=opening,
        passage_height=height,
        buffer=np.array([z.buffer_capacity for z in zones]),
        buffer_exchange=np.array([z.buffer_conductance for z in zones]),
        stack=stack_coefficient(sheet.body.height),
        shelter=wind_coefficient(sheet.body.shelter, sheet.body.height),
        door=door_of(sheet),
        door_seconds=sheet.doors.open_for,
        sleeping=sheet.people.heat_asleep,
        awake=AWAKE_HEAT,
        fridge_zone=next((index[x.zone] for x in sheet.loads if x.kind == "fridge"), 0),
        inverter_zone=index[sheet.inverter.zone],
        bank_zone=index[sheet.battery.zone],
    )


def bedtime_on(sheet: Sheet, zone: tzinfo, day: date) -> datetime:
    """Return the moment of bedtime on an evening; a bedtime before noon is on the day after."""
    minutes = sheet.people.bedtime
    moment = datetime(day.year, day.month, day.day, tzinfo=zone) + timedelta(minutes=minutes)
    return moment + timedelta(days=1) if minutes < DAY // 2 else moment
