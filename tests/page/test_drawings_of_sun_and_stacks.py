"""The sun over the van against pvlib; temperatures, dew points and water in a stack by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from itertools import pairwise
from math import cos, hypot, radians, sin
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from matplotlib.patches import Circle
from pvlib.solarposition import get_solarposition, sun_rise_set_transit_spa

import vanclimate
from tests.page.odd_vans import NAMED, SCENARIOS, run_of
from tests.page.test_drawings import FIND, check_texts, whole
from vanclimate.answers.damp import Dampness
from vanclimate.network.damp import Climate, damp_of
from vanclimate.network.shell import shell_of
from vanclimate.page.drawings.canvas import Drawing
from vanclimate.page.drawings.day import path_of
from vanclimate.page.drawings.layers import Air, profile_of, water_in
from vanclimate.page.drawings.section import damp_section, section, worst_section
from vanclimate.page.drawings.section_marks import spread
from vanclimate.page.drawings.sunpath import RADIUS, sun_path
from vanclimate.physics.air import saturation_pressure
from vanclimate.simulate.columns import INDEX
from vanclimate.van.zones import layers_of

pytestmark = pytest.mark.filterwarnings("ignore:Glyph .* missing")

PLACES = {
    "mid": (date(2023, 7, 13), 36.1, -79.9, 270.0, -5.0),
    "south": (date(2023, 1, 1), -33.9, 151.2, 6.0, 10.0),
    "equator": (date(2023, 3, 21), 0.0, 0.0, 0.0, 0.0),
}


@pytest.mark.parametrize("name", PLACES)
def test_the_suns_path_is_pvlibs(name: str):
    day, lat, lon, high, offset = PLACES[name]
    path = path_of(day, lat, lon, high, offset)
    times = pd.DatetimeIndex(
        pd.Timestamp(day, tz=timezone(timedelta(hours=offset)))
        + pd.to_timedelta(path.hours, unit="h")
    )
    found = get_solarposition(times, lat, lon, altitude=high, method="nrel_numpy")
    assert path.true == pytest.approx(found["zenith"].to_numpy(), abs=0.01)
    lit = found["apparent_zenith"].to_numpy() < 89.0
    assert path.zenith[lit] == pytest.approx(found["apparent_zenith"].to_numpy()[lit], abs=0.02)
    off = (path.azimuth - found["azimuth"].to_numpy() + 180.0) % 360.0 - 180.0
    clear = found["zenith"].to_numpy() > 1.0  # straight above, azimuth means little
    assert np.abs(off[clear]).max() < 0.05
    noon = pd.DatetimeIndex([pd.Timestamp(day, tz=timezone(timedelta(hours=offset)))])
    almanac = sun_rise_set_transit_spa(noon, lat, lon)
    hours = [(almanac[x].iloc[0] - noon[0]).total_seconds() / 3600.0 for x in ("sunrise", "sunset")]
    assert path.rises_and_sets == pytest.approx(hours, abs=1.0 / 60.0)


def test_an_hours_mark_stands_where_the_sun_is():
    day, lat, lon, _, offset = PLACES["mid"]
    zone = timezone(timedelta(hours=offset))
    drawing = sun_path(datetime(day.year, day.month, day.day, 22, tzinfo=zone), lat, lon, 40.0)
    sky = max((c for c in drawing.figure.artists if isinstance(c, Circle)), key=lambda c: c.radius)
    assert sky.radius == RADIUS
    for hour in (9, 12, 18):
        now = pd.DatetimeIndex([pd.Timestamp(day, tz=zone) + pd.Timedelta(hours=hour)])
        sun = get_solarposition(now, lat, lon, method="nrel_numpy").iloc[0]
        far, turn = RADIUS * sun["apparent_zenith"] / 90.0, radians(sun["azimuth"])
        x, y = sky.center[0] + far * sin(turn), sky.center[1] - far * cos(turn)
        marks = [c.center for c in drawing.figure.artists if isinstance(c, Circle) and c is not sky]
        assert min(hypot(x - a, y - b) for a, b in marks) < 0.1


@settings(max_examples=10, deadline=None)
@given(st.dates(date(2020, 1, 1), date(2024, 12, 31)), st.floats(-89.0, 89.0),
       st.floats(-180.0, 180.0), st.floats(0.0, 360.0), st.floats(0.05, 2.0))  # fmt: skip
def test_the_sun_is_drawn_anywhere(day: date, lat: float, lon: float, heading: float, shape: float):
    zone = timezone(timedelta(hours=round(lon / 15.0)))
    moment = datetime(day.year, day.month, day.day, 22, tzinfo=zone)
    check_texts(sun_path(moment, lat, lon, heading, shape=shape))


def test_polar_days_and_nights_are_told():
    north = timezone(timedelta(hours=1))
    winter = sun_path(datetime(2023, 12, 21, tzinfo=north), 70.0, 20.0, 0.0)
    summer = sun_path(datetime(2023, 6, 21, tzinfo=north), 70.0, 20.0, 0.0)
    assert "the sun does not rise" in winter.says
    assert "the sun does not set" in summer.says


OUT, IN = Air(-10.0, 0.8 * float(saturation_pressure(-10.0))), Air(20.0, 1168.0)


def test_temperatures_at_faces_are_those_of_resistances_in_a_row():
    # ISO 6946 and 13788: each face by its share of the whole resistance; films 0.04 and 0.13 m2K/W
    layers = layers_of("steel 1 mm", "XPS 30 mm", "plywood 13 mm")
    steel, foam, wood = 0.001 / 50.0, 0.030 / 0.030, 0.013 / 0.13
    whole = 0.04 + steel + foam + wood + 0.13
    by_hand = [-10.0 + 30.0 * r / whole
               for r in (0.04, 0.04 + steel, 0.04 + steel + foam, whole - 0.13)]  # fmt: skip
    lines = profile_of(layers, "left", OUT, IN)
    assert np.interp(lines.edges, lines.depth, lines.temp) == pytest.approx(by_hand, abs=1e-9)
    # vapour: 1168 Pa has its dew point at 9.26 °C (ISO 13788's formula, from memory); next to all
    # of its fall is over the steel
    assert lines.dew[-1] == pytest.approx(9.26, abs=0.1)
    assert lines.dew[0] < -10.0
    assert lines.crossings


def test_heat_flows_otherwise_through_roof_and_floor():
    layers = layers_of("steel 1 mm", "XPS 30 mm", "plywood 13 mm")
    resistance = 0.001 / 50.0 + 0.030 / 0.030 + 0.013 / 0.13
    for side, film in (("roof", 0.10), ("floor", 0.17)):  # ISO 6946, heat up and down
        inner = 20.0 - 30.0 * film / (0.04 + resistance + film)
        assert profile_of(layers, side, OUT, IN).temp[-1] == pytest.approx(inner)


def test_outside_a_well_vented_gap_it_is_as_outdoors():
    layers = layers_of("steel 1 mm", "vented air gap 20 mm", "XPS 30 mm", "plywood 13 mm")
    assert layers[1].ventilated == "well"
    lines = profile_of(layers, "left", OUT, IN)
    before = lines.depth < 0.021 - 1e-9
    assert (lines.temp[before] == OUT.temp).all()
    resistance = 0.030 / 0.030 + 0.013 / 0.13
    outer = -10.0 + 30.0 * 0.13 / (0.13 + resistance + 0.13)  # an inside film stands in the gap
    assert lines.temp[2] == pytest.approx(outer)


def _climate() -> Climate:
    months = np.arange(12)
    outside = 5.0 - 10.0 * np.cos(2.0 * np.pi * months / 12.0)
    pressure = 0.8 * np.asarray(saturation_pressure(outside))
    return Climate(np.full(12, 20.0), pressure + 600.0, outside, pressure)


def test_water_lies_where_the_years_balance_has_it():
    layers = layers_of("steel 1 mm", "sheep wool 50 mm", "plywood 6 mm")
    found, water = damp_of(layers, "left", _climate()), water_in(layers, "left", _climate())
    assert found.where == "between the skin and the sheep wool"
    assert [w.depth for w in water] == pytest.approx([0.001])
    assert water[0].mass == pytest.approx(found.peak)


def test_a_section_marks_its_water_and_its_layers():
    layers = layers_of("steel 1 mm", "sheep wool 50 mm", "plywood 6 mm")
    water = water_in(layers, "left", _climate())
    drawing = section("walls", layers, "left", OUT, IN, when="a mean January", water=water)
    check_texts(drawing)
    words = [t.get_text() for t in drawing.figure.texts]
    assert {"steel", "sheep wool", "1.97 in · 50.0 mm"} <= set(words)
    assert f"{1e3 * water[0].mass:,.0f} g/m²" in drawing.says


def _lived_in(found: Dampness) -> Drawing | None:
    """Return the worst section of a van in a warm hour, after a year's finding."""
    run: Any = run_of(vanclimate.load(SCENARIOS[0]))
    outside = SimpleNamespace(temp=np.full(5, 31.0), humidity=np.full(5, 0.018), pressure=101325.0)
    run.rows[:, INDEX["cabin_temp_mean_c"]] = 24.0
    run.rows[:, INDEX["cabin_humidity_kg_kg"]] = 0.010
    run = replace(run, plan=SimpleNamespace(outside=outside))
    return worst_section(found, run, whole(run))


def test_a_year_that_leaves_stacks_dry_gives_way_to_the_hour():
    drawing = _lived_in(Dampness((), 4, None, "no year of weather"))
    assert drawing is not None
    check_texts(drawing)
    # 0.018 kg/kg at sea level has 2850 Pa: 63 % of the 4497 Pa that saturate air of 31 °C, both by
    # the ASHRAE table of moist air, from memory
    words = [t.get_text() for t in drawing.figure.texts]
    assert any(w.startswith("outside 88 °F · 31.0 °C, 63% humid") for w in words)
    assert any(w.startswith("inside 75 °F · 24.0 °C") for w in words)


def test_the_section_is_of_the_side_with_most_at_stake():
    shell = shell_of(vanclimate.load(SCENARIOS[0]))
    by_side = {s.side: s for s in shell.surfaces if not s.across_ribs and s.zone == 0}
    sides = tuple(
        (side, damp_of(by_side[side].layers, side, _climate()))
        for side in ("roof", "left", "floor")
    )
    most = max(sides, key=lambda pair: (pair[1].left, pair[1].peak, pair[1].face_humidity))
    found = Dampness(sides, 4, _climate())
    drawing = damp_section(found, shell)
    assert drawing is not None
    assert drawing.says.startswith(f"Section through the {most[0]}, ")
    asked = damp_section(found, shell, "floor")
    assert asked is not None
    assert asked.says.startswith("Section through the floor, ")
    assert damp_section(Dampness((), 4, None), shell) is None


@settings(max_examples=10, deadline=None, suppress_health_check=list(HealthCheck), phases=FIND)
@given(st.lists(st.tuples(NAMED, st.floats(1e-5, 0.5)), min_size=1, max_size=20),
       st.floats(-40.0, 45.0), st.floats(-5.0, 40.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0),
       NAMED)  # fmt: skip
def test_any_stack_is_drawn(
    layers: list[tuple[str, float]], out: float, inside: float, wet: float, damp: float, name: str
):
    stack = tuple(
        layers_of("XPS 20 mm" if i % 3 else "steel 1 mm")[0].model_copy(
            update={"material": f"{word} of some length"[:60], "thickness": thick}
        )
        for i, (word, thick) in enumerate(layers)
    )
    airs = [
        Air(t, share * float(saturation_pressure(t))) for t, share in ((out, wet), (inside, damp))
    ]
    check_texts(section(name, stack, "roof", *airs, when="a mean January"))


@given(st.lists(st.floats(0.0, 280.0), min_size=1, max_size=20))
def test_numbers_of_layers_stand_apart(places: list[float]):
    found = spread(sorted(places), 14.0, 7.0, 273.0)
    assert all(b - a >= 14.0 - 1e-9 for a, b in pairwise(found))
    assert 7.0 - 1e-9 <= found[0] <= found[-1] <= 273.0 + 1e-9
