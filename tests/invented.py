"""Invented vans and bare networks that several tests share. No figure here is a check."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np

from vanclimate.answers.scene import Scene, set_scene
from vanclimate.answers.season import record_for, season_of, spot_of
from vanclimate.energy.array import Controllers
from vanclimate.energy.cells import cells_of
from vanclimate.energy.inverter import inverter_of
from vanclimate.equipment.air_conditioner import AirConditioner
from vanclimate.equipment.heater import electric_heater_of, heater_of
from vanclimate.equipment.unit import NO_UNIT
from vanclimate.network.compile import Network
from vanclimate.physics.opening_flow import CLOSED
from vanclimate.simulate import of_zone
from vanclimate.simulate.columns import INDEX, NAMES, ZONE_NAMES
from vanclimate.simulate.gear import NO_SHORE
from vanclimate.simulate.inputs import Cabin, Equipment, Outside, Schedule, Trace
from vanclimate.simulate.plan import bedtime_on
from vanclimate.simulate.start import start_devices, start_state, start_zones
from vanclimate.simulate.switches import N_DEVICES
from vanclimate.site.record import record_of
from vanclimate.site.spot import at_spot
from vanclimate.site.weather import Weather
from vanclimate.van.battery import Battery
from vanclimate.van.inverter import Inverter
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

if TYPE_CHECKING:
    from vanclimate.simulate.lanes import Lanes
    from vanclimate.simulate.scratch import Scratch

FOAMED = """\
roof: [steel 0.9 mm, sprayed foam 2 in, plywood 1/4 in]
  walls: [steel 20 gauge, sprayed foam 1-1/2 in, plywood 6 mm]
  floor: [steel 1.2 mm, XPS 1 in, plywood 1/2 in]"""
BARE = """\
roof: [steel 0.9 mm]
  walls: [steel 0.9 mm]
  floor: [steel 1.2 mm, plywood 1/2 in]"""

TEXT = """\
name: invented for a test
site: {{design day: {{low: {low} C, high: {high} C, latitude: 35, longitude: -80,
       humidity: {humidity} %, date: {date}}}}}
heading: {heading}
units: si
body: {{length: 3.6 m, width: 1.78 m, height: 1.88 m, colour: {colour}, leakage: {leakage}}}
stacks:
  {stacks}
windows:
  - {{name: windscreen, side: front, area: 1.3 m2, glass: laminated, cover: {cover},
     covered: night}}
  - {{name: left window, side: left, area: {left_glass} m2, glass: clear}}
  - {{name: right window, side: right, area: {right_glass} m2, glass: clear}}
people: {{sleepers: {sleepers}, bedtime: 22:30, waking: 07:00}}
air conditioner:
  capacity: 13.5 kBTU/h
  power: 1300 W
  airflow: 320 CFM
  blower power: 110 W
  blower: {blower}
  feed: {feed}
  setpoint: {setpoint} C
  by day: {by_day}
battery: {{capacity: {bank} Ah}}
roof panels: {{power: {panels} W}}
loads:
  - {{name: fridge, kind: fridge, power: 55 W}}
  - {{name: lights, power: 15 W, when: 19:00 to 22:30}}
  - {{name: kettle, power: 800 W, when: 07:00 to 07:10, feed: inverter, water: {kettle_water} g/h}}
"""
USUAL: dict[str, Any] = {
    "low": 23, "high": 34, "humidity": 80, "date": "07-10", "heading": "180 deg",
    "colour": "white", "leakage": "ordinary", "stacks": FOAMED, "cover": "insulated",
    "left_glass": 0.4, "right_glass": 0.4, "sleepers": 2, "blower": "automatic",
    "feed": "inverter", "setpoint": 24, "by_day": "off", "bank": 400, "panels": 400,
    "kettle_water": 600,
}  # fmt: skip


def sheet(**changes: Any) -> Sheet:
    """Return a small van on a made-up day, some values changed."""
    return sheet_of(TEXT, **changes)


def sheet_of(text: str, **changes: Any) -> Sheet:
    """Return the sheet of a text like `TEXT`, some values changed."""
    unknown = set(changes) - set(USUAL)
    assert not unknown, unknown
    return loads_text(text.format(**(USUAL | changes)))


def weather_of(of: Sheet) -> Weather:
    """Return all the weather of a sheet's site at the van's spot."""
    record = record_for(of)
    return at_spot(record.whole(), spot_of(of, record))


def scene(**changes: Any) -> Scene:
    """Return the scene of such a sheet."""
    made = sheet(**changes)
    return set_scene(made, weather_of(made), 180.0 if made.heading is None else made.heading)


def bedtime(of: Scene, extra_days: int = 0) -> datetime:
    """Return the bedtime on the weather's first day."""
    w = of.place.weather
    moment = bedtime_on(of.sheet, w.start.tzinfo, w.start.date())
    return moment + timedelta(days=extra_days)


def nights(of: Scene) -> tuple[datetime, ...]:
    """Return the bedtimes that a scene's sheet asks about, in its one spell."""
    (spell,) = season_of(of.sheet, record_of(of.place.weather)).spells
    return spell.nights


PRESSURE = 101325.0  # Pa
NO_GEAR = Equipment(
    unit=NO_UNIT,
    burner=heater_of(None, PRESSURE),
    electric=electric_heater_of(None),
    cells=cells_of(Battery(capacity=100.0))._replace(heat_capacity=1.0, conductance=0.0),
    inverter=inverter_of(Inverter(on="needed"), 12.8),
    shore=NO_SHORE,
    controllers=Controllers(0.0, 0.0, 0.0, 0.0),
    kept=0.0,
    limited=1.0,
)
"""Nothing that runs, and a bank that neither warms nor cools the air."""


def outside(chains: int, nodes: int, hours: int, *, temp: float, humidity: float = 0.001,
            wind: float = 0.0, surroundings: Any = None) -> Outside:  # fmt: skip
    """Return an outside that never changes, without sun, in segments of an hour."""
    around = temp if surroundings is None else surroundings
    return Outside(
        temp=np.full(hours + 1, temp),
        humidity=np.full(hours + 1, humidity),
        wind=np.full(hours + 1, wind),
        wet_bulb=np.full(hours + 1, temp),
        surroundings=np.zeros((hours + 1, chains)) + around,
        windward=np.full((hours + 1, chains), 0.5),
        sun=np.zeros((hours, nodes)),
        pressure=PRESSURE,
    )


BY_ZONE = (
    "passage_open", "stirred", "fan_flow", "fan_balanced", "by_stack", "by_wind", "in_calm",
    "asleep", "awake", "air_gain", "star_gain", "free_gain", "free_water",
)  # fmt: skip
BY_GROUP = ("load_power", "fridge_power", "fridge_heat")


def idle(hours: int, chains: int, zones: int = 1, **set_to: Any) -> Schedule:
    """Return a schedule in which nothing runs, save what ``set_to`` says of a whole field."""
    fields = {name: np.zeros(hours) for name in Schedule._fields}
    fields |= {name: np.zeros((hours, zones)) for name in BY_ZONE}
    fields |= {name: np.zeros((hours, 1, 2)) for name in BY_GROUP}
    fields |= {name: np.zeros((hours, 1, 2, zones)) for name in ("load_heat", "load_water")}
    fields["solar"] = np.zeros((hours, 2))
    fields["group_floor"] = np.zeros((hours, 1))
    fields["heat_setpoint"] = np.full((hours, N_DEVICES), np.nan)
    fields["heat_floor"] = np.zeros((hours, N_DEVICES))
    fields["start"] = 3600.0 * np.arange(hours)
    fields["end"] = fields["start"] + 3600.0
    fields["covered"] = np.zeros((hours, chains))
    fields["bank_set"] = np.full(hours, -1.0)
    fields["heat_below"] = np.full(hours, np.nan)
    fields["cool_above"] = np.full(hours, np.nan)
    for name, value in set_to.items():
        fields[name] = fields[name] * 0.0 + value if name in BY_ZONE else np.full(hours, value)
    return Schedule(**fields)


def cabin(air_mass: Any, **set_to: Any) -> Cabin:
    """Return zones of that dry air [kg], tight and bare save what ``set_to`` says."""
    mass = np.atleast_1d(np.asarray(air_mass, dtype=float))
    per_zone = Cabin._fields[: Cabin._fields.index("stack")]
    fields: dict[str, Any] = {name: np.zeros(len(mass)) for name in per_zone}
    fields |= {"air_mass": mass, "stack": 0.0, "shelter": 0.0, "sleeping": 72.0, "awake": 108.0}
    fields |= {"door": CLOSED, "door_seconds": 0.0}
    fields |= dict.fromkeys(Cabin._fields[Cabin._fields.index("roof_lane") :], 0)
    for name, value in set_to.items():
        fields[name] = np.zeros(len(mass)) + value if name in per_zone else value
    return Cabin(**fields)


def scratch_of(net: Lanes, of: Cabin, zones: Any, node: Any, gear: Equipment = NO_GEAR,
               charge: float = 0.0) -> Scratch:  # fmt: skip
    """Return the loop's arrays before anything runs, the bank as warm as the living space."""
    from vanclimate.simulate.scratch import scratch

    state = start_state(gear, charge, float(zones[of_zone.AIR, 0]), -np.inf)
    return scratch(net, of, zones, node, state, start_devices(gear, of), 1)


def run_bare(net: Network, out: Outside, plan: Schedule, of: Cabin, *, start: float,
             base: float = 300.0,
             unit: AirConditioner = NO_UNIT) -> tuple[dict[str, Any], Trace]:  # fmt: skip
    """Run the loop on a bare network from a uniform ``start`` [°C]: columns and trace."""
    from vanclimate.simulate.kernel import run
    from vanclimate.simulate.lanes import lanes_of

    rows = round(float(plan.end[-1]) / base)
    chains, nodes, zones = len(net.area), len(net.capacity), len(net.volume)
    trace = Trace(
        np.zeros((rows, len(NAMES))), np.zeros((rows, chains)), np.zeros((rows, chains)),
        np.zeros((rows, zones, len(ZONE_NAMES))), np.zeros((rows, nodes)),
    )  # fmt: skip
    begin = start_zones(zones, start, out.humidity[0], of.buffer, 0.5)
    lanes = lanes_of(net)
    gear = NO_GEAR._replace(unit=unit)
    own = scratch_of(lanes, of, begin, np.full(nodes, start), gear, 50.0)
    assert run(lanes, out, plan, of, gear, own, base, trace) == rows
    return {name: trace.rows[:, i] for name, i in INDEX.items()}, trace
