"""The windows of a sheet: where, how large, of what glass, with what cover and when it is on.

What does not belong here: the glasses themselves (openings.py).
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal

from vanclimate.van.bodies import CAB_GLASS, ZONES, find_kind
from vanclimate.van.fields import Part, choice, quantity, words_of
from vanclimate.van.openings import COVERED, COVERS, SIDES, Glass, find_glass, glass_words


class Window(Part):
    """One window, or several alike as one."""

    name: str = words_of(longest=60)
    side: Literal["front", "rear", "left", "right", "roof"] = choice(SIDES)
    area: float = quantity("area", 0.01, 6.0)
    glass: str = choice(
        glass_words(), "clear", why="assumed: one pane of clear toughened glass",
        settle="read the mark in the corner of the glass",
    )  # fmt: skip
    cover: Literal["none", "curtain", "insulated", "reflective"] = choice(
        COVERS, "none", why="assumed: no cover", settle="look at the window"
    )
    covered: Literal["never", "night", "day", "always"] = choice(
        COVERED, "night", why="assumed: a cover is put on for the night, if there is one"
    )

    zone: Literal["living", "cab", "garage"] | None = choice(
        ZONES, None, why="assumed: glass at the front is the cab's, where a cab is described",
        settle="look which room it lights",
    )  # fmt: skip

    @property
    def glass_row(self) -> Glass:
        """The library's row of this glass."""
        return find_glass(self.glass)


def usual_windows(kind: str | None, cab: bool) -> tuple[Window, ...]:
    """Return the glass of a body whose sheet lists no windows (assumed areas).

    Parameters
    ----------
    kind : of the body, or None for a van like any other
    cab : the sheet describes the cab as a zone of its own
    """
    panes = CAB_GLASS if kind is None else find_kind(kind).windows
    return tuple(
        Window.model_validate(
            {"name": p.name, "side": p.side, "area": p.area, "glass": p.glass, "cover": "none",
             "covered": "never", "zone": "cab" if p.cab and cab else "living"}
        )
        for p in panes
    )  # fmt: skip


def zone_of(window: Window, zones: Collection[str]) -> str | None:
    """Return the zone that a window lights, or None where its sheet has to say it.

    Where a cab is described, glass at the front is the cab's, and so is any window with the word
    cab in its name; one at the left or right must say where it is, because a door may be either's.

    Parameters
    ----------
    window : Window
    zones : those of the sheet
    """
    if window.zone is not None:
        return window.zone
    if "cab" not in zones or window.side in ("roof", "rear"):
        return "living"
    if window.side == "front" or "cab" in window.name.casefold().split():
        return "cab"
    return None
