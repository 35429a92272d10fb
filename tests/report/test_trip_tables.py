"""A trip's tables: every figure stands there, however narrow the page."""

from io import StringIO
from types import SimpleNamespace

import pytest

from vanclimate.report import trip_tables
from vanclimate.report.terminal import console_for

HEADS = ("nights", "low, °C", "high, °C", "heat, kWh", "drawn for it, kWh", "AC, h", "AC, kWh",
         "cold days", "too warm", "too cold")  # fmt: skip
"""Of a heat pump's trip, the widest set there is."""


@pytest.mark.parametrize("width", range(58, 101))
def test_no_column_of_a_trip_is_cut(width, monkeypatch):
    monkeypatch.setattr(trip_tables, "_stop", lambda stage, trip, width: f"{stage} Jan 10")
    trip = SimpleNamespace(stages=[1, 2, 3], results=[1, 2, 3])
    columns = {name: ((lambda r, i=i: f"{r}{i}.{r}"), f"9{i}.9") for i, name in enumerate(HEADS)}
    out = StringIO()
    console = console_for(out, width)
    for table in trip_tables._tables(trip, width, columns):
        console.print(table)
    told = out.getvalue()
    assert max(map(len, told.splitlines())) <= width
    for i in range(len(HEADS)):
        for figure in (*(f"{r}{i}.{r}" for r in trip.results), f"9{i}.9"):
            assert figure in told.split()
    assert all(word in told.split() for name in HEADS for word in name.split())
