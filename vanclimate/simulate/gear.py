"""From a sheet to what the loop takes of its equipment, and what stands in which zone.

What does not belong here: schedules (``plan``), and how any of it behaves (``equipment``,
``energy``).
"""

from __future__ import annotations

import numpy as np

from vanclimate.energy.array import controllers_of
from vanclimate.energy.cells import cells_of
from vanclimate.energy.inverter import inverter_input, inverter_of
from vanclimate.energy.shore import Shore
from vanclimate.equipment.heater import electric_heater_of, heater_of
from vanclimate.equipment.unit import unit_of
from vanclimate.network.compile import Model
from vanclimate.physics.air import density
from vanclimate.physics.airflow import stack_coefficient, wind_coefficient
from vanclimate.physics.comfort import AWAKE_HEAT
from vanclimate.simulate.air import door_of
from vanclimate.simulate.inputs import Cabin, Equipment
from vanclimate.simulate.lanes import order_of
from vanclimate.simulate.loads import BATTERY, MAINS, load_arrays
from vanclimate.simulate.sources import always_plugged, shore_of
from vanclimate.van.driving import DcCharger
from vanclimate.van.fields import DAY
from vanclimate.van.heating import ElectricHeater, Heater
from vanclimate.van.inverter import Inverter
from vanclimate.van.panels import Modules
from vanclimate.van.sheet import Sheet
from vanclimate.van.shore import Shore as ShoreSection

MORNING = 120  # minutes after waking whose loads must still be in the bank; assumed
NO_SHORE = Shore(0.0, 1.0, 1.0, 0.0, 1.0, True)
"""An inlet that carries nothing, where a sheet has none."""


def gear_of(sheet: Sheet, pressure: float) -> Equipment:
    """Return what the sheet draws, holds, brings, heats and cools with.

    Parameters
    ----------
    sheet : the van
    pressure : of the air [Pa]
    """
    bank = sheet.battery
    cells = cells_of(bank)
    return Equipment(
        unit=unit_of(sheet.air_conditioner, pressure),
        burner=heater_of(sheet.heater, pressure, bank.voltage),
        electric=electric_heater_of(sheet.electric_heater),
        cells=cells,
        inverter=inverter_of(sheet.inverter, bank.voltage),
        shore=shore_of(sheet) or NO_SHORE,
        controllers=controllers_of(sheet.roof_panels, sheet.ground_panel, bank.voltage),
        kept=max(bank.reserve, bank.cut_off) * cells.capacity + morning_charge(sheet),
        limited=1.0,
    )


def morning_charge(sheet: Sheet) -> float:
    """Return the charge [Ah] that the scheduled loads of the first two hours after waking take.

    Loads that always run are left out: they go on whatever the hour, and the sun is up by then.
    So are those on the mains sockets while the van is plugged in.
    """
    minute = np.mod(sheet.people.waking + np.arange(MORNING) + 0.5, DAY)
    timed = sheet.model_copy(update={"loads": tuple(x for x in sheet.loads if x.when)})
    drawn = load_arrays(timed, minute)
    by_feed = (drawn.power + drawn.fridge).sum(axis=1)
    watts = by_feed[:, BATTERY].sum()
    if sheet.inverter is not None:
        given = inverter_of(sheet.inverter, sheet.battery.voltage)
        on_inverter = by_feed[~always_plugged(sheet, minute), MAINS]
        takes = {x: inverter_input(given, x) - given.waiting for x in set(on_inverter.tolist())}
        watts += sum(takes[x] for x in on_inverter.tolist())
    return float(watts / 60.0 / sheet.battery.voltage)


def cabin_of(sheet: Sheet, model: Model, pressure: float) -> Cabin:
    """Return the zones' figures; dry air is weighed at 25 °C."""
    zones = model.zones
    index = {zone.name: i for i, zone in enumerate(zones)}
    leak, opening, height = (np.zeros(len(zones)) for _ in range(3))
    for passage in model.passages:
        leak[passage.zone] = passage.leak
        opening[passage.zone], height[passage.zone] = passage.opening, passage.height
    return Cabin(
        air_mass=model.network.volume * float(density(25.0, 0.01, pressure)),
        leakage=sheet.body.leakage * np.array([z.leakage_share for z in zones]),
        passage_leak=leak,
        passage_opening=opening,
        passage_height=height,
        buffer=np.array([z.buffer_capacity for z in zones]),
        buffer_exchange=np.array([z.buffer_conductance for z in zones]),
        stack=stack_coefficient(sheet.body.height),
        shelter=wind_coefficient(sheet.body.shelter, sheet.body.height),
        door=door_of(sheet),
        door_seconds=sheet.doors.open_for,
        sleeping=sheet.people.heat_asleep,
        awake=AWAKE_HEAT,
        fridge_zone=next((index[x.zone] for x in sheet.loads if x.kind == "fridge"), 0),
        inverter_zone=_zone(index, sheet.inverter),
        bank_zone=index[sheet.battery.zone],
        roof_lane=_roof_lane(model),
        roof_controller_zone=_zone(index, sheet.roof_panels),
        ground_controller_zone=_zone(index, sheet.ground_panel),
        drive_zone=_zone(index, sheet.dc_charger),
        charger_zone=_zone(index, sheet.shore),
        burner_zone=_zone(index, sheet.heater),
        electric_zone=_zone(index, sheet.electric_heater),
    )


def _zone(
    index: dict[str, int],
    part: DcCharger | ShoreSection | Heater | ElectricHeater | Inverter | Modules | None,
) -> int:
    """Return the zone of a part that may not be there, or outside."""
    return 0 if part is None or part.zone == "outside" else index[part.zone]


def _roof_lane(model: Model) -> int:
    """Return the lane of the living space's roof; the first one where it has none."""
    chains = [k for k, c in enumerate(model.chains) if c.group == "roof" and c.zone == 0]
    lane = np.flatnonzero(np.asarray(order_of(model).chain) == (chains or [0])[0])
    return int(lane[0])
