"""Drawings against their sheets: areas, flows, the sun, temperatures; and no text on another."""

from __future__ import annotations

from datetime import timedelta
from io import StringIO
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch, Polygon

import vanclimate
from tests.page.odd_vans import ROWS, SCENARIOS, odd_sheets, run_of
from vanclimate.answers.futures.odds import odds_of
from vanclimate.answers.ledgers import ChargeRow, HeatRow
from vanclimate.answers.night_odds import NightOdds
from vanclimate.page import ink
from vanclimate.page.drawings.canvas import Drawing
from vanclimate.page.drawings.flows import Hour, faces_of, worst_hour
from vanclimate.page.drawings.ledger import charge_ledger, heat_ledger
from vanclimate.page.drawings.packing import Room, area_of, laid
from vanclimate.page.drawings.spread import night_spread
from vanclimate.page.drawings.surfaces import ink_of, on_ink
from vanclimate.page.drawings.van import van
from vanclimate.simulate.runs import Run
from vanclimate.van.sheet import Sheet

pytestmark = pytest.mark.filterwarnings("ignore:Glyph .* missing")  # as `ink.svg` has it

FIND = (Phase.explicit, Phase.reuse, Phase.generate)  # to shrink a van takes minutes
TOUCH = 0.6  # px by which two letters' boxes may meet: the libraries round them to whole pixels


def check_texts(drawing: Drawing) -> None:
    """Every text lies on the paper, and none on another."""
    figure = drawing.figure
    wide, high = figure.bbox.width, figure.bbox.height
    renderer = RendererSVG(wide, high, StringIO())
    boxes = [(t.get_text(), t.get_window_extent(renderer)) for t in figure.texts]
    assert boxes
    for text, box in boxes:
        assert -TOUCH < box.x0 < box.x1 < wide + TOUCH, text
        assert -TOUCH < box.y0 < box.y1 < high + TOUCH, text
    for i, (text, a) in enumerate(boxes):
        for other, b in boxes[:i]:
            apart = (a.x0 > b.x1 - TOUCH or b.x0 > a.x1 - TOUCH
                     or a.y0 > b.y1 - 2 * TOUCH or b.y0 > a.y1 - 2 * TOUCH)  # fmt: skip
            assert apart, (text, other)


def whole(run: Run) -> Hour:
    rows = slice(0, ROWS)
    return Hour(rows, run.start, run.start + timedelta(hours=3), "all is made up: 1 BTU/h · 1 W")


def told(figure: Figure) -> dict[str, Polygon]:
    """Return the surfaces of a drawing by what they tell."""
    words = figure.__dict__["_told"]
    return {
        words[int(p.get_gid().removeprefix("hover-"))]: p
        for p in figure.artists if isinstance(p, Polygon) and p.get_gid()
    }  # fmt: skip


def check_areas(sheet: Sheet, run: Run) -> None:
    """All surfaces on paper have one scale, glass and walls by their own areas."""
    drawing = van(sheet, run, whole(run))
    faces = faces_of(run, slice(0, ROWS))
    glazings = run.model.shell.glazings
    panes = [f for f in faces if f.key == "pane"]
    covers = {f.name: g.covers for f, g in zip(panes, glazings, strict=True)}
    drawn = told(drawing.figure)
    shown = [f for f in faces if f.key in ("wall", "pane", "top")]
    assert len(drawn) == len(shown)
    scales = []
    for face in shown:
        area = covers.get(face.name, face.area)
        if face.key == "wall":
            area += sum(covers[p.name] for p in panes if (p.zone, p.side) == (face.zone, face.side))
        patch = drawn[face.told]
        scales.append(area_of([(float(x), float(y)) for x, y in patch.get_xy()[:-1]]) / area)
    assert np.allclose(scales, scales[0], rtol=1e-6)
    corners = np.concatenate([patch.get_xy() for patch in drawn.values()])
    assert corners.min() > -TOUCH
    assert corners[:, 0].max() < drawing.figure.bbox.width + TOUCH
    metre = np.sqrt(scales[0])
    lines = [p.get_path() for p in drawing.figure.artists if isinstance(p, PathPatch)]
    bars = [
        abs(b[0] - a[0])
        for path in lines for (a, b) in zip(path.vertices, path.vertices[1:], strict=False)
        if a[1] == b[1]
    ]  # fmt: skip
    words = [t.get_text() for t in drawing.figure.texts]
    count = next(float(w.split()[0]) for w in words if w.endswith(" m") and w[0].isdigit())
    assert any(abs(bar - count * metre) < 1e-3 for bar in bars)


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda p: p.stem)
def test_a_van_is_drawn_to_scale_and_no_text_lies_on_another(path: Path):
    sheet = vanclimate.load(path)
    run = run_of(sheet)
    check_areas(sheet, run)
    check_texts(van(sheet, run, whole(run)))


ODD = {"deadline": None, "suppress_health_check": list(HealthCheck), "phases": FIND}


@settings(max_examples=5, **ODD)
@given(odd_sheets())
def test_odd_vans_are_drawn_to_scale_and_no_text_lies_on_another(sheet: Sheet):
    run = run_of(sheet)
    check_areas(sheet, run)
    check_texts(van(sheet, run, whole(run)))


@pytest.mark.slow
@settings(max_examples=200, **ODD)
@given(odd_sheets())
def test_many_odd_vans_are_drawn_as_well(sheet: Sheet):
    run = run_of(sheet)
    check_areas(sheet, run)
    check_texts(van(sheet, run, whole(run)))


@pytest.mark.parametrize("path", SCENARIOS[:3], ids=lambda p: p.stem)
def test_the_drawn_heat_is_the_books(path: Path):
    run = run_of(vanclimate.load(path))
    faces = faces_of(run, slice(0, ROWS))
    hours = run.seconds[-1] / 3600.0
    assert sum(f.watts for f in faces) * hours == pytest.approx(
        (run.faces.sum(axis=1) * run.width).sum() / 3600.0
    )
    assert sum(f.flux * f.area for f in faces) == pytest.approx(sum(f.watts for f in faces))


def test_the_panes_of_a_full_side_are_cut_to_their_areas():
    rooms = [Room(0.0, 0.0, 2.0, 2.0), Room(2.0, 1.0, 1.0, 1.0)]
    areas = [2.2, 1.9, 0.8]
    found = laid(areas, rooms)
    assert [area_of(points) for points in found] == pytest.approx(areas)
    right = [max(x for x, _ in points) for points in found]
    left = [min(x for x, _ in points) for points in found]
    assert all(a <= b + 1e-9 for a, b in zip(right, left[1:], strict=False))


def test_the_worst_hour_is_the_one_with_most_load():
    sheet = vanclimate.load(SCENARIOS[0])
    run = run_of(sheet)  # rows 12 to 24 have the greatest load
    hour = worst_hour(run, slice(0, ROWS), sheet, "ac")
    assert (hour.rows.start, hour.rows.stop) == (12, 24)
    assert hour.begins == run.start + timedelta(hours=1)
    assert hour.ends - hour.begins == timedelta(hours=1)
    assert "900 W" in hour.why


def test_a_ledgers_bars_are_as_long_as_its_rows():
    rows = [
        HeatRow("through the roof", 400.0), HeatRow("taken by the air conditioner", -900.0),
        HeatRow("people", 0.2), HeatRow("taken by it as water", -100.0, latent=True),
    ]  # fmt: skip
    drawing = heat_ledger(rows)
    check_texts(drawing)
    drawn = told(drawing.figure)
    wide = {key.split(":")[0]: np.ptp(p.get_xy()[:, 0]) for key, p in drawn.items()}
    assert "people" not in wide
    per = wide["through the roof"] / 400.0
    assert wide["taken by the air conditioner"] == pytest.approx(900.0 * per)
    assert wide["left in the air"] == pytest.approx(499.8 * per)
    assert "3,071 BTU" in drawing.says  # 900 Wh of 3.412 BTU each


def test_charge_adds_up():
    drawing = charge_ledger(
        [ChargeRow("fridge", 120.0, 10.0), ChargeRow("shore, direct", -60.0, -5.0)]
    )
    check_texts(drawing)
    assert "all 5.0 Ah · 60 Wh" in drawing.says


def odds(held: int) -> NightOdds:
    return NightOdds(odds_of(held, 64, 64), odds_of(held, 64, 30), -0.2, 0.3, -1.0, 2.0, False, ())


def test_a_margins_range_and_its_own_are_told():
    result: Any = SimpleNamespace(margin_charge=0.1, margin_degrees=1.0, opened=None)
    drawing = night_spread(result, odds(40), 200.0)
    check_texts(drawing)
    assert "from −20 % (−40 Ah) to 30 % (60 Ah)" in drawing.says
    bands = told(drawing.figure)
    assert len(bands) == 2  # a part below nothing and one above, of each of both margins


def test_a_bank_that_opens_has_no_margin_of_charge():
    result: Any = SimpleNamespace(margin_charge=0.1, margin_degrees=1.0, opened="cold")
    assert "charge" not in night_spread(result, odds(3), 200.0).says.lower()


def test_numbers_on_their_inks_can_be_read():
    def bright(hexes: str) -> float:  # WCAG 2.1, relative luminance
        parts = [int(hexes[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
        linear = [x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    for flux in (-99.0, -20.0, -5.0, 0.0, 5.0, 20.0, 99.0):
        name = ink_of(flux)
        for page in (0, 1):
            a, b = (bright(ink.INKS[x][page]) for x in (name, on_ink(name)))
            assert (max(a, b) + 0.05) / (min(a, b) + 0.05) >= 4.5, (name, page)
