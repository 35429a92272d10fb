"""Drawings of the technical sheet that any answer with a run has: the van, the sun, a section.

What does not belong here: how they are drawn (drawings/), and which answers show them.
"""

from __future__ import annotations

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
    sheet, weather = answer.sheet, answer.weather
    hour = worst_hour(run, part, sheet, way)
    found = dampness(sheet, run.model.shell, answer.season.record)
    drawn: dict[str, Drawing | None] = {
        "van": van(sheet, run, hour),
        "section": worst_section(found, run, hour),
        "sun": sun_path(
            hour.begins, weather.latitude, weather.longitude, answer.heading,
            elevation=weather.elevation, shape=sheet.body.width / sheet.body.length,
        ),
    }  # fmt: skip
    return {
        name: common.small(name, drawing.says, drawing.figure)
        for name, drawing in drawn.items()
        if drawing is not None
    }


def blocks(pictures: dict[str, Picture]) -> tuple[Block, ...]:
    """Return a block for each of them that was drawn."""
    return tuple(
        Block(heading, picture=pictures[name])
        for name, heading in HEADINGS.items()
        if name in pictures
    )
