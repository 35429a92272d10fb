"""The library of glass: panes and gaps of each class, with its source and its range.

What does not belong here: how light passes a pane (physics/glass.py), covers (covers.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vanclimate.physics.glass import MilkyPane, Pane

COVERED = ("never", "night", "day", "always")
SIDES = ("front", "rear", "left", "right", "roof")

# 3 mm clear glass: refractive index 1.526 and 9 % absorbed at normal incidence (ASHRAE, from
# memory); 9 % absorbed on one pass is an extinction of about 0.0995 / 3 mm.
_CLEAR = 33.0  # 1/m
_INDEX = 1.526
# 3 mm clear acrylic passes 85 % of the sun and 92 % of visible light (makers' data sheets, from
# memory): its faces reflect 7.5 %, so 8 % are absorbed, an extinction of about 0.083 / 3 mm.
_CLEAR_ACRYLIC = 28.0  # 1/m
_ACRYLIC_INDEX = 1.49
DOME = 1.3
"""A dome's face over its opening [-]: a cap 0.1 m high over 0.4 m has 1.25 times the area of its
opening, a square one with steep sides 1.4; assumed for every dome, 1.1 to 1.6."""


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
    emissivity : longwave, of every face [0..1]
    milky : transmittance and reflectance of the innermost pane where it scatters all light
    bulge : face over opening of a pane that sticks out [-]
    gaps : thickness of each gap between panes [m], where they are known
    sun_range : least and most transmittance at normal incidence of this class [0..1]
    u_range : least and most transmittance of heat on paper of this class [W/m2·K]
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
    emissivity: float = 0.84
    milky: tuple[float, float] | None = None
    bulge: float = 1.0
    gaps: tuple[float, ...] = ()
    sun_range: tuple[float, float] = (0.0, 1.0)
    u_range: tuple[float, float] = (0.5, 7.0)

    @property
    def panes(self) -> tuple[Pane | MilkyPane, ...]:
        """The panes for `physics.glass`, outermost first."""
        from vanclimate.physics.glass import MilkyPane, Pane

        clear = tuple(Pane(n=self.refraction, kl=kl) for kl in self.absorption)
        if self.milky is None:
            return clear
        return (*clear, MilkyPane(self.refraction, *self.milky))

    @property
    def resistance(self) -> float:
        """Face to face [m2·K/W], without films."""
        solid = sum(self.pane_thicknesses) / self.conductivity
        return solid + sum(self.gap_resistances)

    @property
    def u_value(self) -> float:
        """Transmittance on paper [W/m2·K], films of 0.13 and 0.04 m2·K/W (ISO 6946), no frame."""
        return 1.0 / (0.13 + self.resistance + 0.04)


_SOLID = "solid by the handbook tables that a general reference library prints"
_ABSORBS = "absorption from that of 3 mm clear glass, ASHRAE, from memory"
_EMITS = "longwave emissivity 0.84 (uncoated glass, handbook)"
_ACRYLIC = (
    "acrylic 0.20 W/m·K, 1050 kg/m3, 1500 J/kg·K: handbook tables; index 1.49 and longwave "
    "emissivity 0.90 (0.86 to 0.94), from memory"
)
_CLEAR_PLASTIC = "3 mm pass 85 % of the sun: makers' data sheets of clear acrylic, from memory"
_GAP = "gap by the ISO 6946 air-layer table, from memory"


def _glass(
    name: str, thickness: float, kl: float, source: str, *also: str, sun: tuple[float, float]
) -> Glass:
    return Glass(
        name, _INDEX, (kl,), (thickness,), (), 1.0, 2500, 750, f"{source}; {_SOLID}; {_EMITS}",
        also, sun_range=sun, u_range=(5.5, 5.9),
    )  # fmt: skip


def _acrylic(
    name: str, kl: tuple[float, ...], source: str, *also: str, sun: tuple[float, float],
    gap: tuple[float, float] | None = None, milky: tuple[float, float] | None = None,
    bulge: float = 1.0,
) -> Glass:  # fmt: skip
    """Return panes of 3 mm; ``gap`` is thickness [m] and resistance [m2K/W]."""
    panes = len(kl) + (milky is not None)
    return Glass(
        name, _ACRYLIC_INDEX, kl, (0.003,) * panes, (gap[1],) if gap else (), 0.20, 1050, 1500,
        f"{source}; {_ACRYLIC}" + (f"; {_GAP}" if gap else ""), also, emissivity=0.90,
        milky=milky, bulge=bulge, gaps=(gap[0],) if gap else (), sun_range=sun,
        u_range=(2.4, 3.1) if gap else (5.2, 5.6),
    )  # fmt: skip


_KL = 0.003 * _CLEAR_ACRYLIC
_DOME = f"its face {DOME:g} times its opening (assumed, a cap 0.1 m high over 0.4 m)"

GLASSES: tuple[Glass, ...] = (
    _glass(
        "clear", 0.004, 0.004 * _CLEAR, f"4 mm toughened, as in cab and sliding doors; {_ABSORBS}",
        "single", "door glass", sun=(0.75, 0.86),
    ),
    _glass(
        "laminated", 0.0055, 0.0055 * _CLEAR,
        f"5.5 mm windscreen glass, its film counted as glass; {_ABSORBS}",
        "windscreen", "windshield", sun=(0.45, 0.80),
    ),
    _glass(
        "green", 0.004, 0.45,
        "4 mm lightly tinted, as in many cab and sliding doors; absorption assumed: passes about "
        "60 % of the sun",
        "green tinted", "heat absorbing", sun=(0.45, 0.65),
    ),
    _glass(
        "tinted", 0.004, 1.25,
        "4 mm; absorption assumed: passes about a quarter of the sun, the class of factory privacy "
        "glass",
        "privacy", "dark", sun=(0.12, 0.40),
    ),
    Glass(
        "double", _INDEX, (0.004 * _CLEAR,) * 2, (0.004, 0.004), (0.15,), 1.0, 2500, 750,
        f"two panes of 4 mm, 10 mm gap; {_SOLID}; {_ABSORBS}; {_EMITS}; {_GAP}",
        ("double glass", "double glazing", "insulated glass"), gaps=(0.010,),
        sun_range=(0.55, 0.74), u_range=(2.7, 3.3),
    ),
    _acrylic(
        "double acrylic", (_KL, _KL), f"two panes of 3 mm, 20 mm gap; {_CLEAR_PLASTIC}",
        "acrylic double", "camper window", "acrylic", sun=(0.68, 0.82), gap=(0.020, 0.17),
    ),
    _acrylic(
        "tinted double acrylic", (0.60, _KL),
        f"as double acrylic, its outer pane passing half the sun (assumed); {_CLEAR_PLASTIC}",
        "smoked acrylic", "tinted acrylic", sun=(0.25, 0.55), gap=(0.020, 0.17),
    ),
    _acrylic(
        "clear dome", (_KL,), f"one shell of 3 mm, {_DOME}; {_CLEAR_PLASTIC}",
        "dome", "vent dome", "roof vent", sun=(0.75, 0.90), bulge=DOME,
    ),
    _acrylic(
        "smoked dome", (0.90,),
        f"one shell of 3 mm, {_DOME}; absorption assumed: passes about 40 % of the sun",
        "tinted dome", sun=(0.20, 0.55), bulge=DOME,
    ),
    _acrylic(
        "white dome", (),
        f"one shell of 3 mm that scatters all light, {_DOME}; passes 50 % and reflects 40 % of the "
        "sun (assumed: middle of opal grades, 0.30 to 0.65 passed)",
        "translucent dome", "milky dome", "opal dome", sun=(0.30, 0.65), milky=(0.50, 0.40),
        bulge=DOME,
    ),
    _acrylic(
        "double dome", (_KL,),
        f"a clear shell over a milky one, both 3 mm, 20 mm apart, {_DOME}; {_CLEAR_PLASTIC}; the "
        "milky one as the white dome",
        "skylight", "roof light", sun=(0.25, 0.60), gap=(0.020, 0.15), milky=(0.50, 0.40),
        bulge=DOME,
    ),
)  # fmt: skip

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
