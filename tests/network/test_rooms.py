"""Rooms add up to the body they are cut from."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.errors import SheetError
from vanclimate.network.rooms import rooms_of, side_areas, tent_areas
from vanclimate.van.reading import loads_text

BODY = """\
site: miami
body: {{length: {length} m, width: 1.8 m, height: {height} m}}
stacks:
  roof: [steel 1 mm, XPS 40 mm, plywood 6 mm]
  walls: [steel 1 mm, XPS {wall} mm, plywood 6 mm]
  floor: [plywood 12 mm]
"""
CAB = "cab: {{length: {cab_length} m, height: {cab_height} m}}\n"
GARAGE = "garage: {{length: {garage_length} m, height: {garage_height} m}}\n"


def sheet_of(text: str, more: str = "", **values: float):
    usual = {"length": 3.6, "height": 1.9, "wall": 40, "cab_length": 1.2, "cab_height": 1.4,
             "garage_length": 1.3, "garage_height": 0.8}  # fmt: skip
    return loads_text(text.format(**usual | values) + more, "van.yaml")


@settings(max_examples=30, deadline=None, derandomize=True, database=None)
@given(
    length=st.floats(2, 8), height=st.floats(1.5, 2.5), wall=st.floats(1, 200),
    cab_length=st.floats(0.7, 2), cab_height=st.floats(0.8, 1.5),
    garage_length=st.floats(0.3, 1.8), garage_height=st.floats(0.2, 1.3),
)  # fmt: skip
def test_outer_areas_volumes_and_furnishing_add_up(**values):
    values = {k: round(v, 4) for k, v in values.items()}
    one = sheet_of(BODY, **values)
    three = sheet_of(BODY + CAB + GARAGE, **values)
    whole, (living, cab, garage) = side_areas(one), rooms_of(three)
    for side in ("roof", "floor", "left", "right", "rear"):
        both = living.sides[side] + garage.sides.get(side, 0.0)
        assert both == pytest.approx(whole[side], rel=1e-12), side
    # the front of the body is open to the cab over the cab's height
    share = values["cab_height"] / values["height"]
    assert living.sides["front"] == pytest.approx(whole["front"] * (1 - share), rel=1e-9)
    outer = living.outer + cab.outer + garage.outer
    assert outer == pytest.approx(
        sum(whole.values()) + cab.outer - whole["front"] * share, rel=1e-12
    )
    assert living.volume + garage.volume == pytest.approx(
        values["length"] * 1.8 * values["height"], rel=1e-6
    )
    assert living.furnishing + garage.furnishing == pytest.approx(one.body.furnishing)
    assert cab.volume == pytest.approx(values["cab_length"] * 1.8 * values["cab_height"])


def test_a_sheet_without_rooms_has_one_as_large_as_ever():
    # worked by hand: √(3.6·1.9·(3.6 + 0.094)·(1.9 + 0.047 + 0.012)) for the flank
    (living,) = rooms_of(sheet_of(BODY))
    assert living.sides["left"] == pytest.approx((3.6 * 1.9 * 3.694 * 1.959) ** 0.5, rel=1e-9)
    assert living.volume == pytest.approx(3.6 * 1.8 * 1.9)
    assert living.way is None


def test_a_cab_has_no_rear_and_its_divider_is_its_section():
    _, cab = rooms_of(sheet_of(BODY + CAB))
    assert "rear" not in cab.sides
    (divider,) = cab.partitions
    assert divider.area == pytest.approx(1.8 * 1.4)
    assert divider.drawn == "night"
    assert cab.way is not None
    assert cab.way.open == "day"


def test_a_bulkhead_never_opens_and_an_open_cab_has_no_partition():
    _, shut = rooms_of(sheet_of(BODY, "cab: bulkhead\n"))
    assert shut.way is not None
    assert shut.way.open == "never"
    _, free = rooms_of(sheet_of(BODY, "cab: open\n"))
    assert free.partitions == ()
    assert free.way is not None
    assert free.way.open == "always"


def test_an_open_hold_breathes_over_its_whole_front():
    _, boarded = rooms_of(sheet_of(BODY + GARAGE))
    assert [p.name for p in boarded.partitions] == ["deck", "garage front"]
    assert boarded.way is not None
    assert boarded.way.opening == 0
    _, free = rooms_of(sheet_of(BODY, "garage: {height: 0.8 m, front: open}\n"))
    assert [p.name for p in free.partitions] == ["deck"]
    assert free.way is not None
    assert free.way.opening == pytest.approx(1.8 * 0.8)
    assert free.way.open == "always"


def test_a_lifted_roof_adds_its_fabric_and_its_air():
    top = "pop top: {length: 2 m, width: 1.2 m, height: 0.5 m, raised: always}\n"
    raised = sheet_of(BODY, top)
    assert sum(tent_areas(raised).values()) == pytest.approx(2 * (2 + 1.2) * 0.5)
    assert rooms_of(raised)[0].volume == pytest.approx(3.6 * 1.8 * 1.9 + 1.2)
    assert tent_areas(sheet_of(BODY, top.replace("always", "never"))) == {}


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ("cab: {height: 2 m}\n", "cab.height"),
        ("cab: {opening: 3 m2}\n", "cab.opening"),
        ("garage: {length: 3.5 m}\n", "garage.length"),
        ("garage: {height: 1.8 m}\n", "garage.height"),
        ("pop top: {length: 4 m}\n", "pop top.length"),
        ("pop top: {width: 2 m}\n", "pop top.width"),
    ],
)
def test_a_room_larger_than_its_body_is_refused(more, key):
    with pytest.raises(SheetError) as error:
        rooms_of(sheet_of(BODY, more))
    assert error.value.key == key
    assert error.value.line == 7


def test_layers_thicker_than_the_body_is_wide_are_refused():
    walls = "walls: [steel 1 mm, XPS 40 mm, plywood 6 mm]"
    thick = "walls: [XPS 500 mm, EPS 450 mm]"
    with pytest.raises(SheetError, match=r"1\.90 m of layers left and right") as error:
        side_areas(loads_text(BODY.format(length=3.6, height=1.9, wall=40).replace(walls, thick)))
    assert error.value.key == "stacks"
    assert "width of 1.80 m" in str(error.value)
