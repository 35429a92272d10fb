"""The windows of a sheet: where, how large, of what glass, with what cover and when it is on.

What does not belong here: the glasses themselves (openings.py).
"""

from __future__ import annotations

from typing import Literal

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

    @property
    def glass_row(self) -> Glass:
        """The library's row of this glass."""
        return find_glass(self.glass)


def cab_windows() -> tuple[Window, ...]:
    """Return the cab glass of a usual van, for a sheet that lists no windows (assumed areas)."""
    rows = (("windscreen", "front", 1.3, "laminated"), ("left door", "left", 0.4, "clear"),
            ("right door", "right", 0.4, "clear"))  # fmt: skip
    return tuple(
        Window.model_validate(
            {"name": n, "side": s, "area": a, "glass": g, "cover": "none", "covered": "never"}
        )
        for n, s, a, g in rows
    )
