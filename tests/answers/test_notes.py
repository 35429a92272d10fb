"""What an answer notes beside its verdict."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from tests.invented import nights, weather_of
from vanclimate.answers.judge import WayResult, judge, night_rows
from vanclimate.answers.night import night
from vanclimate.answers.notes import _later_heaters, covered_openings, short_runs
from vanclimate.answers.scene import changed_scene, run_way, set_scene
from vanclimate.cache import data_path
from vanclimate.errors import SheetError
from vanclimate.simulate.switches import BURNER, HEAT_PUMP, N_DEVICES
from vanclimate.van import load, loads_text
from vanclimate.van.rules import HEAT_SOURCES

HOLDS = data_path("scenarios", "holds.yaml")


@pytest.mark.slow
def test_a_file_whose_sun_is_an_hour_off_is_noted():
    sheet = load(HOLDS).with_value("heading", "S")
    weather = weather_of(sheet)
    assert not any("the sun of its place" in note for note in night(sheet, weather).warnings)
    late = {name: np.roll(getattr(weather, name), 1) for name in ("ghi", "dni", "dhi")}
    off = replace(weather, digest=weather.digest + "-late", **late)
    assert any("the sun of its place" in note for note in night(sheet, off).warnings)


def test_a_cold_night_says_that_it_answers_for_heat_only():
    text = HOLDS.read_text(encoding="utf-8").replace("month: July", "month: January")
    answer = night(loads_text(text).with_value("heading", "S"))
    assert answer.holds
    assert any("about heat only" in note for note in answer.warnings)


def test_an_early_start_says_what_it_draws_before_bedtime():
    answer = night(load(HOLDS).with_value("heading", "S"))
    assert any("60 min before bedtime" in note for note in answer.warnings)


def test_many_short_runs_are_noted_with_what_their_starts_take():
    sheet = load(HOLDS).with_value("heading", "S")
    scene = set_scene(sheet, weather_of(sheet), 180.0)
    bedtime = nights(scene)[12]

    def run_with(path: str, value: float) -> tuple[WayResult, list[str]]:
        changed = changed_scene(scene, path, value)
        run = run_way(changed, "ac", bedtime)
        result = judge(run, changed.sheet, "ac", bedtime)
        part = night_rows(run, bedtime, changed.sheet)
        return result, list(short_runs(changed.sheet, run, part, result))

    result, (note,) = run_with("air_conditioner.minimum_run", 180.0)
    share = result.ac_starts * 45.0 / (3600.0 * result.ac_hours)
    assert f"starts {result.ac_starts} times" in note
    assert f"{share * result.ac_energy_wh:.0f} Wh in all, {share:.0%} of its energy. A" in note
    assert "a smaller unit or a varying speed takes less" in note.lower()
    # what it says of them is so in the model
    longer, none = run_with("air_conditioner.minimum_run", 600.0)
    assert longer.ac_starts < result.ac_starts / 2
    assert not none
    wider, _ = run_with("air_conditioner.differential", 4.0)
    assert wider.ac_starts < result.ac_starts
    varied, (told,) = run_with("air_conditioner.speed", "variable")
    assert varied.ac_energy_wh < result.ac_energy_wh
    assert "or a lower floor takes less" in told
    _, (wet,) = run_with("air_conditioner.blower", "continuous")
    assert "gives the coil's water back" in wet


def test_ribs_that_cannot_bridge_as_much_as_said_are_noted():
    answer = night(load(data_path("scenarios", "fails-on-heat.yaml")).with_value("heading", "S"))
    assert any("bare steel reach a bridging factor of 1." in note for note in answer.warnings)


def test_panels_that_do_not_fit_are_noted():
    sheet = load(HOLDS).with_value("heading", "S").with_value("roof_panels.power", "2000 W")
    assert any("do not fit" in note for note in night(sheet).warnings)


@pytest.mark.parametrize("rating", ["500 W", "1200 W"])
def test_an_inverter_smaller_than_the_unit_is_refused(rating):
    with pytest.raises(SheetError, match="at least the 1300 W of the air conditioner"):
        night(load(HOLDS).with_value("inverter.rating", rating))


@pytest.mark.parametrize(
    ("window", "way", "said"),
    [
        ("cover: insulated, open: night", "fans", "hatch: its cover (insulated) is shut while"),
        ("cover: outside mat, open: always", "fans", "hatch: its cover (outside mat) is shut"),
        ("cover: insulated, covered: '6:00 to 9:00', open: '8:00 to 9:00'", "closed", "hatch: its"),
        # nobody cools with open windows: the note is of the column beside
        ("cover: insulated, open: night", "ac", "hatch: with fans only, its cover"),
        ("cover: curtain, open: night", "fans", ""),
        ("cover: insulated, cover edge: hanging, open: night", "fans", ""),
        ("cover: insulated, covered: night, open: day", "fans", ""),
        ("cover: insulated, covered: never, open: night", "fans", ""),
        ("cover: none, open: always", "fans", ""),
    ],
)
def test_a_window_open_under_its_cover_is_noted(window, way, said):
    unit = "{capacity: 3.5 kW, power: 1200 W, airflow: 300 CFM, blower power: 100 W}"
    sheet = loads_text(
        "site: miami\nbody: long high van\n"
        "stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}\n"
        f"windows: [{{name: hatch, side: left, area: 0.3 m2, opening: 0.2 m2, {window}}}]\n"
        f"air conditioner: {unit}\n"
    )
    notes = list(covered_openings(sheet, way))
    assert len(notes) == bool(said)
    for note in notes:
        assert note.startswith(said)
        assert note.endswith("its air is taken as if no cover were there")


def test_what_a_heater_after_the_first_holds_is_told():
    held = np.full((3, N_DEVICES), np.nan)
    held[:, HEAT_PUMP], held[1:, BURNER] = 18.0, 16.0
    run = SimpleNamespace(
        plan=SimpleNamespace(
            schedule=SimpleNamespace(heat_setpoint=held),
            power=SimpleNamespace(ruled=SimpleNamespace(heat_order=HEAT_SOURCES[:1])),
        ),
        segment=np.arange(3),
    )
    (note,) = _later_heaters(run, slice(0, 3))
    assert note.startswith("the fuel heater heats after the heat pump and holds 16 °C")
    assert not list(_later_heaters(run, slice(0, 1)))
