"""Quantities into SI and back."""

import contextlib
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.errors import UnitError, VanclimateError
from vanclimate.units import (
    GAUGE_IN,
    KINDS,
    both,
    parse,
    parse_clock,
    show,
    show_clock,
    system_of,
)


# Arithmetic on exact definitions: inch 25.4 mm, pound 0.45359237 kg, IT BTU 1055.05585262 J.
@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("1-1/2 in", "length", 0.0381),
        ("1 1/2 in", "length", 0.0381),
        ('3/8"', "length", 0.009525),
        ("14 ft 6 in", "length", 4.4196),
        ("14' 6\"", "length", 4.4196),
        ("5 ft 10-1/2 in", "length", 1.7907),
        ("-3 m", "length", -3.0),
        ("0.9 mm", "length", 0.0009),
        ("20 gauge", "length", 0.0359 * 0.0254),
        ("60 cm2", "area", 0.006),
        ("12 sq ft", "area", 12 * 0.09290304),
        ("1.5 m²", "area", 1.5),
        ("75 F", "temperature", 43 / 1.8),
        ("26 °C", "temperature", 26.0),
        ("-40 F", "temperature", -40.0),
        ("300 K", "temperature", 26.85),
        ("1.8 F", "temperature_difference", 1.0),
        ("1 °C", "temperature_difference", 1.0),
        ("13.5 kBTU/h", "heat_rate", 13500 * 1055.05585262 / 3600),
        ("1 ton", "heat_rate", 12000 * 1055.05585262 / 3600),
        ("1,300 W", "power", 1300.0),
        ("900 CFM", "flow", 900 * 0.3048**3 / 60),
        ("7.5 L/s", "flow", 0.0075),
        ("20 gal", "volume", 20 * 231 * 0.0254**3),
        ("630 Ah", "charge", 630.0),
        ("4 mohm", "resistance", 0.004),
        ("4 mΩ", "resistance", 0.004),
        ("40 %", "fraction", 0.4),
        ("0.4", "fraction", 0.4),
        ("SW", "angle", 225.0),
        ("210 deg", "angle", 210.0),
        ("300 g/h", "water", 0.3 / 3600),
        ("80 W/K", "conductance", 80.0),
        ("1 BTU/h/F", "conductance", 1055.05585262 / 3600 * 1.8),
        ("R-6/in", "conductivity", 0.0254 / (6 * 0.17611018368230584)),
        ("-0.37 %/C", "temperature_coefficient", -0.0037),
        ("-0.2 %/F", "temperature_coefficient", -0.0036),
        ("R-13", "thermal_resistance", 13 * 0.17611018368230584),
        ("RSI-2.3", "thermal_resistance", 2.3),
        ("3 min", "duration", 180.0),
    ],
)
def test_the_trades_writings(text, kind, value):
    assert parse(text, kind) == pytest.approx(value, rel=1e-9)


def test_gauge_is_pounds_a_square_foot_over_41_82():
    # Manufacturers' standard gauge: 20 gauge weighs 1.5 lb/ft2, 16 gauge 2.5, 10 gauge 5.625
    # (from memory); printed to 0.0001 in
    for gauge, weight in ((20, 1.5), (16, 2.5), (10, 5.625)):
        assert GAUGE_IN[gauge] == pytest.approx(weight / 41.82, abs=6e-5)
    assert sorted(GAUGE_IN.values(), reverse=True) == [GAUGE_IN[g] for g in sorted(GAUGE_IN)]


# Each spelling of the table in pint's own words; temperatures and directions have tests above.
IN_PINT = {
    "length": {"m": "m metre metres meter meters", "mm": "mm", "cm": "cm",
               "inch": "in \" ″ inch inches", "foot": "ft ' ′ foot feet"},
    "area": {"m**2": "m2", "cm**2": "cm2", "mm**2": "mm2",
             "ft**2": "ft2 sq_ft sqft square_feet", "inch**2": "in2 sq_in sqin square_inches"},
    "temperature_difference": {"delta_degC": "K C", "delta_degF": "F"},
    "power": {"W": "W watt watts", "kW": "kW", "hp": "hp"},
    "heat_rate": {"W": "W watt watts", "kW": "kW", "Btu_it/h": "BTU/h BTU/hr BTUH BTU",
                  "1000*Btu_it/h": "kBTU/h kBTU/hr",
                  "12000*Btu_it/h": "ton tons ton_of_cooling tons_of_cooling"},
    "flow": {"m**3/s": "m3/s", "m**3/h": "m3/h", "L/s": "L/s", "L/min": "L/min",
             "ft**3/min": "CFM ft3/min", "gallon/min": "gal/min"},
    "volume": {"m**3": "m3", "L": "L litre litres liter liters", "mL": "mL",
               "gallon": "gal gallon gallons", "ft**3": "ft3 cu_ft"},
    "mass": {"kg": "kg", "g": "g", "metric_ton": "t", "lb": "lb lbs pound pounds", "oz": "oz"},
    "charge": {"A*h": "Ah amp_hours amp-hours", "mA*h": "mAh"},
    "current": {"A": "A amp amps", "mA": "mA"},
    "voltage": {"V": "V volt volts", "mV": "mV"},
    "resistance": {"ohm": "ohm ohms Ω", "milliohm": "mohm mΩ milliohm milliohms"},
    "energy": {"W*h": "Wh", "kW*h": "kWh", "J": "J", "kJ": "kJ", "MJ": "MJ", "Btu_it": "BTU",
               "1000*Btu_it": "kBTU"},
    "fraction": {"percent": "% percent"},
    "duration": {"s": "s sec seconds", "min": "min minute minutes", "h": "h hr hrs hour hours",
                 "day": "d day days"},
    "angle": {"deg": "deg ° degrees degree", "rad": "rad"},
    "speed": {"m/s": "m/s", "km/h": "km/h kph", "mile/h": "mph", "ft/min": "ft/min fpm",
              "ft/s": "ft/s", "knot": "knot knots"},
    "water": {"kg/s": "kg/s", "g/h": "g/h", "kg/h": "kg/h", "g/s": "g/s", "g/min": "g/min",
              "lb/h": "lb/h", "oz/h": "oz/h"},
    "conductivity": {
        "W/m/delta_degC": "W/m·K W/mK W/m.K W/(m·K) W/(m.K) W/(m_K) W/m_K W/m/K",
        "Btu_it*inch/h/ft**2/delta_degF":
            "BTU·in/(h·ft2·F) BTU_in/(h_ft2_F) BTU_in/h_ft2_F"},
    "conductance": {"W/delta_degC": "W/K W/C W/°C",
                    "Btu_it/h/delta_degF": "BTU/h·F BTU/h/F BTU/hr/F BTU/(h·F) BTU/h_F"},
    "temperature_coefficient": {"percent/delta_degC": "%/K %/C %/°C", "1/delta_degC": "1/K",
                                "percent/delta_degF": "%/F %/°F"},
    "thermal_resistance": {"m**2*delta_degC/W": "m2·K/W m2K/W m2_K/W",
                           "ft**2*delta_degF*h/Btu_it": "ft2·F·h/BTU"},
    "irradiance": {"W/m**2": "W/m2 W/m^2", "kW/m**2": "kW/m2",
                   "Btu_it/h/ft**2": "BTU/(h·ft2) BTU/h/ft2"},
    "pressure": {"Pa": "Pa", "hPa": "hPa", "kPa": "kPa", "mbar": "mbar mb", "bar": "bar",
                 "mmHg": "mmHg", "inHg": "inHg", "psi": "psi"},
    "fan_pressure": {"Pa": "Pa", "hPa": "hPa", "mbar": "mbar", "cmH2O/10": "mmH2O",
                     "2.54*cmH2O": "in_wg inwg in_w.g. inH2O in_H2O in_wc in_w.c."},
    "density": {"kg/m**3": "kg/m3", "g/cm**3": "g/cm3", "lb/ft**3": "lb/ft3 pcf"},
    "area_mass": {"kg/m**2": "kg/m2", "g/m**2": "g/m2", "oz/ft**2": "oz/ft2",
                  "lb/ft**2": "lb/ft2"},
    "vapour_resistance": {"m": "m", "mm": "mm", "cm": "cm"},
    "specific_heat": {"J/kg/delta_degC": "J/kg·K J/kgK J/(kg_K) J/kg_K J/(kg·K)",
                      "kJ/kg/delta_degC": "kJ/kg·K kJ/kgK kJ/kg_K",
                      "Btu_it/lb/delta_degF": "BTU/lb·F BTU/lb_F"},
}  # fmt: skip


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"temperature", "none"}))
def test_every_factor_of_the_table_agrees_with_pint(kind):
    import pint

    registry = pint.get_application_registry()
    k = KINDS[kind]
    table = {**k.si, **k.us}
    words = IN_PINT[kind]
    spelt = {w.replace("_", " "): unit for unit, many in words.items() for w in many.split()}
    assert set(spelt) == set(table)
    si = {"fraction": "", "angle": "deg", "heat_rate": "W", "temperature_difference": "delta_degC",
          "vapour_resistance": "m", "current": "A", "conductance": "W/delta_degC",
          "temperature_coefficient": "1/delta_degC",
          "conductivity": "W/m/delta_degC", "thermal_resistance": "m**2*delta_degC/W",
          "specific_heat": "J/kg/delta_degC"}.get(kind, k.pint_unit)  # fmt: skip
    for spelling, unit in spelt.items():
        value = (1.0 * registry.parse_expression(unit)).to(si).magnitude
        assert value == pytest.approx(table[spelling], rel=1e-8), spelling


def test_a_unit_outside_the_table_goes_to_pint():
    assert parse("2 yard", "length") == pytest.approx(1.8288)
    assert parse("1 acre", "area") == pytest.approx(4046.86, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("3", "length"), ("26", "temperature"), ("3 W", "length"), ("3 C", "length"),
        ("nan m", "length"), ("inf m", "length"), (".inf", "length"), ("1e999 m", "length"),
        ("1/0 in", "length"), ("", "length"), ("in", "length"), ("0,5 m", "length"),
        ("99 gauge", "length"), ("5 furlongz", "length"), ("3 m**99999999", "length"),
        ("1e308 km", "length"), ("20 %", "power"), ("R-0/in", "conductivity"),
        ("SWW", "angle"), ("20 __import__", "length"), ("١٢ %%", "fraction"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_with_what_is_allowed(text, kind):
    with pytest.raises(UnitError) as error:
        parse(text, kind)
    assert error.value.allowed


def test_a_capital_letter_never_turns_mega_into_milli():
    assert parse("4 Mohm", "resistance") == pytest.approx(4e6)
    assert parse("4 mW", "power") == pytest.approx(0.004)


def test_a_bare_number_names_the_units():
    with pytest.raises(UnitError, match=r"mm.*in.*the unit is missing"):
        parse("70", "length")


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("22:30", 1350), ("7:05", 425), ("7 am", 420), ("12 am", 0), ("12 pm", 720),
     ("10:30 PM", 1350), ("24:00", 0), ("noon", 720), ("midnight", 0)],
)  # fmt: skip
def test_times_of_day(text, minutes):
    assert parse_clock(text) == minutes


@pytest.mark.parametrize("text", ["25:00", "24:01", "7", "22:60", "13 pm", "", "ten", "-1:00"])
def test_no_time_of_day(text):
    with pytest.raises(UnitError):
        parse_clock(text)


def test_both_systems_and_the_system_of_a_text():
    assert both(0.0254, "length") == "25.4 mm (1 in)"
    assert both(630, "charge") == "630 Ah"
    assert system_of("70 in", "length") == "us"
    assert system_of("1.5 m", "length") == "si"
    assert system_of("75 °F", "temperature") == "us"


@given(st.integers(0, 1439))
def test_clock_round_trip(minutes):
    assert parse_clock(show_clock(minutes)) == minutes


@given(
    st.sampled_from(sorted(set(KINDS) - {"thermal_resistance"})),
    st.floats(1e-4, 1e5),
    st.sampled_from([-1.0, 1.0]),
    st.sampled_from(["si", "us"]),
    st.integers(3, 9),
)
def test_what_is_shown_is_read_back_within_its_digits(kind, size, sign, system, digits):
    value = sign * size
    back = parse(show(value, kind, system, digits), kind)
    if kind == "temperature":  # rounded on a scale whose zero lies elsewhere
        assert abs(back - value) <= (abs(value) + 32) * 10 ** (1 - digits)
    else:
        assert back == pytest.approx(value, rel=0.51 * 10 ** (1 - digits))


@given(st.text(max_size=30), st.sampled_from(sorted(KINDS)))
def test_any_text_gives_a_finite_number_or_our_error(text, kind):
    with contextlib.suppress(VanclimateError):
        assert math.isfinite(parse(text, kind))
