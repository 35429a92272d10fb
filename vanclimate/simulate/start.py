"""The loop's arrays at a run's start: all at rest, one temperature everywhere."""

from __future__ import annotations

import numpy as np

from vanclimate.energy.cells import open_circuit_voltage
from vanclimate.network.compile import Array
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import state as at
from vanclimate.simulate.controls import FIRST_STEP
from vanclimate.simulate.heating import SHORTEST_BURN
from vanclimate.simulate.inputs import Cabin, Equipment
from vanclimate.simulate.switches import (
    BURNER,
    COOLING,
    DIFFERENTIAL,
    ELECTRIC,
    HEAT_PUMP,
    LOCK_UNTIL,
    MINIMUM_OFF,
    MINIMUM_RUN,
    N_DEVICES,
    N_SWITCH,
    REST,
    SENSE,
    SETPOINT,
    ZONE,
)

SHORTEST_ELECTRIC = 30.0  # s, of an electric heater's and a fan coil's runs, pauses; assumed


def start_state(gear: Equipment, charge: float, air: float, held: float) -> Array:
    """Return the loop's scalar state.

    Parameters
    ----------
    gear : the van's equipment
    charge : [Ah]
    air : [°C], of the coolant as well
    held : [°C] that heaters hold, -inf where none does: the bank of a van that is lived in is no
        colder than that. Were it as cold as outdoors, its protection might keep them all off.
    """
    v = np.zeros(at.N_STATE)
    v[at.CHARGE] = charge
    v[at.BANK_TEMP], v[at.COOLANT] = max(air, held), air
    v[at.VOLTS] = open_circuit_voltage(gear.cells, charge)
    for until in (at.READY, at.LIT, at.PURGED, at.FULL_UNTIL, at.INVERTER_UNTIL):
        v[until] = REST
    v[at.FUEL], v[at.OUTPUT] = gear.burner.fuel, gear.burner.full
    v[at.CAP] = FIRST_STEP
    return v


def start_devices(gear: Equipment, cabin: Cabin) -> Array:
    """Return the switched devices: off, nothing locked, nothing set; see ``switches``."""
    devices = np.zeros((N_DEVICES, N_SWITCH))
    devices[:, LOCK_UNTIL] = REST
    devices[:, SENSE] = -1.0
    devices[COOLING, SENSE] = 1.0
    devices[:, SETPOINT] = 99.0
    for row in (COOLING, HEAT_PUMP):
        devices[row, DIFFERENTIAL] = gear.unit.differential
        devices[row, MINIMUM_RUN] = gear.unit.minimum_run
        devices[row, MINIMUM_OFF] = gear.unit.minimum_off
    devices[BURNER, DIFFERENTIAL] = gear.burner.differential
    # a hydronic one's thermostat runs its fan coil; its flame has times of its own
    heater = gear.burner
    devices[BURNER, MINIMUM_RUN] = (
        SHORTEST_ELECTRIC if heater.hydronic else (heater.start + SHORTEST_BURN)
    )
    devices[BURNER, MINIMUM_OFF] = SHORTEST_ELECTRIC if heater.hydronic else heater.purge
    devices[BURNER, ZONE] = cabin.burner_zone
    devices[ELECTRIC, DIFFERENTIAL] = gear.electric.differential
    devices[ELECTRIC, MINIMUM_RUN] = devices[ELECTRIC, MINIMUM_OFF] = SHORTEST_ELECTRIC
    devices[ELECTRIC, ZONE] = cabin.electric_zone
    return devices


def start_zones(count: int, air: float, humidity: float, buffer: Array, held: float) -> Array:
    """Return the zones, all alike.

    Parameters
    ----------
    count : of zones
    air : [°C], of air and surfaces
    humidity : [kg/kg]
    buffer : (zones,) water that linings take up per unit of relative humidity [kg]
    held : relative humidity that the linings are in equilibrium with [0..1]
    """
    zones = np.zeros((of.N_ZONE, count))
    for row in (of.AIR, of.STAR, of.AIR_BEFORE, of.STAR_BEFORE):
        zones[row] = air
    zones[of.HUMIDITY] = zones[of.HUMIDITY_BEFORE] = humidity
    zones[of.BUFFER] = held * buffer
    return zones
