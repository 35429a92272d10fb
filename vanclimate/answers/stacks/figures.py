"""A stack in figures that need no night: resistance, U with ribs, room, mass, price, cold and damp.

All are of the body's roof and walls, with its floor where a stack to try changes that; cab and
lifting roof are left as they are. What does not belong here: nights (``nights``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from vanclimate.answers.damp import damp_sides
from vanclimate.answers.stacks.listed import Candidate, depth, own_sides, split
from vanclimate.network.damp import OUTWARD, Climate, Damp
from vanclimate.network.resistance import RSE, RSI, core_resistance, layer_resistance
from vanclimate.network.rooms import stack_of
from vanclimate.network.section import MOULD_RSI
from vanclimate.network.shell import Shell, Surface
from vanclimate.physics.conduction import conductivity_factor
from vanclimate.van.layers import Layer, Stack
from vanclimate.van.sheet import Sheet

COLD_OUTSIDE, COLD_INSIDE = -10.0, 20.0
"""Temperatures [°C] on both sides at which the coldest point inside is given; common practice, no
source. Air of 20 °C and 50 % has its dew point at 9.3 °C."""


@dataclass(frozen=True)
class Figures:
    """What a stack is on paper and in the van; means by area of the sides compared.

    Attributes
    ----------
    r_paper_m2k_w : sum of the layers, without films and ribs, at 24 °C
    r_cold_m2k_w : the same at the mean temperature of the cold night; None without one
    u_w_m2k : transmittance with ribs, insulation as installed, and ISO 6946's films of a wall
    thickness_m : what it adds to the bare skin and lining
    lost_m3 : the room that takes
    mass_kg : of it
    price : of it, None where a material has none, or no prices are given
    unpriced : those materials
    coldest_c : coldest point inside, glass aside, at −10 °C outside and 20 °C inside
    damp : sides and what a year's vapour does to them; empty where no year is known
    """

    r_paper_m2k_w: float
    r_cold_m2k_w: float | None
    u_w_m2k: float
    thickness_m: float
    lost_m3: float
    mass_kg: float
    price: float | None
    unpriced: tuple[str, ...]
    coldest_c: float
    damp: tuple[tuple[str, Damp], ...]

    @property
    def dampest(self) -> tuple[str, Damp] | None:
        """The side that holds most water at the end of a month, and its finding."""
        return max(self.damp, key=lambda side: side[1].peak, default=None)


def compared(shell: Shell, floor: bool) -> list[Surface]:
    """Return the surfaces of the body's roof and walls, and of its floor where that is asked."""
    return [
        s for s in shell.surfaces
        if shell.zones[s.zone].name != "cab" and s.beyond is None and s.group != "pop top"
        and (floor or s.side != "floor")
    ]  # fmt: skip


def areas_of(surfaces: Sequence[Surface]) -> dict[str, float]:
    """Return the area of each side [m2], ribs included."""
    found: dict[str, float] = {}
    for s in surfaces:
        found[s.side] = found.get(s.side, 0.0) + s.area
    return found


def figures_of(
    own: Sheet, candidate: Candidate, shell: Shell, *, floor: bool, climate: Climate | None,
    cold: float | None,
) -> Figures:  # fmt: skip
    """Return a stack's figures.

    Parameters
    ----------
    own : the sheet as it is
    candidate, shell : the stack in the van
    floor : the floor is compared too
    climate : of a year on both sides, None where none is known
    cold : mean temperature of the stacks on the cold night [°C], None without one
    """
    surfaces = compared(shell, floor)
    areas = areas_of(surfaces)
    whole = sum(areas.values())
    sheet = candidate.sheet

    def mean(of: Mapping[str, float]) -> float:
        return sum(areas[side] * value for side, value in of.items()) / whole

    def resistance(temp: float | None = None) -> float:
        return 1.0 / mean({s: 1.0 / _resistance(sheet, s, temp) for s in areas})

    more = {side: _added(own, sheet, side) for side in areas}
    thick = mean({side: added[0] for side, added in more.items()})
    price, unpriced = _price(candidate, areas)
    return Figures(
        r_paper_m2k_w=resistance(),
        r_cold_m2k_w=None if cold is None else resistance(cold),
        u_w_m2k=sum(s.area * transmittance(s) for s in surfaces) / whole,
        thickness_m=thick,
        lost_m3=thick * whole,
        mass_kg=mean({side: added[1] for side, added in more.items()}) * whole,
        price=price,
        unpriced=unpriced,
        coldest_c=coldest_point(surfaces),
        damp=() if climate is None else damp_sides(surfaces, climate),
    )


def _resistance(sheet: Sheet, side: str, temp: float | None) -> float:
    """Return the sum of a side's layers [m2K/W], at 24 °C or at a mean temperature [°C]."""
    direction = OUTWARD.get(side, "horizontal")

    def of(layer: Layer) -> float:
        r = layer_resistance(layer, direction)
        return r if temp is None else r / float(conductivity_factor(layer.slope, temp))

    return sum(of(layer) for layer in stack_of(sheet, side))


def _added(own: Sheet, sheet: Sheet, side: str) -> tuple[float, float]:
    """Return thickness [m] and mass by area [kg/m2] over those of the own skin and lining."""
    skin, _, lining = split(own_sides(own)[_key(own, side)])
    bare = (*skin, *lining)
    stack = stack_of(sheet, side)
    return depth(stack) - depth(bare), _weight(stack) - _weight(bare)


def _weight(layers: Stack) -> float:
    return sum(layer.thickness * layer.density for layer in layers if not layer.air_gap)


def _key(sheet: Sheet, side: str) -> str:
    """Return the key of the sheet's `stacks` by which a side is built."""
    return side if getattr(sheet.stacks, side, None) is not None else "walls"


def _price(
    candidate: Candidate, areas: Mapping[str, float]
) -> tuple[float | None, tuple[str, ...]]:
    """Return what it costs, and materials without a price; a whole stack without its skin."""
    prices = candidate.sheet.prices
    if prices is None:
        return None, ()
    total, unpriced = 0.0, []
    for side, area in areas.items():
        key = _key(candidate.sheet, side)
        layers = candidate.between[key]
        for layer in layers[1:] if key in candidate.whole else layers:
            cost = 0.0 if layer.air_gap else prices.of(layer)
            if cost is None:
                unpriced.append(layer.material)
            else:
                total += area * cost
    return None if unpriced else total, tuple(dict.fromkeys(unpriced))


def transmittance(s: Surface, rsi: float = RSI) -> float:
    """Return a surface's U [W/m2K] between ISO 6946's films, or another film inside."""
    if s.rib_u is not None:
        return 1.0 / (1.0 / s.rib_u - RSI + rsi)
    core = s.rib.outer + s.rib.inner if s.rib is not None else core_resistance(s.layers)
    return 1.0 / (rsi + core + RSE)


def coldest_point(surfaces: Sequence[Surface]) -> float:
    """Return the coldest point inside [°C], with the film that ISO 13788 takes for mould.

    Across ribs that are described it is the section's; across guessed ones that of a path of their
    U throughout.
    """
    factors = [1.0 - MOULD_RSI * transmittance(s, MOULD_RSI) for s in surfaces if s.rib is None]
    factors += [s.section.factor_mould for s in surfaces if s.section is not None]
    return COLD_OUTSIDE + min(factors) * (COLD_INSIDE - COLD_OUTSIDE)
