"""The loop's state and one step's figures: positions in two small arrays."""

from __future__ import annotations

# state carried from step to step
(
    CHARGE,  # Ah
    CAP,  # s, longest next step
    LAST_H,  # s, the last step's length
    # stops, each 1 while it holds
    CUT,  # the kept charge, or a rule's, holds a device off; one each in the order of switches
    CUT_HEAT_PUMP,
    CUT_BURNER,
    CUT_ELECTRIC,
    DEAD,  # the bank's protection is open: nothing can be drawn from it
    DEAD_CAUSE,  # see energy.causes
    TRIP_CURRENT,  # A, at which it opened
    INVERTER_DOWN,  # cause, 0 while it is up
    INVERTER_UNTIL,  # s, when it tries again
    WAITS,  # cause for which the compressor or the electric heater is held off, 0 for none
    # the bank
    BANK_TEMP,  # °C
    VOLTS,  # at its terminals, last step
    OPEN,  # V open circuit at its charge
    OHM,  # of its cells, at its charge and temperature
    STORED,  # Wh at its charge
    FLOOR,  # Ah at which its protection opens at the last step's draw
    FLOOR_CAUSE,
    COLD_LOCK,  # 1 while it is too cold to be charged
    HOT_LOCK,
    FULL,  # 1 from the end of a charge until it has fallen
    PAD,  # 1 while the warming pad is on
    # the compressor
    READY,  # s, end of a start's dead time
    SHARE,  # of full speed
    BASE,  # the slow part of it
    # the burner
    LIT,  # s, when it burns after its start
    PURGED,  # s, end of its purge
    FUEL,  # L left
    OUTPUT,  # W, mean of the last step in which it burned
    COOLANT,  # °C of a hydronic one
    FIRING,  # 1 while its flame burns, start included
    EASED,  # 1 while a hydronic one burns at its floor
    LOW_RUN,  # s of burning since its last run at full output
    FULL_UNTIL,  # s, end of such a run
) = range(36)
N_STATE = 36

# figures of the step in hand
(
    H,  # s
    T_OUT,  # °C mid-step
    W_OUT,  # kg/kg mid-step
    COOLS,  # 1 once the start's dead time is over
    SENSIBLE,  # W the unit takes from the air, before the coil's drying
    POWER,  # W of the unit
    BLOWER,  # W of it
    AC_SENSIBLE,  # W taken from the air in all
    STARTS,  # 1 where the unit started at the step's beginning
    DC,  # 1 while the battery's own circuits are served
    MAINS,  # 1 while the mains sockets are
    FRIDGE,  # W
    FRIDGE_HEAT,  # W of the fridge that stay inside
    LOADS,  # W of all other loads
    MAINS_DRAW,  # W at the mains sockets
    INVERTER_INPUT,  # W
    INVERTER_LOSS,  # W, with its cable's
    DRAW,  # W at the bank's terminals
    UNSERVED,  # W asked and not given
    ON_SHORE,  # W at the mains sockets that shore brings
    CURRENT,  # A into the bank
    ROOF_GIVES,  # W at the bus that the controller of the roof's panels could give
    GROUND_GIVES,  # the same of a ground panel's own
    ROOF_LOSS,  # W of that controller's heat inside
    GROUND_LOSS,
    SOLAR,  # W used at the bus
    DRIVE,  # W
    SHORE,  # W of the charger
    SHORE_GIVES,  # W that the charger could give beside the sockets
    SHORE_LACKS,  # W at the sockets beyond what the inlet carries
    DRIVE_GIVES,  # W that the DC-DC chargers could
    HELD,  # W that sources could have given more
    HELD_CAUSE,  # see energy.causes.HELD_BACK
    ACCEPTED,  # A that the bank would take
    CHARGER_LOSS,  # W of shore's charger
    DRIVE_LOSS,  # W of the DC-DC chargers
    BANK_LOSS,  # W
    BANK_GIVES,  # W of heat that the bank gives to its zone's air
    BANK_END,  # °C at the step's end
    PAD_POWER,  # W
    BURNER_POWER,  # W of electricity
    BURNER_HEAT,  # W from a coolant to the air
    COOLANT_END,  # °C
    FIRED,  # W into the coolant
    OUTPUT_NOW,  # W of the flame
    BURNER_STARTS,  # 1 where it lit
    BURNER_FAILS,  # why a start failed, see equipment.heater.can_start; 0 where none did
    ELECTRIC,  # W of the electric heater
) = range(48)
N_STEP = 48
