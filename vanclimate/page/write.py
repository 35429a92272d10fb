"""The page as a file: HTML, or PDF where a browser that prints is installed.

What does not belong here: what is on it (make.py), and the browser (printing.py).
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vanclimate.errors import OptionError
from vanclimate.report import new_file

if TYPE_CHECKING:
    from vanclimate.units import System

OPTION = "--page"
ALLOWED = "a file that can be written, such as night.html or night.pdf"
WEB, PDF = (".html", ".htm"), ".pdf"


def check_page(path: Path, inputs: Iterable[Path], force: bool) -> Path:
    """Return where a page goes, before anything is computed.

    Parameters
    ----------
    path : as given
    inputs : files that must not be overwritten
    force : whether a file that is there may be replaced

    Raises
    ------
    OptionError : a name of neither kind, no browser that prints, and see `new_file.check_target`
    """
    ending = path.suffix.lower()
    if ending not in (*WEB, PDF):
        raise OptionError(OPTION, str(path), "a name that ends in .html or .pdf")
    hint = "it is there already; --force replaces it"
    target = new_file.check_target(path, inputs, OPTION, ALLOWED, b"" if force else None, hint)
    if ending == PDF:
        from vanclimate.page.printing import browser

        if browser() is None:
            web = path.with_suffix(".html")
            raise OptionError(
                OPTION, str(path), f"{web}, for no browser that prints was found",
                f"open {web} in any browser and print it: two sheets of A4 or Letter",
            )  # fmt: skip
    return target


def write_page(answer: Any, system: System, path: Path) -> None:
    """Write an answer's page.

    Parameters
    ----------
    answer : see `make.page_of`
    system : units that show first; a PDF shows these, on the paper that goes with them
    path : where to, see `check_page`

    Raises
    ------
    OptionError : it cannot be written or printed; nothing is left behind
    """
    from vanclimate.page.make import page_of

    text = page_of(answer, system)
    content = text.encode("utf-8")
    if path.suffix.lower() == PDF:
        from vanclimate.page.printing import printed

        content = printed(text, "Letter" if system == "us" else "A4", path)
    new_file.put(content, path, OPTION, ALLOWED)
