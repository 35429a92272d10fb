"""Rules against the rest of a sheet: unknown things, and what can never be true."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from vanclimate.answers.checks import check_sheet
from vanclimate.answers.rule_checks import rule_notes
from vanclimate.errors import SheetError
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

GOOD = (Path(__file__).parents[1] / "van" / "good.yaml").read_text(encoding="utf-8")
ELECTRIC = "electric heater: {power: 500 W}\n"
HEATER = "heater: {fuel: diesel}\n"


def with_rules(*rules: str, more: str = "") -> Sheet:
    listed = "".join(f"  - {rule}\n" for rule in rules)
    return loads_text(f"{GOOD}{more}rules:\n{listed}", "a.yaml")


# the sheet: lights 19:00 to 22:30, a fridge, 400 W of panels, night 22:30 to 7:00
@pytest.mark.parametrize(
    ("rules", "more"),
    [
        (["AC only above 40 % unless asleep", "shed the lights under 20 %"], ""),
        (["lights only from 20:00 to 23:00"], ""),
        (["fridge only when the sun gives more than 300 W"], ""),
        (["fridge off when the sun gives more than 300 W"], ""),
        (
            ["fridge only while driving", "fridge only from 11:00 to 13:00"],
            "driving: 9:00 to 12:00\n",
        ),
        (["lights only on shore or above 30 %"], "shore: {hours: night}\n"),
        (["lights only while driving unless awake"], ""),
        (["heat to 15 C while asleep", "AC at 26 C from 2:00 to 6:00"], HEATER),
        (["heat with the electric heater, then the heater"], f"{HEATER}{ELECTRIC}"),
        (["fridge only when the sun gives more than 500 W"], "ground panel: {power: 200 W}\n"),
    ],
)
def test_rules_that_fit_the_sheet_pass(rules, more):
    check_sheet(with_rules(*rules, more=more))


@pytest.mark.parametrize(
    ("rules", "more", "said"),
    [
        (["frige off under 20 %"], "", "did you mean 'fridge'"),
        (["kettle only above 30 %"], "", "fridge, lights, AC"),
        (["AC only while driving"], "", "a 'driving:' section"),
        (["fridge only on shore"], "", "a 'shore:' section"),
        (["fridge only on shore"], "shore: {hours: never}\n", "a 'shore:' section"),
        (["heater off while away"], "", "a 'heater:' section"),
        (["electric heater off while away"], HEATER, "an 'electric heater:' section"),
        (["heat to 15 C while asleep"], "", "nothing that heats"),
        (["heat with the heat pump, then the heater"], HEATER, "heats: yes"),
        (["heat pump first"], HEATER, "heat pump, which the sheet does not have"),
        (["electric heater first, then the heater"], HEATER, "an 'electric heater:' section"),
        (["shed the fridge and the lights under 20 %"], "", "a rule for each of them"),
        (["lights only from 8:00 to 10:00"], "", "19:00 to 22:30"),
        (["lights only while asleep"], "", "19:00 to 22:30"),
        (["lights only while driving"], "driving: 9:00 to 12:00\n", "19:00 to 22:30"),
        (["fridge only while awake and asleep"], "", "some time of day"),
        (["lights off from 18:00 to 23:00"], "", "19:00 to 22:30"),
        (["hold 24 C while asleep and from 12:00 to 13:00"], "", "some time of day"),
        (["fridge only when the sun gives more than 400 W"], "", "less than the 400 W"),
        (["cool to 20 C from 14:00 while the panels carry it"], "", "panels of at least"),
        (["heat to 26 C while asleep", "hold 24 C from 2:00 to 3:00"], HEATER, "same time"),
    ],
)
def test_what_the_sheet_lacks_or_can_never_be_is_refused_by_its_line(rules, more, said):
    sheet = with_rules(*rules, more=more)
    with pytest.raises(SheetError) as caught:
        check_sheet(sheet)
    assert said in str(caught.value)
    line = (GOOD + more).count("\n") + 2
    assert (caught.value.line, caught.value.key) == (line, "rules item 1")


def test_rules_that_never_hold_together_are_refused_at_the_later_one():
    sheet = with_rules("lights only from 19:00 to 20:00", "lights only from 21:00 to 22:00")
    with pytest.raises(SheetError, match="rules before it") as caught:
        check_sheet(sheet)
    assert caught.value.key == "rules item 2"


def test_a_word_in_several_names_asks_which():
    twice = re.sub("(name: lights.*)", r"\1\n  - {name: porch lights, power: 5 W}", GOOD)
    sheet = loads_text(f"{twice}rules: [light off under 20 %, porch off under 20 %]\n")
    with pytest.raises(SheetError, match="did you mean 'lights'"):
        check_sheet(sheet)
    both = loads_text(twice.replace("name: lights", "name: bed lights") + "rules:\n  - lights off"
                      " under 20 %\n")  # fmt: skip
    with pytest.raises(SheetError, match="one of: bed lights, porch lights"):
        check_sheet(both)


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("AC only above 40 % unless driving", "nothing lifts it"),
        ("fridge off on shore", "changes nothing"),
        ("lights only while driving unless awake", "only what lifts it counts"),
        ("shed the fridge under 4 %", "cut-off, 5 %"),
    ],
)
def test_what_changes_nothing_is_noted(rule, said):
    sheet = with_rules(rule)
    check_sheet(sheet)
    (note,) = rule_notes(sheet)
    assert said in note
    assert rule in note


def test_rules_that_bite_are_not_noted():
    assert not list(rule_notes(with_rules("AC only above 40 % unless asleep")))


@pytest.mark.parametrize(
    "rules",
    [
        ("AC at 70 F from 01:00 to 05:00", "AC at 80 F from 01:00 to 05:00"),
        ("AC at 70 F from 02:00 to 03:00", "AC at 80 F from 01:00 to 05:00"),
        ("AC at 70 F while asleep", "AC at 80 F from 22:00 to 08:00"),
        ("AC at 70 F from 01:00 to 05:00 and when the sun gives more than 100 W",
         "AC at 80 F when the sun gives more than 100 W"),
        ("heat with the heater, then the electric heater", "electric heater first"),
    ],
)  # fmt: skip
def test_a_rule_of_which_a_later_one_leaves_nothing_is_noted(rules):
    (note,) = rule_notes(with_rules(*rules, more=HEATER + ELECTRIC))
    assert note == f"rule '{rules[0]}': the later '{rules[1]}' counts in all its hours"


@pytest.mark.parametrize(
    "rules",
    [
        ("AC at 70 F from 01:00 to 05:00", "AC at 80 F from 02:00 to 05:00"),
        ("AC at 80 F from 01:00 to 05:00", "heat to 60 F from 01:00 to 05:00"),
        ("AC at 70 F from 10:00 to 12:00", "AC at 80 F when the sun gives more than 100 W"),
        ("AC at 70 F from 10:00 to 12:00", "AC at 80 F while driving"),
        ("lights only from 19:00 to 20:00", "lights only from 19:00 to 20:00"),
    ],
)
def test_a_rule_that_keeps_some_hours_is_not_noted(rules):
    assert not list(rule_notes(with_rules(*rules, more=f"{HEATER}driving: 3 h a day\n")))
