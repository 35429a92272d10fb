"""The unknowns: how they are drawn, how they hang together, and that every drawn sheet is a van."""

from __future__ import annotations

from functools import lru_cache
from math import log, pi
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from scipy import stats

from tests.electric_vans import COLD, FIXED, HEAT_PUMP, van
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.simulate.gear import gear_of
from vanclimate.van import load
from vanclimate.van import unknowns as of
from vanclimate.van.fields import specs
from vanclimate.van.guesses import Guess
from vanclimate.van.sheet import Sheet

SCENARIOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.yaml"))
MANY = 1024
BY_NAME = {unknown.name: unknown for unknown in of.UNKNOWNS}
RIBBED: dict[str, Any] = {
    "length": "3.6 m", "width": "1.78 m", "height": "1.88 m",
    "ribs": {"kind": "hat", "depth": "1-1/4 in", "width": "2-1/2 in", "spacing": "20 in"},
}  # fmt: skip
MADE = {
    "nobody sleeps": lambda: van(people={"sleepers": 0}),
    "no inverter": lambda: van(inverter=None, loads=[{"name": "lights", "power": "20 W"}]),
    "ribs described": lambda: van(body=RIBBED),
    "a heat pump": lambda: van(COLD, air_conditioner=HEAT_PUMP),
    "a heat pump just above its heat": lambda: van(
        COLD, air_conditioner=HEAT_PUMP | {"setpoint": "21.5 C", "heating setpoint": "20 C"}
    ),
    "a heater held low": lambda: van(
        COLD, heater={"setpoint": "8 C", "when": "home", "otherwise": "hold 7 C"}
    ),
    "a weak inverter": lambda: van(
        inverter={"rating": "150 W", "idle": "4 W"}, loads=[{"name": "lights", "power": "20 W"}]
    ),
    "an inverter measured twice, loss straight in its watts": lambda: van(
        inverter={
            "rating": "2 kW",
            "idle": "10 W",
            "efficiency": "90 %",
            "full load efficiency": "90.5 %",
        }
    ),
    "an inverter measured at its full load": lambda: van(
        inverter={"rating": "2 kW", "idle": "10 W", "full load efficiency": "80 %"}
    ),
    "bed after midnight": lambda: van(people={"bedtime": "00:10", "waking": "02:00"}),
    "home late": lambda: van(
        people={"bedtime": "22:30", "waking": "07:00", "home": "22:20 to 07:00"}
    ),
    "no panels": lambda: van(roof_panels=None),
    "a sick bank": lambda: van(battery={"capacity": "50 Ah", "health": "30 %"}),
    "no glass": lambda: van(windows=[]),
}
ALL = [*(path.stem for path in SCENARIOS), *MADE]


@lru_cache
def sheet_of(name: str) -> Sheet:
    return (
        MADE[name]()
        if name in MADE
        else load(next(path for path in SCENARIOS if path.stem == name))
    )


def guesses(sheet: Sheet) -> dict[str, Guess]:
    return {guess.path: guess for guess in sheet.guessed}


def test_the_same_seed_draws_the_same_to_the_last_digit(tmp_path, monkeypatch):
    first = of.draws(200, 7)
    of.kept_draws.cache_clear()
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path))  # nothing kept to read it from
    again = of.draws(200, 7)
    assert first is not again
    assert (first == again).all()
    assert (of.draws(200, 8) != again).any(axis=0).all()


@pytest.mark.parametrize(("few", "many"), [(1, 16), (16, 17), (40, 100), (100, 1000)])
def test_the_first_draws_of_many_are_those_of_few(few, many):
    assert (of.draws(many, 3)[:few] == of.draws(few, 3)).all()
    assert len(of.draws(few, 3)) == few


def test_the_first_sheets_of_many_are_those_of_few():
    sheet = sheet_of("holds")
    assert [*of.drawn_sheets(sheet, 12, 3)][:5] == [*of.drawn_sheets(sheet, 5, 3)]


def test_each_column_is_uniform():
    # Kolmogorov and Smirnov's test at 5 % of a plain sample, which a Sobol sequence passes easily
    for column in of.draws(MANY).T:
        assert stats.kstest(column, "uniform").pvalue > 0.05
        assert 0.0 < column.min() < column.max() < 1.0


def test_the_links_are_rank_correlations_and_all_else_is_free():
    names = [unknown.name for unknown in of.UNKNOWNS]
    ranks = np.asarray(stats.spearmanr(of.draws(MANY)[:, of.OTHERS :]).statistic)
    error = 1.0 / np.sqrt(MANY - 1.0)  # of a plain sample
    for i, one in enumerate(names):
        for j, other in enumerate(names[:i]):
            link = of.LINKS.get((one, other), of.LINKS.get((other, one), 0.0))
            # Pearson 1907, from memory: the ranks of two normal variates of correlation r
            expected = 6.0 / pi * np.arcsin(link / 2.0)
            assert ranks[i, j] == pytest.approx(expected, abs=2.0 * error), (one, other)


def test_the_free_number_hangs_on_none():
    drawn = of.draws(MANY)
    for column in drawn[:, of.OTHERS :].T:
        assert abs(stats.spearmanr(drawn[:, 0], column).statistic) < 2.0 / np.sqrt(MANY)


shares = st.floats(1e-6, 1.0 - 1e-6)


@settings(deadline=None)
@given(share=shares, low=st.floats(-9.0, 9.0), width=st.floats(0.01, 9.0), mode=st.floats(0.0, 1.0))
def test_a_triangle_is_scipys(share, low, width, mode):
    ours = of.triangle(low, low + mode * width, low + width)(share)
    assert ours == pytest.approx(stats.triang.ppf(share, mode, low, width), abs=1e-6 * width)


@settings(deadline=None)
@given(share=shares, spread=st.floats(1.01, 3.0), value=st.floats(1e-4, 1e4))
def test_a_factor_is_scipys_log_normal_within_its_ends(share, spread, value):
    within = np.clip(share, stats.norm.cdf(-2.5), stats.norm.cdf(2.5))
    expected = stats.lognorm.ppf(within, log(spread), scale=value)
    assert of.factor(spread)(share, value, None) == pytest.approx(expected, rel=1e-9)


def test_a_range_lies_from_the_fifth_to_the_ninety_fifth_percentile():
    guess = Guess("x", 3.0, "3", "", 1.0, 4.0)
    assert of.within_range(0.5, 3.0, guess) == 3.0
    # 1.645 is the normal's 95th percentile, rounded
    assert of.within_range(0.05, 3.0, guess) == pytest.approx(1.0, rel=1e-3)
    assert of.within_range(0.95, 3.0, guess) == pytest.approx(4.0, rel=1e-3)
    share = 0.8  # above the middle one log-normal, whose 95th percentile is the range's end
    sigma = log(4.0 / 3.0) / stats.norm.ppf(0.95)
    expected = stats.lognorm.ppf(share, sigma, scale=3.0)
    assert of.within_range(share, 3.0, guess) == pytest.approx(expected, rel=1e-3)


def test_words_come_by_their_shares():
    take = of.one_of({"a": 0.5, "b": 0.3, "c": 0.2})
    drawn = [take((i + 0.5) / 1000.0, None, None) for i in range(1000)]
    assert [drawn.count(word) for word in "abc"] == [500, 300, 200]
    assert take(1.0 - 1e-6, None, None) == "c"


def test_bedtime_moves_by_quarters_and_over_midnight():
    drawn = {of.by_quarters(share, 10, None) for share in np.linspace(0.001, 0.999, 99)}
    assert drawn == {(10 + 15 * i) % 1440 for i in (-2, -1, 0, 1, 2)}


def test_dirt_draws_a_paint_towards_grey():
    for share in (0.01, 0.5, 0.99):
        assert 0.2 < of.dirt(share, 0.2, None) < 0.5
        assert 0.5 < of.dirt(share, 0.9, None) < 0.9


def test_what_is_given_is_drawn_closer_than_what_is_guessed():
    measured = van(body={"length": "3.6 m", "width": "1.78 m", "height": "1.88 m",
                         "leakage": "ordinary", "rib bridging": "1.5"})  # fmt: skip
    for name, path in (("leakage", "body.leakage"), ("rib bridging", "body.rib_bridging")):
        spans = []
        for sheet in (measured, van()):
            ends = [BY_NAME[name].drawn(sheet, share, guesses(sheet))[path] for share in (0.1, 0.9)]
            spans.append(ends[1] / ends[0])
        assert 1.0 < spans[0] < spans[1], name


def test_what_a_look_has_settled_is_certain():
    looked = van({"design day": COLD["design day"], "ground": "grass", "sky": "by vapour pressure"},
                 body={"length": "3.6 m", "width": "1.78 m", "height": "1.88 m",
                       "shelter": "open"},
                 people={"heat asleep": "70 W"})  # fmt: skip
    for name in ("sky's radiation", "ground", "wind break", "sleepers' heat"):
        assert not BY_NAME[name].drawn(looked, 0.9, guesses(looked)), name
        assert BY_NAME[name].drawn(van(), 0.9, guesses(van())), name


def test_what_a_van_has_not_is_not_drawn():
    bare = van(air_conditioner=None, inverter=None, roof_panels=None, people={"sleepers": 0},
               loads=[{"name": "lights", "power": "20 W"}])  # fmt: skip
    idle = ("AC performance", "setpoint as people set it", "warmth as people set it",
            "heater's efficiency", "inverter's losses", "fridge's draw", "dirt on the panels",
            "bedtime", "sleepers' heat")  # fmt: skip
    for name in idle:
        assert not BY_NAME[name].drawn(bare, 0.9, guesses(bare)), name
    ribbed = sheet_of("ribs described")
    assert not BY_NAME["rib bridging"].drawn(ribbed, 0.9, guesses(ribbed))


def test_a_measured_sky_is_kept():
    from dataclasses import replace

    from tests.invented import weather_of
    from vanclimate.answers.futures.drawn import Places
    from vanclimate.answers.scene import set_scene

    sheet = van(air_conditioner=FIXED)
    weather = weather_of(sheet)
    scene = set_scene(sheet, weather, 180.0)
    shares = np.full(len(of.UNKNOWNS), 0.99)
    drawn = of.drawn_sheet(sheet, shares, guesses(sheet))
    assert drawn.site.sky != sheet.site.sky
    assert Places(scene).sheet(drawn).site.sky == drawn.site.sky
    seen = replace(weather, longwave=np.full(weather.n + 1, 300.0))
    measured = set_scene(sheet, seen, 180.0)
    assert Places(measured).sheet(drawn).site.sky == sheet.site.sky


@pytest.mark.parametrize("name", ALL)
@settings(max_examples=1, deadline=None, suppress_health_check=list(HealthCheck))
@given(drawn=st.lists(shares, min_size=len(of.UNKNOWNS), max_size=len(of.UNKNOWNS)))
@example(drawn=[1e-6] * len(of.UNKNOWNS))
@example(drawn=[1.0 - 1e-6] * len(of.UNKNOWNS))
def test_every_drawn_sheet_can_be_built(name, drawn):
    sheet = sheet_of(name)
    out = of.drawn_sheet(sheet, np.array(drawn), guesses(sheet))
    moved = {path for unknown in of.UNKNOWNS for path in unknown.drawn(sheet, 0.3, guesses(sheet))}
    assert moved
    for path in moved:
        part, key = of.holder_of(out, path)
        bounds = specs(type(part))[key].bounds
        if bounds is not None:
            assert bounds[0] <= getattr(part, key) <= bounds[1], path
        again = {name: getattr(part, name) for name in part.model_fields_set}
        type(part).model_validate(again)  # its values can be together
    model = compile_shell(shell_of(out))
    assert np.isfinite(model.network.capacity).all()
    gear_of(out, 101325.0)


@pytest.mark.parametrize("name", ALL)
def test_what_is_drawn_is_no_guess_and_all_else_stays(name):
    sheet = sheet_of(name)
    (out,) = of.drawn_sheets(sheet, 1, 5)
    paths = [path for path, _ in out._changes[len(sheet._changes) :]]
    assert len(paths) == len(set(paths))
    said = {guess.path for guess in out.guessed}
    assert not said & set(paths)
    for guess in sheet.guessed:
        part, key = of.holder_of(sheet, guess.path)
        if guess.path not in paths and specs(type(part))[key].default_of is None:
            assert out.value_of(guess.path) == guess.value, guess.path
