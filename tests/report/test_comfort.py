"""The section 'How it feels': plain words, both units, narrow terminals."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import timedelta

import pytest

from vanclimate.answers.comfort import Asleep, Beyond, Cover, Heat, Span, Vote
from vanclimate.physics.bedding import BEDS
from vanclimate.report.comfort import NO_PERMISSION, bed_line, comfort_lines, vote
from vanclimate.report.layout import facts
from vanclimate.report.terminal import console_for

BED = {bed.name: bed for bed in BEDS}
SHEET, BLANKET = Cover(BED["a light sheet"], True), Cover(BED["two blankets"], False)


def line(night, key, system="us"):
    return dict(comfort_lines(night, system))[key]


def slept(night, cover, first=(0.1, 0.1), last=(0.1, 0.1), before=None, pmv=(0.1, 0.1, 0.1, 0.1)):
    times = [night.bedtime + timedelta(hours=h) for h in (0.0, 2.0, 5.0, 8.4)]
    votes = [Vote(at, value) for at, value in zip(times, pmv, strict=True)]
    other = before or cover
    return Asleep("ac", cover, other, other, first, last, *votes)


def test_what_to_sleep_under_in_plain_words(demo):
    assert bed_line(slept(demo, BLANKET), demo).startswith("two blankets. Vote ")
    text = bed_line(slept(demo, SHEET), demo)
    assert text.startswith("a light sheet and the bed fan (the bed fan's 6 W are not in the draw).")


def test_a_night_that_turns_cold_says_so_and_what_helps(demo):
    text = bed_line(slept(demo, SHEET, last=(-1.2, -0.2), before=BLANKET), demo)
    assert "; it gets cold before waking: two blankets then (" in text
    text = bed_line(slept(demo, BLANKET, last=(-1.9, -1.9)), demo)
    assert "; it gets cold before waking, and no bedding here helps." in text
    text = bed_line(slept(demo, BLANKET, first=(2.9, 1.6), before=SHEET), demo)
    assert "; it is warm at first: a light sheet and the bed fan then, not enough" in text


def test_votes_of_the_night_and_the_share_dissatisfied(demo):
    text = bed_line(slept(demo, BLANKET, pmv=(0.9, 1.2, -0.5, -0.04)), demo)
    # a vote of 1.2 leaves 35 % dissatisfied, by ISO 7730's equation
    assert text.endswith(
        "Vote +0.9 at bedtime, +1.2 warmest, −0.5 coldest, 0.0 waking; up to 35 % dissatisfied"
    )


def test_votes_beyond_the_scale_give_no_figure():
    assert [vote(x) for x in (3.4, 3.0, -2.96, -11.0)] == ["over +3", "+3.0", "−3.0", "under −3"]


def test_an_empty_bed_gets_no_bedding(demo):
    empty = replace(demo, sheet=demo.sheet.with_value("people.sleepers", 0))
    assert [name for name, _ in comfort_lines(empty, "us")] == ["heat", "animals"]


def test_the_range_of_the_votes_is_said_once(demo):
    everything = " ".join(text for _, text in comfort_lines(demo, "us"))
    assert everything.count("outside its range") == 1
    assert "Sleepers at 0.7 met are outside its range" in line(demo, "votes")
    cold = replace(demo, comfort=replace(demo.comfort, out_of_range=("temp_air", "vapour")))
    assert "at 0.7 met, and this night's air and humidity, are outside" in line(cold, "votes")
    gale = replace(demo, sheet=demo.sheet.with_value("fans.bed_fan_speed", 2.5))
    assert "counts as 1.5 m/s" in line(gale, "votes")
    assert "1.5 m/s" not in line(demo, "votes")


def test_heat_is_said_with_its_band_and_where_the_chart_ends(demo):
    def with_day(air, index):
        day = Heat(demo.bedtime, air, 0.3, index, air)
        return replace(demo, comfort=replace(demo.comfort, day=day))

    assert "106 °F (danger) at 22:30 the day before, air 100 °F" in line(
        with_day(37.8, 41.0), "heat"
    )
    assert "chart" not in line(with_day(37.8, 41.0), "heat")
    assert line(with_day(50.0, 55.0), "heat", "si").endswith(
        "55 °C (extreme danger) at 22:30 the day before, air 50 °C, beyond the index's chart"
    )


def test_cold_air_has_no_heat_index(demo):
    def line_at(night, day, system="us", warmer=0.0):
        felt = {
            name: Heat(demo.bedtime, *said, said[0] + warmer)
            for name, said in (("night", night), ("day", day))
        }
        return line(replace(demo, comfort=replace(demo.comfort, **felt)), "heat", system)

    cold, mild = (6.0, 0.86, 5.0), (20.0, 0.5, 19.4)
    assert line_at(cold, mild) == (
        "no heat index: it is meant for air from 80 °F on, and the air is 43 °F at most in the "
        "night; shut up, nobody inside, 68 °F the day before"
    )
    assert "from 27 °C on, and the air is 6 °C at most" in line_at(cold, mild, "si")
    # a drier moment that was warmer counts, though its index was less
    assert line_at(cold, mild, warmer=7.0).startswith("index ")
    # 80 °F by day, or damp air of 79 °F that feels like 81: the index is there
    assert line_at(cold, (26.7, 0.4, 26.7)).startswith("index ")
    assert "81 °F (caution)" in line_at(cold, (26.1, 1.0, 27.2))


def test_hours_for_animals_are_information_and_never_a_permission(demo):
    none = Beyond(Span(0.0, 0.0), Span(0.0, 0.0))
    hot = Beyond(Span(9.5, 9.5), Span(0.0, 0.0))
    cold = Beyond(Span(0.0, 0.0), Span(6.0, 2.5))
    said = []
    for shut, lived in ((none, none), (hot, none), (cold, cold)):
        changed = replace(demo, comfort=replace(demo.comfort, shut=shut, lived=lived))
        said.append(line(changed, "animals"))
    assert all(text.endswith(NO_PERMISSION) for text in said)
    assert not any(word in text for text in said for word in (" safe", " may ", "allowed"))
    assert "never above 85 °F; never below 45 °F" in said[0]
    assert "above 85 °F for 9.5 h shut up, no time as your sheet runs it" in said[1]
    assert "below 45 °F for 6.0 h (2.5 h on end) shut up" in said[2]
    assert "ventilate at 29.5 °C" in line(demo, "animals", "si")


def test_cold_hours_are_told_where_there_are_any(demo):
    assert "cold" not in dict(comfort_lines(demo, "us"))
    cold = replace(demo, comfort=replace(demo.comfort, hours_below_who=3.25))
    assert line(cold, "cold") == "it feels colder than 64 °F, the WHO's least indoors, for 3.2 h"
    assert "18 °C" in line(cold, "cold", "si")


@pytest.mark.parametrize("width", [40, 60, 100])
@pytest.mark.parametrize("system", ["us", "si"])
def test_it_fits_narrow_terminals_in_both_systems(demo, width, system):
    stream = io.StringIO()
    facts(console_for(stream, width), comfort_lines(demo, system))
    lines = stream.getvalue().splitlines()
    assert max(len(x) for x in lines) <= width
    assert ("°C" in stream.getvalue()) == (system == "si")
    assert ("°F" in stream.getvalue()) == (system == "us")
    if width == 100:
        assert len(lines) <= 12
