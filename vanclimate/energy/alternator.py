"""What alternators give the bank while the van drives, and what keeps them from giving more.

Worked out for all segments of a plan before the loop. An alternator's output depends on its speed
and falls as it warms; the vehicle takes its own draw first, the house a share of the rest. All
figures are assumed unless a line names a source. What does not belong here: when the van drives
(simulate/sources), and what the bank takes of it (the loop).
"""

from __future__ import annotations

from itertools import pairwise
from math import exp, inf, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

TEST_TEMP = 23.0
"""Air [°C] at which a plate counts, from memory of ISO 8854; nothing is gained below it."""
PER_K = 0.003
"""Share of the output lost by each kelvin of outdoor air above that. Assumed: copper's resistance
rises by 0.0039 a kelvin, and iron and rectifier lose less."""
COOL_DOWN = 3600.0
"""Time constant [s] of an alternator that stands; assumed."""


class Alternator(NamedTuple):
    """An alternator as a drive uses it: its speed's shares are chosen already."""

    plate: float  # A
    speed_share: float  # of the plate, cold, at this speed
    hot_share: float  # of that once it is warm
    warm_up: float  # s, time constant
    vehicle: float  # A that the vehicle takes first
    house: float  # A, the most the house may take
    fuse: float = inf  # A that the fuse at the post carries on end
    voltage: float = 14.0  # V, regulated at the alternator
    feed_resistance: float = 0.0  # ohm, to the charger and back


class DcCharger(NamedTuple):
    """All DC-DC chargers together."""

    amps: float  # A out
    efficiency: float


class Given(NamedTuple):
    """What an alternator gives of what is wanted, and what each limit took; mean amps."""

    amps: Array
    to_vehicle: Array
    to_share: Array
    to_fuse: Array
    to_speed: Array
    to_heat: Array


LIMITS = tuple(name for name in Given._fields if name != "amps")
"""In the order in which they are met."""


class Drive(NamedTuple):
    """What driving can put on the bank's terminals, by segment; 0 while the van stands."""

    power: Array  # W, the most
    amps: Array  # A out of the DC-DC chargers, the most
    direct: Given  # of a second alternator, on the bank as they are
    loss: Array  # W of heat in the DC charger for each W used
    alternator_amps: Array  # A out of the engine's alternator for the house at full power
    wanted: Array  # W that the chargers could pass on
    to_vehicle: Array  # W of those that the vehicle's own draw takes
    to_share: Array  # W that the share allowed to a builder, or the regulator, holds back
    to_fuse: Array  # W, the post's fuse
    to_speed: Array  # W, the engine's speed
    to_heat: Array  # W, the alternator's heat


def drive(
    alternator: Alternator | None, charger: DcCharger | None, second: Alternator | None,
    voltage: float, driving: NDArray[np.bool_], seconds: Array, outdoor: Array,
) -> Drive:  # fmt: skip
    """Return what driving can bring to the bank.

    Parameters
    ----------
    alternator, charger : the engine's, and the DC-DC chargers behind it; None without
    second : an alternator for the house alone, whose amps go to the bank as they are
    voltage : at which the bank charges [V]
    driving : (segments,) whether the van drives
    seconds : (segments,) length, one after the other
    outdoor : (segments,) air [°C]

    Returns
    -------
    Drive : ``wanted`` is the power and all that the limits took
    """
    nothing = np.zeros(len(seconds))
    none = Given(*(nothing,) * len(Given._fields))
    total = Drive._make(none if name == "direct" else nothing for name in Drive._fields)
    on = driving.astype(float)
    if alternator is not None and charger is not None:
        taken = charger.amps * voltage / charger.efficiency
        amps = feed_current(alternator, taken)
        given = given_by(alternator, amps, driving, seconds, outdoor)
        watts = taken / amps * charger.efficiency  # on the bank's side for an amp at the alternator
        total = _added(total, given, watts)._replace(
            amps=on * charger.amps,
            loss=on * (1.0 / charger.efficiency - 1.0),
            alternator_amps=given.amps,
        )
    if second is not None:
        given = given_by(second, second.plate, driving, seconds, outdoor)
        both = _added(total, given, voltage)
        lossy = np.divide(total.power, both.power, out=np.zeros_like(nothing), where=both.power > 0)
        total = both._replace(direct=given, loss=total.loss * lossy)
    return total


def kept_amps(
    drive: Drive, voltage: float, volts: Array, row: NDArray[np.int64]
) -> dict[str, Array]:
    """Return what each limit keeps from a bank of those amps that the chargers could give [A].

    A DC charger's limits are watts, its amps count at the bank's volts, where fewer watts make
    them up; limits count in the order in which they are met, so what is left of the last one is
    what the first ones leave.

    Parameters
    ----------
    voltage : at which the bank charges [V], which the watts of a `Drive` are for
    volts, row : of the bank at moments, and the row of ``drive`` of each

    Returns
    -------
    dict : by the names of a `Given`
    """
    watts = np.maximum(0.0, drive.power - voltage * drive.direct.amps)[row]
    most, out = drive.amps[row] * volts, {}
    for name in reversed(LIMITS):
        direct = getattr(drive.direct, name)
        whole = watts + np.maximum(0.0, getattr(drive, name) - voltage * direct)[row]
        out[name] = (np.minimum(whole, most) - np.minimum(watts, most)) / volts + direct[row]
        watts = whole
    return out


def _added(drive: Drive, given: Given, watts: float) -> Drive:
    """Return a drive with an alternator's amps, each worth so many watts, added to its powers."""
    power = {"power": given.amps} | {n: getattr(given, n) for n in LIMITS}
    power["wanted"] = sum(given, start=np.zeros_like(given.amps))
    more = {name: getattr(drive, name) + watts * amps for name, amps in power.items()}
    return drive._replace(**more)


def feed_current(alternator: Alternator, watts: float) -> float:
    """Return the amps at the alternator for ``watts`` at the far end of its feed.

    Watts are I (V − I R), solved for the smaller I; the feed must be able to pass them.
    """
    volts, ohm = alternator.voltage, alternator.feed_resistance
    return 2.0 * watts / (volts + sqrt(volts * volts - 4.0 * ohm * watts))


def given_by(
    alternator: Alternator, wanted: float, driving: NDArray[np.bool_], seconds: Array,
    outdoor: Array,
) -> Given:  # fmt: skip
    """Return the mean amps an alternator gives of ``wanted`` [A], and what each limit took.

    The limits are taken one after the other: the vehicle's draw off the plate, the house's share,
    the fuse, the speed, and at last the heat, which alone changes during a segment.
    """
    a = alternator
    on = driving.astype(float)
    steps = [wanted]
    for limit in (a.plate - a.vehicle, a.house, a.fuse, a.plate * a.speed_share - a.vehicle):
        steps.append(max(0.0, min(steps[-1], limit)))
    cold = a.plate * a.speed_share * outdoor_share(outdoor)
    start = warmth(driving, seconds, a.warm_up)
    base = cold * a.hot_share - a.vehicle
    swing = cold * (1.0 - a.hot_share) * (1.0 - start)
    amps = on * mean_between(base, swing, a.warm_up, seconds, steps[-1])
    vehicle, share, fuse, speed = (on * (before - after) for before, after in pairwise(steps))
    return Given(amps, vehicle, share, fuse, speed, on * steps[-1] - amps)


def outdoor_share(outdoor: Array) -> Array:
    """Return the share of an alternator's output that is left at an outdoor temperature [°C]."""
    return 1.0 - PER_K * np.clip(outdoor - TEST_TEMP, 0.0, 1.0 / PER_K)


def warmth(driving: NDArray[np.bool_], seconds: Array, warm_up: float) -> Array:
    """Return (segments,) how warm an alternator is at their starts, 0 cold to 1 warm.

    It nears 1 by ``warm_up`` [s] while the van drives and 0 by `COOL_DOWN` while it stands; cold
    at first.
    """
    out, state = np.zeros(len(seconds)), 0.0
    for i, length in enumerate(seconds):
        out[i] = state
        if driving[i]:
            state = 1.0 - (1.0 - state) * exp(-length / warm_up)
        else:
            state *= exp(-length / COOL_DOWN)
    return out


def mean_between(base: Array, swing: Array, tau: float, seconds: Array, most: float) -> Array:
    """Return the mean of base + swing e^(−t/tau), held between 0 and ``most``, over a time.

    Exact: the value falls, so it is first at ``most``, then between, then 0. ``swing`` is not
    negative.
    """

    def time_at(level: float) -> Array:
        """Return when the value falls to a level, within the time."""
        with np.errstate(over="ignore"):  # a level that is reached after more than any time
            over = np.divide(
                swing, level - base, out=np.full_like(base, inf), where=(level > base) & (swing > 0)
            )
        never = np.where(base + swing > level, seconds, 0.0)
        at = np.where(np.isfinite(over), tau * np.log(np.maximum(over, 1.0)), never)
        return np.clip(at, 0.0, seconds)

    first, last = time_at(most), time_at(0.0)
    curve = base * (last - first) + swing * tau * (np.exp(-first / tau) - np.exp(-last / tau))
    return np.asarray((most * first + curve) / seconds)
