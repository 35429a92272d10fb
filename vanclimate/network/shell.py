"""The shell as surfaces and glazings with areas and directions: what the network is compiled from.

Here: geometry and the split of each side into cavity, ribs and glass. Not here: nodes and
conductances (``compile``) and sun (``solar``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import radians, sin

from vanclimate.errors import OptionError
from vanclimate.network.bridging import rib_notes, with_ribs
from vanclimate.network.buffer import Face, buffer_of
from vanclimate.network.resistance import RSE as RSE
from vanclimate.network.resistance import RSI as RSI
from vanclimate.network.roof import with_roof
from vanclimate.network.rooms import Room, cab_stack, rooms_of, stack_of, tent_areas
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
LEAST_AREA = 1e-6  # m2: less is no side at all
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
    ``lying`` is snow on its outside, ``wet`` a film of water there, see ``roof``.
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
    lying: Layer | None = None
    wet: bool = False

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

    def __post_init__(self) -> None:
        """Refuse a zone with no path to anything: its temperature would mean nothing."""
        reached: set[int | None] = {s.zone for s in self.surfaces}
        reached |= {s.beyond for s in self.surfaces} | {g.zone for g in self.glazings}
        reached |= {p.zone for p in self.passages}
        for i, zone in enumerate(self.zones):
            if i not in reached:
                raise OptionError("zones", zone.name, "a zone with a surface, glass or a passage")


def _installed(layers: tuple[Layer, ...], factor: float) -> tuple[Layer, ...]:
    """Return the stack with its insulation's conductivity as installed."""
    return tuple(
        x.model_copy(update={"conductivity": x.conductivity * factor}) if x.insulation else x
        for x in layers
    )


def glazing_of(w: Window, zone: int = 0) -> Glazing:
    """Return a window of the sheet, its cover with the sheet's own figures."""
    cover = w.cover_row
    if cover is not None:
        cover = replace(cover, resistance=w.cover_resistance, edge=w.cover_edge)
    slope = None if w.slope == SIDES[w.side][1] else w.slope
    return Glazing(w.name, w.side, w.area, w.glass_row, cover, w.covered, slope, zone)


def shell_of(sheet: Sheet) -> Shell:
    """Return the shell that a sheet describes.

    Raises
    ------
    SheetError
        When the windows of a side are larger than the side.
    """
    rooms = rooms_of(sheet)
    index = {room.name: i for i, room in enumerate(rooms)}
    glazings = tuple(glazing_of(w, index[w.zone or "living"]) for w in sheet.windows)
    surfaces: list[Surface] = []
    for i, room in enumerate(rooms):
        for side, area in room.sides.items():
            surfaces += _side(sheet, room, side, i, _opaque(sheet, room, side, area, glazings, i))
    surfaces += [s for i, room in enumerate(rooms) for s in _partitions(sheet, room, i)]
    surfaces += _tent(sheet)
    panels = sheet.roof_panels.area
    opaque_roof = sum(s.area for s in surfaces if s.side == "roof" and s.zone == 0)
    notes = rib_notes(sheet.body, surfaces)
    if panels > MOST_PANELS * opaque_roof:
        notes.append(
            f"{panels:.1f} m² of panels do not fit on {opaque_roof:.1f} m² of roof: "
            f"{MOST_PANELS:.0%} of it is taken as covered, and all panels as working"
        )
    dry = Shell(
        surfaces=tuple(surfaces),
        glazings=glazings,
        zones=tuple(with_linings(z, i, surfaces) for i, z in enumerate(_zones(sheet, rooms))),
        passages=tuple(Passage(i, **vars(r.way)) for i, r in enumerate(rooms) if r.way),
        beam_transmission=sheet.shade.beam_transmission,
        diffuse_transmission=sheet.shade.diffuse_transmission,
        panel_share=min(MOST_PANELS, panels / opaque_roof),
        notes=tuple(notes),
    )
    return with_roof(dry, sheet.body.roof_state)


def with_linings(zone: Zone, index: int, surfaces: Sequence[Surface]) -> Zone:
    """Return a zone with the water that its linings, furniture and textiles take up."""
    faces = [Face(s.area, s.layers) for s in surfaces if s.zone == index]
    faces += [Face(s.area, s.layers[::-1]) for s in surfaces if s.beyond == index]
    store = buffer_of(faces, zone.furnishing_mass, zone.furnishing_area)
    return replace(zone, buffer_capacity=store.capacity, buffer_conductance=store.conductance)


def _opaque(
    sheet: Sheet, room: Room, side: str, area: float, glazings: tuple[Glazing, ...], zone: int
) -> float:
    """Return what a room's side has besides its glass [m2]."""
    glass = sum(g.covers for g in glazings if g.side == side and g.zone == zone)
    if glass >= area and glass > 0:
        where = side if zone == 0 else f"{side} of the {room.name}"
        sheet.refuse(
            "windows",
            found=f"{glass:.2f} m² of glass on the {where}",
            allowed=f"less than its {area:.2f} m²",
        )
    return area - glass


def _zones(sheet: Sheet, rooms: tuple[Room, ...]) -> tuple[Zone, ...]:
    """Return the zones; the body's leaks are shared by outer area (assumed)."""
    outer = sum(room.outer for room in rooms)
    top, tent = sheet.pop_top, sum(tent_areas(sheet).values())
    more = top.leakage / sheet.body.leakage if top is not None and tent > 0 else 0.0
    return tuple(
        Zone(
            name=room.name,
            volume=room.volume,
            furnishing_mass=room.furnishing,
            furnishing_area=FURNISHING_AREA_PER_FLOOR * room.floor if room.furnishing > 0 else 0.0,
            leakage_share=room.outer / outer + (more if i == 0 else 0.0),
        )
        for i, room in enumerate(rooms)
    )


def _partitions(sheet: Sheet, room: Room, zone: int) -> list[Surface]:
    """Return what stands between a room and the living space."""
    dark = sheet.body.lining_absorptance
    return [
        Surface(
            name=p.name,
            group="partitions",
            side=p.side,
            area=p.area,
            layers=_installed(p.layers, sheet.body.installed_conductivity),
            absorptance=dark,
            emissivity=p.layers[0].emissivity,
            lining_absorptance=dark,
            lining_emissivity=p.layers[-1].emissivity,
            beyond=zone,
            covered=p.drawn,
        )
        for p in room.partitions
    ]


def _tent(sheet: Sheet) -> list[Surface]:
    """Return the fabric sides of a roof that lifts; they pass nothing while it is down."""
    top = sheet.pop_top
    if top is None:
        return []
    return [
        Surface(
            name=f"pop top {side}",
            group="pop top",
            side=side,
            area=area,
            layers=top.sides,
            absorptance=top.colour,
            emissivity=top.sides[0].emissivity,
            lining_absorptance=top.colour,
            lining_emissivity=top.sides[-1].emissivity,
            covered=top.raised,
        )
        for side, area in tent_areas(sheet).items()
    ]


def _side(sheet: Sheet, room: Room, side: str, zone: int, area: float) -> list[Surface]:
    """Return a side's cavity path and, where insulated, its rib path; the cab has no ribs."""
    if area < LEAST_AREA:
        return []
    b = sheet.body
    of_cab = room.name == "cab"
    stack = cab_stack(sheet, side) if of_cab else stack_of(sheet, side)
    layers = _installed(stack, b.installed_conductivity)
    group = side if side in ("roof", "floor") else "walls"
    plain = Surface(
        name=side if zone == 0 else f"{room.name} {side}",
        group=group,
        side=side,
        area=area,
        layers=layers,
        absorptance=0.0 if side == "floor" else b.colour,
        emissivity=b.emissivity,
        lining_absorptance=b.lining_absorptance,
        lining_emissivity=layers[-1].emissivity,
        zone=zone,
    )
    return [plain] if of_cab else with_ribs(b, plain)
