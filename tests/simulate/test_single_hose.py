"""A single-hose unit that heats: both coils breathe the cabin, and outdoor air comes in for it."""

from __future__ import annotations

import numpy as np

from tests.electric_vans import COLD, FIXED, Sections, day, lived, van
from vanclimate.answers.ledgers import balances
from vanclimate.equipment.heat_pump import heating
from vanclimate.simulate.runs import Run

HEATS = FIXED | {"heats": "yes", "heating when": "always", "heating setpoint": "17 C"}
BANK = {"capacity": "2000 Ah"}
MILD = day(4, 9, "01-15", 70)


def heated(hose: str, site: Sections = MILD, least: str = "-15 C") -> Run:
    unit = HEATS | {"hose": hose, "heats down to": least}
    return lived(van(site, air_conditioner=unit, battery=BANK), 1.0, way="heat")


def test_it_heats_from_the_cabins_air_and_lets_the_cold_in():
    one, two = heated("one"), heated("two")
    whole = (one.column("ac_on_share") > 0.999) & (one.column("ac_starts") == 0)
    on = whole & np.roll(whole, 1)  # the row before is over its start too
    air = one.column("cabin_temp_mean_c")[on]
    assert on.sum() > 10
    # a row's mean air stands for that of its steps: its heat goes by 2 % a kelvin
    given = [heating(one.gear.unit, temp, temp, 1.0).heat for temp in air]
    np.testing.assert_allclose(one.column("heat_pump_w")[on], given, rtol=0.01)
    assert (one.column("air_flow_m3_s")[on] >= one.gear.unit.induced_air).all()
    assert one.total("ac_power_w") > 1.2 * two.total("ac_power_w")
    for book in balances(one):
        assert book.ratio < 1e-9, book


def test_its_limit_goes_by_the_air_at_its_coil():
    one, two = (heated(hose, COLD, "0 C") for hose in ("one", "two"))
    coldest = [r.outdoor[1:][r.column("heat_pump_w")[1:] > 0.0].min() for r in (one, two)]
    assert coldest[1] > -0.5
    assert coldest[0] < -5.0  # the cabin's air keeps it going into the night
