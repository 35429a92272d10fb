"""The library of materials that stacks are made of, one row each, with its source.

What does not belong here: stacks and layers (layers.py), glass and covers (openings.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from vanclimate.errors import near

HANDBOOK = "handbook tables as printed by a general reference library"
MEMORY = "from memory of handbook tables"
TABLED = "ISO 10456 tables, from memory"
ASSUMED = "assumed, after like materials of the ISO 10456 tables"


class Vapour(NamedTuple):
    """Vapour resistance factor µ: how much better still air lets vapour through.

    ``value`` lies between the tabulated dry and wet cup of what takes up water; ``low`` and
    ``high`` are the two cups, or the span of products.
    """

    value: float
    low: float
    high: float
    source: str = TABLED


class Film(NamedTuple):
    """A thin or tight layer: the still air with its vapour resistance, sd [m], at any thickness."""

    sd: float
    low: float
    high: float
    source: str = TABLED


@dataclass(frozen=True)
class Material:
    """One material.

    Parameters
    ----------
    name : as it is written in a sheet
    conductivity : [W/m·K] at about 24 °C
    density : [kg/m3]
    specific_heat : [J/kg·K]
    emissivity : of its bare surface, longwave [0..1]
    low, high : plausible range of the conductivity [W/m·K]
    source : where the row comes from
    vapour : its vapour resistance, by thickness or as that of a film
    insulation : its conductivity suffers from how it is fitted
    also : other names
    slope : of the conductivity by temperature [1/K], of its value at 24 °C
    aged : the conductivity is that of foam that has lost its first gas; else it does not age so
    moisture : water taken up by a rise of the relative humidity from 0 to 1 along the slope of its
        sorption isotherm at 30 to 70 % [kg/m3]; 0 for what takes up next to none
    wetting : exponent of its conductivity by water content [m3/m3 of water], ISO 10456
    fibre : a batt of fibres, which may be squeezed
    membrane : too thin to count but for its vapour resistance and its surface
    """

    name: str
    conductivity: float
    density: float
    specific_heat: float
    emissivity: float
    low: float
    high: float
    source: str
    vapour: Vapour | Film
    insulation: bool = False
    also: tuple[str, ...] = ()
    slope: float = 0.0
    aged: bool = False
    moisture: float = 0.0
    wetting: float = 0.0
    fibre: bool = False
    membrane: bool = False


# Tight to vapour: metals and glass let none through but at their seams. ISO 10456 gives 50 µm of
# aluminium foil 1500 m, which stands here for all of them; taped seams may bring it down to 100 m.
TIGHT = Film(1500, 100, 10000, f"{TABLED}: aluminium foil of 50 µm; seams assumed")

# Emissivities: ordinary building surfaces 0.90; bright aluminium foil 0.05 (ISO 6946 air-layer
# practice, partly from memory); painted metal counts as painted.
# Slopes: ISO 10456 conversion factors by temperature, from memory, for what improves in the cold;
# where that standard has no row the slope is assumed as that of the nearest. Polyiso loses in the
# cold: its blowing gas condenses. R-6 an inch in summer and on a cold day (trade article,
# read), the cold day's mean in the board taken as -4 °C (assumed): (0.032 / 0.024 - 1) / -28 K.
POLYISO_SLOPE = (0.032 / 0.024 - 1.0) / (-4.0 - 24.0)
# Moisture: slope of the isotherm between 30 and 70 %, kg/kg times density; wood 0.16, wool 0.20,
# cotton 0.12, ISO 10456 contents at 50 and 80 % and handbook isotherms, from memory, good to 30 %.
# Wetting: ISO 10456 moisture conversion factors f_psi, from memory; 4 assumed for other wools.
# fmt: off
MATERIALS: tuple[Material, ...] = (
    Material("steel", 50.0, 7800, 450, 0.90, 15, 65, HANDBOOK, TIGHT,
             also=("sheet steel", "painted steel", "steel skin")),
    Material("stainless steel", 15.0, 7900, 460, 0.30, 13, 20, MEMORY, TIGHT),
    Material("aluminium", 160.0, 2700, 900, 0.20, 100, 240, MEMORY, TIGHT,
             also=("aluminum", "aluminium sheet", "aluminum sheet")),
    Material("glass fibre plastic", 0.40, 1900, 1000, 0.90, 0.15, 0.60,
             f"{HANDBOOK}; specific heat {MEMORY}",
             Vapour(10000, 5000, 50000, f"{TABLED}: polyester resin"),
             also=("grp", "fiberglass", "fibreglass", "gelcoat", "glass fiber plastic")),
    Material("XPS", 0.030, 32, 1470, 0.90, 0.025, 0.036, f"{HANDBOOK} (0.026-0.034)",
             Vapour(150, 80, 250), True, slope=0.0045, aged=True, wetting=2.5,
             also=("xps foam", "extruded polystyrene", "foam board")),
    Material("EPS", 0.036, 20, 1470, 0.90, 0.029, 0.042, HANDBOOK, Vapour(60, 20, 100), True,
             slope=0.0036, wetting=4.0,
             also=("eps foam", "expanded polystyrene", "bead board")),
    Material("polyiso", 0.024, 32, 1470, 0.90, 0.021, 0.034,
             "trade article, read: R-6 an inch in summer; aged 0.022-0.027 from memory",
             Vapour(60, 30, 100), True, slope=POLYISO_SLOPE, aged=True, wetting=6.0,
             also=("polyisocyanurate", "pir", "pir board")),
    Material("foil-faced polyiso", 0.024, 32, 1470, 0.05, 0.021, 0.034,
             "trade article, read: R-6 an inch in summer; aged 0.022-0.027 from memory; "
             "shiny facing",
             Film(100, 20, 1500, "assumed: thin foil on both faces, joints not all taped"), True,
             slope=POLYISO_SLOPE, aged=True, wetting=6.0, also=("foil faced pir",)),
    Material("sprayed foam", 0.026, 40, 1470, 0.90, 0.020, 0.040, HANDBOOK,
             Vapour(60, 30, 100), True, slope=0.0055, aged=True, wetting=6.0,
             also=("spray foam", "sprayed pu", "sprayed urethane", "closed-cell foam",
                   "sprayed polyurethane", "pu foam", "polyurethane foam")),
    Material("mineral wool", 0.040, 32, 840, 0.90, 0.030, 0.048, HANDBOOK, Vapour(1, 1, 2), True,
             slope=0.0056, wetting=4.0, fibre=True,
             also=("rock wool", "stone wool")),
    Material("glass wool", 0.045, 11, 840, 0.90, 0.030, 0.050, f"{HANDBOOK} (0.043-0.047)",
             Vapour(1, 1, 2), True, slope=0.0062, wetting=4.0, fibre=True,
             also=("glass batt", "fiberglass batt", "fibreglass batt", "fiberglass wool")),
    Material("sheep wool", 0.040, 20, 1700, 0.90, 0.033, 0.047, MEMORY,
             Vapour(1.5, 1, 3, ASSUMED), True, slope=0.0056, moisture=4.0, wetting=4.0, fibre=True,
             also=("wool", "sheeps wool", "sheep's wool")),
    Material("polyester batt", 0.040, 18, 1200, 0.90, 0.033, 0.050, f"{MEMORY} (0.036-0.045)",
             Vapour(1.5, 1, 3, ASSUMED), True, slope=0.0056, wetting=4.0, fibre=True,
             also=("polyester wool", "polyester fibre batt")),
    Material("recycled cotton batt", 0.040, 30, 1300, 0.90, 0.035, 0.048, MEMORY,
             Vapour(1.5, 1, 3, ASSUMED), True, slope=0.0056, moisture=3.6, wetting=4.0, fibre=True,
             also=("cotton batt", "denim batt", "recycled denim")),
    Material("wood fibre", 0.040, 50, 2100, 0.90, 0.036, 0.055, MEMORY,
             Vapour(3, 1, 5), True, slope=0.0056, moisture=8.0, wetting=4.0, fibre=True,
             also=("wood fiber", "wood fibre batt")),
    Material("cork", 0.050, 200, 1500, 0.90, 0.036, 0.065, HANDBOOK, Vapour(7, 5, 10), True,
             slope=0.0027, moisture=10.0, wetting=6.0, also=("cork board", "expanded cork")),
    Material("elastomeric foam", 0.040, 70, 1350, 0.90, 0.033, 0.050,
             f"{HANDBOOK} (0.035-0.05); specific heat {MEMORY}",
             Vapour(7000, 3000, 10000, f"{TABLED}: foam rubber"), True, slope=0.0028,
             also=("closed cell rubber", "rubber foam", "closed cell rubber foam")),
    Material("polyethylene foam", 0.040, 30, 2000, 0.90, 0.033, 0.055, MEMORY,
             Vapour(100, 100, 5000), True, slope=0.0040,
             also=("pe foam", "closed cell polyethylene")),
    Material("bubble foil", 0.040, 70, 2000, 0.05, 0.033, 0.060,
             "assumed as polyethylene foam of that thickness; its foil earns on a gap alone",
             Film(100, 10, 1500, "assumed: metallised film, joints not all taped"), True,
             slope=0.0040, also=("bubble wrap foil", "foil bubble wrap", "foil bubble")),
    Material("plywood", 0.13, 500, 1600, 0.90, 0.09, 0.20, HANDBOOK, Vapour(120, 70, 200),
             moisture=80.0, also=("ply", "birch plywood", "plywood lining")),
    Material("softwood", 0.12, 500, 1600, 0.90, 0.09, 0.17, MEMORY, Vapour(32, 20, 50),
             moisture=80.0,
             also=("pine", "cedar", "wood", "tongue and groove", "timber", "wood cladding")),
    Material("hardwood", 0.17, 700, 1600, 0.90, 0.13, 0.24, MEMORY, Vapour(100, 50, 200),
             moisture=110.0, also=("oak", "bamboo")),
    Material("MDF", 0.12, 700, 1700, 0.90, 0.08, 0.18, MEMORY, Vapour(20, 15, 30),
             moisture=110.0, also=("hardboard", "fibreboard")),
    Material("acrylic", 0.20, 1050, 1500, 0.90, 0.16, 0.25, HANDBOOK,
             Vapour(50000, 10000, 50000), also=("pmma",)),
    Material("PVC", 0.17, 1390, 900, 0.90, 0.12, 0.25, HANDBOOK, Vapour(50000, 10000, 50000),
             also=("vinyl", "vinyl floor")),
    Material("ABS", 0.19, 1050, 1400, 0.90, 0.14, 0.25, MEMORY,
             Vapour(10000, 5000, 50000, ASSUMED)),
    Material("carpet", 0.060, 200, 1300, 0.90, 0.04, 0.10, MEMORY, Vapour(5, 2, 10),
             moisture=12.0, also=("carpet lining", "felt", "fabric", "headliner", "fabric lining")),
    Material("curtain fabric", 0.060, 300, 1300, 0.90, 0.04, 0.10, MEMORY, Vapour(5, 2, 10),
             moisture=18.0, also=("curtain",)),
    Material("canvas", 0.15, 700, 1400, 0.90, 0.06, 0.25, f"{MEMORY}; coated cotton or polyester",
             Vapour(500, 50, 5000, "assumed, from proofed cotton to coated polyester"),
             also=("tent fabric", "coated fabric")),
    Material("rubber", 0.17, 1200, 1400, 0.90, 0.12, 0.30, MEMORY, Vapour(10000, 6000, 20000),
             also=("rubber mat",)),
    Material("sound deadener", 0.20, 1500, 1000, 0.90, 0.15, 0.80, MEMORY,
             Vapour(200000, 100000, 200000, f"{TABLED}: butyl"),
             also=("butyl", "butyl mat", "sound mat")),
    Material("linoleum", 0.17, 1200, 1400, 0.90, 0.12, 0.25, MEMORY, Vapour(900, 800, 1000),
             also=("lino",)),
    Material("vapour barrier film", 0.33, 950, 2000, 0.90, 0.2, 0.5, MEMORY,
             Film(100, 50, 200, f"{TABLED}: polyethylene 0.15 mm 50 m, 0.25 mm 100 m"),
             membrane=True,
             also=("vapor barrier film", "vapour barrier", "vapor barrier", "pe film",
                   "polyethylene film", "plastic sheeting")),
    Material("variable membrane", 0.25, 900, 1800, 0.90, 0.15, 0.4, MEMORY,
             Film(4, 0.2, 10, "assumed, a polyamide film's value in dry air; damp it opens"),
             membrane=True, also=("smart membrane", "variable vapour membrane")),
    Material("kraft facing", 0.17, 700, 1400, 0.90, 0.1, 0.3, MEMORY,
             Film(3, 1, 10, "asphalted kraft paper of about 1 perm, from memory"),
             membrane=True, also=("kraft paper",)),
    Material("breather membrane", 0.25, 500, 1800, 0.90, 0.15, 0.4, MEMORY,
             Film(0.2, 0.02, 0.5), membrane=True),
    Material("gloss paint", 0.25, 1200, 1400, 0.90, 0.15, 0.5, MEMORY, Film(3, 1, 5),
             membrane=True, also=("varnish", "lacquer", "gloss varnish")),
    Material("paint", 0.25, 1200, 1400, 0.90, 0.15, 0.5, MEMORY, Film(0.1, 0.05, 0.5),
             membrane=True, also=("emulsion paint", "wall paint")),
)
# fmt: on

# Still air, only as the weightless filling of a gap; the gap's resistance comes from its faces,
# and air that moves in it carries vapour across: ISO 13788 gives any air layer 0.01 m, from memory.
AIR = Material(
    "air gap", 0.025, 1.2, 1006, 0.90, 0.02, 0.03, HANDBOOK,
    Film(0.01, 0.005, 0.3, "ISO 13788, from memory: air that moves"), also=("air", "gap"),
)  # fmt: skip
FOIL = Material(
    "foil", 160.0, 2700, 900, 0.05, 100, 240, f"{MEMORY}; works only on an air gap", TIGHT,
    membrane=True,
    also=("aluminium foil", "aluminum foil", "reflective foil", "foil tape", "aluminium tape",
          "aluminum tape"),
)  # fmt: skip


def normal_name(text: str) -> str:
    """Return the one spelling of a material's name."""
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())


_BY_NAME = {normal_name(n): m for m in (*MATERIALS, AIR, FOIL) for n in (m.name, *m.also)}


def find_material(text: str) -> Material | None:
    """Return the material of that name, or None.

    >>> find_material("Spray-Foam").name
    'sprayed foam'
    """
    return _BY_NAME.get(normal_name(text))


def near_material(text: str) -> str:
    """Return a near spelling for an unknown name, as a question, or ''."""
    return near(normal_name(text), _BY_NAME)


def known_materials() -> str:
    """Return the names of all materials, for messages."""
    return ", ".join(m.name for m in (*MATERIALS, AIR, FOIL))
