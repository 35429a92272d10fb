"""Where water condenses in a stack, in a builder's words; the year is invented."""

import numpy as np
import pytest

from vanclimate.network.damp import RUN_OFF, Climate, damp_of, slices
from vanclimate.physics.air import saturation_pressure
from vanclimate.physics.vapour import class_pressure
from vanclimate.van.layers import Layer, finish_stack

TEMP = 8.0 - 12.0 * np.cos(2 * np.pi * (np.arange(12) + 0.5) / 12)
OUT = 0.8 * np.asarray(saturation_pressure(TEMP))
YEAR = Climate(np.maximum(20.0, TEMP), class_pressure(TEMP, OUT, 4), TEMP, OUT)


def stack(*texts: str) -> tuple[Layer, ...]:
    return finish_stack(tuple(Layer.model_validate(t) for t in texts))


WOOL = ("steel 1 mm", "glass wool 50 mm", "plywood 6 mm")


def test_wool_against_a_metal_skin_is_wet_at_the_skin() -> None:
    got = damp_of(stack(*WOOL), "left", YEAR)
    assert got.where == "between the skin and the glass wool"
    assert got.trouble
    assert got.peak >= got.settles > RUN_OFF
    assert got.soaked > 1.05
    assert got.film is not None
    assert got.film_where == "between the glass wool and the plywood"


def test_the_film_that_is_named_does_stop_it() -> None:
    bare = damp_of(stack(*WOOL), "left", YEAR)
    layers = list(stack(*WOOL))
    layers[1] = layers[1].model_copy(update={"inner_facing": bare.film})
    assert not damp_of(tuple(layers), "left", YEAR).trouble


def test_a_film_behind_the_lining_in_the_list_does_the_same() -> None:
    got = damp_of(stack(*WOOL[:2], "vapour barrier film", WOOL[2]), "left", YEAR)
    assert not got.trouble
    assert got.peak < 0.05 * damp_of(stack(*WOOL), "left", YEAR).peak


def test_bare_steel_is_wet_on_its_face_and_holds_none_inside() -> None:
    got = damp_of(stack("steel 1 mm"), "left", YEAR)
    assert got.face_humidity == 1.0
    assert not got.trouble
    assert got.worst_month is None


def test_a_lining_on_a_gap_open_to_the_cabin_keeps_nothing_out() -> None:
    shut = damp_of(
        stack("steel 1 mm", "glass wool 50 mm", "air gap 10 mm", "PVC 3 mm"), "left", YEAR
    )
    through = damp_of(
        stack("steel 1 mm", "glass wool 50 mm", "cabin-vented air gap 10 mm", "PVC 3 mm"), "left",
        YEAR,
    )  # fmt: skip
    assert through.peak > 20 * shut.peak


def test_a_skin_with_air_behind_it_lets_the_stack_dry() -> None:
    for how in ("well", "slightly"):
        got = damp_of(stack("steel 1 mm", f"{how} vented air gap 20 mm", *WOOL[1:]), "left", YEAR)
        assert got.peak < damp_of(stack(*WOOL), "left", YEAR).peak / 3


def test_a_slightly_vented_gap_is_half_way_between_shut_and_well_vented() -> None:
    # ISO 6946, from memory: the mean of both resistances at the middle of the slight range
    def total(gap: str) -> float:
        found, rse, rsi = slices(stack("steel 1 mm", gap, *WOOL[1:]), "left")
        return rse + sum(s.resistance for s in found) + rsi

    shut, slight, well = (
        total(f"{how}air gap 20 mm") for how in ("", "slightly vented ", "well vented ")
    )
    assert slight == pytest.approx((shut + well) / 2)
    assert well == pytest.approx(0.13 + 0.050 / 0.045 + 0.006 / 0.13 + 0.13)


@pytest.mark.parametrize("side", ["roof", "floor", "left"])
def test_no_difference_no_water(side: str) -> None:
    calm = Climate(*(np.full(12, x) for x in (20.0, 1400.0, 20.0, 1400.0)))
    got = damp_of(stack(*WOOL), side, calm)
    assert (got.where, got.peak, got.trouble) == ("", 0.0, False)


def test_damper_air_is_never_drier_in_the_wall() -> None:
    peaks = [
        damp_of(
            stack(*WOOL), "left", Climate(YEAR[0], class_pressure(TEMP, OUT, k), TEMP, OUT)
        ).peak
        for k in range(1, 6)
    ]
    assert peaks == sorted(peaks)
