"""The bank's section: what it refuses, and what a lead bank assumes in place of lithium."""

from __future__ import annotations

import pytest

from tests.van.test_van_sheet import SMALLEST
from vanclimate.errors import SheetError
from vanclimate.van.battery import AGM, Battery
from vanclimate.van.fields import specs
from vanclimate.van.reading import loads_text


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("kind: lithum", "lithium"),
        ("kind: AGM, cut off: 60 %, charge at bedtime: half", "more than the cut-off, 60 %"),
        ("charge voltage: 28.8 V", "13.52 V to 15 V for 12.8 V of lithium"),
        ("kind: AGM, charge voltage: 13 V", "13.5 V to 15.3 V for 12 V of AGM"),
        ("voltage: 25.6 V, low voltage: 10 V", "14.4 V to 25.6 V for 25.6 V of lithium"),
        ("cold charge: 5 C, cold charge resumes: 41 F", "more than cold charge, 5 °C"),
        ("slow below: -2 C", "more than cold charge, 0 °C"),
        ("pad: 40 W, pad on: 10 C, pad off: 5 C", "more than pad on, 10 °C"),
        ("hot charge: 25 C, slow below: 28 C", "more than slow below, 28 °C"),
        ("capacity: 400 Ah, charge limit: 15 A", "a tail below the charge limit, 15 A"),
        ("voltage: 17 V", "whole cells of 3.2 V, such as 12.8, 25.6 or 51.2 V"),
        ("kind: AGM, voltage: 12.8 V", "whole cells of 2 V, such as 12, 24 or 48 V"),
        ("charge at bedtime: followd", "followed"),
        ("conductance: 2", "W/K"),
    ],
)
def test_a_bank_that_cannot_be_is_refused(text: str, message: str) -> None:
    with pytest.raises(SheetError) as error:
        loads_text(SMALLEST + f"battery: {{{text}}}\n")
    assert message in str(error.value)
    assert "battery" in str(error.value)


def test_a_lead_bank_has_its_own_defaults_and_reasons() -> None:
    lithium, lead = Battery(), Battery.model_validate({"kind": "lead"})
    assert lead.kind == "AGM"
    assert (lithium.voltage, lead.voltage) == (12.8, 12.0)
    assert (lithium.cut_off, lead.cut_off) == (0.05, 0.5)
    assert lead.cold_charge < lithium.cold_charge == 0.0
    assert lead.mass > 2.5 * lithium.mass
    for name in AGM:
        spec, plain = lead.spec_of(name), specs(Battery)[name]
        assert spec is not None
        assert spec.why != plain.why
        assert lithium.spec_of(name) == plain
        if spec.low is not None:
            assert spec.low <= getattr(lead, name) <= spec.high


def test_a_lead_bank_s_guesses_lie_in_their_ranges_and_can_be_put_in() -> None:
    sheet = loads_text(SMALLEST + "battery: {kind: AGM, slow below: 10 C, pad: 40 W}\n")
    guesses = [g for g in sheet.guessed if g.path.startswith("battery.")]
    assert {"battery.peukert", "battery.slow_charge", "battery.pad_on"} <= {g.path for g in guesses}
    for guess in guesses:
        if isinstance(guess.low, float):
            assert guess.low <= guess.value <= guess.high
            for end in (guess.low, guess.high):
                assert sheet.with_value(guess.path, end).value_of(guess.path) == end


def test_what_a_bank_does_not_have_is_no_guess() -> None:
    paths = {g.path for g in loads_text(SMALLEST).guessed}
    assert not paths & {"battery.peukert", "battery.slow_charge", "battery.pad_on"}


def test_a_followed_bank_has_no_charge_of_its_own_at_bedtime() -> None:
    assert loads_text(SMALLEST + "battery: {charge at bedtime: followed}\n").battery == Battery(
        charge_at_bedtime=None
    )


@pytest.mark.parametrize(
    ("kind", "said", "volts"),
    [
        ("lithium", 12, 12.8), ("lithium", 24, 25.6), ("lithium", 48, 51.2),
        ("lithium", 12.8, 12.8), ("lithium", 13.2, 13.2), ("lithium", 51.2, 51.2),
        ("AGM", 12, 12), ("AGM", 48, 48),
    ],
)  # fmt: skip
def test_a_bank_is_called_by_its_nominal_volts(kind: str, said: float, volts: float) -> None:
    # four cells of 3.2 V are sold as 12 V: common practice, no source
    sheet = loads_text(SMALLEST + f"battery: {{kind: {kind}, voltage: {said} V}}\n")
    assert sheet.battery.voltage == volts
    assert sheet.battery.charge_voltage == pytest.approx(
        volts * 14.4 / (12 if kind == "AGM" else 12.8)
    )
