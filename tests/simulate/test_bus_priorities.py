"""Who gives way to whom on the bus: charger and loads on shore, pad and bank; a cold bank."""

from __future__ import annotations

import pytest

from tests.electric_vans import FIXED, day, kwh, lived, van

NOBODY = {"sleepers": 0}
SHORE = {"inlet": "15 A", "charger": "60 A"}


@pytest.mark.parametrize(
    ("low", "high", "limits"),
    [(-8.0, -6.0, {"cold charge": "20 C", "cold charge resumes": "24 C", "hot charge": "60 C"}),
     (38.0, 44.0, {"hot charge": "25 C"})],
    ids=["cold", "hot"],
)  # fmt: skip
def test_a_charger_that_comes_first_leaves_what_a_locked_bank_does_not_take(
    low: float, high: float, limits: dict[str, str]
) -> None:
    unit = FIXED | {"by day": "off" if low < 0 else "hold 28 C", "heats": "yes",
                    "heating when": "always", "heats down to": "-15 C"}  # fmt: skip
    used = {}
    for first in ("yes", "no"):
        sheet = van(
            day(low, high, "07-10"), people=NOBODY, loads=[], air_conditioner=unit,
            battery={"capacity": "200 Ah"} | limits,
            shore=SHORE | {"air conditioner first": first},
        )  # fmt: skip
        run = lived(sheet, 1.0, charge=0.5)
        assert run.column("battery_charge_ah").max() <= 100.0 + 1e-9
        used[first] = kwh(run, "ac_power_w")
    assert used["yes"] > 3.0
    assert used["no"] == pytest.approx(used["yes"], rel=0.02)


def test_a_charger_that_comes_first_takes_from_a_full_bank_s_loads_only_its_tail() -> None:
    used = {}
    for first in ("yes", "no"):
        sheet = van(day(24.0, 36.0, "07-15"), people=NOBODY, air_conditioner=FIXED,
                    battery={"capacity": "200 Ah"},
                    shore=SHORE | {"air conditioner first": first})  # fmt: skip
        run = lived(sheet, 2.0)
        used[first] = kwh(run, "ac_power_w")
    assert used["no"] > 0.9 * used["yes"]


def test_a_van_that_is_lived_in_begins_with_a_bank_as_warm_as_it_is_heated() -> None:
    sheet = van(day(-28.0, -22.0, "01-15"), heater={"output": "4 kW", "when": "always",
                "tank": "60 L", "coldest fuel": "-40 C"})  # fmt: skip
    run = lived(sheet, 1.0)
    assert run.column("battery_temp_c").min() > sheet.battery.cold_discharge
    assert run.column("unserved_w").max() == 0.0
    assert run.column("cabin_temp_c")[-1] > 10.0


def test_a_pad_does_not_warm_by_a_light_that_cannot_carry_it() -> None:
    pads = {}
    for watts in ("30 W", "3000 W"):
        sheet = van(day(-8.0, -4.0, "12-21", 95), people=NOBODY, loads=[],
                    battery={"capacity": "200 Ah", "pad": "120 W"}, inverter={"on": "needed"},
                    roof_panels={"power": watts})  # fmt: skip
        run = lived(sheet, 2.0, charge=0.5)
        assert kwh(run, "solar_available_w") > 0.0
        pads[watts] = kwh(run, "pad_w")
    assert pads["30 W"] == 0.0
    assert pads["3000 W"] > 0.1
