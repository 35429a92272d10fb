"""Sheets from text: the good ones, and one clear error for each bad one."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.errors import SheetError, VanclimateError
from vanclimate.van.reading import load, loads_text

SCENARIOS = Path(__file__).parents[2] / "scenarios"
GOOD = Path(__file__).with_name("good.yaml").read_text(encoding="utf-8")
SMALLEST = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
"""


def refusal(text: str) -> SheetError:
    with pytest.raises(SheetError) as error:
        loads_text(text, "my-van.yaml")
    assert error.value.file == "my-van.yaml"
    assert "my-van.yaml" in str(error.value)
    assert "\n" not in str(error.value)
    return error.value


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


@pytest.mark.parametrize("name", ["holds", "fails-on-charge", "fails-on-heat"])
def test_each_scenario_is_read_and_says_that_it_is_invented(name):
    sheet = load(SCENARIOS / f"{name}.yaml")
    assert "Invented for this project" in sheet.note
    assert sheet.file == f"{name}.yaml"
    assert sheet.folder == SCENARIOS
    assert sheet.notes == ()


def test_keys_may_be_spelt_with_spaces_hyphens_underscores_and_capitals():
    for spelling in ("rib share", "rib_share", "Rib-Share", "RIB SHARE"):
        sheet = loads_text(GOOD.replace("rib share", spelling))
        assert sheet.body.rib_share == pytest.approx(0.10)


def test_texts_stay_what_they_are():
    sheet = loads_text(GOOD.replace("by day: on", "by day: no"))
    assert sheet.people.bedtime == 22 * 60 + 30  # 22:30 is no number in base 60
    assert sheet.fans.by_day is False
    assert sheet.air_conditioner is not None
    assert sheet.air_conditioner.by_day is None


CASES = {
    "unknown key": ("  length:", "  lenght:", "lenght", "body.lenght", "length"),
    "unknown section": ("inverter:", "invertor:", "invertor:", "invertor", "inverter"),
    "missing unit": ("70 in", "70", "width: 70", "body.width", "mm"),
    "unknown unit": ("70 in", "70 zonks", "70 zonks", "body.width", "in"),
    "wrong unit": ("70 in", "70 W", "70 W", "body.width", "in"),
    "negative length": ("12 ft 6 in", "-3 m", "-3 m", "body.length", "1.5 m to 14 m"),
    "limits in the writer's units": ("12 ft 6 in", "2 in", "2 in", "body.length", "59.06 in"),
    "negative thickness": ("plywood 6 mm", "plywood -6 mm", "-6 mm", "stacks.walls", "0.01 mm"),
    "absurd thickness": ("plywood 6 mm", "plywood 1e30 mm", "1e30", "stacks.walls", "500 mm"),
    "no thickness": ("XPS 1 in", "XPS", "XPS", "stacks.floor", "thickness"),
    "unknown material": ("XPS 1 in", "plwood 1 in", "plwood", "stacks.floor", "layer"),
    "unknown gauge": ("20 gauge", "99 gauge", "99 gauge", "stacks.walls", "8 to 28"),
    "gauge of plywood": ("steel 20 gauge", "plywood 20 gauge", "20 gauge", "stacks.walls", "steel"),
    "NaN": ("1300 W", "nan W", "nan W", "air conditioner.power", "W"),
    "YAML's NaN": ("1300 W", ".nan", ".nan", "air conditioner.power", "W"),
    "infinity": ("1300 W", "inf W", "inf W", "air conditioner.power", "W"),
    "overflow": ("1300 W", "1e999 W", "1e999", "air conditioner.power", "W"),
    "unknown word": ("colour: white", "colour: whit", "colour: whit", "body.colour", "white"),
    "impossible date": ("night: hottest", "night: 02-30", "02-30", "night", "exists"),
    "30 February": ("night: hottest", "night: 30 Feb", "30 Feb", "night", "exists"),
    "date of another month": ("night: hottest", "night: 08-03", "08-03", "night", "July"),
    "equal times": ("waking: 07:00", "waking: 22:30", "22:30", "people.waking", "bedtime"),
    "equal times at home": ("18:00 to 09:00", "18:00 to 18:00", "18:00", "people.home", "differ"),
    "home without the night": ("18:00 to 09:00", "09:00 to 18:00", "09:00", "people.home", "night"),
    "impossible time": ("bedtime: 22:30", "bedtime: 25:30", "25:30", "people.bedtime", "22:30"),
    "a number for a share": ("cy: 90 %", "cy: 90", "cy: 90", "inverter", "%"),
    "heading": ("heading: unknown", "heading: SWW", "SWW", "heading", "SW"),
    "text for a section": ("inverter: {idle: 20 W, efficiency: 90 %, rating: 3000 W}",
                           "inverter: good", "inverter", "inverter", "section"),
    "list for a section": ("inverter: {idle: 20 W, efficiency: 90 %, rating: 3000 W}",
                           "inverter: [a]", "inverter", "inverter", "section"),
    "section for a text": ("width: 70 in", "width: {a: b}", "{a: b}", "body.width", "value"),
    "nothing after the key": ("month: July", "month:", "month:", "month", "value"),
    "nothing for the site": ("site: greensboro", "site:", "site:", "site", "place"),
    "two loads of one name": ("name: lights", "name: fridge", "loads:", "loads", "own"),
    "blower above the whole": ("power: 1300 W", "power: 100 W", "blower power",
                               "air conditioner.blower power", "less"),
}  # fmt: skip


@pytest.mark.parametrize(
    ("line", "found", "allowed"),
    [
        ("body: [long, wide]", "a list",
         "a section of keys, 'kind:', 'length:', 'width:' and so on, with their values, or a kind "
         "of body"),
        ("fans: two", "two",
         "a section of keys, 'count:', 'flow:', 'power:' and so on, with their values"),
        ("fans: [two]", "a list",
         "a section of keys, 'count:', 'flow:', 'power:' and so on, with their values"),
        ("vents: two", "two", "a section of keys, 'high:', 'low:', with their values, or none"),
        ("stacks: steel", "steel",
         "a section of keys, 'roof:', 'walls:', 'floor:' and so on, with their values"),
        ("windows: [left]", "left",
         "a section of keys, 'name:', 'side:', 'area:' and so on, with their values"),
    ],
)  # fmt: skip
def test_where_a_section_belongs_its_keys_are_named(line, found, allowed):
    key = line.partition(":")[0]
    rows = [
        "site: miami",
        "body: long high van",
        "stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}",
    ]
    text = "\n".join([*(row for row in rows if not row.startswith(f"{key}:")), line, ""])
    error = refusal(text)
    assert error.line == line_of(text, line)
    assert (error.key or "").startswith(key)
    assert (error.found, error.allowed) == (found, allowed)


@pytest.mark.parametrize("case", CASES)
def test_a_bad_value_gives_its_line_key_and_what_is_allowed(case):
    old, new, at, key, allowed = CASES[case]
    assert old in GOOD
    text = GOOD.replace(old, new, 1)
    error = refusal(text)
    assert error.line == line_of(text, at)
    assert error.key is not None
    assert error.key.startswith(key)
    assert error.found
    assert allowed in (error.allowed or "")


def test_near_spellings_are_offered():
    assert "did you mean 'length'?" in str(refusal(GOOD.replace("  length:", "  lenght:")))
    assert "did you mean 'plywood'?" in str(refusal(GOOD.replace("XPS 1 in", "plwood 1 in")))
    assert "did you mean '90 %'?" in str(refusal(GOOD.replace("cy: 90 %", "cy: 90")))


def test_a_key_given_twice_in_another_spelling():
    text = GOOD.replace("month: July", "month: July\nMonth: May")
    error = refusal(text)
    assert error.line == line_of(text, "Month: May")
    assert error.key == "Month"


def test_a_missing_section_names_itself():
    error = refusal("site: miami\nstacks: {roof: [steel 1 mm]}\n")
    assert "body" in str(error) or "walls" in str(error)
    assert "the key is missing" in str(error)


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        ("", None, "empty"),
        ("# only a comment\n", None, "empty"),
        ("- a\n- b\n", 1, "a list"),
        ("hello\n", 1, "hello"),
        ("site: miami\n\tbody: x\n", 2, "a tab"),
        ("site: mi\0ami\n", 1, "a NUL byte"),
        ("site: mi\x07ami\n", 1, "U+0007"),
        ("site: !!python/object/apply:os.system [ls]\n", 1, "python"),
        ("site: !custom x\n", 1, "!custom"),
        ("site: &here miami\n", 1, "&here"),
        ("site: *here\n", 1, "*here"),
        ("? {a: b}\n: c\n", 1, "a section as a key"),
        ("site: miami\n---\nsite: miami\n", 2, "a second document"),
        ("site: {miami\n", None, ""),
        ("a: " + "[" * 5000, 1, ""),
        ("a: " + "{b: " * 5000, 1, "too deep"),
        ("a: [" + "x, " * 30_000 + "x]", 1, "too long"),
        ("a: " + "x" * 1_100_000, None, "1 MB"),
        ("a: " + "1 x " * 200_000, 1, "letters in one value"),
    ],
)
def test_what_is_no_sheet_is_refused(text, line, found):
    error = refusal(text)
    if line is not None:
        assert error.line == line
    assert found in str(error)
    assert error.allowed


def test_an_anchor_bomb_is_refused_at_once():
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 10)}]" for i in range(1, 12)]
    start = time.perf_counter()
    error = refusal("\n".join(rows))
    assert error.found == "&a0"
    assert time.perf_counter() - start < 1.0


def test_files_that_are_no_sheets(tmp_path):
    with pytest.raises(SheetError, match="a folder"):
        load(tmp_path)
    with pytest.raises(SheetError, match="no such file"):
        load(tmp_path / "nothing.yaml")
    binary = tmp_path / "latin.yaml"
    binary.write_bytes(b"site: miami\nname: caf\xe9\n")
    with pytest.raises(SheetError, match=r"latin.yaml, line 2: found 'byte 0xe9'.*UTF-8"):
        load(binary)
    big = tmp_path / "big.yaml"
    big.write_bytes(b"#" * 1_000_001)
    with pytest.raises(SheetError, match="1 MB"):
        load(big)
    with pytest.raises(SheetError):
        load("a\0b")


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may read everything")
def test_an_unreadable_file(tmp_path):
    path = tmp_path / "locked.yaml"
    path.write_text(GOOD, encoding="utf-8")
    path.chmod(0)
    with pytest.raises(SheetError, match="Permission denied"):
        load(path)


def test_a_file_that_may_not_be_read(tmp_path, monkeypatch):
    def deny(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    path = tmp_path / "locked.yaml"
    path.write_text(GOOD, encoding="utf-8")
    monkeypatch.setattr("vanclimate.van.textfile.open", deny, raising=False)
    with pytest.raises(SheetError, match=r"locked.yaml.*Permission denied"):
        load(path)


def test_a_byte_order_mark_and_windows_line_ends_are_fine(tmp_path):
    path = tmp_path / "notepad.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert load(path).body == loads_text(GOOD).body


def test_a_design_day_in_place_of_a_site():
    day = (
        "site:\n  design day: "
        "{low: 75 F, high: 97 F, latitude: 33.4, humidity: 40 %, date: 15 July}"
    )
    sheet = loads_text(GOOD.replace("site: greensboro", day))
    made_up = sheet.site.design_day
    assert made_up is not None
    assert made_up.high == pytest.approx(36.111, abs=1e-3)
    assert (made_up.date.month, made_up.date.day) == (7, 15)
    error = refusal(GOOD.replace("site: greensboro", day.replace("33.4", "133.4")))
    assert error.line == 5
    assert error.key == "site.design day.latitude"
    assert "more" in str(refusal(GOOD.replace("site: greensboro", day.replace("97 F", "70 F"))))


def test_heavy_libraries_are_not_imported_for_a_sheet():
    code = (
        "import sys; from vanclimate.van import load; "
        f"load({str(SCENARIOS / 'holds.yaml')!r}); "
        "print(sorted({'pint', 'pandas', 'pvlib', 'numba', 'numpy', 'scipy'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@settings(deadline=None)
@given(st.text(max_size=200))
def test_any_text_gives_a_sheet_or_our_error(text):
    with pytest.raises(VanclimateError):  # too short to be a whole sheet
        loads_text(text)


@settings(deadline=None, max_examples=150)
@given(st.sampled_from(GOOD.split("\n")), st.text(max_size=12), st.integers(0, 40))
def test_a_spoilt_line_gives_a_sheet_or_our_error(line, extra, at):
    spoilt = line[:at] + extra + line[at:]
    try:
        sheet = loads_text(GOOD.replace(line, spoilt, 1))
    except VanclimateError as error:
        message = str(error)
        assert "\n" not in message
    else:
        assert sheet.body.length > 0


@settings(deadline=None, max_examples=100)
@given(
    st.recursive(
        st.sampled_from(
            ["3 m", "white", "on", "22:30", "none", "R-13 glass wool", "foil", "1e400"]
        ),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(["length", "material", "when", "design day", "roof", "name", "x"]),
                inner,
                max_size=3,
            )
        ),
        max_leaves=8,
    ),
    st.sampled_from(["site", "body", "stacks", "windows", "people", "shade", "loads", "night"]),
)
def test_any_shape_in_any_place_gives_a_sheet_or_our_error(value, key):
    import json

    text = "\n".join(r for r in SMALLEST.split("\n") if not r.startswith(key))
    try:
        sheet = loads_text(f"{text}\n{key}: {json.dumps(value)}\n")
    except VanclimateError as error:
        message = str(error)
        assert message.startswith("sheet")
    else:
        assert sheet.guessed
