"""Heat through layers: U-values, air layers, periodic (24 h) behaviour, ribs.

Belongs here: what can be said of a stack of layers by itself, in steady state or in a pure sine.
Not here: the time-stepping network, and the material library.
"""

from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np
from numba.extending import register_jitable
from numpy.typing import NDArray

from vanclimate.physics.air import KELVIN
from vanclimate.physics.branch import Floats, choose
from vanclimate.physics.longwave import STEFAN_BOLTZMANN
from vanclimate.physics.roots import cube_root

DAY = 86400.0
R_SI = {"up": 0.10, "horizontal": 0.13, "down": 0.17}
"""Inside surface resistance by direction of heat flow [m²K/W], ISO 6946 (partly from memory)."""
R_SE = 0.04
"""Outside surface resistance [m²K/W], ISO 6946."""

Direction = Literal["up", "horizontal", "down"]


class SolidLayer(NamedTuple):
    """A layer with mass: thickness [m], conductivity [W/mK], density [kg/m³], specific heat
    [J/kgK]."""

    thickness: float
    conductivity: float
    density: float
    specific_heat: float


class PureResistance(NamedTuple):
    """A layer without mass, such as an air gap: resistance [m²K/W]."""

    resistance: float


class Periodic(NamedTuple):
    """What a stack does to a sine of temperature; see `periodic_transmittance`."""

    transmittance: float
    """Amplitude of heat flow at one side by a 1 K swing at the other, Y12 [W/m²K]."""
    decrement: float
    """Y12 over U [-]."""
    shift: float
    """How much later the heat arrives [s]."""
    inside_capacity: float
    """Areal heat capacity seen from inside, κ1 [J/m²K]."""
    outside_capacity: float
    """Areal heat capacity seen from outside, κ2 [J/m²K]."""
    u_value: float
    """Steady transmittance [W/m²K]."""


def u_value(resistances: Sequence[float], rsi: float, rse: float = R_SE) -> float:
    """Thermal transmittance of a stack: 1 / (Rsi + ΣR + Rse).

    Parameters
    ----------
    resistances : sequence of float [m²K/W], of each layer
    rsi, rse : float [m²K/W], surface resistances inside and outside

    Returns
    -------
    float [W/m²K]

    References
    ----------
    ISO 6946:2017, homogeneous layers.

    Examples
    --------
    >>> round(u_value([0.0007 / 50, 0.025 / 0.026, 0.006 / 0.13], 0.13), 2)
    0.85
    """
    return 1.0 / (rsi + sum(resistances) + rse)


def penetration_depth(
    conductivity: float, density: float, specific_heat: float, period: float = DAY
) -> float:
    """Depth at which a sine of temperature has faded to 1/e: sqrt(λ T / (π ρ c)).

    Parameters
    ----------
    conductivity : float [W/mK]
    density : float [kg/m³]
    specific_heat : float [J/kgK]
    period : float [s]

    Returns
    -------
    float [m]

    References
    ----------
    ISO 13786:2017, periodic penetration depth.
    """
    return float(np.sqrt(conductivity * period / (np.pi * density * specific_heat)))


AIR_LAYER_RANGE = (0.0, 0.3)
"""Thickness of an air layer [m], ISO 6946; a thicker one is a room, and a sheet may not hold it."""

ACROSS_RANGE = (0.0, 60.0)
"""Difference across an air layer [K]: up to it radiation that goes by the mean temperature is
within 1 % of the fourth powers. The standard's formulae give no end of their own (from memory)."""


def air_layer_resistance(
    thickness: float,
    emissivity_1: float,
    emissivity_2: float,
    direction: Direction,
    mean_temp: float = 10.0,
    difference: float = 5.0,
) -> float:
    """Thermal resistance of an unventilated air layer between two parallel faces.

    R = 1/(ha + hr); ha is the greater of 0.025/d (conduction) and the convection of the direction
    of heat flow; hr = E hr0 with 1/E = 1/ε1 + 1/ε2 − 1 and hr0 = 4 σ T³.

    Parameters
    ----------
    thickness : float [m], across the layer; see `AIR_LAYER_RANGE`
    emissivity_1, emissivity_2 : float [0..1], of the two faces; a face of ordinary matter 0.9
    direction : 'up', 'horizontal' or 'down', of the heat flow
    mean_temp : float [°C], of the layer
    difference : float [K], across the layer; see `ACROSS_RANGE`

    Returns
    -------
    float [m²K/W]; zero for no thickness (foil squeezed between solids has no gap, so gains nothing)

    References
    ----------
    ISO 6946:2017 annex D (table D.1 for differences up to 5 K, its formulae above that); from
    memory of the standard, checked against its table and a foil makers' table.
    """
    if thickness <= 0.0:
        return 0.0
    upwards = {"up": 1.0, "horizontal": 0.0, "down": -1.0}[direction]
    exchange = emissivity_exchange(emissivity_1, emissivity_2)
    return float(1.0 / air_layer_conductance(thickness, exchange, upwards, mean_temp, difference))


def emissivity_exchange(emissivity_1: float, emissivity_2: float) -> float:
    """Return E of two parallel faces: 1/E = 1/ε1 + 1/ε2 − 1; ISO 6946:2017 annex D."""
    return 1.0 / (1.0 / emissivity_1 + 1.0 / emissivity_2 - 1.0)


@register_jitable
def air_layer_conductance(
    thickness: float, exchange: float, upwards: float, mean_temp: float, difference: float
) -> float:
    """Conductance of an unventilated air layer, as the loop takes it at each step.

    Parameters
    ----------
    thickness : float [m], above 0; see `AIR_LAYER_RANGE`
    exchange : float [0..1], of `emissivity_exchange`
    upwards : float, above 0 where the heat flows up, below where down, 0 across
    mean_temp : float [°C], of the layer
    difference : float [K], across it; up to 5 K the standard's table holds one value, for the end
        see `ACROSS_RANGE`

    Returns
    -------
    float [W/m²K]

    References
    ----------
    See `air_layer_resistance`.
    """
    size = max(abs(difference), 5.0)
    if upwards < 0.0:  # powers only where they are needed: they cost more than all the rest
        moved = 0.09 * size**0.187 * thickness**-0.44
    else:
        moved = (0.73 if upwards == 0.0 else 1.14) * float(cube_root(size))
    kelvin = mean_temp + KELVIN
    radiation = exchange * 4.0 * STEFAN_BOLTZMANN * kelvin * kelvin * kelvin
    conductance: float = max(0.025 / thickness, moved) + radiation
    return conductance


def void_resistance(
    depth: float,
    width: float,
    emissivity_1: float,
    emissivity_2: float,
    direction: Direction,
    mean_temp: float = 10.0,
) -> float:
    """Thermal resistance of a small air space, such as the inside of a rib.

    As `air_layer_resistance`, but its sides see part of the radiation:
    hr = hr0 / (1/ε1 + 1/ε2 − 2 + 2 / (1 + sqrt(1 + d²/b²) − d/b)), which for a wide space is E hr0.

    Parameters
    ----------
    depth : float [m], along the heat flow
    width : float [m], across it; the method is meant for less than ten times the depth
    emissivity_1, emissivity_2 : float [0..1], of the two faces that the heat flows between
    direction : 'up', 'horizontal' or 'down', of the heat flow
    mean_temp : float [°C]

    Returns
    -------
    float [m²K/W]

    References
    ----------
    ISO 6946:2017 annex D.4, small or divided unventilated air spaces; from memory.
    """
    still = {"up": 1.95, "horizontal": 1.25, "down": 0.12 * depth**-0.44}
    ratio = depth / width
    seen = 2.0 / (1.0 + np.sqrt(1.0 + ratio**2) - ratio)
    exchange = 1.0 / (1.0 / emissivity_1 + 1.0 / emissivity_2 - 2.0 + seen)
    radiation = exchange * 4.0 * STEFAN_BOLTZMANN * (mean_temp + KELVIN) ** 3
    return float(1.0 / (max(0.025 / depth, still[direction]) + radiation))


STATED_TEMP = 24.0
"""Temperature at which conductivities are stated [°C]."""

SLOPE_RANGE = (-0.02, 0.02)
"""Slope of conductivity by temperature [1/K]; a sheet may hold no other (assumed: a steeper one
would double the conductivity within a day's swing)."""

RISING_RANGE = (-40.0, 80.0)
"""Mean temperature of a layer [°C] whose conductivity rises with it: what a van's insulation meets,
over which ISO 10456's exponential stays within 12 % of the line (assumed as the ends)."""

FALLING_RANGE = (-15.0, 80.0)
"""The same [°C] of a foam whose gas condenses in the cold: below, its trade articles say nothing;
above 24 °C it gains no more, which is the foam's nature (assumed as the ends)."""


@register_jitable
def conductivity_factor(slope: Floats, temp: Floats) -> Floats:
    """Conductivity at a temperature over that at 24 °C: 1 + s (T − 24), within limits.

    Parameters
    ----------
    slope : float or array [1/K]; see `SLOPE_RANGE`
    temp : float or array [°C], mean of the layer, held at the ends of `RISING_RANGE`; where the
        slope is negative at the beginning of `FALLING_RANGE` and at 24 °C

    Returns
    -------
    float or array [-]

    References
    ----------
    Straight lines in place of the exponentials of ISO 10456, from memory; the two differ by 1 % at
    20 K from 24 °C. The limits are assumed.

    Examples
    --------
    >>> round(float(conductivity_factor(-0.0119, -4.0)), 3)
    1.333
    """
    loses = slope < 0.0
    low = choose(loses, FALLING_RANGE[0], RISING_RANGE[0])
    high = choose(loses, STATED_TEMP, RISING_RANGE[1])
    return 1.0 + slope * (np.minimum(np.maximum(temp, low), high) - STATED_TEMP)


def heat_transfer_matrix(
    layers: Sequence[SolidLayer | PureResistance], period: float = DAY
) -> NDArray[np.complex128]:
    """Complex 2x2 matrix that links temperature and heat flow on the two sides of a stack.

    Parameters
    ----------
    layers : sequence, from OUTSIDE to INSIDE as everywhere in this package
    period : float [s], of the sine

    Returns
    -------
    array (2, 2), from the inside (side 1) to the outside (side 2)

    References
    ----------
    ISO 13786:2017, heat transfer matrix of a layer: with ξ = d/δ,
    Z11 = Z22 = cosh ξ cos ξ + i sinh ξ sin ξ,
    Z12 = −δ/2λ [sinh ξ cos ξ + cosh ξ sin ξ + i (cosh ξ sin ξ − sinh ξ cos ξ)],
    Z21 = −λ/δ [sinh ξ cos ξ − cosh ξ sin ξ + i (sinh ξ cos ξ + cosh ξ sin ξ)].
    """
    total = np.eye(2, dtype=np.complex128)
    for layer in layers:  # the product runs from the outside leftmost to the inside rightmost
        if isinstance(layer, PureResistance):
            one = np.array([[1.0, -layer.resistance], [0.0, 1.0]], dtype=np.complex128)
        else:
            depth = penetration_depth(
                layer.conductivity, layer.density, layer.specific_heat, period
            )
            xi = layer.thickness / depth
            sc, cs = np.sinh(xi) * np.cos(xi), np.cosh(xi) * np.sin(xi)
            same = np.cosh(xi) * np.cos(xi) + 1j * np.sinh(xi) * np.sin(xi)
            across = -depth / (2.0 * layer.conductivity) * (sc + cs + 1j * (cs - sc))
            storage = -layer.conductivity / depth * (sc - cs + 1j * (sc + cs))
            one = np.array([[same, across], [storage, same]], dtype=np.complex128)
        total = total @ one
    return total


def periodic_transmittance(
    layers: Sequence[SolidLayer | PureResistance],
    period: float = DAY,
    rsi: float = 0.13,
    rse: float = R_SE,
) -> Periodic:
    """How a stack damps, delays and stores a daily swing of temperature.

    Parameters
    ----------
    layers : sequence, from OUTSIDE to INSIDE
    period : float [s]
    rsi, rse : float [m²K/W], surface resistances inside and outside

    Returns
    -------
    Periodic

    References
    ----------
    ISO 13786:2017: Y12 = −1/Z12, decrement |Y12|/U, time shift T/2π arg Y12,
    κ1 = T/2π |(Z11 − 1)/Z12|, κ2 = T/2π |(Z22 − 1)/Z12|.
    """
    whole = heat_transfer_matrix([PureResistance(rse), *layers, PureResistance(rsi)], period)
    resistances = [
        layer.resistance
        if isinstance(layer, PureResistance)
        else layer.thickness / layer.conductivity
        for layer in layers
    ]
    steady = u_value(resistances, rsi, rse)
    across = complex(whole[0, 1])
    flow = -1.0 / across
    by_radian = period / (2.0 * np.pi)
    # a lag is a negative angle; a heavy wall may lag by more than half a period
    lag = (-np.angle(flow)) % (2.0 * np.pi)
    return Periodic(
        transmittance=abs(flow),
        decrement=abs(flow) / steady,
        shift=float(by_radian * lag),
        inside_capacity=float(by_radian * abs((complex(whole[0, 0]) - 1.0) / across)),
        outside_capacity=float(by_radian * abs((complex(whole[1, 1]) - 1.0) / across)),
        u_value=steady,
    )


def bridged_rib_transmittance(u: float, factor: float, rib_share: float) -> float:
    """U of the ribs' own area, so that the mean over the whole area is `factor` times `u`.

    U_rib = u (factor − 1 + share) / share. The combined method of ISO 6946 excludes insulation that
    metal bridges, so the factor has to come from measurement or from a 2-D solution of the section.

    Parameters
    ----------
    u : float [W/m²K], between the ribs
    factor : float [-], mean U over U between ribs, at least 1
    rib_share : float [0..1], of the area

    Returns
    -------
    float [W/m²K]
    """
    if rib_share <= 0.0:
        return u
    return u * (factor - 1.0 + rib_share) / rib_share
