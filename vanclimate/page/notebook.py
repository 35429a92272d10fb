"""An answer in a notebook: its verdict, its picture and its figures, and the picture alone.

What does not belong here: what is on them (each question's module).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from vanclimate.page import common, ink
from vanclimate.page.make import maker_of, template
from vanclimate.page.parts import clean

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def chart(answer: Any, width: float) -> Figure:
    """Return the picture that explains an answer, `width` px wide."""
    with ink.looks():
        return maker_of(answer).draw(answer, width)


def html(answer: Any) -> str:
    """Return an answer as HTML to stand in a notebook, in the sheet's own units."""
    maker = maker_of(answer)
    with ink.looks():
        pictures = maker.pictures(answer)
    page = maker.page(answer, answer.sheet.units, pictures)
    return template("answer.html.jinja").render(
        page=clean(page),
        table=common.figure_block(answer.figures).table,
        colours=Markup(ink.colours(dark=False)),  # our own
    )
