"""Spare circuits and the inverter's cable: what is refused, what is found, what is carried."""

from __future__ import annotations

import pytest

from vanclimate.answers.checks import check_sheet
from vanclimate.answers.circuits import cable_row, circuit_rows, wiring_notes
from vanclimate.errors import SheetError
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

VAN = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
"""
HEATER = {"planned": "60 W", "fuse": "15 A", "wire": "12 AWG", "length": "8 ft"}


def sheet_with(circuit: dict[str, str] | None = None, inverter: str = "") -> Sheet:
    """Return a van with one circuit, and with this in its inverter's section."""
    row = ", ".join(f"{k}: {v}" for k, v in (HEATER | (circuit or {})).items())
    return loads_text(
        f"{VAN}spare circuits:\n  - {{name: heater, {row}}}\ninverter: {{{inverter}}}\n"
    )


def refusal(sheet: Sheet) -> str:
    with pytest.raises(SheetError) as error:
        check_sheet(sheet)
    return str(error.value)


def test_a_sound_circuit_has_no_findings():
    sheet = sheet_with()
    check_sheet(sheet)
    (row,) = circuit_rows(sheet)
    assert row.findings == ()
    assert (row.wire, row.volts, row.fuse) == ("12 AWG", 12.8, 15.0)
    assert row.amps == pytest.approx(60 / 12.8)
    assert row.most_power == pytest.approx(0.8 * 15 * 12.8)
    assert list(wiring_notes(sheet)) == []


def test_a_fuse_smaller_than_its_load_is_refused_by_name():
    said = refusal(sheet_with({"planned": "200 W"}))
    assert "spare circuits item 1.fuse: found '15 A'" in said
    assert "at least the 15.6 A of the 200 W planned on heater" in said


def test_the_same_load_on_the_mains_is_none_of_it():
    check_sheet(sheet_with({"planned": "200 W", "feed": "inverter"}))
    assert circuit_rows(sheet_with({"feed": "inverter"}))[0].volts == 120.0


def test_more_planned_than_the_inverter_gives_is_refused_by_name():
    circuit = {"planned": "1500 W", "fuse": "20 A", "feed": "inverter"}
    said = refusal(sheet_with(circuit, "rating: 1000 W"))
    assert "spare circuits item 1.planned: found '1.5 kW'" in said
    assert "inverter's 1 kW" in said
    check_sheet(sheet_with(circuit, "rating: 2000 W"))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"planned": "160 W"}, "160 W draw 12.5 A, 83% of its fuse of 15 A"),
        ({"fuse": "30 A"}, "its fuse of 30 A does not guard 12 AWG, which takes 20 A at most"),
        ({"length": "30 ft"}, "of 12.8 V in 12 AWG; allowed is 3.0%"),
        ({"fuse": "20 A", "ambient": "50 C", "wire": "14 AWG", "insulation": "60 C"},
         "does not guard 14 AWG, which takes 9 A at most"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_circuit_is_noted_with_its_name(changes, said):
    notes = list(wiring_notes(sheet_with(changes)))
    assert any(said in note for note in notes), notes
    assert all(note.startswith("spare circuit heater: ") for note in notes)
    check_sheet(sheet_with(changes))


def test_drop_goes_with_length_current_and_heat():
    near, far = (circuit_rows(sheet_with({"length": x}))[0].drop for x in ("4 ft", "8 ft"))
    assert far == pytest.approx(2 * near)
    little, much = (circuit_rows(sheet_with({"planned": x}))[0].drop for x in ("60 W", "120 W"))
    assert 2 * little < much < 2.2 * little  # the copper warms
    cool, warm = (circuit_rows(sheet_with({"ambient": x}))[0].drop for x in ("20 C", "40 C"))
    assert cool < warm


def test_the_wire_limits_what_may_hang_on_a_circuit_too():
    (row,) = circuit_rows(sheet_with({"fuse": "60 A"}))
    assert row.most_power == pytest.approx(25 * 12.8)  # 12 AWG at 75 °C


@pytest.mark.parametrize(
    ("inverter", "said"),
    [
        ("cut off: 13 V", "inverter.cut off: found '13 V'; allowed: less than the bank's 12.8 V"),
        ("cut off: 21 V, restart: 24 V", "inverter.cut off: found '21 V'"),
        ("restart: 25 V", "inverter.restart: found '25 V'"),
    ],
)
def test_limits_that_do_not_fit_the_bank_are_refused(inverter, said):
    assert said in refusal(sheet_with(inverter=inverter))


def test_a_long_thin_cable_is_noted():
    notes = list(wiring_notes(sheet_with(inverter="cable size: 4 AWG, cable length: 4 m")))
    assert any("4 AWG, carries 160 A for good; full load draws 274 A" in n for n in notes)
    assert any("which cuts out at 10.5 V" in n for n in notes)


def test_the_cable_row_adds_up():
    row = cable_row(sheet_with(inverter="cable size: 2/0, cable length: 1.5 m"))
    assert row.wire == "2/0 AWG"
    assert row.volts == pytest.approx(12.8 - row.amps * row.resistance)
    assert row.loss == pytest.approx(row.amps**2 * row.resistance)
    assert row.findings == ()


def test_a_cable_given_by_its_resistance():
    row = cable_row(sheet_with(inverter="cable resistance: 0.8 mohm"))
    assert row.wire == "0.8 mohm"
    assert row.findings == ()


def test_more_than_one_cable_side_by_side():
    assert cable_row(sheet_with(inverter="rating: 8000 W")).wire == "2 x 3/0 AWG"
