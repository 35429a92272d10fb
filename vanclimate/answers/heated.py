"""What heating took of the bank: between the last bedtime and this one, and in the night itself.

What does not belong here: the heat that it gave (``judge``, ``ledgers``), and the words
(``report.power_words``).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np

from vanclimate.answers.figures import AH
from vanclimate.network.compile import Array
from vanclimate.simulate.runs import Run

OTHERS = ("fridge_w", "fans_w", "loads_w", "pad_w", "inverter_loss_w")


@dataclass(frozen=True)
class HeatingDraw:
    """Charge [Ah] that heating took of the bank, without the inverter's losses."""

    since: datetime  # the bedtime before, or from when on the bank is followed
    before: dict[str, float] = field(metadata=AH)  # by heater, from then to bedtime
    night: dict[str, float] = field(metadata=AH)  # bedtime to waking
    greatest: bool  # more than anything else took in all that time

    @property
    def total(self) -> float:
        """Both spans and all heaters together."""
        return sum(self.before.values()) + sum(self.night.values())


def heating_draw(run: Run, bedtime: datetime, part: slice) -> HeatingDraw:
    """Return what heating took; ``part`` are the run's rows from bedtime to waking."""
    live = run.plan.schedule.bank_live[run.segment] > 0
    at_bedtime = (bedtime - run.start).total_seconds()
    day = (run.seconds[:-1] >= at_bedtime - 86400.0 - 1e-3) & live
    day[part.start :] = False
    begins = float(run.seconds[np.argmax(day)]) if day.any() else at_bedtime
    span = slice(int(np.searchsorted(run.seconds, begins - 1e-3)), part.stop)
    taken = _taken(run)
    heating = sum(run.charge_of(watts[span], span) for watts in taken.values())
    cools = run.column("ac_power_w") * ~run.heats
    others = [run.charge_of(cools[span], span)] + [run.amp_hours(name, span) for name in OTHERS]
    before = slice(span.start, part.start)
    return HeatingDraw(
        since=run.start + timedelta(seconds=begins),
        before={name: run.charge_of(watts[before], before) for name, watts in taken.items()},
        night={name: run.charge_of(watts[part], part) for name, watts in taken.items()},
        greatest=heating > max(others),
    )


def _taken(run: Run) -> dict[str, Array]:
    """Return the watts of each heater at the bank's terminals, of each row.

    While shore is on, it brings what the mains sockets take. A row in which the air conditioner
    heats at all counts as heating.
    """
    inverting = ~run.plan.power.on_shore[run.segment]
    unit, electric = run.gear.unit, run.gear.electric
    pump = run.column("ac_power_w") * run.heats
    return {
        "heat pump": pump * (inverting | (not unit.on_inverter)),
        "electric heater": run.column("electric_heat_w") * (inverting | (not electric.on_inverter)),
        "fuel heater's fan, pump and glow": run.column("heater_power_w"),
    }
