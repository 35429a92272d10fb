"""When the van drives and when it is plugged in, by the calendar's own days."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from vanclimate.energy.array import controllers_of
from vanclimate.simulate import state as at
from vanclimate.simulate.electricity import sources
from vanclimate.simulate.sources import (
    drive_of,
    driving,
    during,
    on_days,
    on_shore,
    shore_of,
    source_marks,
)
from vanclimate.van.days import EVERY_DAY, Days, read_days
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

FIRST = date(2025, 7, 1)
DAYS = 21
MINUTE = np.tile(np.arange(48) * 30.0 + 15.0, DAYS)
ORDINAL = FIRST.toordinal() + np.repeat(np.arange(DAYS), 48)


def sheet_with(text: str) -> Sheet:
    return loads_text(
        "site: miami\nbody: {length: 3 m, width: 2 m, height: 2 m}\n"
        "stacks: {roof: [steel 0.9 mm], walls: [steel 0.9 mm], floor: [plywood 12 mm]}\n" + text
    )


@pytest.mark.parametrize("words", ["weekdays", "weekends", "Mon, Wed, Fri", "Sunday"])
def test_days_of_the_week_are_the_calendar_s(words: str) -> None:
    days = read_days(words)
    dates = [FIRST + timedelta(days=i) for i in range(400)]
    ours = on_days(days, np.array([d.toordinal() for d in dates]))
    assert ours.tolist() == [d.weekday() in days.week for d in dates]


def test_every_third_day_comes_every_third_day() -> None:
    found = np.flatnonzero(on_days(Days(every=3), FIRST.toordinal() + np.arange(60)))
    assert set(np.diff(found)) == {3}
    assert on_days(EVERY_DAY, ORDINAL).all()


def test_hours_past_midnight_belong_to_the_day_they_began_on() -> None:
    friday = during(((22 * 60, 120),), read_days("Fri"), ORDINAL, MINUTE)
    hours = {(FIRST + timedelta(days=int(o - ORDINAL[0]))).strftime("%a") + f" {m // 60:.0f}"
             for o, m in zip(ORDINAL[friday], MINUTE[friday], strict=True)}  # fmt: skip
    assert hours == {"Fri 22", "Fri 23", "Sat 0", "Sat 1"}


def test_hours_of_driving_in_three_weeks() -> None:
    for text, hours in [
        ("3 h a day", 63.0), ("9:00 to 12:00 on weekdays", 45.0), ("2 h every 3rd day", 14.0),
        ("24 h a day", 504.0), ("never", 0.0),
    ]:  # fmt: skip
        assert driving(sheet_with(f"driving: {text}\n"), ORDINAL, MINUTE).sum() / 2 == hours


def test_plugged_in_by_a_word_or_by_the_clock_and_never_while_driving() -> None:
    people = "people: {bedtime: '22:30', waking: '07:00'}\n"
    for text, hours in [("night", 8.5), ("day", 15.5), ("always", 24.0), ("18:00 to 9:00", 15.0)]:
        sheet = sheet_with(people + f"shore: {text}\n")
        assert on_shore(sheet, ORDINAL, MINUTE).sum() / 2 / DAYS == pytest.approx(hours, abs=0.5)
    both = sheet_with("shore: always\ndriving: 3 h a day\n")
    assert not (on_shore(both, ORDINAL, MINUTE) & driving(both, ORDINAL, MINUTE)).any()
    assert on_shore(both, ORDINAL, MINUTE).sum() / 2 == 21 * DAYS
    assert not on_shore(sheet_with(""), ORDINAL, MINUTE).any()


def test_a_plan_is_cut_where_a_source_begins_or_ends() -> None:
    sheet = sheet_with("driving: 9:00 to 12:00\nshore: 18:30 to 8:00\n")
    assert source_marks(sheet) == {540, 720, 1110, 480}


def test_a_sheet_s_values_reach_the_models() -> None:
    sheet = sheet_with(
        "alternator: {amps: 200 A, vehicle draw: 30 A, post fuse: 60 A, feed resistance: 0 ohm}\n"
        "dc charger: {amps: 50 A, count: 2, efficiency: 92 %}\ndriving: {hours: 2 h, speed: town}\n"
        "shore: {inlet: 30 A, pedestal: 20 A, voltage: 120 V, sag: 5 %, cord: 0.1 ohm}\n"
    )
    on, hour, air = np.array([True]), np.array([3600.0]), np.array([20.0])
    got = drive_of(sheet, 14.4, on, hour, air)
    assert got.amps[0] == 100.0
    assert got.wanted[0] == pytest.approx(1440.0)
    assert got.power[0] == pytest.approx(48 * 14.0 * 0.92)  # 80 % of the fuse
    assert got.to_fuse[0] == pytest.approx(
        min(200 - 30, 100, 1440 / 0.92 / 14) * 14 * 0.92 - got.power[0]
    )
    shore = shore_of(sheet)
    assert shore is not None
    assert shore.amps == pytest.approx(16.0)
    assert shore.resistance == pytest.approx(0.1 + 0.05 * 120 / 20)
    assert shore_of(sheet_with("")) is None


def test_an_idling_engine_gives_less_than_a_town_s_and_that_less_than_a_road_s() -> None:
    on, hour, air = np.array([True]), np.array([3600.0]), np.array([20.0])
    power = [
        drive_of(
            sheet_with(
                "alternator: 120 A\ndc charger: 2 x 40 A\nsecond alternator: 100 A\n"
                f"driving: {{hours: 2 h, speed: {speed}}}\n"
            ),
            14.4, on, hour, air,
        ).power[0]
        for speed in ("idle", "town", "highway")
    ]  # fmt: skip
    assert 0 < power[0] < power[1] < power[2]


@pytest.mark.parametrize("volts", [13.1, 14.4])
def test_a_second_alternator_gives_its_amps_beside_chargers_that_a_fuse_limits(
    volts: float,
) -> None:
    sheet = sheet_with(
        "alternator: {amps: 220 A, post fuse: 60 A, feed resistance: 0 ohm}\n"
        "second alternator: {amps: 150 A, regulator share: 80 %, hot share: 100 %}\n"
        "dc charger: {amps: 30 A, count: 2, efficiency: 90 %}\ndriving: 2 h\n"
    )
    got = drive_of(sheet, 14.4, np.array([True]), np.array([3600.0]), np.array([20.0]))
    v, q = np.zeros(at.N_STATE), np.zeros(at.N_STEP)
    plan: Any = SimpleNamespace(on_shore=np.zeros(1), drive_power=got.power, drive_amps=got.amps,
                                direct_amps=got.direct.amps, solar=np.zeros((1, 2)))  # fmt: skip
    gear: Any = SimpleNamespace(
        cells=SimpleNamespace(charge_voltage=14.4),
        controllers=controllers_of(sheet.roof_panels, None, 12.8),
    )
    sources(v, q, plan, gear, 0, volts, False)
    # 48 A of the fuse at 14 V through the chargers, and four fifths of 150 A
    assert q[at.DRIVE_GIVES] == pytest.approx(48 * 14.0 * 0.9 + 120 * volts)
