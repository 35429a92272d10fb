"""What rules make of the segments of a plan."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.simulate.rules import Facts, Ruled, ruled
from vanclimate.simulate.times import within
from vanclimate.van.rules import Rule

LOADS = ("fridge", "kettle", "water heater")
WATTS = np.array([50.0, 1000.0, 500.0])


def facts(minute, *, driving=False, on_shore=False, solar_w=0.0, ac_power_w=400.0) -> Facts:
    """Return the facts of minutes of a day, night from 22:30 to 7:00, home from 18:00 to 9:00."""
    minute = np.asarray(minute, dtype=float)
    night = within(minute, 1350, 420)
    home = within(minute, 1080, 540)
    flags = (np.zeros(len(minute), dtype=bool) + x for x in (driving, on_shore))
    return Facts(minute, night, home, *flags, np.zeros(len(minute)) + solar_w, ac_power_w)


def of(*texts: str, at: Facts) -> Ruled:
    return ruled([Rule.model_validate(text) for text in texts], LOADS, at)


HOURS = facts(60.0 * np.arange(24) + 30.0)


def hours(row) -> list[int]:
    return list(np.flatnonzero(row))


def test_without_rules_everything_is_allowed():
    got = of(at=HOURS)
    assert got.load_allowed.shape == got.load_floor.shape == (3, 24)
    assert (got.load_allowed == 1).all()
    assert (got.ac_allowed == 1).all()
    assert (got.heat_allowed == 1).all()
    assert not got.load_floor.any()
    assert not got.ac_floor.any()
    assert not got.precool.any()
    assert np.isnan([got.ac_setpoint, got.precool_setpoint, got.heat_setpoint]).all()
    assert got.heat_order == ()


def test_a_floor_of_charge_is_lifted_by_unless():
    got = of("AC only above 40 % unless asleep", at=HOURS)
    # 22:30 itself begins the night, 7:00 ends it
    assert hours(got.ac_floor == 0) == [0, 1, 2, 3, 4, 5, 6, 22, 23]
    assert set(got.ac_floor) == {0.0, 0.4}
    assert (got.ac_allowed == 1).all()


def test_the_sun_driving_shore_and_the_clock_allow_a_load():
    sunny = HOURS._replace(solar_w=np.where(np.arange(24) == 12, 301.0, 300.0))
    assert hours(of("water heater only when the sun gives more than 300 W", at=sunny)
                 .load_allowed[2]) == [12]  # fmt: skip
    road = HOURS._replace(driving=np.arange(24) == 9, on_shore=np.arange(24) >= 20)
    got = of("kettle only while driving or on shore", at=road)
    assert hours(got.load_allowed[1]) == [9, 20, 21, 22, 23]
    assert (got.load_allowed[[0, 2]] == 1).all()
    assert hours(of("kettle only from 18:00 to 22:00", at=HOURS).load_allowed[1]) == [
        18,
        19,
        20,
        21,
    ]
    assert hours(of("kettle only from 22:00 to 2:00", at=HOURS).load_allowed[1]) == [0, 1, 22, 23]


def test_asleep_awake_home_and_away_part_the_day():
    rows = {
        state: of(f"kettle only while {state}", at=HOURS).load_allowed[1]
        for state in ("asleep", "awake", "home", "away")
    }
    assert (rows["asleep"] + rows["awake"] + rows["away"] == 1).all()
    assert (rows["asleep"] + rows["awake"] == rows["home"]).all()
    assert hours(rows["away"]) == list(range(9, 18))


def test_off_is_the_opposite_of_only():
    for condition in ("driving", "asleep", "away"):
        only = of(f"kettle only while {condition}", at=HOURS).load_allowed[1]
        off = of(f"kettle off while {condition}", at=HOURS).load_allowed[1]
        assert (only + off == 1).all()


def test_two_rules_for_one_thing_both_hold():
    got = of("shed the kettle under 20 %", "kettle only above 30 % unless asleep", at=HOURS)
    assert set(got.load_floor[1]) == {0.2, 0.3}
    assert hours(got.load_floor[1] == 0.2) == [0, 1, 2, 3, 4, 5, 6, 22, 23]


def test_heaters_and_the_heat_pump_have_rows_of_their_own():
    got = of("electric heater only on shore", "heat pump only above 50 %", "heater off while away",
             "heat with the heater, then the heat pump", at=HOURS)  # fmt: skip
    assert not got.heat_allowed[2].any()
    assert set(got.heat_floor[0]) == {0.5}
    assert hours(got.heat_allowed[1] == 0) == list(range(9, 18))
    assert got.heat_order == ("fuel heater", "heat pump")
    assert (got.ac_allowed == 1).all()


def test_of_two_temperatures_for_one_hour_the_later_in_the_list_holds():
    got = of("AC at 26 C from 2:00 to 6:00", "hold 28 C from 5:00 to 8:00",
             "heat to 12 C while away", at=HOURS)  # fmt: skip
    assert [got.ac_setpoint[i] for i in (2, 4, 5, 7)] == [26.0, 26.0, 28.0, 28.0]
    assert hours(~np.isnan(got.ac_setpoint)) == [2, 3, 4, 5, 6, 7]
    assert hours(got.heat_setpoint == 12.0) == list(range(9, 18))


def test_the_panels_carry_the_unit_only_when_they_give_what_it_takes():
    sun = np.array([0.0, 399.0, 400.0, 500.0] * 6)
    got = of("cool to 20 C from 14:00 while the panels carry it", at=HOURS._replace(solar_w=sun))
    assert hours(got.precool) == [14, 15, 18, 19, 22, 23]
    assert (got.precool_setpoint[got.precool == 1] == 20.0).all()
    assert np.isnan(got.precool_setpoint[got.precool == 0]).all()
    assert np.isnan(got.ac_setpoint).all()


# any rules for loads, over any segments
words = st.sampled_from([
    "above 20 %", "above 55 %", "when the sun gives more than 300 W", "while driving", "on shore",
    "while asleep", "not while away", "from 20:00 to 3:00", "from 6:00 to 14:00",
])  # fmt: skip
lifts = st.sampled_from(["", " unless on shore", " unless asleep or driving"])
sentences = st.tuples(st.sampled_from(LOADS), words, words, lifts).map(
    lambda t: f"{t[0]} only {t[1]} and {t[2]}{t[3]}"
) | st.tuples(st.sampled_from(LOADS), st.integers(1, 99)).map(
    lambda t: f"shed the {t[0]} under {t[1]} %"
)


@st.composite
def segments(draw) -> Facts:
    n = draw(st.integers(1, 12))
    flags = st.lists(st.booleans(), min_size=n, max_size=n)
    made = facts(draw(st.lists(st.floats(0, 1439.9), min_size=n, max_size=n)))
    return made._replace(
        driving=np.array(draw(flags)),
        on_shore=np.array(draw(flags)),
        solar_w=np.array(draw(st.lists(st.floats(0, 2000), min_size=n, max_size=n))),
    )


def draw_w(rules: Ruled, charge: float):
    on = rules.load_allowed * (charge >= rules.load_floor)
    return WATTS @ on


@given(st.lists(sentences, max_size=5), sentences, segments(), st.floats(0, 1))
def test_a_rule_more_never_raises_the_draw(texts, more, at, charge):
    fewer, all_of_them = of(*texts, at=at), of(*texts, more, at=at)
    assert (draw_w(all_of_them, charge) <= draw_w(fewer, charge)).all()
    assert set(np.unique(all_of_them.load_allowed)) <= {0.0, 1.0}
    assert ((all_of_them.load_floor >= 0) & (all_of_them.load_floor < 1)).all()


@given(st.lists(sentences, max_size=5), segments(), st.floats(0, 1), st.floats(0, 1))
def test_less_charge_never_raises_the_draw(texts, at, one, other):
    got = of(*texts, at=at)
    assert (draw_w(got, min(one, other)) <= draw_w(got, max(one, other))).all()


@given(st.lists(sentences, max_size=5), segments())
def test_the_order_of_restrictions_does_not_matter(texts, at):
    one, other = of(*texts, at=at), of(*reversed(texts), at=at)
    assert (one.load_allowed == other.load_allowed).all()
    assert (one.load_floor == other.load_floor).all()
