"""The page of validation names every published check and every miss, and gives the kept figures."""

from __future__ import annotations

import importlib
import re
from collections.abc import Iterator
from math import prod
from pathlib import Path
from types import FunctionType, ModuleType

import pytest

from tests.published.test_standard_140 import BANDS
from tests.standard_figure import WORDS, kept

HERE = Path(__file__).parent
PAGE = (HERE.parent / "docs" / "validation.md").read_text(encoding="utf-8")
MODULES = sorted(path.stem for path in (HERE / "published").glob("test_*.py"))
NAMED = PAGE.split("## Misses")[0]
MISSES = PAGE.split("## Misses")[1]


def is_strict(mark: pytest.Mark | pytest.MarkDecorator) -> bool:
    return mark.name == "xfail" and bool(mark.kwargs.get("strict"))


def misses_of(test: FunctionType) -> int:
    """Return how many cases of a test are marked as strict xfails."""
    marks = getattr(test, "pytestmark", [])
    tables = [list(m.args[1]) for m in marks if m.name == "parametrize"]
    if any(is_strict(m) for m in marks):
        return prod(len(table) for table in tables)
    found = [[any(is_strict(m) for m in getattr(row, "marks", ())) for row in t] for t in tables]
    hit = prod(sum(not x for x in table) for table in found)
    return prod(len(table) for table in found) - hit if tables else 0


def published(module: ModuleType) -> Iterator[FunctionType]:
    for name, value in vars(module).items():
        if name.startswith("test_") and isinstance(value, FunctionType):
            yield value


@pytest.mark.parametrize("name", MODULES)
def test_every_published_check_is_named(name: str) -> None:
    assert f"`{name}`" in NAMED


@pytest.mark.parametrize("name", MODULES)
def test_every_miss_has_its_line(name: str) -> None:
    for test in published(importlib.import_module(f"tests.published.{name}")):
        count = misses_of(test)
        line = f"`{test.__name__.removeprefix('test_')}`" + (f" ({count})" if count > 1 else "")
        assert (line in MISSES) == (count > 0), f"{name}, {test.__name__}: {count} misses"
        assert count == 1 or f"`{test.__name__.removeprefix('test_')}` |" not in MISSES


def test_every_number_of_a_miss_is_explained_once() -> None:
    used = set(re.findall(r"\*\*(M\d+)\*\*", NAMED))
    told = re.findall(r"^\| (M\d+) \|", MISSES, re.MULTILINE)
    assert sorted(used | {"M1"}) == sorted(told)


def test_the_standards_figures_are_the_kept_ones() -> None:
    for (case, figure), (low, high) in BANDS.items():
        start = f"| {case} {WORDS.get(figure, figure)},"
        (line,) = [row for row in PAGE.splitlines() if row.startswith(start)]
        digits = 1 if figure in WORDS else 3
        value = kept()[case][figure]
        assert f"| {value:.{digits}f} |".replace("-", "−") in line
        assert line.endswith("| inside |") == (low <= value <= high)
