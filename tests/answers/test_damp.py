"""A sheet's dampness at its place."""

import re

import numpy as np
import pytest

from vanclimate.answers.damp import LIVED_IN, STORED, dampness
from vanclimate.answers.season import record_for
from vanclimate.network.shell import shell_of
from vanclimate.physics.air import saturation_pressure
from vanclimate.van.reading import loads_text

VAN = """\
site: greensboro
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks:
  roof: [steel 0.9 mm, XPS 1 in, plywood 6 mm]
  walls: [steel 1 mm, glass wool 50 mm, plywood 6 mm]
  floor: [steel 1.2 mm, XPS 1 in, plywood 12 mm]
"""


def found(text: str):
    sheet = loads_text(text)
    return dampness(sheet, shell_of(sheet), record_for(sheet))


def test_walls_that_are_built_alike_are_one_row() -> None:
    got = found(VAN)
    assert [name for name, _ in got.sides] == ["roof", "floor", "walls"]
    assert got.humidity_class == LIVED_IN
    other = found(VAN + "  rear: [steel 1 mm, PVC 3 mm]\n")
    names = [name for name, _ in other.sides]
    assert len(names) == 4
    assert "rear" in names
    assert any(set(re.split(", | and ", n)) == {"left", "right", "front"} for n in names)


def test_the_climate_is_the_months_mean_of_the_place() -> None:
    got = found(VAN).climate
    assert got is not None
    record = record_for(loads_text(VAN))
    january = record.whole().temp_air[: 31 * 24]
    assert got.outside_temp[0] == pytest.approx(january.mean(), abs=0.02)
    assert (got.outside_pressure < saturation_pressure(got.outside_temp)).all()
    assert (got.inside_temp >= 20.0).all()
    assert np.argmin(got.outside_temp) in (0, 1, 11)


def test_a_van_that_nobody_sleeps_in_is_drier() -> None:
    lived, stored = found(VAN), found(VAN + "people: {sleepers: 0}\n")
    assert stored.humidity_class == STORED
    assert dict(stored.sides)["walls"].peak < dict(lived.sides)["walls"].peak


def test_made_up_days_are_no_year() -> None:
    day = (
        "site: {design day: {low: 70 F, high: 95 F, latitude: 35, humidity: 40 %, date: 5 July}}\n"
    )
    sheet = VAN.replace("site: greensboro\n", day)
    got = found(sheet)
    assert got.sides == ()
    assert "no year" in got.missing
