"""The technical sheet's blocks in two columns, and how small its drawings are for one sheet.

What does not belong here: what a block holds (parts.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from math import ceil
from typing import NamedTuple

from vanclimate.page.parts import Block, Both, Picture, Table

# On paper, in px of which a column is 340 wide as a drawing is: what sheets.css comes to.
COLUMN, WHOLE = 340.0, 715.0
PAPER = 925.0  # that the shorter of A4 and Letter leaves for blocks
HEAD, LINE, LETTERS = 22.0, 11.8, 62  # of a heading; of a line, and its letters
ROW, WRAPS = 12.4, 1.45  # of a table's row; lines to a row of a table that is too wide
MOST = 12  # blocks whose every distribution is tried
LEAST = 0.55  # of a drawing's size: what is smaller nobody reads


class Group(NamedTuple):
    """Blocks side by side, each with its number on the sheet; ``right`` is empty of a wide one."""

    left: tuple[tuple[int, Block], ...]
    right: tuple[tuple[int, Block], ...]


def columns(blocks: Iterable[Block]) -> list[Group]:
    """Return blocks in groups from top to bottom: a wide one alone, those between in two columns.

    In each column the order is kept.
    """
    groups: list[Group] = []
    waiting: list[tuple[int, Block]] = []
    for number, block in enumerate(blocks, 1):
        if block.wide:
            groups += _split(waiting)
            waiting = []
            groups.append(Group(((number, block),), ()))
        else:
            waiting.append((number, block))
    return groups + _split(waiting)


def _split(blocks: Sequence[tuple[int, Block]]) -> list[Group]:
    """Return blocks in two columns as equal in height as may be, the first of them on the left."""
    if not blocks:
        return []
    tall = [_height(block, 1.0) for _, block in blocks[:MOST]]
    whole = sum(tall)

    def uneven(chosen: int) -> float:
        left = sum(h for i, h in enumerate(tall) if chosen >> i & 1)
        return abs(whole - 2.0 * left)

    best = min(range(1, 1 << len(tall), 2), key=uneven)
    best |= -1 << len(tall)  # what is more than can be tried
    left = tuple(pair for i, pair in enumerate(blocks) if best >> i & 1)
    right = tuple(pair for i, pair in enumerate(blocks) if not best >> i & 1)
    return [Group(left, right)]


def fit(groups: Iterable[Group]) -> float:
    """Return the share of their size at which all drawings and words stand on one sheet of paper.

    It is 1 where there is room, and never below `LEAST`.
    """
    whole = list(groups)

    def tall(share: float) -> float:
        return sum(
            max(sum(_height(block, share) for _, block in side) for side in group)
            for group in whole
        )

    steps = [1.0 - 0.05 * i for i in range(20) if 1.0 - 0.05 * i >= LEAST - 1e-9]
    return next((share for share in steps if tall(share) <= PAPER), LEAST)


def _height(block: Block, share: float) -> float:
    """Return about how tall a block stands on paper [px], its drawings at a share of their size."""
    wide = 2 if block.wide else 1
    tall = HEAD + sum(LINE * _lines(text, wide * LETTERS) for text in block.notes)
    if block.picture is not None:
        tall += share * _tall(block.picture, WHOLE if block.wide else COLUMN)
    if block.pair:
        tall += share * max(
            _tall(picture, COLUMN / (1 if wide > 1 else 2)) for picture in block.pair
        )
    if block.table is not None:
        tall += ROW * _rows(block.table, wide * LETTERS)
        tall += LINE * _lines(block.table.note, wide * LETTERS)
    return tall + sum(LINE * max(1, _lines(text, wide * 46)) for _, text in block.facts)


def _tall(picture: Picture, width: float) -> float:
    box = re.search(r'viewBox="[\d.-]+ [\d.-]+ ([\d.]+) ([\d.]+)"', picture.wide)
    return width * float(box[2]) / float(box[1]) + 6.0 if box else width


def _rows(table: Table, letters: int) -> int:
    """Return over how many lines a table goes: of one too wide for its column some rows wrap."""
    rows = [[_letters(cell) for cell in row] for row in (table.heads, *table.rows)]
    wide = sum(max(column) + 2 for column in zip(*rows, strict=True))
    longest = max(max(row) for row in rows)
    if wide <= letters or longest > letters:
        return sum(ceil(sum(row) / letters) for row in rows)
    return ceil(WRAPS * len(rows))


def _lines(text: str | Both, letters: int) -> int:
    """Return over how many lines a text goes, 0 for none."""
    return ceil(_letters(text) / letters)


def _letters(text: str | Both) -> int:
    return max(len(text.us), len(text.si)) if isinstance(text, Both) else len(text)
