"""Which keys a sheet knows where, by the fields of its sections.

What does not belong here: what a field may hold (fields.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pydantic import BaseModel

from vanclimate.errors import near
from vanclimate.van.sheet import Sheet

Steps = Sequence[str | int]


def keys_at(steps: Steps) -> list[str]:
    """Return the keys that a section knows; none where there is no section."""
    part = part_at(steps)
    return list(part.model_fields) if part else []


def part_at(steps: Steps) -> type[BaseModel] | None:
    """Return the section at a place, None where there is none."""
    part: Any = Sheet
    for step in steps:
        if isinstance(step, int):
            continue
        if not (isinstance(part, type) and issubclass(part, BaseModel)):
            return None
        info = part.model_fields.get(step)
        part = section_type(info.annotation) if info else None
    return part if isinstance(part, type) and issubclass(part, BaseModel) else None


def section_type(annotation: Any) -> Any:
    """Return the section in an annotation such as ``tuple[Window, ...]`` or ``X | None``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        if (found := section_type(inner)) is not None:
            return found
    return None


def holds_list(steps: Steps) -> bool:
    """Return whether a key holds a list of sections, such as the windows."""
    part = part_at(steps[:-1])
    info = part.model_fields.get(str(steps[-1])) if part else None
    return info is not None and "tuple[" in str(info.annotation)


def near_key(steps: Steps) -> str:
    """Return ``did you mean 'battery.capacity'?`` for a key that is not known, else ''.

    The section's own keys come first, then that key in another section, then what is spelt alike.

    >>> near_key(["batery", "capacity"])
    "did you mean 'battery.capacity'?"
    >>> near_key(["settle_in"])
    "did you mean 'people.settle in'?"
    """
    *before, last = (str(step).replace("_", " ") for step in steps if isinstance(step, str))
    prefix = "".join(f"{step}." for step in before)
    own = [f"{prefix}{key}".replace("_", " ") for key in keys_at(steps[:-1])]
    known = list(_all_keys(Sheet, ""))
    same = [f"'{key}'" for key in known if key.endswith(f".{last}")]
    if hint := near(prefix + last, own):
        return hint
    if not before and same:
        return f"did you mean {' or '.join(same[:3])}?"
    return near(prefix + last, known)


def _all_keys(part: type[BaseModel], prefix: str) -> Iterator[str]:
    """Yield every key of a section and of the sections in it, as a sheet spells them."""
    for name, info in part.model_fields.items():
        key = f"{prefix}{name}".replace("_", " ")
        yield key
        inner = section_type(info.annotation)
        if inner is not None and "tuple[" not in str(info.annotation):
            yield from _all_keys(inner, f"{key}.")
