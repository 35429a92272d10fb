"""Any dataclass as JSON: what is told, what is left out, what has no end."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any, ClassVar, NamedTuple

import numpy as np
import pytest

from vanclimate.answers.figures import SHARE, Figure
from vanclimate.report.json_text import answer_text, figure_of, inputs_of, plain, unit_of
from vanclimate.units import KINDS, parse
from vanclimate.van import new_sheet_text
from vanclimate.van.reading import loads_text

MOMENT = datetime(2025, 7, 1, 22, 30, tzinfo=timezone(timedelta(hours=-5)))


def strict(text: str) -> Any:
    """Return parsed JSON; NaN and infinities, which the standard lacks, are an error."""

    def refuse(word: str) -> None:
        raise ValueError(word)

    return json.loads(text, parse_constant=refuse)


class Sheet(NamedTuple):
    """Stands in for what an answer is computed from."""


class Pair(NamedTuple):
    first: float
    second: str


@dataclass(frozen=True)
class Whole:
    sheet: Sheet
    runs: dict[str, Run]  # noqa: F821  # as in a module that imports it for the types alone
    share: float = field(metadata=SHARE)
    endless_h: float
    at: datetime
    pair: Pair
    by_name: dict[int, tuple[float, ...]]
    also_told: ClassVar = ("holds",)

    @property
    def holds(self) -> bool:
        return True


def whole() -> Whole:
    return Whole(Sheet(), {}, 0.25, np.inf, MOMENT, Pair(np.nan, "x"), {2019: (1.0, -np.inf)})


def test_an_answer_is_told_without_what_it_was_computed_from():
    assert plain(whole()) == {
        "share_share": 0.25,
        "endless_h": None,
        "at": "2025-07-01T22:30:00-05:00",
        "pair": {"first": None, "second": "x"},
        "by_name": {"2019": [1.0, None]},
        "holds": True,
    }


def test_numbers_of_numpy_are_numbers():
    assert plain(np.float64(1.5)) == 1.5
    assert plain(np.bool_(True)) is True
    assert plain(np.array([1.0, np.nan])) == [1.0, None]
    assert type(plain(np.int64(3))) is int


def test_a_file_a_path_or_a_function_has_no_form():
    for value in (Path("x"), print, Whole):
        with pytest.raises(TypeError):
            plain(value)


def test_the_text_is_strict_json_in_any_encoding():
    figures = [figure_of(Figure("margin", np.inf, "hours", 1))]
    text = answer_text("night", "Holds: 4.7 F° to spare", {"sheet": "a.yaml"}, figures, whole())
    assert text.isascii()
    found = strict(text)
    assert found["schema"] == "vanclimate.night/1"
    assert found["first_line"] == "Holds: 4.7 F° to spare"
    assert found["figures"][0] == {
        "name": "margin", "value": None, "unit": "h", "kind": "hours", "better": 1,
    }  # fmt: skip


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"none", "fraction"}))
def test_a_figures_unit_is_the_one_that_its_value_counts(kind):
    text = "1 rad" if kind == "angle" else f"1 {unit_of(kind)}"
    assert parse(text, kind) == pytest.approx(57.29578 if kind == "angle" else 1.0)


def test_a_figure_of_no_kind_is_refused():
    with pytest.raises(ValueError, match="no figure of kind"):
        Figure("margin", 1.0, "furlongs")


def test_inputs_say_what_was_set_and_added():
    sheet = loads_text(new_sheet_text(), "mine.yaml", ["month=June"])
    found = inputs_of(sheet, "mine.yaml", ("kettle",))
    assert found["set"] == ["month=June"]
    assert found["also"] == ["kettle"]
    assert found["digest"] != loads_text(new_sheet_text()).digest
