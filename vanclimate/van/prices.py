"""What a builder pays for materials, in his own words and money; none are shipped.

What does not belong here: what a stack costs (answers/stacks/).
"""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from pydantic import model_validator

from vanclimate.errors import UnitError
from vanclimate.units import FT, IN, KINDS, System, parse, show
from vanclimate.van.fields import Part, custom, refused, section, words_of
from vanclimate.van.layers import Layer
from vanclimate.van.materials import find_material, normal_name

BOARD_FOOT = FT**2 * IN  # m3, exact by definition
MOST = 1e7
ALLOWED = (
    "a price and what it buys: 14 per m2, 30 per m2 of 50 mm, 2.10 per board foot, 1.40 per "
    "square foot, 600 per m3"
)
_AREAS = {"square foot": FT**2, "square feet": FT**2, "square metre": 1.0, "square meter": 1.0}
_VOLUMES = {
    "board foot": BOARD_FOOT, "board feet": BOARD_FOOT, "board ft": BOARD_FOOT,
    "bd ft": BOARD_FOOT, "cubic foot": FT**3, "cubic feet": FT**3, "cubic metre": 1.0,
    "cubic meter": 1.0,
}  # fmt: skip
_PRICE = re.compile(
    r"([^\d\s+\-−.,/]{1,12})?\s*(\d[\d,]*(?:\.\d+)?|\.\d+)\s*([^\d\s+\-−.,/]{1,12}?)?\s*"
    r"(?:/|\bper\b|\ban?\b)\s*(.+?)(?:\s+(?:of|at)\s+(\d.*))?"
)


class Cost(NamedTuple):
    """A price of a material: of an area as it comes, or of a volume.

    ``amount`` is what ``per`` buys, 'm2' or 'm3'; ``currency`` is only a word.
    """

    amount: float
    per: str
    currency: str = ""

    def of(self, thickness: float) -> float:
        """Return what a square metre of so thick a layer [m] costs."""
        return self.amount * (thickness if self.per == "m3" else 1.0)


def read_cost(text: str) -> Cost:
    """Read a price with what it buys; of an area as thick as said, it is one of a volume.

    >>> read_cost("EUR 30 per m2 of 50 mm")
    Cost(amount=600.0, per='m3', currency='EUR')
    """
    match = _PRICE.fullmatch(" ".join(text.replace("²", "2").replace("³", "3").split()))
    if match is None:
        why = "" if re.search(r"/|\bper\b|\ban?\b", text) else "what it buys is missing"
        raise UnitError(text, ALLOWED, why)
    amount, unit = float(match[2].replace(",", "")), match[4].strip()
    if amount > MOST:
        raise UnitError(text, f"a price up to {MOST:.0f}")
    currency = (match[1] or match[3] or "").strip()
    area, volume = _size(unit, "area", _AREAS), _size(unit, "volume", _VOLUMES)
    if volume is not None and match[5] is None:
        return Cost(amount / volume, "m3", currency)
    if area is None:
        raise UnitError(text, ALLOWED)
    if match[5] is None:
        return Cost(amount / area, "m2", currency)
    thickness = parse(match[5], "length")
    if not 1e-5 <= thickness <= 0.5:
        raise UnitError(text, "a thickness of 0.01 mm to 500 mm (20 in)")
    return Cost(amount / area / thickness, "m3", currency)


def _size(unit: str, kind: str, more: dict[str, float]) -> float | None:
    """Return the size of a unit of area or volume in SI, None where it is none of them."""
    known = more.get(unit.casefold())
    return known if known is not None else KINDS[kind].unit(unit)


def write_cost(cost: Cost, system: System) -> str:
    """Write a price as it is read."""
    unit, size = cost.per, 1.0
    if system == "us":
        unit, size = ("ft2", FT**2) if cost.per == "m2" else ("board foot", BOARD_FOOT)
    return f"{show(cost.amount * size, 'none')} {cost.currency} per {unit}".replace("  ", " ")


class Price(Part):
    """The price of one material."""

    name: str = words_of(longest=60)
    price: Cost = custom(read_cost, write_cost)


class Prices(Part):
    """All prices of a sheet, by material as its keys."""

    rows: tuple[Price, ...] = section((), what="materials with their prices")

    @property
    def currency(self) -> str:
        """The word for the money, '' where none is said."""
        return next((row.price.currency for row in self.rows if row.price.currency), "")

    def of(self, layer: Layer) -> float | None:
        """Return what a square metre of a layer costs; None without a price for its material."""
        for row in self.rows:
            if normal_name(row.name) == normal_name(layer.material):
                return row.price.of(layer.thickness)
        return None

    @model_validator(mode="before")
    @classmethod
    def _by_material(cls, data: Any) -> Any:
        """Turn keys that are materials into rows; the line of a bad one is named."""
        if not isinstance(data, dict) or "rows" in data:
            return data
        rows, said = [], ""
        for key, text in data.items():
            try:
                if not isinstance(text, str):
                    raise UnitError("a list" if isinstance(text, list) else "a section", ALLOWED)
                cost = read_cost(text)
            except UnitError as error:
                raise refused(error.text, error.allowed, error.hint, key=key) from None
            known = find_material(key)
            if known is not None and known.membrane and cost.per == "m3":
                raise refused(text, f"a price of {known.name} by its area", key=key)
            if said and cost.currency and cost.currency != said:
                raise refused(text, f"one currency, {said} as before", key=key)
            said = said or cost.currency
            name = known.name if known is not None else key.replace("_", " ")
            rows.append({"name": name, "price": cost})
        return {"rows": rows}


def prices_section() -> Any:
    """Declare the sheet's key for prices; one that is left out is not echoed."""
    return section(
        None, none=None, what="materials with their prices",
        applies=lambda sheet: "prices" in sheet.model_fields_set,
    )  # fmt: skip
