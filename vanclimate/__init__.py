"""Thermal and climate loads of a camper van, and the answers to what its client asks.

    import vanclimate as vc
    answer = vc.night(vc.load("my-van.yaml"))
    answer.holds, answer.trace

Names are fetched on first use, so that the command line starts quickly.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from vanclimate.answers.shown import Shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.answers.coast.answer import Coast, coast
    from vanclimate.answers.last import Last, last
    from vanclimate.answers.night import Night, night
    from vanclimate.answers.size.answer import Size, size
    from vanclimate.answers.stacks.answer import Stacks, stacks
    from vanclimate.answers.trip.answer import Trip, trip
    from vanclimate.errors import OptionError, SheetError, VanclimateError, WeatherError
    from vanclimate.site.designday import design_day
    from vanclimate.site.readers import read_weather
    from vanclimate.van.reading import load
    from vanclimate.van.sheet import Sheet

__version__ = "0.9.0"

_HOME = {
    "Coast": "answers.coast.answer",
    "Last": "answers.last",
    "Night": "answers.night",
    "OptionError": "errors",
    "Sheet": "van.sheet",
    "SheetError": "errors",
    "Size": "answers.size.answer",
    "Stacks": "answers.stacks.answer",
    "Trip": "answers.trip.answer",
    "VanclimateError": "errors",
    "WeatherError": "errors",
    "coast": "answers.coast.answer",
    "design_day": "site.designday",
    "last": "answers.last",
    "load": "van.reading",
    "night": "answers.night",
    "read_weather": "site.readers",
    "size": "answers.size.answer",
    "stacks": "answers.stacks.answer",
    "trip": "answers.trip.answer",
}

__all__ = [
    "Coast",
    "Last",
    "Night",
    "OptionError",
    "Sheet",
    "SheetError",
    "Size",
    "Stacks",
    "Trip",
    "VanclimateError",
    "WeatherError",
    "coast",
    "design_day",
    "last",
    "load",
    "night",
    "read_weather",
    "size",
    "stacks",
    "trip",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)


def _html(answer: Any) -> str:
    from vanclimate.page.notebook import html

    return html(answer)


def _chart(answer: Any, width: float) -> Figure:
    from vanclimate.page.notebook import chart

    return chart(answer, width)


Shown.as_html, Shown.as_chart = _html, _chart  # the page stands above the answers
