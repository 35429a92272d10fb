"""What a sheet's parts may not ask of each other: refused by name before anything is run.

What does not belong here: the limits of a single value (``van``), and what is only noted beside an
answer (``notes``).
"""

from __future__ import annotations

from math import ceil

import numpy as np

from vanclimate.answers.circuits import check_wiring
from vanclimate.answers.panel_checks import check_panels
from vanclimate.answers.rule_checks import check_rules
from vanclimate.answers.source_checks import check_sources
from vanclimate.answers.stacks.checks import check_prices
from vanclimate.energy.inverter import inverter_input, inverter_of
from vanclimate.equipment.air_conditioner import rated_coil
from vanclimate.simulate.loads import load_arrays
from vanclimate.simulate.thermostats import ac_start
from vanclimate.site.weather import Weather
from vanclimate.units import show, show_clock
from vanclimate.van.sheet import Sheet

LEAST_COIL = -2.0  # °C: a coil colder than this at rating says that the data plate is misread
EARLIEST_START = 360  # minutes before bedtime
HOT_POWER = 1.35  # times the plate: the most the unit draws, at 52 °C outdoors


def check_sheet(sheet: Sheet, weather: Weather | None = None) -> None:
    """Refuse a sheet whose parts cannot be together, or not in a weather's cold.

    Raises
    ------
    SheetError
        An air conditioner that its airflow cannot carry or that starts by day, an inverter that is
        none, or it or the bank's amps smaller than one load, a bank that cannot pass the draw, a
        fuse smaller than its load, strings of modules that the controller does not stand, a heater
        without fuel.
    """
    _check_fuel(sheet)
    _check_start(sheet)
    _check_coil(sheet)
    _check_draw(sheet)
    _check_inverter(sheet)
    _check_amps(sheet)
    check_sources(sheet)
    check_wiring(sheet)
    check_rules(sheet)
    check_prices(sheet)
    check_panels(sheet, weather)


def _check_start(sheet: Sheet) -> None:
    """Refuse a unit that is switched on in the morning or so late that the night is half over."""
    if sheet.air_conditioner is None:
        return
    people = sheet.people
    early = (people.bedtime - ac_start(sheet)) % 1440
    late = (ac_start(sheet) - people.bedtime) % 1440
    if early > EARLIEST_START and late > people.sleep_minutes // 2:
        sheet.refuse(
            "air_conditioner.starts",
            found=show_clock(ac_start(sheet)),
            allowed="bedtime, up to 6 h before it, or in the first half of the night; "
            "by day see 'by day'",
        )


def _check_coil(sheet: Sheet) -> None:
    """Refuse a data plate with more cooling than the airflow can carry."""
    unit = sheet.air_conditioner
    if unit is None:
        return
    coil = rated_coil(unit.capacity, unit.blower_power, unit.airflow)
    if coil < LEAST_COIL:
        sheet.refuse(
            "air_conditioner.airflow",
            found=f"{unit.airflow * 1000:.0f} L/s, whose coil would be at {coil:.0f} °C",
            allowed="an airflow that carries the rated capacity, about 40 L/s a kW",
        )


def _check_fuel(sheet: Sheet) -> None:
    """Refuse a heater whose tank has nothing above the stand-pipe's end."""
    heater = sheet.heater
    if heater is None or heater.usable_fuel > 0.0:
        return
    left = show(1.0 - heater.usable, "fraction", digits=3)
    sheet.refuse(
        "heater.tank_at_start",
        found=f"{show(heater.tank_at_start, 'fraction')}: no fuel that the heater reaches",
        allowed=f"more than {left}, which stay below its stand-pipe",
    )


def _check_inverter(sheet: Sheet) -> None:
    """Refuse an inverter that is none, or smaller than one thing that hangs on it.

    Without one the sockets are served on shore.

    Raises
    ------
    SheetError
        Naming the load. Several that exceed it together are only noted in the answer.
    """
    power, name = max(sheet.fed_by("inverter"), default=(0.0, ""))
    if sheet.inverter is None:
        if name and not sheet.plugs_in:
            sheet.refuse(
                "inverter",
                found=f"none, while the {name} hangs on it",
                allowed=f"an inverter, such as 'inverter: {{rating: {_next_size(power)} W}}'; or "
                f"'feed: battery' for the {name}",
            )
        return
    rating = sheet.inverter.rating
    if power > rating:
        sheet.refuse(
            "inverter.rating",
            found=f"{rating:.0f} W",
            allowed=f"at least the {power:.0f} W of the {name}",
        )


def _next_size(power: float) -> int:
    """Return the watts of an inverter that carries so many, in steps of 500."""
    return 500 * max(1, ceil(power / 500.0))


def _check_amps(sheet: Sheet) -> None:
    """Refuse a bank that lets out less than one thing takes of it.

    Only a limit that the sheet gives: a guess, or its range, refuses nothing. What shore may serve
    is left out.

    Raises
    ------
    SheetError
        Naming the load.
    """
    bank, inverter = sheet.battery, inverter_of(sheet.inverter, sheet.battery.voltage)
    if not sheet.gives("battery.discharge_limit"):
        return
    taken = list(sheet.fed_by("battery"))
    if not sheet.plugs_in:
        taken += [(inverter_input(inverter, x), name) for x, name in sheet.fed_by("inverter")]
    power, name = max(taken, default=(0.0, ""))
    if power > bank.discharge_limit * bank.voltage:
        sheet.refuse(
            "battery.discharge_limit",
            found=show(bank.discharge_limit, "current"),
            allowed=f"at least the {ceil(power / bank.voltage)} A of the {name}",
        )


def _check_draw(sheet: Sheet) -> None:
    """Refuse a bank whose resistance cannot pass what the sheet draws at once.

    Raises
    ------
    SheetError
        When air conditioner (in its hottest hour) and loads together pass the greatest power the
        terminals can give, V² / 4R.
    """
    unit = sheet.air_conditioner
    inverter = inverter_of(sheet.inverter, sheet.battery.voltage)
    minute = np.arange(1440.0) + 0.5
    drawn = load_arrays(sheet, minute)
    direct, mains = (drawn.power + drawn.fridge).sum(axis=1).T
    if unit is not None and unit.feed == "inverter":
        mains = mains + HOT_POWER * unit.power
    elif unit is not None:
        direct = direct + HOT_POWER * unit.power
    pairs = set(zip(direct.tolist(), mains.tolist(), strict=True))
    most = max(x + inverter_input(inverter, y) for x, y in pairs)
    if sheet.battery.resistance <= 0:
        return
    limit = sheet.battery.voltage**2 / (4 * sheet.battery.resistance)
    if most > limit:
        sheet.refuse(
            "battery.resistance",
            found=f"{1000 * sheet.battery.resistance:.0f} mohm, which passes {limit:.0f} W at most",
            allowed=f"a bank that passes the {most:.0f} W drawn at once",
        )
