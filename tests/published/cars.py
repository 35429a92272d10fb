"""Parked cars and a van described for the checks, and how they stand in the sun.

The sources give no car's sizes, glass, masses or paint beyond 'dark saloon': those here are
ordinary ones, assumed, and none was changed to meet a check. What was put right after the first
runs, each for a reason that stands without them, and what each did to the hour's rise, is said in
docs/validation.md:

- Leaks. The saloon had the 60 cm2 of an ordinary van; by the area of its envelope it has 24, as
  `test_air_changes` has it beside measured air changes.
- Leaning panes were described by their level and their upright part, which take the same beam but
  have half as much glass again to lose heat through. They lean now. A box does not know that a
  leaning pane also lies over its roof, so that part is taken off the roof here.
- Dashboard, seats and rear shelf take nearly all beam: of 2.0 by 1.4 m seen from above the
  footwells are about a fifth. A van's furniture takes half (``Shell.furnishing_sun_share``).

What does not belong here: measured figures and their bands (test_parked_vehicle.py).
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from functools import lru_cache
from math import cos, radians

import numpy as np

from vanclimate.answers.scene import Scene, set_scene
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import Shell, shell_of
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import Run, execute
from vanclimate.site.designday import design_day
from vanclimate.site.weather import Weather
from vanclimate.van import loads_text

CAR = """
name: A saloon car, described for this test
site: miami
shade: {shade}
body:
  length: 2.0 m
  width: 1.4 m
  height: 1.1 m
  colour: {colour}
  rib share: 0 %
  leakage: 24 cm2
  shelter: some
  furnishing: 50 kg         # the outer centimetre or two of seats, dashboard and trim
  lining absorptance: 70 %
stacks:
  roof: [steel 0.8 mm, air gap 10 mm, carpet 4 mm]
  walls: [steel 0.8 mm, air gap 20 mm, ABS 3 mm]
  floor: [steel 1.0 mm, carpet 8 mm]
windows:
  - {{name: windscreen, side: front, area: 0.9 m2, glass: laminated, slope: 30 deg}}
  - {{name: rear window, side: rear, area: 0.6 m2, glass: clear, slope: 30 deg}}
  - {{name: left side, side: left, area: 0.65 m2, glass: clear}}
  - {{name: right side, side: right, area: 0.65 m2, glass: clear}}
people: {{sleepers: 0}}
battery: {{conductance: 0 W/K}}  # no bank stands in it, so none warms and cools with its air
inverter: {{on: needed}}
loads: none
fans: {{count: 0}}
"""
DARK = CAR.format(colour="90 %", shade="none")
SHADED = CAR.format(colour="90 %", shade="heavy tree")

# Four side windows of 0.6 m each, let down by 38 mm: two slots a side (assumed).
CRACKED = DARK
for _side in ("left", "right"):
    CRACKED = CRACKED.replace(
        f"side: {_side}, area: 0.65 m2,",
        f"side: {_side}, area: 0.65 m2, opening: 0.046 m2, open: always,",
    )

# A people carrier: the saloon's build, longer and higher, with three rows of side windows.
CARRIER = """
name: A people carrier, described for this test
site: miami
body: {length: 2.9 m, width: 1.5 m, height: 1.2 m, colour: 90 %, rib share: 0 %, leakage: 35 cm2,
       furnishing: 80 kg, lining absorptance: 70 %}
stacks:
  roof: [steel 0.8 mm, air gap 10 mm, carpet 4 mm]
  walls: [steel 0.8 mm, air gap 20 mm, ABS 3 mm]
  floor: [steel 1.0 mm, carpet 8 mm]
windows:
  - {name: windscreen, side: front, area: 1.1 m2, glass: laminated, slope: 30 deg}
  - {name: rear window, side: rear, area: 0.6 m2, glass: clear}
  - {name: left side, side: left, area: 1.1 m2, glass: clear}
  - {name: right side, side: right, area: 1.1 m2, glass: clear}
people: {sleepers: 0}
battery: {conductance: 0 W/K}  # no bank stands in it, so none warms and cools with its air
inverter: {on: needed}
loads: none
fans: {count: 0}
"""
VAN = """
name: An insulated van with a windscreen, described for this test
site: miami
body: {length: 4.4 m, width: 1.8 m, height: 1.9 m, colour: black}
stacks:
  roof: [steel 0.9 mm, sprayed foam 50 mm, plywood 6 mm]
  walls: [steel 0.9 mm, sprayed foam 40 mm, plywood 6 mm]
  floor: [steel 1.2 mm, XPS 25 mm, plywood 12 mm]
windows:
  - {name: windscreen, side: front, area: 1.3 m2, glass: laminated}
people: {sleepers: 0}
battery: {conductance: 0 W/K}  # no bank stands in it, so none warms and cools with its air
inverter: {on: needed}
loads: none
fans: {count: 0}
"""
CARS_SHARE = 0.8  # of the beam that falls on dashboard, seats and shelf, see above
NOSE_SOUTH = 180.0

# Places of the sources: latitude, longitude [deg], elevation [m], relative humidity at the low,
# hours from UTC. The bay is San Francisco's, where Null measured (from memory).
PLACES = {
    "bay": (37.5, -122.0, 0.0, 0.8, -8.0),
    "arizona": (33.4, -111.9, 360.0, 0.4, -7.0),
    "georgia": (33.95, -83.3, 240.0, 0.9, -5.0),
}


@lru_cache
def weather_of(place: str, low: float, high: float, month: int, cover: float = 0.0) -> Weather:
    """Return a made-up day about the middle of a month, repeated, under a share of cloud.

    Cloud: G = G0 (1 − 0.75 N^3.4), of which the share 0.3 + 0.7 N² is diffuse (Kasten and Czeplak
    1980, Solar Energy 24:177, from memory), N the sky's cover; temperatures as on the clear day.
    """
    latitude, longitude, elevation, humidity, offset = PLACES[place]
    clear = design_day(
        low=low, high=high, latitude=latitude, longitude=longitude, elevation=elevation,
        relative_humidity=humidity, date=datetime.date(2025, month, 21), utc_offset_h=offset,
    )  # fmt: skip
    if cover == 0.0:
        return clear
    ghi = clear.ghi * (1.0 - 0.75 * cover**3.4)
    dhi = ghi * (0.3 + 0.7 * cover**2)
    level = clear.ghi - clear.dhi  # the clear day's beam on a level plane
    left = np.divide(ghi - dhi, level, out=np.zeros_like(ghi), where=level > 0.0)
    sky = np.full_like(clear.cloud_total, cover)
    return replace(
        clear, ghi=ghi, dhi=dhi, dni=clear.dni * np.clip(left, 0.0, 1.0), cloud_total=sky,
        cloud_opaque=sky, digest=f"{clear.digest} under {cover} of cloud",
    )  # fmt: skip


def as_car(shell: Shell) -> Shell:
    """Return a car's shell: leaning panes off the roof too, the beam on what stands inside."""
    level = sum(
        g.area * cos(radians(g.slope))
        for g in shell.glazings
        if g.slope is not None and g.side != "roof"
    )
    surfaces = tuple(
        replace(s, area=s.area - level) if s.name == "roof" else s for s in shell.surfaces
    )
    return replace(shell, surfaces=surfaces, furnishing_sun_share=CARS_SHARE)


def scene_of(text: str, weather: Weather) -> Scene:
    """Return a described vehicle in a weather, its nose to the south; the van as any sheet's."""
    sheet = loads_text(text, "test")
    scene = set_scene(sheet, weather, NOSE_SOUTH)
    return scene if text == VAN else replace(scene, model=compile_shell(as_car(shell_of(sheet))))


def stand(scene: Scene, start: datetime.datetime, hours: float, cooled: float | None = None) -> Run:
    """Return a run of a closed vehicle that starts with all of it at ambient, or cooled to [°C].

    A run begins at the temperature outdoors at the hour before its start: a minute to the hour,
    that figure hardly shows in the air outdoors any more.
    """
    end = start + datetime.timedelta(hours=hours)
    if cooled is not None:
        start -= datetime.timedelta(minutes=1)
    plan = make_plan(scene.sheet, scene.model, scene.place, "closed", start, end, [end], 100.0)
    if cooled is not None:
        temp = np.concatenate([[cooled], plan.outside.temp[1:]])
        plan = replace(plan, outside=plan.outside._replace(temp=temp))
    cabin = cabin_of(scene.sheet, scene.model, plan.outside.pressure)
    return execute(scene.model, plan, cabin, scene.gear, keep_nodes=True)


@lru_cache
def noon_run(text: str, high: float = 28.0, place: str = "bay") -> Run:
    """Return three hours from noon on a clear June day, in rows of 5 minutes."""
    weather = weather_of(place, high - 11.0, high, 6)
    return stand(scene_of(text, weather), weather.start.replace(hour=12), 3.0)


@lru_cache
def rise(text: str, high: float = 28.0, place: str = "bay") -> np.ndarray:
    """Return the air's rise over ambient [K] every 5 minutes from noon on a clear June day."""
    run = noon_run(text, high, place)
    return run.column("cabin_temp_c") - run.outdoor


@lru_cache
def cooled_run(text: str, cooled: float) -> Run:
    """Return an hour from noon in Arizona's heat, 38 °C, of a car that was cooled while driven."""
    weather = weather_of("arizona", 27.0, 41.0, 6)
    return stand(scene_of(text, weather), weather.start.replace(hour=12), 1.0, cooled)


def at(series: np.ndarray, minute: int) -> float:
    """Return a series' value after so many minutes."""
    return float(series[minute // 5 - 1])


@lru_cache
def hottest(text: str, low: float, high: float, month: int, cover: float = 0.0) -> float:
    """Return the warmest cabin air [°C] of a day in Georgia, the second that it stands closed."""
    weather = weather_of("georgia", low, high, month, cover)
    run = stand(scene_of(text, weather), weather.start, 48.0)
    return float(run.column("cabin_temp_c")[run.seconds[1:] > 86400.0].max())
