"""The amps of the panels' controllers in a run, at the bank's volts of the moment."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.electric_vans import Sections, day, lived, van

BRIGHT = day(12, 28, "06-10", 40)
QUIET: Sections = {"loads": [], "inverter": {"rating": "1000 W", "on": "needed"}}
ROOF: Sections = {"power": "1600 W", "controller current": "30 A"}
GROUND: Sections = {"power": "500 W", "when": "8:00 to 18:00", "controller current": "12 A"}


def midday(**sections: Any) -> tuple[Any, Any, Any, Any]:
    """Return the panels' amps at the volts of rows' ends, those volts, those of their starts.

    Of the rows that begin and end clipped, on a day when the bank takes all that the panels bring;
    and the run.
    """
    run = lived(van(BRIGHT, **QUIET | sections), 1.0, charge=0.3, way="closed")
    used, end = run.column("solar_used_w"), run.column("battery_voltage_v")
    assert used == pytest.approx(run.column("solar_available_w"))
    clipped = run.column("solar_clipped_w")
    some = (clipped > 5.0) & (np.roll(clipped, 1) > 5.0)
    assert some.sum() > 20
    return (used / end)[some], end[some], np.roll(end, 1)[some], run


@pytest.mark.parametrize(("bank", "volts"), [("12.8 V", 12.8), ("25.6 V", 25.6)])
@pytest.mark.parametrize(
    ("ground", "rated"), [({}, 30.0), ({"ground_panel": GROUND}, 42.0)], ids=["one", "two"]
)
def test_a_controller_gives_its_amps_at_the_banks_volts(
    bank: str, volts: float, ground: Sections, rated: float
) -> None:
    battery = {"capacity": "1000 Ah", "voltage": bank}
    amps, end, start, run = midday(battery=battery, roof_panels=ROOF, **ground)
    assert end.max() < 1.09 * volts < run.gear.cells.charge_voltage
    assert (amps <= rated * np.maximum(start, end) / end * (1.0 + 1e-9)).all()
    if not ground:  # two controllers reach their amps at different hours
        assert amps == pytest.approx(np.full(len(amps), rated), rel=0.01)
    assert amps.max() == pytest.approx(rated, rel=0.01)


def test_each_controller_loses_its_own_share_inside() -> None:
    parts = {"roof_panels": ROOF | {"zone": "living", "controller efficiency": "96 %"},
             "ground_panel": GROUND | {"zone": "living", "controller efficiency": "98 %"},
             "battery": {"capacity": "1000 Ah", "voltage": "25.6 V"}}  # fmt: skip
    run = lived(van(BRIGHT, **QUIET | parts), 1.0, charge=0.3, way="closed")
    volts = np.roll(run.column("battery_voltage_v"), 1)
    passed, rows = run.plan.schedule.solar[run.segment], slice(1, None)
    roof = np.minimum(passed[:, 0], 30.0 * volts)[rows]
    ground = np.minimum(passed[:, 1], 12.0 * volts)[rows]
    assert run.column("solar_used_w")[rows] == pytest.approx(roof + ground, rel=1e-3, abs=0.1)
    lost = roof * (1.0 / 0.96 - 1.0) + ground * (1.0 / 0.98 - 1.0)
    assert run.column("source_loss_w")[rows] == pytest.approx(lost, rel=1e-3, abs=0.1)
