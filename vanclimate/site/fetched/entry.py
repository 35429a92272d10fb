"""One year of fetched weather on disk: written whole, read with suspicion.

One entry is one file, written under another name and moved into place; names of files come from
coordinates, never from a user's text. Whatever is wrong with an entry is said, and the entry is
left as it is. What does not belong here: the network, and which entries make a place (``store``).
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import stat
import struct
import tempfile
import time
import tokenize
import zipfile
import zlib
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, BinaryIO, TypeVar

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.clock import HOURS_OF_YEAR, FloatArray
from vanclimate.site.fetched.names import (
    coordinates_of,
    entry_file,
    named_entry,
    slug_of,
    store_dir,
)
from vanclimate.site.table import Hours
from vanclimate.site.weather import MEANS, POINTS
from vanclimate.site.years import TYPICAL, fetch_command

Read = TypeVar("Read")

SCHEMA = 1
LARGEST_ENTRY = 20_000_000
"""Bytes; a year of hours takes less than one million."""

_META = "meta.json"
_TEXTS = ("name", "zone", "source", "service", "format", "fetched", "licence")
_NUMBERS = {
    "latitude": 90.0,
    "longitude": 180.0,
    "utc_offset_h": 15.0,
    "grid_latitude": 90.0,
    "grid_longitude": 360.0,
    "grid_elevation": 9000.0,
}
_STALE = 86_400.0  # s after which an unfinished file belongs to no running process

# what reading a file raises that was cut short, altered or made by somebody else
_FAULTS = (
    OSError, ValueError, KeyError, TypeError, EOFError, RuntimeError, NotImplementedError,
    RecursionError, MemoryError, OverflowError, SyntaxError, tokenize.TokenError,
    zipfile.BadZipFile, zlib.error, struct.error,
)  # fmt: skip


class BrokenEntry(Exception):
    """Why an entry is not read, in a few words."""


@dataclass(frozen=True)
class Origin:
    """Where an entry comes from.

    Attributes
    ----------
    name : of the place
    latitude, longitude : asked for [deg]
    elevation : of the place [m], or None
    utc_offset_h : standard time's lead over UTC [h]; ``zone`` says in words where it is from
    source, service : key and name of the data service
    year : calendar year, or None for a typical one, whose months' years are ``source_years``
    format : of the reply
    query : address and parameters, without key and e-mail
    fetched : date, such as '2026-07-01'
    licence : in a line
    grid_latitude, grid_longitude [deg], grid_elevation [m] : of the data
    """

    name: str
    latitude: float
    longitude: float
    elevation: float | None
    utc_offset_h: float
    zone: str
    source: str
    service: str
    year: int | None
    format: str
    query: dict[str, str]
    fetched: str
    licence: str
    grid_latitude: float
    grid_longitude: float
    grid_elevation: float
    source_years: tuple[int, ...] = ()


@dataclass(frozen=True)
class Entry:
    """An entry as it is listed: its file, origin, digest of everything in it, and size [bytes]."""

    path: Path
    origin: Origin
    digest: str
    size: int


def save(origin: Origin, hours: Hours) -> Path:
    """Keep hours, in place of what was kept before, and return the file.

    Raises
    ------
    WeatherError
        where the folder cannot be written to
    """
    path = entry_file(slug_of(origin.latitude, origin.longitude), origin.source, origin.year)
    content = _packed(origin, hours)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _check_folder(path)
        _sweep(path.parent)
        _write(path, content)
    except BrokenEntry as fault:
        raise _unwritable(path, str(fault)) from None
    except OSError as fault:
        raise _unwritable(path, fault.strerror or "no way to write") from fault
    return path


def _unwritable(path: Path, why: str) -> WeatherError:
    allowed = "a cache folder that can be written to"
    hint = "the variable VANCLIMATE_CACHE names another one"
    return WeatherError(str(path), found=why, allowed=allowed, hint=hint)


def _packed(origin: Origin, hours: Hours) -> bytes:
    arrays = {name: np.ascontiguousarray(values, "<f8") for name, values in hours.arrays.items()}
    meta: dict[str, Any] = {
        "schema": SCHEMA,
        "origin": {k: shown(v) if isinstance(v, str) else v for k, v in asdict(origin).items()},
        "start": int(hours.start),
        "hours": hours.n,
        "notes": [shown(note) for note in hours.notes],
    }
    meta["sha256"] = _digest(meta, arrays)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as out:
        out.writestr(_META, json.dumps(meta, indent=1, ensure_ascii=False))
        for name, values in arrays.items():
            with out.open(f"{name}.npy", "w") as member:
                np.lib.format.write_array(member, values, allow_pickle=False)
    return packed.getvalue()


def shown(text: str) -> str:
    """Return a text with a blank in place of each character that is no character of a line."""
    return "".join(c if c.isprintable() else " " for c in text)


def _digest(meta: dict[str, Any], arrays: dict[str, FloatArray]) -> str:
    """Return the sha256 over the arrays and over everything said of them."""
    said = {key: value for key, value in meta.items() if key != "sha256"}
    digest = hashlib.sha256(json.dumps(said, sort_keys=True).encode())
    for name in sorted(arrays):
        digest.update(f"\0{name}\0{arrays[name].size}\0".encode())
        digest.update(arrays[name].tobytes())
    return digest.hexdigest()


def _write(path: Path, content: bytes) -> None:
    """Write under a name of its own and move into place: a reader sees all of it or nothing."""
    handle, temporary = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        os.replace(temporary, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(temporary)
        raise


def _sweep(folder: Path) -> None:
    """Remove what killed processes left unfinished a day ago or more."""
    for part in folder.glob("*.part"):
        with suppress(OSError):
            if time.time() - part.lstat().st_mtime > _STALE:
                part.unlink()


def load(path: Path) -> tuple[Entry, Hours]:
    """Return an entry with its hours, checked through and through.

    Raises
    ------
    WeatherError
        naming the file, what is wrong with it, and how to fetch it again
    """
    try:
        return _guarded(lambda: _loaded(path))
    except BrokenEntry as fault:
        raise broken(path, str(fault)) from None


def read_whole(path: Path) -> Entry:
    """Return an entry whose arrays were held against their hash too.

    Raises
    ------
    BrokenEntry
    """
    return _guarded(lambda: _loaded(path))[0]


def _loaded(path: Path) -> tuple[Entry, Hours]:
    # read once: between two openings another process may put a new entry in its place
    _check_file(path)
    # and never through a link that came there since
    with open(os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0)), "rb") as opened:
        content = opened.read(LARGEST_ENTRY + 1)
    entry, meta = _described(path, io.BytesIO(content), len(content))
    return entry, _hours(io.BytesIO(content), meta)


def broken(path: Path, why: str) -> WeatherError:
    """Return the error for an entry that is not as it was written."""
    spot, named = coordinates_of(path.parent.name), named_entry(path)
    hint = "fetch it again with --refresh"
    if spot is not None and named is not None:
        north, east = (f"{abs(x):.3f}" for x in spot)
        at = f"{north}{'S' if spot[0] < 0 else 'N'},{east}{'W' if spot[1] < 0 else 'E'}"
        years = str(named[1] or TYPICAL)
        more = (f"--source {named[0]}", "--refresh")
        hint = f"refetch with: {fetch_command(at, years, *more)}"
    return WeatherError(str(path), found=why, allowed="an entry as it was stored", hint=hint)


def read_entry(path: Path) -> Entry:
    """Return what an entry says of itself; its arrays are not read.

    Raises
    ------
    BrokenEntry
        for one that is not as it was written
    """

    def read() -> Entry:
        size = _check_file(path)
        with path.open("rb") as opened:
            return _described(path, opened, size)[0]

    return _guarded(read)


def _guarded(read: Callable[[], Read]) -> Read:
    """Run a reader; whatever it trips over is a broken entry."""
    try:
        return read()
    except FileNotFoundError:
        raise BrokenEntry("no such entry") from None
    except PermissionError:
        raise BrokenEntry("no permission to read") from None
    except _FAULTS:
        raise BrokenEntry("a damaged file") from None


def _check_folder(path: Path) -> None:
    root = store_dir().resolve()
    if path.parent.resolve() != root / path.parent.name:
        raise BrokenEntry("a folder that leads out of the store")


def _check_file(path: Path) -> int:
    """Return the size of an entry's file; a link, a folder and a huge file are refused."""
    _check_folder(path)
    state = path.lstat()
    if stat.S_ISLNK(state.st_mode):
        raise BrokenEntry("a link in place of a file")
    if not stat.S_ISREG(state.st_mode):
        raise BrokenEntry("a folder in place of a file" if path.is_dir() else "not a plain file")
    if state.st_size > LARGEST_ENTRY:
        raise BrokenEntry(f"{state.st_size / 1e6:.0f} MB, more than {LARGEST_ENTRY / 1e6:.0f}")
    return state.st_size


def _described(path: Path, content: BinaryIO, size: int) -> tuple[Entry, dict[str, Any]]:
    with zipfile.ZipFile(content) as packed:
        _check_members(packed)
        meta = json.loads(packed.read(_META), parse_constant=_no_constant)
    schema = meta["schema"]
    if schema != SCHEMA:
        age = "an old layout" if isinstance(schema, int) and schema < SCHEMA else "another layout"
        raise BrokenEntry(f"{age} of entries ({schema}, now {SCHEMA})")
    origin = _origin(meta["origin"])
    home = entry_file(slug_of(origin.latitude, origin.longitude), origin.source, origin.year)
    if (home.parent.name, home.name) != (path.parent.name, path.name):
        raise BrokenEntry("an entry of another place, source or year")
    if not (isinstance(meta["hours"], int) and 24 <= meta["hours"] <= HOURS_OF_YEAR + 24):
        raise BrokenEntry("a wrong number of hours")
    if not all(isinstance(note, str) and note.isprintable() for note in meta["notes"]):
        raise BrokenEntry("notes that are no text")
    return Entry(path, origin, str(meta["sha256"]), size), meta


def _check_members(packed: zipfile.ZipFile) -> None:
    names = [info.filename for info in packed.infolist()]
    wanted = {_META, *(f"{name}.npy" for name in (*POINTS, *MEANS))}
    if len(set(names)) != len(names) or not wanted <= set(names) <= wanted | {"longwave.npy"}:
        raise BrokenEntry("other parts than an entry has")
    if sum(info.file_size for info in packed.infolist()) > LARGEST_ENTRY:
        raise BrokenEntry(f"more than {LARGEST_ENTRY / 1e6:.0f} MB unpacked")


def _no_constant(text: str) -> float:
    raise ValueError(text)


def _origin(said: dict[str, Any]) -> Origin:
    """Return an origin whose every field is of its kind, or raise one of `_FAULTS`."""
    elevation, year = said["elevation"], said["year"]
    checked: dict[str, Any] = {name: _text(said[name]) for name in _TEXTS}
    checked |= {name: _number(said[name], limit) for name, limit in _NUMBERS.items()}
    return Origin(
        **checked,
        elevation=None if elevation is None else _number(elevation, 9000.0),
        year=None if year is None else int(year),
        query={_text(key): _text(value) for key, value in said["query"].items()},
        source_years=tuple(int(one) for one in said["source_years"]),
    )


def _text(value: object) -> str:
    # a control character would reach the terminal of whoever lists what is kept
    if not isinstance(value, str) or len(value) > 2000 or not value.isprintable():
        raise TypeError("text")
    return value


def _number(value: object, limit: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= limit:
        raise ValueError("number")
    return float(value)


def _hours(content: BinaryIO, meta: dict[str, Any]) -> Hours:
    """Return an entry's hours; every number finite, and all as they were written."""
    arrays = _arrays(content, meta["hours"])
    if _digest(meta, arrays) != meta["sha256"]:
        raise BrokenEntry("altered content")
    for name, values in arrays.items():
        whole = np.isfinite(values) | (np.isposinf(values) if name == "ceiling" else False)
        if not whole.all():
            raise BrokenEntry(f"values of {name} that are no numbers")
    return Hours(int(meta["start"]), arrays, tuple(meta["notes"]))


def _arrays(content: BinaryIO, n: int) -> dict[str, FloatArray]:
    """Read the arrays; shape and type are looked at before anything is allocated."""
    arrays: dict[str, FloatArray] = {}
    with zipfile.ZipFile(content) as packed:
        for member in packed.namelist():
            if member == _META:
                continue
            name = member.removesuffix(".npy")
            values = io.BytesIO(packed.read(member))
            if np.lib.format.read_magic(values) != (1, 0):
                raise BrokenEntry("arrays of another layout")
            shape, _, dtype = np.lib.format.read_array_header_1_0(values)
            if dtype != np.dtype("<f8"):
                raise BrokenEntry(f"{name} does not hold plain numbers")
            if shape != (n if name in MEANS else n + 1,):
                raise BrokenEntry(f"{name} of a wrong length")
            arrays[name] = np.frombuffer(values.read(), "<f8", count=shape[0]).astype(np.float64)
    return arrays
