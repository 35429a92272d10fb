"""From the sheet's fans, windows, vents and doors to what moves air in each segment.

What does not belong here: the formulae (``physics.opening_flow``, ``equipment.fans``).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.equipment.fans import FanCurve, Moved, operating_point, straight
from vanclimate.network.compile import Array, Model
from vanclimate.physics.opening_flow import (
    DISCHARGE,
    Drive,
    Opening,
    door_drive,
    openings_drive,
)
from vanclimate.simulate.times import at_times, within
from vanclimate.simulate.ways import WAYS
from vanclimate.van.air import FAN_SWEEP, SCREEN
from vanclimate.van.sheet import Sheet
from vanclimate.van.windows import Window

WINDOW_LEVEL = 0.6
"""Level of the windows' middles, as a share of the height inside; assumed."""


class Moments(NamedTuple):
    """The segments of a plan: when each is, and what is asked for in it."""

    minute: Array  # of the day, of its middle
    night: NDArray[np.bool_]  # bedtime to waking
    home: NDArray[np.bool_]  # somebody is in
    cooled: NDArray[np.bool_]  # the air conditioner may run
    chilly: NDArray[np.bool_]  # outdoor air is colder than anybody wants it inside


def home_at(sheet: Sheet, minute: Array, night: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return (segments,) whether somebody is in: at the sheet's hours, and all night."""
    people = sheet.people
    return within(minute, people.home_from, people.home_until) | night


class MovedAir(NamedTuple):
    """What moves air in each segment, and the fans' watts; see ``inputs.Schedule``."""

    fan_flow: Array  # (segments, zones) m3/s
    fan_balanced: Array  # (segments, zones) m3/s
    by_stack: Array  # (segments, zones), a `Drive` of each
    by_wind: Array
    in_calm: Array
    door_rate: Array  # (segments,) 1/s
    roof_power: Array  # (segments,) W, of fans whose heat goes out
    inside_power: Array  # (segments,) W, of fans whose heat stays in


def moved_air(sheet: Sheet, model: Model, way: str, at: Moments) -> MovedAir:
    """Return what moves air in each segment of a plan.

    Parameters
    ----------
    sheet, model : the van
    way : a key of `ways.WAYS`
    at : the segments
    """
    n, zones = len(at.minute), len(model.zones)
    out = MovedAir(*(np.zeros((n, zones)) for _ in range(5)), *(np.zeros(n) for _ in range(3)))
    blowing = roof_fans_on(sheet, way, at)
    opened = windows_open(sheet, way, at)
    on = np.vstack([opened, blowing])
    code = (1 << np.arange(len(on))) @ on  # one number for each state of all together
    for here in (code == found for found in set(code.tolist())):
        state = on[:, here.argmax()]
        windows = [w for w, is_open in zip(sheet.windows, state, strict=False) if is_open]
        _set_state(out, here, sheet, model, windows, bool(state[-1]))
    out.roof_power[blowing] = sheet.fans.count * sheet.fans.power
    if WAYS[way].blows:
        out.inside_power[at.night] = sheet.fans.bed_fan_power
    _breathe(out, sheet, way, at)
    awake = at.home & ~at.night & (sheet.people.sleepers > 0)
    out.door_rate[awake] = sheet.doors.openings_per_hour / 3600.0
    return out


def roof_fans_on(sheet: Sheet, way: str, at: Moments) -> NDArray[np.bool_]:
    """Return whether the roof fans run in each segment.

    By day nobody lets in air that is colder than the sleepers' least (assumed).
    """
    by_day = ~at.night & ~at.cooled & ~at.chilly & sheet.fans.by_day
    return by_day | at.night if WAYS[way].blows else by_day


def windows_open(sheet: Sheet, way: str, at: Moments) -> NDArray[np.bool_]:
    """Return (windows, segments) whether each window is open.

    Nobody cools with open windows, and closed up means that all are shut for the night.
    """
    shut = at.cooled | (at.night & ~np.bool_(WAYS[way].breathes))
    flags = [at_times(w.open, at.minute, at.night) & ~shut for w in sheet.windows]
    return np.array(flags, dtype=bool).reshape(len(sheet.windows), len(at.minute))


def _set_state(
    out: MovedAir, here: NDArray[np.bool_], sheet: Sheet, model: Model, windows: list[Window],
    blowing: bool,
) -> None:  # fmt: skip
    """Set the air of the segments in which these windows are open and the roof fans run or not."""
    for z in range(len(model.zones)):
        openings = openings_of(sheet, model, windows, z, lids=not blowing)
        drive = openings_drive(openings, sheet.body.shelter)
        out.by_stack[here, z], out.by_wind[here, z], out.in_calm[here, z] = drive
    if blowing:
        free = sum(w.opening for w in windows if zone_of(w, model) == 0)
        moved = fan_air(sheet, free or sheet.fans.open_window)
        out.fan_flow[here, 0], out.fan_balanced[here, 0] = moved.unbalanced, moved.balanced


def _breathe(out: MovedAir, sheet: Sheet, way: str, at: Moments) -> None:
    """Let whoever sleeps breathe; roof fans that move more than the fresh-air fan stand in."""
    if not WAYS[way].breathes:
        return
    wanted = sheet.people.sleepers * sheet.fresh_air
    fresh = at.night | (at.cooled & at.home)
    fresh &= out.fan_flow[:, 0] + out.fan_balanced[:, 0] < wanted
    out.fan_flow[fresh, 0], out.fan_balanced[fresh, 0] = wanted, 0.0
    out.inside_power[fresh] += sheet.fresh_air_fan


def zone_of(window: Window, model: Model) -> int:
    """Return the zone that a window opens into."""
    return next((g.zone for g in model.shell.glazings if g.name == window.name), 0)


def openings_of(
    sheet: Sheet, model: Model, windows: list[Window], zone: int, lids: bool
) -> list[Opening]:
    """Return a zone's openings to outdoors: windows, fixed vents, lids of fans that stand still.

    A window is taken as high as wide (assumed); one in the roof lies level.
    """
    top = sheet.body.height
    screen = SCREEN if sheet.fans.screens else 1.0
    found = []
    for w in windows:
        if zone_of(w, model) == zone:
            level, high = (top, 0.0) if w.side == "roof" else (WINDOW_LEVEL * top, w.opening**0.5)
            found.append(Opening(screen * w.opening, w.side, level, high))
    if zone == 0:
        found.append(Opening(screen * sheet.vents.high, "roof", top))
        found.append(Opening(screen * sheet.vents.low, "floor", 0.0))
        if lids and sheet.fans.lid == "open":
            found.append(Opening(screen * FAN_SWEEP * sheet.fans.count, "roof", top))
    return found


def door_of(sheet: Sheet) -> Drive:
    """Return what drives air through the door while it stands open."""
    return door_drive(sheet.doors.area, sheet.doors.height)


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
