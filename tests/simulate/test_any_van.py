"""Vans put together at random: five-minute steps against steps of twenty seconds.

An invented lottery of bodies, stacks, covers, curtains, wet and snowy roofs, open windows and
drying clothes; the same van in short steps is the check. Such a lottery found a mat on a window
that swung by 34 K.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
import pytest

from tests import invented
from vanclimate.answers.scene import set_scene
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import Run, execute
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

VANS = ("short standard van", "long high van", "medium medium van", "pop-top van")
OTHERS = ("box trailer", "small truck body")
INSULATION = ("", ", sprayed foam 2 in", ", air gap 20 mm", ", sheep wool 40 mm",
              ", polyiso 1 in, air gap 1 in")  # fmt: skip
RIBS = "{kind: hat, depth: 1-1/4 in, width: 2-1/2 in, spacing: 20 in}"
CABS = (
    "",
    "cab: {divider: curtain, drawn: night}\n",
    "cab: bulkhead\n",
    "cab: {divider: thick curtain, drawn: always}\n",
    "cab: {divider: curtain, drawn: never}\n",
)
MONTHS = {1: "January", 7: "July", 10: "October"}


def lot(rng: np.random.Generator) -> tuple[Sheet, int]:
    """Return a van drawn by lot, and its month."""
    kind = str(rng.choice(VANS + OTHERS))
    is_van, month = kind in VANS, int(rng.choice(list(MONTHS)))
    layers, glass = rng.choice(INSULATION), rng.choice(["clear", "double acrylic"])
    sheet = loads_text(
        f"site: {rng.choice(['miami', 'greensboro', 'sand point'])}\n"
        f"month: {MONTHS[month]}\nunits: si\n"
        f"body: {{kind: {kind}, colour: {rng.choice(['white', 'black'])},"
        f" leakage: {rng.choice(['tight', 'ordinary', 'leaky'])},"
        f" roof state: {rng.choice(['dry', 'wet', 'snow'])}"
        f"{', ribs: ' + RIBS if is_van and rng.random() < 0.5 else ''}}}\n"
        f"stacks: {{roof: [steel 0.9 mm{layers}, plywood 6 mm],"
        f" walls: [steel 20 gauge{layers}, plywood 6 mm],"
        f" floor: [steel 1.2 mm, XPS 1 in, plywood 1/2 in]}}\n"
        f"{rng.choice(CABS) if is_van else ''}"
        f"{'garage: {}' if is_van and rng.random() < 0.5 else ''}\n"
        f"windows:\n"
        f"  - {{name: left, side: left, area: 0.4 m2, glass: {glass}, zone: living,"
        f" cover: {rng.choice(['curtain', 'insulated', 'reflective'])}, covered: night,"
        f" open: {rng.choice(['never', 'night', 'always'])}, opening: 0.1 m2}}\n"
        f"  - {{name: dome, side: roof, area: 0.16 m2, glass: acrylic, zone: living}}\n"
        f"people: {{sleepers: {rng.integers(0, 4)}, bedtime: 22:30, waking: 07:00}}\n"
        f"fans: {{by day: {rng.choice(['on', 'off'])}}}\n"
        f"loads:\n"
        f"  - {{name: fridge, kind: fridge, power: 55 W}}\n"
        f"  - {{name: drying, power: 0 W, when: 10:00 to 15:00, water: 200 g/h}}\n"
    )
    return sheet, month


def at_hours(run: Run) -> tuple[np.ndarray, np.ndarray]:
    """Return the nodes and the living space's air at the ends of hours."""
    hours = run.seconds[1:] / 3600.0
    on = np.abs(hours - np.round(hours)) < 1e-6
    return run.nodes[on], run.column("cabin_temp_c")[on]


@pytest.mark.slow
@pytest.mark.parametrize("way", ["closed", "fans"])
@pytest.mark.parametrize("seed", range(12))
def test_five_minutes_are_short_enough_for_any_van(seed: int, way: str) -> None:
    sheet, month = lot(np.random.default_rng(seed))
    scene = set_scene(sheet, invented.weather_of(sheet), 90.0)
    first = scene.place.weather.start
    start = datetime(first.year, month, 3, tzinfo=first.tzinfo)
    end = start + timedelta(days=4)
    plan = make_plan(sheet, scene.model, scene.place, way, start, end, (), 0.0)
    cabin = cabin_of(sheet, scene.model, plan.outside.pressure)
    (coarse, air), (fine, expected) = (
        at_hours(execute(scene.model, plan, cabin, scene.gear, base=base,
                         keep_nodes=True))
        for base in (300.0, 20.0)
    )  # fmt: skip
    # set before the first run: a tenth of a kelvin for the air, and no node that has lost its way
    assert np.sqrt(np.mean((air - expected) ** 2)) < 0.1
    assert np.abs(coarse - fine).max() < 3.0
