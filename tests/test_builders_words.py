"""What a builder types on a first evening: read, or refused with a line that says what to type.

What does not belong here: what each section refuses (tests/van).
"""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.errors import SheetError, UnitError
from vanclimate.units import FT, IN, parse
from vanclimate.van.other_words import OTHER_WORDS, meant
from vanclimate.van.reading import loads_text
from vanclimate.van.schema import _all_keys
from vanclimate.van.sheet import Sheet
from vanclimate.van.summary import echo

GOOD = (Path(__file__).parent / "van" / "good.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("30 in x 18 in", "area", 30 * 18 * IN**2),
        ("30 x 18 in", "area", 30 * 18 * IN**2),
        ("0.7 m × 40 cm", "area", 0.28),
        ("2 ft by 1-1/2 ft", "area", 3 * FT**2),
        ("55 A at 12 V", "power", 660.0),
        ("4.5 A @ 12.8 V", "power", 57.6),
        ("3.84 kWh at 12.8 V", "charge", 300.0),
        ("2 x 200 W", "power", 400.0),
        ("4x100W", "power", 400.0),
        ("2 A x 12 V", "power", 24.0),
        ("3' 4", "length", 40 * IN),
    ],
)
def test_two_quantities_that_make_one_are_read(text, kind, value):
    assert parse(text, kind) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "hint"),
    [
        ("55 A", "power", "'55 A at 12 V'"),
        ("2 x 200", "power", "as in '200 W'"),
        ("3.8 kWh", "charge", "'3.8 kWh at 12.8 V'"),
        ("78", "temperature", "as in '78 F'"),
        ("40", "length", "as in '40 in'"),
        ("14", "area", "as in '14 ft2'"),
        ("8000", "heat_rate", "as in '8000 BTU/h'"),
        ("30 in x 18 V", "area", ""),
        ("5 A at 0 F", "power", ""),
        ("3 kWh at 0 V", "charge", ""),
        ("-30 in x -18 in", "area", ""),
    ],
)
def test_what_cannot_be_read_says_how_it_could(text, kind, hint):
    with pytest.raises(UnitError) as error:
        parse(text, kind)
    assert hint in error.value.hint


def test_each_other_word_names_a_key_that_there_is():
    keys = {part for key in _all_keys(Sheet, "") for part in key.split(".")}
    assert set(OTHER_WORDS.values()) <= keys
    assert meant("Solar", ["shore", "roof panels"]) == "did you mean 'roof panels'?"
    assert meant("watts", ["idle", "rating"]) == "did you mean 'rating'?"
    assert meant("amps", ["name", "power"]) == "did you mean 'power'?"
    assert meant("tightness", ["colour", "leakage"]) == "did you mean 'leakage'?"
    assert meant("solar", ["shore"]) == ""


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("stacks:", "insulation:", "other keys (did you mean 'stacks'?"),
        ("month: July", "month: Juli", "did you mean 'July'?"),
        ("bedtime: 22:30", "bedtime: 10:30", "10:30 is in the morning"),
        ("units: us\n", "units: us\nshade light tree\n", "a line that has no ': '"),
    ],
)
def test_a_slip_is_met_in_a_builders_words(old, new, says):
    assert old in GOOD
    with pytest.raises(SheetError) as error:
        loads_text(GOOD.replace(old, new, 1), "van.yaml")
    assert says in str(error.value)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ("driving: 60 miles a day", "hours, not distance"),
        ("heater: {fuel: gas}", "gasoline is 'petrol'; bottled gas, 'propane'"),
        ("heater: {tank: main tank}", "write 'supply: main tank'"),
        ("loads: [blender]", "as in {name: blender, power: 300 W}"),
        ("spare circuits: {name: lamp", "a { that is not closed"),
        ("shore: [1", "a [ that is not closed"),
        ("driving: 3 h\n   from: 9:00", "a key deeper than the line above"),
        ("garage:\n  height: 30 in\n length: 3 ft", "a line indented otherwise"),
    ],
)
def test_more_slips(lines, says):
    with pytest.raises(SheetError) as error:
        loads_text(f"{_without(GOOD, 'loads', 'heater', 'driving')}\n{lines}\n", "van.yaml")
    assert says in str(error.value)


def test_all_problems_of_a_sheet_are_told_at_once(tmp_path):
    sheet = tmp_path / "van.yaml"
    sheet.write_text(
        GOOD.replace("month: July", "month: Juli").replace("sleepers: 2", "sleepers: two")
    )
    result = CliRunner().invoke(cli.app, ["check", str(sheet)])
    assert result.exit_code == 2
    first, second = result.stderr.splitlines()
    assert "month: found 'Juli'" in first
    assert first.endswith("and 1 more problem in this sheet)")
    assert "people.sleepers: found 'two'" in second


def test_remedies_take_one_row_of_the_check():
    rows = [row for row in echo(loads_text(GOOD, "van.yaml")) if row.key.startswith("remed")]
    assert [row.key for row in rows] == ["remedies"]
    assert rows[0].si.startswith("roof panels, battery")


def _without(text: str, *sections: str) -> str:
    """Return a sheet without some sections at its top."""
    kept, skip = [], False
    for line in text.splitlines():
        if line[:1] not in ("", " ", "#", "-"):
            skip = line.split(":")[0] in sections
        if not skip:
            kept.append(line)
    return "\n".join(kept)


def test_sides_that_are_built_alike_are_named_as_a_list():
    from vanclimate.answers.damp import _names

    class Side:
        def __init__(self, name: str) -> None:
            self.name = name

    def names(*words: str) -> str:
        return _names([Side(word) for word in words])

    assert names("left cavity", "right cavity", "rear cavity") == "left, right and rear"
    assert names("pop top left", "pop top rear") == "pop top's left and rear"
    assert names("roof") == "roof"
