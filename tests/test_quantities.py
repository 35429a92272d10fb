from __future__ import annotations

import re
from pathlib import Path

from vanclimate.simulate.columns import NAMES

PAGE = (Path(__file__).parents[1] / "docs" / "quantities.md").read_text(encoding="utf-8")
ADDED = ("step_s", "outdoor_temp_c", "operative_temp_c", "cabin_humidity_pct", "co2_ppm")
UNITS = "c|w|wh|v|l|l_s|j|s|kg|kg_kg|kg_s|m3_s|ah|a|ah_s|share|starts|pct|ppm"


def test_every_column_stands_in_the_glossary():
    named = set(re.findall(r"`([a-z0-9_]+)`", PAGE))
    assert set(NAMES) | set(ADDED) <= named


def test_every_column_ends_in_its_unit():
    for name in (*NAMES, *ADDED):
        assert re.search(rf"_({UNITS})$", name), name
