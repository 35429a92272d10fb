"""A trip's stops as spans of time: what follows what, by which clock, and what cannot be."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone

import pytest

from tests.answers.test_season import real
from tests.answers.trips import going, van
from vanclimate.answers.trip.itinerary import Halt, halts_of
from vanclimate.answers.trip.places import records_of, sheets_of, years_of
from vanclimate.errors import OptionError, SheetError
from vanclimate.site.record import Record, record_of
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

EAST = timezone(timedelta(hours=-5))


def halts(of: Sheet, year: int | None = None, own: Record | None = None) -> tuple[Halt, ...]:
    there = sheets_of(of)
    return halts_of(of, there, records_of(of, there, own), year)


def stops(*lines: str) -> tuple[Halt, ...]:
    return halts(going(van(), *lines))


def test_a_stop_ends_when_the_drive_to_the_next_begins():
    first, second = stops(
        "greensboro, 12 January, 3 nights", "miami, 3 nights, at 20:00, 10 h driving"
    )
    assert first.begins == first.arrives == datetime(2025, 1, 12, 16, tzinfo=EAST)
    assert first.ends == second.begins == datetime(2025, 1, 15, 10, tzinfo=EAST)
    assert second.arrives == datetime(2025, 1, 15, 20, tzinfo=EAST)
    assert (first.nights, second.nights, second.apart_s) == (3, 3, 0.0)
    assert second.ends == datetime(2025, 1, 18, 10, tzinfo=EAST)  # its last morning
    beds = first.bedtimes(first.sheet)
    assert [bed.day for bed in beds] == [12, 13, 14]
    assert {(bed.hour, bed.minute) for bed in beds} == {(22, 30)}


def test_a_trip_goes_on_over_new_year():
    first, second = stops("greensboro, 28 December, until 2 January", "miami, 5 January, 2 nights")
    assert (first.first, first.last) == (date(2025, 12, 28), date(2026, 1, 2))
    assert second.first == date(2026, 1, 5)
    assert second.apart_s == (2 * 24 + 30) * 3600.0  # from 10:00 on the 2nd to 16:00 on the 5th


def test_each_stop_keeps_the_time_of_its_place():
    east, west = stops("miami, 12 June, 2 nights", "sand point, 2 nights, 6 h driving, at 18:00")
    assert west.arrives.utcoffset() == timedelta(hours=-9)
    assert west.begins == datetime(2025, 6, 14, 12, tzinfo=timezone(timedelta(hours=-9)))
    assert east.ends == west.begins
    assert east.ends.hour == 16  # by its own clock


def test_a_place_of_the_southern_hemisphere_may_be_made_up():
    text = van()._text.replace(
        "  - greensboro, 12 January, 3 nights",
        "  - {place: {design day: {low: 5 C, high: 15 C, latitude: -33, longitude: 150, "
        "humidity: 70 %, date: 07-15}}, arrival: 12 July, nights: 2}\n"
        "  - greensboro, 16 July, 3 nights",
    )
    sheet = loads_text(text.split("  - {place: miami")[0] + text[text.index("body:") :])
    south, north = halts(sheet)
    assert south.begins.utcoffset() == timedelta(hours=10)
    assert south.begins == datetime(2025, 7, 12, 16, tzinfo=timezone(timedelta(hours=10)))
    assert north.apart_s == (north.begins - south.ends).total_seconds() > 0


def all_of(of: Sheet) -> tuple[Halt, ...]:
    there = sheets_of(of)
    records = records_of(of, there, None)
    return halts_of(of, there, records, years_of(of, records)[0])


@pytest.mark.parametrize(
    ("lines", "option", "found", "hint"),
    [
        (("miami, 12 January, 3 nights", "miami, 10 January, 2 nights"), "(2)", "January 10",
         "back in time"),
        (("miami, 12 January, 3 nights", "miami, 14 January, 2 nights"), "(2)", "January 14",
         "overlap"),
        (("miami, 12 January, until 12 January",), "", "January 12", "after the arrival"),
        (("miami, 12 January, until 10 January",), "", "January 10", "after the arrival"),
        (("miami, 3 nights",), "", "no day", "12 January"),
        (("miami, 29 February, 2 nights",), "", "February 29", "any year"),
        (("miami, 12 January, 2 nights, at 23:00",), "", "23:00", "22:30"),
        (("miami, 12 January, 2 nights", "miami, 2 nights, 12 h driving"), "(2)",
         "12 h, from 04:00", "'at 19:00'"),
        (("nowhere at all, 12 January, 2 nights",), "", "nowhere at all", "greensboro"),
        (("miami, 12 January 2019, 2 nights",), "", "January 12, 2019", "weather fetch"),
        (("miami, 12 January, 2 nights", "miami, until 15 January 2019"), "(1)", "2019",
         "typical year"),
        (("miami, 1 January, 120 nights", *["miami, 120 nights"] * 3), "(4)", "480 days", "365"),
        (("miami, 1 January, 1 night", *["miami, 1 night"] * 40), None, "41 stops", "40"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_as_the_option_that_said_it(lines, option, found, hint):
    with pytest.raises(OptionError if option is not None else SheetError) as raised:
        all_of(going(van(), *lines))
    assert found in str(raised.value.found)
    assert hint in str(raised.value)
    if option is not None:
        assert raised.value.option == f"--stop {option}".strip()


def test_mains_need_an_inlet_and_are_refused_at_their_line():
    text = van()._text.replace("shore: {inlet: 30 A, charger: 40 A}\n", "")
    with pytest.raises(SheetError, match=r"line 15, trip item 2.shore: found 'shore in a van"):
        sheets_of(loads_text(text))


def test_a_trip_without_stops_is_refused():
    with pytest.raises(SheetError, match="no stops"):
        sheets_of(going(van()))


def test_a_stop_has_the_sheet_s_own_spot_only_at_its_own_site():
    of = van("site={place: greensboro, elevation: 4000 ft}")
    own, named, other, same = sheets_of(
        going(of, "12 January, 1 night", "greensboro, 1 night", "miami, 1 night, heading W, shore",
              "1 night")
    )  # fmt: skip
    assert own.site is named.site is same.site is of.site
    assert other.site.elevation is None
    assert (other.heading, own.heading) == (270.0, 180.0)
    assert [x.shore.hours for x in (own, other)] == ["never", "always"]
    assert len({x.digest for x in (own, named, other, same)}) == 4


def test_years_of_several_places_are_those_in_common():
    of = going(van(), "12 January, 2 nights")
    record = record_of(real())
    assert years_of(of, [record]) == [2015, 2016, 2017]
    assert years_of(of, [record, record.chosen((2016, 2017))]) == [2016, 2017]
    assert years_of(going(van(), "12 January 2016, 2 nights"), [record]) == [None]
    with pytest.raises(OptionError, match="in common"):
        years_of(of, [record.chosen((2015,)), record.chosen((2016,))])
    with pytest.raises(OptionError, match="a year too"):
        halts(going(van(), "12 January, 2 nights", "2 nights, 20 January 2016"), None, record)


def test_a_leap_day_is_in_leap_years_alone():
    record = record_of(real())
    of = going(van(), "28 February, 2 nights")
    assert halts(of, 2016, record)[0].last == date(2016, 3, 1)
    assert halts(of, 2017, record)[0].last == date(2017, 3, 2)
