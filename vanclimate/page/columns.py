"""The technical sheet's blocks in two columns, and how small its drawings are for one sheet.

What does not belong here: what a block holds (parts.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from vanclimate.page.ink import text_width
from vanclimate.page.parts import Block, Both, Picture, Table

# On paper, in px: what sheets.css comes to on Letter, which is the wider and the shorter.
COLUMN, WHOLE = 349.0, 725.0
PAPER = 910.0  # that it leaves for blocks; 921 do fit
HEAD, LINE = 22.0, 11.4  # of a heading; of a line
SOFT = 0.85  # of that and of its type, in notes
ROW = 12.4  # of a table's row
FACT, SPACE = 0.28, 9.6  # of the width, for facts' names at most; beside them
TYPE, GAP, SHORT = 9.6, 4.6, 12  # of its type; between columns; fewer letters do not wrap
# Of the type's size: a row's name at least, in a table of fewer columns than so many, of more, over
# both columns; a head at most, where its column does not ask for more.
FEW, NAME, LESS, WHOLE_NAME, HEADS = 5, 10.0, 6.0, 11.0, 5.0
MOST = 12  # blocks whose every distribution is tried
LEAST = 0.55  # of a drawing's size: what is smaller nobody reads
STEPS = (0.05, 0.01)  # of that size, the coarse one down to where all fits, then the fine one up


class Group(NamedTuple):
    """Blocks side by side, each with its number on the sheet; ``right`` is empty of a wide one."""

    left: tuple[tuple[int, Block], ...]
    right: tuple[tuple[int, Block], ...]


def columns(blocks: Iterable[Block]) -> tuple[list[Group], float]:
    """Return blocks in groups, and the share of their size at which drawings stand on one sheet.

    From top to bottom, a wide block alone and those between in two columns, each in its order. The
    columns are even at that share, not at full size: words do not shrink with drawings. It is 1
    where there is room, and never below `LEAST`.
    """
    given, (coarse, fine) = list(blocks), STEPS
    share, groups = 1.0, _groups(given, 1.0)
    while share > LEAST and _sheet(groups, share) > PAPER:
        share = max(LEAST, round(share - coarse, 4))
        groups = _groups(given, share)
    while share < 1.0:
        larger = round(share + fine, 4)
        tried = _groups(given, larger)
        if _sheet(tried, larger) > PAPER:
            break
        share, groups = larger, tried
    return groups, share


def _groups(blocks: Sequence[Block], share: float) -> list[Group]:
    """Return blocks in groups, their columns even with drawings at a share of their size."""
    groups: list[Group] = []
    waiting: list[tuple[int, Block]] = []
    for number, block in enumerate(blocks, 1):
        if block.wide:
            groups += _split(waiting, share)
            waiting = []
            groups.append(Group(((number, block),), ()))
        else:
            waiting.append((number, block))
    return groups + _split(waiting, share)


def _split(blocks: Sequence[tuple[int, Block]], share: float) -> list[Group]:
    """Return blocks in two columns as equal in height as may be, the first of them on the left."""
    if not blocks:
        return []
    tall = [height_of(block, share) for _, block in blocks[:MOST]]
    left = [0.0]  # height of the left column, by the number whose bits say what stands there
    for height in tall:
        left += [height + below for below in left]
    whole = sum(tall)
    best = min(range(1, 1 << len(tall), 2), key=lambda chosen: abs(whole - 2.0 * left[chosen]))
    best |= -1 << len(tall)  # what is more than can be tried
    pairs = list(enumerate(blocks))
    first = tuple(pair for i, pair in pairs if best >> i & 1)
    return [Group(first, tuple(pair for i, pair in pairs if not best >> i & 1))]


def _sheet(groups: Iterable[Group], share: float) -> float:
    """Return how tall all groups stand on paper [px]."""
    return sum(
        max(sum(height_of(block, share) for _, block in side) for side in group) for group in groups
    )


def height_of(block: Block, share: float) -> float:
    """Return about how tall a block stands on paper [px], its drawings at a share of their size."""
    width = WHOLE if block.wide else COLUMN
    notes = (*block.notes, *((block.table.note,) if block.table is not None else ()))
    tall = HEAD + SOFT * LINE * sum(_wrapped(_longer(text), width / SOFT) for text in notes)
    if block.picture is not None:
        tall += share * _tall(block.picture, width)
    if block.pair:
        half = COLUMN if block.wide else COLUMN / 2.0
        tall += share * max(_tall(picture, half) for picture in block.pair)
    if block.table is not None:
        tall += ROW * _rows(block.table, width)
    names = [_wide(name) for name, _ in block.facts]
    room = width - min(FACT * width, max(names, default=0.0)) - SPACE
    return tall + LINE * sum(_wrapped(_longer(text), room) for _, text in block.facts)


def _tall(picture: Picture, width: float) -> float:
    box = re.search(r'viewBox="[\d.-]+ [\d.-]+ ([\d.]+) ([\d.]+)"', picture.wide)
    return width * float(box[2]) / float(box[1]) + 6.0 if box else width


def _rows(table: Table, width: float) -> int:
    """Return over how many lines a table of a width [px] goes, laid out as a browser does.

    Each column is as wide as what does not wrap at least, and what is left goes where more is asked
    for; see the style's rules for heads, for the first column and for wide blocks.
    """
    rows = [[_longer(cell) for cell in row] for row in (table.heads, *table.rows)]
    (first, *others), whole = zip(*rows, strict=True), width > COLUMN
    name = WHOLE_NAME if whole else NAME if len(rows[0]) < FEW else LESS
    least, asked = [name * TYPE], [max([name * TYPE, *map(_wide, first[1:])])]
    for head, *cells in others:
        kept = [_wide(cell) if whole or len(cell) < SHORT else _word(cell) for cell in cells]
        least.append(max([_word(head), *kept]))
        asked.append(max([least[-1], min(_wide(head), HEADS * TYPE), *map(_wide, cells)]))
    free = width - sum(least) - GAP * len(least)
    more = sum(asked) - sum(least)
    share = min(1.0, max(0.0, free) / max(1.0, more))
    room = [low + share * (most - low) for low, most in zip(least, asked, strict=True)]
    spare = max(0.0, free - more) / sum(asked)  # goes to all by what they ask for
    room = [own + spare * most for own, most in zip(room, asked, strict=True)]
    return sum(max(1, *map(_wrapped, row, room)) for row in rows)


def _wide(text: str) -> float:
    return text_width(text, TYPE)


def _word(text: str) -> float:
    """Return how wide a text's longest word is [px]."""
    return max(map(_wide, text.split()), default=0.0)


def _wrapped(text: str, room: float) -> int:
    """Return over how many lines a text's words go, in a column so wide [px]; 0 for none."""
    lines, line = int(bool(text)), ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and _wide(longer) > room + 0.5:
            lines, line = lines + 1, word
        else:
            line = longer
    return lines


def _longer(text: str | Both) -> str:
    return max(text.us, text.si, key=len) if isinstance(text, Both) else text
