"""The picture of a coast: its times in words, words clear of each other, no index past its end."""

from __future__ import annotations

from math import inf

import numpy as np
import pandas as pd
import pytest

from tests.page.words_of import boxes, outside, overlaps
from vanclimate.page import ink
from vanclimate.page.after import After, Limit, draw_after

WIDTHS = (700.0, 340.0)
DANGERS = ((39.4, "danger"), (51.7, "extreme danger"))


def cut(felt=True, watched=21600.0):
    hours = np.arange(0.0, (watched + 1800.0) / 3600.0, 0.1)
    after = np.maximum(hours - 0.5, 0.0)
    air = 24.0 + 20.0 * (1.0 - np.exp(-after))
    index = 24.0 + 3.0 * (air - 24.0)
    trace = pd.DataFrame({"step_s": np.full(len(hours), 360.0), "outdoor_temp_c": 31.0,
                          "cabin_temp_c": air, "heat_index_c": index})  # fmt: skip
    limits = (
        Limit("air 86 °F · 30 °C", 60.0, 700.0, ("1 min", "11 min")),
        Limit("air 104 °F · 40 °C", 6060.0, inf, ("101 min", "not in 6 h")),
        Limit("heat index 103 °F · 39 °C", 1860.0, 3000.0, ("31 min", "50 min"), bold=True),
        Limit("heat index 125 °F · 52 °C", inf, inf, ("not in 6 h", "not in 6 h"), bold=True),
    )
    return After(trace, 1800.0, watched, "AC stops", felt, DANGERS if felt else (), limits)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("shown", [cut(), cut(felt=False, watched=259200.0)], ids=["heat", "cold"])
def test_words_stand_clear(shown, width):
    with ink.looks():
        figure = draw_after(shown, width)
    assert overlaps(figure) == []
    assert outside(figure) == []


@pytest.mark.parametrize("width", WIDTHS)
def test_each_limit_is_told_with_both_times(width):
    shown = cut()
    with ink.looks():
        told = " ".join(text for text, _ in boxes(draw_after(shown, width)))
    for limit in shown.limits:
        assert limit.name in told
        assert all(time in told for time in limit.told)


def test_no_heat_index_is_drawn_beyond_its_last_band():
    with ink.looks():
        figure = draw_after(cut(), 700.0)
    assert figure.axes[0].get_ylim()[1] < 58.0  # °C; the index itself goes on to 84


def test_what_is_never_reached_has_no_mark():
    with ink.looks():
        figure = draw_after(cut(), 700.0)
    rows = figure.axes[2]
    marked = {round(float(y), 1) for line in rows.lines if line.get_marker() in ("o", ">")
              for y in line.get_ydata()}  # fmt: skip
    assert len(marked) == 3
