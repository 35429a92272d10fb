"""The loop's state and one step's figures: positions in two small arrays."""

from __future__ import annotations

# state carried from step to step
(
    CHARGE,  # Ah
    ON,  # 1 while the air conditioner runs
    CUT,  # 1 while the bank's kept charge holds it off
    DEAD,  # 1 while the bank is at its cut-off and all loads are down
    LOCK_UNTIL,  # s, end of a minimum run or off time
    STARTED,  # s, end of the start's dead time
    CAP,  # s, longest next step
    LAST_H,  # s, the last step's length
) = range(8)
N_STATE = 8

# figures of the step in hand
(
    H,  # s
    T_OUT,  # °C mid-step
    W_OUT,  # kg/kg mid-step
    ALLOWED,  # 1 where the air conditioner may run
    LOW,  # °C, where it stops
    HIGH,  # °C, where it starts
    COOLING,  # 1 once the start's dead time is over
    SENSIBLE,  # W taken from the air, before the coil's drying
    POWER,  # W of the unit
    BLOWER,  # W of it
    SERVED,  # 1 while the bank serves the loads
    FRIDGE,  # W
    DRAW,  # W on the bank's side
    INVERTER_LOSS,  # W
    UNSERVED,  # W asked and not given
    CURRENT,  # A into the bank
    SOLAR_USED,  # W
    BANK_LOSS,  # W
    AC_SENSIBLE,  # W taken from the air in all
    STARTS,  # 1 where the unit started at the step's beginning
    FRIDGE_HEAT,  # W of the fridge that stay inside
) = range(21)
N_STEP = 21
