"""What the loop knows of each zone: rows of one array (figures, zones), the living space first.

One array and not one for each figure: a function of the loop takes every array by value, and
thirty of them cost more than the arithmetic.
"""

from __future__ import annotations

# carried from step to step
(
    AIR,  # °C
    STAR,  # °C, the radiant star
    HUMIDITY,  # kg/kg
    BUFFER,  # kg of water in linings and fabrics
    AIR_BEFORE,  # at the last step's start
    STAR_BEFORE,
    HUMIDITY_BEFORE,
) = range(7)

# of the step in hand
(
    INDUCED,  # m3/s of outdoor air that a unit or a heater draws or blows in
    FLOW,  # m3/s of outdoor air
    MASS_FLOW,  # kg/s of it, dry
    VENTILATION,  # W/K of it
    BETWEEN_FLOW,  # m3/s to and from the living space; of the living space itself 0
    BETWEEN_MASS,  # kg/s of it, dry
    BETWEEN,  # W/K of it
    BETWEEN_RADIANT,  # W/K between the two stars through an open passage
    PEOPLE,  # W sensible
    BREATH,  # kg/s
    LOAD_HEAT,  # W of loads that are served
    LOAD_WATER,  # kg/s of them
    EQUIPMENT,  # W
    HEATER,  # W of a burner's coolant; an air heater's comes with the temperatures
    AIR_GAIN,  # W into the air
    STAR_GAIN,  # W to the faces by radiation
    WATER_GAIN,  # kg/s
    PLACE_GAIN,  # kg/s that wet places bring in whatever the humidity
    PLACE_EXCHANGE,  # kg/s of air in contact with wet places
    HUMIDITY_END,  # kg/kg
    HUMIDITY_MEAN,
    FROM_LIVING,  # kg/kg of that mean per kg/kg of the living space's
    BUFFER_SHARE,  # of the air's mean in the buffer's, the rest being its start
    BUFFER_RATE,  # kg/s from the air into the buffer
    BUFFER_SLOPE,  # kg/kg of air in equilibrium per kg held
) = range(7, 32)
N_ZONE = 32
