"""Moist air against printed values and two independent libraries."""

import numpy as np
import psychrolib
import pytest

from vanclimate.physics import air

# PsychroLib and CoolProp agree on these to 0.01 K (computed with both, sea level pressure)
DEW_POINTS = [
    (20.0, 0.50, 9.27),
    (20.0, 0.70, 14.37),
    (18.0, 0.80, 14.50),
    (10.0, 0.60, 2.60),
    (27.0, 0.70, 21.06),
]


@pytest.mark.parametrize(("temp", "humidity", "expected"), DEW_POINTS)
def test_dew_points(temp: float, humidity: float, expected: float) -> None:
    found = air.dew_point_of_vapour_pressure(humidity * air.saturation_pressure(temp))
    # printed to 0.01 and the two libraries differ by as much
    assert found == pytest.approx(expected, abs=0.015)


@pytest.mark.slow
@pytest.mark.parametrize("pressure", [101325.0, 70000.0])
def test_against_psychrolib(pressure: float) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    for temp in np.arange(-30.0, 55.1, 5.0):
        saturation = psychrolib.GetSatVapPres(float(temp))
        # the library joins ice and water at the triple point (0.01 °C), we at 0: 0.01 % there
        assert air.saturation_pressure(temp) == pytest.approx(saturation, rel=2e-4)
        for humidity in (0.1, 0.5, 0.95):
            ratio = psychrolib.GetHumRatioFromRelHum(float(temp), humidity, pressure)
            assert air.humidity_ratio_from_vapour_pressure(
                humidity * air.saturation_pressure(temp), pressure
            ) == pytest.approx(ratio, rel=3e-4)
            assert air.relative_humidity(temp, ratio, pressure) == pytest.approx(humidity, rel=3e-4)
            assert air.enthalpy(temp, ratio) == pytest.approx(
                psychrolib.GetMoistAirEnthalpy(float(temp), ratio), abs=1.0
            )
            # the library's density is of moist air, ours of the dry air in it
            moist = psychrolib.GetMoistAirDensity(float(temp), ratio, pressure)
            assert air.density(temp, ratio, pressure) * (1 + ratio) == pytest.approx(
                moist, rel=1e-4
            )
            dew = psychrolib.GetTDewPointFromHumRatio(float(temp), ratio, pressure)
            assert air.dew_point(ratio, pressure) == pytest.approx(dew, abs=0.02)


def test_standard_pressure_against_psychrolib() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    for height in (0.0, 500.0, 1650.0, 3000.0):
        assert air.standard_pressure(height) == pytest.approx(
            psychrolib.GetStandardAtmPressure(height), rel=1e-6
        )


@pytest.mark.parametrize(
    ("height", "ratio"), [(1000.0, 0.887), (2000.0, 0.785), (2500.0, 0.737), (3000.0, 0.692)]
)
def test_thin_air_at_altitude(height: float, ratio: float) -> None:
    # ratio of densities at one temperature, computed with a reference library to three digits
    found = air.density(15.0, 0.0, air.standard_pressure(height)) / air.density(15.0, 0.0, 101325.0)
    assert found == pytest.approx(ratio, abs=6e-4)


@pytest.mark.slow
def test_wet_bulb_like_inverse_is_near_psychrolib_wet_bulb() -> None:
    # saturated air of equal enthalpy is within a few tenths of a kelvin of the wet bulb
    # (the definition of the wet bulb adds the liquid water's own enthalpy)
    psychrolib.SetUnitSystem(psychrolib.SI)
    for temp, humidity in ((27.0, 0.5), (35.0, 0.4), (20.0, 0.8)):
        ratio = psychrolib.GetHumRatioFromRelHum(temp, humidity, 101325.0)
        wet = psychrolib.GetTWetBulbFromRelHum(temp, humidity, 101325.0)
        found = air.saturated_temperature_of_enthalpy(air.enthalpy(temp, ratio), 101325.0)
        assert wet - 0.4 < found <= wet + 0.01


@pytest.mark.parametrize(
    ("inside", "humidity", "outside", "dew_factor", "mould_factor"),
    [
        (20.0, 0.50, 0.0, 0.464, 0.631),
        (20.0, 0.60, -5.0, 0.680, 0.818),
        (20.0, 0.50, -15.0, 0.693, 0.789),
    ],
)
def test_surface_factor_needed(
    inside: float, humidity: float, outside: float, dew_factor: float, mould_factor: float
) -> None:
    # ISO 13788 method, figures computed with a reference library: the surface must not fall to the
    # dew point, or to where the air beside it would be at 80 %
    vapour = humidity * air.saturation_pressure(inside)
    dew = air.dew_point_of_vapour_pressure(vapour)
    mould = air.dew_point_of_vapour_pressure(vapour / 0.8)
    assert (dew - outside) / (inside - outside) == pytest.approx(dew_factor, abs=0.001)
    assert (mould - outside) / (inside - outside) == pytest.approx(mould_factor, abs=0.001)
