"""Two sheets compared by answers so simple that every move is known beforehand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isnan

import pytest

from vanclimate.answers.compare.answer import Comparison, Pair, compare
from vanclimate.answers.compare.differences import differences
from vanclimate.answers.compare.exchanges import exchanged, exchanges
from vanclimate.answers.figures import Figure
from vanclimate.cache import data_path
from vanclimate.errors import SheetError
from vanclimate.van.reading import load, loads_text
from vanclimate.van.sheet import Sheet

DEMO, WINTER, ROOMS, DARK = (
    data_path("scenarios", f"{name}.yaml")
    for name in ("holds", "winter-work-van", "three-rooms", "fails-on-heat")
)
OTHER = ("battery.capacity=500 Ah", "battery.reserve=20 %", "loads.fridge.power=60 W")


@dataclass(frozen=True)
class Toy:
    """An answer made of a sheet's values alone."""

    sheet: Sheet
    figures: tuple[Figure, ...]
    holds: bool = True
    trace: None = None


def toy(*figures: Callable[[Sheet], float], holds: Callable[[Sheet], bool] = lambda s: True):
    """Return what answers with figures worked out from a sheet; more is better."""

    def answer(sheet: Sheet, record: None) -> Toy:
        told = [Figure(f"figure {i}", f(sheet), "charge", 1) for i, f in enumerate(figures)]
        return Toy(sheet, tuple(told if holds(sheet) else told[::-1]), holds(sheet))

    return answer


def usable(sheet: Sheet) -> float:
    return sheet.battery.capacity * (1.0 - sheet.battery.reserve)


def added(sheet: Sheet) -> float:
    return sheet.battery.capacity + 100.0 * sheet.battery.reserve - sheet.loads[0].power


def compared(answer, first=DEMO, second=DEMO, changes=OTHER, **options) -> Comparison:
    return compare("toy", (load(first), load(second, changes)), answer, **options)


def moves(comparison: Comparison) -> dict[str, float]:
    return {move.key: move.by for move in comparison.moves}


def test_where_values_add_up_the_single_exchanges_make_the_whole():
    found = compared(toy(added))
    expected = {"battery.capacity": -130.0, "battery.reserve": 10.0, "loads (fridge).power": -5.0}
    assert moves(found) == pytest.approx(expected)
    assert list(moves(found)) == list(expected)  # the greatest first
    assert found.of_whole == pytest.approx(-125.0)
    assert found.of_singles == pytest.approx(-125.0)
    assert found.together == pytest.approx(0.0, abs=1e-9)


def test_where_values_multiply_the_rest_is_how_they_act_together():
    # 630 (1 - 0.1) = 567; 500 · 0.9 = 450; 630 · 0.8 = 504; 500 · 0.8 = 400
    found = compared(toy(usable))
    assert found.of_whole == pytest.approx(-167.0)
    told = moves(found)
    assert told["battery.capacity"] == pytest.approx(-117.0)
    assert told["battery.reserve"] == pytest.approx(-63.0)
    assert told["loads (fridge).power"] == 0.0
    assert found.together == pytest.approx(13.0)


def test_the_one_difference_is_the_whole_and_takes_no_run():
    asked: list[float] = []

    def counted(sheet: Sheet) -> float:
        asked.append(sheet.battery.capacity)
        return sheet.battery.capacity

    found = compared(toy(counted), changes=("battery.capacity=500 Ah",))
    assert moves(found) == {"battery.capacity": -130.0}
    assert asked == [630.0, 500.0]


def test_sheets_that_say_the_same_in_other_words_do_not_differ():
    found = compared(toy(added), changes=("battery.capacity=630000 mAh", "name=Another"))
    assert found.moves == () == found.differences
    assert found.of_whole == found.together == 0.0


def test_exchanges_use_the_short_answer_and_tell_how_far_they_are():
    told: list[tuple[int, int]] = []
    found = compared(toy(added), headline=toy(added), tick=lambda *x: told.append(x))
    assert told == [(1, 3), (2, 3), (3, 3)]
    assert found.of_singles == pytest.approx(-125.0)


def test_what_cannot_stand_alone_is_joined_with_what_is_beside_it():
    found = compared(
        toy(lambda s: s.windows[1].area + s.battery.reserve),
        changes=("windows.2.cover=none", "windows.2.area=1 m2", "battery.reserve=20 %"),
    )
    # of the door's keys the cover cannot go while its times stay
    assert set(moves(found)) == {"windows (left door)", "battery.reserve"}


def test_what_cannot_stand_alone_is_joined_with_one_other_that_lets_it():
    garage = "garage={length: 52 in, height: 30 in, deck: [plywood 5/8 in], front: open}"
    found = compared(toy(usable), changes=(*OTHER[:1], garage, "battery.zone=garage"))
    assert set(moves(found)) == {"battery.capacity", "garage with battery.zone"}


def test_what_other_words_for_the_same_let_stand_is_had():
    # a stay brings its month; beside a month of one's own it is refused
    text = DEMO.read_text().replace("month: July", "stay: 10 July to 24 July")
    second = loads_text(text.replace("capacity: 630 Ah", "capacity: 500 Ah"), "stay.yaml")
    found = compare("toy", (load(DEMO), second), toy(usable))
    assert not any(move.refused for move in found.moves)
    assert set(moves(found)) == {"battery.capacity", "stay"}


def test_what_nothing_lets_stand_is_told_and_why():
    def fussy(sheet: Sheet) -> float:
        changed = (sheet.battery.reserve > 0.1) + (sheet.loads[0].power > 55.0)
        if sheet.battery.capacity < 600.0 and changed < 2:
            raise SheetError("a.yaml", 3, "battery.capacity", "500 Ah", "more")
        return usable(sheet)

    found = compared(toy(fussy))
    last = found.moves[-1]
    assert last.key == "battery.capacity"
    assert last.refused == "battery.capacity: found '500 Ah'; allowed: more"
    assert isnan(last.by)
    assert found.of_singles == pytest.approx(-63.0)  # the reserve's alone
    assert found.of_singles + found.together == pytest.approx(found.of_whole)


def test_many_differences_are_exchanged_by_section():
    found = compare("toy", (load(DEMO), load(DARK)), toy(usable))
    assert set(moves(found)) == {
        "site.place", "month", "body", "stacks", "windows", "air conditioner",
        "battery.charge at bedtime",
    }  # fmt: skip


def test_the_figure_of_the_sheet_that_fails_ranks():
    def small(sheet: Sheet) -> bool:
        return sheet.battery.capacity > 600.0

    found = compared(toy(usable, lambda s: s.battery.reserve, holds=small))
    assert found.headline.name == "figure 1"
    assert [pair.name for pair in found.pairs] == ["figure 1", "figure 0"]
    assert compared(toy(usable, added)).headline.name == "figure 0"


def test_figures_without_an_end_have_a_difference_only_where_one_has_an_end():
    assert Pair("hours", "hours", 1, inf, inf).difference == 0.0
    assert Pair("hours", "hours", 1, 3.0, inf).difference == inf
    assert Pair("hours", "hours", 1, 3.0, inf).winner == 2
    assert Pair("fuel", "volume", -1, 1.0, 2.0).winner == 1
    assert Pair("felt", "temperature", 0, 1.0, 2.0).winner == 0


@pytest.mark.parametrize("pair", [(DEMO, DARK), (DEMO, ROOMS), (WINTER, DARK), (ROOMS, WINTER)])
def test_all_exchanges_together_make_the_second_sheet(pair):
    first, second = load(pair[0]), load(pair[1])
    whole = first
    edits = tuple(edit for exchange in exchanges(first, second) for edit in exchange.edits)
    joined = type(exchanges(first, second)[0])("all", edits)
    whole = exchanged(first, second, joined)
    assert differences(whole, second) == ()


def test_what_differs_is_told_as_understood_guesses_too():
    found = {d.key: d for d in differences(load(DEMO), load(DEMO, OTHER))}
    assert found["battery.capacity"].first.text("us") == "630 Ah"
    assert found["battery.reserve"].second.text("us") == "20 %"
    assert found["battery.mass"].second.text("si") == "58.18 kg (guess)"  # by its capacity
    assert "name" not in found


def test_what_one_sheet_lacks_is_one_difference():
    found = {d.key: d for d in differences(load(DEMO), load(WINTER))}
    assert found["air conditioner"].second.si == "none"
    assert found["air conditioner"].first.si.startswith("kind rooftop AC")
    assert found["loads (laptop)"].first.si == "none"
    assert not any(key.startswith(("air conditioner.", "loads (laptop).")) for key in found)


def test_layers_are_told_as_one_stack():
    found = differences(load(DEMO), load(DEMO, ["stacks.walls.2=XPS 2 in"]))
    walls = next(d for d in found if d.key == "stacks.walls")
    assert walls.second.us == "steel 0.0359 in, XPS 2 in, sheep wool 1 in, plywood 0.236 in"


def test_layers_of_one_name_and_other_figures_differ():
    own = (
        "{material: own board, thickness: 1 in, conductivity: %s, density: 30 kg/m3, "
        "specific heat: 1400 J/kg·K}"
    )
    texts = [own % k for k in ("0.03 W/m·K", "0.04 W/m·K")]
    one, other = (load(DEMO, [f"stacks.walls.2={text}"]) for text in texts)
    (walls,) = differences(one, other)
    assert "0.03 W/m·K" in walls.first.si
    assert "0.04 W/m·K" in walls.second.si
