"""Weather files: found, checked row by row, read through pvlib, and kept by their digest.

Formats: TMY2 (Marion & Urban 1995, doi:10.2172/87130, table 3-1) and TMY3 (Wilcox & Marion 2008,
doi:10.2172/928611, table 1-3), plain or packed with gzip. Both stamp the END of the hour: radiation
is the sum over the hour before the stamp, the other quantities are read at the stamp. So row i
gives the means of hour i and the point values of edge i+1.

What does not belong here: any filling of gaps. A file with a hole is refused.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import zlib
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from vanclimate.cache import Arrays, cached_arrays, data_path
from vanclimate.errors import UnknownSiteError, WeatherError, near
from vanclimate.site import formats
from vanclimate.site.clock import HOURS_OF_YEAR, nominal_start
from vanclimate.site.weather import MEANS, POINTS, Weather

LARGEST_FILE = 50_000_000
"""Bytes, unpacked; a year of hours takes about 2 MB."""

_ALLOWED = "a TMY2 or TMY3 weather file, plain or packed with gzip"


def read_weather(path: Path) -> Weather:
    """Return the typical year in a TMY2 or TMY3 file.

    Parameters
    ----------
    path : the file; packed with gzip or not

    Raises
    ------
    WeatherError
        one line that names the file, row and column, what was found and what is allowed

    Notes
    -----
    A file that was read before is taken from the cache by the sha256 of its unpacked content.
    """
    content = _content(path)
    digest = hashlib.sha256(content).hexdigest()
    stored = cached_arrays("weather", (digest,), lambda: _parse(content, str(path)))
    meta = json.loads(str(stored["meta"]))
    return Weather(
        name=meta["name"],
        latitude=meta["latitude"],
        longitude=meta["longitude"],
        elevation=meta["elevation"],
        utc_offset_h=meta["utc_offset_h"],
        source=f"{meta['format']} typical year, station {meta['station']}, file {path.name}",
        period=f"typical year, months from {min(meta['years'])}–{max(meta['years'])}",
        typical=True,
        synthetic=False,
        notes=tuple(meta["notes"]),
        digest=digest,
        start=nominal_start(meta["utc_offset_h"]),
        n=HOURS_OF_YEAR,
        source_years=tuple(meta["years"]),
        **{name: stored[name] for name in (*POINTS, *MEANS)},
    )


def _content(path: Path) -> bytes:
    """Return the unpacked bytes of a file, or say why it cannot be read."""
    name = str(path)
    try:
        if path.is_dir():
            raise WeatherError(name, found="a folder", allowed=_ALLOWED)
        if not path.is_file():
            raise WeatherError(name, found="no such file", allowed=_ALLOWED)
        if path.stat().st_size > LARGEST_FILE:
            raise WeatherError(name, found=f"{path.stat().st_size} bytes", allowed=_ALLOWED)
        raw = path.read_bytes()
    except (OSError, ValueError) as fault:
        why = fault.strerror if isinstance(fault, OSError) else str(fault)
        raise WeatherError(name, found=why or "unreadable", allowed=_ALLOWED) from fault
    if raw[:2] == b"\x1f\x8b":
        try:
            with gzip.open(path) as unpacking:
                raw = unpacking.read(LARGEST_FILE + 1)
        except (OSError, EOFError, zlib.error) as fault:
            raise WeatherError(name, found="a damaged gzip file", allowed=_ALLOWED) from fault
        if len(raw) > LARGEST_FILE:
            raise WeatherError(name, found="an endless gzip file", allowed=_ALLOWED)
    return raw


def _parse(content: bytes, name: str) -> Arrays:
    """Check and read a whole file; the arrays and one JSON text are what the cache keeps."""
    if not content.strip():
        raise WeatherError(name, found="an empty file", allowed=_ALLOWED)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise WeatherError(name, found="binary data", allowed=_ALLOWED) from fault
    if "\0" in text:
        raise WeatherError(name, found="binary data", allowed=_ALLOWED)
    layout = formats.detect(text)
    if layout is None:
        first = text.splitlines()[0] if text.splitlines() else ""
        raise WeatherError(name, 1, found=first, allowed=f"the first line of {_ALLOWED}")
    table = layout(text, name)
    return _to_arrays(table)


def _to_arrays(table: formats.Table) -> Arrays:
    """Lay the checked rows on edges and hours; say what was clipped or unknown."""
    rows, notes = dict(table.columns), []
    above = rows["temp_dew"] > rows["temp_air"]
    if above.any():
        rows["temp_dew"] = np.minimum(rows["temp_dew"], rows["temp_air"])
        notes.append(f"dew point above dry bulb by 0.5 K or less in {above.sum()} rows: clipped")
    unknown = rows.pop("ceiling_unknown") > 0
    if unknown.any():
        notes.append(f"cloud base unknown in {unknown.sum()} rows")
    # the stamp ends the hour: row i sits at edge i+1, and the last row is also the first edge
    arrays: Arrays = {name: np.concatenate((rows[name][-1:], rows[name])) for name in POINTS}
    arrays |= {name: rows[name] for name in MEANS}
    meta: dict[str, Any] = {**table.meta, "years": table.years, "notes": notes}
    arrays["meta"] = np.array(json.dumps(meta))
    return arrays


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
    """Return the weather of a shipped site or of a file.

    Parameters
    ----------
    text : ``miami``, ``Sand Point``, ``sand-point``, or the path of a weather file
    base : folder that a relative path starts from, as a rule the sheet's; else the current one

    Raises
    ------
    WeatherError
        for an unknown name, with the near spelling, and for a bad file
    """
    wanted = _plain(text)
    for site in _index():
        if wanted in (_plain(site["key"]), _plain(site["name"])):
            weather = read_weather(data_path("weather", site["file"]))
            if weather.digest != site["sha256"]:
                raise WeatherError(site["file"], found="altered content", allowed="as shipped")
            return replace(weather, name=site["name"])
    path = Path(text).expanduser() if wanted else Path()
    path = (base or Path()) / path
    looks_like_path = "/" in text or "\\" in text or bool(Path(text).suffix)
    if wanted and (looks_like_path or _exists(path)):
        return read_weather(path)
    names = [site["key"] for site in _index()]
    allowed = f"{', '.join(names)}, or the path of a weather file"
    raise UnknownSiteError("site", found=text, allowed=allowed, hint=near(wanted, names))


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").replace(",", " ").split())


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False
