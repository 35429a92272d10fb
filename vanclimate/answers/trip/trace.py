"""The trace of a whole trip: its stops' rows one after the other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from vanclimate.answers.trace import run_trace
from vanclimate.answers.trip.halts import Stage

if TYPE_CHECKING:
    import pandas as pd


def trip_trace(stages: Sequence[Stage]) -> pd.DataFrame:
    """Return the rows of all stops, the drive to each included.

    The index is the start of each row in the standard time of its place; ``stop`` counts from 1.
    Columns of water on a face that another stop leaves dry are 0 there.
    """
    import pandas as pd

    frames = []
    for stage in stages:
        part = slice(0, len(stage.run.rows))
        frame = run_trace(stage.run, stage.scene.sheet, stage.way, part)
        frame.insert(1, "stop", stage.halt.index + 1)
        frame.insert(2, "place", stage.halt.record.name)
        frame.index = frame.index.astype(object)  # places may keep different time
        frames.append(frame)
    whole = pd.concat(frames)
    wet = [name for name in whole.columns if name.endswith("_water_g")]
    whole[wet] = whole[wet].fillna(0.0)
    whole.index.name = "start"
    return whole
