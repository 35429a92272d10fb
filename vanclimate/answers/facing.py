"""Which way the nose points where a sheet does not say, and whether a season is about heating.

What does not belong here: a scene itself (``scene``), and which nights a season has (``season``).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from vanclimate.answers.scene import Scene, at_weather, outdoors, set_scene, worst_heading
from vanclimate.answers.season import Season, Spell
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet


def wants_heat(sheet: Sheet, season: Season) -> bool:
    """Return whether the van heats, and its nights' mean is colder than is wanted inside."""
    return sheet.heats and colder_than_wanted(sheet, season)


def colder_than_wanted(sheet: Sheet, season: Season) -> bool:
    """Return whether a season's nights have a mean outdoors below the least that sleepers want."""
    means: list[float] = []
    for spell in season.spells:
        if spell.nights:
            weather = spell.weather()  # made anew at each call
            means += [outdoors(weather, sheet, night) for night in spell.nights]
    return sum(means) / max(1, len(means)) < sheet.people.least


def facing(sheet: Sheet, nights: Sequence[tuple[Spell, datetime]], cold: bool) -> Scene:
    """Return the scene at the sheet's heading, else at the worst on the warmest of the nights.

    In the cold on the coldest. Real years are read one after the other, so only that year's
    weather is kept.
    """
    spells = dict.fromkeys(spell for spell, _ in nights)
    if sheet.heading is not None:
        return set_scene(sheet, next(iter(spells)).weather(), sheet.heading)
    warmest: tuple[float, datetime, Weather] | None = None
    for spell in spells:
        weather = spell.weather()
        for bedtime in (night for of, night in nights if of is spell):
            mean = outdoors(weather, sheet, bedtime) * (-1.0 if cold else 1.0)
            if warmest is None or mean > warmest[0]:
                warmest = mean, bedtime, weather
    assert warmest is not None, "a season has a night"
    return worst_heading(set_scene(sheet, warmest[2], 0.0), warmest[1])


def at_spell(scene: Scene, season: Season, spell: Spell) -> Scene:
    """Return the scene in a spell's weather; a season of one spell has it already."""
    return scene if len(season.spells) == 1 else at_weather(scene, spell.weather())
