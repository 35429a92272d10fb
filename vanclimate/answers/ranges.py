"""Ranges of the empirical formulae: whether a night's run stayed within them, and the note if not.

Each range stands beside its formula, in a constant whose name ends in ``_RANGE``; here is who looks
at it. What does not belong here: the ranges themselves, and what is noted for other reasons
(``notes``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.judge import NO_BREEZE
from vanclimate.answers.scene import Scene
from vanclimate.equipment import air_conditioner, heat_pump, loads
from vanclimate.network.compile import Array
from vanclimate.physics import (
    air,
    airflow,
    batts,
    bedding,
    comfort,
    conduction,
    convection,
    ground,
    longwave,
    moisture,
    opening_flow,
    wetting,
    wind,
)
from vanclimate.simulate.columns import ZONE_NAMES
from vanclimate.simulate.runs import Run
from vanclimate.site.sky import BY_DEW_POINT, BY_VAPOUR_PRESSURE, model_of
from vanclimate.units import System, show

DAY = 86400.0  # s to waking in which the shell's formulae are watched: what it keeps is a day's
SLACK = 0.01  # of a range's width by which it may be left without a word; no end is that sharp
PROLONGED, HELD = "prolonged beyond it", "held at its end"
TEMP = ZONE_NAMES.index("temp_c")
AS_AIR = "as air"
NONE = np.empty(0)
SYSTEMS: tuple[System, ...] = ("si", "us")
MINUS = "−"

Limits = tuple[float, float]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Met:
    """What a night's run met: all its rows of the day to waking, and of the night."""

    scene: Scene
    run: Run
    day: slice
    night: slice

    def at_rows(self, hourly: Array, rows: slice) -> Array:
        """Return a quantity of the hours' edges at the ends of rows."""
        hours = 3600.0 * np.arange(len(hourly))
        return np.interp(self.run.seconds[1:][rows], hours, hourly)

    def segments(self, values: Array, rows: slice) -> Array:
        """Return a quantity of the plan's segments in rows."""
        return np.asarray(values[self.run.segment[rows]])

    def zone_temp(self, rows: slice) -> Array:
        """Return the air of each zone [°C], shape (rows, zones)."""
        return self.run.zones[rows, :, TEMP]

    @property
    def cooling(self) -> Flags:
        """Which rows of the night the air conditioner runs in."""
        on: Flags = self.run.column("ac_on_share")[self.night] > 0.0
        return on


class Formula(NamedTuple):
    """A formula whose range a run may leave.

    ``kind`` is the quantity's, a key of `units.KINDS`; a plain number has a ``unit`` in words.
    ``met`` returns what the run met of it, nothing where the formula was not used.
    """

    name: str
    quantity: str
    kind: str
    limits: Limits
    beyond: str
    met: Callable[[Met], Array]
    unit: str = ""


class Kept(NamedTuple):
    """A formula whose range no run can leave, or whose leaving is said elsewhere; ``why`` in words.

    The rest as in `Formula`.
    """

    name: str
    quantity: str
    kind: str
    limits: Limits
    why: str
    unit: str = ""


def _wind(met: Met) -> Array:
    return met.at_rows(met.run.plan.outside.wind, met.day)


def _wind_on_ground(met: Met) -> Array:
    return NONE if met.scene.sheet.site.ground == AS_AIR else _wind(met)


def _wind_at_openings(met: Met) -> Array:
    opened = met.segments(met.run.plan.schedule.by_wind, met.night).max(axis=1) > 0.0
    speed: Array = met.at_rows(met.run.plan.outside.wind, met.night)[opened]
    return speed


def _dew_point(met: Met) -> Array:
    outside = met.run.plan.outside
    ratio = met.at_rows(outside.humidity, met.day)
    return np.asarray(air.dew_point(ratio, outside.pressure), dtype=float)


def _sky_is(met: Met, model: str) -> bool:
    return model_of(met.scene.place.weather, met.scene.sheet.site.sky) == model


def _clear_sky(met: Met) -> Array:
    return _dew_point(met) if _sky_is(met, BY_DEW_POINT) else NONE


def _brutsaert(met: Met) -> Array:
    return met.run.outdoor[met.day] if _sky_is(met, BY_VAPOUR_PRESSURE) else NONE


def _wet_roof(met: Met) -> Array:
    wet = met.scene.sheet.body.roof_state.kind == "wet"
    return met.run.outdoor[met.day] if wet else NONE


def _ends(met: Met, which: Flags) -> tuple[Array, Array]:
    """Return the temperatures [°C] on both sides of links that vary, (rows, links) each."""
    nodes = met.run.nodes[met.day] if len(met.run.nodes) else np.empty((0, 1))
    at = met.run.model.network.vary[which] if len(nodes) else np.empty(0, dtype=int)
    return nodes[:, at], nodes[:, at + 1]


def _across_gaps(met: Met) -> Array:
    outer, inner = _ends(met, met.run.model.network.gap > 0.0)
    return np.abs(inner - outer).ravel()


def _layers(met: Met, falling: bool) -> Array:
    net = met.run.model.network
    sloped = net.vary_slope < 0.0 if falling else net.vary_slope > 0.0
    outer, inner = _ends(met, sloped & (net.gap == 0.0))
    return 0.5 * (outer + inner).ravel()


def _inside_faces(met: Met) -> Array:
    net, nodes = met.run.model.network, met.run.nodes
    if not len(nodes):
        return NONE
    faces = nodes[met.day][:, net.first[1:] - 1]
    return np.abs(faces - met.zone_temp(met.day)[:, net.zone]).ravel()


def _face_sizes(met: Met) -> Array:
    return met.run.model.network.size


def _blown(met: Met) -> Array:
    changes = 3600.0 * met.scene.gear.unit.mass_flow / met.run.cabin.air_mass[0]
    return np.full(1, changes) if met.cooling.any() else NONE


def _stirred(met: Met) -> Array:
    return met.segments(met.run.plan.schedule.stirred, met.night).ravel()


def _stack(met: Met) -> Array:
    outdoor = met.run.outdoor[met.day][:, None]
    return np.ravel(0.5 * (met.zone_temp(met.day) + outdoor))


def _through_passages(met: Met) -> Array:
    temp = met.zone_temp(met.day)
    apart = np.abs(temp - temp[:, :1])
    return apart[met.segments(met.run.plan.schedule.passage_open, met.day) > 0.0]


def _buffers(met: Met) -> Array:
    return met.zone_temp(met.night)[:, met.run.cabin.buffer > 0.0].ravel()


def _people(met: Met) -> Array:
    plan = met.run.plan.schedule
    inside = met.segments(plan.asleep + plan.awake, met.night) > 0.0
    return met.zone_temp(met.night)[inside]


def _by_bed_fan(met: Met, values: Array) -> Array:
    """Return values of the night where its main way is the bed fan's."""
    fan = met.scene.main_way == "fans" and met.scene.sheet.fans.bed_fan_speed > 0.1
    return values if fan else NONE


def _bed_fan_speed(met: Met) -> Array:
    return _by_bed_fan(met, np.full(1, met.scene.sheet.fans.bed_fan_speed))


def _fanned(met: Met) -> Array:
    mean = met.run.column("cabin_temp_c") + met.run.column("radiant_temp_c")
    felt = 0.5 * mean[met.night]
    return _by_bed_fan(met, felt[felt > NO_BREEZE])  # below it the fan cools nobody


def _fanned_humidity(met: Met) -> Array:
    run, rows = met.run, met.night
    temp, ratio = run.column("cabin_temp_c")[rows], run.column("cabin_humidity_kg_kg")[rows]
    share = air.relative_humidity(temp, ratio, run.plan.outside.pressure)
    return _by_bed_fan(met, np.minimum(np.asarray(share), 1.0))


def _outdoors_while_cooling(met: Met) -> Array:
    return NONE if met.scene.gear.unit.tabled else met.run.outdoor[met.night][met.cooling]


def _wet_bulb(met: Met) -> Array:
    if met.scene.gear.unit.tabled:
        return NONE
    run, rows = met.run, met.night
    temp, ratio = run.column("cabin_temp_c")[rows], run.column("cabin_humidity_kg_kg")[rows]
    heat, pressure = air.enthalpy(temp[met.cooling], ratio[met.cooling]), run.plan.outside.pressure
    return np.asarray(air.saturated_temperature_of_enthalpy(heat, pressure), dtype=float)


def _fridge(met: Met) -> Array:
    there = any(load.kind == "fridge" for load in met.scene.sheet.loads)
    return met.zone_temp(met.day)[:, met.run.cabin.fridge_zone] if there else NONE


T, DT, AIRS = "temperature", "temperature_difference", "air temperature"
FORMULAS = (
    Formula("the outside film", "wind at 10 m", "speed", convection.WIND_RANGE, PROLONGED, _wind),
    Formula("the ground's film", "wind at 10 m", "speed", ground.GROUND_WIND_RANGE, PROLONGED,
            _wind_on_ground),
    Formula("open windows and vents", "wind at 10 m", "speed", opening_flow.WINDOW_WIND_RANGE,
            PROLONGED, _wind_at_openings),
    Formula("the clear sky (Berdahl & Martin)", "outdoor dew point", T, longwave.CLEAR_SKY_RANGE,
            PROLONGED, _clear_sky),
    Formula("the clear sky (Brutsaert)", "outdoor temperature", T, longwave.BRUTSAERT_RANGE,
            PROLONGED, _brutsaert),
    Formula("the wet roof", "outdoor temperature", T, wetting.WET_RANGE, PROLONGED, _wet_roof),
    Formula("the air gaps", "difference across an air gap", DT, conduction.ACROSS_RANGE, PROLONGED,
            _across_gaps),
    Formula("conductivity that rises with warmth", "mean temperature of a layer", T,
            conduction.RISING_RANGE, HELD, lambda met: _layers(met, falling=False)),
    Formula("polyiso's conductivity", "mean temperature of a layer", T, conduction.FALLING_RANGE,
            HELD, lambda met: _layers(met, falling=True)),
    Formula("the inside film", "difference between a face and the air", DT,
            convection.INSIDE_RANGE, PROLONGED, _inside_faces),
    Formula("the inside film's size", "size of an inside face", "length", convection.FACE_RANGE,
            PROLONGED, _face_sizes),
    Formula("the blower's film", "air changes through the blower", "none", convection.BLOWN_RANGE,
            "held at its end, and none below it", _blown, "an hour"),
    Formula("the film that fans stir", "air along the faces", "speed", convection.STIRRED_RANGE,
            PROLONGED, _stirred),
    Formula("flow by warmth", "mean of inside and outside air", T, airflow.STACK_RANGE, PROLONGED,
            _stack),
    Formula("flow both ways through an opening", "difference between two rooms", DT,
            opening_flow.TWO_WAY_RANGE, PROLONGED, _through_passages),
    Formula("water in linings and fabrics", AIRS + " inside", T, moisture.BUFFER_RANGE, PROLONGED,
            _buffers),
    Formula("people's heat and water", AIRS + " inside", T, comfort.SPLIT_RANGE,
            "held below 20 °C (68 °F), prolonged above", _people),
    Formula("the felt temperature's weights", "bed fan's air", "speed", comfort.OPERATIVE_RANGE,
            HELD, _bed_fan_speed),
    Formula("the bed fan's cooling", "felt temperature", T, comfort.COOLING_RANGE, HELD, _fanned),
    Formula("the bed fan's cooling by humidity", "humidity inside", "fraction",
            comfort.COOLING_HUMIDITY_RANGE, HELD, _fanned_humidity),
    Formula("the air conditioner's slopes", "outdoor temperature", T,
            air_conditioner.OUTDOOR_RANGE, HELD, _outdoors_while_cooling),
    Formula("the air conditioner's slopes by indoor air", "indoor wet bulb", T,
            air_conditioner.WET_BULB_RANGE, HELD, _wet_bulb),
    Formula("the fridge's share of time", AIRS + " round the fridge", T, loads.FRIDGE_RANGE,
            "prolonged beyond it, from a tenth to all of the time", _fridge),
)  # fmt: skip
"""The formulae that a run may take out of their ranges."""

REFUSED, FIXED = "refused in a sheet", "the model's own figures lie within"
KEPT = (
    Kept("an air layer's thickness", "thickness", "length", conduction.AIR_LAYER_RANGE, REFUSED),
    Kept("a slope of conductivity", "slope", "none", conduction.SLOPE_RANGE, REFUSED, "a kelvin"),
    Kept("a squeezed batt", "own thickness over that in the wall", "none", batts.SQUEEZED_RANGE,
         REFUSED, "times"),
    Kept("a squeezed batt's density", "density", "density", batts.BATT_RANGE, REFUSED),
    Kept("wet insulation", "water by volume", "fraction", batts.WATER_RANGE,
         "held; `check` alone uses it"),
    Kept("conductivity of snow", "density", "density", ground.SNOW_DENSITY_RANGE, FIXED),
    Kept("the wind's profile", "height", "length", wind.HEIGHT_RANGE, FIXED),
    Kept("the heat pump's slopes", "outdoor temperature", T, heat_pump.HEATING_OUTDOOR_RANGE,
         "held at its end: no sheet's unit heats below it, and none is asked to above"),
    Kept("the heat pump's slopes by indoor air", AIRS, T, heat_pump.HEATING_INDOOR_RANGE,
         "held at its end, while a cold van warms up"),
    Kept("water's saturation", "temperature", T, air.SATURATION_RANGE,
         "no weather and no van reach it"),
    Kept("the wet bulb", "temperature", T, air.WET_AIR_RANGE,
         "no air that a running unit takes in reaches it"),
    Kept("the wet bulb in thin air", "pressure", "pressure", air.THIN_AIR_RANGE,
         "no height that a sheet may hold reaches it"),
    Kept("the standard atmosphere", "height", "length", air.ATMOSPHERE_RANGE, REFUSED),
    Kept("a sleeper's vote by air speed", "bed fan's air", "speed", bedding.LYING_RANGE,
         "held, said beside the votes"),
    Kept("a sleeper's vote by bedding", "total insulation", "none", bedding.INSULATION_RANGE,
         FIXED, "clo"),
    Kept("the heat index", AIRS, T, comfort.HEAT_INDEX_RANGE, "prolonged, said beside the index"),
)  # fmt: skip
"""The formulae whose ranges no run leaves unsaid. Those of ISO 7730's votes are several, in
`comfort.PMV_RANGE`, and said beside the votes."""


def range_notes(scene: Scene, run: Run, part: slice) -> Iterator[str]:
    """Yield a note for each formula that a night's run took out of its range.

    Parameters
    ----------
    scene : of the run
    run : with its nodes kept, for what happens inside the walls
    part : the run's rows from bedtime to waking
    """
    begin = np.searchsorted(run.seconds[:-1], run.seconds[part.stop] - DAY - 1.0)
    met = Met(scene, run, slice(int(begin), part.stop), part)
    for formula in FORMULAS:
        values = formula.met(met)
        if len(values):
            yield from left(formula, float(values.min()), float(values.max()))


def left(formula: Formula, least: float, most: float) -> Iterator[str]:
    """Yield what is said of a formula where its quantity leaves the range, at the worse end."""
    low, high = formula.limits
    slack = SLACK * (high - low)
    under, over = low - least, most - high
    if max(under, over) <= slack:
        return
    reached = least if under > over else most
    yield (
        f"{formula.quantity} reaches {both(formula, reached)}, outside "
        f"{both(formula, low, high)}, the range of {formula.name}: {formula.beyond}"
    )


def both(formula: Formula | Kept, *values: float) -> str:
    """Write a value or a span in metric and US units, in brackets where they differ.

    >>> both(FORMULAS[0], 0.0, 12.0)
    '0 to 12 m/s (0 to 26.8 mph)'
    """
    si, us = (_written(formula, values, system) for system in SYSTEMS)
    return si if si == us else f"{si} ({us})"


def _written(formula: Formula | Kept, values: tuple[float, ...], system: System) -> str:
    if formula.unit:
        return f"{' to '.join(f'{v:.3g}' for v in values).replace('-', MINUS)} {formula.unit}"
    digits = None if formula.kind == "temperature" else 3
    shown = [show(v, formula.kind, system, digits).replace("-", MINUS) for v in values]
    if formula.kind == "temperature_difference" and system == "us":
        shown = [f"{x}°" for x in shown]
    unit = shown[-1].partition(" ")[2]
    *first, last = shown
    return " to ".join([*(x.removesuffix(f" {unit}") for x in first), last])
