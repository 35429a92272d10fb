"""What moves air in each segment of a plan, and the loop's flows against the formulae."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests import invented
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.physics.airflow import driven_flow, leakage_flow
from vanclimate.physics.opening_flow import door_drive, openings_drive, single_sided
from vanclimate.simulate.air import Moments, MovedAir, fan_air, moved_air, openings_of
from vanclimate.van.sheet import Sheet

MINUTES = np.arange(30.0, 1440.0, 60.0)
NIGHT = (MINUTES > 22 * 60) | (MINUTES < 7 * 60)
HOME = NIGHT | (MINUTES > 18 * 60) | (MINUTES < 9 * 60)
NIGHT_ROW, DAY_ROW, EVENING_ROW = 1, 12, 19


def moments(cooled: bool = False, chilly: bool = False) -> Moments:
    return Moments(MINUTES, NIGHT, HOME, NIGHT & cooled, np.full(len(MINUTES), chilly))


def air(sheet: Sheet, way: str, cooled: bool = False, chilly: bool = False) -> MovedAir:
    return moved_air(sheet, compile_shell(shell_of(sheet)), way, moments(cooled, chilly))


def with_window(area: str, when: str) -> Sheet:
    text = invented.TEXT.replace(
        "name: left window, side: left,",
        f"name: left window, opening: {area}, open: {when}, side: left,",
    )
    return invented.sheet_of(text)


def test_roof_fans_run_by_day_and_in_their_own_way_by_night():
    sheet = invented.sheet()
    through = fan_air(sheet, sheet.fans.open_window).total
    assert air(sheet, "fans").fan_flow[NIGHT_ROW, 0] == pytest.approx(through)
    assert air(sheet, "fans").fan_flow[DAY_ROW, 0] == pytest.approx(through)
    assert air(sheet, "closed").fan_flow[NIGHT_ROW, 0] == 0.0
    cooled = air(sheet, "ac", cooled=True)
    assert cooled.fan_flow[NIGHT_ROW, 0] == pytest.approx(2 * sheet.fresh_air)
    assert cooled.roof_power[NIGHT_ROW] == 0.0
    assert cooled.inside_power[NIGHT_ROW] == sheet.fresh_air_fan


def test_by_day_roof_fans_let_in_no_air_that_is_too_cold():
    moved = air(invented.sheet(), "fans", chilly=True)
    assert moved.fan_flow[DAY_ROW, 0] == 0.0
    assert moved.fan_flow[NIGHT_ROW, 0] > 0.0


def test_one_fan_in_and_one_out_move_balanced_air():
    moved = air(invented.sheet().with_value("fans.count", 2), "fans")
    assert moved.fan_flow[NIGHT_ROW, 0] == pytest.approx(0.0, abs=1e-12)
    assert moved.fan_balanced[NIGHT_ROW, 0] == pytest.approx(invented.sheet().fans.flow)
    assert moved.inside_power[NIGHT_ROW] == invented.sheet().fans.bed_fan_power


def test_what_is_left_as_installed_decides_where_the_sheet_says_it():
    sheet = invented.sheet().with_value("fans.installed", 0.6)
    assert fan_air(sheet, 0.01).total == pytest.approx(0.6 * sheet.fans.flow)
    assert fan_air(sheet.with_value("fans.count", 2), 0.01).total == pytest.approx(
        0.6 * sheet.fans.flow
    )


def test_a_window_is_open_when_the_sheet_says_so_and_never_while_it_cools():
    sheet = with_window("0.2 m2", "night")
    for way, cooled, opened in (("fans", False, 1), ("ac", True, 0), ("closed", False, 0)):
        calm = air(sheet, way, cooled).in_calm
        assert bool(calm[NIGHT_ROW, 0] > 0) == bool(opened), way
        assert calm[DAY_ROW, 0] == 0.0
    by_day = air(with_window("0.2 m2", "day"), "closed").in_calm
    assert by_day[DAY_ROW, 0] > 0.0
    assert by_day[NIGHT_ROW, 0] == 0.0


def test_an_open_window_takes_the_place_of_the_guessed_one_for_the_fan():
    sheet = with_window("0.3 m2", "night")
    moved = air(sheet, "fans")
    assert moved.fan_flow[NIGHT_ROW, 0] == pytest.approx(fan_air(sheet, 0.3).total)
    assert moved.fan_flow[DAY_ROW, 0] == pytest.approx(fan_air(sheet, 0.1).total)


def test_a_screened_window_alone_is_single_sided():
    sheet = with_window("0.25 m2", "night")
    moved = air(sheet, "fans")
    drive = moved.by_stack[NIGHT_ROW, 0], moved.by_wind[NIGHT_ROW, 0], moved.in_calm[NIGHT_ROW, 0]
    # a screen leaves 80 % of it; as high as wide
    assert driven_flow(4.0, 3.0, *drive) == pytest.approx(single_sided(0.2, 0.5, 4.0, 3.0))


def test_vents_are_open_always_and_lids_only_over_still_fans():
    vents = invented.sheet().with_value("vents.high", 75e-4).with_value("vents.low", 30e-4)
    for way in ("closed", "fans", "ac"):
        assert (air(vents, way, way == "ac").in_calm[:, 0] > 0.0).all()
    lids = invented.sheet().with_value("fans.lid", "open")
    calm = air(lids, "closed").in_calm[:, 0]
    assert calm[NIGHT_ROW] > 0.0
    assert calm[DAY_ROW] == 0.0


def test_the_door_is_used_while_somebody_is_in_and_awake():
    rate = air(invented.sheet(), "ac", cooled=True).door_rate
    assert rate[EVENING_ROW] == pytest.approx(2.0 / 3600.0)
    assert rate[NIGHT_ROW] == rate[DAY_ROW] == 0.0
    assert not air(invented.sheet(sleepers=0), "ac").door_rate.any()


def test_a_fan_draws_less_through_vents_alone():
    sheet = invented.sheet().with_value("fans.open_window", 0.0)
    tight = fan_air(sheet.with_value("body.leakage", 1e-4), 0.0).total
    leaky = fan_air(sheet, 0.0).total
    vented = fan_air(sheet.with_value("vents.high", 75e-4), 0.0).total
    assert 0.0 < tight < leaky < vented < sheet.fans.flow


def one_zone(hours: int = 24, **drives: Any) -> tuple[dict[str, Any], float]:
    """Run a heated box with such openings; return its last row and the steady difference [K]."""
    sheet = invented.sheet()
    model = compile_shell(shell_of(sheet))
    net = model.network
    out = invented.outside(len(net.area), len(net.capacity), hours, temp=5.0, wind=3.0)
    plan = invented.idle(hours, len(net.area), 1, air_gain=800.0, **drives)
    of = invented.cabin(
        1.2 * net.volume, leakage=0.006, stack=0.00011, shelter=0.000174,
        door=door_drive(1.9, 1.7), door_seconds=20.0,
    )  # fmt: skip
    rows, _ = invented.run_bare(net, out, plan, of, start=15.0)
    last = {name: float(column[-1]) for name, column in rows.items()}
    return last, last["cabin_temp_c"] - 5.0


def test_the_loops_flow_is_the_formulas_at_its_own_temperature():
    sheet = invented.sheet().with_value("vents.high", 75e-4).with_value("vents.low", 30e-4)
    model = compile_shell(shell_of(sheet))
    drive = openings_drive(openings_of(sheet, model, [], 0, lids=False), "some")
    last, k = one_zone(
        by_stack=drive.by_stack, by_wind=drive.by_wind, in_calm=drive.in_calm,
        fan_flow=0.02, fan_balanced=0.01, door_rate=2.0 / 3600.0,
    )  # fmt: skip
    natural = leakage_flow(0.006, k, 3.0, 0.00011, 0.000174) + driven_flow(k, 3.0, *drive)
    through = driven_flow(k, 3.0, *door_drive(1.9, 1.7))
    door = 2.0 / 3600.0 * min(model.network.volume[0], 20.0 * through)
    expected = 0.01 + np.hypot(natural, 0.02) + door
    assert last["air_flow_m3_s"] == pytest.approx(expected, rel=0.005)


def test_more_open_is_cooler():
    shut, vented, window = (one_zone(in_calm=c)[1] for c in (0.0, 1e-6, 1e-3))
    assert shut > vented > window > 0.0
