"""Formats of weather files: which one a text is in, and its rows, checked, as one `table.Table`.

``read`` for one text, ``read_many`` for the files of one station, ``decode`` for bytes, ``suggest``
for a plain table's three lines. What does not belong here: paths, packing and caching (`readers`),
and what is done with the rows (``hours``, ``complete``).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from vanclimate.errors import WeatherError, shorten
from vanclimate.site.formats import bsrn, crn, mapped, nsrdb, power, pvgis, surfrad, tmy
from vanclimate.site.formats.guess import suggest
from vanclimate.site.table import Table
from vanclimate.site.years import YEAR_RANGE

__all__ = ["FORMATS", "Format", "decode", "read", "read_many", "suggest"]


@dataclass(frozen=True)
class Format:
    """A format: its name, how its text is known, and its reader."""

    name: str
    matches: Callable[[str], bool]
    read: Callable[[str, str], Table]


FORMATS = (
    Format("CSV with three lines at its top", mapped.is_mapped, mapped.read_mapped),
    Format("TMY3", tmy.is_tmy3, tmy.read_tmy3),
    Format("NSRDB", nsrdb.is_nsrdb, nsrdb.read_nsrdb),
    Format("PVGIS typical year, JSON", pvgis.is_typical_json, pvgis.read_typical_json),
    Format("PVGIS typical year, CSV", pvgis.is_typical_csv, pvgis.read_typical_csv),
    Format("PVGIS hourly, JSON", pvgis.is_hourly_json, pvgis.read_hourly_json),
    Format("PVGIS hourly, CSV", pvgis.is_hourly_csv, pvgis.read_hourly_csv),
    Format("NASA POWER, JSON", power.is_json, power.read_json),
    Format("NASA POWER, CSV", power.is_csv, power.read_csv),
    Format("BSRN", bsrn.is_bsrn, bsrn.read_bsrn),
    Format("SURFRAD", surfrad.is_surfrad, surfrad.read_surfrad),
    Format("CRN", crn.is_crn, crn.read_crn),
    Format("TMY2", tmy.is_tmy2, tmy.read_tmy2),
)
"""Every format that is read, in the order in which a text is tried."""

ALLOWED = (
    "a file of TMY2, TMY3, PVGIS, NSRDB, NASA POWER, SURFRAD, BSRN or CRN, or a CSV with three "
    "lines at its top"
)

_BINARY = {
    b"PK\x03\x04": "a spreadsheet or archive",
    b"\xd0\xcf\x11\xe0": "a spreadsheet",
    b"PAR1": "a Parquet file",
    b"\x89HDF": "an HDF file",
    b"CDF": "a NetCDF file",
    b"%PDF": "a PDF",
}

_CONTROLS = (set(range(32)) - set(b"\t\r\n\f")) | set(range(0x7F, 0xA0))


def decode(content: bytes, name: str) -> str:
    """Return the text of a file: UTF-8, or else the Western code page that older tables use.

    Raises
    ------
    WeatherError
        for an empty file, and for bytes that are no text
    """
    content = content.rstrip(b"\x1a")  # an old mark of a file's end
    if not content.strip():
        raise WeatherError(name, found="an empty file", allowed=ALLOWED)
    for start, what in _BINARY.items():
        if content.startswith(start):
            raise WeatherError(name, found=what, allowed=ALLOWED, hint="save it as CSV")
    wide = content[:2] in (b"\xff\xfe", b"\xfe\xff")
    encodings = ["utf-16"] if wide else ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if not any(chr(code) in text for code in _CONTROLS):
            return text
    at = content.find(b"\0")
    row = content[:at].count(b"\n") + 1 if at >= 0 else None
    found = "binary data" if row is None else "binary data (a NUL byte)"
    raise WeatherError(name, row, found=found, allowed=ALLOWED)


def find(text: str, name: str) -> Format:
    """Return the format of a text.

    Raises
    ------
    WeatherError
        where it is in none; for a plain table with what to put at its top
    """
    for form in FORMATS:
        if form.matches(text):
            return form
    lines = text.strip().split("\n", 1)
    first = lines[0].strip()
    if first.startswith("<"):
        raise WeatherError(name, 1, found=first, allowed=ALLOWED, hint="a web page, not its data")
    if first.startswith(("{", "[")):
        allowed = "a reply of PVGIS or NASA POWER"
        raise WeatherError(name, found="a JSON of another kind", allowed=allowed)
    hint = mapped.how_to_map(text)
    raise WeatherError(name, 1, found=first, allowed=ALLOWED, hint=hint)


def read(text: str, name: str) -> Table:
    """Return the checked rows of a text in any of the `FORMATS`.

    Parameters
    ----------
    text : the whole file
    name : its name, for messages

    Raises
    ------
    WeatherError
        one line that names file, row and column, what was found and what is allowed
    """
    if not text.strip():
        raise WeatherError(name, found="an empty file", allowed=ALLOWED)
    text = text.removeprefix("\ufeff")
    return _of_our_time(find(text, name), text, name)


def _of_our_time(form: Format, text: str, name: str) -> Table:
    """Return a text's rows, all of them in years that weather was measured in."""
    low, high = YEAR_RANGE
    allowed = f"years {low} to {high}"
    try:
        table = form.read(text, name)
    except OverflowError:  # a year with which dates cannot be reckoned
        raise WeatherError(name, found="a year far off", allowed=allowed) from None
    years = table.start.astype("datetime64[s]").astype("datetime64[Y]").astype(int) + 1970
    odd = np.flatnonzero((years < low) | (years > high))
    if odd.size:
        row = table.first_row + int(odd[0])
        raise WeatherError(name, row, "time", f"the year {years[odd[0]]}", allowed)
    return table


def read_many(texts: Sequence[tuple[str, str]], name: str) -> Table:
    """Return the rows of several files of one station, in the order of time.

    Parameters
    ----------
    texts : name and text of each file
    name : what they are called together, such as the folder

    Raises
    ------
    WeatherError
        naming the file that is of another station, format or step, or that overlaps another
    """
    if not texts:
        raise WeatherError(name, found="no weather file", allowed=ALLOWED)
    tables = [(read(text, file), file) for file, text in texts]
    if len(tables) == 1:
        return tables[0][0]
    tables.sort(key=lambda pair: int(pair[0].start[0]))
    first, first_file = tables[0]
    for table, file in tables:
        _check_kin(table, file, first, first_file)
    for (one, file_one), (two, file_two) in pairwise(tables):
        if two.start[0] < one.start[-1] + one.step:
            raise WeatherError(file_two, found=f"hours that {file_one} holds too", allowed="once")
    quantities = dict.fromkeys(q for table, _ in tables for q in table.columns)
    columns = {
        q: np.concatenate([t.columns.get(q, np.full(len(t.start), np.nan)) for t, _ in tables])
        for q in quantities
    }
    return replace(
        first,
        start=np.concatenate([table.start for table, _ in tables]),
        columns=columns,
        names={q: n for table, _ in tables for q, n in table.names.items()},
        notes=_joined_notes([table for table, _ in tables]),
    )


def _check_kin(table: Table, file: str, first: Table, first_file: str) -> None:
    """Refuse a file that does not go with the first one."""
    if table.typical:
        raise WeatherError(file, found="a typical year", allowed="real days, months or years")
    same = ("format", "step", "points", "sun")
    for key in same:
        one, two = getattr(table, key), getattr(first, key)
        if one != two:
            raise WeatherError(file, found=f"{key} {one}", allowed=f"{two}, as in {first_file}")
    here, there = table.station, first.station
    if (
        abs(here.latitude - there.latitude) > 0.02
        or abs(here.longitude - there.longitude) > 0.02
        or here.name != there.name
    ):
        found = f"{here.name}, {here.latitude:g}, {here.longitude:g}"
        allowed = (
            f"{shorten(there.name)}, {there.latitude:g}, {there.longitude:g}, as in {first_file}"
        )
        raise WeatherError(file, found=found, allowed=allowed)


def _joined_notes(tables: Sequence[Table]) -> tuple[str, ...]:
    """Return each note once; notes that start with a count are added up."""
    counts: dict[str, int] = {}
    for table in tables:
        for note in table.notes:
            number, _, words = note.partition(" ")
            counted = number.isdigit()
            key = words if counted else note
            counts[key] = counts.get(key, 0) + (int(number) if counted else 0)
    return tuple(f"{count} {key}" if count else key for key, count in counts.items())
