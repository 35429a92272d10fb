"""Whether a run without the bank's limits went where more than its charge would have ended it.

What does not belong here: the limits themselves (``energy.bank_limits``, ``energy.inverter``).
"""

from __future__ import annotations

import numpy as np

from vanclimate.simulate.runs import Run

HAIR = 1e-6


def beyond_limits(run: Run) -> bool:
    """Return whether cold, heat, amps or volts end it anywhere above the charge that is kept.

    Such a run is no night that could be: its heater burns on with a bank that is open. Volts are
    those at the rows' ends, and all watts count as the inverter's, so that it is said too often
    rather than too seldom.
    """
    cells, gear = run.gear.cells, run.gear
    temp, amps = run.column("battery_temp_c"), -run.column("battery_current_a")
    volts, watts = run.column("battery_voltage_v"), run.column("draw_w")
    drawn = (run.plan.schedule.bank_live[run.segment] > 0.0) & (amps > 0.0)
    drawn &= run.column("battery_charge_ah") > gear.kept + HAIR
    least = np.full(len(volts), cells.low_voltage)
    if np.isfinite(gear.burner.least_volts):
        least = np.maximum(least, gear.burner.least_volts)
    share = np.interp(temp, *cells.cold)
    if cells.peukert > 1.0:
        over = np.maximum(amps / cells.slow_current, 1.0)
        share = share * over ** (1.0 - cells.peukert)
    root = volts * volts - 4.0 * gear.inverter.cable * watts
    behind = 0.5 * (volts + np.sqrt(np.maximum(root, 0.0)))
    ends = (temp <= cells.discharge_low) | (temp >= cells.discharge_high)
    ends |= (amps > cells.discharge_limit) | (volts < least)
    ends |= run.column("battery_charge_ah") < cells.capacity * (1.0 - share) - HAIR
    ends |= (run.column("inverter_loss_w") > 0.0) & (behind < gear.inverter.cut_off)
    return bool((drawn & ends).any())
