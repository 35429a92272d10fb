"""The compiled loop must see the very numbers that the tests of the Python functions see."""

from typing import Any

import numba
import numpy as np
import pytest

from vanclimate.physics import air, airflow, comfort, convection, longwave, moisture
from vanclimate.physics.branch import choose


def _all(t: float, w: float, p: float, kind: int) -> tuple[float, ...]:
    return (
        air.saturation_pressure(t),
        air.saturation_humidity_ratio(t, p),
        air.humidity_ratio_from_dew_point(t, p),
        air.vapour_pressure(w, p),
        air.relative_humidity(t, w, p),
        air.enthalpy(t, w),
        air.temperature_from_enthalpy(30000.0 + t, w),
        air.saturated_temperature_of_enthalpy(30000.0 + t, p),
        air.density(t, w, p),
        air.dew_point(w, p),
        air.standard_pressure(100.0 + t),
        convection.inside_film(t, kind),
        convection.outside_film(t, 3.0, kind),
        longwave.radiative_coefficient(t, 5.0, 0.9),
        airflow.leakage_flow(0.006, t, 3.0, 0.000145, 0.000174),
        airflow.combine_flows(0.002, w),
        moisture.mass_transfer_coefficient(3.0 + t / 100),
        moisture.people_water(20.0 + t),
        comfort.operative_temperature(t, 20.0, 0.4),
        comfort.sleeping_heat(t)[0],
        comfort.sleeping_heat(t, 80.0)[1],
        comfort.awake_heat(t)[0],
    )


_compiled: Any = numba.njit(_all)


@pytest.mark.parametrize("kind", [0, 1, 2])
def test_compiled_equals_python(kind: int) -> None:
    for temp in (-15.0, 12.0):
        compiled = _compiled(temp, 0.006, 95000.0, kind)
        assert compiled == pytest.approx(_all(temp, 0.006, 95000.0, kind), rel=1e-12)


def test_choose_takes_arrays() -> None:
    values = np.array([-1.0, 2.0])
    assert choose(values < 0, 0.0, values).tolist() == [0.0, 2.0]
    assert choose(True, 1.0, 2.0) == 1.0
