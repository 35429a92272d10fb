"""Heat that is found, not given: what holds a zone's air at a temperature within a stage.

Two things are such: the ideal plant of the standard cases, without an end, and a stepless burner
between its floor and its full output. Heat into a zone's air moves the eliminated core by a known
column, so that the heat that holds the air follows from one division.
"""

from __future__ import annotations

from vanclimate.simulate.dense import substitute
from vanclimate.simulate.films import Array
from vanclimate.simulate.jit import part_of_loop

(
    HEAT_BELOW,  # °C at which the air is held from below, NaN for not at all
    COOL_ABOVE,  # °C from above; the ideal plant alone
    LEAST,  # W of a burner that is on: its floor; 0 of the ideal plant
    MOST,  # W
    ZONE,  # whose air it is, and which the heat goes to
) = range(5)
N_PLANT = 5


@part_of_loop
def hold_air(lower: Array, gh: float, plant: Array, x: Array, column: Array) -> None:
    """Add to the core's free solution ``x`` the heat that holds a zone's air.

    Parameters
    ----------
    lower : eliminated core
    gh : γh [s]
    plant : see above
    x : (2 zones + 1,) °C of air and star of each zone; the last becomes the heat [W]
    column : (2 zones,) scratch
    """
    n, z = len(x) - 1, int(plant[ZONE])
    x[n] = 0.0
    held = x[z]
    if x[z] < plant[HEAT_BELOW]:
        held = plant[HEAT_BELOW]
    elif x[z] > plant[COOL_ABOVE]:
        held = plant[COOL_ABOVE]
    if held == x[z] and plant[LEAST] == 0.0:
        return
    for i in range(n):
        column[i] = 0.0
    column[z] = 1.0
    substitute(lower, column, n)
    heat = (held - x[z]) / (gh * column[z])
    if plant[MOST] > 0.0:  # a burner
        heat = min(plant[MOST], max(plant[LEAST], heat))
    for i in range(n):
        x[i] += gh * heat * column[i]
    x[n] = heat
