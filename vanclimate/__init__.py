"""Thermal and climate loads of a camper van: does the air conditioner get through the night?

    import vanclimate as vc
    answer = vc.night(vc.load("my-van.yaml"))
    answer.holds, answer.trace

Names are fetched on first use, so that the command line starts quickly.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vanclimate.answers.night import Night, night
    from vanclimate.errors import OptionError, SheetError, VanclimateError, WeatherError
    from vanclimate.site.designday import design_day
    from vanclimate.site.readers import read_weather
    from vanclimate.van.reading import load
    from vanclimate.van.sheet import Sheet

__version__ = "0.1.0"

_HOME = {
    "Night": "answers.night",
    "OptionError": "errors",
    "Sheet": "van.sheet",
    "SheetError": "errors",
    "VanclimateError": "errors",
    "WeatherError": "errors",
    "design_day": "site.designday",
    "load": "van.reading",
    "night": "answers.night",
    "read_weather": "site.readers",
}

__all__ = [
    "Night",
    "OptionError",
    "Sheet",
    "SheetError",
    "VanclimateError",
    "WeatherError",
    "design_day",
    "load",
    "night",
    "read_weather",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
