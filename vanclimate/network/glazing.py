"""Windows as chains of nodes: panes, gaps and covers.

What does not belong here: the sun on them (``solar``), the other surfaces (``compile``).
"""

from __future__ import annotations

from dataclasses import dataclass

from vanclimate.network.shell import Glazing

GLASS_EMISSIVITY = 0.84  # uncoated glass, handbook value
OPEN_RESISTANCE = 1e-3  # m2K/W between a pane and its open cover, which moves with it


@dataclass(frozen=True)
class Cover:
    """A class of window cover: air gap to the pane and the mat itself [m2K/W]; assumed classes."""

    gap: float
    mat: float
    reflectance: float  # of the sun

    @property
    def to_room(self) -> float:
        """Share of the sun caught on its outer face that lands on the room's side.

        The face lies between gap and mat; a heat source there splits by the two resistances.
        """
        return self.gap / (self.gap + self.mat)


COVERS = {
    "curtain": Cover(0.13, 0.03, 0.5),
    "insulated": Cover(0.17, 0.38, 0.5),
    "reflective": Cover(0.17, 0.18, 0.75),
}
COVER_CAPACITY = 1500.0  # J/(m2 K), a quilted mat of about 1 kg/m2; assumed


def glazing_nodes(g: Glazing) -> tuple[list[float], list[float], list[float]]:
    """Return capacities, links and links with the cover closed; a pane is one node.

    The cover's node is always there: with the cover open it moves with the pane.
    """
    glass = g.glass
    per_metre = glass.density * glass.specific_heat * g.area
    capacity = [t * per_metre for t in glass.pane_thicknesses]
    half = [t / glass.conductivity / 2 for t in glass.pane_thicknesses]
    link = [g.area / (half[i] + r + half[i + 1]) for i, r in enumerate(glass.gap_resistances)]
    cover = COVERS.get(g.cover)
    if cover is None or g.covered == "never":
        return capacity, [*link, 0.0], [*link, 0.0]
    open_link = g.area / OPEN_RESISTANCE
    return (
        [*capacity, COVER_CAPACITY * g.area],
        [*link, open_link, 0.0],
        [*link, g.area / (cover.gap + cover.mat), 0.0],
    )
