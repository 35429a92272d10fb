"""Every empirical formula has its range; a night that leaves it says so once. Weather invented."""

import re
from dataclasses import replace
from importlib import import_module
from inspect import getsource
from pkgutil import iter_modules

import numpy as np
import pytest

import vanclimate.equipment
import vanclimate.physics
import vanclimate.site
from tests.invented import FOAMED, bedtime, sheet, weather_of
from vanclimate.answers import ranges
from vanclimate.answers.judge import night_rows
from vanclimate.answers.notes import night_notes
from vanclimate.answers.ranges import FORMULAS, KEPT, both, left, range_notes
from vanclimate.answers.scene import Scene, run_way, set_scene
from vanclimate.cache import data_path
from vanclimate.physics import conduction
from vanclimate.units import KINDS
from vanclimate.van.fields import specs
from vanclimate.van.layers import Layer
from vanclimate.van.reading import loads_text

LISTED = (*FORMULAS, *KEPT)
BY_NAME = {formula.name: formula for formula in LISTED}
APART = ("PMV_RANGE", "YEAR_RANGE")  # several ranges in one; no formula's


def modules():
    """Return the modules of the packages that hold formulae."""
    for package in (vanclimate.physics, vanclimate.equipment, vanclimate.site):
        for found in iter_modules(package.__path__):
            if not found.ispkg:
                yield import_module(f"{package.__name__}.{found.name}")


def declared() -> dict[str, tuple[float, float]]:
    """Return every range that is declared beside a formula, by module and name."""
    found = {}
    for module in modules():
        for name in re.findall(r"^([A-Z_]+_RANGE)\b.*=", getsource(module), re.MULTILINE):
            if isinstance(getattr(module, name), tuple | dict):  # else a pattern that reads texts
                found[f"{module.__name__}.{name}"] = getattr(module, name)
    return found


def scene_in(weather_changes=None, **changes) -> Scene:
    """Return the scene of an invented van; some series of its weather are set to one value."""
    return in_weather(sheet(**changes), weather_changes)


def in_weather(of, weather_changes=None) -> Scene:
    """Return a sheet's scene; some series of its weather are set to one value."""
    weather = weather_of(of)
    if weather_changes:
        series = {k: np.full_like(getattr(weather, k), v) for k, v in weather_changes.items()}
        weather = replace(weather, digest=f"{weather.digest}{weather_changes}", **series)
    return set_scene(of, weather, 180.0)


def notes_of(scene: Scene) -> list[str]:
    """Return the notes on ranges of the first night."""
    night = bedtime(scene)
    run = run_way(scene, scene.main_way, night, keep_nodes=True)
    return list(range_notes(scene, run, night_rows(run, night, scene.sheet)))


def of(notes: list[str], name: str) -> list[str]:
    """Return the notes of one formula."""
    return [note for note in notes if f"the range of {name}:" in note]


@pytest.mark.parametrize("formula", LISTED, ids=lambda f: f.name)
def test_a_range_is_ordered_and_has_a_unit(formula):
    low, high = formula.limits
    assert np.isfinite([low, high]).all()
    assert low < high
    assert formula.kind in KINDS
    assert (formula.kind == "none") == bool(formula.unit)
    assert re.search(r"\d", both(formula, low, high))


def test_each_range_stands_in_one_place_and_is_looked_at():
    found = declared()
    names = [name.rpartition(".")[2] for name in found]
    assert len(names) == len(set(names))
    source = getsource(ranges)
    for name in found:
        home, _, constant = name.rpartition(".")
        if constant not in APART:
            assert source.count(f"{home.rpartition('.')[2]}.{constant}") == 1, name
    assert len(LISTED) == len(found) - len(APART)
    assert len(BY_NAME) == len(LISTED)


def test_no_range_is_typed_where_it_is_looked_at():
    held = {id(limits) for limits in declared().values()}
    assert all(id(formula.limits) in held for formula in LISTED)


def test_each_range_has_its_unit_and_its_standing_beside_it():
    standing = re.compile(r"from memory|assumed|reckoning|ISO|may hold no other|chart|lowest")
    for module in modules():
        for text in re.findall(
            r'^[A-Z_]+_RANGE\b[^"]*?\n"""(.*?)"""', getsource(module), re.MULTILINE | re.DOTALL
        ):
            assert re.search(r"\[[^\]]+\]|met, clo|humidity", text), text
            assert standing.search(" ".join(text.split())) or "same" in text, text


def test_what_a_sheet_may_hold_is_the_formula_s_range():
    slope = specs(Layer)["slope"]
    for value in conduction.SLOPE_RANGE:
        assert slope.take(value) == value
    with pytest.raises(Exception, match=r"-0\.02 to 0\.02"):
        slope.take("0.021")
    thickest = conduction.AIR_LAYER_RANGE[1]
    text = (
        "site: miami\nbody: {length: 3 m, width: 1.8 m, height: 1.9 m}\n"
        "stacks: {roof: [steel 1 mm], floor: [steel 1 mm], walls: [steel 1 mm, air gap %s mm, "
        "plywood 6 mm]}\n"
    )
    assert loads_text(text % f"{1000 * thickest:g}").stacks.walls[1].thickness == thickest
    with pytest.raises(Exception, match="300 mm at most"):
        loads_text(text % f"{1000 * thickest + 1:g}")


def test_an_ordinary_night_leaves_no_range():
    assert notes_of(scene_in()) == []


def test_a_gale_is_said_once_for_each_formula_and_in_both_unit_systems():
    notes = notes_of(scene_in({"wind_speed": 16.0}))
    assert of(notes, "the outside film") == [
        "wind at 10 m reaches 16 m/s (35.8 mph), outside 0 to 12 m/s (0 to 26.8 mph), the range "
        "of the outside film: prolonged beyond it"
    ]
    assert len(of(notes, "the ground's film")) == 1
    assert len(notes) == 2  # nothing is open


def test_wind_at_an_open_window_has_a_range_of_its_own():
    windy = sheet().with_value("air_conditioner", None)
    for path, value in (("windows.1.opening", 0.2), ("windows.1.open", "night")):
        windy = windy.with_value(path, value)
    assert len(of(notes_of(in_weather(windy, {"wind_speed": 11.0})), "open windows and vents")) == 1
    assert notes_of(in_weather(windy, {"wind_speed": 9.0})) == []


def test_a_wind_at_the_very_end_of_the_range_is_no_matter():
    assert notes_of(scene_in({"wind_speed": 12.05})) == []


def test_very_dry_air_leaves_the_clear_sky_s_range():
    notes = notes_of(scene_in({"temp_dew": -30.0}))
    (note,) = of(notes, "the clear sky (Berdahl & Martin)")
    assert "−30 °C (−22 °F), outside −20 to 30 °C (−4 to 86 °F)" in note


def test_a_range_is_that_of_the_sky_in_use():
    other = sheet().with_value("site.sky", "by vapour pressure")
    assert not of(notes_of(in_weather(other, {"temp_dew": -30.0})), "the clear sky (Brutsaert)")
    cold = notes_of(in_weather(other, {"temp_air": -12.0, "temp_dew": -20.0}))
    assert of(cold, "the clear sky (Brutsaert)")
    assert not of(cold, "the clear sky (Berdahl & Martin)")


def test_very_hot_nights_leave_the_unit_s_slopes_which_are_held():
    (note,) = of(notes_of(scene_in({"temp_air": 54.0})), "the air conditioner's slopes")
    assert "54 °C (129.2 °F)" in note
    assert note.endswith("held at its end")


def test_a_unit_that_never_runs_has_no_range_to_leave():
    cold = notes_of(scene_in({"temp_air": 2.0, "temp_dew": 0.0}))
    assert not [note for note in cold if "air conditioner" in note]
    assert of(cold, "people's heat and water")
    assert of(cold, "the fridge's share of time")


def test_desert_air_is_too_dry_for_the_unit_s_slopes_by_indoor_air():
    desert = notes_of(scene_in({"temp_dew": -15.0}, sleepers=0, setpoint=20, kettle_water=0))
    (note,) = of(desert, "the air conditioner's slopes by indoor air")
    assert "outside 10 to 28 °C (50 to 82.4 °F)" in note


def test_a_blower_too_large_for_its_room_is_held():
    small = sheet().with_value("body.length", 1.5).with_value("body.height", 1.3)
    small = small.with_value("windows", ()).with_value("roof_panels.power", 0.0)
    (note,) = of(notes_of(in_weather(small)), "the blower's film")
    assert re.search(r"reaches 1\d\d an hour, outside 3 to 100 an hour", note)


def test_polyiso_in_deep_frost_is_held_and_in_summer_is_as_stated():
    polyiso = FOAMED.replace("sprayed foam 2 in", "polyiso 2 in")
    name = "polyiso's conductivity"
    assert not of(notes_of(scene_in(stacks=polyiso)), name)
    assert of(notes_of(scene_in({"temp_air": -40.0, "temp_dew": -42.0}, stacks=polyiso)), name)


def test_a_black_roof_over_a_gap_stays_within_and_a_furnace_does_not():
    # with the unit on the bank's own volts: an inverter in such heat gives it nothing
    gap = FOAMED.replace("sprayed foam 2 in", "foil air gap 20 mm")
    assert not of(notes_of(scene_in(stacks=gap, colour="black")), "the air gaps")
    scorched = notes_of(scene_in({"ghi": 2500.0, "dni": 0.0, "dhi": 2500.0}, stacks=gap,
                                 colour="black", feed="battery"))  # fmt: skip
    assert len(of(scorched, "the air gaps")) == 1


def test_a_fan_s_storm_is_beyond_what_votes_and_felt_temperature_know():
    bare = sheet().with_value("air_conditioner", None).with_value("fans.bed_fan_speed", 3.0)
    (note,) = of(notes_of(in_weather(bare)), "the felt temperature's weights")
    assert "3 m/s (6.71 mph)" in note


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.name)
def test_each_formula_speaks_beyond_either_end_and_only_there(formula):
    low, high = formula.limits
    middle, width = 0.5 * (low + high), high - low
    assert list(left(formula, low, high)) == []
    for least, most in ((middle, high + 0.1 * width), (low - 0.1 * width, middle)):
        (note,) = left(formula, least, most)
        assert note.startswith(formula.quantity)
        assert formula.name in note
        assert formula.beyond in note
        assert both(formula, low, high) in note
    (worse,) = left(formula, low - 0.1 * width, high + 0.3 * width)
    assert both(formula, high + 0.3 * width) in worse


def test_ranges_in_the_docs_are_those_of_the_code():
    text = (data_path("scenarios").parent / "docs" / "ranges.md").read_text(encoding="utf-8")
    table = [line for line in text.splitlines() if line.startswith("|")]
    for formula in LISTED:
        rows = [line for line in table if line.startswith(f"| {formula.name} |")]
        assert len(rows) == 1, formula.name
        assert both(formula, *formula.limits) in rows[0]


def test_snow_in_summer_is_noted():
    warm = sheet()
    for path, value in (("body.roof_state", "snow 10 cm"), ("site.ground", "snow")):
        warm = warm.with_value(path, value)
    said = "body.roof state and site.ground: snow in a day of"
    assert any(said in note for note in all_notes(in_weather(warm)))
    frost = in_weather(warm, {"temp_air": -5.0, "temp_dew": -8.0})
    assert not any("snow in a day" in note for note in all_notes(frost))


def all_notes(scene: Scene) -> tuple[str, ...]:
    """Return every note beside the first night's answer."""
    from vanclimate.answers.judge import judge

    night = bedtime(scene)
    run = run_way(scene, scene.main_way, night, keep_nodes=True)
    part = night_rows(run, night, scene.sheet)
    return night_notes(scene, run, part, judge(run, scene.sheet, scene.main_way, night))
