"""Each cause of a stop, and of a charge held back, can be provoked and bears its one name."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.electric_vans import ALTERNATOR, COLD, FIXED, HEAT_PUMP, HOT, Sections, day, lived, van
from vanclimate.energy.causes import HELD_BACK, STOPS

FREEZER, OVEN = day(-26, -22, "01-15"), day(36, 46, "07-10", 20)
MILD = day(8, 16, "04-10")


def load(watts: float, feed: str = "battery", **keys: str) -> Sections:
    return {"name": "pump", "power": f"{watts} W", "feed": feed} | keys


LONG = {"capacity": "400 Ah", "discharge limit": "400 A"}
STOPPED: dict[str, tuple[str, Sections]] = {
    "kept for waking": ("reserve", {"site": HOT, "air_conditioner": FIXED}),
    "kept from a heat pump": ("reserve", {"site": COLD, "air_conditioner": HEAT_PUMP}),
    "kept from an electric heater": ("reserve", {
        "site": MILD, "electric_heater": {"power": "800 W", "when": "always"}}),
    "least charge": ("cells", {"site": MILD, "loads": [load(150)]}),
    "least volts": ("cells", {
        "site": day(27, 34, "06-10"), "loads": [load(900)],
        "battery": LONG | {"low voltage": "12.6 V", "resistance": "10 mohm"}}),
    "a long thin cable": ("cable", {"site": MILD, "loads": [load(1500, "inverter")],
                                    "battery": LONG, "inverter": {"cable resistance": "50 mohm"}}),
    "more amps than the bank lets out": ("current", {
        "site": MILD, "loads": [load(500), load(500, name="second pump")],
        "battery": LONG | {"discharge limit": "50 A"}}),
    "more amps through the inverter": ("current", {
        "site": MILD, "loads": [load(500, "inverter"), load(500, "inverter", name="second pump")],
        "battery": LONG | {"discharge limit": "60 A"}}),
    "a bank too cold to be drawn from": ("cold", {
        "site": FREEZER, "loads": [load(20)], "battery": LONG | {"conductance": "50 W/K"}}),
    "charge the cold leaves out of reach": ("cold", {
        "site": COLD, "loads": [load(150)], "battery": {"capacity": "200 Ah"}}),
    "a bank too hot to be drawn from": ("hot", {
        "site": OVEN, "loads": [load(20)],
        "battery": LONG | {"hot discharge": "35 C", "hot charge": "34 C",
                           "conductance": "50 W/K"}}),
    "a load that is shed": ("rule", {"site": MILD, "loads": [load(150)],
                                     "rules": ["shed the pump under 50 %"]}),
    "a rule for the air conditioner": ("rule", {
        "site": HOT, "air_conditioner": FIXED, "rules": ["AC only above 60 %"]}),
    "a rule for the heat pump": ("rule", {
        "site": COLD, "air_conditioner": HEAT_PUMP, "rules": ["heat pump only above 60 %"]}),
    "a rule for the fuel heater": ("rule", {
        "site": COLD, "heater": {"when": "always"}, "rules": ["heater only above 60 %"]}),
    "a start beside another load": ("start", {
        "site": HOT, "air_conditioner": FIXED,
        "loads": [load(1000, "inverter") | {"heat inside": "0 %"}],
        "inverter": {"rating": "3000 W", "surge": "5000 W"},
        "battery": {"capacity": "2000 Ah"}}),
    "more than the inverter gives": ("inverter", {
        "site": HOT, "air_conditioner": FIXED, "loads": [load(1000, "inverter")],
        "inverter": {"rating": "2000 W", "surge": "9000 W"},
        "battery": {"capacity": "800 Ah"}}),
    "more than the inlet carries": ("inverter", {
        "site": HOT, "air_conditioner": FIXED, "loads": [load(900, "inverter")],
        "shore": {"inlet": "15 A"}}),
}  # fmt: skip


@pytest.mark.parametrize("name", STOPPED)
def test_a_stop_bears_its_one_name(name: str) -> None:
    cause, sections = STOPPED[name]
    frame = lived(van(**{"loads": []} | sections), 3.0).frame()
    shares = {stop: frame[f"stopped_{stop}_share"].to_numpy() for stop in STOPS[1:]}
    rows = np.flatnonzero(sum(shares.values()) > 0.0)
    assert len(rows)
    first = rows[0]
    assert [stop for stop, share in shares.items() if share[first] > 0.0] == [cause]
    assert frame["stopped_by"].iloc[first] == cause
    assert (frame["stopped_by"].to_numpy()[sum(shares.values()) == 0.0] == "").all()
    assert max(share.max() for share in shares.values()) <= 1.0 + 1e-9


def test_a_bank_that_gives_nothing_is_no_longer_named_by_what_was_kept() -> None:
    frame = lived(van(HOT, air_conditioner=FIXED, loads=[load(60)]), 2.0).frame()
    words = list(dict.fromkeys(frame["stopped_by"]))
    assert words[:3] == ["", "reserve", "cells"]
    dead = (frame["stopped_cells_share"] > 0.999).to_numpy()
    assert set(frame["stopped_by"][dead]) == {"cells"}
    assert frame["draw_w"][dead].max() == 0.0


def test_all_causes_are_provoked() -> None:
    assert {cause for cause, _ in STOPPED.values()} == set(STOPS[1:])


SUN: Sections = {"roof_panels": {"power": "600 W"}}
HELD: dict[str, Sections] = {
    "full": {"site": MILD, **SUN},
    "current": {"site": MILD, **ALTERNATOR, "battery": {"charge limit": "20 A"}},
    "cold": {"site": FREEZER, **SUN, "battery": {"conductance": "50 W/K"}},
    "hot": {"site": OVEN, **SUN, "battery": {"hot charge": "35 C", "conductance": "50 W/K"}},
}  # fmt: skip


@pytest.mark.parametrize("cause", HELD_BACK)
def test_a_charge_that_is_held_back_bears_its_one_name(cause: str) -> None:
    full = 1.0 if cause == "full" else 0.5
    sections: dict[str, Any] = {"loads": [load(5)]} | HELD[cause]
    frame = lived(van(**sections), 1.0, charge=full).frame()
    held = {name: frame[f"held_back_{name}_w"].to_numpy() for name in HELD_BACK}
    first = np.flatnonzero(sum(held.values()) > 1.0)[0]
    assert [name for name, watts in held.items() if watts[first] > 1.0] == [cause]
    assert held[cause].max() > 50.0
    if cause in ("cold", "hot"):
        assert frame["battery_current_a"].to_numpy()[held[cause] > 1.0].max() <= 1e-9


def test_what_gave_way_counts_until_it_may_try_again() -> None:
    _, sections = STOPPED["a start beside another load"]
    run = lived(van(**sections), 1.0)
    noon = (run.seconds[:-1] > 12.0 * 3600.0) & (run.seconds[:-1] < 16.0 * 3600.0)
    assert run.column("stopped_start_share")[noon].min() > 0.9
    assert run.column("ac_on_share").max() == 0.0
