"""The ribs of a body in a builder's words: shape, size, steel, spacing, and what lies over them.

What does not belong here: the section solved from it (network/section.py).
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import model_validator

from vanclimate.units import show
from vanclimate.van.fields import Part, choice, quantity, refused, section, switch
from vanclimate.van.layer_text import read_layer
from vanclimate.van.layers import Layer
from vanclimate.van.materials import MATERIALS, Material

KINDS = {
    "hat": "hat", "top hat": "hat", "omega": "hat", "C": "C", "channel": "C", "U": "C",
    "Z": "Z", "box": "box", "tube": "box", "timber": "timber", "batten": "timber", "wood": "timber",
}  # fmt: skip
METALS = ("steel", "stainless steel", "aluminium")
RIB_KEYS = ("ribs", "roof_ribs", "floor_ribs")
MOST_STAND = 0.3  # m, beyond which the air behind a lining is a room (ISO 6946's layers end there)
OPEN_KINDS = ("C", "Z")  # whose inside lies open to the wall beside it


def no_ribs_given(body: Any) -> bool:
    """Say whether a body's rib share and rib bridging stand in for ribs that are not described."""
    return all(getattr(body, key) is None for key in RIB_KEYS)


def rib_section(key: str) -> Any:
    """Declare one of the body's keys for ribs; one that the sheet leaves out is not echoed."""
    return section(
        None, none=None, what="a section", applies=lambda body: key in body.model_fields_set,
        why="assumed: not known, so a rib share and a bridging factor stand in",
    )  # fmt: skip


def check_ribs(body: Any) -> None:
    """Refuse ribs beside a rib share, and ribs that the body has no room for."""
    for key in RIB_KEYS:
        ribs: Ribs | None = getattr(body, key)
        if ribs is None:
            continue
        for guess in ("rib_share", "rib_bridging"):
            if guess in body.model_fields_set:
                spelt = guess.replace("_", " ")
                raise refused(
                    f"{spelt} beside {key.replace('_', ' ')}",
                    f"one of the two: {spelt} is for a body whose ribs are not known", key=guess,
                )  # fmt: skip
        across = body.width if key == "ribs" else body.height
        if 4 * ribs.stand > across:
            found = f"ribs that reach {show(ribs.stand, 'length')} into the body"
            raise refused(found, f"a quarter of {show(across, 'length')} at most", key=key)


class Screws(Part):
    """Steel screws through the lining into the ribs."""

    spacing: float = quantity("length", 0.02, 2.0)
    diameter: float = quantity("length", 0.002, 0.012)


def _of_metal(ribs: Any) -> bool:
    return bool(ribs.kind != "timber")


class Ribs(Part):
    """One kind of rib, all along a side.

    Parameters
    ----------
    kind : hat (feet on the skin, crown towards the room), C, Z, box or timber
    depth : from the skin, or the mastic on it, to the rib's face towards the room [m]
    width : of that face [m]
    spacing : from centre to centre [m]
    sheet : thickness of its metal [m]; no matter for timber
    metal : what it is made of
    foot : width of each foot of a hat on the skin [m]
    mastic : between the skin and the rib [m]; 0 is welded
    filled : insulation inside it, or between the flanges of a C or a Z; otherwise air
    cover : insulation over its face, under the lining [m]; None: what insulation is thicker than
        the rib is deep runs on over it
    strip : a layer as wide as its face, between it and the lining
    lined : the lining runs over it; otherwise its face shows in the room
    screws : through the lining into it
    """

    kind: Literal["hat", "C", "Z", "box", "timber"] = choice(KINDS)
    depth: float = quantity("length", 0.005, 0.20)
    width: float = quantity("length", 0.005, 0.25)
    spacing: float = quantity("length", 0.05, 3.0)
    sheet: float = quantity(
        "length", 0.0003, 0.006, 0.0009, applies=_of_metal,
        why="assumed: ribs of the skin's own gauge", at_least=0.0007, at_most=0.0015,
        settle="a calliper on the edge of a hole in a rib",
    )  # fmt: skip
    metal: Literal["steel", "stainless steel", "aluminium"] = choice(
        METALS, "steel", applies=_of_metal, why="assumed: a steel van",
        settle="a magnet on a rib",
    )  # fmt: skip
    foot: float = quantity(
        "length", 0.003, 0.10, 0.015, applies=lambda ribs: ribs.kind == "hat",
        why="assumed: feet just wide enough for a spot weld", at_least=0.010, at_most=0.025,
        settle="measure a rib's foot on the skin",
    )  # fmt: skip
    mastic: float = quantity(
        "length", 0.0, 0.01, 0.0, words={"welded": 0.0},
        why="assumed: in touch with the skin, which loses most", at_least=0.0, at_most=0.004,
        settle="look at the joint of rib and skin",
    )  # fmt: skip
    filled: bool = switch(
        applies=_of_metal, default_of=lambda ribs: ribs.kind in OPEN_KINDS,
        why="assumed: insulation reaches into a C or a Z, not into a hat or a box",
        settle="look through a hole in a rib",
    )  # fmt: skip
    cover: float | None = quantity(
        "length", 0.0, 0.15, None, words={"as beside": None, "none": 0.0},
        why="assumed: insulation thicker than the ribs are deep runs on over them",
        settle="measure what lies between a rib and the lining",
    )  # fmt: skip
    strip: Layer | None = section(
        None, none=None, reads=lambda text: None if text.strip() == "none" else read_layer(text),
        what="a layer such as 'rubber 3 mm'",
    )  # fmt: skip
    lined: bool = switch(True)
    screws: Screws | None = section(None, none=None, what="a section")

    @property
    def material(self) -> Material:
        """The library's row of what the rib is made of."""
        name = "softwood" if self.kind == "timber" else self.metal
        return next(m for m in MATERIALS if m.name == name)

    @property
    def footprint(self) -> float:
        """Width of skin that the rib takes, feet included [m]."""
        if self.kind == "hat":
            return self.width + 2 * self.foot
        return 2 * self.width - self.sheet if self.kind == "Z" else self.width

    @property
    def mass(self) -> float:
        """Mass of a metre of rib [kg/m]."""
        w, d, t = self.width, self.depth, self.sheet
        around = {
            "hat": t * (w + 2 * (d - t) + 2 * self.foot),
            "box": 2 * t * (w + d - 2 * t),
            "C": t * (2 * w + d - 2 * t),
            "Z": t * (2 * w + d - 2 * t),
            "timber": w * d,
        }
        return around[self.kind] * self.material.density

    @property
    def over(self) -> float:
        """What is fixed on its face, strip and cover [m]."""
        return (self.strip.thickness if self.strip else 0.0) + (self.cover or 0.0)

    @property
    def stand(self) -> float:
        """From the skin to the lining on it, or to its bare face [m]."""
        return self.mastic + self.depth + self.over

    @property
    def label(self) -> str:
        """Its kind and size in words."""
        size = f"{self.width * 1e3:.3g} x {self.depth * 1e3:.3g} mm"
        return f"{self.kind} {size} at {self.spacing * 1e3:.3g} mm"

    @model_validator(mode="after")
    def _possible(self) -> Ribs:
        if self.footprint >= self.spacing:
            found = f"{show(self.spacing, 'length')} between ribs that take "
            raise refused(
                found + show(self.footprint, "length"),
                "a spacing, centre to centre, of more than a rib's whole width", key="spacing",
            )  # fmt: skip
        thinnest = min(self.depth, self.width)
        if self.kind != "timber" and 2 * self.sheet >= thinnest:
            found = f"metal {show(self.sheet, 'length')} thick"
            raise refused(found, f"less than half of {show(thinnest, 'length')}", key="sheet")
        if self.kind == "timber" and self.model_fields_set & {"sheet", "metal", "filled"}:
            key = next(k for k in ("sheet", "metal", "filled") if k in self.model_fields_set)
            raise refused(f"{key} of a timber rib", "kind, depth, width and spacing", key=key)
        if self.kind != "hat" and "foot" in self.model_fields_set:
            raise refused(f"the foot of a {self.kind} rib", "feet of a hat only", key="foot")
        if self.strip is not None and (self.strip.air_gap or not 0 < self.strip.thickness <= 0.05):
            raise refused(self.strip.label, "a solid strip of 50 mm at most", key="strip")
        if self.screws is not None and 2 * self.screws.diameter > self.width:
            found = f"screws of {show(self.screws.diameter, 'length')}"
            allowed = f"at most half of the face's {show(self.width, 'length')}"
            raise refused(found, allowed, key="screws.diameter")
        if self.stand > MOST_STAND:
            found = f"a rib that stands {show(self.stand, 'length')} into the body"
            raise refused(found, f"{show(MOST_STAND, 'length')} at most", key="depth")
        return self

    @model_validator(mode="after")
    def _shown(self) -> Ribs:
        if self.lined:
            return self
        for key in ("cover", "strip", "screws"):
            if getattr(self, key):
                raise refused(f"{key} on a rib whose face shows", "'lined: yes', or none", key=key)
        return self
