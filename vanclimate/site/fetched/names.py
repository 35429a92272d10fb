"""Names of the files in the store of fetched weather: made of coordinates, source and year only.

What does not belong here: what is inside a file (``entry``).
"""

from __future__ import annotations

import re
from pathlib import Path

from vanclimate.cache import cache_dir
from vanclimate.site.years import TYPICAL

_SLUG = re.compile(r"([ns])([0-9]{1,2}\.[0-9]{3})-([ew])([0-9]{1,3}\.[0-9]{3})")
_ENTRY = re.compile(r"([a-z]{2,12})-([0-9]{4}|typical)\.npz")


def store_dir() -> Path:
    """Return the folder of the store."""
    return cache_dir() / "fetched"


def slug_of(latitude: float, longitude: float) -> str:
    """Return the folder's name of a spot, to a thousandth of a degree.

    >>> slug_of(38.5731, -109.55)
    'n38.573-w109.550'
    """
    north, east = round(latitude, 3) + 0.0, round(longitude, 3) + 0.0
    return f"{'s' if north < 0 else 'n'}{abs(north):.3f}-{'w' if east < 0 else 'e'}{abs(east):.3f}"


def coordinates_of(slug: str) -> tuple[float, float] | None:
    """Return latitude and longitude of a folder's name, or None for another name.

    >>> coordinates_of("n38.573-w109.550")
    (38.573, -109.55)
    """
    match = _SLUG.fullmatch(slug)
    if match is None:
        return None
    north = float(match[2]) * (-1.0 if match[1] == "s" else 1.0)
    return north, float(match[4]) * (-1.0 if match[3] == "w" else 1.0)


def named_entry(path: Path) -> tuple[str, int | None] | None:
    """Return source and year that an entry's file is named after, or None for another file.

    >>> named_entry(Path("power-2019.npz")), named_entry(Path("pvgis-typical.npz"))
    (('power', 2019), ('pvgis', None))
    """
    match = _ENTRY.fullmatch(path.name)
    if match is None:
        return None
    return match[1], None if match[2] == TYPICAL else int(match[2])


def entry_file(slug: str, source: str, year: int | None) -> Path:
    """Return the file of an entry; names that could lead elsewhere are a fault of the caller's."""
    name = f"{source}-{TYPICAL if year is None else f'{year:04d}'}.npz"
    if not (_SLUG.fullmatch(slug) and _ENTRY.fullmatch(name)):
        raise ValueError(f"no name of an entry: {slug}/{name}")
    return store_dir() / slug / name
