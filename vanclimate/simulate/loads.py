"""What the sheet's loads draw and give off in each segment, by group and feed.

Loads that a rule sheds at the same charge stand in one group; group 0 is never shed. What does not
belong here: what a rule says (``rules``), and whether there is power (``electricity``).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.energy.shore import inlet_limit
from vanclimate.equipment.air_conditioner import LATENT_HEAT
from vanclimate.equipment.burner import carbon_dioxide_of, water_of
from vanclimate.network.compile import Array
from vanclimate.simulate.sources import shore_of
from vanclimate.simulate.times import within
from vanclimate.van.loads import Load
from vanclimate.van.sheet import Sheet
from vanclimate.van.water import HOT_WATER

BATTERY, MAINS = range(2)  # feeds


class Drawn(NamedTuple):
    """What loads draw and give off; fridges at full duty.

    For n segments, g groups, 2 feeds, z zones.
    """

    power: Array  # (n, g, 2) W
    heat: Array  # (n, g, 2, z) W of it that stay inside
    water: Array  # (n, g, 2, z) kg/s
    fridge: Array  # (n, g, 2) W
    fridge_heat: Array  # (n, g, 2) W
    floor: Array  # (n, g) share of the bank at which a group is shed
    free_heat: Array  # (n, z) W of what needs no power: gas, drying
    free_water: Array  # (n, z) kg/s
    carbon_dioxide: Array  # (n,) m3/s of open flames


def load_arrays(
    sheet: Sheet, minute: Array, allowed: Array | None = None, floor: Array | None = None
) -> Drawn:
    """Return what the sheet's loads draw at minutes of the day.

    Parameters
    ----------
    sheet, minute : the van; (n,) of the day
    allowed : (loads, n) 1 where a rule lets a load run; all may unless given
    floor : (loads, n) share of the bank at which a load is shed; never unless given
    """
    n, zones, loads = len(minute), len(sheet.zones), len(sheet.loads)
    allowed = np.ones((loads, n)) if allowed is None else allowed
    floor = np.zeros((loads, n)) if floor is None else floor
    groups = {np.zeros(n).tobytes(): 0}  # by their floors; the first is never shed
    group = [groups.setdefault(row.tobytes(), len(groups)) for row in floor]
    feeds = (n, len(groups), 2)
    out = Drawn(
        power=np.zeros(feeds),
        heat=np.zeros((*feeds, zones)),
        water=np.zeros((*feeds, zones)),
        fridge=np.zeros(feeds),
        fridge_heat=np.zeros(feeds),
        floor=np.array([np.frombuffer(row) for row in groups]).T.copy(),
        free_heat=np.zeros((n, zones)),
        free_water=np.zeros((n, zones)),
        carbon_dioxide=np.zeros(n),
    )
    for load, may, k in zip(sheet.loads, allowed, group, strict=True):
        _add(out, sheet, load, k, minute, may)
    return out


def _add(out: Drawn, sheet: Sheet, load: Load, k: int, minute: Array, may: Array) -> None:
    """Add one load to its group."""
    zone = sheet.zones.index(load.zone)
    on = running(load, minute) * may
    power, water = on * load.power * load.duty, on * load.water
    left = warmth_of(load, power, water)
    if load.feed == "gas":
        out.free_heat[:, zone] += left
        out.free_water[:, zone] += water_of(1.0) * power + water
        out.carbon_dioxide[:] += carbon_dioxide_of(1.0) * power
    elif load.power == 0.0:
        out.free_heat[:, zone] += left
        out.free_water[:, zone] += water
    else:
        feed = MAINS if load.feed == "inverter" else BATTERY
        if load.kind == "fridge":
            out.fridge[:, k, feed] += power
            out.fridge_heat[:, k, feed] += left
        else:
            out.power[:, k, feed] += power
            out.heat[:, k, feed, zone] += left
        out.water[:, k, feed, zone] += water


def warmth_of(load: Load, power: Array, water: Array) -> Array:
    """Return the warmth [W] that a load leaves in the air of its room, less that of its vapour.

    Vapour takes no more than what the load leaves inside. What dries without watts takes its heat
    from the room; what gives off much without any is hot already, from a heat that no sheet tells.

    Parameters
    ----------
    load : Load
    power, water : what it draws [W] and gives off [kg/s] in each segment
    """
    left = power * load.heat_inside - water * LATENT_HEAT
    if load.power == 0.0 and load.water < HOT_WATER:
        return left
    return np.maximum(0.0, left)


def refused_loads(sheet: Sheet, minute: Array, plugged: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return (loads, n) whether a load on the mains sockets finds no room beside those before it.

    In the sheet's order, as long as the inverter's rating carries them, or the inlet on shore; off
    shore none of them without an inverter.
    """
    shore = shore_of(sheet)
    inlet = 0.0 if shore is None else inlet_limit(shore)
    rating = 0.0 if sheet.inverter is None else sheet.inverter.rating
    room = np.where(plugged, inlet, rating)
    out = np.zeros((len(sheet.loads), len(minute)), dtype=bool)
    for i, load in enumerate(sheet.loads):
        if load.feed == "inverter":
            asked = running(load, minute) * load.power
            out[i] = asked > room
            room = room - np.where(out[i], 0.0, asked)
    return out


def running(load: Load, minute: Array) -> Array:
    """Return (n,) 1 at the load's times."""
    on = np.full(len(minute), not load.when)
    for start, end in load.when:
        on |= within(minute, start, end)
    return on.astype(float)
