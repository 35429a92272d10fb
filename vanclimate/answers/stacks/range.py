"""The range of what one stack saves against another, over vans with every unknown drawn.

What does not belong here: the distributions (``van.unknowns``), and how a night is run
(``nights``).
"""

from __future__ import annotations

from dataclasses import replace

from vanclimate.answers.futures.drawn import Places, drawn_scene, spread
from vanclimate.answers.scene import Scene, side_by_side
from vanclimate.answers.stacks.listed import Candidate
from vanclimate.answers.stacks.nights import TestNight, fared
from vanclimate.van.unknowns import drawn_sheets

SAMPLE = 16  # vans


def gain_range(
    night: TestNight, own: Candidate, best: Candidate, measure: str
) -> tuple[float, float]:
    """Return the middle 80 % of what the best stack saves, over vans with every unknown drawn.

    Each pair is the same van but for its stack. The hours are the sheet's: bedtime is not drawn.
    """
    if best is own:
        return 0.0, 0.0
    places = Places(night.scene)
    bedtime = own.sheet.people.bedtime

    def drawn(van: Candidate) -> list[Scene]:
        scenes = []
        for sheet in drawn_sheets(van.sheet, SAMPLE):
            at_bedtime = sheet.with_value("people.bedtime", bedtime)
            shell = replace(van, sheet=at_bedtime).shell()
            scenes.append(drawn_scene(night.scene, at_bedtime, places, shell))
        return scenes

    pairs = list(zip(drawn(own), drawn(best), strict=True))

    def saved(pair: tuple[Scene, Scene]) -> float:
        old, new = (getattr(fared(night, scene), measure) for scene in pair)
        return float(old - new)

    return spread(side_by_side(saved, pairs))
