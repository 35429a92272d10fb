"""Strings of modules: voltages, a year's energy, curves and shadows, against pvlib and its library.

'Typical modules' are those of pvlib's library with 36 crystalline cells, 80 to 170 W and 22.2 to
22.6 V at open circuit; their one-diode model (De Soto et al. 2006, with the library's parameters)
is pvlib's.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from tests import invented
from vanclimate.energy.array import (
    Light,
    Strings,
    at_power,
    cold_open_circuit,
    open_circuit,
    share_at,
    strings_power,
)
from vanclimate.simulate.panels import solar_of, sun_on_panels
from vanclimate.site import find_site
from vanclimate.site.panel import MOUNTING
from vanclimate.van.panels import RoofPanels

FLOAT_COLUMNS = (
    "STC", "N_s", "V_oc_ref", "alpha_sc", "a_ref", "I_L_ref", "I_o_ref", "R_s", "R_sh_ref",
    "Adjust",
)  # fmt: skip
VOLTS = 13.4


@cache
def typical_together() -> Any:
    """Return the library's typical modules, those with the same parameters once, in columns."""
    import pandas as pd
    from pvlib import pvsystem

    table = pvsystem.retrieve_sam("CECMod").T
    numbers = table[list(FLOAT_COLUMNS)].apply(pd.to_numeric)
    like = numbers.STC.between(80, 170) & (numbers.N_s == 36) & numbers.V_oc_ref.between(22.2, 22.6)
    return numbers[like & table.Technology.str.contains("c-Si")].drop_duplicates()


@cache
def typical() -> list[Any]:
    """Return the same one by one."""
    return [row for _, row in typical_together().iterrows()]


def diode(module: Any, light: float, cells: float) -> tuple[Any, ...]:
    """Return a module's diode in some light [W/m2], each figure an array for modules together."""
    from pvlib import pvsystem

    m = module
    found = pvsystem.calcparams_cec(
        light, cells, m.alpha_sc, m.a_ref, m.I_L_ref, m.I_o_ref, m.R_sh_ref, m.R_s, m.Adjust
    )
    if getattr(m.a_ref, "ndim", 0):
        return tuple(np.broadcast_to(x, m.a_ref.shape).astype(float) for x in found)
    return tuple(float(x) for x in found)


def points(module: Any, light: float, cells: float) -> dict[str, Any]:
    """Return volts, watts and amps of its points, arrays for modules together."""
    from pvlib import pvsystem

    found = pvsystem.singlediode(*diode(module, light, cells))
    return {name: found[name] for name in ("v_oc", "v_mp", "p_mp", "i_mp")}


def two_by_two(**more: str) -> RoofPanels:
    """Return four 100 W modules, two in series, two in parallel."""
    given = {"module_power": "100 W", "in_series": "2", "in_parallel": "2"}
    return RoofPanels.model_validate(given | more)


def rows(light: Any, cells: Any, ratio: Any = None, minute: float = 720.0) -> Light:
    light, cells = (np.atleast_1d(np.asarray(x, dtype=float)) for x in (light, cells))
    ratio = light if ratio is None else np.atleast_1d(np.asarray(ratio, dtype=float))
    return Light(ratio, light, cells, np.full(len(light), minute))


# ---- volts of four typical modules ----
@pytest.mark.parametrize(("cells", "volts"), [(25.0, 44.8), (10.0, 47.4), (-10.0, 50.9)])
def test_open_circuit_of_two_in_series(cells: float, volts: float) -> None:
    # computed with pvlib for typical 22.4 V modules, printed to 0.1 V
    assert cold_open_circuit(two_by_two(), cells) == pytest.approx(volts, abs=0.05)


@pytest.mark.parametrize(("cells", "volts"), [(25.0, 36.9), (60.0, 30.7)])
def test_two_in_series_at_maximum_power(cells: float, volts: float) -> None:
    # the same computation
    found = 2 * at_power(two_by_two(), np.ones(1), np.full(1, cells))
    assert found == pytest.approx(volts, abs=0.05)


@pytest.mark.parametrize("cells", [-20.0, 0.0, 25.0, 50.0, 75.0])
@pytest.mark.parametrize("light", [0.1, 0.2, 0.5, 1.0])
def test_volts_lie_within_those_of_the_librarys_modules(light: float, cells: float) -> None:
    panels = two_by_two()
    modules = typical_together()
    plate, found = points(modules, 1000.0, 25.0), points(modules, 1000.0 * light, cells)
    ratios = {name: np.asarray(found[name] / plate[name]) for name in ("v_oc", "v_mp")}
    at = np.full(1, light), np.full(1, cells)
    ours = {
        "v_oc": float(open_circuit(panels, *at)[0]) / panels.open_circuit_voltage,
        "v_mp": float(at_power(panels, *at)[0]) / panels.working_voltage,
    }
    for name, of in ratios.items():
        # the linear law against the diode's curve, which turns a little
        assert of.min() - 0.01 <= ours[name] <= of.max() + 0.01, name


@pytest.mark.parametrize("beyond", [1.03, 1.06, 1.10])
def test_a_string_held_above_its_best_voltage(beyond: float) -> None:
    # ours leaves out the series resistance: 1 % more at 1.06 times, 3 % at 1.10
    from pvlib import pvsystem

    modules = typical_together()
    at = points(modules, 1000.0, 60.0)
    volts = beyond * np.asarray(at["v_mp"])
    given = volts * pvsystem.i_from_v(volts, *diode(modules, 1000.0, 60.0)) / at["p_mp"]
    ours = [float(share_at(v, np.array([mp]), np.array([oc]))[0])
            for v, mp, oc in zip(volts, at["v_mp"], at["v_oc"], strict=True)]  # fmt: skip
    off = np.array(ours) - np.asarray(given)
    assert 0.0 <= np.mean(off) <= 0.03
    assert np.abs(off).max() <= 0.04


# ---- shadows ----
def curve(module: Any, series: int, dark: list[int]) -> tuple[np.ndarray, np.ndarray]:
    """Return volts and amps of strings in parallel, each with so many dark, bypassed modules."""
    from pvlib import pvsystem

    parameters = diode(module, 1000.0, 50.0)
    amps = np.linspace(0.0, parameters[0], 4000)
    one = np.maximum(np.asarray(pvsystem.v_from_i(amps, *parameters)), -0.5)
    volts = np.linspace(0.0, 25.0 * series, 4000)
    total = np.zeros_like(volts)
    for shaded in dark:
        string = (series - shaded) * one - 0.5 * shaded  # a bypass diode takes half a volt
        total += np.interp(-volts, -string, amps, left=0.0)
    return volts, total


@pytest.mark.parametrize(
    ("series", "parallel", "shaded"),
    [(1, 4, 1), (2, 2, 1), (4, 1, 1), (2, 2, 2), (4, 1, 2), (3, 2, 1), (3, 2, 2), (2, 3, 3)],
)
def test_the_best_point_of_partly_shaded_strings(series: int, parallel: int, shaded: int) -> None:
    # pvlib's curves of every module, added up over strings with bypass diodes, searched for the
    # highest of its peaks; a shaded module carries no light. 4 %: diodes, and amps above the best
    count = series * parallel
    panels = RoofPanels.model_validate(
        {"module_power": "100 W", "in_series": str(series), "in_parallel": str(parallel),
         "power": f"{100 * count} W", "shaded": f"{shaded} of {count}, 12:00 to 13:00"}
    )  # fmt: skip
    dark = [min(series, max(0, shaded - series * i)) for i in range(parallel)]
    ours = strings_power(panels, rows(1.0, 50.0), 4.0)
    share = float(ours.power[0]) / (0.95 * panels.power)
    for module in typical()[::9]:
        volts, amps = curve(module, series, dark)
        whole_volts, whole_amps = curve(module, series, [0] * parallel)
        best = (volts * amps).max() / (whole_volts * whole_amps).max()
        assert share == pytest.approx(best, abs=0.04)


# ---- a year ----
# pvlib asks pandas for the day of the year in words that pandas is giving up
@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
@pytest.mark.parametrize("site", ["miami", "sand point"])
@pytest.mark.parametrize(("tilt", "azimuth"), [(0.0, 180.0), (30.0, 180.0)])
def test_a_year_against_a_model_chain(site: str, tilt: float, azimuth: float) -> None:
    # pvlib's ModelChain with its own sun, transposition (Perez), and power by nameplate and slope;
    # the same glass and mounting are asked of it. 1 % of the year; 3 % of each month that has a
    # tenth of the best, for the chain's sun stands at the half hour, also in the hours in which it
    # rises and sets
    import pandas as pd
    from pvlib import iam, location, modelchain, pvsystem
    from pvlib.temperature import TEMPERATURE_MODEL_PARAMETERS

    weather = find_site(site)
    times = pd.date_range(weather.start, periods=weather.n, freq="h") + pd.Timedelta(minutes=30)
    means = {
        "temp_air": 0.5 * (weather.temp_air[:-1] + weather.temp_air[1:]),
        "wind_speed": 0.5 * (weather.wind_speed[:-1] + weather.wind_speed[1:]),
        "ghi": weather.ghi, "dni": weather.dni, "dhi": weather.dhi,
    }  # fmt: skip
    array = pvsystem.Array(
        pvsystem.FixedMount(tilt, azimuth),
        albedo=0.2,
        module_parameters={
            "pdc0": 400.0, "gamma_pdc": -0.0037, "a_r": 0.16,
            # the chain has one share of diffuse light for sky and ground
            "FD": float(iam.martin_ruiz_diffuse(tilt)["sky"]),
        },
        temperature_model_parameters=TEMPERATURE_MODEL_PARAMETERS["sapm"][MOUNTING],
    )  # fmt: skip
    chain = modelchain.ModelChain(
        pvsystem.PVSystem([array], inverter_parameters={"pdc0": 1e6}),
        location.Location(weather.latitude, weather.longitude, altitude=weather.elevation),
        aoi_model="martin_ruiz", spectral_model="no_loss", transposition_model="perez",
        losses_model="no_loss",
    )  # fmt: skip
    chain.run_model(pd.DataFrame(means, index=times))
    theirs = np.nan_to_num(chain.results.dc.to_numpy())
    sheet = invented.sheet(panels=400).with_value("roof_panels.tilt", tilt)
    sun = sun_on_panels(sheet, weather, azimuth)
    row = np.arange(weather.n)
    ours = solar_of(sheet, sun, row, 60.0 * (row % 24) + 30.0, VOLTS).power / 0.95 / 0.97
    assert ours.sum() == pytest.approx(theirs.sum(), rel=0.01)
    month = times.month.to_numpy()
    sums = np.array([[x[month == m].sum() for m in range(1, 13)] for x in (ours, theirs)])
    bright = sums[1] > 0.1 * sums[1].max()
    assert bright.sum() >= 9
    assert sums[0][bright] == pytest.approx(sums[1][bright], rel=0.03)


# ---- noon amps ----
def noon_amps(date: str, low: float, high: float, ghi: float | None) -> tuple[float, float]:
    """Return amps at 13.4 V and cell temperature of the best hour, clean, two by two."""
    sheet = invented.sheet(date=date, low=low, high=high, panels=400)
    sheet = sheet.with_value("roof_panels.in_series", 2).with_value("roof_panels.soiling", 0.0)
    weather = invented.weather_of(sheet)
    if ghi is not None:
        k = ghi / float(weather.ghi.max())
        weather = replace(weather, ghi=weather.ghi * k, dni=weather.dni * k, dhi=weather.dhi * k,
                          digest=f"{weather.digest} times {k}")  # fmt: skip
    row = np.arange(24)
    sun = sun_on_panels(sheet, weather, 180.0)
    found = solar_of(sheet, sun, row, 60.0 * row + 30.0, VOLTS)
    assert np.array_equal(found.power, found.passed.sum(axis=1))  # no amps limit it
    best = int(found.power.argmax())
    assert found.roof.lost_to_volts[best] == 0.0
    return float(found.power[best]) / VOLTS, float(sun.roof.cells[best])


def test_june_noon_through_strings_and_controller() -> None:
    # computed with pvlib: clear noon at 35 °N, GHI about 1000, cells at 75-85 °C, controller 0.97
    amps, cells = noon_amps("06-21", 22.0, 36.0, 1000.0)
    assert 75.0 <= cells <= 85.0
    assert 23.0 <= amps <= 24.0
    assert 19.5 <= 0.86 * amps <= 20.4  # after 14 % of losses


def test_december_noon_through_strings_and_controller() -> None:
    # the same computation, its sky not stated: 11-13 A, and 15 K of cell temperature are 5.5 %
    amps, _ = noon_amps("12-21", 4.0, 16.0, None)
    assert 11.0 * 0.945 <= amps <= 13.0 * 1.055


# ---- facts of the trade ----
def daylight(cells: float, light: float = 1.0) -> Strings:
    return strings_power(two_by_two(soiling="0 %"), rows(light, cells), VOLTS)


@pytest.mark.slow
def test_strings_reach_the_controller_at_46_to_48_volts_in_daylight() -> None:
    # common practice, no source. In full light that is open circuit with cells at 7 to 18 °C, in
    # the one-diode model of typical modules at 3 to 12 (48 V) and 17 to 20 °C (46 V); at work the
    # same strings are at 38 to 40 V, in typical modules at 35 to 41
    for cells, opened, at_work in ((18.1, 46.0, 38.1), (6.7, 48.0, 40.1)):
        assert float(daylight(cells).open_circuit[0]) == pytest.approx(opened, abs=0.05)
        assert float(daylight(cells).working[0]) == pytest.approx(at_work, abs=0.05)
    found = [_cells_at(module, volts) for module in typical() for volts in (46.0, 48.0)]
    warm, cold = found[::2], found[1::2]
    assert all(16.9 <= cells <= 20.0 and 35.5 <= volts <= 39.0 for cells, volts in warm)
    assert all(3.0 <= cells <= 12.0 and 37.5 <= volts <= 41.0 for cells, volts in cold)


def _cells_at(module: Any, opened: float) -> tuple[float, float]:
    """Return at which temperature two of a module are open at a voltage, and how they work then.

    The module is scaled to 22.4 V at 25 °C.
    """
    from scipy.optimize import brentq

    scale = 44.8 / points(module, 1000.0, 25.0)["v_oc"]
    cells = brentq(lambda t: scale * points(module, 1000.0, t)["v_oc"] - opened, -40.0, 60.0)
    return float(cells), scale * points(module, 1000.0, float(cells))["v_mp"]


def test_strings_at_a_june_noon_are_open_at_36_and_work_at_28_volts() -> None:
    # cells at 75 °C; in typical modules 33 to 37.3 V open, 25 to 29 V at work
    assert float(daylight(75.0).open_circuit[0]) == pytest.approx(36.1, abs=0.1)
    assert float(daylight(75.0).working[0]) == pytest.approx(28.0, abs=0.1)
    for module in typical():
        scale = 44.8 / points(module, 1000.0, 25.0)["v_oc"]
        hot = points(module, 1000.0, 75.0)
        assert 32.9 <= scale * hot["v_oc"] <= 37.4
        assert 25.0 <= scale * hot["v_mp"] <= 29.0
