"""Places that are shipped and series that were fetched, and a fetch while it runs.

What does not belong here: the store (site/fetched/store) and the network (site/fetched/fetch).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import IO, TYPE_CHECKING, Self

from rich.padding import Padding
from rich.text import Text

from vanclimate.report.layout import facts, heading, put, say
from vanclimate.report.numbers import fixed, place_of
from vanclimate.report.stream import Carrying
from vanclimate.report.tables import BAD, plain_table
from vanclimate.site.record import spans

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rich.console import Console
    from rich.progress import Progress as Bar

    from vanclimate.site.fetched.fetch import Fetched
    from vanclimate.site.fetched.store import StoredSeries
    from vanclimate.site.places import PlaceFound
    from vanclimate.site.record import Record

DONE = (": kept", "already stored")


def print_series(
    shipped: Mapping[str, Record], stored: Sequence[StoredSeries], folder: Path, console: Console
) -> None:
    """Print what is shipped and what was fetched, with where it is kept."""
    console.print(Text("Shipped", style="bold"))
    table = plain_table("site", "place", "years")
    _to_the_left(table)
    table.add_column("source", justify="left")
    for key, record in shipped.items():
        at = f"{record.name}, {place_of(record.latitude, record.longitude)}"
        table.add_row(key, at, "typical", record.source.split(",")[0])
    put(console, table)
    heading(console, f"Fetched, in {folder}")
    if not stored:
        say(console, 'nothing yet; with a network: vanclimate weather fetch "Moab, Utah"')
        return
    table = plain_table("site", "at", "years")
    _to_the_left(table)
    for name in ("source", "fetched"):
        table.add_column(name, justify="left")
    table.add_column("MB", justify="right")
    for series in stored:
        origin = series.origin
        table.add_row(
            series.name,
            place_of(series.latitude, series.longitude),
            _years(series),
            origin.service if origin else series.source,
            origin.fetched if origin else "-",
            fixed(series.size / 1e6, 1),
        )
    put(console, table)
    for series in stored:
        for name, why in series.broken:
            line = f"{series.name}: {name} is broken ({why}); `--refresh` fetches it again"
            console.print(Padding(Text(line, style=BAD), (0, 0, 0, 2)))


def _to_the_left(table: object) -> None:
    for column in table.columns:  # type: ignore[attr-defined]  # rich's table
        column.justify = "left"
        column.no_wrap = False


def _years(series: StoredSeries) -> str:
    parts = ["typical"] * series.has_typical + [spans(series.years)] * bool(series.years)
    return ", ".join(parts) or "-"


def print_fetched(place: PlaceFound, done: Sequence[Fetched], years: str, console: Console) -> None:
    """Print what was fetched, what was there already, and what to type next."""
    new = [f for f in done if not f.stored_before]
    old = [f for f in done if f.stored_before]
    if new:
        say(console, f"{place.name}: {_labels(new)} fetched from {_service(new)}")
    if old:
        say(
            console,
            f"{place.name}: {_labels(old)} already there, fetched on {_dates(old)}; --refresh "
            "fetches again",
        )
    facts(console, [("note", note) for note in dict.fromkeys(n for f in new for n in f.notes)])
    site = f'"{place.name}"'
    rows = [("look", f"vanclimate weather show {site} --years {years}")]
    rows.append(("run", f"vanclimate night my-van.yaml --site {site} --years {years}"))
    facts(console, rows)


def _labels(done: Sequence[Fetched]) -> str:
    typical = ["a typical year"] * any(f.year is None for f in done)
    real = sorted(f.year for f in done if f.year is not None)
    return " and ".join(typical + [spans(real)] * bool(real))


def _service(done: Sequence[Fetched]) -> str:
    from vanclimate.site.fetched.services import SERVICES

    return SERVICES[done[0].source].name


def _dates(done: Sequence[Fetched]) -> str:
    from vanclimate.site.fetched.entry import read_entry

    dates = sorted({read_entry(f.path).origin.fetched for f in done})
    return dates[0] if len(dates) == 1 else f"{dates[0]} to {dates[-1]}"


class Progress:
    """A fetch while it runs: a bar on a terminal, nothing but its lines elsewhere.

    Parameters
    ----------
    total : years
    stream : where to
    kept : is given a line for each year that is in the store
    """

    def __init__(self, total: int, stream: IO[str], kept: list[str]) -> None:
        self.total, self.stream, self.kept = total, stream, kept
        self.bar: Bar | None = None

    def __enter__(self) -> Self:
        """Show the bar where somebody watches."""
        if self.stream.isatty():
            from rich.console import Console
            from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
            from rich.progress import Progress as Bar

            self.bar = Bar(
                TextColumn("{task.description}", markup=False),
                BarColumn(),
                MofNCompleteColumn(),
                console=Console(file=self.stream),
                transient=True,
            )
            self.bar.start()
            self.task = self.bar.add_task("", total=self.total)
        return self

    def __exit__(self, *_fault: object) -> None:
        """Leave the terminal as it was."""
        if self.bar is not None:
            self.bar.stop()

    def told(self, line: str) -> None:
        """Take a line of `site.fetch.fetch`."""
        done = any(words in line for words in DONE)
        if done:
            self.kept.append(line)
        if self.bar is None:
            Carrying(self.stream).write(f"{line}\n")
        else:
            self.bar.update(self.task, description=line, advance=int(done))
