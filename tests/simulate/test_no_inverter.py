"""A van without an inverter: nothing idles, and mains sockets are served on shore alone."""

from __future__ import annotations

import numpy as np
import pytest

from tests.electric_vans import FIXED, HOT, columns, day, kwh, lived, van
from vanclimate.answers.stops import stop_notes

MILD = day(14, 24, "09-10")
FRIDGE = {"name": "fridge", "kind": "fridge", "power": "55 W"}
KETTLE = {"name": "kettle", "power": "1000 W", "when": "07:00 to 08:00, 18:00 to 19:00",
          "feed": "inverter"}  # fmt: skip
EVENING = {"hours": "17:00 to 21:00", "inlet": "30 A", "charger": "none"}


def test_nothing_idles() -> None:
    loads = [FRIDGE, {"name": "lights", "power": "10 W", "when": "19:00 to 22:00"}]
    run = lived(van(MILD, inverter=None, loads=loads), 1)
    found = columns(run)
    assert not found["inverter_loss_w"].any()
    drawn = found["fridge_w"] + found["fans_w"] + found["loads_w"]
    assert found["draw_w"] == pytest.approx(drawn)
    with_one = lived(van(MILD, inverter={}, loads=loads), 1)
    assert kwh(with_one, "inverter_loss_w") == pytest.approx(20 * 24 / 1000, rel=0.02)  # and cable


def test_mains_sockets_are_served_on_shore_alone() -> None:
    sheet = van(MILD, inverter="none", shore=EVENING, loads=[FRIDGE, KETTLE])
    run = lived(sheet, 1)
    found = columns(run)
    hour = run.seconds[:-1] / 3600.0
    for start, watts in ((7.0, 0.0), (18.0, 1000.0)):
        part = (hour > start + 0.01) & (hour < start + 0.9)
        assert part.any()
        assert found["loads_w"][part] == pytest.approx(watts)
        assert found["shore_passed_w"][part] == pytest.approx(watts)
    assert not found["inverter_loss_w"].any()
    (note,) = stop_notes(sheet, run)
    assert "without an inverter the kettle runs on shore alone: not served at 07:00" in note


def test_an_air_conditioner_waits_for_shore() -> None:
    sheet = van(HOT, inverter="none", shore=EVENING, loads=[FRIDGE], air_conditioner=FIXED)
    run = lived(sheet, 1)
    found, hour = columns(run), run.seconds[:-1] / 3600.0
    off_shore = (hour < 16.99) | (hour > 21.01)
    assert not found["ac_power_w"][off_shore].any()
    assert kwh(run, "ac_power_w") > 1.0
    # the bank serves the fridge and the fans, and neither cooling nor an inverter
    lost = np.minimum(found["battery_current_a"], 0.0)
    assert lost[off_shore].min() > -15.0
    assert any(
        "the air conditioner runs on shore alone: it waits" in note
        for note in stop_notes(sheet, run)
    )
