"""Which weather a site's name means: shipped, a file, coordinates, or a place that was fetched.

Nothing here touches the network: a place that has not been fetched is refused, with what to type.
What does not belong here: files (``readers``), the store (``store``), the gazetteer (``places``).
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from vanclimate.cache import data_path
from vanclimate.errors import NoYearsError, UnknownSiteError, WeatherError, near
from vanclimate.site.readers import read_record
from vanclimate.site.record import Record, spans
from vanclimate.site.weather import Weather
from vanclimate.site.years import TYPICAL, Years, fetch_command, write_years


@lru_cache(maxsize=1)
def _index() -> tuple[dict[str, str], ...]:
    listed = json.loads(data_path("weather", "sites.json").read_text(encoding="utf-8"))
    return tuple(listed["sites"])


def shipped_sites() -> dict[str, Path]:
    """Return the file of each site that comes with the package, by its key.

    >>> sorted(shipped_sites())
    ['greensboro', 'miami', 'sand point']
    """
    return {site["key"]: data_path("weather", site["file"]) for site in _index()}


def find_site(text: str, base: Path | None = None) -> Weather:
    """Return all the weather of a site, see `find_record`."""
    return find_record(text, base).whole()


def find_record(
    text: str,
    base: Path | None = None,
    years: Years | None = None,
    fill: bool = False,
    elevation: float | None = None,
) -> Record:
    """Return what is known of a site's weather.

    Parameters
    ----------
    text : ``miami``, ``Sand Point``; the path of a weather file or of a folder of them; a pair of
        coordinates such as ``38.57, -109.55``; or a town that was fetched
    base : folder that a relative path starts from, as a rule the sheet's; else the current one
    years : 'typical', or calendar years; None takes the typical year where there is one, else all
    fill : of a file, gaps of up to 3 h become straight lines
    elevation : of the site [m], which is a file's own where the file does not give it

    Raises
    ------
    UnknownSiteError
        for a name that is none of these, with the near spelling and what to type
    WeatherError
        for a bad file, and for years that the site does not have
    """
    shipped = _shipped(text)
    if shipped is not None:
        # real years of a shipped place's town may have been fetched
        other = _fetched(shipped.name, years) if isinstance(years, tuple) else None
        return other or _of_years(shipped, years)
    wanted = _plain(text)
    path = (base or Path()) / (Path(text).expanduser() if wanted else Path())
    if wanted and _exists(path):
        return _of_years(read_record(path, fill, elevation), years)
    if wanted and (found := _fetched(text, years)) is not None:
        return found
    if wanted and _looks_like_path(text):
        return _of_years(read_record(path, fill, elevation), years)
    raise _unknown(text, wanted, years)


def _shipped(text: str) -> Record | None:
    wanted = _plain(text)
    for site in _index():
        if wanted in (_plain(site["key"]), _plain(site["name"])):
            record = read_record(data_path("weather", site["file"]))
            if record.digest != site["sha256"]:
                raise WeatherError(site["file"], found="altered content", allowed="as shipped")
            return replace(record, name=site["name"])
    return None


def _of_years(record: Record, years: Years | None) -> Record:
    """Return a record with the years asked for, or say what it has."""
    if years is None:
        return record
    if years == TYPICAL:
        if record.typical:
            return record
        allowed = f"its years, {spans(record.years)}"
        raise NoYearsError(record.name, found="no typical year", allowed=allowed)
    assert not isinstance(years, str)
    try:
        return record.chosen(years)
    except NoYearsError as fault:
        raise NoYearsError(
            record.name, found=fault.found, allowed=fault.allowed,
            hint=_how_to_fetch(record.name, years) if record.typical else "",
        ) from None  # fmt: skip


def _fetched(text: str, years: Years | None) -> Record | None:
    """Return what was fetched for coordinates or a town, or None."""
    from vanclimate.site.fetched.store import fetched_record

    return fetched_record(text, years)


def _unknown(text: str, wanted: str, years: Years | None) -> UnknownSiteError:
    """Return the error for a site that is not there, with what to type instead."""
    names = [site["key"] for site in _index()]
    allowed = f"{', '.join(names)}, a weather file, a place that was fetched, or a design day"
    if not wanted:
        return UnknownSiteError("site", found=text, allowed=allowed)
    hint = near(wanted, names) or _KEYS.get(wanted, "")
    if not hint:
        hint = _how_to_fetch(text, years)
    return UnknownSiteError("site", found=text, allowed=allowed, hint=hint)


_KEYS = {
    "typical": "a site is a place; under `site`, `place:` and `years: typical`",
    "design day": "`design day:` stands under `site`, with its low and high",
    "design week": "`design week:` stands under `site`, with its lows and highs",
}


def _how_to_fetch(text: str, years: Years | None) -> str:
    from vanclimate.errors import OptionError
    from vanclimate.site.places import locate

    if len(text) > 80:
        return ""
    span = TYPICAL if years is None else write_years(years)
    try:
        place = locate(text)
    except OptionError as fault:
        return fault.hint
    return f"not fetched yet; with a network: {fetch_command(place.name, span)}"


def _looks_like_path(text: str) -> bool:
    # 'St. John' and '38.57, -109.55' have dots too
    suffix = re.fullmatch(r"\.[A-Za-z][A-Za-z0-9]{0,4}", Path(text).suffix)
    return "/" in text or "\\" in text or suffix is not None


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").replace(",", " ").split())


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False
