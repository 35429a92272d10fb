"""Every loss of the bus warms the zone that the sheet names, by its own column and to the watt.

The living space's share of what equipment gives off, `living_equipment_w`, and its heater's are
exported beside the sums over all zones. Which of the others is warmed shows in their temperatures.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.electric_vans import ALTERNATOR, COLD, HYDRONIC, ROOMS, Sections, columns, lived, van
from vanclimate.simulate.runs import Run

ZONES = ("living", "cab", "garage")
MAINS: Sections = {"loads": [{"name": "oven", "power": "900 W", "when": "11:00 to 14:00",
                              "feed": "inverter"}]}  # fmt: skip
NIGHTS = {"inlet": "15 A", "charger": "40 A", "hours": "22:00 to 06:00"}
HEATER = {"output": "2 kW", "when": "always"}
# section, its keys, what else the van needs, and the columns of watts that go to its zone
PARTS: dict[str, tuple[str, Sections, Sections, tuple[str, ...]]] = {
    "inverter and its cable": ("inverter", {"rating": "2000 W", "cable resistance": "5 mohm"},
                               MAINS, ("inverter_loss_w",)),
    "bank": ("battery", {"capacity": "200 Ah"}, MAINS | ALTERNATOR, ("battery_heat_w",)),
    "bank with a pad": ("battery", {"capacity": "200 Ah", "pad": "60 W"}, {"shore": NIGHTS},
                        ("battery_heat_w",)),
    "panels' controller": ("roof panels", {"power": "600 W"}, MAINS, ("source_loss_w",)),
    "panel on the ground": ("ground panel", {"power": "300 W"}, MAINS, ("source_loss_w",)),
    "DC-DC charger": ("dc charger", {"amps": "40 A"},
                      {k: v for k, v in ALTERNATOR.items() if k != "dc charger"} | MAINS,
                      ("source_loss_w",)),
    "charger on shore": ("shore", NIGHTS, MAINS, ("source_loss_w",)),
    "electric heater": ("electric heater", {"power": "800 W", "when": "always"},
                        {"shore": {"inlet": "30 A"}, "loads": []}, ("electric_heat_w",)),
    "heater's watts": ("heater", HEATER, {"loads": []}, ("heater_power_w",)),
    "hydronic heater's watts": ("heater", HYDRONIC, {"loads": []}, ("heater_power_w",)),
}  # fmt: skip
BASIS: Sections = {"loads": [], "people": {"sleepers": 2, "bedtime": "22:30", "waking": "07:00"}}


def run_with(name: str, zone: str) -> Run:
    """Return two cold days with the part in a zone and all that needs no such part away."""
    section, keys, more, _ = PARTS[name]
    others = {"inverter": {"rating": "2000 W", "on": "needed"},
              "shore": {"hours": "never"}} | more  # fmt: skip
    parts = ROOMS | BASIS | others | {section.replace(" ", "_"): keys | {"zone": zone}}
    return lived(van(COLD, **parts), 2.0, way="heat")


def elsewhere(run: Run) -> Any:
    """Return the watts of all equipment that warm other zones than the living space."""
    c = columns(run)
    return c["equipment_w"] - c["living_equipment_w"]


@pytest.mark.parametrize("name", PARTS)
def test_a_loss_warms_the_zone_that_is_named(name: str) -> None:
    runs = {zone: run_with(name, zone) for zone in ZONES}
    for zone, run in runs.items():  # all else stands in the living space
        watts = sum(columns(run)[n] for n in PARTS[name][3])
        assert np.abs(watts).max() > 1.0
        np.testing.assert_allclose(elsewhere(run), watts * (zone != "living"), rtol=1e-9, atol=1e-9)
    cab, garage = (runs[zone].zones[:, 1:, 3].mean(axis=0) for zone in ZONES[1:])
    assert cab[0] > garage[0]
    assert cab[1] < garage[1]


@pytest.mark.parametrize("keys", [HEATER, HYDRONIC])
@pytest.mark.parametrize("zone", ZONES)
def test_a_heater_s_heat_goes_to_its_zone(keys: Sections, zone: str) -> None:
    run = lived(van(COLD, **ROOMS, heater=keys | {"zone": zone}), 2.0, way="heat")
    c = columns(run)
    assert c["heater_w"].max() > 500.0
    np.testing.assert_allclose(c["living_heater_w"], c["heater_w"] * (zone == "living"), atol=1e-9)
    warmest = ZONES[int(np.argmax(run.zones[:, :, 3].mean(axis=0)))]
    assert warmest == zone
