"""Does water condense inside a stack over a year, where, and which vapour layer would stop it.

Here: a stack as vapour sees it, and its findings in a builder's words. Not here: the balance itself
(physics/vapour), the place's climate (answers/damp).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.resistance import layer_resistance
from vanclimate.physics.air import saturation_pressure
from vanclimate.physics.batts import moisture_factor
from vanclimate.physics.conduction import R_SE, R_SI, Direction
from vanclimate.physics.vapour import Balance, year_balance
from vanclimate.van.layers import Layer
from vanclimate.van.materials import find_material

Array = NDArray[np.float64]

RUN_OFF = 0.2
"""Water that a face which takes up none still holds without running down [kg/m²]: ISO 13788, from
memory."""
LITTLE = 0.05
"""Water left after a year that airing the van in summer takes along [kg/m²]; assumed."""
TIGHT_SKIN = 100.0  # m of still air: as tight as a vapour barrier
TRACE = 1e-3  # kg/m2: less is no finding
MOULD = 0.8
"""Relative humidity of a face from which mould can grow, as a month's mean: ISO 13788."""
FILMS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1500.0)
"""Vapour layers to try, sd [m]: from kraft paper to foil."""
VENTED_SD = 0.1
"""Still air that a slightly vented skin counts as [m]: vapour goes round it (assumed)."""

# heat flows out of a lived-in van in winter: up through the roof, down through the floor
OUTWARD: dict[str, Direction] = {"roof": "up", "floor": "down"}


class Climate(NamedTuple):
    """Monthly means on both sides, January first, shape (12,) each: [°C] and vapour [Pa]."""

    inside_temp: Array
    inside_pressure: Array
    outside_temp: Array
    outside_pressure: Array


class Slice(NamedTuple):
    """A layer or film as heat and vapour see it."""

    name: str
    resistance: float  # m2K/W
    sd: float  # m
    layer: int  # index in the stack


@dataclass(frozen=True)
class Damp:
    """What a year does to a stack.

    Attributes
    ----------
    side : whose films were used
    where : the place that holds most, 'between the skin and the glass wool', or ''
    worst_month : 0..11, in which most settles; None where nothing ever does
    settles : what settles in it [kg/m²], all places together
    peak : most that lies in the stack at the end of a month [kg/m²]
    left : still there after a year [kg/m²]
    dry_month : first month at whose end all is dry again, or None
    face_humidity : highest monthly mean at the inside face [0..1], 1 where it is wet
    soaked : factor on the conductivity of the insulation beside `where`, were it to take all up
    film : loosest vapour layer on the warm side of the insulation that ends the trouble, sd [m];
        None where there is none, or none of `FILMS` does
    film_where : where such layers were tried; '' where there is no insulation to lie on, or no
        trouble
    tight_skin : the outermost layer lets next to no vapour out, as metal
    """

    side: str
    where: str
    worst_month: int | None
    settles: float
    peak: float
    left: float
    dry_month: int | None
    face_humidity: float
    soaked: float = 1.0
    film: float | None = None
    film_where: str = ""
    tight_skin: bool = False

    @property
    def trouble(self) -> bool:
        """Whether more settles than stays in place, or much is left when a year is over."""
        return self.peak > RUN_OFF or self.left > LITTLE


def slices(layers: tuple[Layer, ...], side: str) -> tuple[list[Slice], float, float]:
    """Return a stack as heat and vapour see it, outside first, with its films Rse and Rsi.

    What lies outside a well vented gap is left out with the gap, and an inside film stands there;
    so does the lining on a gap that is open to the cabin. Behind a slightly vented gap the skin's
    resistance counts by half, and vapour goes round it (ISO 6946 and 13788, from memory; the skin's
    `VENTED_SD` assumed).
    """
    direction = OUTWARD.get(side, "horizontal")
    rsi, rse = R_SI[direction], R_SE
    found: list[Slice] = []
    for i, x in enumerate(layers):
        if x.ventilated == "cabin":
            break
        if x.ventilated == "well":
            found, rse = [], rsi
            continue
        found += _sliced(i, x, layer_resistance(x, direction))
        if x.ventilated == "slightly":
            half = [s._replace(resistance=s.resistance / 2) for s in found]
            half[-1] = half[-1]._replace(resistance=half[-1].resistance + (rsi - R_SE) / 2)
            found = [s._replace(sd=min(s.sd, VENTED_SD)) for s in half]
    return found, rse, rsi


def _sliced(i: int, x: Layer, resistance: float) -> list[Slice]:
    """Return a layer between the films on its two faces."""
    name = "skin" if i == 0 else x.material
    own = [Slice(name, resistance, x.sd, i)]
    if x.outer_facing:
        own.insert(0, Slice(f"film outside the {name}", 0.0, x.outer_facing, i))
    if x.inner_facing:
        own.append(Slice(f"film inside the {name}", 0.0, x.inner_facing, i))
    return own


def damp_of(layers: tuple[Layer, ...], side: str, climate: Climate) -> Damp:
    """Return what a year of monthly means does to a stack.

    Parameters
    ----------
    layers : outside first
    side : 'roof', 'floor', or a wall
    climate : on both sides

    Returns
    -------
    Damp
    """
    stack, rse, rsi = slices(layers, side)
    total = rse + sum(s.resistance for s in stack) + rsi
    face = climate.inside_temp - rsi / total * (climate.inside_temp - climate.outside_temp)
    face_humidity = climate.inside_pressure / np.asarray(saturation_pressure(face))
    dry = Damp(side, "", None, 0.0, 0.0, 0.0, None, min(1.0, float(face_humidity.max())))
    if len(stack) < 2:
        return dry
    balance = _balance(stack, climate, rse, rsi)
    if balance.start is None or balance.peak.max() < TRACE:
        return dry
    settled = np.clip(balance.gain, 0.0, None).sum(axis=1)
    worst = int(settled.argmax())
    at = int(balance.peak.argmax())
    found = Damp(
        side,
        _words(stack, balance, at),
        worst,
        float(settled[worst]),
        float(balance.mass.sum(axis=1).max()),
        balance.left,
        _dry_month(balance),
        dry.face_humidity,
        _soaked(layers, stack, balance, at),
        tight_skin=stack[0].sd >= TIGHT_SKIN,
    )
    return _remedied(found, layers, stack, climate, rse, rsi) if found.trouble else found


def _balance(stack: list[Slice], climate: Climate, rse: float, rsi: float) -> Balance:
    return year_balance(
        resistance=np.array([s.resistance for s in stack]),
        sd=np.array([s.sd for s in stack]),
        inside_temp=climate.inside_temp,
        inside_pressure=climate.inside_pressure,
        outside_temp=climate.outside_temp,
        outside_pressure=climate.outside_pressure,
        rsi=rsi,
        rse=rse,
    )


def _words(stack: list[Slice], balance: Balance, at: int) -> str:
    """Name a place as a builder points at it."""
    own = balance.places[at]
    if balance.inside[at]:
        return f"in the {stack[own].name}"
    return f"between the {stack[own].name} and the {stack[own + 1].name}"


def _dry_month(balance: Balance) -> int | None:
    """Return the month by whose end the stack is dry again after its wet months."""
    assert balance.start is not None
    held = balance.mass.sum(axis=1)
    months = [(balance.start + k) % 12 for k in range(12)]
    peak = int(np.argmax([held[m] for m in months]))
    return next((m for m in months[peak:] if held[m] < TRACE), None)


def _soaked(layers: tuple[Layer, ...], stack: list[Slice], balance: Balance, at: int) -> float:
    """Return the factor on the conductivity of the insulation that the water lies on or in."""
    own = balance.places[at]
    beside = {stack[own].layer, stack[min(own + 1, len(stack) - 1)].layer}
    factors = [1.0]
    for i in beside:
        known = find_material(layers[i].material)
        if known is not None and known.wetting and known.fibre:
            water = float(balance.peak[at]) / (1000.0 * layers[i].thickness)
            factors.append(moisture_factor(known.wetting, water))
    return max(factors)


def _remedied(
    found: Damp, layers: tuple[Layer, ...], stack: list[Slice], climate: Climate, rse: float,
    rsi: float,
) -> Damp:  # fmt: skip
    """Return the finding with the loosest vapour layer that would end the trouble."""
    warm = [k for k, s in enumerate(stack) if layers[s.layer].insulation]
    if not warm:
        return found
    k = warm[-1] + 1
    beyond = f"the {stack[k].name}" if k < len(stack) else "the cabin"
    found = replace(found, film_where=f"between the {stack[k - 1].name} and {beyond}")
    for sd in FILMS:
        tried = [*stack[:k], Slice("film", 0.0, sd, stack[k - 1].layer), *stack[k:]]
        balance = _balance(tried, climate, rse, rsi)
        if balance.mass.sum(axis=1).max() <= RUN_OFF and balance.left <= LITTLE:
            return replace(found, film=sd)
    return found
