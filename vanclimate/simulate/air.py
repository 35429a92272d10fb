"""From the sheet's fans, windows, vents and doors to what moves air in each segment.

What does not belong here: the formulae (``physics.opening_flow``, ``equipment.fans``).
"""

from __future__ import annotations

from vanclimate.equipment.fans import FanCurve, Moved, operating_point, straight
from vanclimate.physics.opening_flow import DISCHARGE
from vanclimate.van.air import SCREEN
from vanclimate.van.sheet import Sheet


def curve_of(sheet: Sheet) -> FanCurve | None:
    """Return the curve of the sheet's fans; None where they move nothing."""
    fans = sheet.fans
    if fans.count == 0 or fans.flow == 0.0:
        return None
    if fans.curve is None:
        return straight(fans.flow, fans.shut_off_pressure)
    return FanCurve(*zip(*fans.curve, strict=True))


def fan_air(sheet: Sheet, windows: float) -> Moved:
    """Return what the roof fans move while windows of some free area [m2] are open.

    Leaks and fixed vents let air past as well. Where the sheet says which share of the free flow is
    left as installed, that decides, and the windows do not.
    """
    fans, curve = sheet.fans, curve_of(sheet)
    if curve is None:
        return Moved(0.0, 0.0, 0.0)
    inward = fans.inward
    if fans.installed is not None:
        taken, brought = (n * fans.flow * fans.installed for n in (fans.count - inward, inward))
        return Moved(brought, taken - brought, 0.0)
    screen = SCREEN if fans.screens else 1.0
    free = windows + sheet.vents.high + sheet.vents.low
    area = DISCHARGE * screen * free + sheet.body.leakage
    return operating_point(curve, inward, fans.count - inward, area)
