"""An answer to HTML: its question's module builds the page in both units, the template writes it.

What does not belong here: any particular answer (night.py and its like), and files (write.py).
"""

from __future__ import annotations

from functools import lru_cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, cast

import jinja2
from markupsafe import Markup

from vanclimate.page import ink
from vanclimate.page.columns import columns
from vanclimate.page.parts import Page, Picture, both, clean

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.units import System

HERE = Path(__file__).parent
MAKERS = {
    "Night": "night", "Last": "last", "Size": "size", "Coast": "coast", "Stacks": "stacks",
    "Trip": "trip", "Comparison": "compare",
}  # fmt: skip
"""The module that makes an answer's page, by the answer's type."""


class Maker(Protocol):
    """What a question's module holds."""

    def pictures(self, answer: Any) -> dict[str, Picture]:
        """Draw all pictures, in both unit systems at once."""

    def draw(self, answer: Any, width: float) -> Figure:
        """Draw the picture that explains it, so many px wide, within `ink.looks`."""

    def page(self, answer: Any, system: System, pictures: dict[str, Picture]) -> Page:
        """Build the page in one unit system."""


def page_of(answer: Any, system: System) -> str:
    """Return an answer's page as HTML that needs nothing else.

    Parameters
    ----------
    answer : a `Night`, or another question's
    system : units that show first
    """
    maker = maker_of(answer)
    with ink.looks():
        pictures = maker.pictures(answer)
    us, si = (maker.page(answer, units, pictures) for units in ("us", "si"))
    title = clean((us if system == "us" else si).question)
    return render(both(us, si), system, title, _sheets(answer))


def render(page: Page, system: System, title: str, sheets: str) -> str:
    """Return a page as HTML.

    Parameters
    ----------
    page : in both unit systems, its texts clean
    system : units that show first
    title : of the window
    sheets : what it was made from
    """
    from vanclimate import __version__

    groups, fit = columns(page.blocks)
    return template("sheets.html.jinja").render(
        page=page,
        groups=groups,
        fit=f"{fit:.2f}",
        units=system,
        title=title,
        style=Markup(_style()),  # our own
        version=__version__,
        made_by=f"vanclimate {__version__}; {sheets}",
    )


def _sheets(answer: Any) -> str:
    """Return what an answer was made from: its sheet's hash, of a comparison both."""
    answers = (answer,) if hasattr(answer, "sheet") else (answer.first, answer.second)
    return ", ".join(f"sheet {one.sheet.digest[:16]}" for one in answers)


def maker_of(answer: Any) -> Maker:
    """Return the module that makes an answer's page."""
    return cast(Maker, import_module(f"vanclimate.page.{MAKERS[type(answer).__name__]}"))


@lru_cache(maxsize=4)
def template(name: str) -> jinja2.Template:
    """Return a template of this folder, which escapes every text."""
    shelf = jinja2.Environment(
        loader=jinja2.FileSystemLoader(HERE), autoescape=True, undefined=jinja2.StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    return shelf.get_template(name)


@lru_cache(maxsize=1)
def _style() -> str:
    return ink.variables() + (HERE / "sheets.css").read_text(encoding="utf-8")
