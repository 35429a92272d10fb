"""Ways to a value in a sheet, such as 'loads.0.power', and copies with one value changed.

What does not belong here: what a value may be (fields.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Any

from vanclimate.errors import OptionError, SheetError, UnitError, near
from vanclimate.van.fields import Part, specs
from vanclimate.van.textfile import Node, normal_key


def steps_of(path: str) -> list[str | int]:
    """Return the keys and positions that a path goes by."""
    return list(_steps(path))


@lru_cache(maxsize=256)  # drawn vans are changed by the same paths
def _steps(path: str) -> tuple[str | int, ...]:
    keys = [normal_key(part) for part in path.split(".")]
    return tuple(int(key) if key.isascii() and key.isdigit() else key for key in keys)


def dotted(steps: Iterable[str | int]) -> str:
    """Return a place as a reader counts: 'stacks.roof item 2'.

    >>> dotted(["stacks", "roof", 1])
    'stacks.roof item 2'
    """
    text = ""
    for step in steps:
        if isinstance(step, int):
            text += f" item {step + 1}"
        else:
            text += ("." if text else "") + step.replace("_", " ")
    return text


def fault(
    node: Node | None, file: str, steps: list[str | int], found: object, allowed: str | None,
    hint: str = "",
) -> SheetError:  # fmt: skip
    """Return the error for a value: at its line of the file, or by the option that gave it."""
    key = dotted(steps)
    if node is None or not node.option:
        line, file = (node.line, node.file or file) if node else (None, file)
        return SheetError(file, line, key, found, allowed, hint)
    own = steps_of(node.option.split(" ", 1)[1])
    return SheetError(node.option, None, None if own == steps else key, found, allowed, hint)


def child(value: Any, step: str | int, path: str) -> Any:
    """Return what stands at one step of a path."""
    if isinstance(value, tuple) and isinstance(step, int) and step < len(value):
        return value[step]
    if isinstance(value, Part) and isinstance(step, str) and step in type(value).model_fields:
        return getattr(value, step)
    known = type(value).model_fields if isinstance(value, Part) else ()
    raise OptionError(path, step, "the path of a value in the sheet", near(str(step), known))


def replaced(holder: Any, values: Sequence[tuple[list[str | int], Any, str]]) -> Any:
    """Return a copy of a section or list with other values at the end of some steps.

    Parameters
    ----------
    holder : the section or list
    values : steps, value and the path that is named where it cannot be
    """
    new: dict[str | int, Any] = {}
    for step in dict.fromkeys(steps[0] for steps, _, _ in values):
        inner = [(steps[1:], value, path) for steps, value, path in values if steps[0] == step]
        old = child(holder, step, inner[0][2])
        deeper = [x for x in inner if x[0]]
        new[step] = replaced(old, deeper) if deeper else _taken(holder, step, *inner[-1][1:])
    if isinstance(holder, tuple):
        return tuple(new.get(i, item) for i, item in enumerate(holder))
    copy = holder.model_copy(update=new)
    copy._fill()
    return copy


def _taken(holder: Any, step: str | int, value: Any, path: str) -> Any:
    """Return a value as its field takes it."""
    spec = specs(type(holder)).get(str(step)) if isinstance(holder, Part) else None
    if spec is None or spec.section:
        if value is None or isinstance(value, Part | tuple):
            return value
        raise OptionError(path, value, "a section; one value has a path such as 'body.length'")
    try:
        return spec.take(value)
    except (UnitError, TypeError) as error:
        allowed = error.allowed if isinstance(error, UnitError) else "a value of its kind"
        raise OptionError(path, value, allowed) from None
