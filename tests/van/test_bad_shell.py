"""A body that cannot be: refused by line, key, what was found and what is allowed; or noted."""

import pytest
from typer.testing import CliRunner

from vanclimate.cli import app
from vanclimate.errors import OptionError, SheetError
from vanclimate.network.shell import Shell, Zone, shell_of
from vanclimate.van.reading import loads_text

FOAMED = "[steel 0.9 mm, sprayed foam 40 mm, plywood 6 mm]"
OWN = (
    "{{material: my own, thickness: 20 mm, conductivity: {k} W/mK, density: 30 kg/m3, "
    "specific heat: 1000 J/kgK, {more}}}"
)
METRE = "XPS 500 mm, XPS 500 mm"


def text(*, body: str = "", walls: str = FOAMED, roof: str = FOAMED, rest: str = "") -> str:
    """Return an invented sheet; walls stand in line 6, what is added in line 8."""
    return f"""\
site: miami
units: si
body: {{length: 3.6 m, width: 1.78 m, height: 1.88 m{body}}}
stacks:
  roof: {roof}
  walls: {walls}
  floor: [steel 1.2 mm, XPS 25 mm, plywood 12 mm]
{rest}
"""


def own(more: str, k: float = 0.04) -> str:
    """Return walls with a material of one's own."""
    return f"[steel 0.9 mm, {OWN.format(k=k, more=more)}, plywood 6 mm]"


def window(more: str) -> str:
    """Return a sheet's windows: one, with what is said of it."""
    return f"windows: [{{name: pane, side: left, area: 0.4 m2, {more}}}]"


RIB = "ribs: {{kind: hat, width: 60 mm, spacing: 500 mm, depth: {}}}"
STACKS = {
    "walls thicker than the body is wide": (
        {"walls": f"[steel 0.9 mm, {METRE}, plywood 6 mm]"},
        "line 4, stacks: found '2.01 m of layers left and right'.*body's width of 1.78 m",
    ),
    "roof and floor thicker than it is high": (
        {"roof": f"[steel 0.9 mm, {METRE}, {METRE}]"},
        "line 4, stacks: found '2.04 m of layers roof and floor'.*body's height of 1.88 m",
    ),
    "a layer half a metre thick": (
        {"walls": "[steel 0.9 mm, XPS 600 mm]"}, "line 6, stacks.walls item 2: found 'XPS 600 mm'"
    ),
    "nothing at all": ({"walls": "[]"}, "line 6, stacks.walls: found '0 layers'"),
    "foil as the skin": (
        {"walls": "[foil, XPS 30 mm]"}, "line 6, stacks.walls: found 'foil outermost'"
    ),
    "emissivity above one": (
        {"walls": own("emissivity: 1.2")}, r"line 6, .*emissivity: found '1.2'; .*2 % to 100 %"
    ),
    "emissivity of zero": ({"walls": own("emissivity: 0")}, "emissivity: found '0'"),
    "paint of emissivity above one": (
        {"body": ", emissivity: 130 %"}, "line 3, body.emissivity: found '130 %'; .*to 100 %"
    ),
    "paint that takes up more than there is": (
        {"body": ", colour: 130 %"}, "line 3, body.colour: found '130 %'; .*to 100 %"
    ),
    "vapour resistance of zero": (
        {"walls": own("vapour: 0")}, r"line 6, .*vapour: found '0'; allowed: 1 to"
    ),
    "still air of zero": ({"walls": own("sd: 0 m")}, "sd: found '0 m'; allowed: more than 0 m"),
    "conductivity of zero": ({"walls": own("vapour: 2", k=0.0)}, "conductivity: found '0.0 W/mK'"),
    "a steep slope": ({"walls": own("slope: 0.5")}, r"slope: found '0.5'; allowed: -0.02 to 0.02"),
    "an air gap as thick as a room": (
        {"walls": "[steel 0.9 mm, air gap 400 mm, plywood 6 mm]"}, "an air gap of 300 mm at most"
    ),
    "an air gap without a lining": (
        {"walls": "[steel 0.9 mm, air gap 20 mm]"}, "found 'an air gap at the end'"
    ),
    "wool squeezed to a tenth": (
        {"walls": "[steel 0.9 mm, glass wool 200 mm in 20 mm]"}, "no less than a third"
    ),
    "a board squeezed as if it were wool": (
        {"walls": own("compressed from: 40 mm").replace("30 kg/m3", "300 kg/m3")},
        "compressed from: found 'squeezed my own of 300 kg/m3'; allowed: a batt of 5 to 100",
    ),
    "ribs deeper than the body": (
        {"body": f", {RIB.format('900 mm')}"}, "line 3, body.ribs.depth: found '900 mm'"
    ),
    "ribs that reach far into the body": (
        {"body": f", floor {RIB.format('200 mm, cover: 100 mm, mastic: 5 mm')}"},
        "line 3, body.floor ribs.*into the body'; allowed: 300 mm at most",
    ),
    "ribs closer than they are wide": (
        {"body": f", {RIB.format('40 mm').replace('500', '70')}"},
        "line 3, body.ribs.spacing: found '70 mm between ribs that take 90 mm'",
    ),
    "screws as wide as a rib's face": (
        {"body": f", {RIB.format('40 mm, screws: {spacing: 200 mm, diameter: 12 mm}')}".replace(
            "width: 60 mm", "width: 20 mm")},
        "line 3, body.ribs.screws.diameter: found 'screws of 12 mm'; allowed: at most half of the",
    ),
    "snow of no unit": (
        {"body": ", roof state: snow 3"},
        "line 3, body.roof state: found 'snow 3'; allowed: dry, wet, snow, .*unit is missing",
    ),
    "no leak at all": ({"body": ", leakage: 0 cm2"}, "line 3, body.leakage: found '0 cm2'"),
}  # fmt: skip
PARTS = {
    "a fan curve that rises": (
        'fans: {curve: "0 Pa at 100 L/s, 20 Pa at 150 L/s, 40 Pa at 0 L/s"}',
        "line 8, fans.curve: .*allowed: a fan curve that falls",
    ),
    "a fan curve that is level": (
        'fans: {curve: "0 Pa at 100 L/s, 20 Pa at 100 L/s, 40 Pa at 0 L/s"}',
        "line 8, fans.curve: .*allowed: a fan curve that falls",
    ),
    "a fan curve without an end": (
        'fans: {curve: "0 Pa at 100 L/s, 20 Pa at 50 L/s"}', "to no flow [(]shut-off pressure[)]"
    ),
    "a cab longer than cabs are": ("cab: {length: 9 m}", "line 8, cab.length: found '9 m'"),
    "a cab higher than the body": (
        "cab: {height: 2.2 m}", "line 8, cab.height: found '2.20 m'; allowed: at most 1.88 m"
    ),
    "a curtain in an open cab": (
        "cab: {divider: open, drawn: night}", "line 8, cab.drawn: .*nothing beside 'divider: open'"
    ),
    "an open cab that is not": (
        "cab: {divider: open, opening: 0 m2}", "line 8, cab.opening: found 'an open cab with no"
    ),
    "a bulkhead without a door, opened at night": (
        "cab: {divider: bulkhead, drawn: night}", "line 8, cab.drawn: found 'drawn night on a close"
    ),
    "a way larger than the cab's section": (
        "cab: {opening: 4 m2}", r"line 8, cab.opening: found '4.00 m²'; .*section of 2.49 m²"
    ),
    "no path between cab and living space": (
        "cab: {leakage between: 0 cm2}", "line 8, cab.leakage between: found '0 cm2'"
    ),
    "a curtain thicker than the cab is long": (
        f"cab: {{divider layers: [{METRE}, {METRE}]}}", "line 8, cab.divider layers: found '2.00 m"
    ),
    "cab walls that meet": (
        f"cab: {{walls: [steel 0.9 mm, {METRE}]}}", "line 8, cab.walls: found '2.00 m of layers'"
    ),
    "a cab roof on the floor": (
        f"cab: {{roof: [steel 0.9 mm, {METRE}, {METRE}]}}", "line 8, cab.roof: found '2.01 m"
    ),
    "a garage higher than the body": (
        "garage: {height: 1.95 m}", "line 8, garage.height: found '1.95 m'; allowed: at most 1.69 m"
    ),
    "a garage longer than the body": (
        "garage: {length: 5 m}", "line 8, garage.length: found '5.00 m'; allowed: at most 3.24 m"
    ),
    "no path between garage and living space": (
        "garage: {leakage between: 0 cm2}", "line 8, garage.leakage between: found '0 cm2'"
    ),
    "a bed thicker than the room above the garage": (
        f"garage: {{deck: [{METRE}, {METRE}]}}", "line 8, garage.deck: found '2.00 m of layers'"
    ),
    "a lifting roof longer than the body": (
        "pop top: {length: 5 m}", "line 8, pop top.length: found '5.00 m'; allowed: at most 3.60 m"
    ),
    "a cover's hours without a cover": (
        window("covered: night"), "line 8, windows item 1.covered: found 'covered night, on a wind"
    ),
    "a cover's edge without a cover": (
        window("cover edge: 3 mm"), "line 8, windows item 1.cover edge: found 'the edge of no cover"
    ),
    "a cover's resistance without a cover": (
        window("cover resistance: 0.3 m2K/W"), "line 8, windows item 1.cover: found 'a resistance"
    ),
    "a window that opens wider than it is": (
        window("opening: 0.5 m2, open: night"), "line 8, windows item 1.opening: found '5000 cm2'"
    ),
    "more glass than wall": (
        "windows: [{name: pane, side: rear, area: 6 m2}]", "line 8, windows: found '6.00 m² of gla"
    ),
    "glass of a room that is not there": (
        window("zone: garage"), "line 8, windows item 1.zone: found 'garage'; allowed: living"
    ),
    "a door higher than the body": (
        "doors: {height: 2.5 m}", "line 8, doors.height: found '2.5 m'; allowed: at most the body's"
    ),
    "a door wider than the body is long": (
        "doors: {area: 6 m2, height: 50 cm}", "line 8, doors.area: found '6 m2 in a door 500 mm"
    ),
    "a door opened before it is shut": (
        "doors: {openings per hour: 60, open for: 30 min}", "line 8, doors.open for: found '60 open"
    ),
    "a door opened ten times a minute": (
        "doors: {openings per hour: 600}", "line 8, doors.openings per hour: found '600'; .*0 to 60"
    ),
}  # fmt: skip
BAD = {name: (text(**parts), said) for name, (parts, said) in STACKS.items()}
BAD |= {name: (text(rest=part), said) for name, (part, said) in PARTS.items()}


def test_the_sheet_that_each_fault_is_put_into_has_none():
    assert shell_of(loads_text(text())).zones[0].volume == pytest.approx(3.6 * 1.78 * 1.88)


@pytest.mark.parametrize("fault", BAD)
def test_what_cannot_be_is_refused_by_line_and_key(fault):
    sheet, said = BAD[fault]
    with pytest.raises(SheetError, match=said) as caught:
        shell_of(loads_text(sheet, "van.yaml"))
    assert caught.value.file == "van.yaml"
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "fault",
    ["emissivity above one", "walls thicker than the body is wide", "a fan curve that rises",
     "a door higher than the body", "a bed thicker than the room above the garage"],
)  # fmt: skip
@pytest.mark.parametrize("command", ["check", "night"])
def test_both_commands_end_with_one_message_and_exit_code_2(command, fault, tmp_path):
    path = tmp_path / "van.yaml"
    path.write_text(BAD[fault][0], encoding="utf-8")
    result = CliRunner().invoke(app, [command, str(path)])
    assert result.exit_code == 2
    assert isinstance(result.exception, SystemExit)
    said = [x for x in result.output.strip().splitlines() if not x.startswith("compiling")]
    assert len(said) == 1
    assert said[0].startswith("van.yaml, line ")


def test_ribs_that_leave_no_room_between_them_are_refused():
    narrow = text(body=f", {RIB.format('200 mm, cover: 90 mm')}").replace("1.78 m", "1.1 m")
    with pytest.raises(SheetError, match=r"line 3, body.ribs: found 'ribs that reach 290 mm into"):
        loads_text(narrow)


def test_a_door_that_the_sheet_leaves_out_is_no_fault_of_a_low_body():
    low = text().replace("height: 1.88 m", "height: 1.2 m")
    assert loads_text(low).doors.height < 1.2


def test_a_window_without_a_cover_may_say_so():
    assert loads_text(text(rest=window("cover: none, covered: never"))).windows[0].cover == "none"


@pytest.mark.parametrize(
    ("part", "place"),
    [
        ({"walls": "[steel 0.9 mm, XPS 30 mm, foil, plywood 6 mm]"}, "stacks.walls"),
        ({"rest": "cab: {walls: [steel 0.9 mm, foil, XPS 20 mm]}"}, "cab.walls"),
        ({"rest": "cab: {divider layers: [XPS 9 mm, foil, XPS 9 mm]}"}, "cab.divider layers"),
        ({"rest": "garage: {deck: [plywood 9 mm, foil, XPS 30 mm]}"}, "garage.deck"),
    ],
)
def test_foil_without_a_gap_is_noted_wherever_it_lies(part, place):
    said = f"{place}: foil without an air gap on its shiny side adds nothing"
    assert said in loads_text(text(**part)).notes


def test_a_zone_with_no_path_to_anything_is_refused():
    with pytest.raises(OptionError, match="a zone with a surface, glass or a passage"):
        Shell((), (), (Zone("living", 10.0),))
