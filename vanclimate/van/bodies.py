"""The table of body kinds: rounded inside sizes, usual glass and doors, and the cab in front.

Vans are named by their length (short, medium, long, extended) and roof (standard, medium, high).
The figures are classes, not any one van: load-space sizes that are printed for common vans, from
memory, averaged and rounded to 0.1 m (common practice, no source). A van's own tape measure wins.
Box trailers and truck bodies are taken as sandwich panels; one framed in tubes has its ribs said.
What does not belong here: what a sheet may say of its body (parts.py) and of its rooms (zones.py).
"""

from __future__ import annotations

from dataclasses import dataclass

ZONES = ("living", "cab", "garage")
FIGURES = (
    "load-space sizes printed for common vans, from memory, averaged and rounded to 0.1 m: common "
    "practice, no source; areas of glass and doors assumed"
)
"""Where the figures of every row come from."""

# Load space inside [m], between the bare sides: lengths at the floor, heights under the roof.
LENGTHS = {"short": 2.6, "medium": 3.2, "long": 3.7, "extended": 4.3}
ROOFS = {"standard": 1.6, "medium": 1.9, "high": 2.1}
WIDTH = 1.75  # at the widest, between the sides
SIZE_SPREAD = (0.92, 1.08)  # of vans of one class about its middle; assumed
CAB_LENGTH = 1.2  # m, from the seats' backs to the middle of the raked windscreen; assumed
CAB_HEIGHT = 1.4  # m, from the cab's floor to its headliner; assumed


@dataclass(frozen=True)
class Pane:
    """One usual window of a kind: name, side, area [m2], glass, and whether it is the cab's."""

    name: str
    side: str
    area: float
    glass: str
    cab: bool = False


@dataclass(frozen=True)
class Door:
    """One usual door of a kind: name, side, and its opening [m2] and height [m]."""

    name: str
    side: str
    area: float
    height: float


@dataclass(frozen=True)
class BodyKind:
    """A class of bodies; sizes inside [m].

    Parameters
    ----------
    name : as it is written in a sheet
    length, width, height : of the living space, without the cab
    windows : the usual glass, that of the cab marked
    doors : of the living space
    cab_length, cab_height : of the cab that opens into it; 0 where there is none, or where the cab
        is a room of its own outside, as a truck's is
    pop_top : its roof lifts on fabric sides
    sandwich : its sides are foam between two skins, without ribs but at their edges
    """

    name: str
    length: float
    width: float
    height: float
    windows: tuple[Pane, ...]
    doors: tuple[Door, ...]
    cab_length: float = CAB_LENGTH
    cab_height: float = CAB_HEIGHT
    pop_top: bool = False
    sandwich: bool = False

    @property
    def has_cab(self) -> bool:
        """Whether a cab opens into it."""
        return self.cab_length > 0


# Assumed areas of the glass that is there in any van that is driven.
CAB_GLASS = (
    Pane("windscreen", "front", 1.3, "laminated", cab=True),
    Pane("left door", "left", 0.4, "clear", cab=True),
    Pane("right door", "right", 0.4, "clear", cab=True),
)


def _van_doors(height: float) -> tuple[Door, ...]:
    """Return the side and rear door of a van; openings assumed from its height under the roof."""
    side, rear = height - 0.2, height - 0.1
    return (
        Door("sliding door", "right", round(1.2 * side, 2), side),
        Door("rear doors", "rear", round(1.5 * rear, 2), rear),
    )


def _vans() -> tuple[BodyKind, ...]:
    return tuple(
        BodyKind(f"{length} {roof} van", metres, WIDTH, height, CAB_GLASS, _van_doors(height))
        for length, metres in LENGTHS.items()
        for roof, height in ROOFS.items()
    )


KINDS: tuple[BodyKind, ...] = (
    *_vans(),
    BodyKind(
        "pop-top van",
        2.5,
        1.65,
        1.4,
        (
            *CAB_GLASS,
            Pane("left window", "left", 0.5, "tinted"),
            Pane("sliding door window", "right", 0.5, "tinted"),
            Pane("rear window", "rear", 0.6, "tinted"),
        ),
        _van_doors(1.4),
        pop_top=True,
    ),
    BodyKind(
        "box trailer",
        3.6,
        1.8,
        1.9,
        (),
        (Door("side door", "right", 1.2, 1.7), Door("rear doors", "rear", 3.0, 1.8)),
        cab_length=0.0,
        cab_height=0.0,
        sandwich=True,
    ),
    BodyKind(
        "small truck body",
        4.1,
        2.1,
        2.1,
        (
            Pane("left window", "left", 0.35, "double acrylic"),
            Pane("right window", "right", 0.35, "double acrylic"),
        ),
        (Door("side door", "right", 1.1, 1.8),),
        cab_length=0.0,
        cab_height=0.0,
        sandwich=True,
    ),
)

_BY_NAME = {kind.name: kind for kind in KINDS}


def find_kind(name: str) -> BodyKind:
    """Return the kind of that name.

    >>> find_kind("long high van").length
    3.7
    """
    return _BY_NAME[name]


def kind_words() -> dict[str, str]:
    """Return every way to write a kind with the name it is kept under.

    >>> kind_words()["long high-roof van"]
    'long high van'
    """
    words = {kind.name: kind.name for kind in KINDS}
    for length in LENGTHS:
        for roof in ROOFS:
            name = f"{length} {roof} van"
            words |= {f"{length} {roof}-roof van": name, f"{length} {roof}": name}
    return words | {"pop-top": "pop-top van", "trailer": "box trailer"}
