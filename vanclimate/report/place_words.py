"""Where an answer's van stands, in sentences: place, source, clock and heading.

What does not belong here: what another sky or spot is worth (words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from vanclimate.report.numbers import compass, height, place_of, utc_offset

if TYPE_CHECKING:
    from vanclimate.answers.season import Season
    from vanclimate.site.weather import Weather
    from vanclimate.units import System
    from vanclimate.van.sheet import Sheet


class Placed(Protocol):
    """What an answer must hold for its place to be told."""

    @property
    def sheet(self) -> Sheet:
        """The van."""

    @property
    def season(self) -> Season:
        """All spells asked about."""

    @property
    def weather(self) -> Weather:
        """Of the spell that the verdict is about."""

    @property
    def heading(self) -> float:
        """Of the nose [deg]."""


def heading_words(answer: Placed) -> str:
    """Return which way the van's nose points."""
    return nose_words(answer.heading, answer.sheet)


def nose_words(heading: float, sheet: Sheet, on: str = "") -> str:
    """Return which way the nose points, and, where the sheet does not say, what that is worst on.

    Parameters
    ----------
    heading : of the nose [deg]
    sheet : the van
    on : ' on that night', or '' for all that is asked about
    """
    where = compass(heading)
    if sheet.heading is None:
        return f"worst of eight{on}: {where}, as your sheet gives no heading"
    return f"{where} ({heading:.0f}° clockwise from north)"


def place_line(answer: Placed, system: System) -> str:
    """Return the place and its source."""
    years = answer.season.years
    period = f"hours measured or modelled in {answer.season.years_words}" if years else ""
    return weather_line(answer.weather, system, period)


def weather_line(weather: Weather, system: System, period: str = "") -> str:
    """Return a weather's place, source and period, its own unless another is given."""
    where = place_of(weather.latitude, weather.longitude)
    at = f"{where}, {height(weather.elevation, system)}"
    return f"{name_of(weather)} ({at}); {weather.source}; {period or weather.period}"


def name_of(weather: Weather) -> str:
    """Return a weather's name, of one that nobody measured with a warning."""
    return f"{'SYNTHETIC, not measured: ' if weather.synthetic else ''}{weather.name}"


def no_year(weather: Weather) -> bool:
    """Return whether a day in some weather has no year to show."""
    return weather.typical or weather.synthetic


def licence_line(answer: Placed) -> str:
    """Return under which terms the weather is given, or ''."""
    return answer.weather.licence


def clock_line(answer: Placed) -> str:
    """Return the convention of the clock."""
    zone = utc_offset(answer.weather.utc_offset_h)
    return (
        f"local standard time, {zone}, no daylight saving: in summer, clocks that were put "
        "forward show an hour more"
    )
