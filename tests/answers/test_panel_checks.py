"""Strings that burn their controller or never reach the bank are refused, with their volts."""

from __future__ import annotations

import pytest

from tests import invented
from vanclimate.answers.panel_checks import check_panels
from vanclimate.errors import SheetError
from vanclimate.site import find_site
from vanclimate.van.sheet import Sheet


def sheet(ground: str = "", **keys: str) -> Sheet:
    """Return a van with four modules on its roof."""
    inner = ", ".join(f"{k.replace('_', ' ')}: {v}" for k, v in keys.items() if k != "cold")
    text = invented.TEXT.replace("power: {panels} W", f"power: {{panels}} W, {inner}")
    text += f"ground panel: {{{{{ground}}}}}\n" if ground else ""
    if "cold" in keys:
        text = text.replace("site: {{", f"site: {{{{record cold: {keys['cold']}, ")
    return invented.sheet_of(text)


def check(of: Sheet) -> None:
    check_panels(of, find_site("greensboro"))


def test_the_cold_strings_volts_are_told() -> None:
    # 50.9 V at -10 °C, see tests/published/test_array.py
    wired = {"in_series": "2", "cold": "-10 C"}
    check(sheet(**wired, controller_voltage="51 V"))
    with pytest.raises(SheetError) as error:
        check(sheet(**wired, controller_voltage="50 V"))
    assert "50.9 V" in str(error.value)
    assert "−10 °C (14 °F)" in str(error.value)
    assert "coldest hour" not in str(error.value)
    assert "controller's 50 V" in str(error.value)


def test_without_a_record_the_weathers_coldest_hour_counts() -> None:
    weather = find_site("greensboro")
    volts = 44.8 * (1 - 0.0039 * (float(weather.temp_air.min()) - 25.0))
    check(sheet(in_series="2", controller_voltage=f"{volts + 0.1:.2f} V"))
    with pytest.raises(SheetError, match="coldest hour of the weather"):
        check(sheet(in_series="2", controller_voltage=f"{volts - 0.1:.2f} V"))


def test_a_guessed_controller_refuses_nothing() -> None:
    check(sheet(in_series="4", cold="-60 C"))


def test_strings_that_never_start_the_controller() -> None:
    with pytest.raises(SheetError) as error:
        check(sheet(in_series="1").with_value("battery.voltage", 25.6))
    assert "22.4 V" in str(error.value)
    assert "at least 30.6 V" in str(error.value)


def test_a_sheet_without_strings_passes() -> None:
    check(invented.sheet())
    check(invented.sheet(panels=0))


def test_arrays_on_one_controller_must_match() -> None:
    check(sheet(in_series="1", ground="power: 120 W, controller: roof"))
    with pytest.raises(SheetError, match=r"18\.4 V on the ground and 36\.9 V on the roof"):
        check(sheet(in_series="2", ground="power: 120 W, controller: roof"))
    with pytest.raises(SheetError, match="no roof panels"):
        check(invented.sheet_of(invented.TEXT + "ground panel: {{power: 120 W, "
                                "controller: roof}}\n", panels=0))  # fmt: skip
