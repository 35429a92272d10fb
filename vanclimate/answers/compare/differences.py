"""What differs in two sheets, value by value as understood, guesses included.

What does not belong here: what a difference is worth (``answer``), and how the two texts differ
(``exchanges``).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from vanclimate.answers.figures import UNTOLD
from vanclimate.units import System, show
from vanclimate.van.fields import Part
from vanclimate.van.layers import Layer
from vanclimate.van.sheet import Sheet
from vanclimate.van.summary import Row, echo, layer_text

NONE = "none"
QUIET = ("name", "note", "units", "prepared_by", "prepared_for", "library")
"""Keys that change no answer by themselves; what a library gives stands where it counts."""
MOST_WORDS = 4  # values that stand for a section which only one sheet has


@dataclass(frozen=True)
class Side:
    """A value in one sheet, in both systems of units."""

    si: str
    us: str
    guessed: bool = False
    # with all that it is made of
    full: tuple[str, str] = field(default=("", ""), metadata=UNTOLD)
    there: bool = field(default=True, metadata=UNTOLD)  # False where the sheet has no such key

    def text(self, system: System) -> str:
        """Return the value as a reader writes it, a guess marked."""
        return f"{self.us if system == 'us' else self.si}{' (guess)' if self.guessed else ''}"


@dataclass(frozen=True)
class Difference:
    """One key, as it stands in a sheet, and its value in both."""

    key: str
    first: Side
    second: Side


def differences(first: Sheet, second: Sheet) -> tuple[Difference, ...]:
    """Return every value that differs, in the order of the sheet; `QUIET` keys aside.

    A section, a window or a load that one sheet lacks is one difference.
    """
    one, other = _sides(first), _sides(second)
    found: dict[str, Difference] = {}
    for key in dict.fromkeys([*one, *other]):
        whole = _lacking(key, one, other) or _lacking(key, other, one)
        name = whole or key
        if name not in found and (differs := _difference(name, one, other)) is not None:
            found[name] = differs
    alone = [d for d in found.values() if not _within(d.key, found)]
    alone = [d for d in alone if section_of(d.key) not in QUIET]
    order = list(Sheet.model_fields)
    return tuple(sorted(alone, key=lambda d: order.index(section_of(d.key))))


def section_of(key: str) -> str:
    """Return the key of the sheet in which a difference stands.

    >>> section_of("roof panels.power"), section_of("loads (fridge).power")
    ('roof_panels', 'loads')
    """
    head = key.split(".")[0].split(" (")[0].split(" item ")[0]
    return head.replace(" ", "_")


def _difference(key: str, one: dict[str, Side], other: dict[str, Side]) -> Difference | None:
    """Return how a key differs; None where it does not, or is a guess that other keys bring."""
    first, second = _side(one, key), _side(other, key)
    if first.full == second.full or (NONE in (first.si, second.si) and _brought(first, second)):
        return None
    if first.si == second.si:  # layers of other figures under the same names
        first, second = (Side(*side.full, side.guessed, side.full) for side in (first, second))
    return Difference(key, first, second)


def _brought(first: Side, second: Side) -> bool:
    """Return whether a value that one sheet alone has is a guess."""
    return (first.guessed or second.guessed) and not (first.there and second.there)


def _within(key: str, found: dict[str, Difference]) -> bool:
    """Return whether a key's section is a difference already."""
    steps = key.split(".")
    return any(".".join(steps[:i]) in found for i in range(1, len(steps)))


def _lacking(key: str, has: dict[str, Side], lacks: dict[str, Side]) -> str:
    """Return the outermost section of a key that only one of two sheets has, or ''."""
    steps = key.split(".")
    for i in range(1, len(steps)):
        section = ".".join(steps[:i])
        if not any(other == key or other.startswith(f"{section}.") for other in lacks):
            return section
    return ""


def _side(own: dict[str, Side], key: str) -> Side:
    """Return a key's value in one sheet: of a section its first values, 'none' of no such key."""
    if key in own:
        return own[key]
    inner = {k.removeprefix(f"{key}."): side for k, side in own.items() if k.startswith(f"{key}.")}
    if not inner:
        return Side(NONE, NONE, full=(NONE, NONE), there=False)
    given = {k: side for k, side in inner.items() if not side.guessed} or inner
    first = list(given.items())[:MOST_WORDS]
    more = ", …" if len(given) > MOST_WORDS else ""
    si, us = (
        ", ".join(f"{k} {side.text(system)}" for k, side in first) + more for system in ("si", "us")
    )
    return Side(si, us, full=(si, us))


def _sides(sheet: Sheet) -> dict[str, Side]:
    """Return a sheet's values by key, a stack of layers as one value."""
    found: dict[str, Side] = {}
    for row in echo(sheet):
        layer = re.fullmatch(r"(.*)\.(\d+)", row.key)
        if layer is None:
            found[row.key] = _of_row(row)
        elif layer[1] not in found:
            path = layer[1].replace(" ", "_")
            found[layer[1]] = _stack(sheet.value_of(path), row)
    return found


def _of_row(row: Row) -> Side:
    return Side(row.si, row.us, row.guessed, (row.si, row.us))


def _stack(layers: tuple[Part, ...], row: Row) -> Side:
    """Return a list of layers as one value."""
    real = [layer for layer in layers if isinstance(layer, Layer)]
    if not real:
        return _of_row(row)
    si, us = ("; ".join(layer_text(layer, system) for layer in real) for system in ("si", "us"))
    return Side(short_stack(real, "si"), short_stack(real, "us"), full=(si, us))


def short_stack(layers: Iterable[Layer], system: System) -> str:
    """Write layers by name and thickness alone."""
    return ", ".join(
        f"{layer.material} {show(layer.thickness, 'length', system, 3)}" for layer in layers
    )
