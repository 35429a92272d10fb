"""Weather files: opened, unpacked, read through ``formats``, laid on hours, kept by their digest.

What does not belong here: how a format is read, and which file a site's name means (``sites``).
"""

from __future__ import annotations

import gzip
import hashlib
import json
import zlib
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from vanclimate.cache import Arrays, cached_arrays
from vanclimate.errors import WeatherError
from vanclimate.site.clock import FloatArray
from vanclimate.site.record import Record, by_year
from vanclimate.site.table import Hours, Station, Table
from vanclimate.site.weather import Weather

LARGEST_FILE = 300_000_000
"""Bytes, unpacked; a year of hours takes about 2 MB, a year of minutes about 120 MB."""

LARGEST_FOLDER = 600_000_000
"""Bytes, unpacked, of a folder's files together, all of which are in memory while they are read."""

MOST_FILES = 4000
"""Files of a folder that are read as one series."""

_ALLOWED = "a weather file, plain or packed with gzip, or a folder of a station's files"


def read_weather(path: Path, fill: bool = False) -> Weather:
    """Return all that a weather file holds.

    Parameters
    ----------
    path : the file, packed with gzip or not, or a folder of one station's files
    fill : gaps of up to 3 h become straight lines

    Raises
    ------
    WeatherError
        one line that names the file, row and column, what was found and what is allowed
    """
    return read_record(path, fill).whole()


def read_record(path: Path, fill: bool = False, elevation: float | None = None) -> Record:
    """Return what a weather file holds, its real years one at a time.

    Parameters
    ----------
    path, fill : as in `read_weather`
    elevation : height of the station [m], for a file that does not give it

    Notes
    -----
    A file that was read before is taken from the cache by the sha256 of its unpacked content.
    """
    contents = _contents(path)
    several = len(contents) > 1
    digest = _digest(contents)
    file = _File(path, fill, elevation, digest)
    key = (digest, fill, elevation)
    head = cached_arrays("weather", key, file.head)
    meta = json.loads(str(head["meta"]))
    del contents  # not kept with the record

    def load(year: int | None) -> Hours:
        stored = cached_arrays("weather", (*key, year), lambda: file.piece(year))
        arrays: dict[str, FloatArray] = {k: stored[k] for k in stored if k != "start"}
        return Hours(int(stored["start"]), arrays)

    return Record(
        name=meta["name"],
        latitude=meta["latitude"],
        longitude=meta["longitude"],
        elevation=meta["elevation"],
        utc_offset_h=meta["utc_offset_h"],
        source=f"{meta['format']}, {'folder' if several else 'file'} {path.name}",
        digest=digest + f"-{elevation}" * meta["height_given"] + "-filled" * fill,
        load=load,
        years=tuple(meta["years"]),
        source_years=tuple(meta["source_years"]),
        notes=tuple(meta["notes"]),
        licence=meta["licence"],
    )


def read_table(path: Path) -> Table:
    """Return a weather file's checked rows, before they are laid on hours."""
    return _table(_contents(path), str(path))


def _table(contents: list[tuple[str, bytes]], name: str) -> Table:
    from vanclimate.site import formats

    texts = [(file, formats.decode(content, file)) for file, content in contents]
    if len(texts) == 1:
        return formats.read(texts[0][1], texts[0][0])
    return formats.read_many(texts, name)


class _File:
    """A file that is read when something of it is not in the cache, and then once."""

    def __init__(self, path: Path, fill: bool, elevation: float | None, digest: str) -> None:
        self.path, self.fill, self.elevation, self.digest = path, fill, elevation, digest

    @cached_property
    def laid(self) -> tuple[Table, Station, Hours]:
        """The file's rows, its place with what was not in the file, and its hours."""
        from vanclimate.site.hours import lay

        contents = _contents(self.path)
        if _digest(contents) != self.digest:
            raise WeatherError(str(self.path), found="changed meanwhile", allowed="run it again")
        table = _table(contents, str(self.path))
        station, notes = whole_station(table.station, self.elevation)
        hours = lay(replace(table, station=station), str(self.path), self.fill)
        return table, station, replace(hours, notes=(*hours.notes, *notes))

    def head(self) -> Arrays:
        """Return what holds for the whole file, as one JSON text."""
        table, station, hours = self.laid
        offset = station.utc_offset_h or 0.0
        meta: dict[str, Any] = {
            "format": table.format,
            "name": station.name,
            "latitude": station.latitude,
            "longitude": station.longitude,
            "elevation": station.elevation or 0.0,
            "utc_offset_h": offset,
            "years": [] if table.typical else sorted(by_year(hours, offset)),
            "source_years": list(table.years),
            "notes": list(hours.notes),
            "licence": table.licence,
            "height_given": table.station.elevation is None and self.elevation is not None,
        }
        return {"meta": np.array(json.dumps(meta))}

    def piece(self, year: int | None) -> Arrays:
        """Return one year's arrays, or the typical year's."""
        _, station, hours = self.laid
        if year is not None:
            hours = by_year(hours, station.utc_offset_h or 0.0)[year]
        return {**hours.arrays, "start": np.array(hours.start)}


def whole_station(
    station: Station, elevation: float | None = None
) -> tuple[Station, tuple[str, ...]]:
    """Return a place with a time zone and a height, and what had to be assumed.

    A height that the file does not give is ``elevation`` [m], else that of the nearest listed
    place; where there is none either, it stays unknown.
    """
    from vanclimate.site.places import nearest_height, standard_offset

    notes = []
    if station.utc_offset_h is None:
        offset, words = standard_offset(station.latitude, station.longitude)
        station = replace(station, utc_offset_h=offset)
        notes.append(f"the file gives no local time: standard time is that of {words}")
    if station.elevation is None and elevation is None:
        near = nearest_height(station.latitude, station.longitude)
        if near is not None:
            elevation, words = near
            notes.append(f"the file gives no height: {words}; `elevation` under `site` tells it")
    elif station.elevation is None and elevation is not None:
        own = f"{elevation:,.0f} m ({elevation / 0.3048:,.0f} ft)"
        notes.append(f"the file gives no height: the site's own {own} are taken")
    if station.elevation is None:
        station = replace(station, elevation=elevation)
    return station, tuple(notes)


def _digest(contents: list[tuple[str, bytes]]) -> str:
    """Return the sha256 of a file's content, or over those of a folder's files."""
    if len(contents) == 1:
        return hashlib.sha256(contents[0][1]).hexdigest()
    digest = hashlib.sha256()
    for _, content in contents:
        digest.update(hashlib.sha256(content).digest())
    return digest.hexdigest()


def _contents(path: Path) -> list[tuple[str, bytes]]:
    """Return name and unpacked bytes of a file, or of a folder's files in order."""
    name = str(path)
    try:
        if not path.is_dir():
            return [(name, _content(path))]
        files = sorted(p for p in path.iterdir() if p.is_file() and not p.name.startswith("."))
    except (OSError, ValueError) as fault:
        raise _unreadable(name, fault) from fault
    if not files:
        raise WeatherError(name, found="an empty folder", allowed=_ALLOWED)
    if len(files) > MOST_FILES:
        raise WeatherError(name, found=f"{len(files)} files", allowed=f"at most {MOST_FILES}")
    contents, size = [], 0
    for file in files:
        contents.append((str(file), _content(file)))
        size += len(contents[-1][1])
        if size > LARGEST_FOLDER:
            found = f"more than {LARGEST_FOLDER / 1e6:.0f} MB in its files"
            raise WeatherError(name, found=found, allowed="fewer files: a year or two of minutes")
    return contents


def _content(path: Path) -> bytes:
    """Return the unpacked bytes of a file, or say why it cannot be read."""
    name = str(path)
    try:
        if not path.is_file():
            raise WeatherError(name, found="no such file", allowed=_ALLOWED)
        if path.stat().st_size > LARGEST_FILE:
            raise WeatherError(name, found=f"{path.stat().st_size} bytes", allowed=_ALLOWED)
        raw = path.read_bytes()
    except (OSError, ValueError) as fault:
        raise _unreadable(name, fault) from fault
    if raw[:2] == b"\x1f\x8b":
        try:
            with gzip.open(path) as unpacking:
                raw = unpacking.read(LARGEST_FILE + 1)
        except (OSError, EOFError, zlib.error) as fault:
            raise WeatherError(name, found="a damaged gzip file", allowed=_ALLOWED) from fault
        if len(raw) > LARGEST_FILE:
            raise WeatherError(name, found="an endless gzip file", allowed=_ALLOWED)
    return raw


def _unreadable(name: str, fault: OSError | ValueError) -> WeatherError:
    why = fault.strerror if isinstance(fault, OSError) else str(fault)
    return WeatherError(name, found=why or "unreadable", allowed=_ALLOWED)
