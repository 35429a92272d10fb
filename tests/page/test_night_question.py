"""A night's question on its page: true of vans on shore, of heated ones, of a night by its date."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace
from typing import Any

import pytest

from vanclimate.page.night import _question

COOLED, HEATED, FANNED = ("ac", False), ("heat", True), ("fans", False)


def night(main: str, heats: bool, which: str, *, shore: bool = False) -> Any:
    sheet = SimpleNamespace(
        shore=object() if shore else None, heater=object() if heats else None,
        electric_heater=None, stay=None,
    )  # fmt: skip
    return SimpleNamespace(
        sheet=sheet, main=main, which=which, bedtime=datetime(2025, 7, 14, 22),
        result=SimpleNamespace(margin_cold=1.0 if heats else float("inf")),
        weather=SimpleNamespace(synthetic=False, typical=True, name="Miami"),
        season=SimpleNamespace(words="July"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("of", "which", "said"),
    [
        (COOLED, "hottest", "Does the air conditioner get us through the hottest night of July"),
        (COOLED, "given", "Does the air conditioner get us through the night of July 14 in Miami"),
        (("ac", True), "coldest", "Do we stay warm through the coldest night of July in Miami?"),
        (("ac", True), "typical", "Do air conditioner and heating get us through a typical night"),
        (("ac", True), "hottest", "Does the air conditioner get us through the hottest night"),
        (HEATED, "typical", "Do we stay warm through a typical night of July in Miami?"),
        (HEATED, "hottest", "Can we sleep through the hottest night of July in Miami with fans"),
        (FANNED, "typical", "Can we sleep through a typical night of July in Miami with fans"),
    ],
)
def test_it_asks_what_the_night_is_judged_by(of, which, said):
    assert _question(night(*of, which)).startswith(said)


def test_a_van_on_shore_is_not_asked_about_its_battery():
    assert _question(night(*COOLED, "hottest")).endswith(" on the battery?")
    assert "battery" not in _question(night(*COOLED, "hottest", shore=True))
