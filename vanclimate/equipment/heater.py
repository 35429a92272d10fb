"""Heaters from their data plates: fuel, watts, what keeps one from starting, coolant.

Here: a heater at one instant, and its coolant over a stretch of steady firing. Its thermostat and
the order of start, burning and purging are in the loop. What does not belong here: a heat pump
(heat_pump), and an open flame (burner).
"""

from __future__ import annotations

from math import expm1, inf, log
from typing import TYPE_CHECKING, NamedTuple

from numba.extending import register_jitable

from vanclimate.physics.air import STANDARD_PRESSURE
from vanclimate.physics.fuels import FUELS

if TYPE_CHECKING:
    from vanclimate.van.heating import ElectricHeater as ElectricHeaterSheet
    from vanclimate.van.heating import Heater as HeaterSheet

COOLANT_HEAT = 3.65e3  # J/K of a litre of half water, half ethylene glycol, at 60 °C (CoolProp)
STILL_COIL = 0.05  # of the fan coil's conductance with its fan off, hoses too; assumed
USUAL_LEAST_VOLTS = 10.5 / 12.8  # of the bank's nominal voltage: 10.5 V of 12 V heaters; assumed

STARTS, LOW_VOLTS, COLD_FUEL, EMPTY = 0, 1, 2, 3
"""What `can_start` says."""


class FuelHeater(NamedTuple):
    """A fuel heater as the loop uses it; SI, fuel in litres."""

    there: bool
    hydronic: bool
    full: float  # W of heat at full output, in the air it stands in
    floor: float  # W of heat at the least output; less is made by burning off and on
    efficiency: float  # heat given over lower heating value
    heating_value: float  # J/L
    differential: float  # K between on and off
    start: float  # s from switching on until it gives heat
    glow_power: float  # W meanwhile
    purge: float  # s of its fan after the flame is out
    purge_power: float  # W meanwhile
    fan_floor: float  # W at the least output
    fan_full: float  # W at full output
    standby: float  # W while it waits for its thermostat
    least_volts: float  # V below which it neither starts nor burns
    coldest_fuel: float  # °C below which it does not start
    fuel: float  # L usable at the start
    airflow: float  # m3/s of outdoor air blown in at full output; 0: the cabin's own air
    full_run_every: float  # s of burning after which it runs at full output; inf never
    full_run: float  # s of that
    coolant_heat: float  # J/K of the coolant
    fan_coil: float  # W/K from coolant to air, fan on
    still_coil: float  # W/K from coolant to air, fan off
    coil_fan_power: float  # W
    pump_power: float  # W, while it burns or the coil's fan runs
    coolant_off: float  # °C of the coolant at which the burner stops
    coolant_on: float  # °C of the coolant at which it starts again
    coil_fan_from: float  # °C of the coolant from which the fan runs


class ElectricHeater(NamedTuple):
    """An electric heater as the loop uses it."""

    there: bool
    power: float  # W, all of it heat in its zone
    on_inverter: bool
    differential: float  # K between on and off


class Coolant(NamedTuple):
    """What a stretch of steady firing makes of the coolant."""

    end: float  # °C
    heat: float  # W to the air, mean over the stretch


@register_jitable
def fuel_rate(heater: FuelHeater, output: float) -> float:
    """Return the fuel burnt [L/s] at an ``output`` [W]: output / (efficiency x heating value).

    Of the lower heating value, since the fumes leave with their water as vapour.
    """
    return output / (heater.efficiency * heater.heating_value)


@register_jitable
def fan_power(heater: FuelHeater, output: float) -> float:
    """Return the watts of the burning heater's fans and fuel pump at an ``output`` [W].

    Straight between those of least and full output: a plate gives no more. 0 W without output.
    """
    if output <= 0.0:
        return 0.0
    if heater.full <= heater.floor:
        return heater.fan_full
    share = (output - heater.floor) / (heater.full - heater.floor)
    return heater.fan_floor + min(max(share, 0.0), 1.0) * (heater.fan_full - heater.fan_floor)


@register_jitable
def outdoor_air(heater: FuelHeater, output: float) -> float:
    """Return the outdoor air [m³/s] that it blows in at an ``output`` [W].

    In proportion to the output, so that the air leaves it equally hot (assumed: its fan follows).
    """
    return heater.airflow * output / heater.full


@register_jitable
def can_start(heater: FuelHeater, volts: float, fuel_temp: float, fuel: float) -> int:
    """Return `STARTS`, or what keeps the heater from starting.

    Parameters
    ----------
    volts : at its terminals [V]
    fuel_temp : of the fuel in its tank and line [°C]
    fuel : left above the stand-pipe's end [L]
    """
    if fuel <= 0.0:
        return EMPTY
    if volts < heater.least_volts:
        return LOW_VOLTS
    if fuel_temp < heater.coldest_fuel:
        return COLD_FUEL
    return STARTS


@register_jitable
def coil_conductance(heater: FuelHeater, fan_on: float) -> float:
    """Return the conductance [W/K] from coolant to air; ``fan_on`` is 1 or 0."""
    return heater.still_coil + fan_on * (heater.fan_coil - heater.still_coil)


@register_jitable
def coolant_step(
    heater: FuelHeater, coolant: float, air: float, firing: float, fan_on: float, h: float
) -> Coolant:
    """Return the coolant's temperature after ``h`` [s], and its mean heat to the air.

    The exact solution of C dT/dt = P - U (T - T_air) with all else steady. The heat is what the
    burner gave less what the coolant kept, so that the two close.

    Parameters
    ----------
    coolant, air : at the start [°C]
    firing : heat of the burner [W]
    fan_on : 1 or 0
    h : more than 0 [s]
    """
    u = coil_conductance(heater, fan_on)
    gap = air + firing / u - coolant
    rise = -gap * expm1(-u * h / heater.coolant_heat)
    return Coolant(coolant + rise, firing - heater.coolant_heat * rise / h)


@register_jitable
def coolant_time(
    heater: FuelHeater, coolant: float, air: float, firing: float, fan_on: float, target: float
) -> float:
    """Return the time [s] until the coolant is at ``target`` [°C]; inf where it never is."""
    u = coil_conductance(heater, fan_on)
    end = air + firing / u
    if coolant == target:
        return 0.0
    if (target - coolant) * (end - target) <= 0.0:
        return inf
    return heater.coolant_heat / u * log((coolant - end) / (target - end))


def derated(output: float, pressure: float, corrected: bool) -> float:
    """Return the full output [W] in air of a ``pressure`` [Pa].

    The fan moves the same volume at every height, so air and the fuel that it can burn fall with
    the density; at equal temperature that is the pressure's ratio. A corrected burner holds its
    output.
    """
    return output if corrected else output * min(1.0, pressure / STANDARD_PRESSURE)


def heater_of(part: HeaterSheet | None, pressure: float, bank_voltage: float = 12.8) -> FuelHeater:
    """Return the fuel heater as the loop uses it; one that never runs where there is none.

    Parameters
    ----------
    part : the sheet's section
    pressure : of the air [Pa]
    bank_voltage : nominal [V]; the usual least voltage is in proportion to it
    """
    if part is None:
        return _NONE
    full = derated(part.output, pressure, part.altitude_kit)
    usual = USUAL_LEAST_VOLTS * bank_voltage
    outdoor = part.kind == "air" and part.air == "outdoor"
    every = part.full_run_every
    return FuelHeater(
        there=True,
        hydronic=part.kind == "hydronic",
        full=full,
        floor=min(part.floor, full),
        efficiency=part.efficiency,
        heating_value=FUELS[part.fuel].heating_value,
        differential=part.differential,
        start=part.start,
        glow_power=part.glow_power,
        purge=part.purge,
        purge_power=part.purge_power,
        fan_floor=part.fan_floor,
        fan_full=part.fan_full,
        standby=part.standby,
        least_volts=usual if part.least_volts is None else part.least_volts,
        coldest_fuel=part.coldest_fuel,
        fuel=part.usable_fuel,
        airflow=part.airflow if outdoor else 0.0,
        full_run_every=inf if every is None else every,
        full_run=part.full_run,
        coolant_heat=1e3 * part.coolant * COOLANT_HEAT,
        fan_coil=part.fan_coil,
        still_coil=STILL_COIL * part.fan_coil,
        coil_fan_power=part.coil_fan_power,
        pump_power=part.pump_power,
        coolant_off=part.coolant_off,
        coolant_on=part.coolant_on,
        coil_fan_from=part.coil_fan_from,
    )


_NONE = FuelHeater(
    there=False, hydronic=False, full=1.0, floor=1.0, efficiency=1.0, heating_value=1.0,
    differential=1.0, start=0.0, glow_power=0.0, purge=0.0, purge_power=0.0, fan_floor=0.0,
    fan_full=0.0, standby=0.0, least_volts=inf, coldest_fuel=0.0, fuel=0.0, airflow=0.0,
    full_run_every=inf, full_run=0.0, coolant_heat=1.0, fan_coil=1.0, still_coil=1.0,
    coil_fan_power=0.0, pump_power=0.0, coolant_off=1.0, coolant_on=0.0, coil_fan_from=0.0,
)  # fmt: skip
"""Without fuel, so that it never starts."""


def electric_heater_of(part: ElectricHeaterSheet | None) -> ElectricHeater:
    """Return the electric heater as the loop uses it; one of no watts where there is none."""
    if part is None:
        return ElectricHeater(False, 0.0, True, 1.0)
    return ElectricHeater(True, part.power, part.feed == "inverter", part.differential)
