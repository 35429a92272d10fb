"""What `check` says of water inside the stacks; findings are invented."""

from dataclasses import replace

import pytest

from vanclimate.network.damp import Damp
from vanclimate.report.damp import sentences

WET = Damp(
    side="left", where="between the skin and the glass wool", worst_month=0, settles=0.5, peak=1.4,
    left=0.0, dry_month=6, face_humidity=0.7, soaked=1.2, film=5.0,
    film_where="between the glass wool and the plywood", tight_skin=True,
)  # fmt: skip


def test_the_classic_case_names_skin_place_and_film() -> None:
    (said,) = sentences("walls", WET, "si")
    assert said.startswith("walls: up to 1400 g/m2 (4.6 oz/ft2) condense between the skin and")
    assert "a skin of metal lets no vapour out" in said
    assert "sd 5 m or more between the glass wool and the plywood" in said
    assert "insulates 17% less" in said
    assert "a year later" not in said


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"film": None}, "only drier air inside does"),
        ({"film": None, "film_where": ""}, "Insulation on the skin"),
        ({"left": 0.8}, "800 g/m2 (2.6 oz/ft2) of it is still there a year later"),
        ({"face_humidity": 1.0}, "water runs down the inside face"),
        ({"face_humidity": 0.85}, "85% of humidity"),
    ],
)
def test_what_else_is_said(change, words) -> None:
    assert any(words in text for text in sentences("walls", replace(WET, **change), "si"))


def test_a_little_water_that_dries_is_left_to_the_table() -> None:
    assert sentences("walls", replace(WET, settles=0.05, peak=0.1), "si") == []
