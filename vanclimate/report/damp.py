"""Where water condenses inside the stacks, as `check` tells it.

What does not belong here: the finding itself (answers/damp, network/damp).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.report.layout import heading, put, say
from vanclimate.report.numbers import both, fixed
from vanclimate.report.tables import plain_table
from vanclimate.site.years import MONTHS
from vanclimate.units import show

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from vanclimate.answers.damp import Dampness
    from vanclimate.network.damp import Damp
    from vanclimate.units import System


def print_damp(found: Dampness, console: Console, system: System) -> None:
    """Print where water condenses in a year, and what would stop it."""
    heading(console, "water inside the stacks")
    if found.missing:
        say(console, found.missing)
        return
    put(console, _table(found, system))
    for name, damp in found.sides:
        for text in sentences(name, damp, system):
            say(console, text)
    say(
        console,
        f"By ISO 13788: months of a mean year, {both(20.0, 'temperature', system)} inside all "
        f"year, air as damp as in "
        f"its humidity class {found.humidity_class}, vapour through the layers alone. Air that "
        "leaks behind a lining carries more: a vapour layer works where it is airtight.",
    )


def _table(found: Dampness, system: System) -> Table:
    units = "oz/ft2 (g/m2)" if system == "us" else "g/m2 (oz/ft2)"
    table = plain_table(
        "side", "water settles", "worst month", f"most, {units}", "dry again", "inside face"
    )
    table.columns[1].justify = "left"
    table.columns[0].no_wrap = False  # long names give way, not the figures
    for name, damp in found.sides:
        face = f"{damp.face_humidity:.0%}"
        if damp.worst_month is None:
            table.add_row(name, "nowhere inside", "-", "-", "-", face)
            continue
        worst = f"{MONTHS[damp.worst_month][:3]}, {_water(damp.settles, system)}"
        again = "never" if damp.dry_month is None else f"in {MONTHS[damp.dry_month]}"
        table.add_row(name, damp.where, worst, _water(damp.peak, system), again, face)
    return table


def sentences(name: str, damp: Damp, system: System) -> list[str]:
    """Return what is said of a side beside its row.

    Parameters
    ----------
    name : the side, in words
    damp : its finding
    system : of the units that come first

    Returns
    -------
    list of str
    """
    from vanclimate.network.damp import MOULD  # the numeric libraries come with it

    said = []
    if damp.trouble:
        said.append(_trouble(name, damp, system))
    if damp.face_humidity >= 1.0:
        said.append(f"{name}: water runs down the inside face in the coldest month.")
    elif damp.face_humidity > MOULD:
        said.append(
            f"{name}: the inside face stands at {damp.face_humidity:.0%} of humidity in the worst "
            "month; mould grows above 80 %."
        )
    return said


def _trouble(name: str, damp: Damp, system: System) -> str:
    from vanclimate.network.damp import RUN_OFF

    why = ""
    if damp.tight_skin and damp.where.startswith("between the skin"):
        why = ", for a skin of metal lets no vapour out"
    dries = ""
    if damp.left > 0.001:
        dries = f" {_both(damp.left, system)} of it is still there a year later."
    soaked = ""
    if damp.soaked > 1.02:
        soaked = f" Wool that soaks it up insulates {1 - 1 / damp.soaked:.0%} less."
    if damp.film is not None:
        stop = (
            f" A vapour layer of sd {show(damp.film, 'vapour_resistance')} or more "
            f"{damp.film_where} holds it under {_both(RUN_OFF, system)}, which stays in place and "
            "dries."
        )
    elif damp.film_where:
        stop = " In this climate no vapour layer stops it: only drier air inside does."
    else:
        stop = " Insulation on the skin, tight to vapour, stops it."
    most = _both(damp.peak, system)
    return f"{name}: up to {most} condense {damp.where}{why}.{dries}{soaked}{stop}"


def _both(value: float, system: System) -> str:
    """Write water by area in a sentence."""
    return both(value, "area_mass", system, 2)


def _water(value: float, system: System) -> str:
    """Write water by area for readers of either system, under a heading with the units."""
    ounces = float(show(value, "area_mass", "us", 6).split()[0])
    metric, us = fixed(1000 * value), fixed(ounces, 1)
    return f"{us} ({metric})" if system == "us" else f"{metric} ({us})"
