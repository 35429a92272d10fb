"""What layers resist, by themselves and one after the other.

What does not belong here: films, ribs and anything that has an area.
"""

from __future__ import annotations

from vanclimate.physics.conduction import R_SE, R_SI, Direction, air_layer_resistance
from vanclimate.van.layers import Layer

RSI, RSE = R_SI["horizontal"], R_SE  # m2K/W, on every side where figures are to add up


def core_resistance(layers: tuple[Layer, ...], direction: Direction = "horizontal") -> float:
    """Return a stack's resistance from face to face [m2K/W], without films."""
    return sum(layer_resistance(x, direction) for x in layers)


def layer_resistance(layer: Layer, direction: Direction = "horizontal") -> float:
    """Return one layer's resistance [m2K/W]; an air gap after ISO 6946."""
    if layer.air_gap:
        return float(
            air_layer_resistance(
                layer.thickness,
                layer.emissivity_outer,
                layer.emissivity_inner,
                direction,
                mean_temp=20.0,
            )
        )
    return layer.thickness / layer.conductivity
