"""Pages in a browser: readable for all, on every width, in the dark, and two sheets of paper.

Accessibility by axe-core's rules (WCAG 2.1 A and AA among them), as axe-playwright-python ships it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from markupsafe import Markup

from tests.page.browser import browsing, chromium
from tests.page.made import QUESTIONS, made
from vanclimate.page.columns import ROW, WHOLE, height_of
from vanclimate.page.make import render
from vanclimate.page.parts import Block, Page, Picture, Table

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(chromium() is None, reason="no Chromium on this machine"),
]
WIDTHS = (360, 768, 1280)
PAPERS = ("A4", "Letter")
LARGEST = 1_500_000  # bytes of a page, asked


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with browsing() as found:
        yield found


@pytest.fixture(params=list(QUESTIONS))
def page_file(request: pytest.FixtureRequest):
    return made(request.param).page


def opened(browser: Any, file: Any, width: int, dark: bool = False) -> tuple[Any, list[str]]:
    """Open a page and return it with all that it says or asks for while it loads."""
    said: list[str] = []
    page = browser.new_page(
        viewport={"width": width, "height": 900}, color_scheme="dark" if dark else "light"
    )
    page.on("console", lambda message: said.append(f"console: {message.text}"))
    page.on("pageerror", lambda error: said.append(f"error: {error}"))
    page.on("request", lambda request: said.append(request.url))
    page.goto(file.as_uri(), wait_until="load")
    return page, said


def test_it_asks_for_nothing_says_nothing_and_is_small(browser, page_file):
    page, said = opened(browser, page_file, 1280)
    assert said == [page_file.as_uri()]
    assert page_file.stat().st_size < LARGEST
    assert page.locator("script").count() == 0
    page.close()


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_axe_finds_nothing(browser, page_file, dark):
    from axe_playwright_python.sync_playwright import Axe

    for width in (360, 1280):
        page, _ = opened(browser, page_file, width, dark)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
        page.close()


def test_it_fits_every_width(browser, page_file):
    for width in WIDTHS:
        page, _ = opened(browser, page_file, width)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        small = page.evaluate(
            "[...document.querySelectorAll('svg text')].filter(t => t.getClientRects().length)"
            ".map(t => t.getBoundingClientRect().height)"
        )
        assert min(small) >= 8.0  # px that the smallest words of a picture are high
        page.close()


def test_it_prints_on_two_sheets(browser, page_file):
    page, _ = opened(browser, page_file, 1280)
    for paper in PAPERS:
        printed = page.pdf(format=paper)
        assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 2, paper
    page.close()


WAYS = Table(
    ("", "closed up", "fans only", "air conditioner"),
    (("holds", "unfit for sleeping", "no, warm until 05:25", "no, reserve 01:49"),
     ("felt, warmest*, °F", "91.6", "81.3", "87.0"),
     ("humidity (highest)", "62% (63%)", "74% (74%)", "64% (67%)")),
)  # fmt: skip
LAYERS = Table(
    ("layer", "AC, Wh", "heat, Wh", "AC, Wh per in", "heat, Wh per in"),
    (("roof: sprayed foam 2 in", "385", "5,043", "192", "2,521"),
     ("walls: plywood 0.236 in", "16", "53", "", "")),
)  # fmt: skip
STOPS = Table(
    ("stop", "coldest", "heater", "fuel", "what is short there, if anything is"),
    (("1 Greensboro, North Carolina, 12 January", "16.0 °F", "9.4 h", "0.9 gal", "nothing"),
     ("2 a place with a name that goes on and on and on", "2 °F", "20 h", "3 gal", "the charge")),
)  # fmt: skip
NOTE = "Ranked by the air conditioner's energy from bedtime to waking on the hottest July night. "
BLOCKS = (
    Block("Stops", table=STOPS, notes=(NOTE * 3,), wide=True),
    Block("Values", facts=(("body", "12.5 ft × 70 in × 74 in inside"),
                           ("walls", "steel 0.0359 in, foam 1.5 in, wool 1 in, plywood 0.236 in"),
                           ("air conditioner", "13500 BTU/h, set to 75 °F"))),
    Block("Ways", table=WAYS, notes=(NOTE,)),
    Block("Layers", table=LAYERS),
)  # fmt: skip


def test_blocks_are_as_tall_on_paper_as_reckoned(browser, tmp_path):
    """To a row of a table, by which the reckoning may only be over."""
    drawn = Picture(Markup('<svg viewBox="0 0 340 100"></svg>'))
    page = Page("q", "", "v", (), drawn, (), "t", (), (), "p", "v", ("d",), BLOCKS)
    file = tmp_path / "blocks.html"
    file.write_text(render(page, "us", "t", "s"), encoding="utf-8")
    opened_page, _ = opened(browser, file, round(WHOLE))
    opened_page.emulate_media(media="print")
    for number, block in enumerate(BLOCKS, 1):
        shown = f"section[aria-labelledby='block-{number}']"
        tall = opened_page.locator(shown).bounding_box()["height"]
        assert tall - 4.0 <= height_of(block, 1.0) <= tall + ROW + 4.0, block.heading
    opened_page.close()


def test_the_keyboard_reaches_all_and_switches_the_units(browser, page_file):
    page, _ = opened(browser, page_file, 1280)
    reachable = page.locator("input:checked, [tabindex='0']").count()
    reached = set()
    for _ in range(reachable):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.outerHTML.slice(0, 200)"))
    assert len(reached) == reachable
    page.evaluate("document.activeElement.blur()")
    page.locator("#in-us").focus()
    assert page.locator(".us:visible").count() > 0
    page.keyboard.press("ArrowRight")
    assert page.locator("#in-si").is_checked()
    assert page.locator(".us:visible").count() == 0
    assert page.locator(".si:visible").count() > 0
    page.close()


def test_cautions_never_fold(browser, page_file):
    page, _ = opened(browser, page_file, 360)
    assert page.locator("details").count() == 0
    listed = page.locator(".cautions li")
    assert listed.count() > 0
    assert all(listed.nth(i).is_visible() for i in range(listed.count()))
    page.close()
