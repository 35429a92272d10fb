"""Futures of a sheet: the van as it may turn out to be, in the weather that it may meet.

Here: scenes with every unknown drawn. What does not belong here: the distributions
(``van.unknowns``), running many (``ensemble``) and judging a stay (``stays``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from vanclimate.answers.scene import Scene, mean_pressure
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import Shell, shell_of
from vanclimate.simulate.gear import gear_of
from vanclimate.simulate.place import Place, place_at
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import SEED, drawn_sheets

__all__ = ["SEED", "Places", "drawn_scene", "drawn_scenes"]


class Places:
    """What a site brings under each sky and on each ground that is drawn, worked out once each."""

    def __init__(self, scene: Scene) -> None:
        """Start from a scene's own place."""
        self.place, self.own = scene.place, scene.sheet
        self.known: dict[tuple[object, ...], Place] = {self._key(scene.sheet): scene.place}

    def at(self, sheet: Sheet) -> Place:
        """Return the place as a drawn sheet has it."""
        key = self._key(sheet)
        if key not in self.known:
            self.known[key] = place_at(sheet, self.place.weather, self.place.heading)
        return self.known[key]

    def sheet(self, drawn: Sheet) -> Sheet:
        """Return a drawn sheet, its sky its own again where the weather measured it."""
        measured = self.place.weather.longwave is not None
        return drawn.with_value("site.sky", self.own.site.sky) if measured else drawn

    @staticmethod
    def _key(sheet: Sheet) -> tuple[object, ...]:
        return sheet.site.sky, sheet.site.ground, sheet.shade, sheet.roof_panels.tilt


def drawn_scene(scene: Scene, sheet: Sheet, places: Places, shell: Shell | None = None) -> Scene:
    """Return the scene of a sheet with drawn values, at the scene's heading and in its weather.

    Its shell is the sheet's own unless another is given.
    """
    sheet = places.sheet(sheet)
    return replace(
        scene,
        sheet=sheet,
        model=compile_shell(shell or shell_of(sheet)),
        place=places.at(sheet),
        gear=gear_of(sheet, mean_pressure(scene.place.weather)),
    )


def moved_scene(drawn: Scene, places: Places) -> Scene:
    """Return a drawn scene in the weather of other places."""
    sheet = places.sheet(drawn.sheet)
    gear = gear_of(sheet, mean_pressure(places.place.weather))
    return replace(drawn, sheet=sheet, place=places.at(sheet), gear=gear)


def drawn_scenes(scene: Scene, count: int, seed: int = SEED) -> list[Scene]:
    """Return scenes with every unknown drawn, the i-th the same van for every scene of a sheet."""
    places = Places(scene)
    return [drawn_scene(scene, sheet, places) for sheet in drawn_sheets(scene.sheet, count, seed)]


def spread(values: Sequence[float], share: float = 0.8) -> tuple[float, float]:
    """Return the range that holds the middle share of some values.

    >>> [round(x, 9) for x in spread([float(x) for x in range(11)])]
    [1.0, 9.0]
    """
    import numpy as np

    low, high = np.quantile(np.asarray(values), [0.5 - share / 2.0, 0.5 + share / 2.0])
    return float(low), float(high)
