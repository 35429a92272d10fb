"""Panels in a sheet: what is worked out from what is given, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from tests import invented
from vanclimate.errors import SheetError, UnitError
from vanclimate.van import loads_text
from vanclimate.van.panels import GroundPanel, RoofPanels, read_shadows, write_shadows


def roof(**keys: str) -> RoofPanels:
    return RoofPanels.model_validate(keys)


@pytest.mark.parametrize(
    ("keys", "count", "series", "watts"),
    [
        ({"power": "400 W", "in_series": "2"}, 4, 2, 100.0),
        ({"power": "400 W", "in_parallel": "4"}, 4, 1, 100.0),
        ({"power": "400 W", "module_power": "200 W"}, 2, 2, 200.0),
        ({"module_power": "175 W", "in_series": "2", "in_parallel": "2"}, 4, 2, 175.0),
        ({"module_power": "100 W", "shaded": "1 of 6, 9:00 to 10:00"}, 6, 2, 100.0),
        ({"power": "350 W", "shaded": "1 of 2, 9:00 to 10:00"}, 2, 2, 175.0),
        ({"power": "300 W", "controller_voltage": "50 V"}, 3, 3, 100.0),
        ({"power": "100 W", "in_series": "1"}, 1, 1, 100.0),
    ],
)
def test_modules_and_strings_make_up_the_power(
    keys: dict[str, str], count: int, series: int, watts: float
) -> None:
    panels = roof(**keys)
    assert (panels.count, panels.in_series) == (count, series)
    assert panels.in_series * panels.in_parallel == count
    assert panels.module_power == pytest.approx(watts)
    assert panels.power == pytest.approx(count * watts)


def test_a_plate_fills_in_what_it_leaves_out() -> None:
    usual = roof(power="400 W", in_series="2")
    assert usual.open_circuit_voltage == pytest.approx(22.4)
    assert usual.working_voltage == pytest.approx(18.45)
    assert usual.working_current == pytest.approx(100 / 18.45)
    by_amps = roof(power="400 W", working_current="5.6 A")
    assert by_amps.working_voltage == pytest.approx(100 / 5.6)
    large = roof(power="800 W", module_power="400 W")
    assert large.open_circuit_voltage == pytest.approx(22.4 * 60 / 36)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"power": "400 W", "module_power": "150 W"}, "a whole number of modules"),
        ({"power": "400 W", "in_series": "3", "module_power": "100 W"}, "strings that use 4"),
        ({"power": "100 W", "in_series": "1", "working_voltage": "25 V",
          "open_circuit_voltage": "22 V"}, "less than the open circuit"),
        ({"power": "100 W", "module_power": "100 W", "working_voltage": "18 V",
          "working_current": "9 A"}, "the module's 100 W"),
        ({"power": "100 W", "short_circuit_current": "4 A"}, "at most the short circuit"),
        ({"power": "400 W", "module_power": "100 W", "shaded": "1 of 3, 9:00 to 10:00"},
         "of the 4"),
        ({"power": "400 W", "voltage_coefficient": "0.3 %/K"}, "0 %/K"),
    ],
)  # fmt: skip
def test_modules_that_cannot_be_are_refused(keys: dict[str, str], words: str) -> None:
    with pytest.raises(ValidationError) as error:
        roof(**keys)
    assert words in str(error.value)


@pytest.mark.parametrize(
    "text", ["1 of 4", "5 of 4, 9:00 to 10:00", "0 of 4, 9:00 to 10:00", "9:00 to 10:00",
             "1 of 4, 2 of 4, 9:00 to 10:00", "one of 4, 9:00 to 10:00", "1 of 4, 9 to 10"],
)  # fmt: skip
def test_shadows_that_cannot_be_read(text: str) -> None:
    with pytest.raises(UnitError):
        read_shadows(text)


def test_shadows_are_written_as_they_are_read() -> None:
    found = read_shadows("1 of 4, 15:00 to 18:00, 2 of 4, 7:00 to 8:00, 18:00 to 19:00")
    assert read_shadows(write_shadows(found, "si")) == found
    assert write_shadows(read_shadows("none"), "si") == "none"


def guessed(**changes: Any) -> set[str]:
    sheet = invented.sheet()
    for path, value in changes.items():
        sheet = sheet.with_value(f"roof_panels.{path}", value)
    return {g.path for g in sheet.guessed if g.path.startswith("roof_panels")}


def test_strings_are_guessed_only_where_the_sheet_speaks_of_them() -> None:
    plain, wired = guessed(), guessed(in_series="2")
    assert not any("series" in path or "voltage" in path for path in plain)
    assert {"roof_panels.module_power", "roof_panels.controller_voltage"} <= wired
    assert "roof_panels.in_series" not in wired


def test_a_sheet_with_all_of_it_is_read_by_line() -> None:
    text = invented.TEXT.replace(
        "roof panels: {{power: {panels} W}}",
        "roof panels: {{module power: 100 W, in series: 2, in parallel: 2,\n"
        "  shaded: ['1 of 4, 15:00 to 18:00'], controller voltage: 75 V, zone: living}}\n"
        "ground panel: {{power: 120 W, facing: SE, when: 9:00 to 16:00, controller: roof}}",
    )
    sheet = loads_text(text.format(**invented.USUAL))
    assert sheet.roof_panels.power == 400.0
    assert sheet.ground_panel is not None
    assert sheet.ground_panel.facing == 135.0
    with pytest.raises(SheetError, match="cab"):
        loads_text(text.replace("zone: living", "zone: cab").format(**invented.USUAL))


def test_a_ground_panel_needs_its_power() -> None:
    with pytest.raises(ValidationError, match="nameplate power"):
        GroundPanel.model_validate({"tilt": "30 deg"})
