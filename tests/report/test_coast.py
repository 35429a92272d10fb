from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from math import inf

import pytest

from vanclimate.answers.coast import part as coast_part
from vanclimate.answers.coast.answer import Coast, coast
from vanclimate.answers.coast.read import Coasting
from vanclimate.answers.coast.tank import Tank
from vanclimate.cache import data_path
from vanclimate.report import coast_words as words
from vanclimate.report.coast import print_coast
from vanclimate.report.json_text import answer_text, figure_of
from vanclimate.report.terminal import console_for
from vanclimate.units import System
from vanclimate.van.place import read_stay
from vanclimate.van.reading import load

TIME = re.compile(r"\d+ (min|h|s|minutes|hours)\b")
ALONE = "Children, animals, whoever cannot leave by themselves"


@pytest.fixture(scope="module", autouse=True)
def few_vans() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(coast_part, "VANS", 4)
        patch.setattr(coast_part, "RUNS", {"heat": 4, "cold": 4})
        yield


def answer_of(name: str, stay: str) -> Coast:
    return coast(load(data_path("scenarios", name)).for_stay(read_stay(stay)))


@pytest.fixture(scope="module")
def hot() -> Coast:
    return answer_of("holds.yaml", "14 July to 15 July")


@pytest.fixture(scope="module")
def cold() -> Coast:
    return answer_of("winter-work-van.yaml", "10 January to 11 January")


def page(answer: Coast, system: System = "us", width: int = 100) -> str:
    out = io.StringIO()
    print_coast(answer, system, console_for(out, width))
    return out.getvalue()


def part_with(part: Coasting, **times: float) -> Coasting:
    """Return a part whose air reaches 30 °C (in the cold 10 °C) at another time."""
    limits = tuple(
        replace(x, early_s=times.get(x.limit.kind, x.early_s)) if i in (0, 2) else x
        for i, x in enumerate(part.adults)
    )
    return replace(part, adults=limits, adults_danger_s=times.get("danger", part.adults_danger_s))


def told(answer: Coast, system: System = "us", **times: float) -> str:
    key = answer.leads
    part = part_with(answer.first, **times)
    return words.verdict(replace(answer, **{key: part}), system)


def test_the_first_line_of_the_heat(hot):
    assert told(hot, air=961.0, danger=3400.0) == (
        "Not a permission, and never for a child or an animal: if the AC stops in full sun, 16 min "
        "to 86 °F and 56 min to danger for an adult (1 in 20 is faster)"
    )
    assert "16 min to 30 °C" in told(hot, "si", air=961.0)
    assert told(hot, air=961.0, danger=inf).endswith(
        "16 min to 86 °F and danger for an adult not in 6 h (1 in 20 is faster)"
    )
    assert "86 °F from the start and 56 min to danger" in told(hot, air=0.0, danger=3400.0)
    assert "and danger for an adult from the start (" in told(hot, air=0.0, danger=0.0)


def test_the_first_line_of_the_cold(cold):
    line = told(cold, "si", **{"air": 330.0, "first ice": 63000.0})
    assert line.startswith("Not a permission, and never for a child or an animal: if the heater ")
    assert "stops at night, 5 min to 10 °C, " in line
    assert line.endswith(" inside and 17 h to first ice in the water tank (1 in 20 is faster)")
    assert "ice in the water tank not in " in told(cold, **{"first ice": inf})


def test_a_van_without_a_unit_and_a_moment_given(hot):
    bare = replace(hot, sheet=hot.sheet.with_value("air_conditioner", None))
    assert "shut up in full sun, without an AC, " in words.verdict(bare, "us")
    assert "if the AC stops at 15:00, " in words.verdict(replace(hot, at=900), "us")


@pytest.mark.parametrize("width", [60, 100])
def test_cautions_come_before_any_figure(hot, cold, width):
    for answer in (hot, cold):
        text = page(answer, width=width)
        first, rest = text.split("\n", 1)
        # within the first line the caution stands before its figures
        assert first.startswith(answer.caution_first)
        before = rest[: TIME.search(rest).start()]
        flat = " ".join(before.split())
        assert all(caution in flat.replace("! ", "") for caution in answer.cautions)


@pytest.mark.parametrize("system", ["us", "si"])
def test_whoever_cannot_leave_is_told_no_time(hot, system):
    text = page(hot, system)
    own = text.split(ALONE)[1].split("What it stands on")[0]
    assert not TIME.search(own)
    assert "do not rely on it" in own
    assert re.search(r"up to \d\.\d\d F° \(\d\.\d\d K\) a minute", own)
    assert "°F" not in own.replace("F°", "")  # no threshold stands beside the rate
    assert text.index("adults who can leave") < text.index(ALONE)


def test_air_that_does_not_rise_is_no_safeguard(hot):
    still = replace(hot.heat, alone=replace(hot.heat.alone, first_rise_k_min=0.0))
    first, second = words.alone_lines(still)
    assert "do not rely on it" in first
    assert "no safeguard either" in second


def test_json_tells_whoever_cannot_leave_no_time(hot):
    verdict = words.verdict(hot, "si")
    whole = json.loads(answer_text("coast", verdict, {}, map(figure_of, hot.figures), hot))
    alone = whole["answer"]["heat"]["alone"]
    assert set(alone) == {"advice", "first_rise_k_min"}
    assert alone["advice"] == "do not rely on it"
    assert whole["figures"][0]["unit"] == "s"
    assert whole["answer"]["heat"]["adults"][0]["early_s"] > 0.0


def test_no_line_is_wider_than_the_page(hot, cold):
    for answer in (hot, cold):
        lines = page(answer, width=60).splitlines()[1:]
        assert max(map(len, lines)) <= 60


def test_shade_that_is_hoped_for_is_named(hot):
    assert words.sun_line(hot) == "No shade anywhere."
    shaded = replace(hot, shaded=True, sheet=hot.sheet.with_value("shade.beam_transmission", 0.05))
    assert "No shade: your sheet's (" in words.sun_line(shaded)


def test_the_tank_says_whose_it_is(cold):
    assert "60 L (assumed, your sheet has none)" in words.tank_line(cold, "si")
    own = replace(cold, tank=Tank(0.08, assumed=False))
    assert "80 L (your sheet's)" in words.tank_line(own, "si")


def test_both_units_are_shown(hot, cold):
    assert "heat index 103 °F: danger" in page(hot)
    assert "heat index 39 °C: danger" in page(hot, "si")
    assert "air 50 °F" in page(cold)
    assert "air 10 °C" in page(cold, "si")


def test_how_often_and_where_it_stands(hot):
    text = page(hot)
    assert "Of 4 cuts, " in text
    assert "in 4 vans as yours may turn out" in " ".join(text.split())
    assert re.search(r"energy +[\d,]+ Wh +\S+ Wh +\S+ +yes", text)
    assert "TMY3" in text


def test_a_comparison_begins_with_the_caution_too(hot):
    from vanclimate.answers.compare.answer import compare
    from vanclimate.report.compare import print_compare

    black = hot.sheet.with_value("body.colour", 0.9)
    found = compare("coast", (hot.sheet, black), lambda sheet, _record: coast(sheet))
    out = io.StringIO()
    lines = (words.verdict(found.first, "us"), words.verdict(found.second, "us"))
    print_compare(found, lines, "us", console_for(out, 100))
    first, rest = out.getvalue().split("\n", 1)
    assert first.startswith(f"{hot.caution_first}. ")
    flat = " ".join(rest[: TIME.search(rest).start()].split()).replace("! ", "")
    assert all(caution in flat for caution in hot.cautions)
