"""The library of materials that stacks are made of, one row each, with its source.

What does not belong here: stacks and layers (layers.py), glass and covers (openings.py).
"""

from __future__ import annotations

from dataclasses import dataclass

from vanclimate.errors import near

HANDBOOK = "handbook tables as printed by a general reference library"
MEMORY = "from memory of handbook tables"


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
    insulation : its conductivity suffers from how it is fitted
    also : other names
    """

    name: str
    conductivity: float
    density: float
    specific_heat: float
    emissivity: float
    low: float
    high: float
    source: str
    insulation: bool = False
    also: tuple[str, ...] = ()


# Emissivities: ordinary building surfaces 0.90; bright aluminium foil 0.05 (ISO 6946 air-layer
# practice, partly from memory); painted metal counts as painted.
# fmt: off
MATERIALS: tuple[Material, ...] = (
    Material("steel", 50.0, 7800, 450, 0.90, 15, 65, HANDBOOK,
             also=("sheet steel", "painted steel", "steel skin")),
    Material("stainless steel", 15.0, 7900, 460, 0.30, 13, 20, MEMORY),
    Material("aluminium", 160.0, 2700, 900, 0.20, 100, 240, MEMORY,
             also=("aluminum", "aluminium sheet", "aluminum sheet")),
    Material("glass fibre plastic", 0.40, 1900, 1000, 0.90, 0.15, 0.60,
             f"{HANDBOOK}; specific heat {MEMORY}",
             also=("grp", "fiberglass", "fibreglass", "gelcoat", "glass fiber plastic")),
    Material("XPS", 0.030, 32, 1470, 0.90, 0.025, 0.036, f"{HANDBOOK} (0.026-0.034)", True,
             also=("xps foam", "extruded polystyrene", "foam board")),
    Material("EPS", 0.036, 20, 1470, 0.90, 0.029, 0.042, HANDBOOK, True,
             also=("eps foam", "expanded polystyrene", "bead board")),
    Material("polyiso", 0.025, 32, 1470, 0.90, 0.021, 0.034,
             f"{MEMORY}, aged at 24 °C (0.022-0.027)", True,
             also=("polyisocyanurate", "pir", "pir board")),
    Material("foil-faced polyiso", 0.025, 32, 1470, 0.05, 0.021, 0.034,
             f"{MEMORY}, aged at 24 °C (0.022-0.027); shiny facing", True,
             also=("foil faced pir",)),
    Material("sprayed foam", 0.026, 40, 1470, 0.90, 0.020, 0.040, HANDBOOK, True,
             also=("spray foam", "sprayed pu", "sprayed urethane", "closed-cell foam",
                   "sprayed polyurethane", "pu foam", "polyurethane foam")),
    Material("mineral wool", 0.040, 32, 840, 0.90, 0.030, 0.048, HANDBOOK, True,
             also=("rock wool", "stone wool", "rockwool")),
    Material("glass wool", 0.045, 11, 840, 0.90, 0.030, 0.050, f"{HANDBOOK} (0.043-0.047)", True,
             also=("glass batt", "fiberglass batt", "fibreglass batt", "fiberglass wool")),
    Material("sheep wool", 0.040, 20, 1700, 0.90, 0.033, 0.047, MEMORY, True,
             also=("wool", "sheeps wool", "sheep's wool")),
    Material("polyester batt", 0.040, 18, 1200, 0.90, 0.033, 0.050,
             f"{MEMORY} (0.036-0.045)", True, also=("polyester wool", "polyester fibre batt")),
    Material("recycled cotton batt", 0.040, 30, 1300, 0.90, 0.035, 0.048, MEMORY, True,
             also=("cotton batt", "denim batt", "recycled denim")),
    Material("wood fibre", 0.040, 50, 2100, 0.90, 0.036, 0.055, MEMORY, True,
             also=("wood fiber", "wood fibre batt")),
    Material("cork", 0.050, 200, 1500, 0.90, 0.036, 0.065, HANDBOOK, True,
             also=("cork board", "expanded cork")),
    Material("elastomeric foam", 0.040, 70, 1350, 0.90, 0.033, 0.050,
             f"{HANDBOOK} (0.035-0.05); specific heat {MEMORY}", True,
             also=("closed cell rubber", "rubber foam", "closed cell rubber foam")),
    Material("polyethylene foam", 0.040, 30, 2000, 0.90, 0.033, 0.055, MEMORY, True,
             also=("pe foam", "closed cell polyethylene")),
    Material("plywood", 0.13, 500, 1600, 0.90, 0.09, 0.20, HANDBOOK,
             also=("ply", "birch plywood", "plywood lining")),
    Material("softwood", 0.12, 500, 1600, 0.90, 0.09, 0.17, MEMORY,
             also=("pine", "cedar", "wood", "tongue and groove", "timber", "wood cladding")),
    Material("hardwood", 0.17, 700, 1600, 0.90, 0.13, 0.24, MEMORY, also=("oak", "bamboo")),
    Material("MDF", 0.12, 700, 1700, 0.90, 0.08, 0.18, MEMORY, also=("hardboard", "fibreboard")),
    Material("acrylic", 0.20, 1050, 1500, 0.90, 0.16, 0.25, HANDBOOK, also=("pmma",)),
    Material("PVC", 0.17, 1390, 900, 0.90, 0.12, 0.25, HANDBOOK, also=("vinyl", "vinyl floor")),
    Material("ABS", 0.19, 1050, 1400, 0.90, 0.14, 0.25, MEMORY),
    Material("carpet", 0.060, 200, 1300, 0.90, 0.04, 0.10, MEMORY,
             also=("carpet lining", "felt", "fabric", "headliner", "fabric lining")),
    Material("curtain fabric", 0.060, 300, 1300, 0.90, 0.04, 0.10, MEMORY, also=("curtain",)),
    Material("canvas", 0.15, 700, 1400, 0.90, 0.06, 0.25, f"{MEMORY}; coated cotton or polyester",
             also=("tent fabric", "coated fabric")),
    Material("rubber", 0.17, 1200, 1400, 0.90, 0.12, 0.30, MEMORY, also=("rubber mat",)),
    Material("sound deadener", 0.20, 1500, 1000, 0.90, 0.15, 0.80, MEMORY,
             also=("butyl", "butyl mat", "sound mat")),
    Material("linoleum", 0.17, 1200, 1400, 0.90, 0.12, 0.25, MEMORY, also=("lino",)),
)
# fmt: on

# Still air, only as the weightless filling of a gap; the gap's resistance comes from its faces.
AIR = Material("air gap", 0.025, 1.2, 1006, 0.90, 0.02, 0.03, HANDBOOK, also=("air", "gap"))
FOIL = Material(
    "foil",
    160.0,
    2700,
    900,
    0.05,
    100,
    240,
    f"{MEMORY}; works only on an air gap",
    also=("aluminium foil", "aluminum foil", "reflective foil"),
)


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
