"""Wires and fuses: what a spare circuit, the inverter's cable and the bank's protection carry.

What does not belong here: the tables of wire (``physics.wire``), and the draw of a night.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from vanclimate.energy.inverter import (
    Cable,
    cable_of,
    inverter_draw,
    inverter_input,
    inverter_of,
    inverter_voltage,
)
from vanclimate.physics.wire import ampacity, copper_temperature, largest_fuse, wire_resistance
from vanclimate.units import show
from vanclimate.van.circuits import SpareCircuit
from vanclimate.van.sheet import Sheet
from vanclimate.van.shore import Shore
from vanclimate.van.wires import write_wire

FOR_GOOD = 0.8
"""Share of a fuse that a load may take for hours (US code, 210.20(A), from memory)."""
CHARGED = 1.1  # times the nominal voltage: a bank at rest never stands higher; assumed


@dataclass(frozen=True)
class CircuitRow:
    """One spare circuit: what it carries, and what is planned on it.

    Parameters
    ----------
    name : as in the sheet
    volts : of its feed [V]
    fuse : [A]
    wire : its size in words
    most_amps : current that its wire carries for good in its surroundings [A]
    most_fuse : largest fuse that guards that wire [A]
    most_power : what may hang on it for hours [W]
    planned : [W]
    amps : current of that [A]
    drop : voltage lost there and back at that current, as a share of ``volts``
    findings : what is wrong with it, in words
    """

    name: str
    volts: float
    fuse: float
    wire: str
    most_amps: float
    most_fuse: float
    most_power: float
    planned: float
    amps: float
    drop: float
    findings: tuple[str, ...]


@dataclass(frozen=True)
class CableRow:
    """The inverter's cable at its full load and the bank's nominal voltage.

    Parameters
    ----------
    wire : its size in words, with how many lie side by side
    resistance : there and back [ohm]
    amps : [A]
    most_amps : what it carries for good [A]; inf where only its resistance is given
    volts : at the inverter [V]
    loss : in the cable [W]
    findings : what is wrong with it, in words
    """

    wire: str
    resistance: float
    amps: float
    most_amps: float
    volts: float
    loss: float
    findings: tuple[str, ...]


def check_wiring(sheet: Sheet) -> None:
    """Refuse circuits and limits that cannot be.

    Raises
    ------
    SheetError
        A fuse smaller than what is planned behind it, more planned than the inverter gives, an
        inverter that cuts out at the voltage of its bank or never starts on it.
    """
    for i, circuit in enumerate(sheet.spare_circuits):
        _check_circuit(sheet, i, circuit)
    if sheet.inverter is None:
        return
    voltage = sheet.battery.voltage
    limits = inverter_of(sheet.inverter, voltage)
    if limits.cut_off >= voltage:
        sheet.refuse(
            "inverter.cut_off", found=show(limits.cut_off, "voltage"),
            allowed=f"less than the bank's {show(voltage, 'voltage')}",
        )  # fmt: skip
    if limits.restart > CHARGED * voltage:
        sheet.refuse(
            "inverter.restart", found=show(limits.restart, "voltage"),
            allowed=f"a voltage that a bank of {show(voltage, 'voltage')} reaches at rest, up to "
            f"{show(CHARGED * voltage, 'voltage', digits=3)}",
        )  # fmt: skip


def _check_circuit(sheet: Sheet, i: int, circuit: SpareCircuit) -> None:
    """Refuse a fuse or an inverter smaller than what is planned."""
    planned, inverter = show(circuit.planned, "power"), sheet.inverter
    if circuit.feed == "inverter" and inverter is None and not sheet.plugs_in:
        sheet.refuse(
            f"spare_circuits.{i}.feed",
            found="inverter, which the sheet does not have",
            allowed="battery; or an 'inverter:' with its rating in place of none",
        )
    amps = circuit.planned / _volts(sheet, circuit)
    if amps > circuit.fuse:
        sheet.refuse(
            f"spare_circuits.{i}.fuse",
            found=show(circuit.fuse, "current"),
            allowed=f"at least the {amps:.1f} A of the {planned} planned on {circuit.name}",
        )
    if circuit.feed == "inverter" and inverter is not None and circuit.planned > inverter.rating:
        sheet.refuse(
            f"spare_circuits.{i}.planned",
            found=planned,
            allowed=f"at most the inverter's {show(inverter.rating, 'power')}",
        )


def circuit_rows(sheet: Sheet) -> tuple[CircuitRow, ...]:
    """Return every spare circuit with what it carries, in the sheet's order."""
    return tuple(_row(circuit, _volts(sheet, circuit)) for circuit in sheet.spare_circuits)


def _volts(sheet: Sheet, circuit: SpareCircuit) -> float:
    """Return the nominal voltage [V] of a circuit's feed."""
    if circuit.feed == "battery":
        return sheet.battery.voltage
    if sheet.inverter is not None:
        return sheet.inverter.mains_voltage
    return Shore().voltage if sheet.shore is None else sheet.shore.voltage


def _row(circuit: SpareCircuit, volts: float) -> CircuitRow:
    """Return what one circuit carries."""
    most = ampacity(circuit.wire, circuit.insulation, circuit.ambient)
    guard = largest_fuse(circuit.wire, circuit.insulation, circuit.ambient)
    amps = circuit.planned / volts
    temp = copper_temperature(min(amps, most), most, circuit.insulation, circuit.ambient)
    drop = amps * wire_resistance(circuit.wire, 2.0 * circuit.length, temp) / volts
    row = CircuitRow(
        circuit.name, volts, circuit.fuse, write_wire(circuit.wire), most, guard,
        min(FOR_GOOD * circuit.fuse, most) * volts, circuit.planned, amps, drop, (),
    )  # fmt: skip
    return CircuitRow(**{**vars(row), "findings": tuple(_circuit_findings(row, circuit.drop))})


def _circuit_findings(row: CircuitRow, most_drop: float) -> Iterator[str]:
    """Yield what is wrong with a circuit."""
    if row.fuse > row.most_fuse + 1e-9:
        yield (
            f"its fuse of {row.fuse:g} A does not guard {row.wire}, "
            f"which takes {row.most_fuse:.0f} A at most"
        )
    if row.amps > FOR_GOOD * row.fuse:
        yield (
            f"{row.planned:.0f} W draw {row.amps:.1f} A, {row.amps / row.fuse:.0%} of its fuse of "
            f"{row.fuse:g} A; for hours {FOR_GOOD:.0%} is the most"
        )
    if row.drop > most_drop:
        yield (
            f"{row.planned:.0f} W lose {row.drop:.1%} of {row.volts:g} V in {row.wire}; "
            f"allowed is {most_drop:.1%}"
        )


def cable_row(sheet: Sheet) -> CableRow | None:
    """Return what the inverter's cable takes at full load; None without an inverter."""
    voltage = sheet.battery.voltage
    if sheet.inverter is None:
        return None
    cable, inverter = cable_of(sheet.inverter, voltage), inverter_of(sheet.inverter, voltage)
    power = inverter_input(inverter, inverter.rating)
    volts = inverter_voltage(inverter, voltage, power)
    loss = inverter_draw(inverter, voltage, power) - power
    findings = tuple(_cable_findings(cable, volts, voltage, inverter.cut_off))
    return CableRow(
        _cable_words(cable), cable.resistance, power / volts, cable.most, volts, loss, findings
    )


def _cable_words(cable: Cable) -> str:
    """Return a cable's size in words."""
    if cable.most == inf:
        return show(cable.resistance, "resistance")
    side_by_side = f"{cable.parallel} x " if cable.parallel > 1 else ""
    return side_by_side + write_wire(cable.area)


def _cable_findings(cable: Cable, volts: float, voltage: float, cut_off: float) -> Iterator[str]:
    """Yield what is wrong with the inverter's cable."""
    if cable.current > cable.most:
        yield (
            f"the inverter's cable, {_cable_words(cable)}, carries {cable.most:.0f} A for good; "
            f"full load draws {cable.current:.0f} A"
        )
    if volts < cut_off:
        yield (
            f"at full load {voltage:g} V at the bank leave {volts:.1f} V at the inverter, which "
            f"cuts out at {cut_off:.1f} V"
        )


def bank_findings(sheet: Sheet) -> tuple[str, ...]:
    """Return what alone draws more amps than the bank's protection lets out.

    At the bank's nominal voltage, through inverter and cable where it hangs on the mains sockets.
    """
    bank, inverter = sheet.battery, inverter_of(sheet.inverter, sheet.battery.voltage)
    drawn = [(watts, name) for watts, name in sheet.fed_by("battery")]
    if sheet.inverter is not None:
        drawn += [
            (inverter_draw(inverter, bank.voltage, inverter_input(inverter, watts)), name)
            for watts, name in sheet.fed_by("inverter")
        ]
    return tuple(
        f"the {name} alone draws {watts / bank.voltage:.0f} A from the bank, whose protection lets "
        f"out {show(bank.discharge_limit, 'current')}: it does not run on the bank"
        for watts, name in drawn
        if watts > bank.discharge_limit * bank.voltage
    )


def wiring_notes(sheet: Sheet) -> Iterator[str]:
    """Yield what is wrong with cable and circuits, as notes beside an answer."""
    cable = cable_row(sheet)
    yield from () if cable is None else cable.findings
    yield from bank_findings(sheet)
    for row in circuit_rows(sheet):
        yield from (f"spare circuit {row.name}: {finding}" for finding in row.findings)
