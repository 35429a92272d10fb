"""The books of vans with everything on, added up from the exported columns alone.

A week each, its trace through text as a spreadsheet would hold it; nothing of the loop or of
answers/ledgers is used. The first row is left out, for the trace holds no values at its start.
"""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from tests.electric_vans import (
    AIR_HEATER,
    ALTERNATOR,
    COLD,
    FIXED,
    HEAT_PUMP,
    HYDRONIC,
    ROOMS,
    VARIABLE,
    Sections,
    day,
    lived,
    van,
)
from vanclimate.answers.night import night
from vanclimate.report.trace_file import write_csv
from vanclimate.simulate.runs import Run

CLOSE = 1e-9  # of what passed through
AIR_HEAT = 1006.0 + 0.01 * 1860.0  # J/kg K: moist air at 10 g/kg, in which the cabin is kept

PANELS: Sections = {"roof_panels": {"power": "400 W", "zone": "garage"}}
WEEKENDS: Sections = {"shore": {"inlet": "15 A", "charger": "40 A", "days": "weekends"}}
PAD = {"capacity": "200 Ah", "pad": "60 W", "zone": "garage"}
ELECTRIC = {"power": "800 W", "when": "always"}
FED = {"kind": "AGM", "capacity": "300 Ah"}
SHED = ["shed the kettle under 60 %", "AC only above 40 %"]

MIXTURES: dict[str, Sections] = {
    "fixed speed, rooms, rules, driving, weekends on shore": {
        **ROOMS, **PANELS, **ALTERNATOR, **WEEKENDS, "air_conditioner": FIXED, "rules": SHED,
        "inverter": {"rating": "3000 W", "zone": "garage"}},
    "variable speed on a lead bank, two arrays": {
        "air_conditioner": VARIABLE | {"blower": "continuous"}, "battery": FED,
        "roof_panels": {"power": "400 W", "zone": "living", "controller current": "25 A"},
        "ground_panel": {"power": "200 W", "when": "9:00 to 18:00", "controller": "roof"},
        **WEEKENDS},
    "heat pump, electric heater, pad, rooms": {
        "site": COLD, **ROOMS, **PANELS, **ALTERNATOR, **WEEKENDS, "battery": PAD,
        "air_conditioner": HEAT_PUMP, "electric_heater": ELECTRIC | {"zone": "cab"}},
    "air heater on outdoor air, pad, driving": {
        "site": COLD, **ALTERNATOR, "battery": PAD | {"zone": "living"},
        "heater": AIR_HEATER | {"air": "outdoor", "tank": "5 L"}},
    "hydronic, lead bank, two alternators, nights on shore": {
        "site": COLD, **ALTERNATOR, "second_alternator": {"amps": "120 A"}, "battery": FED,
        "heater": HYDRONIC, "shore": {"hours": "night", "charger": "30 A"}},
    "three heaters in order": {
        "site": COLD, **ROOMS, **ALTERNATOR, "shore": {"inlet": "30 A", "days": "weekdays"},
        "heater": AIR_HEATER | {"zone": "garage"}, "electric_heater": ELECTRIC,
        "air_conditioner": HEAT_PUMP,
        "rules": ["heat with the heat pump, then the fuel heater, then the electric heater"]},
    "cools by day, heats by night": {
        "site": day(4, 27, "05-01"), **PANELS, **ROOMS, **ALTERNATOR, "heater": AIR_HEATER,
        "battery": {"capacity": "400 Ah", "zone": "cab", "charge limit": "25 A"},
        "air_conditioner": FIXED | {"setpoint": "23 C"}},
}  # fmt: skip


@cache
def week(name: str) -> tuple[Run, pd.DataFrame]:
    """Return a mixture's run and its trace after a trip through text."""
    sheet = van(**MIXTURES[name])
    run = lived(sheet, 7.0, nodes=True, way="ac" if sheet.air_conditioner else "heat")
    return run, exported(run.frame())


def exported(frame: pd.DataFrame) -> pd.DataFrame:
    text = frame.to_csv(float_format="%.17g")
    return pd.read_csv(io.StringIO(text), index_col=0)


def gap(held: Any, flows: Any, dt: Any) -> float:
    """Return what a book lacks, of each row and of all, over what passed through."""
    moved = np.array([np.asarray(flow) * dt for flow in flows])
    left = np.diff(np.asarray(held)) - moved.sum(axis=0)[1:]
    return float(max(abs(left.sum()), np.abs(left).max()) / np.abs(moved).sum())


@pytest.mark.parametrize("name", MIXTURES)
def test_heat_closes(name: str) -> None:
    run, f = week(name)
    held = run.nodes @ run.model.network.capacity
    for z, mass in enumerate(run.cabin.air_mass):
        held = held + mass * AIR_HEAT * run.zones[:, z, 0]
    held = held + run.gear.cells.heat_capacity * f["battery_temp_c"]
    if run.gear.burner.hydronic:
        held = held + run.gear.burner.coolant_heat * f["coolant_temp_c"]
    np.testing.assert_allclose(held, f["stored_heat_j"], rtol=1e-12, atol=1e-6)
    flows = [f[n] for n in ("sun_w", "outside_w", "air_w", "people_w", "equipment_w", "plant_w",
                            "condensation_w", "heater_output_w", "battery_loss_w",
                            "pad_w")]  # fmt: skip
    assert gap(held, [*flows, -f["ac_sensible_w"], -f["battery_heat_w"]], run.width) < CLOSE


@pytest.mark.parametrize("name", MIXTURES)
def test_the_banks_warmth_closes(name: str) -> None:
    run, f = week(name)
    held = run.gear.cells.heat_capacity * f["battery_temp_c"]
    flows = [f["battery_loss_w"], f["pad_w"], -f["battery_heat_w"]]
    assert gap(held, flows, run.width) < CLOSE


@pytest.mark.parametrize("name", MIXTURES)
def test_charge_closes(name: str) -> None:
    run, f = week(name)
    assert gap(f["battery_charge_ah"], [f["battery_charge_rate_ah_s"]], run.width) < CLOSE
    current, rate = f["battery_current_a"], f["battery_charge_rate_ah_s"] * 3600.0
    kept = run.gear.cells.charge_efficiency
    # in a row the bank may charge and discharge: its rate is the current's less what charging costs
    assert (rate <= current + 1e-9).all()
    assert (rate >= np.minimum(current, current - (1.0 - kept) * most_charging(f)) - 1e-9).all()


def most_charging(f: pd.DataFrame) -> Any:
    """Return the most amps that can have gone into the bank in each row."""
    brought = f["solar_used_w"] + f["drive_used_w"] + f["shore_used_w"]
    return brought / 10.0  # no bank here has fewer volts


@pytest.mark.parametrize("name", MIXTURES)
def test_power_closes_at_the_bus_and_at_the_sockets(name: str) -> None:
    run, f = week(name)
    brought = [f["solar_used_w"], f["drive_used_w"], f["shore_used_w"]]
    flows = [*brought, -f["draw_w"], -f["battery_loss_w"]]
    assert gap(3600.0 * f["battery_stored_wh"], flows, run.width) < CLOSE
    parts = [f[n] for n in ("compressor_w", "blower_w", "fridge_w", "fans_w", "loads_w",
                            "heater_power_w", "electric_heat_w", "pad_w",
                            "inverter_loss_w")]  # fmt: skip
    left = sum(parts) - f["draw_w"] - f["shore_passed_w"]
    assert np.abs(left).max() < CLOSE * sum(parts).max()
    for source in ("solar", "drive", "shore"):
        assert (f[f"{source}_used_w"] <= f[f"{source}_available_w"] + 1e-9).all()
        assert (f[f"{source}_used_w"] >= 0.0).all()
    available = sum(f[f"{source}_available_w"] for source in ("solar", "drive", "shore"))
    held = sum(f[f"held_back_{cause}_w"] for cause in ("full", "current", "cold", "hot"))
    assert np.abs(available - sum(brought) - held).max() < CLOSE * available.max()


@pytest.mark.parametrize("name", MIXTURES)
def test_losses_of_sources_are_their_efficiencies(name: str) -> None:
    run, f = week(name)
    gear, plan, sheet = run.gear, run.plan.schedule, van(**MIXTURES[name])
    expected = f["shore_used_w"] * (1.0 / gear.shore.charger_efficiency - 1.0)
    if sheet.dc_charger is not None:  # a second alternator's amps lose nothing in it
        if sheet.second_alternator is None:
            expected += f["drive_used_w"] * (1.0 / sheet.dc_charger.efficiency - 1.0)
        else:
            expected += f["drive_used_w"] * plan.drive_heat[run.segment]
    panels = sheet.roof_panels  # which a panel on the ground shares the controller of
    if panels.zone != "outside":
        expected += f["solar_used_w"] * (1.0 / panels.controller_efficiency - 1.0)
    assert expected.max() > 5.0
    np.testing.assert_allclose(f["source_loss_w"], expected, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("name", MIXTURES)
def test_water_closes(name: str) -> None:
    run, f = week(name)
    air = sum(mass * run.zones[:, z, 2] for z, mass in enumerate(run.cabin.air_mass))
    held = air + f["coil_water_kg"] + f["face_water_kg"] + f["buffer_water_kg"]
    np.testing.assert_allclose(held, f["stored_water_kg"], rtol=1e-12)
    flows = [f["people_water_kg_s"], f["load_water_kg_s"], f["air_water_kg_s"],
             -f["drain_water_kg_s"]]  # fmt: skip
    assert gap(held, flows, run.width) < CLOSE


@pytest.mark.parametrize("name", [n for n in MIXTURES if "heater" in MIXTURES[n]])
def test_fuel_closes(name: str) -> None:
    run, f = week(name)
    tank, rate = f["heater_fuel_l"], f["heater_fuel_l_s"]
    left = np.diff(tank) + (rate * run.width)[1:]
    assert np.abs(left).max() < 2e-6  # what the burner leaves when it runs out
    assert np.abs(left[tank[1:] > 0.0]).max() < CLOSE
    heater = run.gear.burner
    heat = rate * heater.efficiency * heater.heating_value
    np.testing.assert_allclose(f["heater_output_w"], heat, rtol=1e-12, atol=1e-9)


def test_the_mixtures_meet_what_they_are_there_for() -> None:
    # a book in which a column is never written closes too
    seen = {column for name in MIXTURES for column, values in week(name)[1].items()
            if column != "stopped_by" and np.abs(values).max() > 1e-9}  # fmt: skip
    never = set(week(next(iter(MIXTURES)))[1]) - seen - {"stopped_by"}
    assert never <= {
        "plant_w", "held_back_hot_w", "heater_failed_volts_starts", "heater_failed_cold_starts",
        "stopped_cable_share", "stopped_current_share", "stopped_hot_share", "stopped_start_share",
        "stopped_inverter_share", "stopped_cold_share",
    }  # fmt: skip
    low = week("air heater on outdoor air, pad, driving")[1]
    assert low["heater_fuel_l"].min() < 1e-6  # it burns the tank dry


def test_the_written_trace_closes(tmp_path: Path) -> None:
    sheet = van(**MIXTURES["fixed speed, rooms, rules, driving, weekends on shore"])
    answer = night(sheet, when="hottest")
    write_csv(answer.trace, tmp_path / "night.csv")
    f = pd.read_csv(tmp_path / "night.csv", index_col=0)
    dt = f["step_s"].to_numpy()
    brought = [f[f"{source}_used_w"] for source in ("solar", "drive", "shore")]
    assert gap(f["battery_charge_ah"], [f["battery_charge_rate_ah_s"]], dt) < CLOSE
    flows = [*brought, -f["draw_w"], -f["battery_loss_w"]]
    assert gap(3600.0 * f["battery_stored_wh"], flows, dt) < CLOSE
    heat = ("sun_w", "outside_w", "air_w", "people_w", "equipment_w", "condensation_w",
            "battery_loss_w")  # fmt: skip
    flows = [*(f[n] for n in heat), -f["ac_sensible_w"], -f["battery_heat_w"]]
    assert gap(f["stored_heat_j"], flows, dt) < CLOSE
