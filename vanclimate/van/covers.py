"""The library of covers on windows, and of curtains between zones, with source and range.

What does not belong here: the air that leaks round a cover (physics/covers.py), its nodes
(network/glazing.py).
"""

from __future__ import annotations

from dataclasses import dataclass

FITS = {"sealed": 0.0, "tight": 0.001, "ordinary": 0.003, "loose": 0.010, "hanging": 0.020}
"""Gap along a cover's edges [m], by how it is fitted; assumed. Tight: magnets all round or a
cassette's own rails. Ordinary: suction cups or a mat cut to the frame. Loose: studs at the corners.
Hanging: a curtain on a rail."""


@dataclass(frozen=True)
class Cover:
    """A class of cover.

    Parameters
    ----------
    name : as it is written in a sheet
    resistance : of the mat or cloth itself [m2·K/W]
    reflectance, transmittance : of the sun, of the side that faces it [0..1]
    emissivity : longwave, of the side that faces the pane [0..1]
    gap : to the pane [m]
    edge : slit along its edges [m], see `FITS`
    mass : [kg/m2]
    source : where the figures come from, or why they were assumed; a sheet takes half to
        1.6 times the resistance and 0.4 to 3 times the slit as their range
    outside : whether it lies outside the pane
    also : other names
    """

    name: str
    resistance: float
    reflectance: float
    transmittance: float
    emissivity: float
    gap: float
    edge: float
    mass: float
    source: str
    outside: bool = False
    also: tuple[str, ...] = ()


_CLOTH = "assumed: cloth of 0.06 W/m·K with its own air"
_QUILT = "assumed: polyester wadding, 0.040 W/m·K, between two cloths"

COVERS: dict[str, Cover] = {
    cover.name: cover
    for cover in (
        Cover(
            "curtain", 0.015, 0.40, 0.15, 0.90, 0.05, FITS["hanging"], 0.25,
            f"{_CLOTH}, 1 mm thick, light in colour",
            also=("thin curtain",),
        ),
        Cover(
            "thick curtain", 0.08, 0.40, 0.0, 0.90, 0.05, FITS["loose"], 0.8,
            f"{_CLOTH}, lined and folded, 5 mm thick",
            also=("lined curtain", "quilted curtain"),
        ),
        Cover(
            "blind", 0.05, 0.60, 0.02, 0.60, 0.03, FITS["ordinary"], 0.3,
            "assumed: a pleated blind in a cassette, thinly aluminised towards the pane",
            also=("pleated blind", "cassette blind"),
        ),
        Cover(
            "insulated", 0.38, 0.50, 0.0, 0.90, 0.02, FITS["tight"], 1.0,
            f"{_QUILT}, 15 mm thick, silver-grey towards the pane, held by magnets",
            also=("insulated mat", "quilted mat"),
        ),
        Cover(
            "reflective", 0.15, 0.75, 0.0, 0.30, 0.015, FITS["ordinary"], 0.4,
            "assumed: 6 mm of bubble or foam at 0.040 W/m·K under a film over aluminium (longwave "
            "emissivity 0.1 to 0.6), held by suction cups",
            also=("reflective mat", "bubble foil"),
        ),
        Cover(
            "foam board", 0.75, 0.50, 0.0, 0.90, 0.01, FITS["ordinary"], 0.9,
            "assumed: 25 mm of foam board at 0.033 W/m·K, cut to the opening",
        ),
        Cover(
            "outside mat", 0.20, 0.55, 0.0, 0.90, 0.01, 0.005, 1.0,
            f"{_QUILT}, 8 mm thick under a silver-grey sheet, strapped over the windscreen",
            outside=True,
            also=("windscreen cap", "outside insulated", "thermal cap"),
        ),
        Cover(
            "outside reflective", 0.10, 0.75, 0.0, 0.90, 0.01, 0.005, 0.5,
            "assumed: 4 mm of foam at 0.040 W/m·K under a bright metallic film", outside=True,
        ),
        Cover(
            "outside mesh", 0.003, 0.15, 0.20, 0.90, 0.01, FITS["hanging"], 0.4,
            "assumed: dark woven mesh that passes a fifth of the light",
            outside=True,
            also=("sun mesh",),
        ),
    )
}  # fmt: skip
COVER_SPECIFIC_HEAT = 1500.0  # J/kgK, textiles and plastics; handbook middle, from memory

_BY_NAME = {name: c for c in COVERS.values() for name in (c.name, *c.also)}


def find_cover(name: str) -> Cover | None:
    """Return the cover of that name, None for 'none'.

    >>> find_cover("thin curtain").name
    'curtain'
    """
    return None if name == "none" else _BY_NAME[name]


def cover_words() -> dict[str, str]:
    """Return every name of a cover with the name that it is kept under."""
    return {"none": "none"} | {name: cover.name for name, cover in _BY_NAME.items()}
