"""Four 100 W panels flat on the roof, in amps at a 13.4 V bank, through the whole plan.

The figures were computed with pvlib; the conditions of the June figures are printed with them:
clear noon at 35 °N, GHI about 1000, cells at 75–85 °C, controller 0.97. Those of the December
figure are not, so that one allows for the day's temperature.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests import invented
from vanclimate.simulate.place import place_at
from vanclimate.simulate.plan import make_plan

VOLTS = 13.4


def noon(date: str, low: float, high: float, ghi: float | None) -> tuple[float, float, float]:
    """Return amps before soiling, global irradiance and cell temperature of the best hour."""
    scene = invented.scene(date=date, low=low, high=high, panels=400)
    weather = scene.place.weather
    peak = float(weather.ghi.max())
    if ghi is not None:
        k = ghi / peak
        weather = replace(weather, ghi=weather.ghi * k, dni=weather.dni * k, dhi=weather.dhi * k,
                          digest=f"{weather.digest} times {k}")  # fmt: skip
    place = place_at(scene.sheet, weather, 180.0)
    bed = invented.bedtime(scene)
    plan = make_plan(
        scene.sheet, scene.model, place, "closed", bed - timedelta(days=1), bed, [bed], 1.0
    )
    assert scene.sheet.roof_panels.controller_efficiency == 0.97
    clean = plan.schedule.solar / (1.0 - scene.sheet.roof_panels.soiling)
    hour = int(weather.ghi[:24].argmax())
    cells = float(place.panels.roof.temp[hour : hour + 2].mean())
    return float(clean.max()) / VOLTS, float(weather.ghi[hour]), cells


def test_june_noon() -> None:
    amps, ghi, cells = noon("06-21", 22.0, 36.0, 1000.0)
    assert ghi == pytest.approx(1000.0)
    assert 75.0 <= cells <= 85.0
    assert 23.0 <= amps <= 24.0
    assert 19.5 <= amps * 0.86 <= 20.4  # after 14 % of losses


def test_our_own_clear_sky_is_near_that() -> None:
    amps, ghi, _ = noon("06-21", 22.0, 36.0, None)
    assert ghi == pytest.approx(1000.0, abs=50.0)
    assert 0.95 * 23.0 <= amps <= 24.0


def test_december_noon() -> None:
    amps, _, _ = noon("12-21", 4.0, 16.0, None)
    # 11-13 A printed; 15 K of cell temperature, which is not, are 5.5 %
    assert 11.0 * 0.945 <= amps <= 13.0 * 1.055


def test_nameplate_amps_are_not_reached() -> None:
    amps, _, _ = noon("06-21", 22.0, 36.0, 1000.0)
    assert pytest.approx(29.9, abs=0.05) == 400.0 / VOLTS
    assert amps < 0.85 * 400.0 / VOLTS
