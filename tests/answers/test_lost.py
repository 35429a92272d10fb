"""What a night says of a bank that gives less than is asked: margins, loads lost, what stopped."""

from __future__ import annotations

from datetime import timedelta
from typing import Any, NamedTuple

import numpy as np
import pytest

from tests.electric_vans import COLD, FIXED, HOT, Sections, day, plan_of, run_of, scene_of, van
from vanclimate.answers.circuits import bank_findings
from vanclimate.answers.judge import WayResult, judge, night_rows
from vanclimate.answers.lost import NAMED, lost_loads, lost_notes
from vanclimate.answers.notes import _held_too_cold
from vanclimate.answers.stops import stop_notes
from vanclimate.energy.inverter import inverter_input, inverter_of
from vanclimate.simulate.gear import morning_charge
from vanclimate.simulate.runs import Run
from vanclimate.van.sheet import Sheet

MILD, FREEZER = day(15, 22, "06-10"), day(-26, -22, "01-15")
BREATHING: Sections = {"name": "breathing machine", "power": "40 W", "when": "22:00 to 08:00",
                       "feed": "inverter"}  # fmt: skip
LIGHTS: Sections = {"name": "lights", "power": "10 W", "when": "22:30 to 23:30"}
KETTLE: Sections = {"name": "kettle", "power": "1200 W", "when": "07:00 to 07:10",
                    "feed": "inverter"}  # fmt: skip


class Lived(NamedTuple):
    """A night in a van followed from the midnight before, from 22:30 to 07:00."""

    sheet: Sheet
    run: Run
    part: slice
    result: WayResult


def lived(site: Sections, charge: float = 1.0, **sections: Any) -> Lived:
    scene = scene_of(van(site, **sections))
    run = run_of(scene, plan_of(scene, 2, charge=charge))
    bedtime = run.start + timedelta(hours=22.5)
    part = night_rows(run, bedtime, scene.sheet)
    return Lived(scene.sheet, run, part, judge(run, scene.sheet, scene.main_way, bedtime))


def amp_hours_at(run: Run, hour: float) -> float:
    return float(np.interp(hour * 3600.0, run.seconds[1:], run.column("battery_charge_ah")))


def test_hours_to_spare_count_the_hours_in_which_the_bank_gives() -> None:
    got = lived(HOT, air_conditioner=FIXED | {"setpoint": "20 C"}, loads=[],
                battery={"capacity": "800 Ah"},
                shore={"hours": "12:00 to 02:00", "charger": "100 A"})  # fmt: skip
    at_two, waking = amp_hours_at(got.run, 26.0), amp_hours_at(got.run, 31.0)
    pace = (at_two - waking) / 5.0
    assert pace > 20.0
    left = waking - got.run.gear.kept
    assert got.result.margin_hours == pytest.approx(left / pace, rel=0.02)


def test_a_bank_that_gives_nothing_has_no_hours() -> None:
    got = lived(MILD, shore={"hours": "always", "charger": "60 A"}, loads=[BREATHING])
    assert got.result.drawn_ah < 0.5
    assert got.result.margin_hours == np.inf


def test_a_bank_whose_protection_opens_is_told_with_time_and_cause() -> None:
    cold = {"capacity": "400 Ah", "conductance": "50 W/K"}
    got = lived(FREEZER, battery=cold, loads=[BREATHING, LIGHTS],
                inverter={"rating": "500 W"})  # fmt: skip
    assert got.result.opened is not None
    assert got.result.opened.cause == "cold"
    assert got.result.margin_charge > 0.5  # all of it out of reach
    assert lived(MILD, loads=[BREATHING]).result.opened is None


def test_loads_lost_in_the_night_are_named_with_the_time() -> None:
    got = lived(MILD, 0.35, loads=[BREATHING, LIGHTS, KETTLE], battery={"capacity": "200 Ah"},
                inverter={"rating": "2000 W", "idle": "15 W"})  # fmt: skip
    opened = got.result.opened
    assert opened is not None
    lost = {x.name: x for x in lost_loads(got.sheet, got.run, got.part)}
    assert "kettle" not in lost  # it boils after waking
    machine = lost["breathing machine"]
    assert machine.since == pytest.approx((opened.at - got.run.start).total_seconds(), abs=1.0)
    until = got.run.seconds[got.part.stop]
    assert machine.since + machine.seconds == pytest.approx(until, abs=1.0)
    (said,) = lost_notes(got.sheet, got.run, got.part)
    assert f"breathing machine from {opened.at:%H:%M} (" in said


def test_what_is_served_is_not_called_lost_and_many_are_counted() -> None:
    held = lived(MILD, loads=[BREATHING, LIGHTS])
    assert lost_loads(held.sheet, held.run, held.part) == ()
    many = [LIGHTS | {"name": f"lamp {i}", "when": "22:00 to 08:00"} for i in range(NAMED + 2)]
    got = lived(MILD, 0.1, loads=many, fans={"count": 0}, battery={"capacity": "100 Ah"})
    (said,) = lost_notes(got.sheet, got.run, got.part)
    count = len(lost_loads(got.sheet, got.run, got.part))
    assert count >= NAMED + 2
    assert said.endswith(f" and {count - NAMED} more")


def test_a_load_that_a_rule_has_shed_is_not_called_lost() -> None:
    shed = lived(MILD, 0.3, loads=[LIGHTS | {"when": "always"}],
                 rules=["shed the lights under 60 %"])  # fmt: skip
    assert "lights" not in [x.name for x in lost_loads(shed.sheet, shed.run, shed.part)]


TOASTER = KETTLE | {"name": "toaster", "power": "300 W"}
LIMITED = {"capacity": "100 Ah", "discharge limit": "60 A"}


def test_amps_beyond_the_protection_are_told_with_what_asks_and_what_stops() -> None:
    loads = [BREATHING, KETTLE | {"power": "600 W"}, TOASTER]
    got = lived(MILD, loads=loads, battery=LIMITED, inverter={"rating": "2000 W"})
    (said,) = (x for x in stop_notes(got.sheet, got.run) if "protection lets out" in x)
    assert said.startswith(
        "breathing machine, kettle and toaster together ask for more than the 60"
    )
    assert "at 07:00" in said
    assert "the inverter switches off, no mains socket is served" in said


def test_a_unit_that_waits_for_amps_is_told_apart_from_what_trips() -> None:
    battery = {"capacity": "800 Ah", "discharge limit": "112 A"}
    pump = {"name": "pump", "power": "300 W", "when": "always"}
    got = lived(HOT, air_conditioner=FIXED, loads=[pump, KETTLE, TOASTER], battery=battery)
    trips, waits = (x for x in stop_notes(got.sheet, got.run) if "protection lets out" in x)
    assert trips.startswith("pump, kettle, toaster and air conditioner together ask")
    assert waits.startswith("pump and air conditioner together ask")
    assert "the air conditioner waits (" in waits


def test_the_protection_itself_opens_for_a_load_of_the_batterys_own_circuits() -> None:
    pump, winch = ({"name": name, "power": "600 W", "when": "09:00 to 09:10"}
                   for name in ("pump", "winch"))  # fmt: skip
    got = lived(MILD, loads=[pump, winch], battery=LIMITED)
    (said,) = (x for x in stop_notes(got.sheet, got.run) if "protection lets out" in x)
    assert said.startswith("pump and winch together ask for more than the 60 A")
    assert "it opens, and nothing more is served from the bank" in said


def test_a_load_beyond_the_discharge_limit_is_found_before_any_run() -> None:
    shore = {"hours": "18:00 to 20:00"}  # without any the sheet is refused
    sheet = van(MILD, loads=[BREATHING, KETTLE], battery=LIMITED, shore=shore)
    (found,) = bank_findings(sheet)
    # 1200 W at 90 % of 12.8 V are 104 A, a little more through inverter and cable
    assert found.startswith("the kettle alone draws 10")
    assert "lets out 60 A" in found
    assert not bank_findings(van(MILD, loads=[BREATHING, KETTLE], battery={"capacity": "200 Ah"}))


@pytest.mark.parametrize(
    ("shore", "kept"),
    [
        ({"hours": "always"}, False),
        ({"hours": "18:00 to 08:00"}, False),
        ({"hours": "18:00 to 06:30"}, True),
        ({"hours": "always", "days": "weekends"}, True),
        (None, True),
    ],
)
def test_the_mornings_mains_loads_are_kept_in_the_bank_unless_shore_runs_them(shore, kept) -> None:
    pump = {"name": "pump", "power": "64 W", "when": "07:00 to 08:00"}
    battery = {"capacity": "200 Ah", "voltage": "12.8 V"}
    sheet = van(MILD, loads=[KETTLE, pump], battery=battery, shore=shore)
    inverter = inverter_of(sheet.inverter, 12.8)
    boils = (inverter_input(inverter, 1200.0) - inverter.waiting) / 6.0 / 12.8
    assert morning_charge(sheet) == pytest.approx(5.0 + boils * kept, rel=1e-6)


def test_driving_unplugs_the_van_before_the_morning_is_over() -> None:
    sheet = van(MILD, loads=[KETTLE], shore={"hours": "always"}, driving={"hours": "7:00 to 9:00"})
    assert morning_charge(sheet) > 10.0


@pytest.mark.parametrize(("rule", "notes"), [("heat to 60 F", 1), ("heat to 62 F", 0)])
def test_a_rule_that_holds_less_than_the_sleepers_want_is_noted(rule: str, notes: int) -> None:
    heater = {"output": "2 kW", "when": "always", "tank": "40 L"}
    got = lived(COLD, heater=heater, rules=[f"{rule} from 20:00 to 08:00"], loads=[])
    assert got.sheet.people.least == pytest.approx(16.0)
    found = list(_held_too_cold(got.sheet, got.run, got.part))
    assert len(found) == notes
    assert all("colder than the 16 °C (60.8 °F)" in note for note in found)
