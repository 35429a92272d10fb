"""Fixed ventilation after EN 721 against the sheet, and what an open burner gives."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.answers.cautions import COOKING, OPEN_FLAME, ROOM_SEALED, night_cautions
from vanclimate.answers.fresh_air import OPEN_BURNER, FixedVentilation, fixed_ventilation
from vanclimate.equipment.burner import CO2_PER_GAS, HEATING_VALUE, WATER_PER_GAS
from vanclimate.van.reading import loads_text

TEXT = """\
site: miami
body: {{length: {length} m, width: 2 m, height: 1.9 m}}
stacks: {{roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}}
appliances: {burner}
vents: {{high: {high} cm2, low: {low} cm2}}
"""


def found(length: float, burner: str, high: float = 0.0, low: float = 0.0) -> FixedVentilation:
    return fixed_ventilation(
        loads_text(TEXT.format(length=length, burner=burner, high=high, low=low))
    )


@pytest.mark.parametrize(
    ("length", "burner", "high", "low"),
    [  # EN 721, read at second hand: up to 10 m2 of floor
        (3.2, "none", 15, 5),
        (5.0, "room sealed", 15, 5),
        (3.2, "open burner", 100, 15),
        (5.0, "open burner", 100, 15),
        # from memory
        (2.5, "open burner", 75, 10),
        (6.0, "open burner", 125, 20),
        (9.0, "open burner", 150, 30),
        (11.0, "open burner", 200, 50),
    ],
)
def test_openings_needed_by_floor_and_burner(length, burner, high, low):
    need = found(length, burner)
    assert need.need_high == pytest.approx(high * 1e-4)
    assert need.need_low == pytest.approx(low * 1e-4)
    assert need.enough is False
    assert need.sentence("si").startswith("too little: none high")


def test_what_is_needed_is_enough_and_less_is_not():
    assert found(3.2, "open burner", 100, 15).enough is True
    assert found(3.2, "open burner", 99, 15).enough is False
    assert found(3.2, "open burner", 100, 14).enough is False
    assert found(3.2, "none", 15, 5).sentence("si").startswith("enough: 15 cm2 (2.3 in2) high")


def test_above_ten_square_metres_without_gas_it_says_that_it_does_not_know():
    large = found(6.0, "none", 15, 5)
    assert large.enough is None
    assert "not known here" in large.sentence("si")


@given(st.floats(1.5, 14.0), st.floats(1.5, 14.0))
def test_a_larger_floor_never_needs_less(one, other):
    small, large = (
        next(row for row in OPEN_BURNER if 2.0 * x <= row[0]) for x in sorted((one, other))
    )
    assert small[1] <= large[1]
    assert small[2] <= large[2]


def test_gas_brings_its_caution():
    def cautions(burner):
        return night_cautions(loads_text(TEXT.format(length=3.6, burner=burner, high=0, low=0)))

    assert OPEN_FLAME in cautions("open burner")
    assert ROOM_SEALED in cautions("room sealed")
    assert not {OPEN_FLAME, ROOM_SEALED} & set(cautions("none"))


def test_the_gas_agrees_with_what_is_published():
    # building code texts, read: up to 1.6 kg of water a kilogram of gas
    assert pytest.approx(1.6, abs=0.05) == WATER_PER_GAS
    # a government data sheet, read: 6.58 kWh a litre of LPG; 0.51 kg a litre, from memory
    assert pytest.approx(6.58, rel=0.01) == HEATING_VALUE * 0.51 / 3.6e6
    # 3 kg a kilogram, 1.83 kg a cubic metre at 20 °C: textbook
    assert pytest.approx(3.0, rel=0.01) == CO2_PER_GAS * 1.83


def test_the_room_that_takes_a_loads_water_is_named():
    rows = (
        "garage: {length: 1.2 m, height: 0.8 m}\n"
        "loads:\n"
        "  - {name: cooker, power: 1 kW, when: 18:00 to 18:30, water: cooking}\n"
        "  - {name: wet suits, water: drying clothes, zone: garage}\n"
        "  - {name: boots, water: 30 g/h, zone: garage}\n"
        "  - {name: lights, power: 15 W}\n"
    )
    both = TEXT.format(length=3.6, burner="none", high=0, low=0) + rows
    said = night_cautions(loads_text(both))
    garage = "Ventilate the garage while water goes into its air (wet suits and boots)."
    assert [line for line in said if line.startswith("Ventilate")] == [COOKING, garage]
    alone = both.replace(", water: cooking", "")
    assert [x for x in night_cautions(loads_text(alone)) if x.startswith("Ventilate")] == [garage]
