"""Invented vans with sources, bank, inverter, loads and heaters, and runs of a few days of them.

No figure here is a check.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np
import pandas as pd

from tests import invented
from vanclimate.answers.scene import Scene, set_scene
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import Plan, make_plan
from vanclimate.simulate.runs import BASE_STEP, Run, execute
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

Sections = dict[str, Any]

LAYERS = ("steel 0.9 mm", "sprayed foam 40 mm", "plywood 6 mm")
BASE: Sections = {
    "body": {"length": "3.6 m", "width": "1.78 m", "height": "1.88 m", "colour": "white"},
    "stacks": {"roof": LAYERS, "walls": LAYERS, "floor": ("steel 1.2 mm", "XPS 25 mm",
                                                          "plywood 12 mm")},
    "windows": [{"name": "left window", "side": "left", "area": "0.4 m2", "glass": "clear"}],
    "people": {"sleepers": 2, "bedtime": "22:30", "waking": "07:00"},
    "battery": {"capacity": "200 Ah"},
    "inverter": {"rating": "3000 W"},
    "loads": [
        {"name": "fridge", "kind": "fridge", "power": "55 W"},
        {"name": "lights", "power": "20 W", "when": "19:00 to 22:30"},
        {"name": "kettle", "power": "1200 W", "when": "07:00 to 07:10, 17:00 to 17:06",
         "feed": "inverter", "water": "600 g/h"},
    ],
}  # fmt: skip
FIXED = {"capacity": "3.5 kW", "power": "1250 W", "airflow": "300 CFM", "by day": "hold 25 C"}
VARIABLE = FIXED | {"speed": "variable"}
HEAT_PUMP = VARIABLE | {"heats": "yes", "heating when": "always", "heats down to": "-15 C"}
AIR_HEATER = {"output": "2 kW", "when": "always", "tank": "40 L"}
HYDRONIC = {"kind": "hydronic", "output": "4 kW", "when": "always", "tank": "40 L"}
ALTERNATOR: Sections = {"alternator": "220 A", "dc charger": "2 x 30 A",
                        "driving": "3 h a day from 10:00"}  # fmt: skip
ROOMS: Sections = {
    "body": {"kind": "long high van"}, "cab": {"divider": "curtain"}, "garage": {},
    "stacks": {"roof": LAYERS, "walls": LAYERS, "floor": ("steel 1.2 mm", "plywood 12 mm")},
    "windows": [],
}  # fmt: skip


def day(low: float, high: float, date: str, humidity: float = 60) -> Sections:
    """Return a site of equal made-up days."""
    figures = {"low": f"{low} C", "high": f"{high} C", "humidity": f"{humidity} %"}
    return {"design day": figures | {"latitude": 38, "longitude": -90, "date": date}}


HOT, COLD = day(22, 35, "07-10", 70), day(-9, 3, "01-15", 70)


def van(site: Sections = HOT, **sections: Any) -> Sheet:
    """Return the sheet of `BASE` with some sections changed, underscores for blanks."""
    named = {key.replace("_", " "): value for key, value in sections.items()}
    whole = {"name": "invented for a test", "units": "si", "heading": "180 deg", "site": site}
    return loads_text(json.dumps({k: v for k, v in (whole | BASE | named).items()
                                  if v is not None}))  # fmt: skip


def scene_of(sheet: Sheet) -> Scene:
    """Return the sheet's scene at its heading."""
    return set_scene(sheet, invented.weather_of(sheet), 180.0)


def plan_of(
    scene: Scene, days: float, *, charge: float | None = None, way: str | None = None,
    since: float = 0.0,
) -> Plan:  # fmt: skip
    """Return a plan from midnight, ``since`` days on, the bank followed from its start.

    ``charge`` is a share of the capacity then; full unless given.
    """
    first = scene.place.weather.start
    midnight = first.replace(hour=0, minute=0) + timedelta(days=since)
    ah = (1.0 if charge is None else charge) * scene.gear.cells.capacity
    return make_plan(scene.sheet, scene.model, scene.place, way or scene.main_way, midnight,
                     midnight + timedelta(days=days), [midnight], ah)  # fmt: skip


def run_of(scene: Scene, plan: Plan, *, base: float = BASE_STEP, nodes: bool = False) -> Run:
    """Run a plan."""
    cabin = cabin_of(scene.sheet, scene.model, plan.outside.pressure)
    return execute(scene.model, plan, cabin, scene.gear, base=base, keep_nodes=nodes)


def lived(
    sheet: Sheet, days: float, *, base: float = BASE_STEP, nodes: bool = False, **of_plan: Any
) -> Run:
    """Run a sheet for some days from midnight on, see `plan_of`."""
    scene = scene_of(sheet)
    return run_of(scene, plan_of(scene, days, **of_plan), base=base, nodes=nodes)


def with_solar(plan: Plan, solar: Any) -> Plan:
    """Return a plan whose panels bring other watts, the sun on the shell as it was."""
    return replace(plan, schedule=plan.schedule._replace(solar=np.asarray(solar)))


def columns(run: Run) -> dict[str, np.ndarray[Any, Any]]:
    """Return a run's columns by name, through its frame."""
    frame: pd.DataFrame = run.frame()
    return {name: frame[name].to_numpy() for name in frame.columns}


def kwh(run: Run, name: str) -> float:
    """Return the integral of a column of watts [kWh]."""
    return run.total(name) / 3.6e6
