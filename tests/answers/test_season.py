"""Which nights an answer is about: months, stays, years, leap days, New Year, holes in the data."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

import numpy as np
import pytest

from tests.site import invented_files as files
from vanclimate.answers.night import Night, night
from vanclimate.answers.scene import night_of, outdoors, set_scene, tightness
from vanclimate.answers.season import record_for, season_of
from vanclimate.answers.which_night import GIVEN, GIVEN_OF_YEARS
from vanclimate.cache import data_path
from vanclimate.errors import OptionError, SheetError, WeatherError
from vanclimate.report import words
from vanclimate.site import Record, Weather, find_site, read_record
from vanclimate.site.record import record_of
from vanclimate.site.weather import MEANS, POINTS
from vanclimate.van import Sheet, load, loads_text
from vanclimate.van.place import read_stay

HOLDS = data_path("scenarios", "holds.yaml")


def sheet(*changes: tuple[str, str]) -> Sheet:
    text = HOLDS.read_text(encoding="utf-8")
    for old, new in (("heading: unknown", "heading: S"), *changes):
        assert old in text
        text = text.replace(old, new)
    return loads_text(text)


@cache
def real(first: int = 2015, last: int = 2017) -> Weather:
    """Return the shipped year over and over on real dates, a little warmer each year."""
    whole = find_site("greensboro")
    days = [366 if year % 4 == 0 else 365 for year in range(first, last + 1)]
    rows = [np.arange(24 * n) % 8760 for n in days]
    arrays = {k: np.concatenate([getattr(whole, k)[r] for r in rows]) for k in (*POINTS, *MEANS)}
    warmer = np.repeat(np.arange(len(days)), [24 * n for n in days])
    for name in ("temp_air", "temp_dew"):
        arrays[name] = arrays[name] + warmer
    arrays |= {k: np.append(arrays[k], arrays[k][-1]) for k in POINTS}
    start = datetime(first, 1, 1, tzinfo=whole.start.tzinfo)
    return replace(
        whole, typical=False, n=24 * sum(days), start=start, source_years=(),
        digest=f"real {first} {last}", **arrays,
    )  # fmt: skip


def nights(of: Sheet, record: Record) -> list[list[datetime]]:
    return [list(spell.nights) for spell in season_of(of, record).spells]


def test_a_month_is_asked_about_in_every_year():
    found = nights(sheet(), record_of(real()))
    assert [len(x) for x in found] == [31, 31, 31]
    assert [x[0].year for x in found] == [2015, 2016, 2017]
    assert {b.hour for x in found for b in x} == {22}


def test_february_has_its_leap_day_in_leap_years():
    found = nights(sheet(("month: July", "month: February")), record_of(real()))
    assert [len(x) for x in found] == [28, 29, 28]
    typical = nights(sheet(("month: July", "month: February")), record_of(find_site("miami")))
    assert [len(x) for x in typical] == [28]


def test_a_stay_is_its_evenings():
    (found,) = nights(
        sheet(("month: July", "stay: 12 July to 26 July")), record_of(find_site("miami"))
    )
    assert (found[0].day, found[-1].day, len(found)) == (12, 25, 14)


def test_a_stay_across_new_year_in_real_years_and_in_a_typical_one():
    over = sheet(("month: July", "stay: 28 December to 3 January"))
    season = season_of(over, record_of(real()))
    assert [len(s.nights) for s in season.spells] == [6, 6, 3]
    # of the last year's stay, what lies beyond the record is left out, and counted
    assert [s.left_out for s in season.spells] == [0, 0, 3]
    (typical,) = nights(over, record_of(find_site("miami")))
    assert [b.day for b in typical] == [28, 29, 30, 31, 1, 2]


def test_a_stay_to_the_last_of_february_ends_on_the_first_of_march_where_that_is_all():
    stay = sheet(("month: July", "stay: 26 February to 29 February"))
    found = nights(stay, record_of(real()))
    assert [[(b.month, b.day) for b in x] for x in found] == [
        [(2, 26), (2, 27), (2, 28)],
        [(2, 26), (2, 27), (2, 28)],
        [(2, 26), (2, 27), (2, 28)],
    ]
    (typical,) = nights(stay, record_of(find_site("miami")))
    assert [b.day for b in typical] == [26, 27, 28]


def test_of_29_february_to_1_march_nothing_is_left_where_there_is_none():
    stay = sheet(("month: July", "stay: 29 February to 1 March"))
    assert [len(x) for x in nights(stay, record_of(real()))] == [1]  # 2016
    with pytest.raises(WeatherError, match="no 29 February"):
        nights(stay, record_of(find_site("miami")))


def test_a_stay_of_another_year_than_those_asked_about_is_said_so():
    stay = sheet(("month: July", "stay: 2021-07-01 to 2021-07-05"))
    with pytest.raises(WeatherError, match="nights in 2015–2017"):
        season_of(stay, record_of(real()))


@pytest.mark.parametrize("stay", ["12 July to 12 July", "2017-07-12 to 2017-07-12", "5 to 9 July"])
def test_a_stay_of_no_night_is_refused(stay):
    with pytest.raises(SheetError, match="stay"):
        sheet(("month: July", f"stay: {stay}"))


def test_a_stay_with_its_year_is_that_year_only():
    (found,) = nights(sheet(("month: July", "stay: 2016-02-27 to 2016-03-02")), record_of(real()))
    assert [(b.month, b.day) for b in found] == [(2, 27), (2, 28), (2, 29), (3, 1)]


def test_a_bedtime_after_midnight_belongs_to_the_evening_before():
    late = sheet(("bedtime: 22:30", "bedtime: 01:00"), ("starts: 21:30", "starts: 01:00"))
    found = nights(late, record_of(real()))[0]
    assert (found[0].month, found[0].day, found[0].hour) == (7, 2, 1)
    assert len(found) == 31


def test_nights_with_a_hole_in_their_data_are_left_out_and_counted():
    holed = real()
    ghi = holed.ghi.copy()
    at = int((datetime(2016, 7, 10, tzinfo=holed.start.tzinfo) - holed.start).days) * 24
    ghi[at : at + 5] = np.nan
    holed = replace(holed, ghi=ghi, digest="holed")
    season = season_of(sheet(), record_of(holed))
    assert [s.left_out for s in season.spells] == [0, 4, 0]
    left = {b.day for b in season.spells[1].nights}
    assert left == set(range(1, 32)) - {9, 10, 11, 12}
    answer = night(sheet(), holed)
    assert len(answer.nights) == 89
    assert "4 more lack whole data" in words.nights_held(answer)
    assert all(np.isfinite(n.result.margin_charge) for n in answer.nights)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["temp_air", "wind_speed", "cloud_opaque", "dni", "longwave"])
def test_a_hole_in_any_quantity_that_is_used_leaves_its_nights_out(name):
    holed = replace(real(), longwave=np.full(real().n + 1, 380.0), digest="whole")
    values = getattr(holed, name).copy()
    at = (datetime(2016, 7, 10, tzinfo=holed.start.tzinfo) - holed.start).days * 24
    values[at : at + 5] = np.nan
    holed = replace(holed, digest=f"holed {name}", **{name: values})
    season = season_of(sheet(), record_of(holed))
    assert [s.left_out for s in season.spells] == [0, 4, 0]
    if name == "longwave":  # another sky does not need it
        modelled = sheet().with_value("site.sky", "by dew point")
        assert season_of(modelled, record_of(holed)).left_out == 0
    if name == "cloud_opaque":
        assert all(np.isfinite(n.result.margin_charge) for n in night(sheet(), holed).nights)


@pytest.mark.parametrize(("offset", "longitude"), [(-7.0, -109.5), (1.0, 10.0)])
def test_a_year_of_utc_is_asked_about_in_its_own_year_only(tmp_path, offset, longitude):
    """East or west, some hours of it belong to another year by the place's clock."""
    start = datetime(2021, 1, 1, tzinfo=UTC)
    path = tmp_path / "utc.csv"
    path.write_text(
        files.as_mapped_csv(files.invented_days(365, start, 45.0, longitude), stamp="start")
    )
    record = read_record(path)
    assert record.utc_offset_h == offset
    assert len(record.years) == 2
    season = season_of(sheet(), record)
    assert (season.years, season.left_out) == ((2021,), 0)
    asked = sheet(("site: greensboro", f"site: {{place: '{path}', years: 2021}}"))
    assert season_of(asked, record_for(asked)).years == (2021,)


def test_a_sun_hours_off_is_refused_and_an_hour_off_is_noted():
    off = find_site("greensboro")
    for hours, refused in ((1, False), (3, True), (8, True)):
        late = {name: np.roll(getattr(off, name), hours) for name in ("ghi", "dni", "dhi")}
        wrong = replace(off, digest=f"late {hours}", **late)
        if refused:
            with pytest.raises(WeatherError, match="against its place's"):
                night(sheet(), wrong)
        else:
            assert any("sun of its place" in note for note in night(sheet(), wrong).warnings)


def test_a_broken_year_is_named_and_never_taken_for_a_year_without_data():
    def load(year):
        if year == 2016:
            raise WeatherError("power-2016.npz", found="altered content")
        return whole.load(year)

    whole = record_of(real())
    with pytest.raises(WeatherError, match="altered content"):
        season_of(sheet(), replace(whole, load=load))


def test_the_first_days_of_a_record_lack_the_days_before():
    first = season_of(sheet(("month: July", "month: January")), record_of(real()))
    assert [s.left_out for s in first.spells] == [3, 0, 0]


def test_a_record_without_such_nights_is_refused_in_one_line():
    week = replace(
        real(), n=240, digest="week",
        **{k: getattr(real(), k)[:241] for k in POINTS},
        **{k: getattr(real(), k)[:240] for k in MEANS},
    )  # fmt: skip
    with pytest.raises(WeatherError, match="no whole night of July"):
        season_of(sheet(), record_of(week))


@pytest.fixture(scope="module")
def three_years() -> Night:
    return night(sheet(), real())


def test_every_year_counts_in_the_first_line(three_years):
    held = three_years.nights_held
    assert len(three_years.nights) == 93
    assert f"{held} of 93 July nights in 2015–2017 hold" in words.verdict(three_years, "us")
    assert three_years.by_year.keys() == {2015, 2016, 2017}
    assert sum(of for _, of in three_years.by_year.values()) == 93


def test_the_hottest_night_is_that_of_all_years(three_years):
    assert three_years.bedtime.year == 2017
    hottest = max(three_years.nights, key=lambda n: n.result.ac_energy_wh)
    assert three_years.bedtime == hottest.bedtime
    # run by itself after three days of its own it is the night that the whole month's run saw
    assert three_years.result.ac_energy_wh == pytest.approx(hottest.result.ac_energy_wh, rel=0.01)


def test_real_years_leave_the_nights_of_one_year_as_they_are(three_years):
    """The first year is the shipped one: its nights are those of the typical year."""
    alone = {n.bedtime.day: n.result for n in night(sheet(), find_site("greensboro")).nights}
    for found in three_years.nights:
        if found.bedtime.year == 2015:
            other = alone[found.bedtime.day]
            # the runs are cut at other nights, and the sun stands an hour's tenth elsewhere
            assert found.result.felt_warmest_c == pytest.approx(other.felt_warmest_c, abs=0.35)
            assert found.result.ac_energy_wh == pytest.approx(other.ac_energy_wh, rel=0.08)


@pytest.mark.slow
def test_a_day_without_its_year_is_the_hottest_of_all_years():
    found = night(sheet(), real(), "07-14")
    assert (found.which, found.bedtime.date()) == (GIVEN_OF_YEARS, date(2017, 7, 14))
    of_one = night(sheet(), real(), "2016-07-14")
    assert (of_one.which, of_one.bedtime.date()) == (GIVEN, date(2016, 7, 14))
    assert "in its hottest year" in words.which_night(found)
    assert "in its hottest year" not in words.which_night(of_one)


@pytest.mark.slow
def test_a_year_means_nothing_to_a_typical_year_and_that_is_said():
    found = night(sheet(), find_site("greensboro"), "2019-07-04")
    assert found.bedtime.day == 4
    assert "the year you gave counts for nothing" in words.which_night(found)
    plain = night(sheet(), find_site("greensboro"), "07-04")
    assert "counts for nothing" not in words.which_night(plain)


def test_years_that_are_as_bad_are_named_together(three_years):
    def worst(held: dict[int, bool]) -> str:
        nights = tuple(
            replace(n, result=replace(n.result, holds=held[n.bedtime.year]))
            for n in three_years.nights
        )
        return words.nights_held(replace(three_years, nights=nights))

    assert "worst year 2016: 0 of 31" in worst({2015: True, 2016: False, 2017: True})
    assert "worst years 2015–2016: 0 of 31 each" in worst({2015: False, 2016: False, 2017: True})
    assert "worst" not in worst({2015: True, 2016: True, 2017: True})


def test_a_leap_day_can_be_asked_for_in_real_years_only():
    assert night(sheet(), real(), "02-29").bedtime.date() == date(2016, 2, 29)
    with pytest.raises(OptionError, match="02-29"):
        night(sheet(), find_site("greensboro"), "02-29")
    with pytest.raises(OptionError, match="2030-07-01"):
        night(sheet(), real(), "2030-07-01")


@pytest.mark.slow
def test_an_unknown_heading_is_the_worst_on_the_warmest_night_of_all_years():
    unknown = loads_text(HOLDS.read_text(encoding="utf-8"))
    answer = night(unknown, real())
    last = season_of(unknown, record_of(real())).spells[-1]
    warmest = max(last.nights, key=lambda b: outdoors(last.weather(), unknown, b))
    tried = {}
    for heading in (45.0 * i for i in range(8)):
        scene = set_scene(unknown, last.weather(), heading)
        tried[heading] = tightness(night_of(scene, "ac", warmest))
    assert tried[answer.heading] == min(tried.values())


def test_years_that_a_sheet_asks_for_must_be_there(tmp_path):
    asked = sheet(("site: greensboro", "site: {place: greensboro, years: 2017-2019}"))
    with pytest.raises(SheetError, match=r"site\.years: found 'no data of 2017–2019'") as caught:
        night(asked)
    assert "weather fetch" in str(caught.value)
    assert record_for(sheet(("site: greensboro", "site: {place: miami, years: typical}"))).typical


def test_a_design_week_has_a_night_a_day():
    week = (
        "site: {design week: {lows: [21 C, 22 C, 23 C, 24 C], highs: [33 C, 34 C, 36 C, 38 C], "
        "latitude: 35, humidity: 70 %, date: 12 July}}"
    )
    answer = night(sheet(("site: greensboro", week)))
    assert [n.bedtime.day for n in answer.nights] == [12, 13, 14, 15]
    # the week repeats, so its last night falls to its first day's low
    assert answer.bedtime.day == 14
    assert "made-up nights hold" in words.nights_held(answer)
    with pytest.raises(OptionError, match="07-12 and 07-13 and 07-14 and 07-15"):
        night(sheet(("site: greensboro", week)), when="2019-08-03")
    with pytest.raises(SheetError, match="no stay beside made-up days"):
        sheet(("site: greensboro", week), ("month: July", "stay: 12 July to 14 July"))
    energy = [n.result.ac_energy_wh for n in answer.nights]
    assert energy[2] > energy[0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("site: {place: miami, design day: none}", ""),
        ("site: {years: 2017}", "one of: place, design day, design week"),
        ("site: {place: nowhere at all}", "a design day"),
        ("site: {design week: {lows: [70 F, 71 F], highs: [90 F], latitude: 30, humidity: 50 %,"
         " date: 1 July}}", "2 to 31 temperatures"),
        ("site: {design week: {lows: [70 F, 71 F], highs: [90 F, 69 F], latitude: 30, "
         "humidity: 50 %, date: 1 July}}", "that day's low"),
        ("site: {design week: {lows: [70 F, 71 F], highs: [90 F, 92 F], latitude: 30, "
         "humidity: 50 %, date: 1 July}, years: 2017}", "no years beside a made-up day"),
    ],
)  # fmt: skip
def test_a_site_is_one_of_three_and_said_so(text, said):
    def run() -> object:
        return season_of(*(lambda s: (s, record_for(s)))(sheet(("site: greensboro", text))))

    if not said:
        assert run()
        return
    with pytest.raises(SheetError, match=said):
        run()


def test_month_and_stay_together_are_refused():
    with pytest.raises(SheetError, match="not both"):
        sheet(("month: July", "month: July\nstay: 12 July to 26 July"))


@pytest.mark.slow
def test_what_the_spot_adds_and_another_sky_stand_beside_the_answer():
    spot = "site: {place: greensboro, elevation: 1273 m, terrain: wooded, night air: cool hollow}"
    answer = night(sheet(("site: greensboro", spot)))
    kinds = [effect.kind for effect in answer.effects]
    assert kinds == ["sky", "height", "terrain", "night air"]
    base = answer.result
    by_kind = {effect.kind: effect.result for effect in answer.effects}
    # without the height it is 6.5 K warmer, without the hollow 3 K: both cost charge
    assert by_kind["height"].ac_energy_wh > base.ac_energy_wh
    plain = night(sheet())
    assert [effect.kind for effect in plain.effects] == ["sky"]
    assert "Brutsaert" in words.sky_line(plain, "us")
    assert [name for name, _ in words.spot_lines(answer, "si")] == kinds[1:]


def test_a_stay_answered_on_the_command_line_does_not_touch_the_month():
    stay = load(HOLDS).for_stay(read_stay("12 July to 15 July"))
    answer = night(stay.with_value("heading", "S"))
    assert len(answer.nights) == 3
    assert "July 12 to 15" in words.nights_held(answer)
    assert answer.bedtime - timedelta(days=3) < datetime(2025, 7, 15, tzinfo=answer.bedtime.tzinfo)
