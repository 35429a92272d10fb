"""Remedies as a sheet lists them: what is read, what is refused, and with which line."""

from __future__ import annotations

from pathlib import Path

import pytest

from vanclimate.errors import SheetError, UnitError
from vanclimate.van.reading import loads_text
from vanclimate.van.remedies import BY_NAME, KINDS, read_remedy, shown
from vanclimate.van.sheet import Sheet

GOOD = (Path(__file__).parent / "good.yaml").read_text(encoding="utf-8")
LINES = GOOD.count("\n")


def read(more: str) -> Sheet:
    return loads_text(f"{GOOD}\n{more}\n", "van.yaml")


@pytest.mark.parametrize(
    ("text", "what", "step", "most"),
    [
        ("roof panels", "roof panels", None, None),
        ("Roof  Panels", "roof panels", None, None),
        ("roof_panels 120 W", "roof panels", 120.0, None),
        ("battery 50 Ah up to 200 Ah", "battery", 50.0, 200.0),
        ("battery by 50 Ah UP TO 50 Ah", "battery", 50.0, 50.0),
        ("driving 1 h up to 3 h", "driving", 3600.0, 10800.0),
        ("insulation 1/2 in up to 1-1/2 in", "insulation", 0.0127, 0.0381),
        ("insulation by 10 mm", "insulation", 0.010, None),
        ("ac setpoint 1 F up to 4 F", "AC setpoint", 5.0 / 9.0, 20.0 / 9.0),
        ("heater setpoint 1 K", "heater setpoint", 1.0, None),
        ("heater 500 W up to 2 kW", "heater", 500.0, 2000.0),
        ("night limit 5 % up to 30 %", "night limit", 0.05, 0.30),
        ("fuel 2 gal", "fuel", 2 * 3.785411784e-3, None),
        ("air conditioner 1 kBTU/h", "air conditioner", 293.07107, None),
        ("shade", "shade", None, None),
        ("window covers", "window covers", None, None),
    ],
)
def test_a_remedy_is_read(text, what, step, most):
    (remedy,) = read(f"remedies:\n  - {text}").remedies
    assert remedy.kind is BY_NAME[what.casefold()]
    assert remedy.what == what
    for found, wanted in ((remedy.step, step), (remedy.most, most)):
        assert (found is None) == (wanted is None)
        if wanted is not None:
            assert found == pytest.approx(wanted, rel=1e-6)


def test_left_out_all_kinds_are_tried_in_their_order():
    assert [remedy.what for remedy in read("").remedies] == [kind.name for kind in KINDS]
    assert all(remedy.step is None for remedy in read("").remedies)


def test_the_order_of_a_list_is_kept():
    texts = ["shade", "battery 100 Ah", "roof panels"]
    found = read("remedies:\n" + "\n".join(f"  - {text}" for text in texts)).remedies
    assert [remedy.what for remedy in found] == ["shade", "battery", "roof panels"]


@pytest.mark.parametrize(
    ("more", "line", "said"),
    [
        ("remedies: []", 1, ("an empty list", "roof panels")),
        ("remedies:\n  - battery\n  - shade\n  - battery 50 Ah", 1, ("battery twice",)),
        ("remedies:\n  - shade\n  - batery", 3, ("batery", "did you mean 'battery'")),
        ("remedies:\n  - shades", 2, ("shades", "did you mean 'shade'")),
        ("remedies:\n  - fuels 5 L", 2, ("fuels 5 L",)),
        ("remedies:\n  - shade 2", 2, ("shade 2", "shade alone")),
        ("remedies:\n  - battery 50 W", 2, ("W",)),
        ("remedies:\n  - battery 0 Ah", 2, ("a step above nothing",)),
        ("remedies:\n  - battery -50 Ah", 2, ("a step above nothing",)),
        ("remedies:\n  - battery 100 Ah up to 50 Ah", 2, ("no more of it than the most",)),
        ("remedies:\n  - battery up to 200 Ah", 2, ("up to",)),
        ("remedies:\n  - battery 50", 2, ("50",)),
        ("remedies: shade", 1, ("shade", "a list of remedies")),
        ("remedies:\n  - {battery: 50 Ah}", 2, ("battery",)),
        ("remedies:\n  - nan", 2, ("nan",)),
        ("remedies:\n  - {what: batery}", 2, ("batery", "did you mean 'battery'")),
        ("remedies:\n  - {what: battery, step: nan}", 2, ("nan", "a step above nothing")),
        ("remedies:\n  - {what: battery, step: -5}", 2, ("-5", "a step above nothing")),
        ("remedies:\n  - {what: battery, step: 9, most: 3}", 2, ("no more of it",)),
        ("remedies:\n  - {what: shade, step: 2}", 2, ("shade alone",)),
        ("remedies:\n  - battery 1 mAh up to 100 Ah", 2, ("1e+05 steps", "1000 at most")),
    ],
)
def test_what_is_none_is_one_line_with_its_place(more, line, said):
    with pytest.raises(SheetError) as caught:
        read(more)
    message = str(caught.value)
    assert message.startswith(f"van.yaml, line {LINES + 1 + line}, ")
    assert "\n" not in message
    for part in said:
        assert part in message


def test_a_text_alone_says_what_is_allowed():
    with pytest.raises(UnitError) as caught:
        read_remedy("more sun")
    assert all(kind.name in caught.value.allowed for kind in KINDS)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_what_is_shown_of_a_step_is_read_again(kind):
    if kind.quantity == "count":
        assert shown(kind, 2.0, "si") == "2"
        return
    for system in ("si", "us"):
        again = read_remedy(f"{kind.name} {shown(kind, kind.step, system)}")
        assert again["what"] == kind.name
        assert again["step"] == pytest.approx(kind.step, rel=0.02)  # as rounded for a reader
