"""``vanclimate weather``: look at a place's weather, check a file, list and fetch series.

Only typer is imported here at the top, see `vanclimate.cli`. What does not belong here: arithmetic
and wording.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vanclimate.cli import complete
from vanclimate.cli.outcome import Debug, Stopped, read_option, system_of, told
from vanclimate.cli.slips import SubCommands

if TYPE_CHECKING:
    from vanclimate.errors import WeatherError
    from vanclimate.site.fetched.fetch import Fetched
    from vanclimate.site.places import PlaceFound

app = typer.Typer(
    cls=SubCommands,
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Weather of a place: show, check, list, fetch (the only command that uses the network).",
)

# a place may be a pair of coordinates that begins with a minus
A_PLACE = {"ignore_unknown_options": True}

Fill = Annotated[bool, typer.Option("--fill", help="Fill gaps of up to 3 h by straight lines.")]
Units = Annotated[
    str | None, typer.Option(help="us or si (the default).", autocompletion=complete.units)
]

YEARS = "typical, a year, or years such as 2005-2023"


@app.callback()
def _whole() -> None:
    """Carry what holds for all of these commands."""


@app.command(context_settings=A_PLACE)
def show(
    site: Annotated[
        str,
        typer.Argument(
            help="A shipped place, a file, a folder, or a place that was fetched.",
            autocompletion=complete.places,
        ),
    ],
    years: Annotated[
        str | None,
        typer.Option(help=f"{YEARS}; by default what there is.", autocompletion=complete.years),
    ] = None,
    units: Units = None,
    fill: Fill = False,
    debug: Debug = False,
) -> None:
    """Describe a place's weather: months, nights, extremes."""
    with told(debug):
        from vanclimate.report.climate import print_description
        from vanclimate.report.terminal import console_for
        from vanclimate.site.describe import describe
        from vanclimate.site.sites import find_record

        system = system_of(units, "si")
        wanted = None if years is None else _years(years)
        record = find_record(site, Path.cwd(), wanted, fill)
        print_description(describe(record), system, console_for())


@app.command(short_help="Say what a weather file holds, and whether it is sound.")
def check(
    file: Annotated[Path, typer.Argument(help="A weather file, or a folder of one station's.")],
    units: Units = None,
    fill: Fill = False,
    debug: Debug = False,
) -> None:
    """Say what a weather file holds, and whether it agrees with itself and with the sun."""
    with told(debug):
        from dataclasses import replace

        from vanclimate.errors import WeatherError
        from vanclimate.report.filecheck import print_file_check
        from vanclimate.report.terminal import console_for
        from vanclimate.site.filecheck import check_table
        from vanclimate.site.readers import read_table, whole_station

        system = system_of(units, "si")
        try:
            table = read_table(file)
        except WeatherError as fault:
            _propose(fault)
            raise
        station, assumed = whole_station(table.station)
        table = replace(table, station=station, notes=(*table.notes, *assumed))
        found = check_table(table, station, str(file), fill)
        print_file_check(found, str(file), system, console_for())
        if found.unusable:
            typer.echo(found.unusable, err=True)
            raise typer.Exit(2)


def _propose(fault: WeatherError) -> None:
    """Print the lines that a table of one's own lacks, ready to copy, and leave them out there."""
    from vanclimate.report.stream import Carrying

    lead, lines, proposed = fault.hint.partition(": # columns")
    if not lines:
        return
    out = Carrying(sys.stdout)
    out.write("Put these three lines at its top, and complete them where … stands:\n")
    out.write("\n".join(f"# columns{proposed}".split(" | ")) + "\n")
    out.flush()
    fault.args = (str(fault).replace(fault.hint, lead),)


@app.command("list")
def list_(debug: Debug = False) -> None:
    """List the places that are shipped, and what was fetched."""
    with told(debug):
        from vanclimate.report.series import print_series
        from vanclimate.report.terminal import console_for
        from vanclimate.site.fetched.names import store_dir
        from vanclimate.site.fetched.store import stored_series
        from vanclimate.site.sites import find_record, shipped_sites

        shipped = {key: find_record(key) for key in shipped_sites()}
        print_series(shipped, stored_series(whole=True), store_dir(), console_for())


@app.command(context_settings=A_PLACE)
def fetch(
    place: Annotated[
        str, typer.Argument(help="A town such as 'Moab, Utah', or LATITUDE,LONGITUDE.")
    ],
    years: Annotated[
        str, typer.Option(help=f"{YEARS}.", autocompletion=complete.years)
    ] = "typical",
    source: Annotated[
        str | None,
        typer.Option(
            help="power, pvgis or nsrdb; by default the one that fits.",
            autocompletion=complete.sources,
        ),
    ] = None,
    refresh: Annotated[
        bool, typer.Option("--refresh", help="Fetch again what is there already.")
    ] = False,
    debug: Debug = False,
) -> None:
    """Bring a place's weather from an open data service."""
    with told(debug):
        from vanclimate.site.places import locate

        found, wanted = locate(place), _years(years)
        kept: list[str] = []
        try:
            done = _fetch(found, wanted, source, refresh, kept)
        except BaseException as fault:
            going_on = _going_on(kept, wanted)
            if isinstance(fault, KeyboardInterrupt):
                raise Stopped(f"stopped; {going_on}" if going_on else "") from None
            if going_on:
                typer.echo(going_on, err=True)
            raise
        _say_fetched(found, done, years)


def _going_on(kept: list[str], wanted: str | tuple[int, ...]) -> str:
    """Return how a fetch that ended early goes on, or '' where nothing of it is kept."""
    if not kept or isinstance(wanted, str) or len(kept) >= len(wanted):
        return ""
    return f"{len(kept)} of {len(wanted)} years are kept; the same command goes on from there"


def _years(text: str) -> str | tuple[int, ...]:
    """Return the years asked for."""
    from vanclimate.site.years import read_years

    return read_option("--years", read_years, text)


def _fetch(
    place: PlaceFound,
    years: str | tuple[int, ...],
    source: str | None,
    refresh: bool,
    kept: list[str],
) -> list[Fetched]:
    """Fetch, with a bar on a terminal and a line a year elsewhere."""
    from vanclimate.report.series import Progress
    from vanclimate.site.fetched.fetch import fetch as bring

    with Progress(1 if isinstance(years, str) else len(years), sys.stderr, kept) as progress:
        return bring(place, years, source, refresh=refresh, progress=progress.told)


def _say_fetched(place: PlaceFound, done: list[Fetched], years: str) -> None:
    from vanclimate.report.series import print_fetched
    from vanclimate.report.terminal import console_for

    print_fetched(place, done, years, console_for())
