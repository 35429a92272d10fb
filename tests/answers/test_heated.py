"""What heating took of the bank, by heater; the van is invented."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.electric_vans import COLD, HEAT_PUMP, lived, van
from vanclimate.answers.heated import heating_draw
from vanclimate.answers.judge import night_rows

ELECTRIC = {"power": "600 W", "when": "always"}
BANK = {"capacity": "3000 Ah"}


def test_each_heater_has_its_own_amp_hours():
    sheet = van(COLD, air_conditioner=HEAT_PUMP, electric_heater=ELECTRIC, battery=BANK,
                rules=["electric heater first, then the heat pump"])  # fmt: skip
    run = lived(sheet, 3.0)
    bedtime = run.start + timedelta(days=1, hours=22.5)
    part = night_rows(run, bedtime, sheet)
    drawn = heating_draw(run, bedtime, part)
    assert drawn.since == bedtime - timedelta(days=1)
    assert drawn.greatest
    day = run.between(22.5 * 3600.0, 46.5 * 3600.0)
    watts = {"heat pump": "ac_power_w", "electric heater": "electric_heat_w"}
    for name, column in watts.items():  # nothing cools in this cold
        assert drawn.before[name] > 20.0
        assert drawn.before[name] == pytest.approx(day.amp_hours(column, slice(None)))
        assert drawn.night[name] == pytest.approx(run.amp_hours(column, part))
    assert drawn.total < 3000.0 - run.column("battery_charge_ah")[part.stop - 1]


def test_what_shore_carries_is_not_of_the_bank():
    sheet = van(COLD, electric_heater=ELECTRIC, battery=BANK, shore={"inlet": "30 A"})
    run = lived(sheet, 2.0)
    bedtime = run.start + timedelta(hours=22.5)
    drawn = heating_draw(run, bedtime, night_rows(run, bedtime, sheet))
    assert run.total("electric_heat_w") > 0.0
    assert drawn.total == 0.0


def test_a_bank_whose_charge_is_given_at_bedtime_is_counted_from_there():
    sheet = van(COLD, electric_heater=ELECTRIC, battery=BANK)
    run = lived(sheet, 1.5, since=0.0)
    bedtime = run.start + timedelta(hours=10.0)  # followed from midnight
    drawn = heating_draw(run, bedtime, night_rows(run, bedtime, sheet))
    assert drawn.since == run.start
    first = run.between(0.0, 36000.0)
    ours = first.amp_hours("electric_heat_w", slice(None))
    assert drawn.before["electric heater"] == pytest.approx(ours)
