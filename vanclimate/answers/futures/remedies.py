"""Remedies: what a builder would change, done to a sheet.

What does not belong here: their names and steps (``van.remedies``), and which of them is the
smallest that makes a stay last (``change``).
"""

from __future__ import annotations

from collections.abc import Callable
from math import floor, inf

from vanclimate.answers.futures.search import halved
from vanclimate.errors import VanclimateError
from vanclimate.van.driving import Driving
from vanclimate.van.fields import DAY
from vanclimate.van.parts import SHADES
from vanclimate.van.remedies import Remedy
from vanclimate.van.sheet import Sheet

PANEL_DENSITY = 200.0  # W/m2 of a rigid module's nameplate; common practice, no source
ROOF_USED = 0.7  # of the roof's area that panels may cover, fans and walkway aside; assumed
SHADE_STEPS = ("light tree", "heavy tree", "canopy")


def _more(path: str) -> Callable[[Sheet, float], Sheet]:
    return lambda sheet, size: sheet.with_value(path, sheet.value_of(path) + size)


def _less(path: str) -> Callable[[Sheet, float], Sheet]:
    return lambda sheet, size: sheet.with_value(path, sheet.value_of(path) - size)


def roof_holds(sheet: Sheet) -> float:
    """Return the watts of panels that the roof has room for in all."""
    return ROOF_USED * sheet.body.length * sheet.body.width * PANEL_DENSITY


def _roof_room(sheet: Sheet) -> float:
    """Return the watts of panels that the roof has room for beside those that are there."""
    return max(0.0, roof_holds(sheet) - sheet.roof_panels.power)


def _driving_room(sheet: Sheet) -> float:
    """Return how much longer [s] a day the van could drive to charge; 0 where nothing charges."""
    charges = sheet.dc_charger is not None and sheet.alternator is not None
    if not charges and sheet.second_alternator is None:
        return 0.0
    hours = () if sheet.driving is None else sheet.driving.hours
    between = (hours[0][0] - hours[-1][1]) % DAY if hours else DAY
    return min(4 * 3600.0, 60.0 * between)


def drive_more(sheet: Sheet, seconds: float) -> Sheet:
    """Return a sheet whose van drives so much longer each day, from nine in the morning on."""
    start, length = 9 * 60, seconds / 60.0
    extra = (start, round(start + length))
    if sheet.driving is None:
        return sheet.with_value("driving", Driving(hours=(extra,)))
    before = sheet.driving.hours
    first, last = before[-1]
    grown = (*before[:-1], (first, round(last + length) % DAY))
    return sheet.with_value("driving.hours", grown)


def insulating(sheet: Sheet) -> list[tuple[str, int]]:
    """Return side and position of each stack's main insulation, those of roof and walls."""
    found = []
    for side in ("roof", "walls", "front", "rear", "left", "right"):
        stack = getattr(sheet.stacks, side)
        layers = [(layer.thickness / layer.conductivity, i)
                  for i, layer in enumerate(stack or ()) if layer.insulation]  # fmt: skip
        if layers:
            found.append((side, max(layers)[1]))
    return found


def thicken(sheet: Sheet, size: float) -> Sheet:
    """Return a sheet with thicker main insulation in roof and walls."""
    for side, i in insulating(sheet):
        path = f"stacks.{side}.{i}.thickness"
        sheet = sheet.with_value(path, sheet.value_of(path) + size)
    return sheet


def _shade_room(sheet: Sheet) -> float:
    left = [word for word in SHADE_STEPS if SHADES[word][0] < sheet.shade.beam_transmission]
    return float(len(left)) if sheet.roof_panels.power or sheet.air_conditioner else 0.0


def shade_more(sheet: Sheet, steps: float) -> Sheet:
    """Return a sheet parked some steps deeper in the shade."""
    left = [word for word in SHADE_STEPS if SHADES[word][0] < sheet.shade.beam_transmission]
    beam, diffuse = SHADES[left[round(steps) - 1]]
    sheet = sheet.with_value("shade.beam_transmission", beam)
    return sheet.with_value("shade.diffuse_transmission", diffuse)


def _uncovered(sheet: Sheet) -> list[int]:
    return [i for i, window in enumerate(sheet.windows) if window.cover in ("none", "curtain")]


def cover_all(sheet: Sheet, steps: float) -> Sheet:
    """Return a sheet whose bare and curtained glass has insulated covers, always closed."""
    for i in _uncovered(sheet):
        sheet = sheet.with_value(f"windows.{i}.cover", "insulated")
        sheet = sheet.with_value(f"windows.{i}.covered", "always")
    return sheet


def grow_cooling(sheet: Sheet, size: float) -> Sheet:
    """Return a sheet with a larger air conditioner of the same kind: watts and air grow with it."""
    unit = sheet.air_conditioner
    assert unit is not None, "a change of what is there"
    share = 1.0 + size / unit.capacity
    for key in ("capacity", "power", "airflow", "blower_power"):
        sheet = sheet.with_value(f"air_conditioner.{key}", getattr(unit, key) * share)
    return sheet


def _cools(sheet: Sheet) -> bool:
    return sheet.air_conditioner is not None


def _burns(sheet: Sheet) -> bool:
    return sheet.heater is not None


def _colder(sheet: Sheet) -> float:
    """Return how much lower [K] the heater may be set: not below what it holds at other times."""
    heater = sheet.heater
    if heater is None:
        return 0.0
    held = -inf if heater.otherwise is None else heater.otherwise
    return min(3.0, heater.setpoint - held)


def _slower(sheet: Sheet) -> float:
    """Return by how much less the unit may run at night: not below the least it runs at."""
    unit = sheet.air_conditioner
    if unit is None or unit.speed != "variable":
        return 0.0
    return min(0.5, unit.night_limit - unit.floor)


def _rated(sheet: Sheet) -> bool:
    unit = sheet.air_conditioner
    return unit is not None and not unit.table


def _always(most: float) -> Callable[[Sheet], float]:
    return lambda sheet: most


def _where(there: Callable[[Sheet], object], most: float) -> Callable[[Sheet], float]:
    return lambda sheet: most if there(sheet) else 0.0


WORK: dict[str, tuple[Callable[[Sheet], float], Callable[[Sheet, float], Sheet]]] = {
    "roof panels": (_roof_room, _more("roof_panels.power")),
    "battery": (_always(1000.0), _more("battery.capacity")),
    "driving": (_driving_room, drive_more),
    "insulation": (_where(insulating, 0.0508), thicken),
    "AC setpoint": (_where(_cools, 3.0), _more("air_conditioner.setpoint")),
    "heater setpoint": (_colder, _less("heater.setpoint")),
    "shade": (_shade_room, shade_more),
    "window covers": (_where(_uncovered, 1.0), cover_all),
    "night limit": (_slower, _less("air_conditioner.night_limit")),
    "fuel": (_where(_burns, 0.05), _more("heater.tank")),
    "air conditioner": (_where(_rated, 2930.7), grow_cooling),
    "heater": (_where(_burns, 3000.0), _more("heater.output")),
}
"""By the names of `van.remedies.KINDS`: the most of it in a van, 0 where it is none there, and a
sheet changed by a size."""

HARD = ("driving", "heater setpoint", "night limit")
"""Those of which a van has no more than that, whatever a sheet lists as the most."""


def sizes_of(sheet: Sheet, remedy: Remedy) -> list[float]:
    """Return the sizes of a remedy that may be tried in a van, smallest first; SI.

    A list's most may lie beyond what a sheet may say; it is tried as far as that goes.
    """
    kind, most = remedy.kind, WORK[remedy.what][0](sheet)
    if most > 0.0 and remedy.most is not None:
        most = min(most, remedy.most) if remedy.what in HARD else remedy.most
    step = remedy.step or kind.step
    sizes = [step * (i + 1) for i in range(floor(most / step + 1e-9))]
    return sizes[: halved(-1, len(sizes), lambda i: not _can_be(sheet, remedy, sizes[i]))]


def _can_be(sheet: Sheet, remedy: Remedy, size: float) -> bool:
    """Return whether a sheet may have so much of a remedy."""
    try:
        remedied(sheet, remedy, size)
    except VanclimateError:
        return False
    return True


def remedied(sheet: Sheet, remedy: Remedy, size: float) -> Sheet:
    """Return a sheet changed by so much of a remedy."""
    return WORK[remedy.what][1](sheet, size)
