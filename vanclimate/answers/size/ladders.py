"""Sizes as the trade sells them, and a sheet with each device at one of them.

What does not belong here: which of them is enough (``find``). Growing what a sheet has is a
remedy (``futures.remedies``); here it is brought to a size, larger or smaller.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

from vanclimate.answers.futures.remedies import WORK, roof_holds
from vanclimate.units import BTU_H
from vanclimate.van.cooling import AirConditioner
from vanclimate.van.driving import DcCharger
from vanclimate.van.heating import MOST_HELD
from vanclimate.van.panels import STRINGS, RoofPanels
from vanclimate.van.sheet import Sheet

KBTU_H = 1e3 * BTU_H  # W
SMALL_BANK = 12.8  # V of a bank whose step is 100 Ah
MOST_AH = 2000.0  # at that voltage
SPARE = 1.25  # of an inverter's rating over what hangs on it, where one must be larger; assumed
SET_OFF = 2.0  # K that a dial may be off towards the limit, see van.unknowns
WALLS = 1.0  # K by which cold or warm walls make what is felt differ from the air; assumed
LEAST_DIAL = 16.0  # °C
APART = 4.0  # K between the dials of AC and heater, so that they do not work against each other
ROOM_IN_TANK = 0.2  # m3: fuel is no limit where a heater's size is looked for

AC = tuple(KBTU_H * x for x in (5.0, 6.0, 8.0, 9.0, 11.0, 13.5, 15.0))
HEATERS = (2000.0, 4000.0, 5000.0, 8000.0)
CHARGERS = (20.0, 30.0, 40.0, 50.0, 60.0)
"""Classes of air conditioners and heaters [W], and of DC-DC chargers [A]."""
CLASSES = "common practice, no source"
"""Where those sizes come from."""


@dataclass(frozen=True)
class Device:
    """A device that is sized.

    Parameters
    ----------
    name, quantity : as a reader says it, and the kind of its size
    sizes : of a sheet, smallest first; SI
    own : the size in a sheet, None where it has none
    sized : a sheet with the device at a size
    """

    name: str
    quantity: str
    sizes: Callable[[Sheet], tuple[float, ...]]
    own: Callable[[Sheet], float | None]
    sized: Callable[[Sheet, float], Sheet]


def bank_step(sheet: Sheet) -> float:
    """Return the steps of a bank [Ah]: 100 Ah at 12 V, 50 Ah at 24 V, 25 Ah at 48 V."""
    return 100.0 / max(1, round(sheet.battery.voltage / SMALL_BANK))


def _banks(sheet: Sheet) -> tuple[float, ...]:
    step = bank_step(sheet)
    return tuple(step * (i + 1) for i in range(round(MOST_AH / 100.0)))


def _roofs(sheet: Sheet) -> tuple[float, ...]:
    """Return panels in steps of 100 W, up to the roof's room or what the sheet has on it."""
    most = max(roof_holds(sheet), sheet.roof_panels.power)
    return tuple(100.0 * (i + 1) for i in range(int(most // 100.0)))


def _own_ac(sheet: Sheet) -> float | None:
    return None if sheet.air_conditioner is None else sheet.air_conditioner.capacity


def _own_heater(sheet: Sheet) -> float | None:
    return None if sheet.heater is None else sheet.heater.output


def _own_charger(sheet: Sheet) -> float | None:
    charger = sheet.dc_charger
    return None if charger is None else charger.count * charger.amps


def _at(what: str, own: Callable[[Sheet], float | None]) -> Callable[[Sheet, float], Sheet]:
    """Return how a device is brought to a size by its remedy."""

    def sized(sheet: Sheet, size: float) -> Sheet:
        now = own(sheet)
        assert now is not None, "a device of the sheet"
        return sheet if size == now else WORK[what][1](sheet, size - now)

    return sized


def with_ac(sheet: Sheet, size: float) -> Sheet:
    """Return a sheet with an AC of a size [W]: all of it in proportion, and an inverter for it."""
    unit = sheet.air_conditioner
    assert unit is not None, "an AC of the sheet"
    if unit.table is None:
        sheet = _at("air conditioner", _own_ac)(sheet, size)
    else:
        sheet = _tabled(sheet, unit, size / unit.capacity)
    grown, inverter = sheet.air_conditioner, sheet.inverter
    assert grown is not None, "still there"
    if grown.feed == "inverter" and inverter is not None and grown.power > inverter.rating:
        rating = 500.0 * ceil(SPARE * grown.power / 500.0)
        sheet = sheet.with_value("inverter.rating", rating)
    return sheet


def _tabled(sheet: Sheet, unit: AirConditioner, share: float) -> Sheet:
    """Return a sheet whose AC's table is in proportion."""
    assert unit.table is not None, "by its table"
    points = tuple(
        p._replace(capacity=p.capacity * share, power=p.power * share) for p in unit.table
    )
    smaller = {"blower_power": unit.blower_power * share, "airflow": unit.airflow * share}
    steps = [("table", points), *smaller.items()]
    for key, value in steps if share > 1.0 else reversed(steps):
        sheet = sheet.with_value(f"air_conditioner.{key}", value)
    return sheet


def with_heater(sheet: Sheet, size: float) -> Sheet:
    """Return a sheet with a heater of an output [W]: what the sheet says of it in proportion."""
    heater = sheet.heater
    assert heater is not None, "a heater of the sheet"
    share = size / heater.output
    given = [key for key in ("floor", "fan_floor", "fan_full", "fan_coil", "airflow", "purge_power")
             if key in heater.model_fields_set]  # fmt: skip
    scaled = [(key, share * getattr(heater, key)) for key in given]
    steps = [*scaled, ("output", size)]  # of two that have an order the smaller first
    for key, value in reversed(steps) if share > 1.0 else steps:
        sheet = sheet.with_value(f"heater.{key}", value)
    return sheet


def with_roof(sheet: Sheet, size: float) -> Sheet:
    """Return a sheet with so many watts on the roof; told strings and shadows are left out."""
    panels = sheet.roof_panels
    if panels.model_fields_set & set(STRINGS):
        kept = {key: getattr(panels, key) for key in panels.model_fields_set - set(STRINGS)}
        sheet = sheet.with_value("roof_panels", RoofPanels(**{**kept, "power": size}))
    return sheet.with_value("roof_panels.power", size)


def with_charger(sheet: Sheet, size: float) -> Sheet:
    """Return a sheet with one DC-DC charger of so many amps."""
    if sheet.dc_charger is None:
        return sheet.with_value("dc_charger", DcCharger(amps=size))
    return sheet.with_value("dc_charger.count", 1).with_value("dc_charger.amps", size)


def without_fuel_limit(sheet: Sheet) -> Sheet:
    """Return a sheet whose heater never runs out of fuel within a stay."""
    if sheet.heater is None:
        return sheet
    sheet = sheet.with_value("heater.tank", max(ROOM_IN_TANK, sheet.heater.tank))
    return sheet.with_value("heater.tank_at_start", 1.0)


def with_cool_dial(sheet: Sheet) -> Sheet:
    """Return a sheet whose AC is set as low as people would need to, clear of the heater's dial.

    Else a thermostat near the limit would fail whatever the size. The room is what people's setting
    is off by (`van.unknowns`), the thermostat's differential, and `WALLS`.
    """
    unit, heater = sheet.air_conditioner, sheet.heater
    if unit is None or unit.heats:
        return sheet
    low = max(LEAST_DIAL, sheet.people.limit - SET_OFF - unit.differential - WALLS)
    low = low if heater is None else max(low, heater.setpoint + APART)
    return sheet.with_value("air_conditioner.setpoint", low) if low < unit.setpoint else sheet


def with_warm_dial(sheet: Sheet) -> Sheet:
    """Return a sheet whose heater is set as high as people would need to, the AC clear of it."""
    unit, heater = sheet.air_conditioner, sheet.heater
    if heater is None:
        return sheet
    need = sheet.people.least + SET_OFF + heater.differential + WALLS
    high = min(MOST_HELD - APART, need)
    if high <= heater.setpoint:
        return sheet
    if unit is not None and unit.setpoint < high + APART:
        sheet = sheet.with_value("air_conditioner.setpoint", high + APART)
    return sheet.with_value("heater.setpoint", high)


def with_great_bank(sheet: Sheet) -> Sheet:
    """Return a sheet whose rules never find the bank low; without such rules it is as it was."""
    return sheet.with_value("battery.capacity", _banks(sheet)[-1]) if sheet.rules else sheet


DEVICES = {
    device.name: device
    for device in (
        Device("AC", "heat_rate", lambda sheet: AC, _own_ac, with_ac),
        Device("heater", "heat_rate", lambda sheet: HEATERS, _own_heater, with_heater),
        Device("bank", "charge", _banks, lambda sheet: sheet.battery.capacity,
               _at("battery", lambda sheet: sheet.battery.capacity)),
        Device("roof", "power", _roofs, lambda sheet: sheet.roof_panels.power or None, with_roof),
        Device("DC-DC charger", "current", lambda sheet: CHARGERS, _own_charger, with_charger),
    )
}  # fmt: skip
"""Each by its name, in the order in which they are sized: a later one stands on those before."""
