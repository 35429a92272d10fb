"""The library of glass: panes and gaps of each class, with its source.

What does not belong here: how light passes a pane (physics/glass.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vanclimate.physics.glass import Pane

COVERS = ("none", "curtain", "insulated", "reflective")
COVERED = ("never", "night", "day", "always")
SIDES = ("front", "rear", "left", "right", "roof")

# 3 mm clear glass: refractive index 1.526 and 9 % absorbed at normal incidence (ASHRAE, from
# memory); 9 % absorbed on one pass is an extinction of about 0.0995 / 3 mm.
_CLEAR = 33.0  # 1/m
_INDEX = 1.526


@dataclass(frozen=True)
class Glass:
    """A class of window glass.

    Parameters
    ----------
    name : as it is written in a sheet
    refraction : refractive index [-]
    absorption : extinction coefficient times thickness of each pane [-], outermost first
    pane_thicknesses : [m]
    gap_resistances : between the panes [m2·K/W]
    conductivity : of a pane [W/m·K]
    density : [kg/m3]
    specific_heat : [J/kg·K]
    source : where the figures come from
    also : other names
    """

    name: str
    refraction: float
    absorption: tuple[float, ...]
    pane_thicknesses: tuple[float, ...]
    gap_resistances: tuple[float, ...]
    conductivity: float
    density: float
    specific_heat: float
    source: str
    also: tuple[str, ...] = ()

    @property
    def panes(self) -> tuple[Pane, ...]:
        """The panes for `physics.glass`, outermost first."""
        from vanclimate.physics.glass import Pane

        return tuple(Pane(n=self.refraction, kl=kl) for kl in self.absorption)

    @property
    def resistance(self) -> float:
        """Face to face [m2·K/W], without films."""
        solid = sum(self.pane_thicknesses) / self.conductivity
        return solid + sum(self.gap_resistances)


def _glass(name: str, thickness: float, kl: float, source: str, *also: str) -> Glass:
    return Glass(name, _INDEX, (kl,), (thickness,), (), 1.0, 2500, 750, source, also)


_SOLID = "solid by the handbook tables that a general reference library prints"
_ABSORBS = "absorption from that of 3 mm clear glass, ASHRAE, from memory"
_TINT = "absorption assumed: passes about a quarter of the sun, the class of factory privacy glass"
_ACRYLIC = "acrylic 0.20 W/m·K, 1050 kg/m3, 1500 J/kg·K: handbook tables; index 1.49, from memory"
_GAP = "gap by the ISO 6946 air-layer table, from memory"

GLASSES: tuple[Glass, ...] = (
    _glass("clear", 0.004, 0.004 * _CLEAR, f"4 mm toughened; {_SOLID}; {_ABSORBS}", "single"),
    _glass(
        "laminated",
        0.0055,
        0.0055 * _CLEAR,
        f"5.5 mm windscreen glass, its film counted as glass; {_SOLID}; {_ABSORBS}",
        "windscreen",
        "windshield",
    ),
    _glass("tinted", 0.004, 1.25, f"4 mm; {_SOLID}; {_TINT}", "privacy", "dark"),
    Glass(
        "double",
        _INDEX,
        (0.004 * _CLEAR,) * 2,
        (0.004, 0.004),
        (0.15,),
        1.0,
        2500,
        750,
        f"two panes of 4 mm, 10 mm gap; {_SOLID}; {_ABSORBS}; {_GAP}",
        ("double glass", "double glazing", "insulated glass"),
    ),
    Glass(
        "double acrylic",
        1.49,
        (0.03, 0.03),
        (0.003, 0.003),
        (0.17,),
        0.20,
        1050,
        1500,
        f"two panes of 3 mm, 20 mm gap; {_ACRYLIC}; absorption assumed: clear plastic; {_GAP}",
        ("acrylic double", "camper window", "acrylic"),
    ),
    Glass(
        "tinted double acrylic",
        1.49,
        (0.60, 0.03),
        (0.003, 0.003),
        (0.17,),
        0.20,
        1050,
        1500,
        f"as double acrylic, its outer pane passing half the sun (assumed); {_ACRYLIC}; {_GAP}",
        ("smoked acrylic", "tinted acrylic"),
    ),
)

_BY_NAME = {name: g for g in GLASSES for name in (g.name, *g.also)}


def find_glass(name: str) -> Glass:
    """Return the glass of that name.

    >>> find_glass("windscreen").name
    'laminated'
    """
    return _BY_NAME[name]


def glass_words() -> dict[str, str]:
    """Return every name of a glass with the name that it is kept under."""
    return {name: glass.name for name, glass in _BY_NAME.items()}
