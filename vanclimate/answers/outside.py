"""What the choices about the outside are worth: another sky, and the van's own spot left out.

What does not belong here: what is not known of the van itself (``night_odds``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from vanclimate.answers.judge import WayResult
from vanclimate.answers.scene import Scene, at_weather, night_of
from vanclimate.answers.season import Spell
from vanclimate.simulate.place import ground_of
from vanclimate.site.sky import alternative_to, model_of, sky
from vanclimate.site.spot import Spot


@dataclass(frozen=True)
class Effect:
    """The night with one choice about the outside made otherwise.

    ``kind`` is 'sky', 'height', 'terrain' or 'night air'. ``used`` is the choice made: a sky's key
    in `site.sky.SKY_MODELS`, the van's height [m], a terrain, or the night air's difference [K];
    ``other`` the sky's alternative, '' elsewhere.
    """

    kind: str
    used: str | float
    other: str
    result: WayResult


def outside_effects(scene: Scene, spell: Spell, bedtime: datetime) -> tuple[Effect, ...]:
    """Return what another sky does to a night, and each thing that the spot adds."""
    weather, asked = scene.place.weather, scene.sheet.site.sky
    used, other = model_of(weather, asked), alternative_to(weather, asked)
    above = sky(weather, other)
    ground = ground_of(scene.sheet, weather, above)
    turned = replace(scene, place=replace(scene.place, sky=above, ground=ground))
    effects = [Effect("sky", used, other, night_of(turned, turned.main_way, bedtime))]
    for kind, chosen, spot in _without(spell):
        bare = spell.weather(spot) if spot != spell.spot else weather
        if bare.digest != weather.digest:
            there = at_weather(scene, bare)
            effects.append(Effect(kind, chosen, "", night_of(there, there.main_way, bedtime)))
    return tuple(effects)


def _without(spell: Spell) -> list[tuple[str, str | float, Spot]]:
    """Return what the spot adds, each with the spot that leaves it out."""
    spot = spell.spot
    return [
        ("height", spot.elevation or 0.0, replace(spot, height_correction=False)),
        ("terrain", spot.terrain, replace(spot, terrain="open")),
        ("night air", spot.night_air, replace(spot, night_air=0.0)),
    ]
