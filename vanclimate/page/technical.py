"""Drawings of the technical sheet that any answer with a run has: the van, the sun, a section.

What does not belong here: how they are drawn (drawings/), and which answers show them.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from vanclimate.answers.damp import dampness
from vanclimate.page import common
from vanclimate.page.drawings.flows import worst_hour
from vanclimate.page.drawings.section import worst_section
from vanclimate.page.drawings.sunpath import sun_path
from vanclimate.page.drawings.van import van
from vanclimate.page.parts import Block, Picture

if TYPE_CHECKING:
    from vanclimate.page.drawings.canvas import Drawing
    from vanclimate.report.place_words import Placed
    from vanclimate.simulate.runs import Run

HEADINGS = {
    "van": "Heat through the van at its hardest hour",
    "section": "Section through the side that matters most",
    "sun": "The sun over the parked van",
}
"""By the picture's name, in the order of the blocks."""


def drawings(answer: Placed, run: Run, part: slice, way: str) -> dict[str, Picture]:
    """Draw what a run says of the van, the stack and the sun.

    Parameters
    ----------
    answer : with the sheet, the place and the heading
    run : that the verdict is about
    part : its rows that are asked about
    way : as of `worst_hour`
    """
    sheet = answer.sheet
    hour = worst_hour(run, part, sheet, way)
    found = dampness(sheet, run.model.shell, answer.season.record)
    drawn: dict[str, Drawing | None] = {
        "van": van(sheet, run, hour),
        "section": worst_section(found, run, hour),
        "sun": sun(answer, hour.begins),
    }
    return {
        name: common.drawn(name, drawing) for name, drawing in drawn.items() if drawing is not None
    }


def sun(answer: Placed, moment: datetime) -> Drawing:
    """Draw the sun over an answer's van on the day of a moment, which has the site's zone."""
    body, spot = answer.sheet.body, answer.weather
    return sun_path(moment, spot.latitude, spot.longitude, answer.heading,
                    elevation=spot.elevation, shape=body.width / body.length)  # fmt: skip


def blocks(pictures: dict[str, Picture]) -> tuple[Block, ...]:
    """Return a block for each of them that was drawn."""
    return tuple(
        Block(heading, picture=pictures[name])
        for name, heading in HEADINGS.items()
        if name in pictures
    )
