"""Sentences of the section `rules`: what they mean, and what is refused."""

from __future__ import annotations

import re
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.answers.rule_checks import check_rules
from vanclimate.errors import SheetError, UnitError
from vanclimate.van import echo, new_sheet_text
from vanclimate.van.reading import loads_text
from vanclimate.van.rule_text import read_rule
from vanclimate.van.rules import (
    HEAT_SOURCES,
    STATES,
    Condition,
    HeatOrder,
    Restriction,
    Rule,
    Setpoint,
    rule_marks,
    thing_index,
)

SMALLEST = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
"""
ABOVE_40 = Condition("charge", above=0.4)
NINE_TO_FIVE = Condition("times", times=((540, 1020),))


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("AC only above 40 %", Restriction("ac", (ABOVE_40,))),
        ("The A/C only above 40 % of the charge.", Restriction("a/c", (ABOVE_40,))),
        (
            "AC only above 0.4 unless asleep",
            Restriction("ac", (ABOVE_40,), (Condition("asleep"),)),
        ),
        (
            "water heater only when the sun gives more than 0.3 kW",
            Restriction("water heater", (Condition("sun", above=300.0),)),
        ),
        ("kettle only while driving", Restriction("kettle", (Condition("driving"),))),
        ("kettle only on shore", Restriction("kettle", (Condition("on shore"),))),
        ("kettle only 9:00 to 17:00", Restriction("kettle", (NINE_TO_FIVE,))),
        (
            "kettle only on shore or above 40 %",
            Restriction("kettle", (ABOVE_40,), (Condition("on shore"),)),
        ),
        (
            "kettle only while driving and from 9 am to 5 pm",
            Restriction("kettle", (Condition("driving"), NINE_TO_FIVE)),
        ),
        ("shed the e-bike charging under 40 %", Restriction("e bike charging", (ABOVE_40,))),
        ("kettle never below 40 %", Restriction("kettle", (ABOVE_40,))),
        ("kettle not while asleep", Restriction("kettle", (Condition("asleep", is_not=True),))),
        (
            "AC off while away or driving",
            Restriction("ac", (Condition("away", is_not=True), Condition("driving", is_not=True))),
        ),
        ("hold 78.8 F from 9:00 to 17:00", Setpoint("cool", 26.0, (NINE_TO_FIVE,))),
        ("AC at 26 C from 9:00 to 17:00", Setpoint("cool", 26.0, (NINE_TO_FIVE,))),
        (
            "cool to 68 F from 14:00 to 18:00 while the panels carry it",
            Setpoint("cool", 20.0, (Condition("times", times=((840, 1080),)),), carried=True),
        ),
        (
            "cool to 68 F from 14:00 while the panels carry it",
            Setpoint("cool", 20.0, (Condition("times", times=((840, 0),)),), carried=True),
        ),
        ("heat to 15 C while asleep", Setpoint("heat", 15.0, (Condition("asleep"),))),
        (
            "heat with the heat pump, then the fuel heater, then the electric heater",
            HeatOrder(HEAT_SOURCES),
        ),
        ("heat with the diesel heater, then the AC", HeatOrder(("fuel heater", "heat pump"))),
    ],
)
def test_a_sentence_is_understood(text, meaning):
    got = read_rule(text)
    assert isinstance(got, type(meaning))
    if isinstance(meaning, Setpoint):
        assert got.temp == pytest.approx(meaning.temp)
        assert (got.mode, got.during, got.carried) == (
            meaning.mode,
            meaning.during,
            meaning.carried,
        )
    else:
        assert got == meaning


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("heat pump first", "heat with the heat pump"),
        ("Use the fuel heater first.", "heat with the fuel heater"),
        (
            "electric heater first, then the fuel heater",
            "heat with the electric heater, then the fuel heater",
        ),
        ("first the heat pump, then the heater", "heat with the heat pump, then the heater"),
        ("heat with the heater first, then the AC", "heat with the heater, then the heat pump"),
        ("heat pump before the diesel heater", "heat with the heat pump, then the fuel heater"),
        ("heat pump, then the heater", "heat with the heat pump, then the fuel heater"),
        ("no AC under 30 %", "AC only above 30 %"),
        ("AC off below 30 %", "AC only above 30 %"),
        ("turn the AC off when the bank falls below 30 %", "AC only above 30 %"),
        ("AC only when the battery is above 30 percent", "AC only above 30 %"),
        ("AC only down to 30 %", "AC only above 30 %"),
        ("no induction under 20 %", "shed the induction under 20 %"),
        ("shed the induction at 20 %", "induction only above 20 %"),
        ("under 20 %, shed the induction", "induction only above 20 %"),
        ("no AC below 30 % unless on shore", "AC only above 30 % unless on shore"),
        ("AC only above 30 % except while asleep", "AC only above 30 % unless asleep"),
        ("don't run the kettle while asleep", "kettle off while asleep"),
        ("shed the kettle while asleep", "kettle off while asleep"),
        ("no kettle unless on shore or above 80 %", "kettle only on shore or above 80 %"),
        ("kettle never unless plugged in", "kettle only on shore"),
        ("only run the kettle on shore", "kettle only on shore"),
        ("run the kettle only on shore", "kettle only on shore"),
        ("kettle on shore only", "kettle only on shore"),
        ("kettle only while parked", "kettle off while driving"),
        ("kettle only by day", "kettle off while asleep"),
        ("kettle only above 300 W of sun", "kettle only when the sun gives more than 300 W"),
        ("kettle only when solar is over 300 W", "kettle only when the sun gives more than 300 W"),
        (
            "no kettle when the panels give less than 300 W",
            "kettle only when the sun gives more than 300 W",
        ),
        ("AC 26 C at night", "AC at 26 C while asleep"),
        ("set the AC to 26 C overnight", "AC at 26 C while asleep"),
        ("at night, AC 26 C", "AC at 26 C while asleep"),
        ("AC 26 C 9:00 to 17:00", "hold 26 C from 9:00 to 17:00"),
        ("heat to 15 C at night", "heat to 15 C while asleep"),
        ("heating 15 C at night", "heat to 15 C while asleep"),
    ],
)
def test_another_wording_is_the_same_rule(text, same):
    assert read_rule(text).words("si") == read_rule(same).words("si")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("AC only above 120 %", "less than 100 %"),
        ("AC only above 0 %", "more than 0 %"),
        ("AC only above 40", "the unit is missing"),
        ("AC only above 300 W", "40 %"),
        ("AC only under 40 %", "above a share"),
        ("shed the kettle under", "a rule such as"),
        ("shead the kettle under 20 %", "did you mean 'shed'"),
        ("water heater only when the sun gives more than 300", "the unit is missing"),
        ("hold 78 from 9:00 to 17:00", "the unit is missing"),
        ("hold 78 F", "when it is held"),
        ("hold 78 F from 9:00", "with its end"),
        ("hold 300 F from 9:00 to 17:00", "10 °C to 45 °C"),
        ("heat to 45 C while asleep", "0 °C to 30 °C"),
        ("heat to 20 C from 9:00 while the panels carry it", "cooling only"),
        ("heat to 15 C above 40 %", "a rule of its own"),
        ("heat with the stove", "heat pump, fuel heater"),
        ("heat with the AC, then the heat pump", "once"),
        ("kettle only while aslep", "did you mean 'asleep'"),
        ("kettle only from 25:00 to 26:00", "time of day"),
        ("kettle only from 9:00 to 9:00", "differ"),
        ("kettle only while driving and on shore or above 40 %", "not by both"),
        ("kettle only while driving unless above 40 %", "after 'unless'"),
        ("kettle", "a rule such as"),
        ("kettle first", "heat pump, fuel heater, electric heater"),
        ("AC first", "'heat pump first' (whether it goes before the charger"),
        ("AC 26 at night", "the unit is missing"),
        ("AC 26 C", "when it is held"),
        ("AC only at 30 %", "above a share"),
        ("heater at 15 C at night", "'heat to 15 C at night' (one temperature"),
        ("set back to 60 F at night", "of heating or of cooling?"),
        ("kettle while driving", "'kettle only while driving' or 'kettle off while driving'"),
        ("AC above 40 %", "allowed: 'AC only above 40 %' (a rule switches nothing on)"),
        ("kettle only after 18:00", "with its end"),
    ],
)
def test_what_cannot_be_is_refused(text, said):
    with pytest.raises(UnitError) as caught:
        read_rule(text)
    assert said in str(caught.value)


def test_a_refused_rule_names_its_own_line():
    with pytest.raises(SheetError) as caught:
        loads_text(f"{SMALLEST}rules:\n  - fridge only above 40 %\n  - lights only above 140 %\n")
    assert (caught.value.line, caught.value.key) == (6, "rules item 2")


def test_no_rules_and_a_list_are_read_and_echoed_as_understood():
    assert loads_text(SMALLEST).rules == ()
    assert loads_text(f"{SMALLEST}rules: none\n").rules == ()
    sheet = loads_text(
        f"{SMALLEST}rules:\n  - shed the lights under 20 %\n  - AC at 26 C while away"
    )
    rows = {row.key: row for row in echo(sheet) if row.key.startswith("rules")}
    assert rows["rules item 1"].si == "lights only above 20 % of the charge"
    assert rows["rules item 2"].si == "cool to 26 °C while away"
    assert rows["rules item 2"].us == "cool to 78.8 °F while away"
    assert rows["rules item 2"].line == 6
    assert not rows["rules item 1"].guessed


def test_the_rules_that_are_shown_are_understood():
    page = (Path(__file__).parents[2] / "docs" / "equipment.md").read_text(encoding="utf-8")
    shown = re.findall(r"^      - (.+)$", page.split("    rules:\n")[1].split("\n\n")[0], re.M)
    assert len(shown) == 8
    others = re.findall(
        r"^      - (.+)$", page.split("shows each rule")[1].split("At night")[0], re.M
    )
    assert len(others) == 6
    assert all(read_rule(text) for text in shown + others)
    text = new_sheet_text()
    rules = text[text.index("# rules:") :]
    sheet = loads_text(text.replace(rules, rules.replace("# ", "", 1).replace("\n# ", "\n")))
    assert len(sheet.rules) == 4
    check_rules(sheet)


def test_a_changed_sentence_has_its_own_meaning():
    sheet = loads_text(f"{SMALLEST}rules: [lights only above 40 %]\n")
    changed = sheet.with_value("rules.0.says", "lights only above 60 %")
    assert changed.rules[0].meaning.needs == (Condition("charge", above=0.6),)


def test_a_name_may_be_cut_short_where_only_one_load_has_it():
    names = ["Fridge", "induction cooking", "reading light", "porch light"]
    assert thing_index("fridge", names) == 0
    assert thing_index("induction", names) == 1
    assert thing_index("light", names) is None
    assert thing_index("cook", names) is None
    assert thing_index("light", [*names, "light"]) == 4
    assert thing_index("heater", ["water heater"]) is None


def test_the_plan_is_cut_where_a_rule_begins_and_ends():
    texts = ("AC at 26 C from 2:00 to 6:00", "kettle off while asleep unless from 23:00 to 0:00")
    assert rule_marks(Rule.model_validate(text) for text in texts) == {120, 360, 1380, 0}


minutes = st.integers(0, 1439)
periods = st.tuples(minutes, minutes).filter(lambda p: p[0] != p[1])
times = st.builds(
    Condition, st.just("times"), times=st.lists(periods, min_size=1, max_size=3).map(tuple),
    is_not=st.booleans(),
)  # fmt: skip
suns = st.builds(
    Condition, st.just("sun"), above=st.integers(0, 999).map(float), is_not=st.booleans()
)
states = st.builds(Condition, st.sampled_from(STATES), is_not=st.booleans())
charges = st.builds(Condition, st.just("charge"), above=st.integers(1, 99).map(lambda x: x * 0.01))
others = st.lists(times | suns | states, max_size=2).map(tuple)
restrictions = st.builds(
    Restriction,
    st.sampled_from(["kettle", "water heater", "air conditioner", "electric heater"]),
    st.lists(charges | times | suns | states, min_size=1, max_size=3).map(tuple),
    others,
)
setpoints = st.builds(
    Setpoint, st.sampled_from(["cool", "heat"]), st.integers(10, 30).map(float),
    st.lists(times | suns | states, min_size=1, max_size=2).map(tuple),
)  # fmt: skip
orders = st.lists(st.sampled_from(HEAT_SOURCES), min_size=1, unique=True).map(
    lambda sources: HeatOrder(tuple(sources))
)


@given(restrictions | setpoints | orders)
def test_what_is_echoed_reads_as_the_same_rule(meaning):
    assert read_rule(meaning.words("si")) == meaning


@given(st.text(max_size=60))
def test_any_text_is_a_rule_or_is_refused(text):
    with suppress(UnitError):
        assert read_rule(text).words("us")
