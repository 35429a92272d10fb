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
"""Bytes, unpacked; a year of hours takes about 2 MB, a year of minutes 60 MB."""

MOST_FILES = 4000
"""Files of a folder that are read as one series: ten years of days."""

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
    digest = _digest([content for _, content in contents])
    file = _File(path, fill, elevation)
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

    def __init__(self, path: Path, fill: bool, elevation: float | None) -> None:
        self.path, self.fill, self.elevation = path, fill, elevation

    @cached_property
    def laid(self) -> tuple[Table, Station, Hours]:
        """The file's rows, its place with what was not in the file, and its hours."""
        from vanclimate.site.hours import lay

        table = read_table(self.path)
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
            "elevation": station.elevation,
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

    ``elevation`` [m] is the station's where the file does not give it.
    """
    from vanclimate.site.places import standard_offset

    notes = []
    if station.utc_offset_h is None:
        offset, words = standard_offset(station.latitude, station.longitude)
        station = replace(station, utc_offset_h=offset)
        notes.append(f"the file gives no local time: standard time is that of {words}")
    if station.elevation is None and elevation is None:
        notes.append("the file gives no height: sea level is assumed, unless `elevation` tells it")
    if station.elevation is None:
        station = replace(station, elevation=elevation or 0.0)
    return station, tuple(notes)


def _digest(contents: list[bytes]) -> str:
    digest = hashlib.sha256()
    for content in contents:
        digest.update(content)
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
    contents = [(str(file), _content(file)) for file in files]
    if sum(len(content) for _, content in contents) > LARGEST_FILE:
        raise WeatherError(name, found="files too large together", allowed=_ALLOWED)
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
