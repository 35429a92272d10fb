"""Guesses, changed copies, the echo, and the sheet to start from."""

import hashlib
import re
from pathlib import Path

import pytest

from vanclimate.errors import OptionError, SheetError
from vanclimate.van import echo, new_sheet_text, write_new
from vanclimate.van.air import Doors, Fans, Vents
from vanclimate.van.battery import Battery
from vanclimate.van.cooling import AirConditioner
from vanclimate.van.fields import specs
from vanclimate.van.inverter import Inverter
from vanclimate.van.parts import Body, People
from vanclimate.van.reading import load, loads_text

GOOD_FILE = Path(__file__).with_name("good.yaml")
GOOD = GOOD_FILE.read_text(encoding="utf-8")
SMALLEST = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
"""


def test_what_is_left_out_is_guessed_in_order():
    sheet = loads_text(SMALLEST)
    paths = [guess.path for guess in sheet.guessed]
    assert paths.index("month") < paths.index("body.leakage") < paths.index("battery.capacity")
    assert "windows" in paths
    assert "loads" in paths
    assert len(paths) == len(set(paths))
    assert sheet.air_conditioner is None
    assert sheet.roof_panels.power == 0
    assert sheet.heading is None


def test_what_is_given_is_no_guess():
    given = {guess.path for guess in load(GOOD_FILE).guessed}
    assert not given & {"month", "body.leakage", "battery.capacity", "people.limit", "windows"}
    assert "body.rib_bridging" in given


@pytest.mark.parametrize("text", [SMALLEST, GOOD], ids=["smallest", "whole"])
def test_each_guess_says_why_and_lies_in_its_range(text):
    sheet = loads_text(text)
    for guess in sheet.guessed:
        assert guess.why
        assert guess.text
        if isinstance(guess.low, float) and isinstance(guess.high, float):
            assert guess.low <= guess.value <= guess.high
            assert guess.low < guess.high


@pytest.mark.parametrize("text", [SMALLEST, GOOD], ids=["smallest", "whole"])
def test_both_ends_of_each_range_can_be_put_in(text):
    sheet = loads_text(text)
    for guess in sheet.guessed:
        for end in (guess.low, guess.high):
            if end is not None:
                changed = sheet.with_value(guess.path, end)
                assert changed.value_of(guess.path) == end
                assert guess.path not in {g.path for g in changed.guessed}


def test_ranges_of_the_guesses_that_matter():
    guesses = {guess.path: guess for guess in loads_text(SMALLEST).guessed}
    assert (guesses["body.leakage"].low, guesses["body.leakage"].high) == (25e-4, 150e-4)
    assert (guesses["body.rib_bridging"].low, guesses["body.rib_bridging"].high) == (1.2, 2.0)
    assert "blower-door" in (guesses["body.leakage"].settle or "")
    guesses |= {g.path: g for g in loads_text(SMALLEST + "inverter: {rating: 2 kW}\n").guessed}
    assert (guesses["inverter.efficiency"].low, guesses["inverter.efficiency"].high) == (0.85, 0.93)


def test_defaults_that_follow_from_others():
    sheet = loads_text(SMALLEST + "battery: {capacity: 400 Ah}\nroof panels: {power: 400 W}\n")
    assert sheet.body.furnishing == pytest.approx(60 * 3.6 * 1.78)
    assert sheet.battery.resistance == pytest.approx(0.001)
    assert sheet.roof_panels.area == pytest.approx(2.12)
    bigger = sheet.with_value("battery.capacity", 800.0)
    assert bigger.battery.resistance == pytest.approx(0.0005)


def test_a_changed_copy_leaves_the_sheet_alone():
    sheet = loads_text(GOOD)
    changed = sheet.with_value("body.leakage", 0.015)
    assert changed.body.leakage == 0.015
    assert sheet.body.leakage == pytest.approx(0.006)
    assert sheet.with_value("Body.Leakage", "150 cm2").body.leakage == pytest.approx(0.015)
    assert sheet.with_value("loads.1.power", 30.0).loads[1].power == 30
    assert sheet.with_value("air conditioner", None).air_conditioner is None
    with pytest.raises(OptionError, match="did you mean 'leakage'"):
        sheet.with_value("body.leekage", 1.0)
    with pytest.raises(OptionError, match="cm2"):
        sheet.with_value("body.leakage", 1e9)
    for path in ("body", "loads", "loads.0", "stacks.walls"):
        with pytest.raises(OptionError, match="a path such as"):
            sheet.with_value(path, "[steel 0.9 mm, XPS 25 mm]")


def test_the_digest_is_of_the_text_and_of_the_changes():
    sheet = loads_text(GOOD)
    assert sheet.digest == hashlib.sha256(GOOD.encode()).hexdigest()
    changed = sheet.with_value("body.leakage", 0.015)
    assert changed.digest != sheet.digest
    assert changed.digest == loads_text(GOOD).with_value("body.leakage", 0.015).digest


def test_a_sheet_is_frozen():
    sheet = loads_text(GOOD)
    with pytest.raises(ValueError, match="frozen"):
        sheet.body.length = 1.0


@pytest.mark.parametrize(
    ("bedtime", "waking", "minutes"),
    [("22:30", "07:00", 510), ("01:00", "09:00", 480), ("10:30 pm", "7 am", 510)],
)
def test_waking_before_bedtime_is_the_next_morning(bedtime, waking, minutes):
    people = loads_text(SMALLEST + f"people: {{bedtime: {bedtime}, waking: {waking}}}\n").people
    assert people.sleep_minutes == minutes
    span = (people.home_until - people.home_from) % 1440
    assert (people.bedtime - people.home_from) % 1440 + minutes <= span


@pytest.mark.parametrize(
    ("text", "beam", "diffuse"),
    [("none", 1, 1), ("40 %", 0.6, 0.6), ("{beam transmission: 20 %}", 0.2, 1)],
)
def test_shade(text, beam, diffuse):
    shade = loads_text(SMALLEST + f"shade: {text}\n").shade
    assert shade.beam_transmission == pytest.approx(beam)
    assert shade.diffuse_transmission == pytest.approx(diffuse)


def test_words_for_no_such_part():
    sheet = loads_text(SMALLEST + "windows: none\nloads: none\nair conditioner: none\n")
    assert sheet.windows == ()
    assert sheet.loads == ()
    assert sheet.air_conditioner is None


def test_a_day_brings_its_month():
    sheet = loads_text(SMALLEST + "night: 3 August\n")
    assert (sheet.night, sheet.month) == ("08-03", 8)


def test_times_of_loads():
    load = "loads: [{name: kettle, power: 1 kW, when: [7:00 to 7:10, 22:00 to 00:10]}]\n"
    assert loads_text(SMALLEST + load).loads[0].when == ((420, 430), (1320, 10))
    with pytest.raises(SheetError, match="overlap"):
        loads_text(SMALLEST + load.replace("22:00 to 00:10", "7:05 to 8:00"))
    with pytest.raises(SheetError, match="overlap"):
        loads_text(SMALLEST + load.replace("22:00 to 00:10", "22:00 to 7:05"))


def test_holding_a_temperature_by_day():
    sheet = loads_text(GOOD.replace("by day: off", "by day: hold 77 F"))
    assert sheet.air_conditioner is not None
    assert sheet.air_conditioner.by_day == pytest.approx(25)


def test_the_echo_shows_both_systems_and_each_guess():
    sheet = loads_text(GOOD)
    rows = {row.key: row for row in echo(sheet)}
    assert rows["body.width"].si == "1.778 m"
    assert rows["body.width"].us == "70 in"
    assert rows["body.width"].line == 13
    assert not rows["body.width"].guessed
    assert rows["body.rib bridging"].guessed
    assert rows["body.rib bridging"].why.startswith("assumed")
    assert sum(row.guessed for row in rows.values()) == len(sheet.guessed)


def test_a_refusal_knows_its_line():
    with pytest.raises(SheetError) as error:
        loads_text(GOOD, "x.yaml").refuse("windows", found="9 m2", allowed="less than 5 m2")
    assert str(error.value) == "x.yaml, line 24, windows: found '9 m2'; allowed: less than 5 m2"


def test_the_sheet_to_start_from_can_be_run_and_explains_itself():
    text = new_sheet_text()
    sheet = loads_text(text)
    assert sheet.air_conditioner is not None
    assert sheet.notes == ()
    assert text.count("#") > 25


def test_the_lines_that_the_new_sheet_keeps_as_comments_can_be_used():
    text = re.sub(r"^# (cab|garage|pop top):", r"\1:", new_sheet_text(), flags=re.MULTILINE)
    text = text.replace("    # zone: cab", "    zone: cab").replace("  # rear: [", "  rear: [")
    sheet = loads_text(text)
    assert sheet.zones == ("living", "cab", "garage")
    assert sheet.pop_top is not None
    assert sheet.stacks.rear is not None
    assert sheet.stacks.rear[1].inner_facing == 100.0
    assert sheet.body.kind == "long high van"
    assert {w.zone for w in sheet.windows} == {"cab"}


def test_a_new_sheet_never_overwrites(tmp_path):
    path = write_new(tmp_path / "van.yaml")
    assert path.read_text(encoding="utf-8") == new_sheet_text()
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(OptionError, match="never overwritten"):
        write_new(path)
    assert path.read_text(encoding="utf-8") == "mine"
    with pytest.raises(OptionError):
        write_new(tmp_path)
    with pytest.raises(OptionError, match="No such file"):
        write_new(tmp_path / "nowhere" / "van.yaml")
    (tmp_path / "link.yaml").symlink_to(tmp_path / "gone.yaml")
    with pytest.raises(OptionError):
        write_new(tmp_path / "link.yaml")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["link.yaml", "van.yaml"]


def test_without_hard_links_a_new_sheet_still_never_overwrites(tmp_path, monkeypatch):
    import os

    def refuse(*_: object) -> None:
        raise PermissionError("no hard links here")

    monkeypatch.setattr(os, "link", refuse)
    path = write_new(tmp_path / "van.yaml")
    assert path.read_text(encoding="utf-8") == new_sheet_text()
    with pytest.raises(OptionError):
        write_new(path)
    assert [p.name for p in tmp_path.iterdir()] == ["van.yaml"]


@pytest.mark.parametrize(
    "part", [Body, People, Fans, Vents, Doors, AirConditioner, Battery, Inverter]
)
def test_every_default_says_why(part):
    for name, spec in specs(part).items():
        if not part.model_fields[name].is_required() and name not in ("kind", "curve", "installed"):
            assert spec.why, name
