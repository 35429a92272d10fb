"""The trace a user reads: columns with units in their names, one row a step."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from vanclimate.answers.judge import carbon_dioxide, felt_temperature
from vanclimate.physics.air import relative_humidity
from vanclimate.simulate.columns import ZONE_NAMES

if TYPE_CHECKING:
    import pandas as pd

    from vanclimate.simulate.runs import Run
    from vanclimate.van.sheet import Sheet


def run_trace(run: Run, sheet: Sheet, way: str, part: slice) -> pd.DataFrame:
    """Return some rows of a run as a DataFrame, its index the start of each in the site's zone.

    Temperatures, humidity, charge and stored heat are values at a row's end, all else means over
    it; ``cabin_temp_mean_c`` is the mean that comfort is judged by.
    """
    frame = run.frame()
    frame.insert(0, "step_s", run.width)
    frame.insert(1, "outdoor_temp_c", run.outdoor)
    frame.insert(3, "operative_temp_c", felt_temperature(run, sheet, way))
    frame.insert(
        5,
        "cabin_humidity_pct",
        100.0
        * np.asarray(
            relative_humidity(
                run.column("cabin_temp_c"),
                run.column("cabin_humidity_kg_kg"),
                run.plan.outside.pressure,
            )
        ),
    )
    frame.insert(6, "co2_ppm", carbon_dioxide(run))
    for k, chain in enumerate(run.model.chains):
        key = chain.name.replace(" ", "_").replace("-", "_").lower()
        frame[f"face_{k}_{key}_w"] = run.faces[:, k]
        if run.water[part, k].any():
            frame[f"face_{k}_{key}_water_g"] = 1000.0 * run.water[:, k]
    for z, zone in enumerate(run.model.zones[1:], 1):
        for j, name in enumerate(ZONE_NAMES):
            frame[f"{zone.name}_{name}"] = run.zones[:, z, j]
    return frame.iloc[part]
