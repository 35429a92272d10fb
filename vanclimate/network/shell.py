"""The shell as surfaces and glazings with areas and directions: what the network is compiled from.

Here: geometry and the split of each side into cavity, ribs and glass. Not here: nodes and
conductances (``compile``) and sun (``solar``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import radians, sin

from vanclimate.network.bridging import rib_notes, with_ribs
from vanclimate.network.resistance import RSE as RSE
from vanclimate.network.resistance import RSI as RSI
from vanclimate.network.rooms import side_areas, stack_of
from vanclimate.network.section import RibPath, Section
from vanclimate.van.covers import Cover
from vanclimate.van.openings import Glass
from vanclimate.van.sheet import Layer, Sheet
from vanclimate.van.windows import When, Window

# Azimuth of each side clockwise from the van's nose, and its tilt from horizontal [deg]
SIDES = {
    "roof": (0.0, 0.0),
    "front": (0.0, 90.0),
    "right": (90.0, 90.0),
    "rear": (180.0, 90.0),
    "left": (270.0, 90.0),
    "floor": (0.0, 180.0),
}


def facing(side: str, tilt: float) -> str:
    """Return the key of the sun on a plane: its side, or side and slope where it leans.

    >>> facing("front", 90.0), facing("front", 45.0)
    ('front', 'front 45')
    """
    return side if SIDES[side][1] == tilt else f"{side} {tilt:g}"


MOST_PANELS = 0.9  # of the opaque roof that panels can cover
FURNISHING_AREA_PER_FLOOR = 1.5  # m2 of exposed furniture per m2 of floor; assumed


@dataclass(frozen=True)
class Zone:
    """A room of its own air: 0 is the living space, others such as cab and garage meet it only.

    Parameters
    ----------
    name : 'living', 'cab', 'garage'
    volume : [m3]
    furnishing_mass : [kg], wood, fabric and stores
    furnishing_area : their exposed area [m2]
    leakage_share : of the body's leakage area that opens into this zone
    buffer_capacity : water that linings and fabrics take up per unit of relative humidity [kg]
    buffer_conductance : their exchange with the air [kg/s per kg/kg]
    """

    name: str
    volume: float
    furnishing_mass: float = 0.0
    furnishing_area: float = 0.0
    leakage_share: float = 1.0
    buffer_capacity: float = 0.0
    buffer_conductance: float = 0.0


@dataclass(frozen=True)
class Passage:
    """The way from the living space to another zone.

    Parameters
    ----------
    zone : index of the other zone
    leak : leakage area that is always there [m2]
    opening : free opening while it is open [m2]; 0 where it never opens
    height : of the opening [m]
    open : 'never', 'night', 'day' or 'always'
    """

    zone: int
    leak: float
    opening: float = 0.0
    height: float = 1.0
    open: When = "never"


@dataclass(frozen=True)
class Surface:
    """One opaque path from outside to inside.

    ``boundary_temp`` is None outdoors, or the fixed temperature [°C] of what lies beyond.
    ``zone`` is the zone on its inside. A partition has another zone ``beyond`` its outer face, and
    the living space inside; ``covered`` says when a curtain is drawn ('always' for a wall).
    ``section`` is the solved section of the ribs beside a stack, and ``rib`` the chain across one;
    where they are only guessed, ``rib_u`` is the transmittance [W/m2K] their own area must have.
    ``roughness`` multiplies the wind's convection on the outside, see ``convection.ROUGHNESS``.
    """

    name: str
    group: str
    side: str
    area: float
    layers: tuple[Layer, ...]
    absorptance: float
    emissivity: float
    lining_absorptance: float
    lining_emissivity: float = 0.9
    boundary_temp: float | None = None
    rib_u: float | None = None
    roughness: float = 1.0
    zone: int = 0
    beyond: int | None = None
    covered: When = "always"
    section: Section | None = None
    rib: RibPath | None = None

    @property
    def across_ribs(self) -> bool:
        """Whether it is the ribs' own path."""
        return self.rib_u is not None or self.rib is not None


@dataclass(frozen=True)
class Glazing:
    """One window: its panes, gaps and cover, and when that is closed.

    ``area`` [m2] is that of its opening; ``slope`` is its tilt from level [deg], None for its
    side's own.
    """

    name: str
    side: str
    area: float
    glass: Glass
    cover: Cover | None = None
    covered: When = "never"
    slope: float | None = None
    zone: int = 0

    @property
    def covers(self) -> float:
        """Area of its side that it takes [m2]: a leaning pane's upright part."""
        return self.area if self.slope is None else self.area * sin(radians(self.slope))


@dataclass(frozen=True)
class Shell:
    """A whole body: surfaces, glazings, zones with their air and furnishing, shade and panels.

    ``zones[0]`` is the living space.
    """

    surfaces: tuple[Surface, ...]
    glazings: tuple[Glazing, ...]
    zones: tuple[Zone, ...]
    passages: tuple[Passage, ...] = ()
    furnishing_sun_share: float = 0.5  # of the sunlight that would fall on the floor; assumed
    beam_transmission: float = 1.0
    diffuse_transmission: float = 1.0
    panel_share: float = 0.0  # of the roof covered by panels
    notes: tuple[str, ...] = ()  # what of the description could not be had


def _installed(layers: tuple[Layer, ...], factor: float) -> tuple[Layer, ...]:
    """Return the stack with its insulation's conductivity as installed."""
    return tuple(
        x.model_copy(update={"conductivity": x.conductivity * factor}) if x.insulation else x
        for x in layers
    )


def glazing_of(w: Window) -> Glazing:
    """Return a window of the sheet, its cover with the sheet's own figures."""
    cover = w.cover_row
    if cover is not None:
        cover = replace(cover, resistance=w.cover_resistance, edge=w.cover_edge)
    slope = None if w.slope == SIDES[w.side][1] else w.slope
    return Glazing(w.name, w.side, w.area, w.glass_row, cover, w.covered, slope)


def shell_of(sheet: Sheet) -> Shell:
    """Return the shell that a sheet describes.

    Raises
    ------
    SheetError
        When the windows of a side are larger than the side.
    """
    areas = side_areas(sheet)
    glazings = tuple(glazing_of(w) for w in sheet.windows)
    surfaces: list[Surface] = []
    for side, area in areas.items():
        opaque = area - sum(g.covers for g in glazings if g.side == side)
        if opaque <= 0:
            sheet.refuse(
                "windows",
                found=f"{area - opaque:.2f} m² of glass on the {side}",
                allowed=f"less than its {area:.2f} m²",
            )
        surfaces += _side(sheet, side, opaque)
    panels = sheet.roof_panels.area
    opaque_roof = sum(s.area for s in surfaces if s.side == "roof")
    notes = rib_notes(sheet.body, surfaces)
    if panels > MOST_PANELS * opaque_roof:
        notes.append(
            f"{panels:.1f} m² of panels do not fit on {opaque_roof:.1f} m² of roof: "
            f"{MOST_PANELS:.0%} of it is taken as covered, and all panels as working"
        )
    floor = areas["floor"]
    b = sheet.body
    living = Zone(
        name="living",
        volume=b.length * b.width * b.height,
        furnishing_mass=b.furnishing,
        furnishing_area=FURNISHING_AREA_PER_FLOOR * floor if b.furnishing > 0 else 0.0,
    )
    return Shell(
        surfaces=tuple(surfaces),
        glazings=glazings,
        zones=(living,),
        beam_transmission=sheet.shade.beam_transmission,
        diffuse_transmission=sheet.shade.diffuse_transmission,
        panel_share=min(MOST_PANELS, panels / opaque_roof),
        notes=tuple(notes),
    )


def _side(sheet: Sheet, side: str, area: float) -> list[Surface]:
    """Return a side's cavity path and, where insulated, its rib path."""
    b = sheet.body
    layers = _installed(stack_of(sheet, side), b.installed_conductivity)
    group = side if side in ("roof", "floor") else "walls"
    plain = Surface(
        name=side,
        group=group,
        side=side,
        area=area,
        layers=layers,
        absorptance=0.0 if side == "floor" else b.colour,
        emissivity=b.emissivity,
        lining_absorptance=b.lining_absorptance,
        lining_emissivity=layers[-1].emissivity,
    )
    return with_ribs(b, plain)
