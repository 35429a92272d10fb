"""Sheets of vans that nobody builds, and runs of them that nobody ran: what drawings must bear."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
from hypothesis import strategies as st

import vanclimate
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.simulate.columns import INDEX, NAMES
from vanclimate.simulate.runs import Run
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

SCENARIOS = sorted((Path(vanclimate.__file__).parents[1] / "scenarios").glob("*.yaml"))
START = datetime(2025, 7, 14, 22, 30, tzinfo=UTC)
ROWS = 36
GLASSES = ("clear", "laminated", "double acrylic")
NAMED = st.text(
    st.sampled_from("abc defghijkl mnop W💧日שלום—é<&\"'"), min_size=1, max_size=50
).map(lambda text: " ".join(text.replace('"', "").replace("'", "").split()))


def run_of(sheet: Sheet, seed: int = 0, greatest: float = 60.0) -> Run:
    """Return a run of made-up watts through the surfaces of a sheet."""
    model = compile_shell(shell_of(sheet))
    random = np.random.default_rng(seed)
    area = np.array([c.area for c in model.chains])
    rows = np.zeros((ROWS, len(NAMES)))
    rows[:, INDEX["ac_sensible_w"]] = 500.0
    rows[12:24, INDEX["ac_sensible_w"]] = 900.0
    flux = greatest * random.normal(size=(1, len(area))) + random.normal(size=(ROWS, len(area)))
    empty = np.zeros((ROWS, 0))
    nothing: Any = None
    return Run(
        START, 300.0 * np.arange(ROWS + 1), np.zeros(ROWS, dtype=np.int64), rows, flux * area,
        empty, np.zeros((ROWS, len(model.zones), 6)), empty, nothing, model, nothing, nothing,
    )  # fmt: skip


@st.composite
def odd_sheets(draw: st.DrawFn) -> Sheet:
    """Draw a sheet: any size, rooms, lifting roof, panels, fans and up to 40 windows."""
    length = draw(st.sampled_from([1.5, 3.0, 6.0, 14.0]) | st.floats(1.5, 14.0))
    width, height = draw(st.floats(0.8, 3.0)), draw(st.floats(0.8, 3.2))
    lines = [
        "site: miami",
        f"body: {{length: {length} m, width: {width} m, height: {height} m}}",
        "stacks:",
        *(
            f"  {side}: [steel 0.9 mm, XPS 20 mm, plywood 6 mm]"
            for side in ("roof", "walls", "floor")
        ),
        draw(st.sampled_from(["vents: {high: 60 cm2, low: 30 cm2}", "vents: none"])),
        f"fans: {{count: {draw(st.integers(0, 6))}}}",
        f"roof panels: {{power: {draw(st.sampled_from([0, 200, 1000, 5000]))} W, "
        f"area: {draw(st.sampled_from([0.5, 2, 30]))} m2}}",
    ]
    cab, garage, top = (draw(st.booleans()) for _ in range(3))
    cab_high = draw(st.floats(0.7, min(2.5, height)))
    if cab:
        lines.append(
            f"cab: {{length: {draw(st.floats(0.6, 3.0))} m, height: {cab_high} m, "
            "divider: curtain, opening: 0.3 m2}"
        )
    hold = draw(st.floats(0.3, 0.85 * length)), draw(st.floats(0.2, min(2.0, 0.85 * height)))
    if garage:
        lines.append(f"garage: {{length: {min(6.0, hold[0])} m, height: {hold[1]} m}}")
    if top:
        lines.append(
            f"pop top: {{height: {draw(st.floats(0.1, 2.0))} m, "
            f"length: {draw(st.floats(0.5, min(6.0, length)))} m, "
            f"width: {draw(st.floats(0.4, min(3.0, width)))} m}}"
        )
    lines += _windows(draw, length, width, height, cab, cab_high, garage)
    return loads_text("\n".join(lines), "odd.yaml")


def _windows(
    draw: st.DrawFn, length: float, width: float, height: float, cab: bool, cab_high: float,
    garage: bool,
) -> list[str]:  # fmt: skip
    """Draw windows that their sides hold, up to a side of glass alone."""
    count = draw(st.sampled_from([0, 1, 3, 12, 40]))
    if not count:
        return ["windows: none"]
    full = draw(st.sampled_from([0.2, 0.6, 0.95]))
    front = width * (height - cab_high) if cab else width * height
    free = {"left": length * height, "right": length * height, "rear": width * height,
            "roof": length * width, "front": front}  # fmt: skip
    if garage:  # the living space has less of them
        free = {side: 0.1 * area for side, area in free.items()}
    per = {side: max(1, count // 5) for side in free}
    names = draw(st.lists(NAMED, min_size=count, max_size=count))
    out = []
    for i in range(count):
        side = list(free)[i % 5]
        area = min(6.0, full * free[side] / (per[side] + 1))
        if area < 0.01:
            continue
        zone = ", zone: living" if cab else ""
        name = f"{names[i]} {i}".strip()
        out.append(
            f'  - {{name: "{name}", side: {side}, area: {area} m2, glass: {GLASSES[i % 3]}{zone}}}'
        )
    return ["windows:", *out] if out else ["windows: none"]
