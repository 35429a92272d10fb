"""Blocks in two columns, and drawings as small as one sheet needs."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from markupsafe import Markup

from vanclimate.page.columns import LEAST, columns
from vanclimate.page.parts import Block, Picture, Table


def drawn(height: float, *, wide: bool = False) -> Block:
    picture = Picture(Markup(f'<svg viewBox="0 0 340 {height}"></svg>'))
    return Block(f"{height}", picture=picture, wide=wide)


@given(st.lists(st.tuples(st.floats(20, 400), st.booleans()), max_size=15))
def test_every_block_stands_once_in_order_and_wide_ones_alone(kinds):
    blocks = [drawn(height, wide=wide) for height, wide in kinds]
    groups, _ = columns(blocks)
    found = [pair for group in groups for side in group for pair in side]
    assert sorted(number for number, _ in found) == list(range(1, len(blocks) + 1))
    assert all(blocks[number - 1] is block for number, block in found)
    for group in groups:
        for side in group:
            assert [number for number, _ in side] == sorted(number for number, _ in side)
        assert not any(block.wide for side in group for _, block in side) or (
            len(group.left) == 1 and not group.right
        )


@given(st.lists(st.floats(20, 400), min_size=2, max_size=12))
def test_columns_are_as_even_as_may_be(heights):
    (group,), share = columns(drawn(height) for height in heights)

    def tall(side) -> float:
        return sum(share * (heights[number - 1] + 6.0) + 22.0 for number, _ in side)

    off = abs(tall(group.left) - tall(group.right))
    for number, _ in group.left[1:] + group.right:  # moving any one block helps nothing
        moved = share * (heights[number - 1] + 6.0) + 22.0
        sign = 1.0 if any(number == n for n, _ in group.left) else -1.0
        assert off <= abs(tall(group.left) - tall(group.right) - 2.0 * sign * moved) + 1e-6


def test_drawings_shrink_with_what_stands_beside_them_and_no_further_than_can_be_read():
    few, more = [drawn(300.0)] * 4, [drawn(300.0)] * 7
    assert columns(few)[1] == 1.0
    assert LEAST <= columns(more)[1] < 1.0
    lines = Block("a", table=Table(("a", "b"), (("x", "y"),) * 80))
    assert columns([*more, lines, lines])[1] == LEAST


def test_columns_are_even_once_their_drawings_have_shrunk():
    """Words stay as tall: columns even at full size are not so on paper, and one runs over."""
    rows = Block("rows", table=Table(("a", "b"), (("x", "y"),) * 65))
    (group,), share = columns([rows, *[drawn(300.0)] * 4])
    assert share < 1.0
    assert len(group.left) == 1
