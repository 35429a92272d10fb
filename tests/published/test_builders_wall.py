"""A builder's own reading of one wall on a cold day, published on the web (CHECKS 2).

Inside air 70 °F; faces 65.0 °F where foamed, 58.2 °F on a bare rib, 52.5 °F on the window; the
heat flux as 1 : 2.36 : 3.5, from the same three differences. About 25 mm of sprayed urethane and
a 6 mm panel. Not said: the outdoor temperature, the rib's size, the glass, the instrument.

Bands, written before the first run: a handheld infrared thermometer is good to 2 K = 3.6 °F
(common practice, no source). The outdoor temperature follows from the window, whose difference is
the largest, taken as one pane of 4 mm; from the foamed face it would carry seven times the error.
The rib is invented, a hat 25 mm deep that touches the panel.
"""

import pytest

from vanclimate.network.section import Section, section_of
from vanclimate.physics.conduction import u_value
from vanclimate.van.layers import Layer, finish_stack
from vanclimate.van.ribs import Ribs

AIR, FOAMED, RIB, WINDOW = 70.0, 65.0, 58.2, 52.5  # °F
BAND = 3.6  # °F
RSI = 0.13  # m²K/W, ISO 6946
GLASS = 1 - RSI * u_value([0.004 / 1.0], RSI)  # temperature factor of the pane


@pytest.fixture(scope="module")
def wall() -> Section:
    rows = ("steel 0.8 mm", "sprayed foam 25 mm", "plywood 6 mm")
    layers = finish_stack(tuple(Layer.model_validate(x) for x in rows))
    rib = {"kind": "hat", "depth": "25 mm", "width": "40 mm", "spacing": "400 mm"}
    return section_of(layers, Ribs.model_validate(rib))


def outdoors() -> float:
    """Outdoor temperature [°F] that the window's reading means."""
    return AIR - (AIR - WINDOW) / (1 - GLASS)


def face(factor: float, out: float) -> float:
    return out + factor * (AIR - out)


def test_the_foamed_face(wall: Section) -> None:
    assert face(wall.factor_plain, outdoors()) == pytest.approx(FOAMED, abs=BAND)


def test_the_bare_rib(wall: Section) -> None:
    assert face(wall.factor, outdoors()) == pytest.approx(RIB, abs=BAND)


def test_their_order(wall: Section) -> None:
    assert wall.factor_plain > wall.factor > GLASS


def test_flux_of_rib_to_window(wall: Section) -> None:
    # 2.36 / 3.5; both readings 3.6 °F off one way or the other give 0.39 to 1.11
    ratio = (1 - wall.factor) / (1 - GLASS)
    assert 0.39 <= ratio <= 1.11


@pytest.mark.xfail(
    strict=True,
    reason="the foamed face lay 5 °F below the air where 25 mm of foam under a pane of 17.5 °F "
    "asks for 2.6: the small difference doubles the ratio",
)
def test_flux_of_rib_to_foamed_wall(wall: Section) -> None:
    # band: 30 % of 2.36
    assert (1 - wall.factor) / (1 - wall.factor_plain) == pytest.approx(2.36, rel=0.3)
