"""What follows from a sheet's electricity and fuel: sources, heater, cable and spare circuits.

What does not belong here: working any of it out (energy/, equipment/, answers/circuits).
"""

from __future__ import annotations

from math import inf, isfinite
from typing import TYPE_CHECKING

import numpy as np
from rich.text import Text

from vanclimate.answers.circuits import bank_findings, cable_row, circuit_rows
from vanclimate.answers.days import DRIVE_LIMITS
from vanclimate.answers.panel_checks import coldest
from vanclimate.answers.source_checks import source_notes
from vanclimate.energy.alternator import Given
from vanclimate.energy.array import cold_open_circuit
from vanclimate.energy.shore import inlet_limit, shore_charge
from vanclimate.equipment.heater import fan_power, fuel_rate
from vanclimate.report.layout import facts, heading, put
from vanclimate.report.numbers import both, fixed, hours, in_order
from vanclimate.report.tables import plain_table
from vanclimate.report.words import plain
from vanclimate.simulate.sources import drive_of, shore_of
from vanclimate.units import System, show
from vanclimate.van.wires import write_wire

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from vanclimate.answers.circuits import CircuitRow
    from vanclimate.answers.scene import Scene
    from vanclimate.energy.alternator import Drive
    from vanclimate.equipment.heater import FuelHeater
    from vanclimate.van.panels import Modules
    from vanclimate.van.sheet import Sheet

MILD = 23.0  # °C of the outdoor air at which driving is told
ROOMY = 90  # columns from which spare circuits stand in a table
LEAST_HELD = 0.5  # A that a limit takes before it is told
LIMITS = Given._fields[1:]  # in the order in which they are taken, so that the last one binds
LONG = 86400.0  # s, after which an alternator is as warm as it gets


def print_power(scene: Scene, console: Console, system: System) -> None:
    """Print the figures of sources and heater that are one number each, and the wiring."""
    sheet = scene.sheet
    heading(console, "power and fuel")
    facts(console, power_rows(scene, system))
    if sheet.spare_circuits:
        rows = circuit_rows(sheet)
        heading(console, "spare circuits, which draw nothing yet")
        if console.width < ROOMY:
            facts(console, _told(sheet, rows))
        else:
            put(console, _circuits(sheet, rows))
        found = [f"{row.name}: {text}" for row in rows for text in row.findings]
        facts(console, [("!", plain(text)) for text in found])


def power_rows(scene: Scene, system: System) -> list[tuple[str, str]]:
    """Return names and figures: heater, inverter's cable, driving, shore, strings of modules."""
    sheet, burner = scene.sheet, scene.gear.burner
    rows = _heater(burner, system) if burner.there else []
    rows += _cable(sheet)
    rows += [("!", plain(text)) for text in bank_findings(sheet)]
    rows += _driving(sheet, system)
    rows += _shore(sheet)
    rows += [("!", plain(note)) for note in source_notes(sheet)]
    cold = coldest(sheet, scene.place.weather)
    for name, panels in (("roof panels", sheet.roof_panels), ("ground panel", sheet.ground_panel)):
        if panels is not None and panels.power and panels.wired:
            rows.append((name, _string(panels, cold, system)))
    return rows


def _heater(burner: FuelHeater, system: System) -> list[tuple[str, str]]:
    """Return what the fuel heater gives here, and how long its fuel lasts."""
    full, floor = (both(x, "heat_rate", system) for x in (burner.full, burner.floor))
    burnt = fuel_rate(burner, burner.full)
    hourly = burnt * 3.6  # m3
    rate = " = ".join(show(hourly, "volume", x, 2) for x in in_order(system)) + " an hour"
    lasts = f"{hours(burner.fuel / burnt / 3600.0)} at full output"
    if not burner.hydronic and burner.floor > 0.0:
        lasts += f", {hours(burner.fuel / fuel_rate(burner, burner.floor) / 3600.0)} at the floor"
    watts = f"{fixed(fan_power(burner, burner.full))} W"
    text = (
        f"{full} at full output in this air, {watts} of its own"
        if burner.hydronic
        else (f"{full} at full output in this air, {floor} at the floor; it draws {watts} at full")
    )
    fuel = f"{both(burner.fuel * 1e-3, 'volume', system)} within reach: {lasts} ({rate} at full)"
    return [("fuel heater", text), ("fuel", fuel)]


def _cable(sheet: Sheet) -> list[tuple[str, str]]:
    """Return what the inverter's cable takes at full load; or that there is no inverter."""
    row = cable_row(sheet)
    if row is None:
        named = " and ".join(plain(name) for _, name in sheet.fed_by("inverter"))
        return [("inverter", f"none: {named} on shore alone" if named else "none")]
    size = row.wire
    if isfinite(row.most_amps):
        size = f"{row.wire}, {show(row.resistance, 'resistance', digits=3)} there and back"
    text = (
        f"{size}: at full load {row.amps:.0f} A"
        + (f" of the {row.most_amps:.0f} A it carries" if isfinite(row.most_amps) else "")
        + f", {row.volts:.1f} V left of {show(sheet.battery.voltage, 'voltage')}, "
        f"{row.loss:.0f} W lost"
    )
    return [("inverter's cable", text), *(("!", found) for found in row.findings)]


def _driving(sheet: Sheet, system: System) -> list[tuple[str, str]]:
    """Return what the alternator can give the bank, cold and warm."""
    if sheet.dc_charger is None and sheet.second_alternator is None:
        return []
    volts = sheet.battery.charge_voltage
    on, air = np.ones(2, dtype=bool), np.full(2, MILD)
    # a second of a cold one; then a second after a day on the road
    cold = drive_of(sheet, volts, on, np.array([1.0, LONG]), air)
    warm = drive_of(sheet, volts, on, np.array([LONG, 1.0]), air)
    limit = sheet.battery.charge_limit
    most, least = (min(x / volts, limit) for x in (cold.power[0], warm.power[1]))
    amps = f"{most:.0f} A cold, {least:.0f} A warm"
    speed = "highway" if sheet.driving is None else sheet.driving.speed
    at = {"highway": "on the highway", "town": "in town", "idle": "at idle"}[speed]
    text = f"{amps} at the bank, {at} at {both(MILD, 'temperature', system)}"
    if held := _held(warm, volts, limit):
        text += f", held there by {held}"
    charger, part = sheet.dc_charger, sheet.alternator
    if charger is not None and part is not None:
        share = cold.alternator_amps[0] / part.amps
        text += (
            f"; the DC-DC charger, of {charger.count * charger.amps:g} A, takes "
            f"{share:.0%} of the alternator's {part.amps:g} A"
        )
    return [("driving", text)]


def _held(drive: Drive, volts: float, limit: float) -> str:
    """Return what keeps a long drive from giving more; nothing where no limit does.

    Parameters
    ----------
    drive : of a cold alternator's second segment, warm by then
    volts : at which the bank charges [V]
    limit : amps that the bank takes
    """
    if drive.power[1] / volts > limit:
        return f"the bank, which takes {show(limit, 'current')}"
    held = [x for x in LIMITS if getattr(drive, x)[1] > LEAST_HELD * volts]
    return DRIVE_LIMITS[held[-1]] if held else ""


def _shore(sheet: Sheet) -> list[tuple[str, str]]:
    """Return what the inlet carries, and what that leaves the charger."""
    shore = shore_of(sheet)
    if shore is None:
        return []
    volts = sheet.battery.charge_voltage
    amps = f"{shore.amps:g} A at {shore.voltage:g} V"
    text = f"the inlet carries {inlet_limit(shore):,.0f} W on end, {amps}"
    if shore.charger_amps > 0.0:
        alone, limit = (
            shore_charge(shore, 0.0, volts, inf).power / volts,
            sheet.battery.charge_limit,
        )
        text += f"; with nothing else on it the charger gives {min(alone, limit):.0f} A"
        text += ", all that the bank takes" if alone > limit else ""
    return [("shore", text)]


def _string(panels: Modules, cold: float, system: System) -> str:
    """Return a string's volts in the cold, and what the controller stands."""
    volts = cold_open_circuit(panels, cold)
    return (
        f"{panels.in_series} in series: {volts:.1f} V open circuit at "
        f"{both(round(cold, 1), 'temperature', system)}, the coldest here; the controller stands "
        f"{show(panels.controller_voltage, 'voltage')}"
    )


def _circuits(sheet: Sheet, rows: tuple[CircuitRow, ...]) -> Table:
    """Return each spare circuit with what it carries and what is planned on it."""
    table = plain_table(
        "circuit", "V", "fuse, A", "wire", "mm2", "carries, A", "for hours, W", "planned, W", "A",
        "drop",
    )  # fmt: skip
    table.columns[0].no_wrap = False
    for circuit, row in zip(sheet.spare_circuits, rows, strict=True):
        size = write_wire(circuit.wire)
        table.add_row(
            Text(plain(row.name)), f"{row.volts:g}", f"{row.fuse:g}",
            "" if "mm2" in size else size, f"{1e6 * circuit.wire:.3g}", f"{row.most_amps:.0f}",
            fixed(row.most_power), fixed(row.planned), fixed(row.amps, 1), f"{row.drop:.1%}",
        )  # fmt: skip
    return table


def _told(sheet: Sheet, rows: tuple[CircuitRow, ...]) -> list[tuple[str, str]]:
    """Return the same in words, for a narrow page."""
    out = []
    for circuit, row in zip(sheet.spare_circuits, rows, strict=True):
        size, square = write_wire(circuit.wire), f"{1e6 * circuit.wire:.3g} mm2"
        wire = size if "mm2" in size else f"{size} ({square})"
        text = (
            f"{row.volts:g} V, fuse {row.fuse:g} A, {wire} carries {row.most_amps:.0f} A; for "
            f"hours {fixed(row.most_power)} W; planned {fixed(row.planned)} W, which is "
            f"{fixed(row.amps, 1)} A and drops {row.drop:.1%}"
        )
        out.append((plain(row.name), text))
    return out
