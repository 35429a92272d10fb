"""The heat of a load's vapour: of its own watts, or of the room."""

from __future__ import annotations

import numpy as np
import pytest

from tests import invented
from vanclimate.answers.scene import run_way, set_scene
from vanclimate.simulate.loads import Drawn, load_arrays

NOON = np.array([12 * 60.0])


def drawn_with(load: str) -> tuple[Drawn, Drawn]:
    """Return what is drawn at noon with a load more, and without it."""
    more = invented.sheet_of(f"{invented.TEXT}  - {{{{name: more, {load}}}}}\n")
    return load_arrays(more, NOON), load_arrays(invented.sheet(), NOON)


@pytest.mark.parametrize(
    ("load", "warmth"),
    [
        # by hand: 0.1 kg/h of 2.45 MJ/kg are 0.1 * 2.45e6 / 3600 = 68.06 W
        ("water: drying clothes", -68.06),
        # 0.3 kg/h are 204.17 W
        ("water: 300 g/h", -204.17),
        # 1 kg/h of cooking takes 680.56 W of a plate's 1000 W, and no more than a plate has
        ("power: 1000 W, water: cooking", 1000.0 - 680.56),
        ("power: 300 W, water: cooking", 0.0),
        ("power: 10 W, water: drying clothes", 0.0),
        # food and showers are hot from a heat that the sheet does not tell
        ("water: cooking", 0.0),
        ("water: shower", 0.0),
    ],
)
def test_vapour_takes_its_heat_of_the_load_or_else_of_the_room(load: str, warmth: float) -> None:
    with_load, without = drawn_with(load)
    assert living(with_load, "heat") - living(without, "heat") == pytest.approx(warmth, abs=0.01)
    assert living(with_load, "water") - living(without, "water") > 0.0


def living(drawn: Drawn, what: str) -> float:
    """Return heat [W] or water [kg/s] into the living space, of loads with watts and without."""
    powered, free = getattr(drawn, what)[0, :, :, 0], getattr(drawn, f"free_{what}")[0, 0]
    return float(powered.sum() + free)


def test_clothes_cool_the_room_that_they_hang_in() -> None:
    text = invented.TEXT + "  - {{name: washing, water: drying clothes, zone: garage}}\n"
    sheet = invented.sheet_of(text + "garage: {{length: 1.2 m, height: 0.8 m}}\n")
    heat = load_arrays(sheet, NOON).free_heat[0]
    assert heat[sheet.zones.index("garage")] == pytest.approx(-68.06, abs=0.01)
    assert heat[0] == 0.0


def test_what_needs_no_power_goes_on_when_the_bank_is_empty() -> None:
    text = invented.TEXT + "  - {{name: washing, water: drying clothes}}\n"
    text += "  - {{name: heater, power: 400 W}}\n"
    made = invented.sheet_of(text, bank=40, kettle_water=0, sleepers=0)
    scene = set_scene(made, invented.weather_of(made), 180.0)
    night = run_way(scene, "closed", invented.bedtime(scene))
    dead = night.column("unserved_w") > 400.0
    assert dead.any()
    water = night.column("load_water_kg_s")[dead]
    assert water == pytest.approx(0.1 / 3600.0)  # 100 g/h, as the library says
    assert night.column("equipment_w")[dead].max() < 0.0  # and it still cools the room
