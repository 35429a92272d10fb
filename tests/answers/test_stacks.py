"""Which insulation stack: what is tried, its figures, its rank on two nights, what layers earn."""

from __future__ import annotations

from typing import Any

import pytest

from vanclimate.answers.damp import climate_of
from vanclimate.answers.night import night
from vanclimate.answers.season import record_for
from vanclimate.answers.stacks.answer import Stacks, stacks
from vanclimate.answers.stacks.figures import compared, figures_of, transmittance
from vanclimate.answers.stacks.listed import (
    GAP,
    USUAL_DEPTH,
    built,
    candidates,
    depth,
    ribs_covered,
    split,
)
from vanclimate.answers.stacks.worth import inch_candidates, layer_candidates
from vanclimate.cache import data_path
from vanclimate.errors import SheetError
from vanclimate.network.compile import compile_shell
from vanclimate.network.summary import summarise
from vanclimate.report.stacks_words import gain_words
from vanclimate.units import FT, IN
from vanclimate.van.layers import Layer
from vanclimate.van.reading import load, loads_text
from vanclimate.van.sheet import Sheet

VAN = """
name: A van for tests
site: {site}
body: {{length: 3 m, width: 1.75 m, height: 1.9 m, {ribs}}}
stacks:
  roof: [steel 0.9 mm, XPS 40 mm, plywood 6 mm]
  walls: {walls}
  floor: [steel 1.2 mm, XPS 25 mm, plywood 12 mm]
windows:
  - {{name: windscreen, side: front, area: 1.2 m2, glass: laminated}}
people: {{sleepers: 2, limit: 26 C, least: 16 C}}
roof panels: {{power: 0 W}}
loads: none
heading: 180 deg
"""
WALLS = "[steel 0.9 mm, sheep wool 40 mm, foil, plywood 6 mm]"
HATS = "ribs: {kind: hat, depth: 30 mm, width: 40 mm, spacing: 0.5 m}"
AC = "air conditioner: {capacity: 3.5 kW, power: 1.2 kW, airflow: 150 L/s, setpoint: 24 C}"
DAY = "{{design day: {{{}, humidity: 60 %, latitude: 36, longitude: -80}}}}"
WARM = DAY.format("low: 27 C, high: 36 C, date: 07-15")
COLD = DAY.format("low: -8 C, high: -2 C, date: 01-15")


def van(
    more: str = "", *, ribs: str = "rib share: 10 %", walls: str = WALLS, site: str = "greensboro"
) -> Sheet:
    return loads_text(VAN.format(ribs=ribs, walls=walls, site=site) + more, "van.yaml")


def listed(*texts: str) -> tuple[Layer, ...]:
    return tuple(Layer.model_validate(text) for text in texts)


def names(layers: Any) -> list[str]:
    return [layer.material for layer in layers]


@pytest.mark.parametrize(
    ("stack", "skin", "between", "lining"),
    [
        (("steel 1 mm", "XPS 1 in", "ply 6 mm"), 1, 1, 1),
        (("steel 1 mm", "sound deadener 2 mm", "XPS 1 in", "ply 6 mm"), 2, 1, 1),
        (("steel 1 mm", "XPS 1 in", "vapour barrier film", "ply 6 mm", "carpet 3 mm"), 1, 2, 2),
        (("steel 1 mm", "foil", "air gap 1 in", "ply 6 mm"), 1, 2, 1),
        (("grp 2 mm", "vented air gap 2 cm", "steel 1 mm", "XPS 1 in", "ply 6 mm"), 3, 1, 1),
        (("steel 1 mm", "XPS 1 in"), 1, 1, 0),
        (("steel 1 mm", "sound deadener 2 mm", "ply 6 mm"), 2, 0, 1),
        (("canvas 1 mm",), 1, 0, 0),
    ],
)
def test_a_stack_is_skin_what_lies_between_and_lining(stack, skin, between, lining):
    parts = split(listed(*stack))
    assert [len(part) for part in parts] == [skin, between, lining]
    assert sum(parts, ()) == listed(*stack)


def test_every_ordinary_stack_keeps_skin_lining_floor_and_depth():
    sheet = van()
    own, bare, *rest = candidates(sheet)
    assert own.own
    assert own.sheet is sheet
    assert bare.name == "bare"
    assert len(rest) >= 9
    for made in (bare, *rest):
        assert made.sheet.stacks.floor == sheet.stacks.floor
        assert made.sheet.stacks.walls[0].label == sheet.stacks.walls[0].label
        assert names(made.sheet.stacks.roof)[-1] == "plywood"
        wanted = 0.0 if made is bare else 0.040
        assert depth(made.between["walls"]) == pytest.approx(wanted)
    shiny = next(c for c in rest if c.name.startswith("foil-faced"))
    assert shiny.sheet.stacks.roof[2].thickness == pytest.approx(GAP)
    assert shiny.sheet.stacks.roof[2].emissivity_outer == pytest.approx(0.05)


def test_a_van_with_no_insulation_gets_the_usual_depth_and_one_without_lining_no_gap():
    made = candidates(van(walls="[steel 0.9 mm]"))
    wool = next(c for c in made if c.name == "sheep wool")
    assert depth(wool.between["walls"]) == pytest.approx(USUAL_DEPTH)
    assert not [c for c in made if "gap" in c.name]


def test_walls_of_insulation_alone_cannot_be_bare():
    assert "bare" in [one.name for one in candidates(van())]
    tried = candidates(van(walls="[XPS 40 mm]"))
    assert "bare" not in [one.name for one in tried]
    assert len(tried) > 3


def test_the_list_of_the_sheet_is_tried_in_place_of_the_ordinary_ones():
    sheet = van(
        "stacks to try:\n"
        "  - {name: thick roof, roof: [XPS 80 mm]}\n"
        "  - {name: panel, whole: on, layers: [grp 2 mm, XPS 40 mm, grp 2 mm]}\n"
        "  - {name: cork floor, layers: [cork 40 mm], floor: [cork 20 mm]}\n"
    )
    own, roof, panel, floor = candidates(sheet)
    assert own.between["walls"][0].material == "sheep wool"
    assert roof.sheet.stacks.walls == sheet.stacks.walls
    assert depth(roof.between["roof"]) == pytest.approx(0.080)
    assert names(panel.sheet.stacks.walls) == ["glass fibre plastic", "XPS", "glass fibre plastic"]
    assert names(floor.sheet.stacks.floor) == ["steel", "cork", "plywood"]


@pytest.mark.parametrize(
    ("ribs", "walls", "covered"),
    [
        ("rib share: 10 %", WALLS, False),
        ("rib share: 0 %", WALLS, None),
        (HATS, WALLS, True),  # 40 mm on ribs 30 mm deep
        (HATS, "[steel 0.9 mm, XPS 30 mm, plywood 6 mm]", False),
        (HATS.replace("30 mm", "50 mm, cover: 10 mm"), WALLS, True),
        (HATS.replace("30 mm", "30 mm, lined: no"), WALLS, None),
    ],
)
def test_ribs_are_covered_or_not(ribs, walls, covered):
    sheet = van(ribs=ribs, walls=walls)
    assert ribs_covered(sheet) is covered
    tried = [c.name for c in candidates(sheet)]
    assert ("sprayed foam, ribs covered" in tried) == (covered is False)
    assert ("sprayed foam, bare ribs" in tried) == (covered is True)


def figures(sheet: Sheet, made: Any, floor: bool = False) -> Any:
    return figures_of(sheet, made, made.shell(), floor=floor, climate=None, cold=None)


@pytest.mark.parametrize("ribs", ["rib share: 10 %", HATS])
def test_u_is_that_of_the_compiled_shell(ribs):
    sheet = van(ribs=ribs)
    own = candidates(sheet)[0]
    shell = own.shell()
    groups = {part.name: part for part in summarise(compile_shell(shell)).groups}
    opaque = [part for name, part in groups.items() if name != "glass"]
    ua = sum(s.area * transmittance(s) for s in compared(shell, floor=True))
    assert ua == pytest.approx(sum(part.ua for part in opaque), rel=1e-4)
    assert figures(sheet, own, floor=True).u_w_m2k == pytest.approx(
        ua / sum(part.area for part in opaque)
    )  # a metal skin's own resistance is no link of the network


@pytest.mark.parametrize("ribs", ["rib share: 10 %", HATS])
@pytest.mark.parametrize("material", ["sheep wool", "XPS", "polyiso"])
def test_more_of_the_same_never_raises_u_nor_chills_the_coldest_point(material, ribs):
    sheet = van(ribs=ribs)
    found = []
    for mm in (10, 20, 32, 40, 80, 160):
        layers = listed(f"{material} {mm} mm")
        found.append(figures(sheet, built(sheet, "x", {"roof": layers, "walls": layers})))
    assert [f.u_w_m2k for f in found] == sorted((f.u_w_m2k for f in found), reverse=True)
    if ribs != HATS:  # across hats as deep as the insulation the lining stands on bare steel
        assert [f.coldest_c for f in found] == sorted(f.coldest_c for f in found)


@pytest.mark.parametrize("ribs", ["rib share: 10 %", HATS])
def test_covered_ribs_lose_less_and_are_warmer(ribs):
    sheet = van(ribs=ribs, walls="[steel 0.9 mm, XPS 30 mm, plywood 6 mm]")
    plain = figures(sheet, built(sheet, "x", {}))
    covered = figures(sheet, built(sheet, "x", {}, 0.012))
    assert covered.u_w_m2k < 0.9 * plain.u_w_m2k
    assert covered.coldest_c > plain.coldest_c + 3.0


def test_a_cover_lies_in_series_with_guessed_ribs_alone():
    sheet = van()
    bare, covered = (built(sheet, "x", {}, c).shell().surfaces for c in (None, 0.012))
    for old, new in zip(bare, covered, strict=True):
        if old.rib_u is None or old.side == "floor":
            assert old == new
        else:
            inner = next(x for x in reversed(old.layers) if x.insulation)
            assert 1 / new.rib_u - 1 / old.rib_u == pytest.approx(0.012 / inner.conductivity)


def test_room_mass_and_price_are_those_of_what_lies_between():
    prices = "prices: {XPS: 2 USD per board foot, sheep wool: 3 USD per ft2, foil: 1 per m2}"
    sheet = van(prices)
    own = candidates(sheet)[0]
    f = figures(sheet, own)
    roof = sum(s.area for s in compared(own.shell(), floor=False) if s.side == "roof")
    walls = sum(s.area for s in compared(own.shell(), floor=False) if s.side != "roof")
    assert f.thickness_m == pytest.approx(0.040)
    assert f.lost_m3 == pytest.approx(0.040 * (roof + walls))
    assert f.mass_kg == pytest.approx(0.040 * (32 * roof + 20 * walls))
    assert f.price == pytest.approx(roof * 2 / (FT**2 * IN) * 0.040 + walls * (3 / FT**2 + 1))
    assert figures(van("prices: {XPS: 2 per ft2}"), own).price == f.price  # the stack's own sheet
    lacking = van("prices: {XPS: 2 per ft2}")
    assert figures(lacking, candidates(lacking)[0]).price is None
    assert figures(lacking, candidates(lacking)[0]).unpriced == ("sheep wool", "foil")
    assert figures(van(), candidates(van())[0]).price is None
    tried = (
        "\nstacks to try:\n  - {name: panel, whole: on, layers: [steel 1 mm, XPS 1 in, XPS 1 in]}"
    )
    panel = van(prices + tried)
    costs = figures(panel, candidates(panel)[1]).price
    assert costs == pytest.approx(2 / (FT**2 * IN) * 2 * IN * (roof + walls), rel=0.02)


def test_each_layer_is_taken_out_and_each_side_gets_its_inch():
    sheet = van(walls="[steel 0.9 mm, XPS 20 mm, foil, air gap 20 mm, plywood 6 mm]")
    out = {(side, i): made for side, i, made in layer_candidates(sheet)}
    assert ("walls", 0) not in out  # the skin stays
    assert out["walls", 4] is None  # a gap needs its lining
    assert names(out["walls", 2].sheet.stacks.walls) == ["steel", "XPS", "air gap", "plywood"]
    assert out["walls", 2].sheet.stacks.walls[2].emissivity_outer == 0.9
    inches = {x[0]: x for x in inch_candidates(sheet, candidates(sheet)[0].shell())}
    assert set(inches) == {"roof", "walls", "floor", "glass"}
    _, material, _, made = inches["roof"]
    assert material == "XPS"
    grown = depth(made.sheet.stacks.roof) - depth(sheet.stacks.roof)
    assert grown == pytest.approx(IN)
    assert made.sheet.stacks.walls == sheet.stacks.walls
    assert inches["glass"][3].sheet.windows[0].covered == "night"


def test_a_stack_that_cannot_stand_is_refused_with_its_line():
    sheet = van("stacks to try:\n  - {name: thick, layers: [XPS 500 mm, cork 500 mm]}")
    with pytest.raises(SheetError, match=r"line \d+, stacks to try item 1: found"):
        candidates(sheet)
    bare = van(HATS_BARE, ribs=HATS.replace("30 mm", "30 mm, lined: no"))
    with pytest.raises(SheetError, match="ribs that are not lined"):
        candidates(bare)


HATS_BARE = "stacks to try:\n  - {name: foam, layers: [sprayed foam 40 mm], rib cover: 12 mm}"
TRIED = "\nstacks to try:\n  - {name: thick, layers: [XPS 80 mm]}\n  - {name: bare, layers: none}\n"


@pytest.fixture(scope="module")
def summer() -> Stacks:
    return stacks(van(f"{AC}{TRIED}"))


def test_the_hottest_night_ranks_a_van_with_an_air_conditioner(summer):
    assert summer.measure == "ac_wh"
    assert not summer.turned
    assert [row.name for row in summer.rows] == ["thick", "your own", "bare"]
    assert [row.rank for row in summer.rows] == [1, 2, 3]
    energies = [row.hot.ac_wh for row in summer.rows]
    assert energies == sorted(energies)
    assert summer.hot.words == "July"
    assert summer.cold.words == "January"
    assert summer.cold.way == "held"
    heats = [row.cold.heat_wh for row in summer.rows]
    assert heats == sorted(heats)
    assert summer.gain.ac_wh == pytest.approx(energies[1] - energies[0])
    assert 0.0 < summer.gain_80[0] < summer.gain_80[1]


def test_its_layers_earn_and_foil_without_air_does_not(summer):
    worth = {(w.side, w.material): w for w in summer.worths}
    assert worth["walls", "sheep wool"].gain.ac_wh > 50.0
    assert worth["walls", "sheep wool"].gain.heat_wh > 500.0
    assert worth["roof", "XPS"].gain.ac_wh > 0.0
    foil = worth["walls", "foil"]
    assert foil.idle
    assert foil.gain.nothing
    assert foil.thickness_m == 0.0
    by_area = [x.gain.ac_wh / x.area_m2 for x in summer.inches if x.where != "glass"]
    assert by_area == sorted(by_area, reverse=True)
    assert summer.inches[-1].where == "glass"
    assert summer.inches[-1].gain.heat_wh > 0.0


def test_its_figures_and_its_trace_are_of_the_own_stack(summer):
    first = summer.figures[0]
    assert first.value == summer.own.hot.ac_wh
    assert (first.kind, first.better) == ("energy", -1)
    trace = summer.trace
    energy = float((trace["ac_power_w"] * trace["step_s"]).sum()) / 3600.0
    assert energy == pytest.approx(first.value, rel=1e-9)
    assert all(book.ratio < 1e-9 for book in summer.balances)


def test_water_settles_least_behind_what_is_tight_to_vapour(summer):
    damp = {row.name: row.figures.dampest[1].peak for row in summer.rows}
    climate = climate_of(summer.sheet, record_for(summer.sheet))
    wool = van(walls="[steel 0.9 mm, sheep wool 40 mm, plywood 6 mm]")
    open_wool = figures_of(wool, candidates(wool)[0], candidates(wool)[0].shell(), floor=False,
                           climate=climate, cold=None)  # fmt: skip
    assert damp["thick"] < open_wool.dampest[1].peak
    assert summer.driest is not None


def test_made_up_days_have_one_night_and_no_winter():
    hot = stacks(van(f"{AC}{TRIED}", site=WARM))
    assert hot.cold is None
    assert hot.made_up
    assert hot.own.figures.damp == ()
    assert hot.own.figures.r_cold_m2k_w is None
    assert hot.driest is None
    cold = stacks(van(TRIED, site=COLD))
    assert cold.hot is None
    assert cold.measure == "heat_wh"
    assert [row.name for row in cold.rows] == ["thick", "your own", "bare"]


def test_a_fuel_heater_is_ranked_by_its_fuel_and_misses_come_last():
    weak = "heater: {output: 2 kW, floor: 1 kW, setpoint: 20 C, when: always}"
    found = stacks(van(f"{weak}{TRIED}", site=COLD))
    assert found.measure == "fuel_l"
    assert found.rows[-1].name == "bare"
    assert found.rows[-1].cold.short_k > 1.0
    assert found.best.cold.short_k == 0.0
    assert found.best.cold.fuel_l < found.own.cold.fuel_l


def test_a_van_that_needs_neither_is_ranked_by_what_is_felt():
    found = stacks(van(TRIED, site=WARM))
    assert found.measure == "felt_c"
    felt = [row.hot.felt_c for row in found.rows]
    assert felt == sorted(felt)
    assert found.figures[0].kind == "temperature"


def test_on_a_mild_night_less_insulation_takes_less_and_is_said():
    mild = van(f"{AC}{TRIED}", site=WARM.replace("27 C", "24 C").replace("36 C", "34 C"))
    found = stacks(mild)
    assert found.best.name == "bare"
    assert found.best.figures.u_w_m2k > found.own.figures.u_w_m2k
    assert "what insulates less lets heat out" in gain_words(found, "si")


@pytest.mark.parametrize("height", [900, 2500])
def test_where_the_hottest_night_is_mild_the_coldest_ranks(height):
    found = stacks(van(f"{AC}{TRIED}", site=f"{{place: greensboro, elevation: {height} m}}"))
    energy = {row.name: row.hot.ac_wh for row in found.rows}
    assert energy["bare"] < max(energy["your own"], 50.0)
    assert found.turned
    assert found.measure == "heat_wh"
    assert found.rows[-1].name == "bare"


def test_ticks_count_to_the_end_and_the_same_is_found_again():
    told: list[tuple[int, int]] = []
    sheet = van(TRIED, site=COLD)
    first = stacks(sheet, tick=lambda done, of: told.append((done, of)))
    assert sorted(told)[-1] == (len(told), len(told))
    again = stacks(sheet)
    assert [row.of("heat_wh") for row in again.rows] == [row.of("heat_wh") for row in first.rows]
    assert again.gain_80 == first.gain_80


@pytest.mark.slow
@pytest.mark.parametrize(("name", "figure"), [("holds", "ac_wh"), ("winter-work-van", "fuel_l")])
def test_the_own_stack_takes_what_its_night_says(name, figure):
    sheet = load(data_path("scenarios", f"{name}.yaml"))
    found, whole = stacks(sheet), night(sheet)
    assert found.measure == figure
    assert not found.turned
    assert found.night.bedtime == whole.bedtime
    assert found.night.scene.place.heading == whole.heading
    result = whole.result.ac_energy_wh if figure == "ac_wh" else whole.result.fuel_l
    # a bank that is followed begins the run at bedtime here, three days before there
    assert found.own.of(figure) == pytest.approx(result, rel=0.02)
