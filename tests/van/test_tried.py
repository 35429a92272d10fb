"""Stacks to try and prices: how a sheet gives them, and what is refused with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from vanclimate.errors import SheetError, UnitError
from vanclimate.units import FT, IN
from vanclimate.van.layers import finish_stack
from vanclimate.van.prices import read_cost, write_cost
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet
from vanclimate.van.summary import echo
from vanclimate.van.tried import listed_stack

GOOD = (Path(__file__).parent / "good.yaml").read_text(encoding="utf-8")
LINES = GOOD.count("\n")


def read(more: str) -> Sheet:
    return loads_text(f"{GOOD}\n{more}\n", "van.yaml")


def test_a_text_with_commas_is_a_stack_and_a_section_says_more():
    text, full, bare = read(
        "stacks to try:\n"
        "  - foil, air gap 20 mm\n"
        "  - {name: foam, layers: [sprayed foam 2 in], roof: [XPS 1 in], rib cover: 12 mm}\n"
        "  - {name: bare, layers: none, floor: [cork 5 mm]}"
    ).stacks_to_try
    assert text.name == "foil, air gap 20 mm"
    assert [x.material for x in text.of("left")] == ["foil", "air gap"]
    assert full.of("roof")[0].material == "XPS"
    assert full.of("walls")[0].material == "sprayed foam"
    assert full.of("floor") is None  # keeps its own
    assert full.rib_cover == pytest.approx(0.012)
    assert text.rib_cover is None
    assert bare.of("rear") == ()
    assert bare.of("floor")[0].material == "cork"


@pytest.mark.parametrize(
    ("more", "line", "said"),
    [
        ("stacks to try: []", 1, "no stack"),
        ("stacks to try:\n  - XPS 1 in\n  - {name: x}", 3, "nothing"),
        ("stacks to try:\n  - XPS 1 in\n  - {name: x, layers: []}", 3, "no layer"),
        ("stacks to try:\n  - XPS 1 in\n  - unobtainable 1 in", 3, "item 2.layers item 1"),
        ("stacks to try:\n  - XPS 1 in\n  - XPS 1 in", 1, "twice"),
        ("stacks to try:\n  - air gap 1 in, air gap 2 in", 2, "two air gaps in a row"),
        (
            "stacks to try:\n  - {name: x, whole: yes, layers: [air gap 1 in, ply 6 mm]}",
            2,
            "at the",
        ),
        ("prices:\n  XPS: 14", 2, "what it buys is missing"),
        ("prices:\n  XPS: 14 per kg", 2, "per m2"),
        ("prices:\n  XPS: -14 per m2", 2, "per m2"),
        ("prices:\n  XPS: 14 EUR per m2\n  cork: 20 USD per m2", 3, "one currency, EUR"),
        ("prices:\n  foil: 14 per m3", 2, "by its area"),
        ("prices: [XPS]", 1, "a list"),
    ],
)
def test_what_cannot_be_is_one_line_with_its_place(more, line, said):
    with pytest.raises(SheetError) as caught:
        read(more)
    message = str(caught.value)
    assert message.startswith(f"van.yaml, line {LINES + 1 + line}, ")
    assert said in message
    assert "\n" not in message


@pytest.mark.parametrize(
    ("text", "per_m2_of_an_inch"),
    [
        ("14 per m2", 14.0),
        ("1.40 USD per square foot", 1.40 / FT**2),
        ("$2.10/board foot", 2.10 / FT**2),
        ("30 EUR per m2 of 50 mm", 30.0 * IN / 0.050),
        ("1,200 per m3", 1200.0 * IN),
        ("20 per cu ft", 20.0 / FT**3 * IN),
    ],
)
def test_a_price_buys_an_area_or_a_volume(text, per_m2_of_an_inch):
    assert read_cost(text).of(IN) == pytest.approx(per_m2_of_an_inch)


@pytest.mark.parametrize("text", ["2.1 USD per board foot", "3 per ft2", "4.5 € per m3"])
def test_a_price_is_read_back_as_it_is_written(text):
    cost = read_cost(text)
    for system in ("si", "us"):
        again = read_cost(write_cost(cost, system))
        assert again.of(IN) == pytest.approx(cost.of(IN), rel=1e-3)
        assert again[1:] == cost[1:]


@pytest.mark.parametrize("text", ["free", "per m2", "3 per m", "3 per m2 of 5", "3 per m2 of 1 m"])
def test_no_price_is_refused(text):
    with pytest.raises(UnitError):
        read_cost(text)


def test_prices_are_found_by_any_name_of_the_material():
    sheet = read("prices: {Spray-Foam: 2 USD per board foot, extruded polystyrene: 9 per m2}")
    foam, xps, wool = read(
        "stacks to try: [sprayed foam 2 in, XPS 1 in, sheep wool 1 in]"
    ).stacks_to_try
    assert sheet.prices.currency == "USD"
    assert sheet.prices.of(foam.layers[0]) == pytest.approx(4.0 / FT**2)
    assert sheet.prices.of(xps.layers[0]) == 9.0
    assert sheet.prices.of(wool.layers[0]) is None


def test_what_is_given_is_echoed_and_what_is_not_is_not():
    keys = [row.key for row in echo(read(""))]
    assert not [key for key in keys if key.startswith(("stacks to try", "prices"))]
    more = "stacks to try: [foil, XPS 1 in]\nprices: {cork: 2 per ft2}"
    rows = {row.key: row for row in echo(read(more))}
    assert rows["stacks to try (XPS 1 in).layers"].us.startswith("XPS 1 in")
    assert rows["prices.cork"].us == "2 per ft2"


def test_listed_layers_keep_foil_until_a_value_changes():
    text = GOOD.replace(
        "  walls: [", "  rear: [steel 1 mm, foil, air gap 20 mm, ply 6 mm]\n  walls: ["
    )
    sheet = loads_text(text)
    assert [x.material for x in listed_stack(sheet, "rear")][1] == "foil"
    assert finish_stack(listed_stack(sheet, "rear")) == sheet.stacks.rear
    assert listed_stack(sheet, "left") == listed_stack(sheet, "walls")
    changed = sheet.with_value("stacks.rear.2.thickness", 0.012)
    assert listed_stack(changed, "rear") == changed.stacks.rear
