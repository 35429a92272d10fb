"""What stays true of sources, bank, inverter, loads and heaters, whatever the van."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests.electric_vans import (
    AIR_HEATER,
    ALTERNATOR,
    COLD,
    FIXED,
    HOT,
    HYDRONIC,
    Sections,
    columns,
    day,
    lived,
    plan_of,
    run_of,
    scene_of,
    van,
    with_solar,
)
from vanclimate.simulate.runs import Run

FEW = settings(
    max_examples=6, deadline=None, derandomize=True, database=None, phases=[Phase.generate]
)
STOPS = ("reserve", "cells", "cable", "current", "cold", "hot", "rule", "start", "inverter")


def first_stop(run: Run, *causes: str) -> float:
    """Return the seconds until one of some causes first stops something; inf where none does."""
    c = columns(run)
    stopped = sum(c[f"stopped_{cause}_share"] for cause in causes or STOPS)
    rows = np.flatnonzero(stopped > 0.0)
    # within the row the cause began so long before its end
    return float(run.seconds[rows[0] + 1] - (stopped * run.width)[rows[0]]) if len(rows) else np.inf


@FEW
@given(
    factor=st.floats(1.05, 3.0),
    panels=st.sampled_from([100, 400]),
    bank=st.floats(60, 300),
    charge=st.floats(0.15, 1.0),
    load=st.floats(40, 250),
    site=st.sampled_from([HOT, COLD]),
)
def test_more_solar_never_empties_the_bank_sooner(
    factor: float, panels: int, bank: float, charge: float, load: float, site: Sections
) -> None:
    # a bank that counts as full is let fall to `charge resumes` first, wherever sooner full
    sheet = van(site, roof_panels={"power": f"{panels} W"}, loads=steady(load),
                battery={"capacity": f"{bank:.1f} Ah", "conductance": "200 W/K",
                         "cold charge": "-30 C", "charge resumes": "99.8 %"})  # fmt: skip
    scene = scene_of(sheet)
    plan = plan_of(scene, 2.0, charge=charge)
    usual = run_of(scene, plan)
    sunnier = run_of(scene, with_solar(plan, plan.schedule.solar * factor))
    assert first_stop(sunnier) >= first_stop(usual) - 1.0
    # later the sunnier one serves what the other no longer can
    both = usual.seconds[1:] < first_stop(usual)
    more = sunnier.column("battery_charge_ah") - usual.column("battery_charge_ah")
    assert more[both].min(initial=np.inf) > -2e-3 * bank


def steady(watts: float, feed: str = "battery", name: str = "pump") -> list[Any]:
    return [{"name": name, "power": f"{watts:.2f} W", "feed": feed}]


@FEW
@given(
    longer=st.floats(1.0, 8.0),
    size=st.sampled_from(["16 mm2", "35 mm2", "70 mm2"]),
    bank=st.floats(80, 400),
    load=st.floats(200, 1500),
)
def test_a_longer_cable_never_lengthens_the_night(
    longer: float, size: str, bank: float, load: float
) -> None:
    ends = []
    for length in (0.5, 0.5 + longer):
        sheet = van(HOT, loads=steady(load, "inverter"),
                    battery={"capacity": f"{bank:.1f} Ah", "discharge limit": "500 A"},
                    inverter={"cable length": f"{length} m", "cable size": size})  # fmt: skip
        ends.append(first_stop(lived(sheet, 2.0)))
    assert ends[1] <= ends[0] + 1.0


@FEW
@given(
    low=st.floats(-14, -1),
    rise=st.floats(3, 14),
    conductance=st.floats(0.5, 100),
    resumes=st.floats(0.5, 6),
    pad=st.sampled_from([0, 40, 150]),
)
def test_no_current_charges_a_bank_below_its_lock_out(
    low: float, rise: float, conductance: float, resumes: float, pad: int
) -> None:
    sheet = van(day(round(low, 3), round(low + rise, 3), "02-20"),
                heater=AIR_HEATER | {"when": "18:00 to 07:00"},
                roof_panels={"power": "400 W"}, **ALTERNATOR,
                battery={"capacity": "150 Ah", "conductance": f"{conductance:.3f} W/K",
                         "cold charge resumes": f"{resumes:.3f} C", "pad": f"{pad} W"})  # fmt: skip
    scene = scene_of(sheet)
    run = run_of(scene, plan_of(scene, 3.0, charge=0.5), base=60.0)
    temp, current = run.column("battery_temp_c"), run.column("battery_current_a")
    before = np.concatenate(([np.nan], temp[:-1]))
    frozen = np.maximum(before, temp) < 0.0
    assert current[frozen].max(initial=0.0) <= 0.0
    asked = frozen & (run.column("drive_available_w") > run.column("draw_w") + 1.0)
    assert (run.column("held_back_cold_w")[asked] > 0.0).all()
    locked = not_yet_warm(temp, resumes)
    assert current[locked].max(initial=0.0) <= 0.0


def not_yet_warm(temp: Any, resumes: float) -> Any:
    """Return the rows that lie whole between a fall below 0 °C and the warmth that frees it."""
    out, locked = np.zeros(len(temp), dtype=bool), False
    for i, end in enumerate(temp):
        out[i] = locked and end < resumes - 1e-6
        locked = end < 0.0 or (locked and end < resumes - 1e-6)
    return out


@FEW
@given(
    keys=st.sampled_from([AIR_HEATER, HYDRONIC]),
    low=st.floats(-15, 12),
    setpoint=st.floats(10, 22),
    tank=st.sampled_from(["10 L", "2 L"]),
    fuel=st.sampled_from(["diesel", "petrol"]),
    efficiency=st.floats(0.7, 0.9),
)
def test_fuel_is_burnt_while_the_heater_is_on_and_for_its_heat_alone(
    keys: Sections, low: float, setpoint: float, tank: str, fuel: str, efficiency: float
) -> None:
    heater = keys | {"setpoint": f"{setpoint:.2f} C", "when": "20:00 to 08:00", "tank": tank,
                     "fuel": fuel, "efficiency": f"{efficiency:.3f}",
                     "coldest fuel": "-40 C"}  # fmt: skip
    sheet = van(day(round(low, 2), round(low + 8, 2), "02-20"), heater=heater,
                shore={"inlet": "30 A"})  # fmt: skip
    c = columns(run := lived(sheet, 2.0))
    off = c["heater_on_share"] == 0.0
    assert (c["heater_fuel_l_s"][off] == 0.0).all()
    assert (c["heater_output_w"][off] == 0.0).all()
    hour = run.seconds[:-1] % 86400.0 / 3600.0
    assert (c["heater_on_share"][(hour >= 8.1) & (hour < 20.0)] == 0.0).all()
    heating_value = run.gear.burner.heating_value
    np.testing.assert_allclose(
        c["heater_fuel_l_s"], c["heater_output_w"] / (round(efficiency, 3) * heating_value),
        rtol=1e-12, atol=1e-18,
    )  # fmt: skip
    full = run.gear.burner.full
    assert c["heater_output_w"].max() <= full * (1.0 + 1e-9)
    assert (np.diff(c["heater_fuel_l"]) <= 0.0).all()
    assert c["heater_fuel_l"].min() >= 0.0


@FEW
@given(
    under=st.floats(0.2, 0.95),
    bank=st.floats(60, 200),
    load=st.floats(50, 600),
    other=st.floats(10, 60),
    feed=st.sampled_from(["battery", "inverter"]),
)
def test_shedding_never_raises_the_draw(
    under: float, bank: float, load: float, other: float, feed: str
) -> None:
    loads = [*steady(load, feed, "cooker"), *steady(other)]
    runs = []
    for rules in ([], [f"shed the cooker under {100 * under:.1f} %"]):
        sheet = van(HOT, loads=loads, rules=rules, roof_panels={"power": "100 W"},
                    battery={"capacity": f"{bank:.1f} Ah"})  # fmt: skip
        runs.append(lived(sheet, 2.0))
    free, shed = runs
    share = shed.column("stopped_rule_share")
    assert share.max() > 0.0
    # until the bank itself stops the other van, which draws nothing from then on
    alive = np.arange(len(free.rows)) < np.searchsorted(free.seconds, first_stop(free)) - 1
    gain = shed.column("draw_w") - free.column("draw_w")
    assert gain[alive].max(initial=-np.inf) <= 1e-6 * load
    charge = shed.column("battery_charge_ah")
    assert (charge[alive] >= free.column("battery_charge_ah")[alive] - 1e-6).all()
    assert first_stop(shed, "cells") >= first_stop(free, "cells") - 1.0
    # and what is shed takes nothing
    assert shed.column("loads_w")[share == 1.0].max(initial=0.0) <= other + 0.05


@FEW
@given(
    bank=st.floats(50, 300),
    more=st.floats(1.05, 3.0),
    load=st.floats(50, 400),
    kind=st.sampled_from(["lithium", "AGM"]),
    ac=st.sampled_from([None, FIXED]),
    site=st.sampled_from([HOT, COLD]),
)
def test_more_bank_never_shortens_the_time_to_the_first_stop(
    bank: float, more: float, load: float, kind: str, ac: Sections | None, site: Sections
) -> None:
    ends = []
    for capacity in (bank, bank * more):
        sheet = van(site, loads=steady(load), air_conditioner=ac,
                    battery={"kind": kind, "capacity": f"{capacity:.2f} Ah"})  # fmt: skip
        scene = scene_of(sheet)
        # as heavy as each other, for twice the mass gives back more of the day's warmth
        cells = scene.gear.cells._replace(heat_capacity=2e4, conductance=2.0)
        scene = replace(scene, gear=scene.gear._replace(cells=cells))
        ends.append(first_stop(run_of(scene, plan_of(scene, 2.0))))
    assert ends[0] < np.inf or ends[1] == np.inf
    assert ends[1] >= ends[0] - 1.0
