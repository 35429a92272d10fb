"""Typical years against published climate tables: degree-days and design temperatures.

The published figures are from memory: US climate normals (1981-2010 and 1991-2020; degree-days base
65 °F) and the climatic design conditions of the ASHRAE Handbook of Fundamentals. The tolerances
were set before the first run. A typical year is of ordinary months from 1961-2005 or 1991-2005, so
its degree-days belong to another period than the normals: 10 % and no less than 150 F-days are
allowed for; its 0.4 % and 1 % dry bulb lie within 1.5 K of tables made of some 25 years, its
99.6 % and 99 % within 3 K, for ordinary winters leave the worst cold out. Misses are marked, with
their size, and recorded on the page of validation.
"""

from functools import cache
from pathlib import Path

import pytest

from vanclimate.site.describe import describe
from vanclimate.site.sites import find_record

SHARED = Path(__file__).resolve().parents[2].parent / "shared" / "weather"
FILES = {
    "miami": SHARED / "722020TYA.CSV.gz",
    "phoenix": SHARED / "722780TYA.CSV.gz",
    "denver": SHARED / "725650TYA.CSV.gz",
    "minneapolis": SHARED / "726580TYA.CSV.gz",
}


@cache
def annual(place):
    if place in FILES:
        if not FILES[place].is_file():
            pytest.skip("../shared/weather stands beside the project only where it is made")
        return describe(find_record(str(FILES[place]))).annual
    return describe(find_record(place.removeprefix("shipped "))).annual


# place, heating and cooling degree-days a year in °F
DEGREE_DAYS = [
    ("miami", 150.0, 4400.0),
    ("shipped miami", 150.0, 4400.0),
    ("phoenix", 1000.0, 4600.0),
    ("denver", 6000.0, 750.0),
    ("minneapolis", 7500.0, 750.0),
    ("shipped greensboro", 3700.0, 1350.0),
]


@pytest.mark.parametrize(("place", "heating", "cooling"), DEGREE_DAYS)
def test_degree_days_are_near_the_published_normals(place, heating, cooling, record_property):
    year = annual(place)
    record_property("heating", float(1.8 * year.heating))
    record_property("cooling", float(1.8 * year.cooling))
    assert 1.8 * year.heating == pytest.approx(heating, abs=max(150.0, 0.1 * heating))
    assert 1.8 * year.cooling == pytest.approx(cooling, abs=max(150.0, 0.1 * cooling))


# place, dry bulb exceeded in 0.4 %, 1 % of the hours, then in 99.6 % [°C]
DESIGN = {
    "miami": (33.3, 32.6, 8.9),
    "shipped miami": (33.3, 32.6, 8.9),
    "phoenix": (43.5, 42.3, 3.7),
    "denver": (34.6, 33.0, -18.8),
    "minneapolis": (32.8, 31.0, -23.4),
    "shipped greensboro": (33.3, 32.0, -8.9),
}
FIGURES = {"0.4 %": (0, 1.5), "1 %": (1, 1.5), "99.6 %": (3, 3.0)}
MISSES = {
    ("shipped miami", "0.4 %"): "31.7 against 33.3 °C, 1.6 K low: ordinary months of "
    "1961-1990, the table is of later years; the file of 1991-2005 has 33.3",
    ("denver", "99.6 %"): "-13.9 against -18.8 °C, 4.9 K high: the typical months hold none of the "
    "outbreaks of cold that make the table's figure",
}


def _cases():
    for place, published in DESIGN.items():
        for (figure, (index, within)), value in zip(FIGURES.items(), published, strict=True):
            reason = MISSES.get((place, figure))
            marks = [pytest.mark.xfail(strict=True, reason=reason)] if reason else []
            yield pytest.param(place, index, value, within, marks=marks, id=f"{place}, {figure}")


@pytest.mark.parametrize(("place", "index", "published", "within"), list(_cases()))
def test_design_temperatures_are_near_the_published_ones(
    place, index, published, within, record_property
):
    found = annual(place).exceeded[index]
    record_property("found", float(found))
    assert found == pytest.approx(published, abs=within)
