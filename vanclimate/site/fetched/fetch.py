"""Weather brought from an open service into the store.

One request a year, each kept as soon as it is whole, so that an interrupted fetch goes on where it
stopped. What does not belong here: the request (``download``), queries (``services``), reading of a
reply (``formats``, the same as of a file by hand), files (``entry``).
"""

from __future__ import annotations

import calendar
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np

from vanclimate.errors import FetchError, OptionError
from vanclimate.site.clock import HOURS_OF_YEAR, FloatArray, month_of_hour
from vanclimate.site.fetched.download import Limits, get, mask
from vanclimate.site.fetched.entry import Origin, load, save
from vanclimate.site.fetched.names import entry_file, slug_of
from vanclimate.site.fetched.services import PVGIS, Request, Service, service_for
from vanclimate.site.hours import lay
from vanclimate.site.places import PlaceFound
from vanclimate.site.table import Hours, Table
from vanclimate.site.years import NOMINAL_YEAR, Years

MOST_YEARS = 60
FARTHEST_CELL = 1.5
"""Degrees by which a reply's place may differ from the one asked for; the widest cells are 1 degree
(common knowledge)."""

OPTIONAL = ("cloud_total", "cloud_opaque", "ceiling", "longwave", "wind_direction")
"""Quantities that are left out where they have gaps; all others must be whole."""

_HINT = "other years, or another --source"


@dataclass(frozen=True)
class Fetched:
    """A year (None: the typical one) in the store; ``stored_before``: nothing was downloaded."""

    year: int | None
    source: str
    path: Path
    stored_before: bool
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Errand:
    """A place, the service, and how to ask it."""

    place: PlaceFound
    service: Service
    refresh: bool
    progress: Callable[[str], None]
    base: str | None = None
    limits: Limits = field(default_factory=Limits)
    sleep: Callable[[float], None] = time.sleep

    def label(self, year: int | None) -> str:
        what = "typical year" if year is None else str(year)
        return f"{self.service.name}, {self.place.name}, {what}"


def fetch(
    place: PlaceFound,
    years: Years,
    source: str | None = None,
    *,
    refresh: bool = False,
    progress: Callable[[str], None] = lambda line: None,
    today: date | None = None,
    base: str | None = None,
    limits: Limits | None = None,
    sleep: Callable[[float], None] = time.sleep,
) -> list[Fetched]:
    """Bring years, or a typical year, of a place into the store.

    Parameters
    ----------
    place : from `places.locate`
    years : 'typical', or calendar years
    source : key of a service; None: PVGIS's typical year, or NASA POWER's years
    refresh : download what is stored already, and put it in its place
    progress : is told one line a year
    today : for tests; the last years on offer depend on it
    base, limits, sleep : for tests

    Raises
    ------
    OptionError
        for years that the service does not hold, and where a key is missing
    FetchError
        where the service gave none, or a year that is not whole; years before it are kept
    WeatherError
        for a broken entry in the store, which only `refresh` replaces
    """
    typical = isinstance(years, str)
    wanted: list[int | None] = [None] if isinstance(years, str) else list(years)
    service = service_for(source, typical)
    if not wanted or len(wanted) > MOST_YEARS:
        raise OptionError("years", f"{len(wanted)} years", f"1 to {MOST_YEARS} years at a time")
    service.check_years(tuple(y for y in wanted if y is not None), today or date.today())
    errand = _Errand(place, service, refresh, progress, base, limits or Limits(), sleep)
    return [_one(errand, year) for year in wanted]


def _one(errand: _Errand, year: int | None) -> Fetched:
    """Bring one year, or find it in the store."""
    stored = None if errand.refresh else _stored(errand, year)
    if stored is not None:
        return stored
    request = errand.service.request_for(
        errand.place.latitude, errand.place.longitude, year, errand.base
    )
    errand.progress(f"{errand.label(year)}: fetching")
    table = _table(errand, request, year)
    if not {"temp_dew", "relative_humidity"} & set(table.columns):
        table = _with_dew_point(errand, table)
    hours = _checked(errand, lay(table, errand.label(year)), year)
    path = save(_origin(errand, request, table, year), hours)
    errand.progress(f"{errand.label(year)}: kept")
    return Fetched(year, errand.service.key, path, False, hours.notes)


def _stored(errand: _Errand, year: int | None) -> Fetched | None:
    slug = slug_of(errand.place.latitude, errand.place.longitude)
    path = entry_file(slug, errand.service.key, year)
    if not path.is_symlink() and not path.exists():
        return None
    entry, hours = load(path)
    errand.progress(f"{errand.label(year)}: already stored, fetched {entry.origin.fetched}")
    return Fetched(year, errand.service.key, path, True, hours.notes)


def _table(errand: _Errand, request: Request, year: int | None) -> Table:
    """Download and read a year, and refuse one that is not what was asked for, or not whole."""
    from vanclimate.site import formats

    service = errand.service.name
    body = get(
        request.url,
        request.params,
        errand.limits,
        service=service,
        accept=request.accept,
        hide=request.hide,
        sleep=errand.sleep,
    )
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = ""
    if not text:
        raise FetchError(service, "the reply is no text")
    # a reply may echo the query, and a reader's message the reply
    table = formats.read(mask(text, request.hide), errand.label(year))
    if not table.format.startswith(service):
        raise FetchError(service, f"the reply is in another format, {table.format}")
    _check_place(errand, table)
    if table.typical != (year is None):
        raise FetchError(service, "the reply is of another kind of year than was asked for")
    return _whole(errand, table, year)


def _check_place(errand: _Errand, table: Table) -> None:
    place, station = errand.place, table.station
    north = abs(station.latitude - place.latitude)
    east = abs((station.longitude - place.longitude + 180.0) % 360.0 - 180.0)
    if not max(north, east) <= FARTHEST_CELL:
        at = f"{station.latitude:.2f}, {station.longitude:.2f}"
        raise FetchError(errand.service.name, f"the reply is of another place, {at}")


def _hours_of(year: int | None) -> int:
    return HOURS_OF_YEAR + (24 if year is not None and calendar.isleap(year) else 0)


def _whole(errand: _Errand, table: Table, year: int | None) -> Table:
    """Return the table without optional columns that have gaps; refuse gaps in all others."""
    rows = round(_hours_of(year) * 3600 / table.step)
    if len(table.start) != rows:
        missing = (rows - len(table.start)) * table.step / 3600.0
        what = f"{missing:g} of {_hours_of(year)} hours are missing"
        if missing < 0.0:
            what = f"it holds {len(table.start)} rows, expected {rows}"
        raise FetchError(errand.label(year), what, _HINT)
    begin = _new_year(year)
    if abs(float(table.start[0]) - begin) > 86_400.0:
        first = datetime.fromtimestamp(float(table.start[0]), UTC)
        raise FetchError(errand.label(year), f"the reply begins at {first:%Y-%m-%d}", _HINT)
    columns, notes = dict(table.columns), list(table.notes)
    if "temp_dew" in columns and not np.isnan(columns["temp_dew"]).any():
        columns.pop("relative_humidity", None)
    for quantity, values in table.columns.items():
        gaps = np.isnan(values)
        if not gaps.any() or quantity not in columns:
            continue
        hours = gaps.sum() * table.step / 3600.0
        name = table.name_of(quantity)
        if quantity not in OPTIONAL:
            first = datetime.fromtimestamp(float(table.start[int(np.argmax(gaps))]), UTC)
            what = f"{hours:g} hours without {name}, the first {first:%Y-%m-%d %H:%M} UTC"
            raise FetchError(errand.label(year), what, _HINT)
        del columns[quantity]
        notes.append(f"{name} is left out: {hours:g} hours of it are missing")
    return replace(table, columns=columns, notes=tuple(notes))


def _new_year(year: int | None) -> float:
    return datetime(NOMINAL_YEAR if year is None else year, 1, 1, tzinfo=UTC).timestamp()


def _checked(errand: _Errand, hours: Hours, year: int | None) -> Hours:
    """Refuse hours that do not fill the year, or hold what is no number."""
    expected = _hours_of(year)
    if not expected - 1 <= hours.n <= expected:
        what = f"{hours.n} of {expected} hours could be laid out"
        raise FetchError(errand.label(year), what, _HINT)
    for name, values in hours.arrays.items():
        bad = np.isnan(values) if name == "ceiling" else ~np.isfinite(values)
        if bad.any():
            raise FetchError(errand.label(year), f"{bad.sum()} hours without {name}", _HINT)
    return hours


def _with_dew_point(errand: _Errand, table: Table) -> Table:
    """Return a table without humidity with the dew point of each month of the typical year.

    The typical year of the same spot and service is fetched and kept for it where it is not yet.
    """
    from vanclimate.site.complete import with_monthly_dew_point

    if errand.service.key != PVGIS.key:
        raise FetchError(errand.service.name, "the reply holds no humidity")
    errand.progress(f"{errand.service.name} has no humidity in real years: its typical year serves")
    # not one of the years asked for, so its own lines are not told
    fetched = _one(replace(errand, refresh=False, progress=lambda line: None), None)
    _, hours = load(fetched.path)
    words = f"the typical year of {errand.service.name}"
    return with_monthly_dew_point(table, monthly_dew_point(hours), words)


def monthly_dew_point(hours: Hours) -> FloatArray:
    """Return the mean dew point of each month of a typical year, January first, shape (12,) [°C].

    Months are those of UTC: the series begins with the year there, or within a day of it.
    """
    dew, months = hours.arrays["temp_dew"][:HOURS_OF_YEAR], month_of_hour()
    means = [float(dew[months == month].mean()) for month in range(1, 13)]
    return np.array(means, dtype=np.float64)


def _origin(errand: _Errand, request: Request, table: Table, year: int | None) -> Origin:
    place, station = errand.place, table.station
    elevation = station.elevation if station.elevation is not None else place.elevation
    if elevation is None:
        raise FetchError(errand.service.name, "the reply holds no height, nor is the place's known")
    return Origin(
        name=place.name,
        latitude=place.latitude,
        longitude=place.longitude,
        elevation=place.elevation,
        utc_offset_h=place.utc_offset_h,
        zone=place.zone,
        source=errand.service.key,
        service=errand.service.name,
        year=year,
        format=table.format,
        query=request.public,
        fetched=datetime.now(UTC).date().isoformat(),
        licence=table.licence,
        grid_latitude=station.latitude,
        grid_longitude=station.longitude,
        grid_elevation=float(elevation),
        source_years=table.years,
    )
