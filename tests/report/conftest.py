from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from vanclimate.answers.night import Night
from vanclimate.answers.night import night as answer_for
from vanclimate.cache import data_path
from vanclimate.van.reading import load


@pytest.fixture(scope="session")
def demo() -> Night:
    return answer_for(load(data_path("scenarios", "holds.yaml")))


@pytest.fixture(scope="session")
def with_result() -> Any:
    """Change the main way's result, in the answer and in the season's survey alike."""

    def change(night: Night, **values: Any) -> Night:
        ways = tuple(replace(w, **values) if w.way == night.main else w for w in night.ways)
        nights = tuple(
            replace(n, result=replace(n.result, **values)) if n.bedtime == night.bedtime else n
            for n in night.nights
        )
        return replace(night, ways=ways, nights=nights)

    return change
