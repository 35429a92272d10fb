"""Sunlight through uncoated panes at any angle: one, or a stack of up to three; a milky one last.

Belongs here: optics of panes. Not here: the heat that absorbed light becomes (network), U-values.
Arrays of angles are welcome; nothing here runs in the simulation loop.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
_GRAZING = 1e-6  # below this cosine no light gets through anyway; keeps the ratios finite


@dataclass(frozen=True)
class Pane:
    """One clear pane.

    Attributes
    ----------
    n : float [-], refractive index
    kl : float [-], extinction coefficient times thickness (path at normal incidence)
    """

    n: float
    kl: float


@dataclass(frozen=True)
class MilkyPane:
    """One pane that scatters all light that passes it, as a white roof dome does.

    Attributes
    ----------
    n : float [-], refractive index
    transmittance, reflectance : float [0..1], of light at normal incidence, into all directions
    """

    n: float
    transmittance: float
    reflectance: float

    def __post_init__(self) -> None:
        face = ((self.n - 1.0) / (self.n + 1.0)) ** 2
        if self.transmittance < 0.0 or self.reflectance < face:
            raise ValueError(
                f"a milky pane of index {self.n:g} reflects {face:.3f} or more and transmits 0 or "
                f"more, not {self.reflectance:g} and {self.transmittance:g}"
            )
        if self.transmittance + self.reflectance > 1.0:
            raise ValueError(
                f"transmittance {self.transmittance:g} and reflectance {self.reflectance:g} of a "
                "milky pane make more than 1"
            )


class Optics(NamedTuple):
    """Shares of the sunlight that falls on a stack; transmitted + reflected + absorbed = 1."""

    transmittance: Array
    reflectance: Array
    """Of light from outside."""
    reflectance_back: Array
    """Of light from inside."""
    absorbed: Array
    """By each pane, of light from outside; first axis is the pane, outermost first."""


def pane_from_normal(transmittance: float, reflectance: float) -> Pane:
    """Refractive index and absorption of the pane that has these properties at normal incidence.

    With r the reflectance of one face and a = exp(−K d): τ = a (1 − r)²/(1 − r² a²) and
    ρ = r (1 + a τ), solved for r in closed form; n = (1 + √r)/(1 − √r).

    Parameters
    ----------
    transmittance, reflectance : float [0..1], of the whole pane, at normal incidence

    Returns
    -------
    Pane

    References
    ----------
    Fresnel's equations; the inversion is plain algebra on them.

    Examples
    --------
    >>> round(pane_from_normal(0.834, 0.075).n, 2)
    1.52
    """
    beta = transmittance**2 - reflectance**2 + 2.0 * reflectance + 1.0
    leading = 2.0 * (2.0 - reflectance)
    face = (beta - np.sqrt(beta**2 - 2.0 * leading * reflectance)) / leading
    passed = (reflectance - face) / (face * transmittance)
    if not (0.0 < face < 1.0 and 0.0 < passed <= 1.0 + 1e-9):
        raise ValueError(
            f"no clear pane has transmittance {transmittance:g} and reflectance {reflectance:g}"
        )
    root = np.sqrt(face)
    return Pane(n=float((1.0 + root) / (1.0 - root)), kl=float(-np.log(min(passed, 1.0))))


def _polarised(pane: Pane, cos_theta: Array) -> tuple[tuple[Array, Array], ...]:
    """Transmittance and reflectance of a pane for each of the two polarisations."""
    cos_1 = np.maximum(cos_theta, _GRAZING)
    cos_2 = np.sqrt(1.0 - (1.0 - cos_1**2) / pane.n**2)
    passed = np.exp(-pane.kl / cos_2)
    across = ((cos_1 - pane.n * cos_2) / (cos_1 + pane.n * cos_2)) ** 2
    along = ((pane.n * cos_1 - cos_2) / (pane.n * cos_1 + cos_2)) ** 2
    both = []
    for face in (across, along):
        transmitted = passed * (1.0 - face) ** 2 / (1.0 - (face * passed) ** 2)
        both.append((transmitted, face * (1.0 + passed * transmitted)))
    return tuple(both)


def pane_optics(pane: Pane, cos_theta: ArrayLike) -> tuple[Any, Any, Any]:
    """Transmittance, reflectance and absorptance of one pane: the mean of both polarisations.

    Parameters
    ----------
    pane : Pane
    cos_theta : float or array [-], cosine of the angle of incidence; below 0 counts as grazing

    Returns
    -------
    transmittance, reflectance, absorptance : float or array [0..1]

    References
    ----------
    Fresnel and Bouguer laws with internal reflections: Duffie and Beckman, Solar Engineering of
    Thermal Processes, chapter 5 (exact form, not the product approximation).
    """
    (t_1, r_1), (t_2, r_2) = _polarised(pane, np.asarray(cos_theta, dtype=np.float64))
    transmittance = 0.5 * (t_1 + t_2)
    reflectance = 0.5 * (r_1 + r_2)
    return transmittance[()], reflectance[()], (1.0 - transmittance - reflectance)[()]


def _trace(panes: Sequence[tuple[Array, Array]]) -> tuple[Array, Array, list[Array]]:
    """Follow light of one polarisation through a stack, all reflections between panes summed."""
    # reflectance of everything from pane i inwards, worked out from the innermost outwards
    behind = [np.zeros_like(panes[0][0])]
    for transmitted, reflected in reversed(panes):
        back = behind[0]
        behind.insert(0, reflected + transmitted**2 * back / (1.0 - reflected * back))
    light = np.ones_like(panes[0][0])
    absorbed = []
    for (transmitted, reflected), back in zip(panes, behind[1:], strict=True):
        onward = light * transmitted / (1.0 - reflected * back)
        absorbed.append((1.0 - transmitted - reflected) * (light + onward * back))
        light = onward
    return light, behind[0], absorbed


def _milky(pane: MilkyPane, cos_theta: Array) -> tuple[Array, Array]:
    """Transmittance and reflectance of a milky pane.

    What its face lets in, 1 − r(θ), is scattered inside and leaves in shares that no longer know
    the angle (plain reasoning; no such pane is a perfect scatterer).
    """
    cos_1 = np.maximum(cos_theta, _GRAZING)
    cos_2 = np.sqrt(1.0 - (1.0 - cos_1**2) / pane.n**2)
    across = ((cos_1 - pane.n * cos_2) / (cos_1 + pane.n * cos_2)) ** 2
    along = ((pane.n * cos_1 - cos_2) / (pane.n * cos_1 + cos_2)) ** 2
    face, normal = 0.5 * (across + along), ((pane.n - 1.0) / (pane.n + 1.0)) ** 2
    entered = (1.0 - face) / (1.0 - normal)
    return entered * pane.transmittance, face + entered * (pane.reflectance - normal)


def scatters(panes: Sequence[Pane | MilkyPane]) -> bool:
    """Return whether beam leaves the stack as diffuse light.

    Raises
    ------
    ValueError : a milky pane that is not the innermost
    """
    if any(isinstance(pane, MilkyPane) for pane in panes[:-1]):
        raise ValueError("panes: a milky pane must be the innermost")
    return bool(panes) and isinstance(panes[-1], MilkyPane)


def _over_milky(clear: Sequence[Pane], milky: MilkyPane, cosine: Array) -> Optics:
    """Optics of clear panes over a milky one: beyond it, and back from it, all light is diffuse."""
    passed, reflected = _milky(milky, cosine)
    if not clear:
        absorbed = (1.0 - passed - reflected)[None]
        behind = np.full_like(passed, diffuse_milky(milky)[1])
        return Optics(passed, reflected, behind, absorbed)
    above = stack_optics(clear, cosine)
    below = _diffuse(tuple(clear)[::-1], 32)  # for light that comes up from the milky pane
    t, r = diffuse_milky(milky)
    up = above.transmittance * reflected  # first light back from the milky pane, diffuse from now
    again = below.reflectance / (1.0 - r * below.reflectance)  # of it, what comes down once more
    down = up * again
    through = above.transmittance * passed + down * t
    lifted = up + down * r
    front = above.reflectance + lifted * below.transmittance
    in_clear = above.absorbed + lifted * _column(below.absorbed[::-1], cosine)
    in_milky = above.transmittance * (1.0 - passed - reflected) + down * (1.0 - t - r)
    back = r + t**2 * below.reflectance / (1.0 - r * below.reflectance)
    return Optics(
        through, front, np.full_like(through, back), np.concatenate([in_clear, in_milky[None]])
    )


def _column(values: Array, like: Array) -> Array:
    return values.reshape((-1,) + (1,) * like.ndim) * np.ones_like(like)


def diffuse_milky(pane: MilkyPane, points: int = 32) -> tuple[float, float]:
    """Transmittance and reflectance of a milky pane for evenly diffuse light."""
    nodes, weights = np.polynomial.legendre.leggauss(points)
    cosine = 0.5 * (nodes + 1.0)
    share = weights * cosine
    passed, reflected = _milky(pane, cosine)
    return float(passed @ share), float(reflected @ share)


def stack_optics(panes: Sequence[Pane | MilkyPane], cos_theta: ArrayLike) -> Optics:
    """Optics of parallel panes with air between, by tracing light between them.

    Each polarisation is followed through the whole stack and the two results averaged: the first
    pane polarises, so averaging pane by pane would be a little off at steep angles.

    Parameters
    ----------
    panes : sequence of Pane, outermost first; the innermost may be a MilkyPane
    cos_theta : float or array [-]

    Returns
    -------
    Optics, arrays of the shape of `cos_theta` (absorbed has the panes as a first axis)

    References
    ----------
    Duffie and Beckman, chapter 5; the summing of reflections is plain geometric series.
    """
    if not panes:
        raise ValueError("panes: need at least one")
    cosine = np.asarray(cos_theta, dtype=np.float64)
    last = panes[-1]
    if scatters(panes) and isinstance(last, MilkyPane):
        return _over_milky([p for p in panes if isinstance(p, Pane)], last, cosine)
    each = [_polarised(pane, cosine) for pane in panes if isinstance(pane, Pane)]
    results = []
    for which in (0, 1):
        forward = [pair[which] for pair in each]
        through, front, absorbed = _trace(forward)
        _, back, _ = _trace(forward[::-1])
        results.append((through, front, back, np.stack(absorbed)))
    first, second = results
    return Optics(*(0.5 * (a + b) for a, b in zip(first, second, strict=True)))


def diffuse_optics(panes: Sequence[Pane | MilkyPane], points: int = 32) -> Optics:
    """Optics of a stack for evenly diffuse light: 2 ∫ f(θ) cos θ sin θ dθ over the hemisphere.

    Parameters
    ----------
    panes : sequence of Pane, outermost first
    points : int, of the Gauss-Legendre rule in cos θ

    Returns
    -------
    Optics, with zero-dimensional arrays (absorbed: one per pane)
    """
    return _diffuse(tuple(panes), points)


@lru_cache(maxsize=64)
def _diffuse(panes: tuple[Pane | MilkyPane, ...], points: int) -> Optics:
    nodes, weights = np.polynomial.legendre.leggauss(points)
    cosine = 0.5 * (nodes + 1.0)
    share = weights * cosine  # 2 cos θ d(cos θ), the rule's interval being half as long
    at_angles = stack_optics(panes, cosine)
    return Optics(*(np.asarray(values @ share) for values in at_angles))
