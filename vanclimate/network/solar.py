"""Sun and longwave surroundings of each chain: what the outside does to the network's nodes.

Here: how the sun on a side is shared out over paint, panes, covers and the inside faces, and the
radiant temperature each outside face sees. Not here: the sun on a plane (``site``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.compile import (
    OUT_FIXED,
    OUT_NONE,
    OUT_UNDER,
    Array,
    Model,
)
from vanclimate.network.glazing import COVERS, Cover
from vanclimate.physics.glass import Pane, diffuse_optics, stack_optics
from vanclimate.physics.longwave import view_shares
from vanclimate.site.sun import Irradiance

NO_COVER = Cover(1.0, 1.0, 0.0)  # stands in where there is none; never shut


@dataclass(frozen=True)
class AbsorbedSun:
    """Sun taken up by the network [W]: per node, and per chain for the ledger.

    ``nodes`` is (rows, nodes), ``chains`` (rows, chains): what a chain's outside took in, for a
    glazing what it let into the van or kept in its panes, less what went out again.
    """

    nodes: Array
    chains: Array


@dataclass(frozen=True)
class _Glass:
    """Optics of one glazing over the rows: transmitted beam and diffuse [W], absorbed by panes."""

    beam: Array
    diffuse: Array
    panes: Array  # (rows, panes) W absorbed on the way in
    absorbed_inside: float  # share of diffuse light from inside that its panes take up
    passed_inside: float  # share of diffuse light from inside that leaves
    reflected_inside: float


def _glass(
    area: float, panes: tuple[Pane, ...], irr: Irradiance, beam_share: float, diffuse_share: float
) -> _Glass:
    beam = irr.beam * beam_share * area
    diffuse = (irr.sky_diffuse + irr.ground) * diffuse_share * area
    b = stack_optics(panes, np.maximum(irr.cos_aoi, 0.0))
    d = diffuse_optics(panes)
    shares = zip(b.absorbed, d.absorbed, strict=True)
    absorbed = np.stack([beam * at_angle + diffuse * mean for at_angle, mean in shares], axis=-1)
    # light from inside meets the same shares as light from outside, to within the panes' order
    return _Glass(
        beam * b.transmittance,
        diffuse * d.transmittance,
        absorbed,
        float(np.sum(d.absorbed)),
        float(d.transmittance),
        float(d.reflectance_back),
    )


def absorbed_sun(
    model: Model, sides: Mapping[str, Irradiance], covered: NDArray[np.bool_]
) -> AbsorbedSun:
    """Return the sun each node takes up.

    Parameters
    ----------
    model : Model
    sides : mapping of side to Irradiance
        Each with one value a row.
    covered : (rows, chains) bool
        Whether a glazing's cover is closed.

    Notes
    -----
    Beam let in falls on the floor and the furnishing; what they reflect, and diffuse light, is
    shared by area times absorptance over all inside faces (an integrating sphere), panes letting
    their share out again.
    """
    shell, net = model.shell, model.network
    rows = covered.shape[0]
    nodes = np.zeros((rows, len(net.capacity)))
    chains = np.zeros((rows, len(model.chains)))
    beam_in = np.zeros(rows)
    pool = np.zeros(rows)  # diffuse light loose inside
    take = np.zeros((rows, len(model.chains)))  # area times absorptance of each inside face
    escape = np.zeros((rows, len(model.chains)))
    for k, c in enumerate(model.chains):
        outer, inner = net.first[k], net.first[k + 1] - 1
        if c.glazing is None:
            take[:, k] = c.area * c.lining_absorptance
            if c.side in sides:
                irr = sides[c.side]
                sky = irr.beam * shell.beam_transmission
                sky = sky + (irr.sky_diffuse + irr.ground) * shell.diffuse_transmission
                free = 1 - shell.panel_share if c.side == "roof" else 1.0
                chains[:, k] = c.absorptance * c.area * free * sky
                nodes[:, outer] += chains[:, k]
            continue
        g = _glass(
            c.area, c.glazing.glass.panes, sides[c.side],
            shell.beam_transmission, shell.diffuse_transmission,
        )  # fmt: skip
        n_panes = g.panes.shape[1]
        nodes[:, outer : outer + n_panes] += g.panes
        shut = covered[:, k]
        cover = COVERS.get(c.glazing.cover, NO_COVER)
        rho = cover.reflectance
        through = g.beam + g.diffuse
        # light goes back and forth between the pane and its cover
        caught = through / (1 - rho * g.reflected_inside)
        taken = np.where(shut, (1 - rho) * caught, 0.0)
        nodes[:, inner] += cover.to_room * taken
        nodes[:, outer + n_panes - 1] += (1 - cover.to_room) * taken
        back = np.where(shut, rho * caught * g.absorbed_inside, 0.0)
        nodes[:, outer + n_panes - 1] += back
        beam_in += np.where(shut, 0.0, g.beam)
        pool += np.where(shut, 0.0, g.diffuse)
        take[:, k] = c.area * np.where(shut, 1 - rho, g.absorbed_inside)
        escape[:, k] = c.area * np.where(shut, 0.0, g.passed_inside)
        chains[:, k] = g.panes.sum(axis=1) + np.where(shut, (1 - rho) * caught + back, through)
    _share_inside(model, nodes, beam_in, pool, take, escape, chains)
    return AbsorbedSun(nodes, chains)


def _share_inside(
    model: Model, nodes: Array, beam: Array, pool: Array, take: Array, escape: Array, chains: Array
) -> None:
    """Share the light let in over the inside faces, and take what escapes off the glass's gain."""
    shell, net = model.shell, model.network
    share = shell.furnishing_sun_share if shell.furnishing_capacity > 0 else 0.0
    floor_area = sum(c.area for c in model.chains if c.side == "floor")
    inner = net.first[1:] - 1
    for k, c in enumerate(model.chains):
        if c.side in ("floor", "furnishing"):
            part = share if c.side == "furnishing" else (1 - share) * c.area / floor_area
            nodes[:, inner[k]] += beam * part * c.lining_absorptance
            pool += beam * part * (1 - c.lining_absorptance)
    total = np.maximum((take + escape).sum(axis=1), 1e-12)
    for k in range(len(model.chains)):
        nodes[:, inner[k]] += pool * take[:, k] / total
    lost = pool * escape.sum(axis=1) / total
    glass = np.array([c.glazing is not None for c in model.chains])
    let_in = chains[:, glass]
    weight = let_in / np.maximum(let_in.sum(axis=1, keepdims=True), 1e-12)
    chains[:, glass] = let_in - lost[:, None] * weight


def radiant_surroundings(
    model: Model, temp_air: Array, temp_sky: Array, temp_panel: Array
) -> Array:
    """Return the radiant temperature [°C] (times, chains) that each outside face sees.

    A fourth-power mean over sky, near-horizon air and ground; the ground is at air temperature
    (assumed), an underfloor sees only ground, a shade hides the sky it shades, and panels hide
    their share of the roof from the sky.
    """
    shell = model.shell
    air4 = (temp_air + 273.15) ** 4
    sky4 = (temp_sky + 273.15) ** 4
    panel4 = (temp_panel + 273.15) ** 4
    out = np.empty((len(temp_air), len(model.chains)))
    for k, c in enumerate(model.chains):
        kind = model.network.outside[k]
        if kind == OUT_FIXED:
            out[:, k] = model.network.fixed_temp[k]
            continue
        if kind in (OUT_UNDER, OUT_NONE):
            out[:, k] = temp_air
            continue
        sky = float(view_shares(c.tilt)[0]) * shell.diffuse_transmission
        mean = sky * sky4 + (1 - sky) * air4
        if c.side == "roof" and c.glazing is None:
            mean = (1 - shell.panel_share) * mean + shell.panel_share * panel4
        out[:, k] = mean**0.25 - 273.15
    return out
