"""What the choices about the outside are worth: another sky, and the van's own spot left out.

What does not belong here: guesses about the van itself (``levers``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from vanclimate.answers.judge import WayResult
from vanclimate.answers.scene import Scene, at_weather, night_of
from vanclimate.answers.season import Spell
from vanclimate.site.sky import alternative_to, model_of, sky
from vanclimate.site.spot import Spot


@dataclass(frozen=True)
class Effect:
    """The night with one choice about the outside made otherwise.

    ``kind`` is 'sky', 'height', 'terrain' or 'night air'; ``used`` and ``other`` name the choices,
    of a sky by its key in `site.sky.SKY_MODELS`.
    """

    kind: str
    used: str
    other: str
    result: WayResult


def outside_effects(scene: Scene, spell: Spell, bedtime: datetime) -> tuple[Effect, ...]:
    """Return what another sky does to a night, and each thing that the spot adds."""
    weather, asked = scene.place.weather, scene.sheet.site.sky
    used, other = model_of(weather, asked), alternative_to(weather, asked)
    turned = replace(scene, place=replace(scene.place, sky=sky(weather, other)))
    effects = [Effect("sky", used, other, night_of(turned, turned.main_way, bedtime))]
    for kind, words, spot in _without(spell):
        bare = spell.weather(spot) if spot != spell.spot else weather
        if bare.digest != weather.digest:
            there = at_weather(scene, bare)
            effects.append(Effect(kind, words, "", night_of(there, there.main_way, bedtime)))
    return tuple(effects)


def _without(spell: Spell) -> list[tuple[str, str, Spot]]:
    """Return the spot with each thing that it adds left out."""
    spot = spell.spot
    height = "" if spot.elevation is None else f"{spot.elevation:.0f} m"
    return [
        ("height", height, replace(spot, height_correction=False)),
        ("terrain", spot.terrain, replace(spot, terrain="open")),
        ("night air", f"{spot.night_air:+.1f} K", replace(spot, night_air=0.0)),
    ]
