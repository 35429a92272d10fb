"""The description of a van: the scenario sheet, its materials and its parts; no time, no physics.

The names below are fetched when they are first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vanclimate.van.new_sheet import new_sheet_text, write_new
    from vanclimate.van.reading import load, loads_text
    from vanclimate.van.sheet import Guess, Layer, Sheet
    from vanclimate.van.summary import echo
    from vanclimate.van.windows import Window

_HOME = {
    "Guess": "sheet",
    "Layer": "sheet",
    "Sheet": "sheet",
    "Window": "windows",
    "echo": "summary",
    "load": "reading",
    "loads_text": "reading",
    "new_sheet_text": "new_sheet",
    "write_new": "new_sheet",
}

__all__ = [
    "Guess",
    "Layer",
    "Sheet",
    "Window",
    "echo",
    "load",
    "loads_text",
    "new_sheet_text",
    "write_new",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
