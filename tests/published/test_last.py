"""Will it last, against a lamp that empties a bank and a world that is a coin's flip.

The hour is scipy's integrator's on the bank's own volts and ohms, see `tests.lamp_vans`; the odds
are the binomial's. The vans are invented.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from tests.electric_vans import scene_of
from tests.lamp_vans import MEDIAN_HEALTH, coin_watts, evenings, hours_to, lamp_van, worlds
from vanclimate.answers.futures.odds import odds_of
from vanclimate.answers.futures.stays import CAUSES, COLUMN, judge_stays, run_stays, stays_of
from vanclimate.van.unknowns import OTHERS, UNKNOWNS, draws, triangle

ROW = 300.0 / 3600.0  # h: a failure is told at the end of its row
WITHIN = 0.003  # asked of the bus as a whole in tests/published/test_bus
HEALTH = OTHERS + [unknown.name for unknown in UNKNOWNS].index("battery health")


@pytest.mark.parametrize(
    ("kind", "capacity", "watts"),
    [("lithium", 100, 20), ("lithium", 200, 31), ("AGM", 200, 25), ("lithium", 630, 400)],
)
def test_a_lamp_empties_the_bank_to_its_reserve_on_the_reckoned_hour(kind, capacity, watts):
    scene = scene_of(lamp_van(watts, capacity, kind))
    expected = hours_to(scene.gear.cells, scene.gear.kept, watts)
    assert 15.0 < expected < 90.0
    stays = stays_of(scene.sheet, evenings(scene, 2, 4), 4)
    rows = judge_stays(run_stays(scene, stays), scene, stays)
    assert [CAUSES[int(x)] for x in rows[:, COLUMN["failed"]]] == ["charge", "charge"]
    # each begins anew with a full bank, so both fail alike
    for hours in rows[:, COLUMN["failed_after_h"]]:
        assert expected * (1.0 - WITHIN) <= hours <= expected * (1.0 + WITHIN) + ROW
    assert (rows[:, COLUMN["charge_margin"]] < 0.0).all()


def test_odds_of_a_coins_flip_are_right_within_the_binomial():
    """The bank's health alone decides, so half of the vans last, and those with the better one."""
    count, seed = 64, 5
    assert triangle(0.8, 1.0, 1.0)(0.5) == pytest.approx(MEDIAN_HEALTH)
    found = worlds(lamp_van(coin_watts()), count, seed=seed).run(keep=False)
    health = draws(count, seed)[:, HEALTH]
    held = found["failed"] == 0
    assert stats.binomtest(int(held.sum()), count, 0.5).pvalue > 0.2
    odds = odds_of(int(held.sum()), count, count)
    assert odds.low < 0.5 < odds.high
    clear = np.abs(health - 0.5) > 0.03  # nearer, a row of five minutes decides
    assert (held == (health > 0.5))[clear].all()
    assert {CAUSES[int(x)] for x in found["failed"]} == {"", "charge"}
