"""The books close, added up here from the exported columns alone.

Nothing of the loop or of answers/ledgers is used: node temperatures times capacities, kilograms of
water, amp-hours, watt-hours of the bus. The first row is left out, for the trace holds no values at
its start.
"""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests import invented
from vanclimate.answers.night import night
from vanclimate.answers.scene import run_way, set_scene
from vanclimate.energy.cells import CHARGE, VOLTS, internal_resistance, open_circuit_voltage
from vanclimate.equipment.air_conditioner import LATENT_HEAT

CLOSE = 1e-9  # of what passed through
AIR_HEAT = 1006.0 + 0.01 * 1860.0  # J/kg K: moist air at 10 g/kg, in which the cabin is kept

VANS: dict[str, tuple[str, dict[str, Any]]] = {
    "closed up": ("closed", {}),
    "bare steel, closed up, cold and damp": (
        "closed", {"stacks": invented.BARE, "low": -5, "high": 4, "humidity": 90, "sleepers": 4}),
    "fans": ("fans", {"leakage": "leaky"}),
    "air conditioner": ("ac", {}),
    "blower runs on": ("ac", {"blower": "continuous", "humidity": 95}),
    "on the bank's own voltage": ("ac", {"feed": "battery", "by_day": "hold 27 C"}),
    "bank too small": ("ac", {"bank": 130, "colour": "black", "stacks": invented.BARE}),
    "too few amps": ("ac", {"bank": 60, "colour": "black", "stacks": invented.BARE}),
}  # fmt: skip
FROST = {"low": -12, "high": -2}
DRIVEN = "alternator: {{amps: 180 A}}\ndriving: 2 h a day\n"
EQUIPPED: dict[str, tuple[str, dict[str, Any], str]] = {
    "a flame that follows, an electric heater": (
        "heat", FROST, "heater: {{output: 2 kW}}\nelectric heater: {{power: 500 W}}\n"),
    "hydronic, driven": (
        "heat", FROST, DRIVEN + "heater: {{kind: hydronic, output: 5 kW}}\n"
                                "dc charger: {{amps: 30 A, zone: living}}\n"),
    "on shore": ("ac", {}, "shore: {{inlet: 15 A, charger: 40 A}}\n"),
    "too cold to be charged": ("closed", FROST, DRIVEN + "dc charger: 30 A\n"),
    "an electric heater beyond its bank": (
        "heat", FROST | {"bank": 150}, "electric heater: {{power: 500 W}}\n"),
    "rules": ("ac", {"bank": 130}, "rules:\n  - shed the kettle under 80 %\n"
                                   "  - AC only above 40 %\n"),
}  # fmt: skip


def run_of(way: str, changes: dict[str, Any], more: str = "") -> Any:
    of = invented.sheet_of(invented.TEXT + more, **changes)
    scene = set_scene(of, invented.weather_of(of), 180.0)
    return run_way(scene, way, invented.bedtime(scene), hours_after=12.0, keep_nodes=True)


def exported(run: Any) -> pd.DataFrame:
    """Return the trace after a trip through text, as an engineer's spreadsheet would hold it."""
    text = run.frame().to_csv(float_format="%.17g")
    return pd.read_csv(io.StringIO(text), index_col=0)


def energy_gap(run: Any) -> float:
    f, dt = exported(run), np.diff(run.seconds)
    held = run.nodes @ run.model.network.capacity
    held = held + run.cabin.air_mass[0] * AIR_HEAT * f["cabin_temp_c"].to_numpy()
    held = held + run.gear.cells.heat_capacity * f["battery_temp_c"].to_numpy()
    held = held + run.gear.burner.coolant_heat * f["coolant_temp_c"].to_numpy()
    gains = ("sun_w", "outside_w", "air_w", "people_w", "equipment_w", "plant_w", "condensation_w",
             "battery_loss_w", "pad_w", "heater_output_w")  # fmt: skip
    taken = ("ac_sensible_w", "battery_heat_w")  # what the bank gives to the air is equipment's
    flows = np.array([f[name] * dt for name in gains] + [-f[name] * dt for name in taken])
    gap = np.diff(held) - flows.sum(axis=0)[1:]
    return float(max(abs(gap.sum()), np.abs(gap).max()) / np.abs(flows).sum())


def air_gap(run: Any) -> float:
    """Return the same for the cabin alone: what its faces give against what its air holds."""
    f, dt = exported(run), np.diff(run.seconds)
    held = run.cabin.air_mass[0] * AIR_HEAT * f["cabin_temp_c"].to_numpy()
    flows = [run.faces[:, k] * dt for k in range(run.faces.shape[1])]
    flows += [f[name] * dt for name in ("air_w", "people_w", "equipment_w", "plant_w", "heater_w")]
    # what linings take up leaves its heat where they are: at the radiant star, which holds none
    taken_up = LATENT_HEAT * np.diff(f["buffer_water_kg"], prepend=f["buffer_water_kg"].iloc[0])
    flows = np.array([*flows, -f["ac_sensible_w"] * dt, taken_up])
    gap = np.diff(held) - flows.sum(axis=0)[1:]
    return float(max(abs(gap.sum()), np.abs(gap).max()) / np.abs(flows).sum())


def water_gaps(run: Any) -> tuple[float, float]:
    """Return what does not add up over the whole cabin, and over its air alone."""
    f, dt = exported(run), np.diff(run.seconds)
    c = {name: f[name].to_numpy() for name in f.columns}
    air = run.cabin.air_mass[0] * c["cabin_humidity_kg_kg"]
    brought = c["people_water_kg_s"] + c["load_water_kg_s"] + c["air_water_kg_s"]
    through = float(((c["people_water_kg_s"] + np.abs(c["air_water_kg_s"])) * dt).sum())
    held = air + c["coil_water_kg"] + c["face_water_kg"] + c["buffer_water_kg"]
    whole = np.diff(held)
    whole = whole - ((brought - c["drain_water_kg_s"]) * dt)[1:]
    alone = np.diff(air)
    alone = alone + np.diff(c["buffer_water_kg"])
    alone = alone - ((brought - c["coil_water_kg_s"] - c["face_water_kg_s"]) * dt)[1:]
    return abs(whole.sum()) / through, abs(alone.sum()) / through


def check_charge(run: Any, efficiency: float) -> None:
    f, dt = exported(run), np.diff(run.seconds)
    live = run.plan.schedule.bank_live[run.segment] > 0
    current, rate = f["battery_current_a"].to_numpy(), f["battery_charge_rate_ah_s"].to_numpy()
    assert (current[~live] == 0).all()
    inside = np.flatnonzero(live)[1:]
    charge = f["battery_charge_ah"].to_numpy()
    gap = np.diff(charge)[inside - 1] - (rate * dt)[inside]
    assert np.abs(gap).max() <= CLOSE * max(1.0, np.abs(rate * dt).sum())
    # discharge counts whole, charge times its efficiency; a row with both lies between
    most = np.minimum(current, efficiency * current) / 3600.0
    assert (rate <= most + 1e-12).all()
    sources = f["solar_used_w"] + f["drive_used_w"] + f["shore_used_w"]
    dark = sources.to_numpy() == 0.0
    np.testing.assert_allclose(rate[dark], current[dark] / 3600.0, rtol=CLOSE, atol=1e-14)
    steady = ~cycles(f) & (sources > f["draw_w"] + 50).to_numpy()
    np.testing.assert_allclose(rate[steady], most[steady], rtol=CLOSE)
    # watts: what sources bring, less what is drawn, less what the bank loses, is stored
    stored = 3600.0 * np.diff(f["battery_stored_wh"])[inside - 1]
    brought = ((sources - f["draw_w"] - f["battery_loss_w"]).to_numpy() * dt)[inside]
    assert np.abs(stored - brought).sum() <= CLOSE * max(1.0, np.abs(brought).sum())
    np.testing.assert_allclose(stored, energy_between(run, charge)[inside - 1], atol=1e-3)
    check_loss(run, f, inside, efficiency)
    parts = ("compressor_w", "blower_w", "fridge_w", "fans_w", "loads_w", "inverter_loss_w",
             "heater_power_w", "electric_heat_w", "pad_w")  # fmt: skip
    drawn = sum(f[name] for name in parts) - f["shore_passed_w"]
    assert np.abs(drawn - f["draw_w"]).max() <= CLOSE * f["draw_w"].max()


def cycles(f: pd.DataFrame) -> np.ndarray:
    """Return whether something goes on and off within a row, so that its currents are no mean."""
    blown = (f["coolant_temp_c"] > 40.0) & (f["heater_w"] > 0)  # a fan coil's fan
    return ((f["ac_power_w"] > 0) | (f["electric_heat_w"] > 0) | blown).to_numpy()


def energy_between(run: Any, charge: np.ndarray) -> np.ndarray:
    """Return the energy [J] from row to row, by the bank's open-circuit volts in small parts."""
    shares = np.linspace(0.0, 1.0, 201)
    between = charge[:-1, None] + np.diff(charge)[:, None] * shares
    at, volts = run.gear.cells.table[[CHARGE, VOLTS]]
    return 3600.0 * np.trapezoid(np.interp(between, at, volts), between, axis=1)


def check_loss(run: Any, f: pd.DataFrame, live: np.ndarray, efficiency: float) -> None:
    """Hold the bank's loss against resistance, gap and charge efficiency, in quiet rows."""
    cells, current = run.gear.cells, f["battery_current_a"].to_numpy()
    alike = np.abs(np.diff(current)) < 0.01 * np.abs(current[1:]) + 1e-3
    quiet = [i for i in live if not cycles(f)[i] and alike[i - 1]]
    assert len(quiet) > 10
    for i in quiet:
        charge, temp = f["battery_charge_ah"].iloc[i], f["battery_temp_c"].iloc[i]
        ohm = internal_resistance(cells, charge, temp)
        volts = open_circuit_voltage(cells, charge)
        expected = current[i] ** 2 * ohm
        expected += max(0.0, current[i]) * ((1.0 - efficiency) * volts + cells.gap)
        # a row's volts move by up to 0.1 V where the bank is nearly empty or full
        assert f["battery_loss_w"].iloc[i] == pytest.approx(expected, abs=0.1 * abs(current[i]))


@pytest.mark.parametrize("name", VANS)
def test_books_close(name: str) -> None:
    way, changes = VANS[name]
    run = run_of(way, changes)
    assert energy_gap(run) < CLOSE
    assert air_gap(run) < CLOSE
    assert max(water_gaps(run)) < CLOSE
    check_charge(run, invented.sheet().battery.charge_efficiency)


@pytest.mark.parametrize("name", EQUIPPED)
def test_books_close_with_equipment(name: str) -> None:
    run = run_of(*EQUIPPED[name])
    assert energy_gap(run) < CLOSE
    assert air_gap(run) < CLOSE
    assert max(water_gaps(run)) < CLOSE
    check_charge(run, invented.sheet().battery.charge_efficiency)
    fuel, burnt = run.column("heater_fuel_l"), run.column("heater_fuel_l_s") * run.width
    change = burnt[1:] + np.diff(fuel)
    # at the moment that the charge is given for, the tank is as the sheet has it
    filled = np.isin(run.seconds[1:-1], run.plan.schedule.start[run.plan.schedule.tank_set >= 0])
    np.testing.assert_allclose(change[~filled], 0.0, atol=1e-12)


def test_books_close_where_clothes_dry_by_the_warmth_of_the_room() -> None:
    of = invented.sheet_of(invented.TEXT + "  - {{name: washing, water: drying clothes}}\n", low=5)
    scene = set_scene(of, invented.weather_of(of), 180.0)
    run = run_way(scene, "closed", invented.bedtime(scene), hours_after=12.0, keep_nodes=True)
    assert run.column("load_water_kg_s").min() == pytest.approx(0.1 / 3600.0)
    assert run.column("equipment_w").min() < -10.0  # 68 W of vapour, the fridge's 55 W now and then
    assert energy_gap(run) < CLOSE
    assert air_gap(run) < CLOSE
    assert max(water_gaps(run)) < CLOSE


def test_the_vans_meet_what_they_are_there_for() -> None:
    # a book in which a column is never written closes too
    damp = run_of(*VANS["bare steel, closed up, cold and damp"])
    assert damp.column("face_water_kg").max() > 0.01
    assert np.abs(damp.column("condensation_w")).max() > 10
    wet = run_of(*VANS["blower runs on"])
    assert wet.column("ac_latent_w").max() > 100
    assert wet.column("ac_latent_w").min() < -10  # a wet coil dries again
    assert wet.column("drain_water_kg_s").max() > 0
    small = run_of(*VANS["bank too small"])
    assert small.column("stopped_reserve_share").max() > 0
    assert small.column("stopped_cells_share").max() > 0
    assert small.column("unserved_w").max() > 0
    assert small.column("battery_current_a").max() > 0
    weak = run_of(*VANS["too few amps"])
    assert weak.total("stopped_current_share") / 3600.0 > 7.0  # of a night of 8.5, tries included
    assert weak.column("battery_current_a").min() > -60.0


def test_the_equipment_does_what_it_is_there_for() -> None:
    flame, hydronic, shore, cold, spent, rules = (run_of(*EQUIPPED[name]) for name in EQUIPPED)
    for run in (flame, hydronic):
        assert run.column("heater_output_w").max() > 500
        assert run.column("heater_power_w").max() > 10
        assert run.total("heater_fuel_l_s") > 0.5
    assert flame.column("electric_heat_w").max() > 400
    assert np.ptp(hydronic.column("coolant_temp_c")) > 30
    assert hydronic.column("drive_used_w").max() > 300
    assert hydronic.column("source_loss_w").max() > 20
    assert shore.column("shore_passed_w").max() > 1000
    assert shore.column("shore_used_w").max() > 20
    assert cold.column("held_back_cold_w").max() > 100
    assert spent.column("stopped_reserve_share").max() == pytest.approx(1.0)
    assert rules.column("stopped_rule_share").max() == pytest.approx(1.0)


@settings(max_examples=8, deadline=None, derandomize=True, database=None, phases=[Phase.generate])
@given(
    way=st.sampled_from(["closed", "fans", "ac"]),
    low=st.floats(-15, 28),
    rise=st.floats(2, 18),
    humidity=st.floats(30, 99),
    left_glass=st.floats(0.1, 1.5),
    sleepers=st.integers(0, 4),
    bank=st.floats(40, 800),
    panels=st.sampled_from([0, 100, 700]),
    blower=st.sampled_from(["automatic", "continuous"]),
    feed=st.sampled_from(["inverter", "battery"]),
    stacks=st.sampled_from([invented.FOAMED, invented.BARE]),
)
def test_books_close_for_any_van(way: str, low: float, rise: float, **changes: Any) -> None:
    run = run_of(way, {"low": f"{low:.3f}", "high": f"{low + rise:.3f}"} | changes)
    assert energy_gap(run) < CLOSE
    assert air_gap(run) < CLOSE
    assert max(water_gaps(run)) < CLOSE
    check_charge(run, invented.sheet().battery.charge_efficiency)
    assert run.column("cabin_humidity_kg_kg").min() >= 0
    for held in ("coil_water_kg", "face_water_kg"):
        assert run.column(held).min() >= 0  # no less than no water


def test_the_answer_s_own_books_say_the_same() -> None:
    answer = night(invented.sheet(), when="hottest")
    assert {book.name for book in answer.balances} == {"energy", "water", "charge", "power"}
    for book in answer.balances:
        assert book.throughput > 0
        assert book.ratio < CLOSE


def test_trace_s_units_and_rows() -> None:
    answer = night(invented.sheet(), when="hottest")
    trace = answer.trace
    assert trace["step_s"].sum() == pytest.approx(8.5 * 3600)
    assert trace.index[0] == answer.bedtime
    assert trace.index.tz is not None
    assert trace.columns.is_unique
    endings = ("_c", "_w", "_s", "_kg", "_kg_kg", "_pct", "_ppm", "_ah", "_a", "_j", "_share",
               "_starts", "_ah_s", "_m3_s", "_kg_s", "_wh", "_v", "_l", "_l_s")  # fmt: skip
    assert [name for name in trace.columns if not name.endswith(endings)] == ["stopped_by"]
