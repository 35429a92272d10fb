"""The unit made of a sheet's air conditioner: table, start, condenser's air, compiled code."""

from collections.abc import Callable
from typing import Any

import numba
import numpy as np
import pytest
from CoolProp.HumidAirProp import HAPropsSI

from vanclimate.equipment.air_conditioner import (
    CAPACITY_PER_K_OUTDOOR,
    CAPACITY_PER_K_WET_BULB,
    POWER_PER_K_OUTDOOR,
    POWER_PER_K_WET_BULB,
    RATED_OUTDOOR,
    RATED_WET_BULB,
    AirConditioner,
    condenser_air,
    cooling,
    outdoor_factor,
    speed_power,
    surge,
    wet_bulb_factor,
)
from vanclimate.equipment.heat_pump import coil_air, heating, heating_works
from vanclimate.equipment.unit import NO_UNIT, unit_of
from vanclimate.physics.air import enthalpy
from vanclimate.van.cooling import AirConditioner as Part

SEA = 101325.0
AIRS = [(t, w) for t in (21.0, 26.7, 33.0) for w in (0.004, 0.0112, 0.018)]
BLOWER = {"blower_power": "110 W", "airflow": "158 L/s"}
ROOF_CLASS = {"capacity": "3956 W", "power": "1300 W", **BLOWER}


def unit(**keys: Any) -> AirConditioner:
    return unit_of(Part.model_validate(keys), SEA)


def plate(**keys: Any) -> AirConditioner:
    return unit(**ROOF_CLASS, **keys)


def printed(outdoors: tuple[float, ...], wet_bulbs: tuple[float, ...]) -> str:
    """Return the table that a maker would print of the plate's own slopes."""
    points = []
    for t in outdoors:
        for b in wet_bulbs:
            cooled = 3956.0 * outdoor_factor(t, CAPACITY_PER_K_OUTDOOR)
            cooled *= wet_bulb_factor(b, CAPACITY_PER_K_WET_BULB)
            compressor = 1190.0 * outdoor_factor(t, POWER_PER_K_OUTDOOR)
            compressor *= wet_bulb_factor(b, POWER_PER_K_WET_BULB)
            points.append(f"{cooled!r} W and {110.0 + compressor!r} W at {t} C and {b} C")
    return ", ".join(points)


@pytest.mark.parametrize(
    "table",
    [printed((18.0, 52.0), (10.0, 28.0)), printed((18.0, 35.0, 52.0), (10.0, 17.0, 28.0))],
    ids=["corners", "nine"],
)
def test_a_table_of_the_plate_s_slopes_gives_what_the_plate_gives(table):
    """The slopes are straight in both directions, so straight lines between points are exact."""
    by_table = unit(table=table, **BLOWER)
    for outdoor in (21.0, 35.0, 47.0):
        for temp, w in AIRS:
            ours = cooling(by_table, outdoor, temp, w, SEA, 1.0)
            assert ours == pytest.approx(cooling(plate(), outdoor, temp, w, SEA, 1.0), rel=1e-9)


@pytest.mark.parametrize(
    "table",
    [
        printed((18.0, 52.0), (19.4,)),
        printed((35.0,), (10.0, 28.0)),
        printed((18.0, 52.0), (16.0,)),
    ],
    ids=["one wet bulb", "one outdoor temperature", "another wet bulb"],
)
def test_the_general_slopes_stand_in_for_what_a_table_leaves_out(table):
    by_table = unit(table=table, **BLOWER)
    for temp, w in AIRS:
        ours = cooling(by_table, 41.0, temp, w, SEA, 1.0)
        theirs = cooling(plate(), 41.0, temp, w, SEA, 1.0)
        assert ours.sensible == pytest.approx(theirs.sensible, rel=1e-9)
        assert ours.power == pytest.approx(theirs.power, rel=1e-9)


def test_a_table_is_held_at_its_ends():
    by_table = unit(table=printed((30.0, 40.0), (15.0, 22.0)), airflow="158 L/s")
    at = [cooling(by_table, t, 26.7, 0.0112, SEA, 1.0) for t in (40.0, 49.0, 30.0, 12.0)]
    assert at[0] == at[1]
    assert at[2] == at[3]
    assert at[0].power > at[2].power


def test_the_fit_factor_takes_a_table_s_cooling_and_the_heat_but_no_watts():
    keys = {"table": printed((18.0, 52.0), (10.0, 28.0)), "heats": "yes"}
    whole, part = unit(**keys, fit_factor="100 %"), unit(**keys, fit_factor="80 %")
    assert part.table_capacity == pytest.approx(0.8 * whole.table_capacity)
    assert (part.table_power == whole.table_power).all()
    assert part.heating_capacity == pytest.approx(0.8 * whole.heating_capacity)
    assert part.heating_power == whole.heating_power


def test_watts_follow_output_at_one_speed_and_fall_below_it_at_several():
    for share in (0.1, 0.37, 0.5, 1.0):
        assert speed_power(0.5, share) == share  # to the last bit: the loop's figures hang on it
    for half in (0.35, 0.40, 0.45):
        assert speed_power(half, 0.5) == pytest.approx(half, rel=1e-12)
        assert speed_power(half, 1.0) == pytest.approx(1.0, rel=1e-12)
        assert (np.diff([speed_power(half, s) / s for s in np.linspace(0.1, 1.0, 19)]) > 0).all()
    fixed, variable = plate(), plate(speed="variable")
    assert not fixed.variable
    assert (fixed.floor, variable.floor) == (1.0, 0.3)
    full = [cooling(u, 38.0, 26.7, 0.0112, SEA, 1.0) for u in (fixed, variable)]
    assert full[0] == full[1]
    low = [cooling(u, 38.0, 26.7, 0.0112, SEA, 0.5) for u in (fixed, variable)]
    assert low[0].sensible == low[1].sensible
    compressor = [x.power - 110.0 for x in low]
    assert compressor[1] == pytest.approx(0.8 * compressor[0])


def test_what_the_condenser_breathes():
    outside, roof = plate(), plate(condenser="roof", roof_warmth="10 %", condenser_excess="1 K")
    under, hose = plate(condenser="underneath"), plate(hose="one", condenser_airflow="100 L/s")
    assert condenser_air(outside, 35.0, 71.3, 26.0) == 35.0
    assert condenser_air(roof, 35.0, 75.0, 26.0) == pytest.approx(40.0)
    assert condenser_air(roof, 35.0, 20.0, 26.0) == 36.0  # a cold skin cools nothing
    assert condenser_air(under, 35.0, 75.0, 26.0) == 37.0
    assert condenser_air(hose, 35.0, 75.0, 26.0) == 26.0
    assert condenser_air(plate(hose="two"), 35.0, 75.0, 26.0) == 35.0
    assert (hose.induced_air, outside.induced_air, plate(hose="two").induced_air) == (0.1, 0, 0)


def test_what_a_single_hose_brings_back():
    """Outdoor air that comes in for what a hose blows out, enthalpies by CoolProp.

    At the plate's indoor air and 35 °C, 23.9 °C of wet bulb outdoors (the hot point at which
    portable units are tested, from memory) it undoes some half of the cooling.
    """
    hose = plate(hose="one", fit_factor="100 %")
    out, inside = (
        HAPropsSI("H", "T", t + 273.15, "B", b + 273.15, "P", SEA)
        for t, b in ((35.0, 23.9), (26.7, 19.4))
    )
    w_out, w_in = (
        HAPropsSI("W", "T", t + 273.15, "B", b + 273.15, "P", SEA)
        for t, b in ((35.0, 23.9), (26.7, 19.4))
    )
    dry = 1.0 / HAPropsSI("V", "T", 26.7 + 273.15, "B", 19.4 + 273.15, "P", SEA)
    brought = hose.induced_air * dry * (out - inside)
    ours = hose.induced_air * dry * float(enthalpy(35.0, w_out) - enthalpy(26.7, w_in))
    assert ours == pytest.approx(brought, rel=0.01)
    assert 0.4 < brought / hose.capacity < 0.7


def test_the_moment_of_starting():
    """A 3 kW inverter that doubles for a moment starts the 13.5 kBTU/h class, and a soft start
    lets a source of 2.2 kW do it: common practice, no source."""
    assert surge(plate()) < 2 * 3000.0
    assert surge(plate()) > 3000.0
    assert surge(plate(soft_start="yes")) < 2200.0
    assert surge(plate(speed="variable")) < surge(plate(soft_start="yes"))
    assert surge(plate(starting_surge="3")) == pytest.approx(110.0 + 3.0 * 1190.0)


def test_a_van_without_a_unit():
    assert unit_of(None, 80000.0) is NO_UNIT
    assert not heating_works(NO_UNIT, 8.3)


def test_the_blower_moves_the_same_volume_in_thin_air():
    part = Part.model_validate(ROOF_CLASS)
    assert unit_of(part, 0.8 * SEA).mass_flow == pytest.approx(0.8 * 0.158 * 1.2)


def test_a_single_hose_heats_from_the_cabins_own_air():
    """Whatever it is outdoors, and at the plate where both coils breathe 20 °C."""
    hose, two = (plate(heats="yes", hose=kind, fit_factor="100 %") for kind in ("one", "two"))
    plated = Part.model_validate({**ROOF_CLASS, "heats": "yes"})
    inside = [heating(hose, coil_air(hose, out, 20.0), 20.0, 1.0) for out in (-15.0, 1.7, 15.0)]
    assert inside[0] == inside[1] == inside[2]
    assert inside[0] == pytest.approx((plated.heating_capacity, plated.heating_power), rel=1e-12)
    assert coil_air(two, -4.0, 20.0) == -4.0
    assert not heating_works(two, coil_air(two, -6.0, 20.0))
    assert heating_works(hose, coil_air(hose, -6.0, 20.0))


def test_what_the_page_says_of_a_single_hose_that_heats():
    small = unit(capacity="3.5 kW", heats="yes", hose="one")
    assert small.induced_air * 1.2 * 1006.0 * 20.0 == pytest.approx(2500.0, abs=50.0)
    assert heating(small, 20.0, 20.0, 1.0).heat == pytest.approx(2800.0, abs=50.0)


@pytest.fixture(scope="module")
def in_the_loop() -> Callable[..., Any]:
    """Return all of a unit's functions compiled as the loop is: nothing allocated or counted."""

    @numba.njit(nogil=True, error_model="numpy", _nrt=False)
    def all_of_it(u, outdoor, roof, temp, w, share):
        air = condenser_air(u, outdoor, roof, temp)
        c = cooling(u, air, temp, w, 101325.0, share)
        h = heating(u, coil_air(u, outdoor, temp), temp, share)
        works = heating_works(u, coil_air(u, outdoor, temp))
        return c.sensible, c.coil_humidity, c.contact, c.power, h.heat, h.power, works, surge(u)

    return all_of_it


def test_compiled_and_plain_agree(in_the_loop):
    plain: Any = in_the_loop.py_func
    kinds = (
        NO_UNIT,
        plate(condenser="roof", heats="yes"),
        plate(speed="variable", hose="one", heats="yes"),
        unit(table=printed((18.0, 35.0, 52.0), (10.0, 28.0))),
    )
    for u in kinds:
        for outdoor, temp, w, share in ((38.0, 27.0, 0.012, 1.0), (3.0, 16.0, 0.006, 0.5)):
            ours = in_the_loop(u, outdoor, 60.0, temp, w, share)
            assert ours == pytest.approx(plain(u, outdoor, 60.0, temp, w, share), rel=1e-12)
    # one compiled code for all of them: a unit of another type would compile the loop again
    assert len(in_the_loop.signatures) == 1


def test_rating_is_the_plate_s():
    assert (RATED_OUTDOOR, RATED_WET_BULB) == (35.0, 19.4)
