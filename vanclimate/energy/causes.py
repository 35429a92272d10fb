"""What stops a discharge and what holds back a charge, as numbers for the loop and as words.

One stop has one cause: the first that bit. What does not belong here: the limits themselves
(``bank_limits``, ``inverter``), and the sentences an answer makes of them (``answers.stops``).
"""

from __future__ import annotations

# what stopped the draw, or a part of it
NONE, RESERVE, CELLS, CABLE, CURRENT, COLD, HOT, RULE, SURGE, OVERLOAD = range(10)
STOPS = (
    "",
    "reserve",  # the charge kept for waking holds the air conditioner off
    "cells",  # the bank's protection: its least charge or its least voltage
    "cable",  # the inverter sees too few volts behind its cable
    "current",  # more amps than the bank's protection lets out
    "cold",  # charge that a cold bank does not give, or a bank too cold to be drawn from
    "hot",  # a bank too hot to be drawn from
    "rule",  # a rule of the sheet
    "start",  # the inverter cannot start the unit beside what else it carries
    "inverter",  # what it is asked for exceeds its rating
)

# what held back a charge that a source could have given
FULL, TOO_FAST, TOO_COLD, TOO_HOT = range(4)
HELD_BACK = ("full", "current", "cold", "hot")
