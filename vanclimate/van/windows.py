"""The windows of a sheet: where, how large, of what glass, with what cover and when it is on.

What does not belong here: the glasses themselves (openings.py), the covers (covers.py).
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal

from pydantic import model_validator

from vanclimate.errors import UnitError, near
from vanclimate.units import System, show
from vanclimate.van.bodies import CAB_GLASS, ZONES, find_kind
from vanclimate.van.covers import FITS, Cover, cover_words, find_cover
from vanclimate.van.fields import (
    Part,
    Period,
    choice,
    custom,
    quantity,
    read_periods,
    refused,
    words_of,
    write_periods,
)
from vanclimate.van.openings import COVERED, SIDES, Glass, find_glass, glass_words

When = Literal["never", "night", "day", "always"] | tuple[Period, ...]
"""When something is closed or open: a word, or periods of the clock."""

UPRIGHT = 90.0  # deg
WINDSCREEN_SLOPE = 45.0  # deg, see Window.slope


def read_when(text: str) -> When:
    """Read 'night', or periods such as '20:00 to 08:00, 12:30 to 14:00'.

    >>> read_when("day"), read_when("20:00 to 8 am")
    ('day', ((1200, 480),))
    """
    word = " ".join(text.casefold().split())
    for known in COVERED:
        if word == known:
            return known  # type: ignore[return-value]
    try:
        return read_periods(text) or "always"
    except UnitError as error:
        allowed = f"{', '.join(COVERED)}, or times such as 20:00 to 08:00"
        raise UnitError(text, allowed, error.hint or near(word, COVERED)) from None


def write_when(when: When, system: System = "si") -> str:
    """Write what `read_when` reads."""
    return when if isinstance(when, str) else write_periods(when)


class Window(Part):
    """One window, or several alike as one."""

    name: str = words_of(longest=60)
    side: Literal["front", "rear", "left", "right", "roof"] = choice(SIDES)
    area: float = quantity("area", 0.01, 6.0)
    glass: str = choice(
        glass_words(), "clear", why="assumed: one pane of clear toughened glass",
        settle="read the mark in the corner of the glass",
    )  # fmt: skip
    slope: float = quantity(
        "angle", 10.0, 90.0, default_of=lambda window: window.usual_slope, spread=(0.75, 1.4),
        why="assumed: a windscreen leans back, 45 deg from level", settle="hold a level to it",
    )  # fmt: skip
    cover: str = choice(cover_words(), "none", why="assumed: no cover", settle="look at the window")
    covered: When = custom(
        read_when, write_when, "night", joins=True,
        why="assumed: a cover is put on for the night, if there is one",
    )  # fmt: skip
    cover_resistance: float = quantity(
        "thermal_resistance", 0.0, 3.0,
        default_of=lambda window: window.cover_row.resistance if window.cover_row else 0.0,
        spread=(0.5, 1.6), why="assumed: the middle of its class, the mat or cloth itself",
        settle="measure the mat's thickness",
    )  # fmt: skip
    cover_edge: float = quantity(
        "length", 0.0, 0.1, words=FITS,
        default_of=lambda window: window.cover_row.edge if window.cover_row else 0.0,
        spread=(0.4, 3.0), why="assumed: open along its edges as its class is",
        settle="a strip of paper along the cover's edge",
    )  # fmt: skip

    zone: Literal["living", "cab", "garage"] | None = choice(
        ZONES, None, why="assumed: glass at the front is the cab's, where a cab is described",
        settle="look which room it lights",
    )  # fmt: skip

    opening: float = quantity("area", 0.0, 6.0, 0.0)
    open: When = custom(read_when, write_when, "never", joins=True)

    @model_validator(mode="after")
    def _opens(self) -> Window:
        if self.opening > self.area:
            most = f"up to its area, {show(self.area, 'area')}"
            raise refused(show(self.opening, "area"), most, key="opening")
        if self.opening > 0.0 and "open" not in self.model_fields_set:
            raise refused("nothing", f"when it is open: {', '.join(COVERED)}, or times", key="open")
        if self.opening == 0.0 and self.open != "never":
            allowed = "never, or an 'opening:' with its free area"
            raise refused(write_when(self.open), allowed, key="open")
        return self

    @property
    def glass_row(self) -> Glass:
        """The library's row of this glass."""
        return find_glass(self.glass)

    @property
    def cover_row(self) -> Cover | None:
        """The library's row of this cover, None where there is none."""
        return find_cover(self.cover)

    @property
    def usual_slope(self) -> float:
        """Slope where the sheet gives none [deg from level]: a windscreen leans back."""
        if self.side == "roof":
            return 0.0
        leans = self.side == "front" and self.glass == "laminated"
        return WINDSCREEN_SLOPE if leans else UPRIGHT

    def certain(self) -> frozenset[str]:
        """Return what is no guess: other panes are upright, and no cover has no figures."""
        known = set() if self.usual_slope == WINDSCREEN_SLOPE else {"slope"}
        if self.cover == "none":
            known |= {"covered", "cover_resistance", "cover_edge"}
        elif self.covered == "never":
            known |= {"cover_resistance", "cover_edge"}
        return frozenset(known)

    @model_validator(mode="after")
    def _sensible(self) -> Window:
        """Refuse a slope that faces no way, and what is said of a cover that is not there."""
        given = self.model_fields_set
        if self.side == "roof" and self.slope != 0.0 and "slope" in given:
            found = f"{self.slope:.0f} deg in the roof"
            raise refused(
                found, "no slope: a leaning pane belongs to the side it faces", key="slope"
            )
        if self.cover == "none" and "cover_resistance" in given and self.cover_resistance > 0.0:
            raise refused("a resistance without a cover", "a cover beside it", key="cover")
        if self.cover == "none" and "covered" in given and self.covered != "never":
            found = f"covered {write_when(self.covered)}, on a window without a cover"
            raise refused(found, "a cover beside it, or covered: never", key="covered")
        if self.cover == "none" and "cover_edge" in given:
            raise refused("the edge of no cover", "a cover beside it", key="cover_edge")
        return self


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
