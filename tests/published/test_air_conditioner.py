"""The air conditioner at its plate and away from it.

Sources: slopes of real units from memory; ideal cycles computed here with CoolProp; 'capacity and
efficiency both fall about linearly from 27.8 to 54.4 °C' Payne & Domanski, NIST 2002 (abstract
read). The model's slopes are the middle of the remembered ranges, so those ranges check its
evaluation; the ideal cycles check it from outside.
"""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from vanclimate.equipment.air_conditioner import (
    BYPASS_FACTOR,
    OUTDOOR_RANGE,
    RATED_DRY_BULB,
    RATED_OUTDOOR,
    AirConditioner,
    coil_temperature,
    cooling,
    rated_coil,
    rated_humidity,
)
from vanclimate.physics.air import (
    enthalpy,
    humidity_ratio_from_vapour_pressure,
    saturation_humidity_ratio,
    saturation_pressure,
)

SEA = 101325.0
EVAPORATION = 2.45e6  # J/kg near 20 °C, handbook
# an invented plate of the 13.5 kBTU/h class, 40 L/s a kW, as installed at its full rating
UNIT = AirConditioner(
    capacity=3956.0, power=1300.0, blower=110.0, mass_flow=0.158 * 1.2, continuous_blower=False,
    differential=1.0, minimum_run=180.0, minimum_off=180.0, on_inverter=True, stirring=1.0,
)  # fmt: skip


MISSED = (("R410A", 45.0),)  # further from the cycle than the tenth set before the first run


def humid(temp: float, relative: float) -> float:
    return float(humidity_ratio_from_vapour_pressure(relative * saturation_pressure(temp), SEA))


def parts(outdoor: float, temp: float, w: float, share: float = 1.0) -> tuple[float, float, float]:
    """Return net sensible, latent and power [W]."""
    c = cooling(UNIT, outdoor, temp, w, SEA, share)
    return c.sensible, c.contact * max(0.0, w - c.coil_humidity) * EVAPORATION, c.power


def rated(outdoor: float) -> tuple[float, float]:
    """Return net capacity and power at the indoor rating."""
    sensible, latent, power = parts(outdoor, RATED_DRY_BULB, rated_humidity())
    return sensible + latent, power


def test_the_plate_at_its_rating() -> None:
    capacity, power = rated(RATED_OUTDOOR)
    assert capacity == pytest.approx(UNIT.capacity, rel=0.002)
    assert power == pytest.approx(UNIT.power, rel=1e-3)
    # 26.7 / 19.4 °C is about 51 % of humidity, 11 g/kg (ASHRAE psychrometric chart, from memory)
    assert rated_humidity() == pytest.approx(0.0112, abs=0.0002)
    sensible, _, _ = parts(RATED_OUTDOOR, RATED_DRY_BULB, rated_humidity())
    assert 0.6 < sensible / capacity < 0.85  # 'room units 0.65-0.8', common practice, no source
    coil = coil_temperature(UNIT, RATED_OUTDOOR, RATED_DRY_BULB, rated_humidity(), SEA, 1.0)
    assert rated_coil(UNIT.capacity, UNIT.blower, 0.158) == pytest.approx(coil, abs=0.02)


def test_slopes_lie_where_real_units_slopes_lie() -> None:
    """From memory: capacity -0.5 … -1, power +1.5 … +2, COP -2 … -2.5 %/K."""
    (c30, p30), (c35, p35), (c45, p45) = rated(30.0), rated(35.0), rated(45.0)
    assert -1.0 <= 100 * (c45 - c30) / c35 / 15 <= -0.5
    assert 1.5 <= 100 * (p45 - p30) / p35 / 15 <= 2.0
    assert -2.5 <= 100 * (c45 / p45 - c30 / p30) / (c35 / p35) / 15 <= -2.0


def ideal(fluid: str, outdoor: float) -> tuple[float, float]:
    """Return capacity per swept volume and COP of the ideal cycle between 7 °C and outdoor + 15 K.

    Isentropic compression and a throttle, 5 K of superheat and of subcooling.
    """
    low, high = 7.0 + 273.15, outdoor + 15.0 + 273.15
    p_low, p_high = (PropsSI("P", "T", t, "Q", 1, fluid) for t in (low, high))
    h1, s1, rho = (PropsSI(x, "P", p_low, "T", low + 5.0, fluid) for x in ("H", "S", "D"))
    h2 = PropsSI("H", "P", p_high, "S", s1, fluid)
    h3 = PropsSI("H", "P", p_high, "T", high - 5.0, fluid)
    return rho * (h1 - h3), (h1 - h3) / (h2 - h1)


@pytest.mark.parametrize(
    ("fluid", "capacities", "cops"),
    [
        ("R32", (1.054, 0.944, 0.887), (1.18, 0.86, 0.74)),
        ("R410A", (1.070, 0.929, 0.855), (1.19, 0.85, 0.72)),
    ],
)
def test_trend_of_ideal_cycles(
    fluid: str, capacities: tuple[float, ...], cops: tuple[float, ...]
) -> None:
    """Same sign and order as the cycle; capacity and COP within 10 % of it, but for one miss.

    The printed factors are an ideal cycle's too, its superheat and subcooling not printed: within
    0.02 of ours for any usual ones. The blower, a compressor's losses and the coils' approaches do
    not follow the cycle, so a real COP falls less: the remembered -2 … -2.5 %/K is 0.75-0.80 at
    45 °C, where the cycles say 0.72-0.74: R410A at 45 °C is missed, see the next test.
    """
    q35, e35 = ideal(fluid, 35.0)
    c35, p35 = rated(35.0)
    before = (np.inf, np.inf)
    for outdoor, capacity, cop in zip((30.0, 40.0, 45.0), capacities, cops, strict=True):
        q, e = ideal(fluid, outdoor)
        assert q / q35 == pytest.approx(capacity, abs=0.02)
        assert e / e35 == pytest.approx(cop, abs=0.025)
        c, p = rated(outdoor)
        ours = (c / c35, c / p / (c35 / p35))
        assert (ours[0] - 1) * (q / q35 - 1) > 0
        assert (ours[1] - 1) * (e / e35 - 1) > 0
        assert ours[0] < before[0]
        assert ours[1] < before[1]
        assert ours[0] == pytest.approx(q / q35, rel=0.10)
        if (fluid, outdoor) not in MISSED:
            assert ours[1] == pytest.approx(e / e35, rel=0.10)
        before = ours


@pytest.mark.xfail(strict=True, reason="COP of R410A at 45 °C: 0.797 against 0.722, 10.4 % high")
def test_the_cop_that_misses_the_cycle_by_more_than_a_tenth() -> None:
    for fluid, outdoor in MISSED:
        (c, p), (c35, p35) = rated(outdoor), rated(35.0)
        cycle = ideal(fluid, outdoor)[1] / ideal(fluid, 35.0)[1]
        assert c / p / (c35 / p35) == pytest.approx(cycle, rel=0.10)


def test_capacity_and_efficiency_fall_about_linearly() -> None:
    """Payne & Domanski tested 27.8 to 54.4 °C; our slopes are held above 52 °C."""
    outdoor = np.linspace(27.8, OUTDOOR_RANGE[1], 12)
    values = np.array([rated(t) for t in outdoor])
    for series in (values[:, 0], values[:, 0] / values[:, 1]):
        assert (np.diff(series) < 0).all()
        assert np.corrcoef(outdoor, series)[0, 1] < -0.99
    assert rated(54.4)[0] == rated(OUTDOOR_RANGE[1])[0]


def test_what_the_coil_takes_leaves_the_air() -> None:
    """Enthalpy in less enthalpy out is sensible, latent and the blower's heat."""
    for temp, relative in ((26.7, 0.51), (24.0, 0.7), (30.0, 0.6), (27.0, 0.95)):
        w = humid(temp, relative)
        c = cooling(UNIT, 33.0, temp, w, SEA, 1.0)
        coil = coil_temperature(UNIT, 33.0, temp, w, SEA, 1.0)
        gross = c.contact * float(enthalpy(temp, w) - enthalpy(coil, c.coil_humidity))
        sensible, latent, power = parts(33.0, temp, w)
        assert sensible + latent + UNIT.blower == pytest.approx(gross, rel=1e-9)
        assert c.contact == pytest.approx(UNIT.mass_flow * (1 - BYPASS_FACTOR))
        # what the condenser must throw out is more than the cabin gives: first and second law,
        # COP below Carnot's between coil and outdoors
        assert power > UNIT.blower
        carnot = (coil + 273.15) / (33.0 - coil)
        assert gross / (power - UNIT.blower) < carnot


def test_a_dry_coil_takes_no_water() -> None:
    sensible, latent, _ = parts(35.0, 27.0, humid(27.0, 0.15))
    assert latent == 0.0
    assert sensible > 0.0


@pytest.mark.parametrize("outdoor", [22.0, 35.0, 50.0])
@pytest.mark.parametrize("temp", [22.0, 27.0, 35.0])
def test_latent_share_rises_with_humidity(outdoor: float, temp: float) -> None:
    shares, totals = [], []
    for relative in np.linspace(0.05, 0.98, 40):
        sensible, latent, _ = parts(outdoor, temp, humid(temp, relative))
        assert latent >= 0.0
        assert sensible <= sensible + latent
        shares.append(latent / (sensible + latent))
        totals.append(sensible + latent)
    assert (np.diff(shares) >= -1e-9).all()
    assert shares[0] == 0.0
    assert shares[-1] > 0.3
    # and no jump where the coil turns wet: a step of 2.4 % of humidity moves all by a few percent
    assert np.abs(np.diff(totals) / np.array(totals[:-1])).max() < 0.05


@pytest.mark.parametrize("temp", [24.0, 27.0, 32.0])
def test_the_dry_coil_is_found(temp: float) -> None:
    """A coil just dry at its own humidity: solved here by halving, against four repetitions."""
    from scipy.optimize import brentq

    def gap(w: float) -> float:
        coil = coil_temperature(UNIT, 35.0, temp, w, SEA, 1.0)
        return float(saturation_humidity_ratio(coil, SEA)) - w

    w = 0.002
    edge = brentq(gap, w, 0.02)
    coil = coil_temperature(UNIT, 35.0, temp, edge, SEA, 1.0)
    contact = UNIT.mass_flow * (1 - BYPASS_FACTOR)
    exact = contact * (1006.0 + w * 1860.0) * (temp - coil) - UNIT.blower
    assert parts(35.0, temp, w)[0] == pytest.approx(exact, rel=0.01)


def test_a_quiet_limit_lowers_both() -> None:
    w = humid(25.0, 0.6)
    whole, half = parts(28.0, 25.0, w), parts(28.0, 25.0, w, 0.5)
    assert half[0] + half[1] == pytest.approx(0.5 * (whole[0] + whole[1]), rel=0.02)
    assert half[2] - UNIT.blower == pytest.approx(0.5 * (whole[2] - UNIT.blower))
    assert half[1] / half[0] < whole[1] / whole[0]  # a warmer coil dries less


def test_the_fit_factor_takes_capacity_and_not_power() -> None:
    from tests import invented
    from vanclimate.equipment.unit import unit_of

    sheet = invented.sheet()
    unit = unit_of(sheet.air_conditioner, SEA)
    assert unit.capacity == pytest.approx(0.85 * 13.5e3 * 0.29307107, rel=1e-3)
    assert unit.power == 1300.0
    whole = sheet.with_value("air_conditioner.fit_factor", 1.0).air_conditioner
    assert unit_of(whole, SEA).capacity == pytest.approx(13.5e3 * 0.29307107, rel=1e-3)
