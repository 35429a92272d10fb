"""Arrays of modules: books, limits, shadows, and what a sheet without strings gives."""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import invented
from tests.van.test_van_sheet import SMALLEST
from vanclimate.energy.array import (
    Light,
    array_power,
    controllers_of,
    marks_of,
    started,
    strings_power,
    sunny_modules,
)
from vanclimate.simulate.gear import gear_of
from vanclimate.simulate.panels import solar_of, sun_on_panels
from vanclimate.site import find_site
from vanclimate.van import loads_text
from vanclimate.van.panels import GroundPanel, RoofPanels

QUICK = settings(max_examples=80, deadline=None, derandomize=True, database=None)
DAY = np.arange(0.0, 1440.0, 30.0)
on_12_volts = partial(array_power, nominal=12.8)


def roof(**keys: str) -> RoofPanels:
    return RoofPanels.model_validate({key.replace(" ", "_"): value for key, value in keys.items()})


def clear_day(cells: float = 45.0, brightness: float = 1.0) -> Light:
    light = brightness * np.maximum(np.sin((DAY / 1440.0 - 0.25) * 2 * np.pi), 0.0)
    warm = cells - 20.0 + 20.0 * light
    return Light(light * (1 - 0.0037 * (warm - 25.0)), light, warm, DAY)


def full_power(panels: Any, at: Light) -> Any:
    return at.ratio * panels.power * (1 - panels.soiling)


@pytest.mark.parametrize("site", ["miami", "sand point"])
@pytest.mark.parametrize("watts", [50.0, 400.0, 1000.0])
def test_a_sheet_that_gives_power_alone_gives_the_same_bits(site: str, watts: float) -> None:
    sheet = invented.sheet(panels=watts)
    panels, weather = sheet.roof_panels, find_site(site)
    sun = sun_on_panels(sheet, weather, 180.0)
    row = np.arange(weather.n)
    found = solar_of(sheet, sun, row, 60.0 * (row % 24) + 30.0, 14.2)
    plain = sun.roof.power_ratio * watts * (1 - panels.soiling) * panels.controller_efficiency
    assert np.array_equal(found.power, plain)
    assert np.array_equal(found.passed.T, [plain, 0.0 * plain])  # no amps limit it
    assert np.isnan(found.roof.open_circuit).all()


def test_strings_with_volts_to_spare_give_what_power_alone_gives() -> None:
    at = clear_day()
    plain = on_12_volts(roof(power="400 W"), at, 14.2)
    wired = on_12_volts(roof(power="400 W", in_series="2"), at, 14.2)
    assert wired.power == pytest.approx(plain.power)
    assert np.nanmax(wired.roof.open_circuit) < 50.0
    lit = plain.power > 0.1
    assert (wired.roof.working[lit] < wired.roof.open_circuit[lit]).all()


@QUICK
@given(
    series=st.integers(1, 4), parallel=st.integers(1, 3), shaded=st.integers(0, 12),
    volts=st.floats(10.0, 60.0), cells=st.floats(-20.0, 80.0), light=st.floats(0.0, 1.2),
)  # fmt: skip
def test_what_is_not_given_has_a_cause(
    series: int, parallel: int, shaded: int, volts: float, cells: float, light: float
) -> None:
    count = series * parallel
    panels = roof(module_power="100 W", in_series=str(series), in_parallel=str(parallel),
                  shaded=f"{min(max(shaded, 1), count)} of {count}, 12:00 to 13:00")  # fmt: skip
    at = clear_day(cells, light)
    found = strings_power(panels, at, volts)
    parts = (found.power, found.lost_to_shadow, found.lost_to_volts)
    assert all((part >= -1e-9).all() for part in parts)
    assert sum(parts) == pytest.approx(full_power(panels, at), abs=1e-9)
    noon = (DAY >= 720) & (DAY < 780)
    assert not found.lost_to_shadow[~noon].any()
    assert (found.working <= found.open_circuit + 1e-9).all()


@QUICK
@given(series=st.integers(1, 4), parallel=st.integers(1, 3), cells=st.floats(0.0, 80.0))
def test_more_shadow_and_a_higher_bank_never_give_more(
    series: int, parallel: int, cells: float
) -> None:
    count = series * parallel
    at, best = clear_day(cells), np.inf
    for shaded in range(1, count + 1):
        panels = roof(module_power="100 W", in_series=str(series), in_parallel=str(parallel),
                      shaded=f"{shaded} of {count}, 9:00 to 15:00")  # fmt: skip
        sums = [strings_power(panels, at, volts).power.sum() for volts in (12.0, 14.4, 28.8, 57.6)]
        assert sums == sorted(sums, reverse=True)
        assert sums[0] <= best + 1e-9
        best = sums[0]


def test_shadows_fill_one_string_after_another() -> None:
    found = sunny_modules(2, 3, np.array([0, 1, 2, 3, 6]))
    assert found.tolist() == [[2, 2, 2], [1, 2, 2], [0, 2, 2], [0, 1, 2], [0, 0, 0]]


def test_one_module_of_four_in_the_shade() -> None:
    # a half of two by two: whichever way, two modules' worth; three quarters of all four in series
    # or side by side
    shares = {}
    for series in (1, 2, 4):
        panels = roof(power="400 W", in_series=str(series), shaded="1 of 4, 12:00 to 13:00")
        at = clear_day(25.0)
        found = strings_power(panels, at, 12.0)
        noon = DAY == 720
        shares[series] = float(found.power[noon][0] / full_power(panels, at)[noon][0])
    assert shares == pytest.approx({1: 0.75, 2: 0.5, 4: 0.75})


def test_of_several_shadows_at_once_the_largest_counts() -> None:
    panels = roof(power="400 W", in_series="4",
                  shaded="1 of 4, 12:00 to 15:00, 3 of 4, 14:00 to 16:00")  # fmt: skip
    at = clear_day(25.0)
    share = strings_power(panels, at, 12.0).power / np.maximum(full_power(panels, at), 1e-9)
    assert share[DAY == 750.0] == pytest.approx(0.75)
    assert share[DAY == 870.0] == pytest.approx(0.25)
    assert share[DAY == 960.0] == pytest.approx(1.0)
    assert marks_of(panels, None) == {720, 900, 840, 960}


def test_a_lone_module_in_the_heat_is_held_above_its_best_voltage() -> None:
    # 18.45 V at 25 °C are 14.0 V at 75; a bank at 14.4 V and 1 V of headroom ask for 15.4 V
    panels = roof(power="100 W", in_series="1")
    at = Light(np.ones(3), np.ones(3), np.array([25.0, 75.0, 90.0]), np.full(3, 720.0))
    found = strings_power(panels, at, 14.4)
    share = found.power / full_power(panels, at)
    assert share[0] == 1.0
    assert 0.85 < share[1] < 0.97
    assert share[2] < share[1]
    assert found.working == pytest.approx([18.41, 15.4, 15.4], abs=0.05)


def test_a_controller_starts_high_and_stays_awake_lower() -> None:
    volts = np.array([0.0, 16.0, 19.0, 16.0, 15.0, 19.0, 14.9, 16.0, 18.9])
    assert started(volts, 18.0, 15.0).tolist() == [
        False, False, True, True, True, True, False, False, True,
    ]  # fmt: skip


@pytest.mark.parametrize(("kind", "volts"), [("lithium", 12.8), ("lithium", 25.6), ("AGM", 48.0)])
def test_the_usual_controller_goes_by_the_banks_volts(kind: str, volts: float) -> None:
    sheet = loads_text(
        SMALLEST + f"battery: {{kind: {kind}, voltage: {volts} V}}\n"
        "roof panels: {power: 800 W}\nground panel: {power: 120 W}\n"
    )
    amps = gear_of(sheet, 101325.0).controllers
    # a quarter more than the nameplate's amps at the bank's nominal voltage
    assert (amps.roof_amps, amps.ground_amps) == pytest.approx((1000 / volts, 150 / volts))


@pytest.mark.parametrize("amps", [5.0, 15.0, 20.0, 30.0])
def test_amps_beyond_the_controllers_do_not_count(amps: float) -> None:
    panels, at = roof(power="400 W", controller_current=f"{amps} A"), clear_day()
    free, found = on_12_volts(roof(power="400 W"), at, 14.2), on_12_volts(panels, at, 14.2)
    assert found.passed.sum(axis=1) == pytest.approx(free.power)
    assert found.power == pytest.approx(np.minimum(free.power, amps * 14.2))


def ground(**keys: str) -> GroundPanel:
    return GroundPanel.model_validate({"power": "120 W", **keys})


def test_a_panel_on_the_ground_adds_its_power_less_its_cable() -> None:
    at = clear_day()
    alone = on_12_volts(roof(power="400 W"), at, 14.2)
    both = on_12_volts(roof(power="400 W"), at, 14.2, ground(), at)
    assert both.power - alone.power == pytest.approx(at.ratio * 120.0 * 0.95 * 0.97 * 0.97)
    assert pytest.approx(np.array([alone.power, both.power - alone.power])) == both.passed.T


def test_it_stands_out_at_its_times_only() -> None:
    at = clear_day()
    found = on_12_volts(roof(), at, 14.2, ground(when="10:00 to 14:00"), at)
    lit = DAY[found.power > 0]
    assert (lit.min(), lit.max()) == (600.0, 810.0)
    assert marks_of(None, ground(when="10:00 to 14:00")) == {600, 840}


def test_on_the_roofs_controller_its_amps_bound_both() -> None:
    panels, at = roof(power="400 W", controller_current="20 A"), clear_day()
    shared = on_12_volts(panels, at, 14.2, ground(controller="roof"), at)
    apart = on_12_volts(panels, at, 14.2, ground(), at)
    assert shared.power.max() == pytest.approx(20.0 * 14.2)
    assert apart.power.max() > 20.0 * 14.2
    assert not shared.passed[:, 1].any()


def test_a_controllers_heat_stays_inside_where_it_hangs_inside() -> None:
    panels = roof(power="400 W", controller_current="20 A", zone="garage")
    alone = controllers_of(panels, None, 12.8)
    assert alone.roof_heat == pytest.approx(1 / 0.97 - 1)
    assert (alone.roof_amps, alone.ground_amps, alone.ground_heat) == (20.0, 0.0, 0.0)
    own = ground(controller_current="8 A", controller_efficiency="96 %", zone="living")
    assert controllers_of(roof(), own, 12.8)[1:] == pytest.approx((8.0, 0.0, 1 / 0.96 - 1))
    assert controllers_of(panels, ground(controller="roof"), 12.8) == alone


def test_it_stands_in_the_sun_beside_the_shade_and_faces_noon() -> None:
    shaded = invented.sheet().with_value("shade", invented.sheet().shade.model_copy(
        update={"beam_transmission": 0.2, "diffuse_transmission": 0.4}))  # fmt: skip
    weather = find_site("greensboro")
    free = shaded.with_value("ground_panel", ground())
    under = shaded.with_value("ground_panel", ground(in_shade="yes"))
    suns = [sun_on_panels(sheet, weather, 90.0) for sheet in (free, under)]
    sums = [sun.ground.power_ratio.sum() for sun in suns if sun.ground is not None]
    assert 0.2 * sums[0] < sums[1] < 0.45 * sums[0]
    faced = shaded.with_value("ground_panel", ground(facing="S"))
    other = sun_on_panels(faced, weather, 0.0).ground
    assert other is not None
    assert other.power_ratio.sum() == pytest.approx(sums[0])
    turned = shaded.with_value("ground_panel", ground(facing="N"))
    away = sun_on_panels(turned, weather, 0.0).ground
    assert away is not None
    assert away.power_ratio.sum() < 0.8 * sums[0]


def test_snow_on_the_roof_leaves_the_ground_panel() -> None:
    sheet = invented.sheet().with_value("ground_panel", ground())
    snowy = sheet.with_value("body.roof_state", "snow 10 cm")
    weather = find_site("greensboro")
    row = np.arange(4000, 4200)
    found = solar_of(snowy, sun_on_panels(snowy, weather, 0.0), row, 60.0 * (row % 24), 14.2)
    assert not found.roof.power.any()
    assert found.power.max() > 50.0
