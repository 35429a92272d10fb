"""Rooms in the sheet: what is guessed, what belongs where, and what is refused."""

from __future__ import annotations

import pytest

from vanclimate.errors import SheetError
from vanclimate.van import echo
from vanclimate.van.fields import specs
from vanclimate.van.reading import loads_text
from vanclimate.van.zones import DIVIDERS, Cab, Garage, PopTop

BASE = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
"""


def sheet_of(more: str):
    return loads_text(BASE + more, "van.yaml")


def refusal(more: str) -> SheetError:
    with pytest.raises(SheetError) as error:
        sheet_of(more)
    assert "\n" not in str(error.value)
    return error.value


@pytest.mark.parametrize("part", [Cab, Garage, PopTop])
def test_every_default_says_why(part):
    for name, spec in specs(part).items():
        assert spec.why, name


def test_without_a_room_all_is_one_zone_and_no_zone_is_guessed():
    sheet = sheet_of("")
    assert sheet.zones == ("living",)
    assert not [g.path for g in sheet.guessed if g.path.endswith(".zone")]
    assert not [row.key for row in echo(sheet) if row.key.endswith(".zone")]


def test_rooms_make_zones_the_living_space_first():
    assert sheet_of("garage: {height: 0.7 m}\ncab: curtain\n").zones == ("living", "cab", "garage")
    assert sheet_of("garage: {height: 0.7 m}\n").zones == ("living", "garage")
    assert sheet_of("cab: none\n").zones == ("living",)


@pytest.mark.parametrize("divider", DIVIDERS)
def test_a_cab_may_be_named_by_its_divider_alone(divider):
    cab = sheet_of(f"cab: {divider}\n").cab
    assert cab is not None
    assert cab.divider == divider
    assert bool(cab.divider_layers) == (divider != "open")
    assert cab.leakage_between > 0


def test_a_cab_fits_under_a_low_roof_and_a_kinds_cab_is_its_own():
    low = loads_text(BASE.replace("1.88 m", "1.2 m") + "cab: curtain\n").cab
    assert low is not None
    assert low.height == pytest.approx(1.2)
    kind = BASE.replace("{length: 3.6 m, width: 1.78 m, height: 1.88 m}", "long high van")
    cab = loads_text(kind + "cab: curtain\n").cab
    assert cab is not None
    assert (cab.length, cab.height) == (1.2, 1.4)
    with pytest.raises(SheetError, match="no cab opens into a box trailer"):
        loads_text(kind.replace("long high van", "box trailer") + "cab: curtain\n")


def test_the_usual_glass_is_the_cabs_where_a_cab_is_described():
    assert {w.zone for w in sheet_of("").windows} == {"living"}
    assert {w.zone for w in sheet_of("cab: curtain\n").windows} == {"cab"}


WINDOWS = """\
cab: curtain
windows:
  - {{name: windscreen, side: front, area: 1.3 m2}}
  - {{name: cab door left, side: left, area: 0.4 m2}}
  - {{name: {name}, side: left, area: 0.4 m2{zone}}}
  - {{name: rear, side: rear, area: 0.4 m2}}
"""


def test_glass_at_the_front_and_glass_named_cab_is_the_cabs():
    sheet = sheet_of(WINDOWS.format(name="kitchen", zone=", zone: living"))
    assert [w.zone for w in sheet.windows] == ["cab", "cab", "living", "living"]
    guesses = {g.path: g.text for g in sheet.guessed}
    assert guesses["windows.0.zone"] == "cab"
    assert "windows.2.zone" not in guesses


def test_a_side_window_that_may_be_either_must_say():
    error = refusal(WINDOWS.format(name="left door", zone=""))
    assert error.line == 8
    assert "zone: cab" in str(error)
    assert "left door" in str(error)


REFUSED = {
    "a zone that is not described": (
        "battery: {zone: garage}\n", "battery.zone", "living"),
    "a load in no zone": (
        "loads: [{name: fridge, power: 50 W, zone: cab}]\n", "loads item 1.zone", "living"),
    "two fridges apart": (
        "cab: curtain\nloads: [{name: a, power: 50 W, kind: fridge, zone: cab},"
        " {name: b, power: 50 W, kind: fridge}]\n", "loads", "one zone"),
    "an unknown zone": ("inverter: {zone: attic}\n", "inverter.zone", "garage"),
    "glass of the cab at the rear": (
        "cab: curtain\nwindows: [{name: w, side: rear, area: 0.3 m2, zone: cab}]\n",
        "windows item 1.side", "front"),
    "glass in the bed's deck": (
        "garage: {height: 0.7 m}\nwindows: [{name: w, side: roof, area: 0.3 m2, zone: garage}]\n",
        "windows item 1.side", "rear"),
    "an unknown divider": ("cab: door\n", "cab.divider", "bulkhead"),
    "an open bulkhead without a door": (
        "cab: {divider: bulkhead, drawn: night}\n", "cab.drawn", "opening"),
    "layers of an open divider": (
        "cab: {divider: open, divider layers: [canvas 1 mm]}\n", "cab.divider layers", "curtain"),
    "layers of an open front": (
        "garage: {front: open, front layers: [plywood 6 mm]}\n", "garage.front layers", "open"),
    "a deck of air": ("garage: {deck: [air gap 20 mm]}\n", "garage.deck", "solid"),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_is_refused_with_its_key(case):
    text, key, allowed = REFUSED[case]
    error = refusal(text)
    assert error.key == key
    assert error.line is not None
    assert allowed in str(error)


def test_guessed_layers_are_marked_and_shown_once_as_a_guess():
    sheet = sheet_of("cab: thick curtain\n")
    rows = [row for row in echo(sheet) if row.key.startswith("cab.divider layers")]
    assert len(rows) == 3
    assert all(row.guessed for row in rows)
    guess = next(g for g in sheet.guessed if g.path == "cab.divider_layers")
    assert guess.text == "curtain fabric 1 mm, polyester batt 10 mm, curtain fabric 1 mm"


ROOMED = """\
site: miami
body: pop-top van
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
cab: curtain
garage: {}
windows: [{name: left, side: left, area: 0.3 m2, zone: living}]
"""


def test_both_ends_of_each_guess_of_a_room_can_be_put_in():
    sheet = loads_text(ROOMED)
    ranged = [g for g in sheet.guessed if g.low is not None and g.high is not None]
    assert {"cab.length", "garage.height", "pop_top.leakage", "body.length"} <= {
        g.path for g in ranged
    }
    for guess in ranged:
        if isinstance(guess.low, float):
            assert guess.low <= guess.value <= guess.high, guess.path
        for end in (guess.low, guess.high):
            changed = sheet.with_value(guess.path, end)
            assert changed.value_of(guess.path) == end
            assert guess.path not in {g.path for g in changed.guessed}
            assert changed.zones == sheet.zones


@pytest.mark.parametrize(
    ("section", "idle"),
    [
        ("garage: {length: 1 m, height: 0.8 m, front: open}", ("garage.front_layers",)),
        ("cab: open", ("cab.drawn", "cab.divider_layers")),
        ("pop top: {raised: never}", ("pop_top.height", "pop_top.colour", "pop_top.sides")),
    ],
)
def test_what_a_room_does_not_have_is_not_guessed(section, idle):
    paths = [g.path for g in sheet_of(f"{section}\n").guessed]
    assert not [p for p in paths if p.startswith(idle)]
