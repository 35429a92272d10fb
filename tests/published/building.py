"""The test building of ANSI/ASHRAE Standard 140's fabric cases, described for this package.

Geometry, constructions, gains and plant are written from memory of the standard as our notes give
them; details that are doubtful are marked so where they stand.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from math import nan
from pathlib import Path

import numpy as np

from tests.invented import NO_GEAR, cabin, idle
from vanclimate.network.compile import Model, compile_shell
from vanclimate.network.shell import RSE, RSI, Glazing, Shell, Surface, Zone
from vanclimate.network.solar import absorbed_sun
from vanclimate.network.surroundings import radiant_surroundings, windward
from vanclimate.physics.air import density
from vanclimate.physics.convection import ROUGHNESS
from vanclimate.physics.glass import pane_from_normal
from vanclimate.simulate.inputs import Outside
from vanclimate.simulate.place import WALLS
from vanclimate.simulate.plan import Plan
from vanclimate.simulate.runs import Run, execute
from vanclimate.site.ground import AS_AIR, ground_temps
from vanclimate.site.readers import read_weather
from vanclimate.site.sky import sky
from vanclimate.site.spot import Spot, at_spot
from vanclimate.site.sun import Irradiance, irradiance
from vanclimate.site.weather import Weather, window, window_edges
from vanclimate.van.openings import Glass
from vanclimate.van.sheet import Layer

DENVER = Path(__file__).parents[3] / "shared" / "weather" / "725650TYA.CSV.gz"
WARM_UP_DAYS = 21
GROUND = AS_AIR  # the standard says what the ground reflects and nothing of its temperature
SOUTH = 180.0  # heading: the 'front' faces south


def layer(material: str, conductivity: float, thickness: float, rho: float, c: float) -> Layer:
    """Return a layer of the standard; past our sheet's limits, so it is built unchecked."""
    return Layer.model_construct(
        material=material, thickness=thickness, conductivity=conductivity, density=rho,
        specific_heat=c, emissivity=0.9, air_gap=False, insulation=False, source="Standard 140",
    )  # fmt: skip


# outside to inside
LIGHT_WALL = (
    layer("wood siding", 0.14, 0.009, 530, 900),
    layer("fibreglass quilt", 0.04, 0.066, 12, 840),
    layer("plasterboard", 0.16, 0.012, 950, 840),
)
HEAVY_WALL = (
    layer("wood siding", 0.14, 0.009, 530, 900),
    layer("foam", 0.04, 0.0615, 10, 1400),
    layer("concrete block", 0.51, 0.100, 1400, 1000),
)
ROOF = (
    layer("roof deck", 0.14, 0.019, 530, 900),
    layer("fibreglass quilt", 0.04, 0.1118, 12, 840),
    layer("plasterboard", 0.16, 0.010, 950, 840),
)
LIGHT_FLOOR = (
    layer("insulation", 0.04, 1.003, 0, 0),
    layer("timber", 0.14, 0.025, 650, 1200),
)
HEAVY_FLOOR = (
    layer("insulation", 0.04, 1.007, 0, 0),
    layer("slab", 1.13, 0.080, 1400, 1000),
)
WIDTH, DEPTH, HEIGHT = 8.0, 6.0, 2.7
VOLUME = WIDTH * DEPTH * HEIGHT
PANE = pane_from_normal(0.834, 0.075)
WINDOW_U = 2.1  # W/m2K; the gap's resistance is what is left of it between the films
PANE_THICKNESS = 0.003048
GAP = 1 / WINDOW_U - RSI - RSE - 2 * PANE_THICKNESS / 1.0
DOUBLE = Glass(
    "double clear", PANE.n, (PANE.kl, PANE.kl), (PANE_THICKNESS,) * 2, (GAP,), 1.0, 2500.0, 750.0,
    "Standard 140",
)  # fmt: skip


@dataclass(frozen=True)
class Case:
    """One case: what differs between them."""

    heavy: bool = False
    windows: tuple[str, ...] = ("front", "front")  # 6 m2 each
    free: bool = False
    infiltration: float = 0.5  # 1/h
    gains: float = 200.0  # W
    heat_below: float = 20.0
    cool_above: float = 27.0
    absorptance: float = 0.6
    emissivity: float = 0.9


CASES = {
    "600": Case(),
    "600FF": Case(free=True),
    "620": Case(windows=("left", "right")),
    "900": Case(heavy=True),
    "900FF": Case(heavy=True, free=True),
    "195": Case(
        windows=(), infiltration=0.0, gains=0.0, cool_above=20.0, absorptance=0.1, emissivity=0.1
    ),
}


def building(case: Case) -> Model:
    """Return the compiled building of a case."""
    areas = {
        "front": WIDTH * HEIGHT, "rear": WIDTH * HEIGHT, "left": DEPTH * HEIGHT,
        "right": DEPTH * HEIGHT, "roof": WIDTH * DEPTH, "floor": WIDTH * DEPTH,
    }  # fmt: skip
    stacks = {"roof": ROOF, "floor": HEAVY_FLOOR if case.heavy else LIGHT_FLOOR}
    wall = HEAVY_WALL if case.heavy else LIGHT_WALL
    surfaces = tuple(
        Surface(
            name=side, group=side if side in stacks else "walls", side=side,
            area=area - 6.0 * case.windows.count(side), layers=stacks.get(side, wall),
            absorptance=0.0 if side == "floor" else case.absorptance, emissivity=case.emissivity,
            lining_absorptance=0.6, lining_emissivity=case.emissivity,
            boundary_temp=10.0 if side == "floor" else None,
            roughness=ROUGHNESS["brick or rough plaster"],  # the standard's texture, from memory
        )
        for side, area in areas.items()
    )  # fmt: skip
    glazings = tuple(
        Glazing(f"window {i}", side, 6.0, DOUBLE) for i, side in enumerate(case.windows)
    )
    return compile_shell(Shell(surfaces, glazings, (Zone("living", VOLUME),)))


def plan_of(case: Case, model: Model, weather: Weather) -> Plan:
    """Return a year at one row an hour, after a warm-up from the end of the year before."""
    start = weather.start - timedelta(days=WARM_UP_DAYS)
    n = weather.n + 24 * WARM_UP_DAYS
    at, edge = window(weather, start, n), window_edges(weather, start, n)
    above = sky(weather)
    ground = ground_temps(weather, above, GROUND)
    sides = {side: irradiance(weather, 90.0, SOUTH + turn) for side, turn in WALLS.items()}
    sides["roof"] = irradiance(weather, 0.0, 0.0)
    rows = {
        k: Irradiance(v.beam[at], v.cos_aoi[at], v.sky_diffuse[at], v.ground[at])
        for k, v in sides.items()
    }
    sun = absorbed_sun(model, rows, np.zeros((n, len(model.chains)), dtype=bool))
    air = weather.temp_air[edge]
    outside = Outside(
        air, above.humidity_ratio[edge], weather.wind_speed[edge],
        radiant_surroundings(
            model, air, above.temp_sky[edge], air, ground.beside[edge], ground.under[edge]
        ),
        air, windward(model, weather.wind_direction[edge], weather.wind_speed[edge], SOUTH),
        sun.nodes, float(weather.pressure.mean()),
    )  # fmt: skip
    schedule = idle(
        n, len(model.chains), fan_flow=case.infiltration * VOLUME / 3600,
        air_gain=0.4 * case.gains, star_gain=0.6 * case.gains,
        heat_below=nan if case.free else case.heat_below,
        cool_above=nan if case.free else case.cool_above,
    )  # fmt: skip
    return Plan(start, outside, schedule, sun, power=None)  # nothing draws, nothing brings any


def run_case(name: str, base: float = 300.0) -> Run:
    """Run a case's year."""
    case = CASES[name]
    weather = at_spot(read_weather(DENVER), Spot())
    model = building(case)
    plan = plan_of(case, model, weather)
    zone = cabin(VOLUME * float(density(25.0, 0.005, plan.outside.pressure)))
    return execute(model, plan, zone, NO_GEAR, base=base)


def figures(name: str) -> dict[str, float]:
    """Return a case's yearly figures: MWh, kW and °C, peaks and extremes as hourly means."""
    run = run_case(name)
    year = run.seconds[:-1] >= 86400 * WARM_UP_DAYS - 1
    per_hour = int(year.sum() / 8760)

    def hourly(column: str) -> np.ndarray:
        return run.column(column)[year].reshape(8760, per_hour).mean(axis=1)

    plant, temp = hourly("plant_w"), hourly("cabin_temp_mean_c")
    return {
        "heating": plant.clip(min=0).sum() / 1e6,
        "cooling": -plant.clip(max=0).sum() / 1e6,
        "peak heating": plant.max() / 1e3,
        "peak cooling": -plant.min() / 1e3,
        "max": temp.max(),
        "min": temp.min(),
    }
