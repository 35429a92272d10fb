"""Fetched weather by place: what is kept, found by coordinates or by name, and read.

Listing passes over what it cannot read, and says so; reading does not. What does not belong here:
the files themselves (``entry``), the network (``fetch``).
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from vanclimate.errors import NoYearsError, OptionError, WeatherError
from vanclimate.site.fetched.entry import (
    BrokenEntry,
    Entry,
    Origin,
    broken,
    load,
    read_entry,
    read_whole,
)
from vanclimate.site.fetched.names import coordinates_of, entry_file, named_entry, store_dir
from vanclimate.site.places import distance_km, find_places, fold, parse_coordinates
from vanclimate.site.record import Record, spans
from vanclimate.site.table import Hours
from vanclimate.site.years import TYPICAL, Years, fetch_command, write_years

WITHIN_KM = 15.0
"""As far as fetched weather stands for a spot without a word; assumed, a fraction of the cells of
the services (25 to 50 km; common knowledge)."""

PREFERRED = ("nsrdb", "power", "pvgis")
"""Of several sources for the same years: satellite on 4 km before cells of 50 km, and a series with
humidity before one without."""


@dataclass(frozen=True)
class StoredSeries:
    """What is kept of one spot from one source.

    Attributes
    ----------
    slug, source : the folder and the service's key
    entries : those that can be read, the typical year first
    broken : name of a file and what is wrong with it
    """

    slug: str
    source: str
    entries: tuple[Entry, ...]
    broken: tuple[tuple[str, str], ...] = ()

    @property
    def origin(self) -> Origin | None:
        """Return where the entry fetched last comes from; None where none can be read."""
        return max(self.entries, key=lambda e: e.origin.fetched).origin if self.entries else None

    @property
    def name(self) -> str:
        """Return the place's name, or its coordinates where no entry tells it."""
        if self.origin is not None:
            return self.origin.name
        return f"{self.latitude:.3f}, {self.longitude:.3f}"

    @property
    def latitude(self) -> float:
        """Return the latitude that was asked for, rounded [deg]."""
        return (coordinates_of(self.slug) or (0.0, 0.0))[0]

    @property
    def longitude(self) -> float:
        """Return the longitude that was asked for, rounded [deg]."""
        return (coordinates_of(self.slug) or (0.0, 0.0))[1]

    @property
    def years(self) -> tuple[int, ...]:
        """Return the calendar years that can be read."""
        return tuple(sorted(e.origin.year for e in self.entries if e.origin.year is not None))

    @property
    def has_typical(self) -> bool:
        """Whether a typical year is there."""
        return any(entry.origin.year is None for entry in self.entries)

    @property
    def size(self) -> int:
        """Return the bytes on disk of what can be read."""
        return sum(entry.size for entry in self.entries)

    def load(self, year: int | None) -> Hours:
        """Return the hours of a calendar year, or of the typical one for None.

        Raises
        ------
        WeatherError
            for a year that is not kept, and for an entry that is not as it was written
        """
        entry, hours = load(entry_file(self.slug, self.source, year))
        if all(entry.digest != known.digest for known in self.entries):
            raise WeatherError(str(entry.path), found="changed meanwhile", allowed="run it again")
        return hours


def stored_series(
    within: tuple[float, float, float] | None = None, whole: bool = False
) -> list[StoredSeries]:
    """Return what is kept, by spot and source; a store that cannot be read counts as empty.

    Parameters
    ----------
    within : latitude, longitude [deg] and distance [km] of the spots wanted; None for all
    whole : every entry is read whole and held against its hash, 8 ms a year
    """
    found = []
    for folder in _listed(store_dir()):
        spot = coordinates_of(folder.name)
        if spot is None or (within is not None and _away(spot, *within[:2]) > within[2]):
            continue
        by_source: dict[str, list[Path]] = {}
        for path in _listed(folder):
            named = named_entry(path)
            if named is not None:
                by_source.setdefault(named[0], []).append(path)
        found += [_series(folder.name, source, paths, whole) for source, paths in by_source.items()]
    return found


def _listed(folder: Path) -> list[Path]:
    try:
        return sorted(folder.iterdir())
    except OSError:
        return []


def _series(slug: str, source: str, paths: list[Path], whole: bool) -> StoredSeries:
    entries, faults = [], []
    for path in paths:
        try:
            entries.append(read_whole(path) if whole else read_entry(path))
        except BrokenEntry as fault:
            faults.append((path.name, str(fault)))
    entries.sort(key=lambda entry: entry.origin.year or 0)
    return StoredSeries(slug, source, tuple(entries), tuple(faults))


def _away(spot: tuple[float, float], latitude: float, longitude: float) -> float:
    return float(distance_km(latitude, longitude, np.array(spot[:1]), np.array(spot[1:]))[0])


def find_series(
    latitude: float, longitude: float, within_km: float = WITHIN_KM
) -> list[StoredSeries]:
    """Return what is kept of the spot nearest to a pair of coordinates, one series a source.

    A spot farther away than `within_km` does not count.
    """
    near = stored_series((latitude, longitude, within_km))
    if not near:
        return []
    nearest = min(near, key=lambda s: _away((s.latitude, s.longitude), latitude, longitude)).slug
    return [series for series in near if series.slug == nearest]


def find_by_name(text: str) -> list[StoredSeries]:
    """Return what is kept of a place by its name, one series a source.

    Parameters
    ----------
    text : ``Moab, Utah`` as the series is named, its town alone, or another way to write the town
        that the gazetteer knows

    Raises
    ------
    OptionError
        where places of that name are kept that lie apart
    """
    wanted = fold(text[:200])
    kept = stored_series()
    found = [s for s in kept if wanted == fold(s.name)]
    found = found or [s for s in kept if wanted and wanted == fold(s.name.split(",")[0])]
    names = sorted({s.name for s in found})
    if len(names) > 1:
        raise OptionError("place", text, "one place", f"say which: {'; '.join(names[:8])}")
    if not found and kept:
        places = find_places(text)
        if len(places) == 1:
            return find_series(places[0].latitude, places[0].longitude)
    # a series whose every entry is broken has no name of its own, but it stands in the same folder
    return [s for s in kept if found and s.slug == found[0].slug]


def fetched_record(text: str, years: Years | None) -> Record | None:
    """Return what was fetched for coordinates or a town, or None where there is nothing.

    Parameters
    ----------
    text : coordinates, or a name
    years : 'typical', or calendar years; None takes the typical year where there is one, else all

    Raises
    ------
    WeatherError
        where other years were fetched than those asked for, and for a broken entry among them
    """
    pair = parse_coordinates(text)
    found = find_series(*pair) if pair else find_by_name(text)
    if not found:
        return None
    wanted = years
    if wanted is None and any(_typical_kept(series) for series in found):
        wanted = TYPICAL
    return _record(_best(found, wanted), wanted)


def _typical_kept(series: StoredSeries) -> bool:
    return series.has_typical or any(TYPICAL in name for name, _ in series.broken)


def _best(found: list[StoredSeries], years: Years | None) -> StoredSeries:
    """Return the series that holds the most of the years, by `PREFERRED` where several do."""

    def rank(series: StoredSeries) -> tuple[int, int]:
        order = PREFERRED.index(series.source) if series.source in PREFERRED else len(PREFERRED)
        if years == TYPICAL:
            return -int(_typical_kept(series)), order
        held = set(series.years) if years is None else set(series.years) & set(years)
        return -len(held), order

    return min(found, key=rank)


def _record(series: StoredSeries, years: Years | None) -> Record:
    """Return a series as a record of the typical year, or of its calendar years."""
    absent: list[str] = []
    for name, why in series.broken:
        path = store_dir() / series.slug / name
        named = named_entry(path)
        assert named is not None, name
        year = TYPICAL if named[1] is None else named[1]
        if years is None or year == years or (not isinstance(years, str) and year in years):
            raise broken(path, why)
        if isinstance(years, tuple) and year != TYPICAL:
            absent.append(f"{name} of the store is broken ({why}): its days count as missing")
    typical = years == TYPICAL
    # years not asked for still give the days before and after those that are
    chosen = [e for e in series.entries if (e.origin.year is None) == typical]
    missing = _missing(series, years)
    if missing:
        hint = fetch_command(series.name, missing, f"--source {series.source}")
        if missing == TYPICAL:  # not every service has one
            hint = fetch_command(series.name, TYPICAL)
        held = [TYPICAL] * series.has_typical + [spans(series.years)] * bool(series.years)
        allowed = f"what was fetched: {', '.join(held)}"
        found = "no typical year" if missing == TYPICAL else f"no years {missing}"
        raise NoYearsError(series.name, found=found, allowed=allowed, hint=hint)
    origin = chosen[-1].origin
    digest = hashlib.sha256(" ".join(entry.digest for entry in chosen).encode()).hexdigest()
    at = f"{origin.grid_latitude:.2f}, {origin.grid_longitude:.2f}"
    return Record(
        name=origin.name,
        latitude=origin.latitude,
        longitude=origin.longitude,
        elevation=origin.grid_elevation,
        utc_offset_h=origin.utc_offset_h,
        source=f"{origin.service} at {at}, fetched {origin.fetched}",
        digest=digest,
        load=series.load,
        years=tuple(e.origin.year for e in chosen if e.origin.year is not None),
        source_years=origin.source_years,
        notes=tuple(absent),
        licence=origin.licence,
        place_elevation=origin.elevation,
        asked=years if isinstance(years, tuple) else (),
    )


def _missing(series: StoredSeries, years: Years | None) -> str:
    """Return the years asked for that are not kept, as they are typed; '' where all are."""
    if years is None:
        return "" if series.years else TYPICAL
    if isinstance(years, str):
        return "" if series.has_typical else TYPICAL
    return write_years(tuple(year for year in years if year not in series.years))
