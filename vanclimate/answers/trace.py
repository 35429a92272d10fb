"""The trace a user reads: columns with units in their names, one row a step."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.judge import carbon_dioxide, felt_temperature
from vanclimate.physics.air import relative_humidity
from vanclimate.simulate.columns import NAMES, ZONE_NAMES

if TYPE_CHECKING:
    import pandas as pd

    from vanclimate.simulate.runs import Run
    from vanclimate.van.sheet import Sheet


def run_trace(run: Run, sheet: Sheet, way: str, part: slice) -> pd.DataFrame:
    """Return some rows of a run as a DataFrame, its index the start of each in the site's zone."""
    import pandas as pd

    return pd.DataFrame(run_columns(run, sheet, way, part), index=run.starts[part])


def run_columns(run: Run, sheet: Sheet, way: str, part: slice) -> dict[str, NDArray[Any]]:
    """Return some rows of a run by column, in the trace's order; all numbers but ``stopped_by``.

    Temperatures, humidity, charge and stored heat are values at a row's end, all else means over
    it; ``cabin_temp_mean_c`` is the mean that comfort is judged by.
    """
    air, moisture = run.column("cabin_temp_c"), run.column("cabin_humidity_kg_kg")
    first, second, *others = NAMES
    columns: dict[str, NDArray[Any]] = {
        "step_s": run.width,
        "outdoor_temp_c": run.outdoor,
        first: run.column(first),
        "operative_temp_c": felt_temperature(run, sheet, way),
        second: run.column(second),
        "cabin_humidity_pct": 100.0 * relative_humidity(air, moisture, run.plan.outside.pressure),
        "co2_ppm": carbon_dioxide(run),
        **{name: run.column(name) for name in others},
        "stopped_by": np.array(run.stopped_by, dtype=object),
    }
    for k, chain in enumerate(run.model.chains):
        key = chain.name.replace(" ", "_").replace("-", "_").lower()
        columns[f"face_{k}_{key}_w"] = run.faces[:, k]
        if run.water[part, k].any():
            columns[f"face_{k}_{key}_water_g"] = 1000.0 * run.water[:, k]
    for z, zone in enumerate(run.model.zones[1:], 1):
        columns |= {f"{zone.name}_{name}": run.zones[:, z, j] for j, name in enumerate(ZONE_NAMES)}
    return {name: values[part] for name, values in columns.items()}
