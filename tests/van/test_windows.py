"""Glasses, covers and windows of a sheet."""

from __future__ import annotations

import re

import pytest

from vanclimate.errors import SheetError
from vanclimate.physics.conduction import air_layer_resistance
from vanclimate.physics.glass import stack_optics
from vanclimate.van import new_sheet_text
from vanclimate.van.covers import COVERS, FITS, cover_words, find_cover
from vanclimate.van.openings import GLASSES, find_glass, glass_words
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

BODY = """site: miami
body: {length: 3 m, width: 2 m, height: 2 m}
stacks: {roof: [steel 1 mm], walls: [steel 1 mm], floor: [plywood 12 mm]}
windows:
  - """


def sheet_with(window: str) -> Sheet:
    return loads_text(BODY + window + "\n")


@pytest.mark.parametrize("glass", GLASSES, ids=lambda g: g.name)
def test_each_glass_is_whole(glass):
    panes = len(glass.absorption) + (glass.milky is not None)
    assert panes == len(glass.pane_thicknesses) == len(glass.gap_resistances) + 1
    assert len(glass.gaps) == len(glass.gap_resistances)
    assert all(0.002 <= t <= 0.01 for t in glass.pane_thicknesses)
    assert all(0.01 < kl < 2 for kl in glass.absorption)
    assert 1.4 < glass.refraction < 1.6
    assert glass.bulge == 1.0 or "dome" in glass.name
    assert glass.source


@pytest.mark.parametrize("glass", GLASSES, ids=lambda g: g.name)
def test_each_glass_lies_in_the_range_of_its_class(glass):
    passed = float(stack_optics(glass.panes, 1.0).transmittance)
    assert glass.sun_range[0] <= passed <= glass.sun_range[1]
    assert glass.u_range[0] <= glass.u_value <= glass.u_range[1]


@pytest.mark.parametrize("glass", [g for g in GLASSES if g.gaps], ids=lambda g: g.name)
def test_a_gap_s_resistance_is_the_standard_s(glass):
    # ISO 6946 air layers at 20 °C: upright windows horizontally, a dome upward; printed to 0.01
    direction = "up" if glass.bulge > 1 else "horizontal"
    e = glass.emissivity
    by_standard = air_layer_resistance(glass.gaps[0], e, e, direction, mean_temp=20.0)
    assert glass.gap_resistances[0] == pytest.approx(by_standard, abs=0.013)


def test_four_millimetre_glass_has_the_handbook_u_value():
    # U 5.75 W/m2K of 4 mm glass with films of 0.13 and 0.04: derived from ISO 6946 films
    assert find_glass("clear").u_value == pytest.approx(5.75, abs=0.005)


def test_clear_glass_absorbs_as_the_handbook_says():
    # 3 mm clear glass absorbs about 9 % at normal incidence (ASHRAE, from memory)
    from math import exp

    per_metre = find_glass("clear").absorption[0] / 0.004
    face = ((1.526 - 1) / (1.526 + 1)) ** 2
    through = exp(-0.003 * per_metre)
    absorbed = (1 - face) * (1 - through) / (1 - face * through)
    assert absorbed == pytest.approx(0.09, abs=0.005)


def test_clear_acrylic_passes_what_its_data_sheets_say():
    # 85 % of the sun through 3 mm: makers' data sheets, from memory
    passed = float(stack_optics(find_glass("clear dome").panes, 1.0).transmittance)
    assert passed == pytest.approx(0.85, abs=0.01)


@pytest.mark.parametrize("cover", COVERS.values(), ids=lambda c: c.name)
def test_each_cover_is_whole(cover):
    assert 0.0 <= cover.resistance <= 1.5
    assert cover.reflectance > 0.0
    assert cover.reflectance + cover.transmittance < 1.0
    assert 0.05 <= cover.emissivity <= 0.95
    assert 0.005 <= cover.gap <= 0.1
    assert 0.0 < cover.edge <= FITS["hanging"]
    assert 0.1 <= cover.mass <= 2.0
    assert cover.source


def test_no_name_stands_for_two_things():
    for library, words in ((GLASSES, glass_words()), (COVERS.values(), cover_words())):
        names = [n for row in library for n in (row.name, *row.also)]
        assert len(names) == len(set(names))
        assert set(names) <= set(words)
    assert find_cover("none") is None


def test_a_window_left_alone_is_upright_clear_and_bare():
    (w,) = sheet_with("{name: pane, side: left, area: 0.5 m2}").windows
    assert (w.glass, w.slope, w.cover, w.cover_resistance) == ("clear", 90.0, "none", 0.0)
    assert not {"slope", "cover_resistance", "cover_edge"} & {n for n in type(w).model_fields
                                                              if w.is_guess(n)}  # fmt: skip


def test_a_windscreen_leans_back_and_that_is_a_guess():
    sheet = sheet_with("{name: front, side: front, area: 1.2 m2, glass: windscreen}")
    guess = next(g for g in sheet.guessed if g.path == "windows.0.slope")
    assert guess.value == 45.0
    assert (guess.low, guess.high) == pytest.approx((33.75, 63.0))
    assert sheet_with("{name: f, side: front, area: 1 m2, slope: 40 deg}").windows[0].slope == 40.0


def test_a_cover_brings_the_figures_of_its_class_as_guesses():
    sheet = sheet_with("{name: pane, side: left, area: 0.5 m2, cover: windscreen cap}")
    w = sheet.windows[0]
    assert w.cover == "outside mat"
    assert w.cover_resistance == COVERS["outside mat"].resistance
    paths = {g.path for g in sheet.guessed}
    assert {"windows.0.cover_resistance", "windows.0.cover_edge"} <= paths
    other = sheet.with_value("windows.0.cover", "foam board").windows[0]
    assert (other.cover_resistance, other.cover_edge) == (0.75, FITS["ordinary"])
    thick = sheet_with(
        "{name: a, side: left, area: 1 m2, cover: insulated, cover edge: loose,"
        " cover resistance: 0.5 m2K/W}"
    ).windows[0]
    assert (thick.cover_resistance, thick.cover_edge) == (0.5, FITS["loose"])


@pytest.mark.parametrize(
    ("text", "found"),
    [("night", "night"), ("Always", "always"), ("all day", "always"),
     ("20:00 to 08:00", ((1200, 480),)),
     ("20:00 to 08:00, 12:30 to 14:00", ((1200, 480), (750, 840)))],
)  # fmt: skip
def test_a_cover_is_on_at_a_word_or_by_the_clock(text, found):
    sheet = sheet_with(
        f"name: a\n    side: left\n    area: 1 m2\n    cover: blind\n    covered: {text}"
    )
    assert sheet.windows[0].covered == found


@pytest.mark.parametrize(
    ("window", "key", "says"),
    [
        ("{name: a, side: left, area: 1 m2, glass: milk}", "glass", "clear, laminated"),
        ("{name: a, side: left, area: 1 m2, cover: insulatd}", "cover", "insulated"),
        ("{name: a, side: left, area: 1 m2, covered: nihgt}", "covered", "night"),
        ("{name: a, side: left, area: 1 m2, covered: 20:00 to 20:00}", "covered", "20:00"),
        ("{name: a, side: left, area: 1 m2, slope: 95 deg}", "slope", "90"),
        ("{name: a, side: left, area: 1 m2, slope: -5 deg}", "slope", "10"),
        ("{name: a, side: roof, area: 1 m2, slope: 30 deg}", "slope", "side it faces"),
        ("{name: a, side: left, area: 1 m2, cover resistance: 0.3 m2K/W}", "cover", "cover"),
        (
            "{name: a, side: left, area: 1 m2, cover: blind, cover edge: 1 m}",
            "cover edge",
            "100 mm",
        ),
    ],
)
def test_what_a_window_cannot_be_is_refused(window, key, says):
    with pytest.raises(SheetError) as caught:
        sheet_with(window)
    assert caught.value.key is not None
    assert key in caught.value.key
    assert says in str(caught.value)


def test_the_window_keys_that_the_new_sheet_keeps_as_comments_can_be_used():
    text = new_sheet_text()
    for key in ("slope: 45 deg", "cover edge: tight", "cover resistance: 0.4 m2K/W"):
        assert f"    # {key}" in text
        text = text.replace(f"    # {key}", f"    {key}")
    w = loads_text(text).windows[0]
    assert (w.slope, w.cover_edge, w.cover_resistance) == (45.0, FITS["tight"], 0.4)
    for row in (*GLASSES, *COVERS.values()):
        assert re.search(rf"[ ,]{row.name}[,;\n]", text), row.name
