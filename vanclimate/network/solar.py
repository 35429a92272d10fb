"""Sun of each chain: what it does to the network's nodes.

Here: how the sun on a side is shared out over paint, panes, covers and the inside faces. Not here:
the sun on a plane (``site``), longwave and wind outside (``surroundings``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.compile import Array, Model
from vanclimate.network.glazing import cover_of, cover_path, pane_nodes
from vanclimate.network.shell import Glazing, Shell
from vanclimate.physics.covers import Inside
from vanclimate.physics.glass import (
    MilkyPane,
    Optics,
    Pane,
    diffuse_optics,
    scatters,
    stack_optics,
)
from vanclimate.site.sun import Irradiance


@dataclass(frozen=True)
class AbsorbedSun:
    """Sun taken up by the network [W]: per node, and per chain for the ledger.

    ``nodes`` is (rows, nodes), ``chains`` (rows, chains): what a chain's outside took in, for a
    glazing what it let into the van or kept in its panes, less what went out again.
    """

    nodes: Array
    chains: Array


@dataclass(frozen=True)
class _Light:
    """What comes through one glazing's panes over the rows, and what they do with light inside."""

    beam: Array  # W let through and still a beam
    diffuse: Array  # W let through, scattered
    panes: Array  # (rows, panes) W absorbed on the way in
    cover: Array  # W that counts at a cover outside
    absorbed_inside: float  # share of diffuse light from inside that its panes take up
    passed_inside: float  # share of diffuse light from inside that leaves
    reflected_inside: float


@lru_cache(maxsize=64)
def _optics(panes: tuple[Pane | MilkyPane, ...], cosines: bytes) -> Optics:
    """Return `stack_optics` of an array's bytes: drawn vans' like windows meet the same sun."""
    return stack_optics(panes, np.frombuffer(cosines))


def _light(g: Glazing, irr: Irradiance, shell: Shell, shut: NDArray[np.bool_]) -> _Light:
    """Return the light through a glazing's panes, an outside cover shut or not."""
    panes = g.glass.panes
    beam = irr.beam * shell.beam_transmission * g.area
    diffuse = (irr.sky_diffuse + irr.ground) * shell.diffuse_transmission * g.area
    b, d = _optics(panes, np.maximum(irr.cos_aoi, 0.0).tobytes()), diffuse_optics(panes)
    caught = np.zeros_like(beam)
    cover = cover_of(g)
    if cover is not None and cover.outside:
        # what a mesh lets through is scattered and goes back and forth between it and the pane
        total = beam + diffuse
        path = cover_path(g, cover)
        caught = (1 - cover.reflectance - cover.transmittance) * path.to_cover * total
        between = cover.transmittance * total / (1 - cover.reflectance * float(d.reflectance))
        caught = np.where(shut, caught, 0.0)
        beam, diffuse = np.where(shut, 0.0, beam), np.where(shut, between, diffuse)
    shares = zip(b.absorbed, d.absorbed, strict=True)
    absorbed = np.stack([beam * at_angle + diffuse * mean for at_angle, mean in shares], axis=-1)
    straight, scattered = beam * b.transmittance, diffuse * d.transmittance
    if scatters(panes):
        straight, scattered = np.zeros_like(straight), straight + scattered
    # light from inside meets the same shares as light from outside, to within the panes' order
    return _Light(
        straight,
        scattered,
        absorbed,
        caught,
        1.0 - float(d.transmittance) - float(d.reflectance_back),
        float(d.transmittance),
        float(d.reflectance_back),
    )


@dataclass
class _Inside:
    """Light loose in each zone, and what each face inside does with it; filled chain by chain."""

    beam: Array  # (rows, zones) W that falls on floor and furnishing
    pool: Array  # (rows, zones) W of diffuse light
    warmth: Array  # (rows, zones) W that leaky covers' air carries to the faces inside
    take: Array  # (rows, chains) m2: area times absorptance of the inside face
    escape: Array  # (rows, chains) m2: area times what passes out again
    far: Array  # (rows, chains) m2: area times absorptance of a partition's face to the zone beyond


def absorbed_sun(
    model: Model, sides: Mapping[str, Irradiance], covered: NDArray[np.bool_]
) -> AbsorbedSun:
    """Return the sun each node takes up.

    Parameters
    ----------
    model : Model
    sides : mapping of side, or of side and slope (`Chain.facing`), to Irradiance
        Each with one value a row.
    covered : (rows, chains) bool
        Whether a glazing's cover is closed, a partition's curtain drawn.

    Notes
    -----
    Light stays in the zone into which it is let (assumed: little of it finds the way past the
    seats). Beam falls on the floor and the furnishing; what they reflect, and diffuse light, is
    shared by area times absorptance over all faces of the zone (an integrating sphere), panes
    letting their share out again. A curtain that is drawn back takes none.
    """
    shell, net = model.shell, model.network
    (rows, count), zones = covered.shape, len(model.zones)
    nodes, chains = np.zeros((rows, len(net.capacity))), np.zeros((rows, count))
    inside = _Inside(
        *(np.zeros((rows, zones)) for _ in range(3)), *(np.zeros((rows, count)) for _ in range(3))
    )
    for k, c in enumerate(model.chains):
        if c.glazing is not None:
            light = _light(c.glazing, sides[c.facing], shell, covered[:, k])
            chains[:, k] = _behind_glass(model, k, light, covered[:, k], nodes, inside)
            continue
        inside.take[:, k] = c.area * c.lining_absorptance
        if c.beyond is not None:
            inside.take[:, k] *= covered[:, k]
            inside.far[:, k] = c.area * c.absorptance * covered[:, k]
        elif c.side in sides:
            irr = sides[c.side]
            sky = irr.beam * shell.beam_transmission
            sky = sky + (irr.sky_diffuse + irr.ground) * shell.diffuse_transmission
            free = 1 - shell.panel_share if c.bears_panels else 1.0
            chains[:, k] = c.absorptance * c.area * free * sky
            nodes[:, net.first[k]] += chains[:, k]
    for zone in range(zones):
        _share_inside(model, zone, nodes, inside, chains)
    return AbsorbedSun(nodes, chains)


def _behind_glass(
    model: Model, k: int, light: _Light, shut: NDArray[np.bool_], nodes: Array, inside: _Inside
) -> Array:
    """Put a glazing's light on its nodes and into the room; return what it took or let in [W].

    Light goes back and forth between the pane and a cover inside.
    """
    c = model.chains[k]
    g = c.glazing
    assert g is not None
    first, last = model.network.first[k], model.network.first[k + 1] - 1
    nodes[:, first] += light.cover
    for i, outer in enumerate(pane_nodes(g)):
        for face in (first + outer, first + outer + 1):
            nodes[:, face] += light.panes[:, i] / 2
            inner = face
    through = light.beam + light.diffuse
    cover = cover_of(g)
    if cover is None or cover.outside:
        inside.beam[:, c.zone] += light.beam
        inside.pool[:, c.zone] += light.diffuse
        inside.take[:, k] = c.area * light.absorbed_inside
        inside.escape[:, k] = c.area * light.passed_inside
        gained: Array = light.panes.sum(axis=1) + light.cover + through
        return gained
    path = cover_path(g, cover)
    assert isinstance(path, Inside)
    rho, tau = cover.reflectance, cover.transmittance
    caught = np.where(shut, through / (1 - rho * light.reflected_inside), 0.0)
    taken, back = (1 - rho - tau) * caught, rho * caught * light.absorbed_inside
    nodes[:, last] += path.to_cover * taken
    nodes[:, inner] += path.to_pane * taken + back
    inside.warmth[:, c.zone] += path.to_room * taken
    inside.beam[:, c.zone] += np.where(shut, 0.0, light.beam)
    inside.pool[:, c.zone] += np.where(shut, tau * caught, light.diffuse)
    # light from the room on the closed cover: through the cloth, between it and the pane, and out
    entered = tau / (1 - rho * light.reflected_inside)
    shut_escape = entered * light.passed_inside
    shut_take = 1 - rho - entered * (light.passed_inside + tau * light.reflected_inside)
    inside.take[:, k] = c.area * np.where(shut, shut_take, light.absorbed_inside)
    inside.escape[:, k] = c.area * np.where(shut, shut_escape, light.passed_inside)
    kept: Array = np.where(shut, taken + tau * caught + back, through)
    kept = kept + light.panes.sum(axis=1)
    return kept


def _share_inside(model: Model, zone: int, nodes: Array, inside: _Inside, chains: Array) -> None:
    """Share a zone's light over its faces, and take what escapes off its glass's gain."""
    net = model.network
    own = [k for k, c in enumerate(model.chains) if c.zone == zone]
    far = [k for k, c in enumerate(model.chains) if c.beyond == zone]
    beam, pool = inside.beam[:, zone], inside.pool[:, zone].copy()
    lit = _beam_shares(model, own)
    if not lit:
        pool += beam
    for k, part in lit.items():
        absorptance = model.chains[k].lining_absorptance
        nodes[:, net.first[k + 1] - 1] += beam * part * absorptance
        pool += beam * part * (1 - absorptance)
    take, escape = inside.take[:, own], inside.escape[:, own]
    total = take.sum(axis=1) + escape.sum(axis=1) + inside.far[:, far].sum(axis=1)
    pool /= np.maximum(total, 1e-12)
    warmth = inside.warmth[:, zone] / max(sum(model.chains[k].area for k in own), 1e-12)
    for k in own:
        node = net.first[k + 1] - 1
        nodes[:, node] += pool * inside.take[:, k] + warmth * model.chains[k].area
    for k in far:
        nodes[:, net.first[k]] += pool * inside.far[:, k]
    glass = [k for k in own if model.chains[k].glazing is not None]
    let_in = chains[:, glass]
    weight = let_in / np.maximum(let_in.sum(axis=1, keepdims=True), 1e-12)
    chains[:, glass] = let_in - (pool * escape.sum(axis=1))[:, None] * weight


def _beam_shares(model: Model, own: list[int]) -> dict[int, float]:
    """Return what of a zone's beam falls on each of its chains: floor and furnishing."""
    floor = {k: model.chains[k].area for k in own if model.chains[k].side == "floor"}
    furnishing = [k for k in own if model.chains[k].side == "furnishing"]
    share = model.shell.furnishing_sun_share if furnishing else 0.0
    if not floor:
        return dict.fromkeys(furnishing, 1.0)
    lit = {k: (1 - share) * area / sum(floor.values()) for k, area in floor.items()}
    return lit | dict.fromkeys(furnishing, share)
