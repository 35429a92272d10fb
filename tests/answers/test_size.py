"""Sizes: ladders, the search along them, and that what is found holds where less does not."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from vanclimate.answers.futures.remedies import roof_holds
from vanclimate.answers.futures.search import first_at_least, halved, smallest
from vanclimate.answers.futures.stays import off_shore
from vanclimate.answers.futures.worlds import worlds_of
from vanclimate.answers.season import record_for, season_of
from vanclimate.answers.size.answer import size
from vanclimate.answers.size.ladders import (
    AC,
    CHARGERS,
    DEVICES,
    HEATERS,
    KBTU_H,
    bank_step,
    with_ac,
    with_charger,
    with_cool_dial,
    with_great_bank,
    with_heater,
    with_roof,
    with_warm_dial,
    without_fuel_limit,
)
from vanclimate.answers.size.seasons import month_means, seasons_for
from vanclimate.cache import data_path
from vanclimate.errors import OptionError
from vanclimate.van.reading import load

HOT = data_path("scenarios", "holds.yaml")
COLD = data_path("scenarios", "winter-work-van.yaml")
SHORE = data_path("scenarios", "weekend-van.yaml")
TABLE = (
    "air conditioner.table=4 kW and 1300 W at 35 C and 19.4 C, 3.6 kW and 1500 W at 45 C and 19.4 C"
)


@pytest.mark.parametrize("count", [1, 2, 5, 7, 20])
def test_the_search_finds_the_first_that_is_enough_from_any_guess(count):
    for first in range(count + 1):
        for guess in range(-1, count + 1):
            asked: list[int] = []

            def enough(i, first=first, asked=asked):
                assert 0 <= i < count
                asked.append(i)
                return i >= first

            found = smallest(count, enough, guess)
            assert found == (None if first == count else first)
            if found:
                assert found - 1 in asked, "the next size down has been tried"
            assert len(asked) <= 2 * int(np.ceil(np.log2(count + 1))) + 3


@pytest.mark.parametrize("first", range(1, 9))
def test_halving_finds_the_least_between_two(first):
    assert halved(0, 8, lambda i: i >= first) == first


def test_the_position_of_a_size():
    assert [first_at_least((2.0, 4.0), x) for x in (0.0, 2.0, 3.0, 4.0, 9.0)] == [0, 0, 1, 1, 1]


def test_classes_are_those_of_the_trade():
    """Common practice, no source."""
    assert [round(x / KBTU_H, 1) for x in AC] == [5.0, 6.0, 8.0, 9.0, 11.0, 13.5, 15.0]
    assert HEATERS == (2000.0, 4000.0, 5000.0, 8000.0)
    assert CHARGERS == (20.0, 30.0, 40.0, 50.0, 60.0)


@pytest.mark.parametrize(
    ("volts", "step"), [("12 V", 100.0), ("12.8 V", 100.0), ("24 V", 50.0), ("48 V", 25.0)]
)
def test_a_bank_grows_by_batteries_of_its_voltage(volts, step):
    sheet = load(HOT, [f"battery.voltage={volts}"])
    assert bank_step(sheet) == step
    sizes = DEVICES["bank"].sizes(sheet)
    assert sizes[0] == step
    assert np.diff(sizes) == pytest.approx(step)
    made = DEVICES["bank"].sized(sheet, sizes[2])
    assert made.battery.capacity == pytest.approx(3 * step)


def test_the_roof_ends_at_its_room():
    sheet = load(HOT)
    sizes = DEVICES["roof"].sizes(sheet)
    assert sizes[-1] <= roof_holds(sheet) < sizes[-1] + 100.0
    crowded = sheet.with_value("roof_panels.power", 2000.0)
    assert DEVICES["roof"].sizes(crowded)[-1] == 2000.0


def test_an_ac_of_another_size_keeps_its_ratios():
    sheet = load(HOT)
    unit, made = sheet.air_conditioner, with_ac(sheet, AC[0]).air_conditioner
    assert made.capacity == pytest.approx(AC[0])
    for key in ("power", "airflow", "blower_power"):
        assert getattr(made, key) / getattr(unit, key) == pytest.approx(AC[0] / unit.capacity)
    assert made.setpoint == unit.setpoint


def test_an_ac_by_its_table_is_sized_too():
    tabled = load(HOT, ["air conditioner=none", TABLE])
    for share in (0.5, 1.3):
        made = with_ac(tabled, share * 4000.0).air_conditioner
        assert made.capacity == pytest.approx(share * 4000.0)
        assert made.table[1].power == pytest.approx(share * 1500.0)


def test_a_larger_ac_brings_an_inverter_that_carries_it():
    sheet = load(HOT, ["inverter.rating=1400 W"])
    assert with_ac(sheet, AC[0]).inverter.rating == 1400.0
    large = with_ac(sheet, AC[-1])
    assert large.air_conditioner.power <= large.inverter.rating
    assert large.inverter.rating % 500.0 == 0.0


@pytest.mark.parametrize("size", HEATERS)
def test_a_heater_of_another_size_keeps_what_the_sheet_says_in_proportion(size):
    sheet = load(COLD)
    heater, made = sheet.heater, with_heater(sheet, size).heater
    share = size / heater.output
    assert made.output == size
    assert made.floor == pytest.approx(share * heater.floor)
    assert made.fan_coil == pytest.approx(share * heater.fan_coil)
    assert made.setpoint == heater.setpoint


def test_a_roof_of_another_size_leaves_told_strings_out():
    sheet = load(HOT, ["roof panels.module power=100 W", "roof panels.in series=2"])
    made = with_roof(sheet, 700.0).roof_panels
    assert made.power == 700.0
    assert made.soiling == sheet.roof_panels.soiling


def test_one_charger_stands_for_several():
    sheet = load(COLD, ["dc charger.count=2"])
    assert DEVICES["DC-DC charger"].own(sheet) == 100.0
    made = with_charger(sheet, 40.0)
    assert DEVICES["DC-DC charger"].own(made) == 40.0
    assert made.dc_charger.zone == sheet.dc_charger.zone
    assert with_charger(load(HOT), 30.0).dc_charger.amps == 30.0


def test_fuel_is_no_limit_where_a_heater_is_sized():
    sheet = load(COLD, ["heater.tank at start=30 %"])
    assert without_fuel_limit(sheet).heater.usable_fuel > 4 * sheet.heater.usable_fuel
    assert without_fuel_limit(load(HOT)) == load(HOT)


def test_a_dial_is_no_limit_where_a_device_is_sized():
    """A thermostat near a limit fails whatever the size, and AC and heater stay apart."""
    sheet = load(HOT, ["air conditioner.setpoint=78 F", "heater.output=2 kW"])
    cool, warm = with_cool_dial(sheet), with_warm_dial(sheet)
    assert cool.air_conditioner.setpoint <= sheet.people.limit - 3.0
    assert cool.air_conditioner.setpoint >= cool.heater.setpoint + 3.0
    assert warm.heater.setpoint >= sheet.people.least + 3.0
    assert warm.air_conditioner.setpoint >= warm.heater.setpoint + 3.0
    kept = load(COLD)  # 72 °F is warm enough
    assert with_warm_dial(kept) == kept
    assert with_cool_dial(kept) == kept


def test_a_month_s_mean_is_that_of_its_hours():
    record = record_for(load(HOT))
    means, whole = month_means(record), record.whole()
    months = np.array([whole.time(i).month for i in range(whole.n)])
    expected = [whole.temp_air[: whole.n][months == m].mean() for m in range(1, 13)]
    assert means == pytest.approx(expected)
    assert int(np.argmax(means)) + 1 == 7


def test_each_season_sizes_its_own_device():
    day = timedelta(days=2)
    hot = load(HOT)
    assert {k: s.words for k, (_, s) in seasons_for(hot, record_for(hot), day).items()} == {
        "warm": "July"
    }
    both = load(HOT, ["heater.output=2 kW"])
    found = seasons_for(both, record_for(both), day)
    assert (found["warm"][1].words, found["cold"][1].words) == ("July", "January")
    stay = load(COLD, ["air conditioner.capacity=9 kBTU/h", "month=December"])
    found = seasons_for(stay, record_for(stay), day)
    assert (found["warm"][1].words, found["cold"][1].words) == ("July", "December")
    bare = load(HOT, ["air conditioner=none"])
    assert list(seasons_for(bare, record_for(bare), day)) == ["own"]


def test_a_sheet_off_shore_keeps_rules_that_speak_of_it():
    sheet = off_shore(load(SHORE))
    assert sheet.plugs_in
    assert sheet.shore.days.week == ()
    assert off_shore(load(HOT)) == load(HOT)


@pytest.mark.parametrize(
    ("asked", "said"),
    [({"odds": 0.0}, "--odds"), ({"odds": 1.0}, "--odds"), ({"futures": 0}, "--futures"),
     ({"days": 0}, "--days"), ({"days": 61}, "--days")],
)  # fmt: skip
def test_what_nothing_can_be_said_of_is_refused(asked, said):
    with pytest.raises(OptionError, match=said):
        size(load(HOT), **asked)


@pytest.fixture(scope="module")
def summer():
    """The demo, with driving and a charger, in few futures."""
    extra = ["alternator.amps=180 A", "dc charger.amps=30 A", "driving.hours=10:00 to 13:00"]
    return size(load(HOT, extra), futures=62, odds=0.8)


@pytest.fixture(scope="module")
def winter():
    return size(load(COLD), futures=62)


def held_of(answer, name, value):
    """Return how many nights hold with a size, in futures made afresh, and of how many."""
    device, one, sheet = DEVICES[name], answer.of(name), off_shore(answer.sheet)
    season = season_of(sheet, record_for(sheet), timedelta(days=2))
    worlds = worlds_of(sheet, season, 1, one.odds.of, answer.seed)
    if name == "bank" and answer.of("AC") is not None:
        sheet = with_ac(sheet, answer.of("AC").size)
    if name == "bank" and answer.of("heater") is not None:
        sheet = with_heater(sheet, answer.of("heater").size)
    dials = {"AC": with_cool_dial, "heater": with_warm_dial}
    sheet = dials.get(name, lambda same: same)(without_fuel_limit(sheet))
    columns = worlds.changed(device.sized(sheet, value)).run(keep=False)
    margin = {
        "AC": columns["warm_margin_k"],
        "heater": np.minimum(columns["cold_margin_k"], columns["home_margin_k"]),
        "bank": columns["charge_margin"] - 1e-9,
    }[name]
    return int((margin >= 0.0).sum()), len(margin)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("which", "name"), [("summer", "AC"), ("summer", "bank"), ("winter", "heater"),
                        ("winter", "bank")],
)  # fmt: skip
def test_what_is_found_holds_and_the_next_size_down_does_not(which, name, request):
    answer = request.getfixturevalue(which)
    one = answer.of(name)
    held, of = held_of(answer, name, one.size)
    assert (held, of) == (one.odds.held, one.odds.of)
    assert held / of >= answer.asked
    if one.below is None:
        assert one.size == DEVICES[name].sizes(answer.sheet)[0]
        return
    less, of = held_of(answer, name, one.below)
    assert less / of < answer.asked
    assert less == one.below_odds.held


@pytest.mark.slow
def test_a_dial_near_the_limit_asks_for_no_larger_ac(summer):
    """People who find it warm turn the dial down before they buy: what is sized is the AC."""
    warm = size(load(HOT, ["air conditioner.setpoint=78 F"]), futures=31)
    assert warm.of("AC").size == summer.of("AC").size


@pytest.mark.slow
def test_every_size_of_the_answer_has_what_a_reader_asks(summer, winter):
    for answer in (summer, winter):
        bank = answer.of("bank")
        assert answer.figures[0].name == "charge of a bank that is needed"
        assert answer.figures[0].value == answer.bank_needed_ah <= 1.02 * bank.size
        assert answer.bank_needed_ah > 0.98 * (bank.below or 0.0)  # a quantile between two stays
        assert len(answer.trace) > 100
        assert all(book.ratio < 1e-6 for book in answer.balances)
        for one in answer.sized:
            assert one.hand.size > 0.0
            assert one.odds.held <= one.odds.of
            assert one.hour.begins <= one.hour.at
            if one.size is not None and one.own is not None and one.own >= one.size:
                assert one.own_enough
    assert {one.name for one in summer.sized} == {"AC", "bank", "roof", "DC-DC charger"}
    assert [one.name for one in winter.missing] == ["AC"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("sheet", "name", "column"),
    [(SHORE, "AC", "warm_margin_k"), (HOT, "bank", "charge_margin"),
     (COLD, "heater", "home_margin_k")],
)  # fmt: skip
def test_more_never_holds_less(sheet, name, column):
    """Physics: with the same futures, a larger AC, bank or heater lowers nobody's odds."""
    sheet = without_fuel_limit(with_great_bank(off_shore(load(sheet))))
    season = season_of(sheet, record_for(sheet), timedelta(days=2))
    worlds = worlds_of(sheet, season, 1, 31, 20)
    device = DEVICES[name]
    held = []
    for value in device.sizes(sheet)[:8]:
        columns = worlds.changed(device.sized(sheet, value)).run(keep=False)
        held.append(int((columns[column] >= 0.0).sum()))
    assert held == sorted(held)
    assert held[-1] == 31
