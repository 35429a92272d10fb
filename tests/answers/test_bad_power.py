"""Bad electricity and fuel on the command line: one message, exit 2, nothing half-written."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.van.also import with_also
from vanclimate.van.inverter import Inverter
from vanclimate.van.reading import loads_text

VAN = (
    "site: miami\nbody: {length: 3 m, width: 2 m, height: 2 m}\n"
    "stacks: {roof: [steel 0.9 mm], walls: [steel 0.9 mm], floor: [plywood 12 mm]}\n"
)
ROOMS = "garage: {length: 1 m, height: 0.8 m}\n"
ALTERNATOR = "alternator: 180 A\ndc charger: 30 A\n"
KETTLE = "loads: [kettle]\n"
CIRCUIT = "spare circuits: [{{name: pump, {}, wire: 14 AWG, length: 3 m}}]\n"

# text of the sheet; line, key, and what is found and allowed
BAD = {
    "panels above their controller": (
        "roof panels: {power: 400 W, in series: 4, controller voltage: 75 V}\n",
        4, "roof panels.in series", "97.2 V open circuit", "the controller's 75 V",
    ),
    "an inverter smaller than one load": (
        f"inverter: {{rating: 800 W}}\n{KETTLE}", 4, "inverter.rating", "800 W", "the kettle",
    ),
    "no inverter for a load on it": (
        f"inverter: none\n{KETTLE}",
        4, "inverter", "none, while the kettle hangs on it", "'inverter: {rating: 1000 W}'",
    ),
    "a fuse smaller than its load": (
        CIRCUIT.format("planned: 200 W, fuse: 10 A"),
        4, "spare circuits item 1.fuse", "10 A", "15.6 A of the 200 W planned on pump",
    ),
    "driving 25 h a day": (
        f"{ALTERNATOR}driving: 25 h a day\n", 6, "driving.hours", "25 h a day", "up to 24 h",
    ),
    "DC-DC on a shore-only van": (
        "shore: 30 A\ndc charger: 30 A\n", 5, "dc charger", "no alternator", "'alternator:'",
    ),
    "propane in a diesel heater": (
        "heater: {burns: diesel, fuel: propane}\n",
        4, "heater.fuel", "propane in a diesel heater", "diesel",
    ),
    "a rule of a load that is not there": (
        f"{KETTLE}rules: [dishwasher only above 40 %]\n",
        5, "rules item 1", "dishwasher", "kettle, AC",
    ),
    "a rule that can never be": (
        f"{KETTLE}rules: [kettle only from 20:00 to 21:00]\n",
        5, "rules item 1", "20:00 to 21:00", "the times of kettle",
    ),
    "an empty tank": (
        "heater: {fuel: diesel, tank at start: 0 %}\n",
        4, "heater.tank at start", "0 %", "more than 5 %",
    ),
    "a tank down to its stand-pipe": (
        "heater: {fuel: diesel, supply: main tank, tank at start: 25 %}\n",
        4, "heater.tank at start", "no fuel that the heater reaches", "more than 25 %",
    ),
    "two fridges in two rooms": (
        f"{ROOMS}loads: [fridge, {{name: fridge 2, zone: garage}}]\n",
        5, "loads", "living and garage", "one zone",
    ),
    "a lead bank that starts at its cut-off": (
        "battery: {kind: AGM, charge at bedtime: 50 %}\n",
        4, "battery.charge at bedtime", "50 %", "more than the cut-off, 50 %",
    ),
    "a capacity below nothing": (
        "battery: {capacity: -5 Ah}\n", 4, "battery.capacity", "-5 Ah", "5 Ah to 5000 Ah",
    ),
    "a capacity that is no number": (
        "battery: {capacity: nan Ah}\n", 4, "battery.capacity", "nan Ah", "a number is needed",
    ),
    "amps of shore power below nothing": (
        "shore: -30 A\n", 4, "shore.inlet", "-30 A", "5 A to 63 A",
    ),
    "a load below nothing": (
        "loads: [{name: oven, power: -20 W}]\n", 4, "loads item 1.power", "-20 W", "0 W to 10 kW",
    ),
    "an efficiency above all": (
        "inverter: {efficiency: 110 %}\n", 4, "inverter.efficiency", "110 %", "50 % to 100 %",
    ),
    "unknown keys of the bank": (
        "battery: {capacty: 200 Ah}\n", 4, "battery.capacty", "capacty", "did you mean 'capacity'",
    ),
    "unknown keys of the heater": (
        "heater: {fule: diesel}\n", 4, "heater.fule", "fule", "did you mean 'fuel'",
    ),
    "an unknown section": ("generator: 30 A\n", 4, "generator", "generator", "alternator"),
    "a list for the bank": ("battery: [200 Ah]\n", 4, "battery", "a list", "a section of keys"),
    "a list for the heater": ("heater: [diesel]\n", 4, "heater", "a list", "'burns:'"),
    "a list for shore power": ("shore: [30 A]\n", 4, "shore", "a list", "a section, or none"),
    "a section for the rules": ("rules: {AC: off}\n", 4, "rules", "a section", "a list"),
    "a section for the circuits": (
        "spare circuits: {name: pump}\n", 4, "spare circuits", "a section", "a list",
    ),
    "a circuit without its fuse": (
        CIRCUIT.format("planned: 20 W"),
        4, "spare circuits item 1.fuse", "nothing", "'fuse:' and its value",
    ),
    "a van without a bank": ("battery: none\n", 4, "battery", "none", "a section of keys"),
    "an engine idling by night": (
        f"{ALTERNATOR}driving: {{hours: 22:00 to 23:30, speed: idle}}\n",
        6, "driving.hours", "an idling engine", "exhaust beside sleepers kills",
    ),
}  # fmt: skip
ALSO = {
    "kettle: 3": ("3", "the unit is missing"),
    "": ("nothing", "a load such as"),
    "x" * 500: ("xxx", "200 letters at most"),
    "[bold red]x[/bold red]": ("[bold red]x[/bold red]", "a load such as"),
    "\x1b[31mred: 60 W, night": ("[31mred", "a load such as"),
    "kettle: -300 W": ("-300 W", "0 W to 10 kW"),
    "kettle: 4 kW": ("kettle of 4 kW", "at most the inverter's 2 kW"),
    "kettle, mars": ("mars", "a load such as"),
    "300 W, 25 h at 8:00": ("25 h", "less than a day"),
    "kettle: 300 W, in the garage": ("garage", "living"),
}


def refused(tmp_path, text, command, *options):
    """Run a command and return its one message; the folder must hold the sheet alone afterwards."""
    sheet = tmp_path / "van.yaml"
    sheet.write_text(text, encoding="utf-8")
    done = CliRunner().invoke(cli.app, [command, str(sheet), *options])
    assert done.exit_code == 2
    assert done.stdout == ""
    assert [path.name for path in tmp_path.iterdir()] == ["van.yaml"]
    lines = [x for x in done.stderr.splitlines() if not x.startswith("compiling")]
    assert len(lines) == 1
    return lines[0]


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_is_refused_with_file_line_key_found_and_allowed(tmp_path, name):
    text, line, key, found, allowed = BAD[name]
    told = refused(tmp_path, VAN + text, "check")
    assert told.startswith(f"van.yaml, line {line}, {key}: found '")
    assert found in told.split("; allowed: ")[0]
    assert allowed in told.split("; allowed: ")[1]


@pytest.mark.parametrize("name", ["an empty tank", "a fuse smaller than its load"])
def test_a_night_of_it_writes_no_trace(tmp_path, name):
    trace = tmp_path / "night.csv"
    told = refused(tmp_path, VAN + BAD[name][0], "night", "--trace", str(trace))
    assert told.startswith("van.yaml, line 4")


@pytest.mark.parametrize("text", ALSO)
def test_nonsense_as_a_load_more_is_refused_by_the_option(tmp_path, text):
    found, allowed = ALSO[text]
    told = refused(tmp_path, f"{VAN}inverter: {{rating: 2 kW}}\n", "night", "--also", text)
    assert told.startswith("--also: found '")
    assert found in told.split("; allowed: ")[0]
    assert allowed in told.split("; allowed: ")[1]
    assert "\x1b" not in told


def test_a_load_more_brings_its_inverter_unless_there_is_none(tmp_path):
    told = refused(tmp_path, f"{VAN}inverter: none\n", "night", "--also", "kettle")
    assert "kettle on the inverter, while inverter is none" in told
    sheet = loads_text(VAN)
    assert sheet.inverter is None
    assert with_also(sheet, ["kettle"]).inverter == Inverter()
    bare = loads_text(f"{VAN}inverter: none\nshore: 30 A\n")
    assert with_also(bare, ["kettle"]).inverter is None


def test_check_says_which_of_two_rules_counts(tmp_path):
    sheet, cold, warm = tmp_path / "van.yaml", "AC at 70 F at night", "AC at 80 F at night"
    cooled = "air conditioner: {capacity: 3 kW}\n"
    sheet.write_text(f"{VAN}{cooled}rules: [{cold}, {warm}]\n", encoding="utf-8")
    done = CliRunner().invoke(cli.app, ["check", str(sheet)])
    assert done.exit_code == 0, done.stderr
    told = " ".join(done.stdout.split())
    assert f"note: rule '{cold}': the later '{warm}' counts in all its hours" in told


def test_a_van_of_nothing_but_none_is_understood(tmp_path):
    names = (
        "cab", "garage", "pop top", "vents", "doors", "air conditioner", "heater",
        "electric heater", "roof panels", "ground panel", "alternator", "second alternator",
        "dc charger", "driving", "shore", "inverter", "loads", "rules", "spare circuits",
        "appliances", "windows",
    )  # fmt: skip
    sheet = tmp_path / "van.yaml"
    sheet.write_text(VAN + "".join(f"{name}: none\n" for name in names), encoding="utf-8")
    done = CliRunner().invoke(cli.app, ["check", str(sheet)])
    assert done.exit_code == 0, done.stderr
