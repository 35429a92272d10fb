"""One side's opaque area as two paths: between its ribs, and across them.

With ribs that the sheet describes, the section's solution says how; without, a rib share and a
bridging factor stand in. What does not belong here: the section (section.py), and where the sides
come from (shell.py).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vanclimate.network.profile import ORDINARY
from vanclimate.network.resistance import RSE, RSI, core_resistance
from vanclimate.network.section import LEAST_CORE, section_of
from vanclimate.physics.conduction import Direction, bridged_rib_transmittance, u_value
from vanclimate.van.parts import Body
from vanclimate.van.ribs import no_ribs_given

if TYPE_CHECKING:
    from vanclimate.network.shell import Surface

# the direction that a section is solved for is winter's: up through the roof
WINTER: dict[str, Direction] = {"roof": "up", "floor": "down"}
MIN_CORE = 0.02  # m2K/W: below this a stack is bare metal, and a guessed rib bridges nothing


def with_ribs(body: Body, plain: Surface) -> list[Surface]:
    """Return the path between the ribs and, where they matter, the path across them.

    Parameters
    ----------
    body : of the sheet
    plain : the whole side as a plain stack, insulation as installed
    """
    if no_ribs_given(body):
        return _by_factor(body, plain)
    ribs = body.ribs_of(plain.side)
    if ribs is None:
        return [plain]
    direction = WINTER.get(plain.side, "horizontal")
    section = section_of(plain.layers, ribs, direction, rsi=RSI)
    cavity = replace(plain, name=f"{plain.name} cavity", layers=section.stack, section=section)
    path = section.path
    if path is None:
        return [replace(cavity, name=plain.name)]
    across = replace(
        cavity,
        name=f"{plain.name} ribs",
        group="ribs",
        area=plain.area * path.share,
        lining_emissivity=plain.lining_emissivity if ribs.lined else ORDINARY,
        rib=path,
        section=None,
    )
    return [replace(cavity, area=plain.area * (1 - path.share)), across]


def _by_factor(body: Body, plain: Surface) -> list[Surface]:
    core = core_resistance(plain.layers)
    if body.rib_share <= 0 or body.rib_bridging <= 1 or core < MIN_CORE:
        return [plain]
    u = u_value([core], RSI, RSE)
    rib = bridged_rib_transmittance(u, body.rib_bridging, body.rib_share)
    across = plain.area * body.rib_share
    return [
        replace(plain, name=f"{plain.name} cavity", area=plain.area - across),
        replace(plain, name=f"{plain.name} ribs", group="ribs", area=across, rib_u=rib),
    ]


def rib_notes(body: Body, surfaces: list[Surface]) -> list[str]:
    """Return what needs a word about the ribs of all sides, each once."""
    notes = [note for s in surfaces if s.rib_u for note in _bare_note(body, s)]
    notes += [note for s in surfaces if s.section for note in s.section.warnings]
    return list(dict.fromkeys(notes))


def _bare_note(body: Body, ribs: Surface) -> list[str]:
    """Return a note where ribs of bare steel cannot bridge as much as the sheet says."""
    assert ribs.rib_u is not None
    wanted, share = body.rib_bridging, body.rib_share
    most = 1 / (RSI + RSE + LEAST_CORE)
    if ribs.rib_u <= most:
        return []
    reached = wanted - share * (ribs.rib_u - most) / (ribs.rib_u * share / (wanted - 1 + share))
    return [
        f"on the {ribs.side} ribs of bare steel reach a bridging factor of {reached:.2f}, not "
        f"{wanted:.2f}: so thin a stack leaves less to bridge"
    ]
