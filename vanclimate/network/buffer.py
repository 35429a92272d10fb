"""What takes up water from a zone's air: its linings, its furniture and its textiles.

Here: a zone's store of water and what joins it to the air, by the sheet's layers. Not here: the
model of one face (physics/moisture) and the loop's balance (simulate/moisture).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from vanclimate.physics.air import STANDARD_PRESSURE, saturation_humidity_ratio
from vanclimate.physics.moisture import Buffer, surface_buffer
from vanclimate.van.layers import Layer
from vanclimate.van.materials import Vapour, find_material

TEXTILES = 0.08
"""Share of the furnishing's mass that is bedding, clothes, cushions and curtains; assumed, 0.03 to
0.15: 40 kg of the 500 kg of a usual van."""
TEXTILE_MOISTURE = 0.10
"""Water that textiles take up by relative humidity [kg/kg]: cotton 0.12, wool 0.20, polyester
0.01, handbook isotherms from memory, a mixture assumed; 0.05 to 0.15."""
TEXTILE_HOURS = 6.0
"""Hours in which bedding and clothes on shelves follow the air; assumed, 2 to 12."""
FURNITURE = "plywood"
"""What furniture is made of; assumed, 12 mm, varnished as `FURNITURE_COAT`."""
FURNITURE_THICKNESS = 0.012  # m
FURNITURE_COAT = 0.5
"""Still air with the vapour resistance of varnish on furniture [m]; assumed, 0.1 to 3."""
DEEP = 0.3
"""Still air [m] behind which a layer takes no part in a day's swing; assumed: four times the still
air of the depth that a day reaches in wool."""
ROOM = 20.0  # °C, at which the linings are taken


class Face(NamedTuple):
    """An inside face: its area [m²] and its stack, OUTSIDE first."""

    area: float
    layers: tuple[Layer, ...]


def buffer_of(
    faces: Iterable[Face],
    furnishing_mass: float,
    furnishing_area: float,
    pressure: float = STANDARD_PRESSURE,
) -> Buffer:
    """Return the store of water of a zone, for a swing of a day.

    Parameters
    ----------
    faces : linings that the zone's air meets
    furnishing_mass : [kg]
    furnishing_area : exposed [m²]
    pressure : [Pa]

    Returns
    -------
    Buffer : capacity from dry to saturated air [kg], and conductance [kg/s per kg/kg], the sums
        over all that takes part
    """
    parts = [_lining(face, pressure) for face in faces]
    wood = find_material(FURNITURE)
    assert wood is not None
    assert isinstance(wood.vapour, Vapour)
    if furnishing_mass > 0.0:
        parts.append(
            surface_buffer(
                area=furnishing_area, thickness=FURNITURE_THICKNESS, vapour=wood.vapour.value,
                moisture=wood.moisture, coating=FURNITURE_COAT, pressure=pressure,
            )
        )  # fmt: skip
        textiles = TEXTILES * furnishing_mass * TEXTILE_MOISTURE
        full = float(saturation_humidity_ratio(ROOM, pressure))
        parts.append(Buffer(textiles, textiles / full / (TEXTILE_HOURS * 3600.0)))
    return Buffer(sum(p.capacity for p in parts), sum(p.conductance for p in parts))


def _lining(face: Face, pressure: float) -> Buffer:
    """Return the buffer of a stack's innermost layer that takes up water, through what covers it.

    A layer counts as far as open ones lie before it: behind 0.3 m of still air, or behind a gap,
    what is deeper takes no part in a day.
    """
    before = 0.0
    for layer in reversed(face.layers):
        before += layer.inner_facing
        if layer.moisture > 0.0:
            return surface_buffer(
                area=face.area, thickness=layer.thickness, vapour=layer.vapour,
                moisture=layer.moisture, coating=before, pressure=pressure,
            )  # fmt: skip
        before += layer.sd + layer.outer_facing
        if before > DEEP:
            break
    return Buffer(0.0, 0.0)
