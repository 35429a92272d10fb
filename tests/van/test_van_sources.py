"""What a sheet may say of its alternators, driving and shore power, and what is refused."""

from __future__ import annotations

import pytest

from vanclimate.answers.checks import check_sheet
from vanclimate.answers.source_checks import source_notes
from vanclimate.errors import SheetError
from vanclimate.units import UnitError
from vanclimate.van import echo
from vanclimate.van.days import (
    Days,
    read_days,
    read_hours_of_day,
    write_days,
    write_hours_of_day,
)
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

SMALL = (
    "site: miami\nbody: {length: 3 m, width: 2 m, height: 2 m}\n"
    "stacks: {roof: [steel 0.9 mm], walls: [steel 0.9 mm], floor: [plywood 12 mm]}\n"
)
WHOLE = (
    "alternator: {amps: 220 A, post fuse: 60 A}\nsecond alternator: 250 A\n"
    "dc charger: 2 x 30 A\ndriving: 9:00 to 12:00 on weekdays\nshore: 30 A\n"
)


def checked(text: str) -> Sheet:
    sheet = loads_text(SMALL + text)
    check_sheet(sheet)
    return sheet


def test_short_forms_stand_for_sections() -> None:
    sheet = checked(WHOLE)
    assert sheet.alternator and sheet.second_alternator and sheet.dc_charger  # noqa: PT018
    assert sheet.driving and sheet.shore  # noqa: PT018
    assert (sheet.alternator.amps, sheet.second_alternator.amps) == (220.0, 250.0)
    assert (sheet.dc_charger.count, sheet.dc_charger.amps) == (2, 30.0)
    assert sheet.driving.hours == ((540, 720),)
    assert sheet.driving.days == Days((0, 1, 2, 3, 4))
    assert (sheet.shore.inlet, sheet.shore.pedestal) == (30.0, 30.0)
    for times in ("18:00 to 9:00", "6 pm to 9 am"):
        hours = checked(f"shore: {times}\n").shore
        assert hours is not None
        assert hours.hours == ((1080, 540),)


def test_what_is_not_there_is_none_and_guesses_nothing() -> None:
    words = ("alternator: none", "dc charger: none", "driving: never", "shore: none")
    for text in ("", *(word + "\n" for word in words)):
        sheet = checked(text)
        names = ("alternator", "second_alternator", "dc_charger", "driving", "shore")
        assert all(getattr(sheet, name) is None for name in names)
        assert not [g for g in sheet.guessed if g.path.startswith(names)]


def test_each_guess_says_why_and_both_ends_of_its_range_can_be_put_in() -> None:
    sheet = checked(WHOLE)
    ours = ("alternator", "second_alternator", "dc_charger", "driving", "shore")
    found = [g for g in sheet.guessed if g.path.startswith(ours)]
    assert len(found) > 20
    for guess in found:
        assert guess.why
        for end in (guess.low, guess.high):
            if end is not None:
                assert guess.low <= guess.value <= guess.high
                assert guess.low < guess.high
                assert sheet.with_value(guess.path, end).value_of(guess.path) == end


def test_every_value_is_written_so_that_it_reads_back() -> None:
    sheet = checked(WHOLE)
    rows = {row.key: row.si for row in echo(sheet)}
    keys = {
        "alternator.post fuse": "60 A", "driving.hours": "09:00 to 12:00",
        "driving.days": "weekdays", "shore.hours": "always", "shore.inlet": "30 A",
        "dc charger.efficiency": "90 %",
    }  # fmt: skip
    assert {key: rows[key] for key in keys} == keys


@pytest.mark.parametrize(
    "text", ["every day", "weekdays", "weekends", "Mon, Wed, Fri", "Sun", "every 3rd day",
             "every other day", "every 11th day", "every 22nd day"],
)  # fmt: skip
def test_days_are_written_as_they_are_read(text: str) -> None:
    assert write_days(read_days(text)) == text


@pytest.mark.parametrize("text", ["never", "3 h a day", "90 min", "9:00 to 12:00, 14:00 to 15:00",
                                  "2 h from 22:30", "24 h a day"])  # fmt: skip
def test_hours_are_written_so_that_they_read_back(text: str) -> None:
    hours = read_hours_of_day(text)
    assert read_hours_of_day(write_hours_of_day(hours)) == hours


@pytest.mark.parametrize(
    ("text", "days"),
    [("2 h {}", "every 2nd day"), ("2 h {}", "on weekends"), ("90 min {}", "on Mon, Fri"),
     ("3 h {}", "every day"), ("1 h {}", "weekdays")],
)  # fmt: skip
def test_days_may_stand_before_or_after_the_start(text: str, days: str) -> None:
    start = "from 16:00"
    before = checked("driving: " + text.format(f"{days} {start}") + "\n").driving
    assert before == checked("driving: " + text.format(f"{start} {days}") + "\n").driving
    assert before is not None
    assert before.hours[0][0] == 16 * 60


@pytest.mark.parametrize("text", ["", "Funday", "every 0 days", "every 40th day", "to", "mo"])
def test_days_that_are_none_are_refused(text: str) -> None:
    with pytest.raises(UnitError):
        read_days(text)


@pytest.mark.parametrize(
    ("text", "key", "found"),
    [
        ("driving: 25 h a day\n", "driving.hours", "25 h a day"),
        ("driving: {hours: 25 h}\n", "driving.hours", "25 h"),
        ("driving: -3 h\n", "driving.hours", "-3 h"),
        ("driving: 9:00 to 12:00, 11:00 to 13:00\n", "driving.hours", "times that overlap"),
        ("driving: {hours: 3 h, days: Funday}\n", "driving.days", "Funday"),
        ("driving: {hours: 3 h, speed: fast}\n", "driving.speed", "fast"),
        ("shore: 18:00 to 9:00, 8:00 to 10:00\n", "shore.hours", "times that overlap"),
        ("shore: {inlet: 300 A}\n", "shore.inlet", "300 A"),
        ("shore: {zone: garage}\n", "shore.zone", "garage"),
        ("dc charger: {amps: 30 A, zone: cab}\nalternator: 180 A\n", "dc charger.zone", "cab"),
        ("alternator: 180\n", "alternator.amps", "180"),
        ("alternator: {amps: 60 A, vehicle draw: 300 A}\n", "alternator.vehicle draw", "300 A"),
        ("dc charger: 30 A\n", "dc charger", "30 A and no alternator"),
        ("dc charger: 30 A\nalternator: none\nshore: 30 A\n", "dc charger", "no alternator"),
        ("dc charger: 30 A\nsecond alternator: 250 A\n", "dc charger", "no alternator"),
        ("alternator: {amps: 180 A, feed resistance: 0.06 ohm}\ndc charger: 2 x 40 A\n",
         "alternator.feed resistance", "which passes 817 W"),
        ("driving: {hours: 23:00 to 1:00, speed: idle}\n", "driving.hours", "an idling engine"),
        ("driving: {hours: 20:00 to 8:00, speed: idle}\n", "driving.hours", "an idling engine"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_name(text: str, key: str, found: str) -> None:
    with pytest.raises(SheetError) as error:
        checked(text)
    message = str(error.value)
    assert f", {key}: found '" in message
    assert found in message
    assert "allowed: " in message
    assert error.value.exit_code == 2


def test_an_engine_that_runs_while_people_sleep_is_noted() -> None:
    (note,) = source_notes(checked("driving: 6:00 to 9:00\n"))
    assert "from 06:00 to 09:00" in note
    assert "nobody may lie in bed" in note
    assert not list(source_notes(checked("driving: 7:00 to 9:00\n")))


def test_an_engine_may_idle_while_all_are_awake() -> None:
    drive = checked("driving: {hours: 9:00 to 10:00, speed: idle}\n").driving
    assert drive is not None
    assert drive.speed == "idle"


def test_a_charger_of_a_van_that_never_drives_is_noted() -> None:
    never = checked("alternator: 180 A\ndc charger: 30 A\nsecond alternator: 250 A\n")
    assert list(source_notes(never)) == [
        "dc charger: gives nothing, for the van never drives",
        "second alternator: gives nothing, for the van never drives",
    ]
    assert not list(source_notes(checked(WHOLE)))
    assert not list(source_notes(checked("")))


def test_a_load_beyond_the_inlet_is_noted() -> None:
    kettle = "loads: [{name: kettle, power: 1800 W, feed: inverter, when: '7:00 to 7:10'}]\n"
    (note,) = source_notes(checked(kettle + "shore: 15 A\n"))
    assert note.startswith("shore: the kettle alone takes 1800 W, the inlet carries 1397 W")
    assert not list(source_notes(checked(kettle + "shore: 30 A\n")))


@pytest.mark.parametrize(("plate", "draw"), [(40, 20), (60, 30), (80, 40), (220, 40)])
def test_a_small_alternator_is_not_guessed_to_leave_nothing(plate: int, draw: float) -> None:
    alternator = checked(f"alternator: {plate} A\n").alternator
    assert alternator is not None
    assert alternator.vehicle_draw == draw
