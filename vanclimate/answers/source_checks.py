"""What a sheet's sources of power may not ask of each other, and what is noted of them.

What does not belong here: the limits of a single value (``van``).
"""

from __future__ import annotations

from collections.abc import Iterator

from vanclimate.energy.shore import inlet_limit
from vanclimate.simulate.sources import shore_of
from vanclimate.units import show, show_clock
from vanclimate.van.fields import DAY, Period
from vanclimate.van.sheet import Sheet

LEAD_DEPTH = 0.5
"""Share of its charge below which a lead bank is not drawn, for its life's sake; practice."""


def check_sources(sheet: Sheet) -> None:
    """Refuse sources that cannot be, or that nobody may rely on.

    Raises
    ------
    SheetError
        A DC charger without an alternator or behind a feed that cannot pass its power, and an
        engine at idle while people sleep.
    """
    _check_charger(sheet)
    _check_idling(sheet)


def _check_charger(sheet: Sheet) -> None:
    charger, alternator = sheet.dc_charger, sheet.alternator
    if charger is None:
        return
    if alternator is None:
        sheet.refuse(
            "dc_charger",
            found=f"{show(charger.amps, 'current')} and no alternator",
            allowed="an 'alternator:' and its amps beside it, or no DC charger",
            hint="it charges from the alternator alone; for shore power see 'shore:'",
        )
    taken = charger.count * charger.amps * sheet.battery.charge_voltage / charger.efficiency
    ohm = alternator.feed_resistance
    if 4.0 * ohm * taken > alternator.voltage**2:
        most = alternator.voltage**2 / (4.0 * ohm)
        sheet.refuse(
            "alternator.feed_resistance",
            found=f"{show(ohm, 'resistance')}, which passes {most:.0f} W at most",
            allowed=f"a cable that passes the {taken:.0f} W the DC charger takes",
        )


def _check_idling(sheet: Sheet) -> None:
    """Refuse an engine that idles beside sleepers: its fumes kill."""
    if sheet.driving is None or sheet.driving.speed != "idle":
        return
    bedtime, waking = sheet.people.bedtime, sheet.people.waking
    for start, end in _by_night(sheet):
        sheet.refuse(
            "driving.hours",
            found=f"an idling engine from {show_clock(start)} to {show_clock(end)}",
            allowed=f"no idling from {show_clock(bedtime)} to {show_clock(waking)}: "
            "exhaust beside sleepers kills",
        )


def _by_night(sheet: Sheet) -> Iterator[Period]:
    """Yield the hours of driving that reach into the night."""
    bedtime, waking = sheet.people.bedtime, sheet.people.waking
    asleep = (waking - bedtime) % DAY
    for start, end in () if sheet.driving is None else sheet.driving.hours:
        length = (end - start) % DAY or DAY
        if (start - bedtime) % DAY < asleep or (bedtime - start) % DAY < length:
            yield start, end


def source_notes(sheet: Sheet) -> Iterator[str]:
    """Yield what is noted of the bank's depth, of chargers that never charge, of a weak inlet."""
    battery = sheet.battery
    if battery.kind == "AGM" and battery.cut_off < LEAD_DEPTH:
        yield (
            f"battery: a lead bank used down to {show(battery.cut_off, 'fraction')} of its charge; "
            "below half each time it lasts few years (common practice, no source)"
        )
    charging = {"dc charger": sheet.dc_charger, "second alternator": sheet.second_alternator}
    if sheet.driving is None or not sheet.driving.hours:
        for name, part in charging.items():
            if part is not None:
                yield f"{name}: gives nothing, for the van never drives"
    for start, end in _by_night(sheet):
        yield (
            f"driving: from {show_clock(start)} to {show_clock(end)} the engine runs between "
            "bedtime and waking, and the night's charge counts on it: nobody may lie in bed then"
        )
    shore = shore_of(sheet)
    if shore is None:
        return
    power, name = max(sheet.fed_by("inverter"), default=(0.0, ""))
    limit = inlet_limit(shore)
    if power > limit:
        yield (
            f"shore: the {name} alone takes {power:.0f} W, the inlet carries {limit:.0f} W on end: "
            "it does not run while plugged in"
        )
