"""The fridge's share of running by cabin temperature."""

import numpy as np
import pytest

from vanclimate.equipment.loads import fridge_duty

# compressor fridge 45-60 W: from memory of trade data sheets
BANDS = {25.0: (0.25, 0.35), 40.0: (0.50, 0.70)}


@pytest.mark.parametrize("temp", BANDS)
def test_duty_lies_in_the_trade_s_band(temp: float) -> None:
    low, high = BANDS[temp]
    assert low <= fridge_duty(temp) <= high


def test_duty_rises_and_stays_a_share() -> None:
    duty = np.array([fridge_duty(t) for t in np.linspace(-40, 90, 261)])
    assert (np.diff(duty) >= 0).all()
    assert duty.min() > 0
    assert duty.max() == 1.0
