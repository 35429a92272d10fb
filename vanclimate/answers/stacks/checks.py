"""What a sheet's prices may not name.

What does not belong here: what is wrong with a price or a stack by itself (van/prices, van/tried).
"""

from __future__ import annotations

from itertools import chain

from vanclimate.van.materials import find_material, known_materials, near_material, normal_name
from vanclimate.van.sheet import Sheet
from vanclimate.van.tried import LISTS


def check_prices(sheet: Sheet) -> None:
    """Refuse a price for a material that is neither the library's nor one of the sheet's own.

    Raises
    ------
    SheetError
    """
    if sheet.prices is None:
        return
    lists = [stack for _, stack in sheet.stacks if stack]
    lists += [x for tried in sheet.stacks_to_try or () for k in LISTS if (x := getattr(tried, k))]
    own = {normal_name(layer.material) for layer in chain.from_iterable(lists)}
    own |= set(sheet.own.materials)
    films = {name for name, material in sheet.own.materials.items() if material.membrane}
    for row in sheet.prices.rows:
        if find_material(row.name) is None and normal_name(row.name) not in own:
            hint = near_material(row.name) or f"known: {known_materials()}"
            allowed = "a material of the library, or one of the sheet's own layers"
            sheet.refuse(f"prices.{row.name}", found=row.name, allowed=allowed, hint=hint)
        if row.price.per == "m3" and normal_name(row.name) in films:
            found, allowed = "a price by volume", f"a price of {row.name} by its area"
            sheet.refuse(f"prices.{row.name}", found=found, allowed=allowed)
