"""What `check` says of power and fuel: one number each, in both unit systems, at any width."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from tests import invented
from vanclimate.answers.scene import set_scene
from vanclimate.report.powered import power_rows, print_power
from vanclimate.report.terminal import console_for
from vanclimate.van.reading import loads_text

GOOD = (Path(__file__).parents[1] / "van" / "good.yaml").read_text(encoding="utf-8")
POWER = """
heater: {fuel: diesel, output: 2 kW, floor: 900 W, efficiency: 80 %, tank: 10 L, usable: 100 %,
         altitude kit: yes}
alternator: {amps: 200 A}
dc charger: 2 x 30 A
driving: 3 h a day
shore: {inlet: 30 A, cord: 0 ohm, sag: 0 %, charger: 50 A}
spare circuits:
  - {name: awning, planned: 40 W, fuse: 10 A, wire: 14 AWG, length: 3 m}
  - {name: thin, planned: 100 W, fuse: 30 A, wire: 1.5 mm2, length: 6 m}
"""


def scene(more: str = POWER):
    sheet = loads_text(GOOD + more)
    return set_scene(sheet, invented.weather_of(sheet), 0.0)


def test_fuel_lasts_by_its_heating_value():
    told = dict(power_rows(scene(), "si"))
    # 10 L of diesel at 9.99 kWh/L and 80 % are 79.9 kWh
    assert "40 h at full output, 89 h at the floor" in told["fuel"]
    assert "10 L (2.642 gal)" in told["fuel"]
    assert "BTU/h" in told["fuel heater"]


def test_sources_say_their_one_number():
    told = dict(power_rows(scene(), "si"))
    assert "60 A cold, 60 A warm" in told["driving"]
    assert "of 60 A, takes" in told["driving"]
    assert "held there" not in told["driving"]
    assert "2,880 W on end, 24 A" in told["shore"]  # 0.8 x 30 A x 120 V without any sag
    assert "the charger gives 50 A" in told["shore"]


@pytest.mark.parametrize(
    ("alternator", "charger", "battery", "amps", "held"),
    [
        # 80 % of a fuse of 60 A, 48 A at 14 V less the feed's drop, through 0.9 into 14.4 V
        ("{amps: 180 A, post fuse: 60 A}", "50 A", "200 Ah", "41 A", "the fuse of the power post"),
        # two fifths of 110 A, in the same way
        (
            "{amps: 110 A, house share: 40 %}",
            "60 A",
            "400 Ah",
            "38 A",
            "the share of the alternator allowed",
        ),
        ("220 A", "2 x 60 A", "100 Ah", "50 A", "the bank, which takes 50 A"),
    ],
)  # fmt: skip
def test_driving_tells_the_least_and_what_holds_it(alternator, charger, battery, amps, held):
    text = f"alternator: {alternator}\ndc charger: {charger}\ndriving: 2 h a day\n"
    bank = re.sub("battery: .*", f"battery: {{capacity: {battery}}}", GOOD)
    sheet = loads_text(bank + text)
    told = dict(power_rows(set_scene(sheet, invented.weather_of(sheet), 0.0), "si"))["driving"]
    assert f"{amps} cold, {amps} warm at the bank" in told
    assert f"held there by {held};" in told


def test_a_charger_that_never_charges_is_told():
    rows = power_rows(scene("alternator: 180 A\ndc charger: 30 A\n"), "si")
    assert ("!", "dc charger: gives nothing, for the van never drives") in rows


def test_an_inverter_that_is_not_there_is_said():
    bare = re.sub("inverter: .*\n", "inverter: none\n", GOOD)
    kettle = bare.replace("loads:\n", "loads:\n  - kettle\n") + "shore: 30 A\n"
    for text, said in ((bare, "none"), (kettle, "none: kettle on shore alone")):
        sheet = loads_text(re.sub("air conditioner:\n(  .*\n)+", "", text))
        told = dict(power_rows(set_scene(sheet, invented.weather_of(sheet), 0.0), "si"))
        assert told["inverter"] == said
        assert "inverter's cable" not in told


def test_what_is_not_there_is_not_told():
    assert [name for name, _ in power_rows(scene(""), "si")] == ["inverter's cable"]


def test_strings_say_their_volts_in_the_cold():
    wired = GOOD.replace(
        "roof panels: {", "roof panels: {in series: 2, controller voltage: 100 V, "
    )
    assert wired != GOOD
    sheet = loads_text(wired)
    told = dict(power_rows(set_scene(sheet, invented.weather_of(sheet), 0.0), "si"))
    assert "2 in series: " in told["roof panels"]
    assert "100 V" in told["roof panels"]


@pytest.mark.parametrize("width", [60, 80, 100])
def test_spare_circuits_are_told_whole_at_any_width(width):
    out = io.StringIO()
    print_power(scene(), console_for(out, width), "si")
    text = out.getvalue()
    assert max(len(line) for line in text.splitlines()) <= width
    assert "…" not in text
    for part in ("awning", "14 AWG", "2.08", "thin", "does not guard", "1.5"):
        assert part in text
