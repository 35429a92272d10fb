"""Fans, vents, doors and burners as a sheet says them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.errors import SheetError, UnitError
from vanclimate.van.air import read_curve, write_curve
from vanclimate.van.bodies import KINDS
from vanclimate.van.reading import loads_text

SMALLEST = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
"""
CURVE = "fans: {curve: [0 Pa at 900 CFM, 0.12 in wg at 500 CFM, 60 Pa at 0 CFM]}\n"
HOB = "loads: [{name: hob, power: 1.8 kW, when: 18:30 to 19:00, feed: gas}]\n"


def test_a_curve_brings_its_ends_with_it():
    sheet = loads_text(SMALLEST + CURVE)
    assert sheet.fans.flow == pytest.approx(0.42475, rel=1e-4)
    assert sheet.fans.shut_off_pressure == pytest.approx(60.0)
    assert sheet.fans.curve is not None
    assert sheet.fans.curve[1] == pytest.approx((0.235974, 29.8906), rel=1e-5)
    assert not {g.path for g in sheet.guessed} & {"fans.flow", "fans.shut_off_pressure"}


@pytest.mark.parametrize(
    ("text", "allowed"),
    [
        ("0 Pa at 0.4 m3/s, 20 Pa at 0.5 m3/s, 30 Pa at 0 m3/s", "falls: less flow against more"),
        ("0 Pa at 0.4 m3/s, 0 Pa at 0.2 m3/s, 30 Pa at 0 m3/s", "falls"),
        ("0 Pa at 0.4 m3/s, 30 Pa at 0.1 m3/s", "no flow"),
        ("5 Pa at 0.4 m3/s, 30 Pa at 0 m3/s", "no pressure"),
        ("0 Pa at 0.4 m3/s", "no flow"),
        ("0 Pa at 3 m3/s, 30 Pa at 0 m3/s", "up to 2 m3/s"),
        ("900 CFM", "such as"),
    ],
)
def test_a_fan_curve_that_rises_or_lacks_an_end_is_refused(text, allowed):
    with pytest.raises(SheetError, match=allowed) as error:
        loads_text(SMALLEST + f"fans:\n  curve: [{text}]\n", "x.yaml")
    assert "x.yaml, line 5, fans.curve" in str(error.value)


def test_a_curve_and_a_flow_contradict_each_other():
    with pytest.raises(SheetError, match="curve alone") as error:
        loads_text(SMALLEST + CURVE.replace("{curve", "{flow: 900 CFM, curve"))
    assert error.value.key == "fans.flow"


@given(
    st.lists(st.floats(0.02, 0.5), min_size=1, max_size=4),
    st.sampled_from(["si", "us"]),
)
def test_a_written_curve_is_read_again(steps, system):
    total, shut_off = sum(steps), 10.0 * len(steps)
    curve, flow = [(total, 0.0)], total
    for i, step in enumerate(steps):
        flow = flow - step if i < len(steps) - 1 else 0.0
        curve.append((max(flow, 0.0), shut_off * (i + 1) / len(steps)))
    if total > 1.9:
        return
    again = read_curve(write_curve(tuple(curve), system))
    for (q, p), (q2, p2) in zip(curve, again, strict=True):
        assert (q2, p2) == pytest.approx((q, p), rel=2e-3, abs=1e-4)


def test_two_fans_blow_in_and_out_unless_the_sheet_says_otherwise():
    assert loads_text(SMALLEST + "fans: {count: 1}\n").fans.inward == 0
    assert loads_text(SMALLEST + "fans: {count: 2}\n").fans.inward == 1
    assert loads_text(SMALLEST + "fans: {count: 3}\n").fans.inward == 1
    assert loads_text(SMALLEST + "fans: {count: 2, arrangement: out}\n").fans.inward == 0
    with pytest.raises(SheetError, match="two fans or more"):
        loads_text(SMALLEST + "fans: {count: 1, arrangement: one in one out}\n")


def test_the_shut_off_pressure_follows_the_fans_watts():
    # a fifth of 30 W is a quarter of 0.4248 m3/s times 56.5 Pa
    fans = loads_text(SMALLEST).fans
    assert fans.shut_off_pressure == pytest.approx(4 * 0.2 * 30.0 / (900 * 0.3048**3 / 60))
    assert loads_text(SMALLEST + "fans: {flow: 0 CFM}\n").fans.shut_off_pressure > 0


def test_vents_and_doors():
    sheet = loads_text(SMALLEST + "vents: {high: 60 cm2, low: 20 cm2}\n")
    assert (sheet.vents.high, sheet.vents.low) == pytest.approx((0.006, 0.002))
    paths = {g.path for g in sheet.guessed}
    assert not paths & {"vents.high", "vents.low"}
    assert "doors.openings_per_hour" in paths
    none = loads_text(SMALLEST + "vents: none\n")
    assert not {g.path for g in none.guessed} & {"vents.high", "vents.low"}
    assert none.vents.high == 0.0
    with pytest.raises(SheetError, match="to 2000 cm2"):
        loads_text(SMALLEST + "vents: {high: 3 m2}\n")


def test_a_load_on_gas_is_an_open_burner():
    assert loads_text(SMALLEST).appliances == "none"
    assert loads_text(SMALLEST + HOB).appliances == "open burner"
    assert loads_text(SMALLEST + "appliances: room-sealed\n").appliances == "room sealed"
    with pytest.raises(SheetError, match="while the hob burns gas") as error:
        loads_text(SMALLEST + HOB + "appliances: none\n")
    assert error.value.key == "appliances"


def test_a_burner_needs_its_times():
    with pytest.raises(SheetError, match="its times"):
        loads_text(SMALLEST + HOB.replace(", when: 18:30 to 19:00", ""))


def test_no_fridge_on_an_open_flame():
    with pytest.raises(SheetError, match="battery or inverter"):
        loads_text(SMALLEST + HOB.replace("feed: gas", "feed: gas, kind: fridge"))


def test_inches_of_water():
    assert read_curve("0 Pa at 1 m3/s, 1 in wg at 0 L/s")[1][1] == pytest.approx(249.09, abs=0.01)
    with pytest.raises(UnitError):
        read_curve("0 Pa at 1 m3/s, 1 at 0 L/s")


WINDOW = "windows: [{name: w, side: left, area: 0.4 m2, opening: 0.2 m2, open: night}]\n"


def test_a_window_that_opens():
    (window,) = loads_text(SMALLEST + WINDOW).windows
    assert (window.opening, window.open) == (pytest.approx(0.2), "night")
    (timed,) = loads_text(SMALLEST + WINDOW.replace("night", "20:00 to 22:00")).windows
    assert timed.open == ((1200, 1320),)


@pytest.mark.parametrize(
    ("old", "new", "key", "allowed"),
    [
        ("opening: 0.2 m2", "opening: 0.5 m2", "opening", "up to its area"),
        (", open: night", "", "open", "when it is open"),
        ("opening: 0.2 m2, ", "", "open", "an 'opening:'"),
        ("open: night", "open: sometimes", "open", "never, night, day, always"),
    ],
)
def test_an_opening_that_cannot_be_is_refused(old, new, key, allowed):
    with pytest.raises(SheetError, match=allowed) as error:
        loads_text(SMALLEST + WINDOW.replace(old, new))
    assert error.value.key == f"windows item 1.{key}"


def test_without_a_roof_fan_nothing_is_guessed_of_it():
    paths = {g.path for g in loads_text(SMALLEST + "fans: {count: 0}\n").guessed}
    assert {p for p in paths if p.startswith("fans.")} == {
        "fans.screens", "fans.bed_fan_speed", "fans.bed_fan_power",
    }  # fmt: skip


def test_where_nothing_opens_no_open_window_is_guessed():
    shut = loads_text(SMALLEST + "windows: none\n")
    assert shut.fans.open_window == 0.0
    paths = {g.path for g in shut.guessed}
    assert "fans.open_window" not in paths
    assert "fans.flow" in paths
    said = loads_text(SMALLEST + "windows: none\nfans: {open window: 0.02 m2}\n")
    assert said.fans.open_window == pytest.approx(0.02)
    trailer = SMALLEST.replace("{length: 3.6 m, width: 1.78 m, height: 1.88 m}", "box trailer")
    assert loads_text(trailer).fans.open_window == 0.0
    lifted = loads_text(SMALLEST + "windows: none\npop top: {height: 0.5 m}\n")
    for opens in (loads_text(SMALLEST), lifted):
        assert opens.fans.open_window == pytest.approx(0.1)
        assert "fans.open_window" in {g.path for g in opens.guessed}


@pytest.mark.parametrize("doors", ["none", "{openings per hour: 0}"])
def test_of_a_door_that_nobody_opens_nothing_is_guessed(doors):
    sheet = loads_text(f"{SMALLEST}doors: {doors}\n")
    assert sheet.doors.openings_per_hour == 0.0
    assert not [g.path for g in sheet.guessed if g.path.startswith("doors.")]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_guessed_door_is_that_of_its_kind(kind):
    stacks = SMALLEST.splitlines()[2]
    doors = loads_text(f"site: miami\nbody: {kind.name}\n{stacks}\n").doors
    assert doors.height == pytest.approx(kind.doors[0].height)
    assert doors.area == pytest.approx(kind.doors[0].area)
    assert doors.height < kind.height


def test_a_guessed_door_fits_under_a_low_roof():
    low = SMALLEST.replace("height: 1.88 m", "height: 1.2 m")
    assert loads_text(SMALLEST).doors.area == pytest.approx(1.9)
    assert loads_text(low).doors.height == pytest.approx(1.1)
    assert loads_text(low).doors.area == pytest.approx(1.9 * 1.1 / 1.7)
