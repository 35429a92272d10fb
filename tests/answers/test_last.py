"""Will it last: odds of a world that is a coin's flip, the same answer again, the smallest change.

The vans are invented; what a lamp does to a bank is reckoned by an integrator, see `lamp_vans`.
"""

from __future__ import annotations

from itertools import pairwise
from math import ceil
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.electric_vans import COLD, FIXED, HOT, scene_of, van
from tests.lamp_vans import DAYS, MEDIAN_HEALTH, coin_watts, hours_to, lamp_van, worlds
from vanclimate.answers.futures.change import find_changes
from vanclimate.answers.futures.remedies import remedied, sizes_of
from vanclimate.answers.futures.stays import BASE_STEP
from vanclimate.answers.futures.worlds import Columns
from vanclimate.answers.last import last
from vanclimate.van import load
from vanclimate.van.remedies import Remedy
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import OTHERS, UNKNOWNS, draws

SCENARIOS = Path(__file__).parents[2] / "scenarios"
NAMES = [unknown.name for unknown in UNKNOWNS]


def test_what_decides_is_named_and_the_first_line_knows_the_day():
    answer = last(lamp_van(coin_watts()), days=DAYS, futures=32, search=False)
    assert answer.movers[0].name == "battery health"
    assert answer.movers[0].share > 0.9
    (cause,) = answer.causes
    assert (cause.kind, cause.day) == ("charge", 2)
    assert not answer.lasts
    assert answer.odds.independent == 1  # one made-up day
    assert all(balance.ratio < 1e-9 for balance in answer.balances)
    assert abs(answer.odds.share - 0.5) < 0.1


def test_no_bank_ends_with_less_than_nothing():
    answer = last(lamp_van(40.0), days=4, futures=12, search=False)
    assert (answer.futures["charge_end_ah"] < 0.0).all()
    (left,) = (f.value for f in answer.figures if f.name == "charge at the end, mean")
    assert left == 0.0


def test_the_hardest_stay_fails_on_the_reckoned_hour():
    sheet = lamp_van(25.0)  # nothing drawn: its own bank, new
    answer = last(sheet, days=3, futures=16, search=False)
    gear = scene_of(sheet).gear
    stay = answer.hardest
    assert stay.failed == "charge"
    assert stay.failed_at is not None
    hours = (stay.failed_at - stay.begins).total_seconds() / 3600.0
    expected = hours_to(gear.cells, gear.kept, 25.0)
    assert hours == pytest.approx(expected, rel=0.003, abs=BASE_STEP / 3600.0)
    assert len(answer.trace) > 0


def test_the_same_seed_gives_the_same_answer_and_another_nearly():
    sheet = lamp_van(coin_watts())
    one, again, other = (last(sheet, days=DAYS, futures=32, seed=seed, search=False)
                         for seed in (3, 3, 4))  # fmt: skip
    assert one.odds == again.odds
    assert one.movers == again.movers
    assert [f.value for f in one.figures] == [f.value for f in again.figures]
    alike(one.futures, again.futures)
    assert (one.futures["margin"] != other.futures["margin"]).any()
    assert abs(one.odds.share - other.odds.share) < 0.15


def alike(one: Columns, other: Columns) -> None:
    """Compare to the last bit."""
    assert list(one) == list(other)
    for name, values in one.items():
        assert values.tobytes() == other[name].tobytes(), name


@pytest.mark.slow
def test_any_number_of_workers_gives_the_same_futures():
    mine = worlds(van(HOT, air_conditioner=FIXED), 24, days=1)
    first = mine.run(keep=False, workers=1)
    for workers in (2, 4):
        alike(first, mine.run(keep=False, workers=workers))
    alike(first, mine.run())
    alike(first, mine.run())  # from what is kept


def listed(text: str, **more: Any) -> Sheet:
    return lamp_van(coin_watts(), remedies=[text], **more)


@pytest.mark.slow
@pytest.mark.parametrize("asked", [0.7, 0.9, 0.99])
def test_the_smallest_change_is_smallest(asked):
    """So much is enough on all futures, a step less is not, nor is half of it."""
    mine = worlds(listed("battery 1 Ah up to 40 Ah"), 64, seed=5)
    base = mine.run(keep=False)
    (change,) = find_changes(mine, base, asked).enough
    (remedy,) = mine.sheet.remedies
    (done,) = change.done
    assert done.name == "battery"
    assert done.size == pytest.approx(change.steps)
    assert change.steps > 2

    def share(size: float) -> float:
        failed = mine.changed(remedied(mine.sheet, remedy, size)).run(keep=False)["failed"]
        return float((failed == 0).mean())

    assert share(done.size) == pytest.approx(change.odds.share)
    assert share(done.size) >= asked
    assert share(done.size - 1.0) < asked
    assert share(done.size / 2.0) < asked
    # by hand: the worst van that must last needs the charge that the median one had
    shares = np.sort(draws(64, 5)[:, OTHERS + NAMES.index("battery health")])
    last_out = shares[64 - ceil(64 * asked)]
    worst = 0.8 + 0.2 * np.sqrt(last_out)
    assert done.size == pytest.approx(100.0 * (MEDIAN_HEALTH / worst - 1.0), abs=1.1)


def test_a_remedy_of_which_the_most_is_too_little_is_told_short():
    mine = worlds(listed("battery 1 Ah up to 3 Ah"), 32, seed=5)
    found = find_changes(mine, mine.run(keep=False), 0.99)
    assert not found.enough
    assert [short.done.name for short in found.short] == ["battery"]
    assert 0.0 < found.short[0].turned < 1.0


def flips(sheet: Sheet, what: str, count: int, days: int = DAYS) -> list[int]:
    """Return how many futures hold by more and more of a remedy; none that held may fail."""
    mine = worlds(sheet, count, days)
    remedy = Remedy(what=what)
    sizes = sizes_of(sheet, remedy)
    tried = [sheet, *(remedied(sheet, remedy, x) for x in sizes[:: max(1, len(sizes) // 3)])]
    held = [mine.changed(other).run(keep=False)["failed"] == 0 for other in tried]
    for less, more in pairwise(held):
        assert not (less & ~more).any(), what
    return [int(x.sum()) for x in held]


PANELS = {"power": "100 W"}
DRIVEN = {"alternator": "180 A", "dc charger": "30 A",
          "driving": {"hours": "10:00 to 10:30", "speed": "town"}}  # fmt: skip
MORE = {
    "battery": lambda: van(HOT, air_conditioner=FIXED, battery={"capacity": "600 Ah"}),
    "roof panels": lambda: lamp_van(
        40.0, roof_panels=PANELS, people={"sleepers": 0, "limit": "35 C"}
    ),
    "driving": lambda: lamp_van(40.0, **DRIVEN),
    "fuel": lambda: van(COLD, heater={"output": "3 kW", "when": "always", "setpoint": "21 C",
                                      "tank": "5 L"}, battery={"capacity": "900 Ah"}),
    "insulation": lambda: van(COLD, heater={"output": "1.2 kW", "when": "always",
                                            "setpoint": "21 C", "tank": "40 L"},
                              battery={"capacity": "900 Ah"}),
}  # fmt: skip
"""Not here, for physics does not promise it: shade, which takes from panels what it saves the AC;
foam in the heat, which keeps the evening's warmth in; a larger air conditioner, which draws more; a
larger heater, whose least output grows with it, so that it stops, starts and swings; panels over a
bare roof in the cold, which keep the sun off it."""


@pytest.mark.slow
@pytest.mark.parametrize("what", MORE)
def test_more_never_lowers_the_odds(what):
    held = flips(MORE[what](), what, 24, days=3 if what == "fuel" else DAYS)
    print(f"{what}: {held} of 24")
    assert held == sorted(held)
    assert held[-1] > held[0]


@pytest.mark.slow
def test_more_driving_leaves_more_charge_hour_by_hour():
    sheet = MORE["driving"]()
    mine = worlds(sheet, 12)
    margins = [mine.run(keep=False)["charge_end_ah"]]
    for size in sizes_of(sheet, Remedy(what="driving"))[1::2]:
        changed = mine.changed(remedied(sheet, Remedy(what="driving"), size))
        margins.append(changed.run(keep=False)["charge_end_ah"])
    for less, more in pairwise(margins):
        assert (more >= less - 1e-6).all()
    assert (margins[1] > margins[0] + 10.0).all()


@pytest.mark.slow
def test_a_working_van_in_winter_runs_and_closes_its_books():
    answer = last(load(SCENARIOS / "winter-work-van.yaml"), days=3, futures=40, search=False)
    assert answer.odds.of == 40
    vans = len(set(answer.futures["draw"].tolist()))
    assert answer.odds.independent == min(31 // 3, vans)
    assert {balance.name for balance in answer.balances} >= {"energy", "water", "charge", "fuel"}
    assert all(balance.ratio < 1e-9 for balance in answer.balances)
    assert answer.main == "heat"
    assert (answer.futures["fuel_l"] > 0.0).all()
    assert np.isfinite(answer.futures["margin"]).all()
    for failed, margin in zip(answer.futures["failed"], answer.futures["margin"], strict=True):
        assert (failed > 0) == (margin <= 1e-9)
