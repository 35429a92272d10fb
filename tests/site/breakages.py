"""Ways in which a weather file breaks, each made from a good invented file, and what is said.

``python -m tests.site.breakages`` prints the table, ``--write`` puts it into
``docs/weather-files.md``; a test holds the two together. What does not belong here: the values
themselves (``invented_files``).
"""

from __future__ import annotations

import gzip
import json
import re
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from tests.site import invented_files as invented
from vanclimate.errors import WeatherError
from vanclimate.site.readers import read_record

DOC = Path(__file__).resolve().parents[2] / "docs" / "weather-files.md"
MARK = "<!-- the table below is made by: python -m tests.site.breakages --write -->"


@dataclass(frozen=True)
class Breakage:
    """A way to break a file: in words, the file's name, and its bytes (or a folder's files)."""

    what: str
    file: str
    make: Callable[[], str | bytes | dict[str, str]]


# ------------------------------------------------------------------ good files


@lru_cache
def nsrdb() -> str:
    return invented.as_nsrdb(invented.invented_days(3))


@lru_cache
def own() -> str:
    return invented.as_mapped_csv(invented.invented_days(3))


@lru_cache
def tmy3() -> str:
    return invented.as_tmy3(invented.invented_year())


@lru_cache
def power() -> str:
    return invented.as_power_json(invented.invented_days(3))


@lru_cache
def power_csv() -> str:
    return invented.as_power_csv(invented.invented_days(3))


@lru_cache
def surfrad(day: int = 3) -> str:
    days = invented.invented_days(4)
    start = days.start.date()
    return invented.as_surfrad(days, day=start.replace(day=day))


# ------------------------------------------------------------------ small tools


def rows(text: str) -> list[str]:
    return text.splitlines()


def joined(lines: list[str]) -> str:
    return "\n".join(lines) + "\n"


def without(text: str, row: int) -> str:
    """Leave out a row, counted from 1."""
    lines = rows(text)
    return joined(lines[: row - 1] + lines[row:])


def twice(text: str, row: int) -> str:
    lines = rows(text)
    return joined(lines[:row] + lines[row - 1 :])


def swapped(text: str, row: int) -> str:
    lines = rows(text)
    lines[row - 1], lines[row] = lines[row], lines[row - 1]
    return joined(lines)


def with_field(text: str, head: int, row: int, column: str, value: str) -> str:
    """Put a value into a column of a comma table whose header is in row `head`."""
    lines = rows(text)
    at = lines[head - 1].split(",").index(column)
    fields = lines[row - 1].split(",")
    fields[at] = value
    lines[row - 1] = ",".join(fields)
    return joined(lines)


def every_field(text: str, head: int, column: str, change: Callable[[float], float]) -> str:
    lines = rows(text)
    at = lines[head - 1].split(",").index(column)
    for i in range(head, len(lines)):
        fields = lines[i].split(",")
        fields[at] = f"{change(float(fields[at])):.2f}"
        lines[i] = ",".join(fields)
    return joined(lines)


def of_nsrdb(column: str, value: str, row: int = 20) -> Callable[[], str]:
    return lambda: with_field(nsrdb(), 3, row, column, value)


def of_own(old: str, new: str) -> Callable[[], str]:
    def make() -> str:
        assert old in own(), old
        return own().replace(old, new, 1)

    return make


def slashes(text: str) -> str:
    return re.sub(r"(?m)^(\d{4})-(\d\d)-(\d\d) ", r"\3/\2/\1 ", text)


def leap_day() -> str:
    lines = rows(tmy3())
    day = [line.replace("02/28/", "02/29/", 1) for line in lines if line.startswith("02/28/")]
    at = next(i for i, line in enumerate(lines) if line.startswith("03/01/"))
    return joined(lines[:at] + day + lines[at:])


def power_without(key: str) -> str:
    reply = json.loads(power())
    del reply["properties"]["parameter"][key]
    return json.dumps(reply)


def missing_values(hours: int) -> str:
    reply = json.loads(power())
    series = reply["properties"]["parameter"]["T2M"]
    for stamp in list(series)[30 : 30 + hours]:
        series[stamp] = -999.0
    return json.dumps(reply)


def elsewhere() -> str:
    days = replace(invented.invented_days(4), latitude=40.05)
    return invented.as_surfrad(days, day=days.start.date().replace(day=4))


def solrad() -> str:
    lines = rows(surfrad())
    return joined(lines[:2] + [" ".join(line.split()[:22]) for line in lines[2:]])


# ------------------------------------------------------------------ the table

BREAKAGES = (
    Breakage("nothing in it", "empty.csv", lambda: b""),
    Breakage("NUL bytes in the middle", "nul.csv",
             lambda: tmy3().replace("\n01/02/", "\n\0\0\0\0\0\0", 1).encode()),
    Breakage("a spreadsheet under the name of a CSV", "sheet.csv",
             lambda: b"PK\x03\x04\x14\x00\x06\x00" + bytes(40)),
    Breakage("a web page saved in place of the data", "saved.csv",
             lambda: "<!DOCTYPE html>\n<html><body>503: try later</body></html>\n"),
    Breakage("gzip that ends early", "year.csv.gz",
             lambda: gzip.compress(tmy3().encode(), mtime=0)[:-2000]),
    Breakage("cut in the middle of its last line", "cut.csv", lambda: nsrdb()[:-20]),
    Breakage("a year with one digit wrong", "future.csv",
             lambda: nsrdb().replace("\n2021,", "\n2621,")),
    Breakage("a field lost in one row", "ragged.csv",
             lambda: nsrdb().replace(",30,", ",", 1)),
    Breakage("an empty line between rows", "gap.csv",
             lambda: joined([*rows(nsrdb())[:30], "", *rows(nsrdb())[30:]])),
    Breakage("head rows deleted", "headless.csv", lambda: joined(rows(nsrdb())[3:])),
    Breakage("a column deleted from the header", "column.csv",
             lambda: nsrdb().replace(",Temperature,Pressure,", ",Pressure,", 1)),
    Breakage("an hour twice", "double.csv", lambda: twice(nsrdb(), 20)),
    Breakage("an hour missing", "missing.csv", lambda: without(nsrdb(), 20)),
    Breakage("two hours in the wrong order", "swapped.csv", lambda: swapped(nsrdb(), 20)),
    Breakage("time that goes back, as after a logger's reset", "reset.csv",
             lambda: own() + rows(own())[10] + "\n"),
    Breakage("a row off the hour", "step.csv", of_nsrdb("Minute", "37")),
    Breakage("days instead of hours", "daily.csv",
             lambda: joined(rows(nsrdb())[:3] + rows(nsrdb())[3::24])),
    Breakage("29 February in a typical year", "leap.csv", leap_day),
    Breakage("a typical year that ends in October", "october.csv",
             lambda: joined(rows(tmy3())[: 2 + 7000])),
    Breakage("a stamp of 25 o'clock", "clock25.csv", of_nsrdb("Hour", "25")),
    Breakage("text in place of a number", "text.csv", of_nsrdb("Temperature", "warm")),
    Breakage("NaN in place of a number", "nan.csv", of_nsrdb("Temperature", "NaN")),
    Breakage("a code for a missing value", "code.csv", of_nsrdb("Pressure", "-9999")),
    Breakage("such a code in a table of one's own", "own-code.csv",
             lambda: with_field(own(), 4, 20, "Air", "-9999")),
    Breakage("decimals with a comma", "comma.csv", of_nsrdb("Temperature", '"21,5"')),
    Breakage("degrees Fahrenheit under degrees Celsius", "fahrenheit.csv",
             lambda: every_field(nsrdb(), 3, "Temperature", lambda t: t * 1.8 + 32)),
    Breakage("humidity from 0 to 1 under percent", "humidity.csv",
             lambda: every_field(
                 invented.as_nsrdb(invented.invented_days(3), humidity="Relative Humidity"), 3,
                 "Relative Humidity", lambda share: share / 100)),
    Breakage("pressure in inches of mercury under millibar", "inches.csv",
             lambda: every_field(nsrdb(), 3, "Pressure", lambda p: p / 33.86389)),
    Breakage("wind below zero", "wind.csv", of_nsrdb("Wind Speed", "-0.4")),
    Breakage("wind from 400 degrees", "direction.csv", of_nsrdb("Wind Direction", "400")),
    Breakage("dew point above the air's temperature", "dew.csv", of_nsrdb("Dew Point", "35")),
    Breakage("sun below zero", "dark.csv", of_nsrdb("GHI", "-12")),
    Breakage("more sun than there is", "bright.csv", of_nsrdb("GHI", "2412")),
    Breakage("latitude 96", "north.csv", lambda: nsrdb().replace(",38.57,", ",96.1,", 1)),
    Breakage("longitude without its minus sign", "west.csv",
             lambda: nsrdb().replace(",-109.55,", ",109.55,", 1)),
    Breakage("two stations in one folder", "days",
             lambda: {"day1.dat": surfrad(3), "day2.dat": elsewhere()}),
    Breakage("the same day twice in one folder", "days",
             lambda: {"day1.dat": surfrad(3), "copy.dat": surfrad(3)}),
    Breakage("a network that measures no temperature", "solrad.dat", solrad),
    Breakage("JSON cut short", "cut.json", lambda: power()[:5000]),
    Breakage("JSON without a part that is needed", "part.json", lambda: power_without("T2M")),
    Breakage("JSON with an hour twice", "twice.json",
             lambda: power().replace('"2021070208"', '"2021070207"', 1)),
    Breakage("a unit that the service did not use before", "unit.csv",
             lambda: power_csv().replace("(kPa)", "(atm)", 1)),
    Breakage("more missing hours than may be filled", "holes.json", lambda: missing_values(5)),
    Breakage("sun on a tilted plane", "tilted.csv",
             lambda: invented.as_pvgis_hourly_csv(invented.invented_days(3), slope=35)),
    Breakage("no humidity of any kind", "dry.csv",
             lambda: invented.as_pvgis_hourly_csv(invented.invented_days(3))),
    Breakage("a table whose columns nobody explained", "logger.csv",
             lambda: joined(["Time,Temp (F),RH (%),Solar (W/m2)", "2021-07-02 00:00,66.2,41,0"])),
    Breakage("no clock line", "own.csv",
             lambda: joined([r for r in rows(own()) if not r.startswith("# clock")])),
    Breakage("a clock line that does not say what the stamp means", "own.csv",
             of_own(", stamp at end", "")),
    Breakage("an unknown time zone", "own.csv", of_own("UTC-7", "America/Denvre")),
    Breakage("dates of two meanings", "own.csv", lambda: slashes(own())),
    Breakage("a time that daylight saving skips", "own.csv",
             lambda: own().replace("UTC-7", "America/Denver", 1).replace("07-02", "03-14")),
    Breakage("an unknown word in the columns line", "own.csv",
             of_own("wind direction =", "wind heading =")),
    Breakage("an unknown unit", "own.csv", of_own("Wind in m/s", "Wind in furlongs")),
    Breakage("a unit left out", "own.csv", of_own("Air in C", "Air")),
    Breakage("a mapped column that is not in the header", "own.csv",
             of_own("air = Air", "air = Aire")),
    Breakage("a place without longitude", "own.csv", of_own(", -109.5500, 1234 m", "")),
)  # fmt: skip


def said(breakage: Breakage, folder: Path) -> str:
    """Write the broken file, read it, and return the message, the folder's name left out."""
    path = folder / breakage.file
    content = breakage.make()
    if isinstance(content, dict):
        path.mkdir()
        for name, text in content.items():
            (path / name).write_text(text, encoding="utf-8", newline="")
    else:
        raw = content.encode() if isinstance(content, str) else content
        path.write_bytes(raw)
    try:
        read_record(path)
    except WeatherError as refused:
        return str(refused).replace(f"{folder}/", "")
    raise AssertionError(f"{breakage.what}: read without a word")


def table() -> str:
    """Return the table of all breakages in Markdown."""
    lines = ["| what is wrong | what is said |", "|---|---|"]
    for breakage in BREAKAGES:
        with tempfile.TemporaryDirectory() as folder:
            message = said(breakage, Path(folder)).replace("|", "\\|")
        lines.append(f"| {breakage.what} | `{message}` |")
    return "\n".join(lines) + "\n"


def page() -> str:
    """Return the page with its table as the code makes it."""
    return f"{DOC.read_text(encoding='utf-8').partition(MARK)[0]}{MARK}\n\n{table()}"


if __name__ == "__main__":
    if "--write" in sys.argv:
        fresh = page()
        DOC.write_text(fresh, encoding="utf-8")
    else:
        print(table())
