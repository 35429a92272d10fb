"""Ranking insulation: steady heat goes as U, polyiso loses in the cold, window covers save.

Sources: ISO 6946's steady state, heat = (sum of U·A) · ΔT. Straube & Schumacher (trade article,
read): polyiso gives about R-6 an inch in summer and R-4.5 on a cold day, other foams improve. Proc,
Chaney & Sailor 2008, SAE 2008-01-2618 (abstract read): insulated window covers take 16 % off a
sleeper cab's heating; band and cab as in test_sleeper_cab. Their 35 % less cooling by double
insulation is of a day's rest in the sun and stands there; `stacks` tells nights.
"""

from __future__ import annotations

import datetime

import pytest

from tests.published.test_sleeper_cab import COLD, TRUCK, USUAL
from vanclimate.answers.stacks.answer import Stacks, stacks
from vanclimate.site.designday import design_day
from vanclimate.units import R_US
from vanclimate.van import loads_text
from vanclimate.van.sheet import Sheet

INSIDE, OUTSIDE = 16.0, -24.0  # °C; the stack's mean is -4 °C, the source's cold day
BOX = """
name: A dark, shut box, invented for this test
site: miami
body: {length: 3 m, width: 1.8 m, height: 1.9 m, rib share: 0 %, leakage: 1 cm2}
stacks:
  roof: [steel 1 mm, XPS 25 mm, plywood 6 mm]
  walls: [steel 1 mm, XPS 25 mm, plywood 6 mm]
  floor: [steel 1 mm, XPS 25 mm, plywood 6 mm]
windows: none
shade: 100 %
people: {sleepers: 0, least: 16 C}
fans: {count: 0}
vents: none
fresh air: 4 L/s
loads: none
inverter: {on: needed}
heading: 0 deg
stacks to try:
"""
# conductivity [W/mK] and thickness [mm] of boards of no library: nothing changes with temperature
BOARDS = {
    "A": (0.022, 40), "B": (0.030, 40), "C": (0.040, 40), "D": (0.065, 40), "E": (0.040, 15),
    "F": (0.040, 60),
}  # fmt: skip


def board(name: str) -> str:
    """Return a stack to try of one board on all six sides."""
    conductivity, thickness = BOARDS[name]
    layer = (
        f"[{{material: board, conductivity: {conductivity} W/mK, thickness: {thickness} mm, "
        "density: 30 kg/m3, specific heat: 1400 J/kgK}]"
    )
    return f"  - {{name: {name}, layers: {layer}, floor: {layer}}}"


def ranked(lines: list[str], outside: float = OUTSIDE, text: str = BOX) -> Stacks:
    """Return the answer on constant days."""
    sheet: Sheet = loads_text(text + "\n".join(lines), "box")
    day = design_day(
        low=outside - 0.01, high=outside + 0.01, latitude=40.0, longitude=-105.0, elevation=0.0,
        relative_humidity=0.6, date=datetime.date(2025, 1, 15), utc_offset_h=-7,
    )  # fmt: skip
    return stacks(sheet, weather=day)


@pytest.fixture(scope="module")
def boards() -> Stacks:
    return ranked([board(name) for name in BOARDS])


def test_the_cold_night_ranks_stacks_as_their_u_does(boards):
    by_heat = [row.name for row in boards.rows if not row.own]
    by_u = sorted((row.figures.u_w_m2k, row.name) for row in boards.rows if not row.own)
    assert boards.measure == "heat_wh"
    assert by_heat == [name for _, name in by_u]


def test_their_heat_gives_back_what_their_resistances_differ_by(boards):
    rows = {row.name: row for row in boards.rows}
    hours = boards.sheet.people.sleep_minutes / 60.0
    area = rows["A"].figures.lost_m3 / rows["A"].figures.thickness_m

    def resisted(name: str) -> float:
        return float(area * (INSIDE - OUTSIDE) * hours / rows[name].cold.heat_wh)

    for name in ("A", "B", "C"):
        on_paper = rows[name].figures.r_paper_m2k_w - rows["D"].figures.r_paper_m2k_w
        # films fall with the flux, and leaks are part of the heat: a tenth
        assert resisted(name) - resisted("D") == pytest.approx(on_paper, rel=0.10), name


INCH = """
  - {name: polyiso, layers: [polyiso 1 in], floor: [polyiso 1 in]}
  - {name: XPS, layers: [XPS 1 in], floor: [XPS 1 in]}
  - {name: sprayed foam, layers: [sprayed foam 1 in], floor: [sprayed foam 1 in]}
""".strip("\n")


@pytest.fixture(scope="module")
def inches() -> Stacks:
    """Return an inch of three foams, and of a board with the source's conductivity in the cold."""
    layer = "[{material: board, conductivity: R-4.5/in, thickness: 1 in, density: 32 kg/m3, "
    layer += "specific heat: 1470 J/kgK}]"
    return ranked([INCH, f"  - {{name: R-4.5, layers: {layer}, floor: {layer}}}"])


def test_an_inch_of_polyiso_is_r_6_in_summer_and_r_4_5_on_a_cold_day(inches):
    rows = {row.name: row.figures for row in inches.rows}
    bare = 0.006 / 0.13  # the plywood
    f = rows["polyiso"]
    summer, cold = ((value - bare) / R_US for value in (f.r_paper_m2k_w, f.r_cold_m2k_w))
    assert summer == pytest.approx(6.0, abs=0.25)  # the source says 'about'
    assert cold == pytest.approx(4.5, abs=0.25)
    for other in ("XPS", "sprayed foam"):
        assert rows[other].r_cold_m2k_w > rows[other].r_paper_m2k_w


def test_the_cold_night_is_run_with_it(inches):
    rows = {row.name: row for row in inches.rows}
    assert rows["polyiso"].figures.u_w_m2k < rows["sprayed foam"].figures.u_w_m2k  # at 24 °C
    assert rows["polyiso"].cold.heat_wh > rows["sprayed foam"].cold.heat_wh


@pytest.mark.xfail(strict=True, reason="+2.3 %: the board is colder than the mean of both airs")
def test_polyiso_in_the_cold_takes_the_heat_of_a_board_of_r_4_5(inches):
    """Straube & Schumacher, as above; 2 % was written down before the first run."""
    rows = {row.name: row for row in inches.rows}
    assert rows["polyiso"].cold.heat_wh == pytest.approx(rows["R-4.5"].cold.heat_wh, rel=0.02)


@pytest.mark.slow
def test_insulated_window_covers_save_a_sixth_of_a_sleeper_cab_s_heating():
    text = TRUCK.format(**USUAL).replace(
        "people: {sleepers: 0}", "people: {sleepers: 0, least: 22 C, bedtime: 22:00, waking: 06:00}"
    )
    day = design_day(
        latitude=39.7, longitude=-105.0, elevation=1600.0, relative_humidity=0.5, utc_offset_h=-7,
        **COLD,
    )  # fmt: skip
    found = stacks(loads_text(f"{text}\nheading: 180 deg\nstacks to try: [glass wool 50 mm]"), day)
    covers = next(x for x in found.inches if x.where == "glass")
    assert covers.gain.heat_wh / found.own.cold.heat_wh == pytest.approx(0.16, abs=0.08)
    doubled = found.rows[0]
    assert doubled.name == "glass wool 50 mm"
    assert doubled.cold.heat_wh < found.own.cold.heat_wh
