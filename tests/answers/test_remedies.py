"""Remedies: what each does to a sheet, how much of it there is; every size can be built."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from tests.electric_vans import ALTERNATOR, COLD, HEAT_PUMP, van
from vanclimate.answers.futures.remedies import WORK, remedied, sizes_of
from vanclimate.errors import VanclimateError
from vanclimate.van import load
from vanclimate.van.fields import Part
from vanclimate.van.remedies import BY_NAME, KINDS, Remedy, read_remedy
from vanclimate.van.sheet import Sheet

SCENARIOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.yaml"))
MADE = {
    "a heater held low": lambda: van(
        COLD, heater={"setpoint": "8 C", "when": "home", "otherwise": "hold 7 C"}
    ),
    "a heat pump at its floor": lambda: van(
        COLD, air_conditioner=HEAT_PUMP | {"floor": "60 %", "night limit": "80 %"}, **ALTERNATOR
    ),
    "a late drive": lambda: van(**(ALTERNATOR | {"driving": {"hours": "20:00 to 23:30"}})),
    "all driven": lambda: van(**(ALTERNATOR | {"driving": {"hours": "00:00 to 23:00"}})),
    "a shaded van": lambda: van(shade="light tree", roof_panels={"power": "200 W"}),
    "panels to the edge": lambda: van(roof_panels={"power": "800 W"}),
}
ALL = [*(path.stem for path in SCENARIOS), *MADE]


@lru_cache
def sheet_of(name: str) -> Sheet:
    if name in MADE:
        return MADE[name]()
    return load(next(path for path in SCENARIOS if path.stem == name))


def whole(part: Part) -> None:
    """Check a section and all in it as the reader does."""
    values = {name: getattr(part, name) for name in part.model_fields_set}
    for value in values.values():
        for item in value if isinstance(value, tuple) else (value,):
            if isinstance(item, Part):
                whole(item)
    type(part).model_validate(values)


def remedy(text: str) -> Remedy:
    return Remedy.model_validate(text)


def test_every_kind_has_its_work():
    assert list(WORK) == [kind.name for kind in KINDS]


@pytest.mark.parametrize("name", ALL)
def test_every_size_can_be_built(name):
    sheet = sheet_of(name)
    for kind in KINDS:
        for size in sizes_of(sheet, Remedy(what=kind.name)):
            changed = remedied(sheet, Remedy(what=kind.name), size)
            assert changed != sheet, kind.name
            for part in (changed.body, changed.air_conditioner, changed.heater, changed.battery,
                         changed.roof_panels, changed.driving, changed.shade,
                         *changed.windows):  # fmt: skip
                if part is not None:
                    whole(part)


@pytest.mark.parametrize("name", ALL)
def test_sizes_are_whole_steps_up_to_the_most(name):
    sheet = sheet_of(name)
    for kind in KINDS:
        sizes = sizes_of(sheet, Remedy(what=kind.name))
        assert sizes == pytest.approx([kind.step * (i + 1) for i in range(len(sizes))])
        assert not sizes or sizes[-1] <= WORK[kind.name][0](sheet) + 1e-6


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("battery 50 Ah up to 200 Ah", [50.0, 100.0, 150.0, 200.0]),
        ("battery 60 Ah up to 200 Ah", [60.0, 120.0, 180.0]),
        ("insulation 10 mm up to 30 mm", [0.01, 0.02, 0.03]),
        ("driving 1 h up to 2 h", []),  # nothing in it charges
    ],
)
def test_a_list_has_its_own_steps_and_most(text, sizes):
    assert sizes_of(van(), remedy(text)) == pytest.approx(sizes)


@pytest.mark.parametrize(
    ("name", "text", "sizes"),
    [
        ("a heater held low", "heater setpoint 0.5 K up to 5 K", [0.5, 1.0]),
        ("a heat pump at its floor", "night limit 10 % up to 60 %", [0.1, 0.2]),
        ("all driven", "driving 30 min up to 8 h", [1800.0, 3600.0]),
        ("a late drive", "driving 1 h", [3600.0, 7200.0, 10800.0, 14400.0]),
    ],
)
def test_no_list_asks_for_more_than_can_be(name, text, sizes):
    assert sizes_of(sheet_of(name), remedy(text)) == pytest.approx(sizes)


def test_a_most_beyond_what_a_sheet_may_say_is_tried_as_far_as_that_goes():
    sheet = van()
    sizes = sizes_of(sheet, remedy("battery 100 Ah up to 90000 Ah"))
    most = sheet.battery.capacity + sizes[-1]
    assert sheet.with_value("battery.capacity", most)
    with pytest.raises(VanclimateError):
        sheet.with_value("battery.capacity", most + 100.0)


def test_what_a_van_has_not_is_no_remedy():
    bare = van(windows=[], stacks={"roof": ["steel 0.9 mm"], "walls": ["steel 0.9 mm"],
                                   "floor": ["plywood 12 mm"]})  # fmt: skip
    there = {kind.name for kind in KINDS if sizes_of(bare, Remedy(what=kind.name))}
    assert there == {"roof panels", "battery"}


def value(sheet: Sheet, path: str) -> Any:
    return sheet.value_of(path)


@pytest.mark.parametrize(
    ("what", "size", "path", "more"),
    [
        ("battery", 100.0, "battery.capacity", 100.0),
        ("roof panels", 200.0, "roof_panels.power", 200.0),
        ("fuel", 0.005, "heater.tank", 0.005),
        ("heater setpoint", 1.5, "heater.setpoint", -1.5),
        ("heater", 500.0, "heater.output", 500.0),
        ("insulation", 0.0127, "stacks.roof.1.thickness", 0.0127),
    ],
)
def test_a_size_moves_its_value_by_so_much(what, size, path, more):
    sheet = load(next(p for p in SCENARIOS if p.stem == "winter-work-van"))
    changed = remedied(sheet, Remedy(what=what), size)
    assert value(changed, path) - value(sheet, path) == pytest.approx(more)


def test_a_larger_unit_keeps_its_kind():
    sheet = sheet_of("holds")
    unit = sheet.air_conditioner
    grown = remedied(sheet, remedy("air conditioner"), 879.2).air_conditioner
    assert unit is not None
    assert grown is not None
    for key in ("power", "airflow", "blower_power"):
        shares = [getattr(x, key) / x.capacity for x in (unit, grown)]
        assert shares[0] == pytest.approx(shares[1])


def test_driving_grows_at_the_end_of_the_last_drive():
    sheet = sheet_of("winter-work-van")
    changed = remedied(sheet, remedy("driving"), 5400.0)
    assert sheet.driving is not None
    assert changed.driving is not None
    assert changed.driving.hours == ((420, 510), (900, 1080))
    assert changed.driving.days == sheet.driving.days
    still = sheet.with_value("driving", None)
    begun = remedied(still, remedy("driving"), 3600.0).driving
    assert begun is not None
    assert begun.hours == ((540, 600),)


def test_shade_deepens_by_its_words_and_never_lightens():
    sheet = sheet_of("a shaded van")
    steps = sizes_of(sheet, remedy("shade"))
    assert steps == [1.0, 2.0]
    deeper = [remedied(sheet, remedy("shade"), step).shade for step in steps]
    assert [x.label for x in deeper] == ["heavy tree", "canopy"]
    beams = [sheet.shade.beam_transmission, *(x.beam_transmission for x in deeper)]
    assert beams == sorted(beams, reverse=True)


def test_covers_close_what_was_bare_or_curtained():
    sheet = van(windows=[
        {"name": "bare", "side": "left", "area": "0.4 m2", "glass": "clear"},
        {"name": "hung", "side": "right", "area": "0.4 m2", "glass": "clear", "cover": "curtain",
         "covered": "night"},
        {"name": "shut", "side": "rear", "area": "0.4 m2", "glass": "clear", "cover": "insulated",
         "covered": "night"},
    ])  # fmt: skip
    changed = remedied(sheet, remedy("window covers"), 1.0)
    assert [(x.cover, x.covered) for x in changed.windows] == [
        ("insulated", "always"), ("insulated", "always"), ("insulated", sheet.windows[2].covered)
    ]  # fmt: skip
    assert not sizes_of(changed, remedy("window covers"))


def test_names_of_the_reader_and_of_the_work_are_one():
    for name in WORK:
        assert BY_NAME[name.casefold()].name == read_remedy(name)["what"] == name
