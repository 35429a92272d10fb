import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics.airflow import SHELTER, STACK_COEFFICIENT, combine_flows, leakage_flow


def test_leakage_by_hand() -> None:
    # 60 cm² at 10 K and 3 m/s, some shelter: 60 sqrt(0.00145 + 0.001566) = 3.295 L/s
    found = leakage_flow(0.006, 10.0, 3.0, STACK_COEFFICIENT, SHELTER["some"])
    assert found * 1000 == pytest.approx(3.295, abs=0.001)


@given(st.floats(-40, 40), st.floats(0, 15))
def test_leakage_signs_and_shelter(difference: float, wind: float) -> None:
    flows = [
        leakage_flow(0.006, difference, wind, STACK_COEFFICIENT, SHELTER[word])
        for word in ("sheltered", "some", "open")
    ]
    assert 0.0 <= flows[0] <= flows[1] <= flows[2]
    assert flows[0] == leakage_flow(
        0.006, -difference, wind, STACK_COEFFICIENT, SHELTER["sheltered"]
    )


def test_no_drive_no_leak() -> None:
    assert leakage_flow(0.006, 0.0, 0.0, STACK_COEFFICIENT, SHELTER["open"]) == 0.0


def test_flows_in_quadrature() -> None:
    assert combine_flows(0.003, 0.004) == pytest.approx(0.005)
    assert combine_flows(0.0, 0.02) == pytest.approx(0.02)
