"""The air conditioner run backwards, and at part speed, against ideal cycles and a test code.

Sources: cycles computed here with CoolProp; the test code for heat pumps (10 CFR 430, subpart B,
appendix M) and the ratios of tested units, both from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from vanclimate.equipment.air_conditioner import START_DEAD_TIME, AirConditioner, speed_power
from vanclimate.equipment.heat_pump import (
    FROST_UNTIL,
    HEATING_OUTDOOR_RANGE,
    RATED_INDOOR,
    RATED_OUTDOOR,
    heating,
    heating_works,
)
from vanclimate.van.cooling import AirConditioner as Part
from vanclimate.van.fields import specs

FLUIDS = ("R32", "R410A")
# an invented plate of the roof class; no blower where watts are held against a compressor's
UNIT = AirConditioner(
    capacity=3956.0, power=1300.0, blower=110.0, mass_flow=0.19, continuous_blower=False,
    differential=1.0, minimum_run=180.0, minimum_off=180.0, on_inverter=True, stirring=1.0,
    heats=True, heating_capacity=3700.0, heating_power=1240.0, heats_down_to=-15.0,
    defrost_loss=0.10,
)  # fmt: skip
BARE = UNIT._replace(blower=0.0, defrost_loss=0.0)
EVAPORATOR, CONDENSER = 8.0, 20.0  # K between coils and air; usual design figures, from memory


def cycle(fluid: str, low: float, high: float) -> tuple[float, float, float]:
    """Return cooling, work and heat [J] per swept volume [m³] between two saturations [°C].

    Isentropic compression and a throttle, 5 K of superheat and of subcooling.
    """
    t_low, t_high = low + 273.15, high + 273.15
    p_low, p_high = (PropsSI("P", "T", t, "Q", 1, fluid) for t in (t_low, t_high))
    h1, s1, rho = (PropsSI(x, "P", p_low, "T", t_low + 5.0, fluid) for x in ("H", "S", "D"))
    h2 = PropsSI("H", "P", p_high, "S", s1, fluid)
    h3 = PropsSI("H", "P", p_high, "T", t_high - 5.0, fluid)
    return rho * (h1 - h3), rho * (h2 - h1), rho * (h2 - h3)


def factors(fluid: str, outdoor: float, indoor: float) -> tuple[float, float]:
    """Return the cycle's heat and work as a share of those at the heating rating."""
    _, work, heat = cycle(fluid, outdoor - EVAPORATOR, indoor + CONDENSER)
    _, rated_work, rated = cycle(fluid, RATED_OUTDOOR - EVAPORATOR, RATED_INDOOR + CONDENSER)
    return heat / rated, work / rated_work


def ours(unit: AirConditioner, outdoor: float, indoor: float) -> tuple[float, float]:
    """Return our heat and watts as a share of the plate's."""
    h = heating(unit, outdoor, indoor, 1.0)
    return h.heat / unit.heating_capacity, h.power / unit.heating_power


def test_the_plate_at_its_rating() -> None:
    h = heating(UNIT, RATED_OUTDOOR, RATED_INDOOR, 1.0)
    assert h == pytest.approx((UNIT.heating_capacity, UNIT.heating_power), rel=1e-12)


@pytest.mark.parametrize("fluid", FLUIDS)
@pytest.mark.parametrize("outdoor", [-15.0, -8.3, 0.0, 1.7, 16.0])
def test_outdoor_slopes_follow_the_cycle(fluid: str, outdoor: float) -> None:
    """Within a tenth, and the heat on the same side of rating; the frost is taken off apart."""
    heat, watts = factors(fluid, outdoor, RATED_INDOOR)
    got = ours(BARE, outdoor, RATED_INDOOR)
    assert got == pytest.approx((heat, watts), rel=0.10)
    assert (got[0] - 1.0) * (heat - 1.0) > 0.0


@pytest.mark.parametrize("fluid", FLUIDS)
@pytest.mark.parametrize("indoor", [12.0, 15.0, 18.0, 26.0])
def test_indoor_slopes_follow_the_cycle(fluid: str, indoor: float) -> None:
    heat, watts = factors(fluid, RATED_OUTDOOR, indoor)
    got = ours(BARE, RATED_OUTDOOR, indoor)
    assert got == pytest.approx((heat, watts), rel=0.05)
    assert (got[0] - 1.0) * (heat - 1.0) > 0.0
    assert (got[1] - 1.0) * (watts - 1.0) > 0.0


def test_the_low_point_lies_where_tested_units_lie() -> None:
    """At -8.3 °C: 0.55-0.70 of the heat, 0.85-0.95 of the watts, a COP of about 2; from memory."""
    heat, watts = ours(UNIT, -8.3, RATED_INDOOR)
    assert 0.55 <= heat <= 0.70
    assert 0.85 <= watts <= 0.95
    cold = heating(UNIT, -8.3, RATED_INDOOR, 1.0)
    assert cold.heat / cold.power == pytest.approx(2.0, abs=0.25)


def test_frost_takes_what_the_code_takes_of_an_untested_unit() -> None:
    """At 1.7 °C (35 °F): 0.90 of the heat and 0.985 of the watts of the line between the points.

    The line runs through -8.3 and 8.3 °C (17 and 47 °F), neither of which has frost.
    """
    (q17, p17), (q47, p47) = (ours(UNIT, t, RATED_INDOOR) for t in (-8.3, 8.3))
    q35, p35 = ours(UNIT, 1.7, RATED_INDOOR)
    assert q35 == pytest.approx(0.90 * (q17 + 0.6 * (q47 - q17)), rel=0.005)
    # the blower does not pause, so the watts fall a little less
    assert p35 == pytest.approx(0.985 * (p17 + 0.6 * (p47 - p17)), rel=0.005)


def test_frost_comes_and_goes_without_a_jump() -> None:
    outdoor = np.linspace(*HEATING_OUTDOOR_RANGE, 400)
    heat = np.array([heating(UNIT, t, 18.0, 1.0).heat for t in outdoor])
    assert np.abs(np.diff(heat)).max() < 0.005 * UNIT.heating_capacity
    assert (np.diff(heat) > 0.0).all()  # frost flattens the fall, and never turns it round
    dry = np.array([heating(UNIT._replace(defrost_loss=0.0), t, 18.0, 1.0).heat for t in outdoor])
    lost = 1.0 - heat / dry
    assert lost.max() == pytest.approx(0.10, abs=0.001)
    assert (lost[(outdoor < -8.3) | (outdoor > FROST_UNTIL)] == 0.0).all()


def test_no_second_law_is_broken() -> None:
    """Less heat than Carnot's engine would bring, and more than the watts that it draws."""
    for outdoor in np.linspace(-20.0, 16.0, 19):
        for indoor in (5.0, 18.0, 24.0):
            h = heating(UNIT, outdoor, indoor, 1.0)
            assert h.heat > h.power
            if indoor > outdoor + 5.0:
                assert h.heat / h.power < (indoor + 273.15) / (indoor - outdoor)


def test_slopes_are_held_beyond_their_range() -> None:
    low, high = HEATING_OUTDOOR_RANGE
    assert heating(UNIT, low - 9.0, 18.0, 1.0) == heating(UNIT, low, 18.0, 1.0)
    assert heating(UNIT, high + 9.0, 18.0, 1.0) == heating(UNIT, high, 18.0, 1.0)
    assert heating(UNIT, 5.0, -15.0, 1.0) == heating(UNIT, 5.0, 10.0, 1.0)


def test_it_stops_below_its_lower_limit() -> None:
    assert heating_works(UNIT, -15.0)
    assert not heating_works(UNIT, -15.1)
    assert not heating_works(UNIT._replace(heats=False), 8.0)


@pytest.mark.parametrize("fluid", FLUIDS)
@pytest.mark.parametrize("share", [0.25, 0.5, 0.75])
def test_part_speed_lies_between_the_cycle_and_none(fluid: str, share: float) -> None:
    """Watts for a watt of cooling at a share of full output, over those at full.

    Both coils' distances to their air fall with the share in the ideal cycle, the compressor's
    and its drive's own losses left out: no real unit does better. None would be 1.
    """
    spec = specs(Part)["half_speed_power"]
    assert spec.low < Part.model_fields["half_speed_power"].default < spec.high
    wet_bulb, outdoor, below, above = 19.4, 35.0, 12.4, 15.0  # the coils at full: 7 and 50 °C
    cold, work, _ = cycle(fluid, wet_bulb - below * share, outdoor + above * share)
    full_cold, full_work, _ = cycle(fluid, wet_bulb - below, outdoor + above)
    ideal = (work / cold) / (full_work / full_cold)
    for half in (spec.low, 0.40, spec.high):
        assert ideal < speed_power(half, share) / share < 1.0


def test_half_speed_is_worth_what_tested_units_say() -> None:
    """Cooling a watt at half output 1.15 to 1.45 times that at full, from memory of data sheets."""
    assert 1.15 <= 0.5 / speed_power(0.40, 0.5) <= 1.45


def test_a_start_costs_what_cycling_tests_say() -> None:
    """Six minutes on and 24 off, as the code has it: degradation 0.05 to 0.25, from memory.

    It is (1 - efficiency over the cycle as a share of the steady one) / (1 - load as a share of
    the steady one); 0.25 is the code's default for an untested unit.
    """
    on, whole = 360.0, 1800.0
    cooled = on - START_DEAD_TIME
    degradation = (1.0 - cooled / on) / (1.0 - cooled / whole)
    assert 0.05 <= degradation <= 0.25
