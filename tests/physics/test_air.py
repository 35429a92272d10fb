import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics import air

temps = st.floats(-40.0, 60.0)
pressures = st.floats(60000.0, 105000.0)
ratios = st.floats(1e-4, 0.03)


@given(temps, st.floats(0.01, 5.0))
def test_saturation_rises_with_temperature(temp: float, step: float) -> None:
    assert air.saturation_pressure(temp + step) > air.saturation_pressure(temp)


@given(temps, pressures)
def test_dew_point_inverts_saturation(temp: float, pressure: float) -> None:
    ratio = air.saturation_humidity_ratio(temp, pressure)
    assert air.dew_point(ratio, pressure) == pytest.approx(temp, abs=0.005)
    assert air.humidity_ratio_from_dew_point(temp, pressure) == ratio


@given(ratios, pressures)
def test_vapour_pressure_and_humidity_ratio_are_inverse(ratio: float, pressure: float) -> None:
    vapour = air.vapour_pressure(ratio, pressure)
    assert air.humidity_ratio_from_vapour_pressure(vapour, pressure) == pytest.approx(ratio)


@given(temps, ratios)
def test_enthalpy_inverts(temp: float, ratio: float) -> None:
    found = air.temperature_from_enthalpy(air.enthalpy(temp, ratio), ratio)
    assert found == pytest.approx(temp, abs=1e-9)


@given(st.floats(-10.0, 60.0), pressures)
def test_saturated_temperature_of_enthalpy(temp: float, pressure: float) -> None:
    saturated = air.enthalpy(temp, air.saturation_humidity_ratio(temp, pressure))
    found = air.saturated_temperature_of_enthalpy(saturated, pressure)
    assert found == pytest.approx(temp, abs=0.005)


def test_dry_air_gives_no_error() -> None:
    assert air.dew_point(0.0, 101325.0) == pytest.approx(-100.0, abs=1.0)


def test_steam_beyond_pressure_is_held() -> None:
    assert 0.0 < air.saturation_humidity_ratio(120.0, 101325.0) < 100.0


def test_density_of_dry_standard_air() -> None:
    assert air.density(15.0, 0.0, 101325.0) == pytest.approx(1.225, abs=5e-4)  # US Standard Atm.


def test_array_equals_scalar() -> None:
    values = np.array([-20.0, -0.001, 0.0, 15.0, 40.0])
    each = [air.saturation_pressure(v) for v in values]
    assert air.saturation_pressure(values) == pytest.approx(each, rel=1e-14)
    ratios_ = np.linspace(0.001, 0.02, 5)
    each = [air.relative_humidity(t, w, 9e4) for t, w in zip(values, ratios_, strict=True)]
    assert air.relative_humidity(values, ratios_, 9e4) == pytest.approx(each, rel=1e-14)
    each = [air.density(t, w, 9e4) for t, w in zip(values, ratios_, strict=True)]
    assert air.density(values, ratios_, 9e4) == pytest.approx(each, rel=1e-14)
    enthalpies = air.enthalpy(values, ratios_)
    each = [air.saturated_temperature_of_enthalpy(h, 9e4) for h in enthalpies]
    assert air.saturated_temperature_of_enthalpy(enthalpies, 9e4) == pytest.approx(each)


def test_the_wet_bulb_is_found_over_all_of_its_range():
    """Saturated air's own temperature comes back: an identity, to the 0.005 K that are promised."""
    temp = np.linspace(*air.WET_AIR_RANGE, 141)
    for pressure in air.THIN_AIR_RANGE:
        heat = air.enthalpy(temp, air.saturation_humidity_ratio(temp, pressure))
        found = air.saturated_temperature_of_enthalpy(heat, pressure)
        assert np.abs(found - temp).max() < 0.005


@pytest.mark.parametrize("temp", [-20.0, -1.0, 1.0, 15.0, 35.0])
def test_the_slope_of_saturation_is_its_derivative(temp: float) -> None:
    # the saturation formula by difference; vapour as a perfect gas is good to some tenths of a %
    near = 0.01
    high, low = (float(air.saturation_humidity_ratio(temp + d, 101325.0)) for d in (near, -near))
    held = float(air.saturation_humidity_ratio(temp, 101325.0))
    found = float(air.saturation_slope(temp, held))
    assert found == pytest.approx((high - low) / (2.0 * near), rel=0.01)
