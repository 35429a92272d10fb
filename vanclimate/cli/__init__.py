"""The command line: parse, call, print.

Only typer is imported here at the top, so that ``--help`` answers at once; what a command needs is
fetched when it runs. What does not belong here: arithmetic and wording.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from vanclimate.cli.outcome import (
    INTERRUPTED,
    Debug,
    forget_stdout,
    message,
    read_option,
    system_of,
    told,
)
from vanclimate.cli.weather import app as weather_app

if TYPE_CHECKING:
    from vanclimate.site.record import Record
    from vanclimate.van.sheet import Sheet


DEMO = ("scenarios", "holds.yaml")
OWN_SHEET = "vanclimate new my-van.yaml"

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Does the air conditioner get a camper van through the night on its battery?",
)
app.add_typer(weather_app, name="weather")


def _version(wanted: bool) -> None:
    if wanted:
        from vanclimate import __version__

        typer.echo(f"vanclimate {__version__}")
        raise typer.Exit


@app.callback()
def _whole(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """Carry what holds for all commands."""


@app.command()
def night(
    sheet: Annotated[
        Path | None, typer.Argument(help="Your sheet; without one, an invented demo van.")
    ] = None,
    site: Annotated[
        str | None,
        typer.Option(help="A place, coordinates or a weather file, not the sheet's site and spot."),
    ] = None,
    years: Annotated[
        str | None, typer.Option(help="typical, or real years such as 2017-2023, of the site.")
    ] = None,
    stay: Annotated[
        str | None, typer.Option(help="Nights of a stay, '12 July to 26 July', not of the month.")
    ] = None,
    fill: Annotated[
        bool, typer.Option("--fill", help="Fill a weather file's gaps of up to 3 h.")
    ] = False,
    when: Annotated[
        str | None,
        typer.Option("--night", help="hottest, coldest, typical, or 2025-07-14."),
    ] = None,
    also: Annotated[
        list[str] | None,
        typer.Option(
            metavar="<str>",
            help="A load more: kettle, or 'blender: 300 W, 5 min at 8:00'; repeatable.",
        ),
    ] = None,
    units: Annotated[str | None, typer.Option(help="us or si; the sheet's own by default.")] = None,
    trace: Annotated[
        Path | None, typer.Option(help="Write the night, step by step, to this CSV file.")
    ] = None,
    debug: Debug = False,
) -> None:
    """Tell whether a night holds: on the battery, and cool enough to sleep."""
    with told(debug):
        _night(sheet, Asked(site, years, stay, when, fill, tuple(also or ())), units, trace)


class Asked(NamedTuple):
    """What the command line asks for in place of the sheet's own."""

    site: str | None
    years: str | None
    stay: str | None
    when: str | None
    fill: bool
    also: tuple[str, ...]


def _night(path: Path | None, asked: Asked, units: str | None, trace: Path | None) -> None:
    from vanclimate.cache import data_path
    from vanclimate.report.trace_file import check_target, write_trace
    from vanclimate.van.also import with_also
    from vanclimate.van.reading import load

    source = path or data_path(*DEMO)
    sheet = with_also(load(source), asked.also)
    system = system_of(units, sheet.units)
    sheet, record = _elsewhere(sheet, asked)
    when = None if asked.when is None else _when(asked.when)
    target = None if trace is None else check_target(trace, _inputs(source, asked.site, sheet))
    _say_compiling()
    from vanclimate.answers.night import night as answer_for
    from vanclimate.report.terminal import console_for, print_night

    answer = answer_for(sheet, weather=record, when=when)
    done = ""
    if target is not None:
        frame = answer.trace
        write_trace(frame, target)
        done = f"{len(frame)} rows written to {trace}"
    demo = "" if path else f"A demo: the van is invented. Start your own sheet with `{OWN_SHEET}`."
    checks = f"vanclimate check {path}" if path else "vanclimate check"
    print_night(answer, system, console_for(), check=checks, demo=demo, trace=done)


def _elsewhere(sheet: Sheet, asked: Asked) -> tuple[Sheet, Record | None]:
    """Return the sheet at the site, in the years and for the stay asked for, and such a record."""
    from vanclimate.errors import NoYearsError, OptionError, UnknownSiteError
    from vanclimate.site.sites import find_record
    from vanclimate.site.years import read_years
    from vanclimate.van.place import read_stay

    years = None if asked.years is None else read_option("--years", read_years, asked.years)
    if asked.stay is not None:
        if sheet.site.place is None and asked.site is None:
            raise OptionError("--stay", asked.stay, "no stay beside made-up days")
        sheet = sheet.for_stay(read_option("--stay", read_stay, asked.stay))
    if asked.fill:
        sheet = sheet.with_value("site.gaps", "fill")
    if asked.site is not None:
        sheet, folder = sheet.moved(asked.site), Path.cwd()
    elif years is None:
        return sheet, None
    else:
        folder = sheet.folder or Path.cwd()
    place, spot = sheet.site.place, sheet.site
    if place is None:
        raise OptionError("--years", asked.years, "no years beside a made-up day")
    try:
        record = find_record(place, folder, years, spot.gaps == "fill", spot.elevation)
    except UnknownSiteError as error:
        if asked.site is None:
            return sheet, None  # the sheet's own site is refused with its line
        raise OptionError("--site", error.found, error.allowed or "", error.hint) from None
    except NoYearsError as error:
        raise OptionError("--years", error.found, error.allowed or "", error.hint) from None
    return (sheet if years is None else sheet.with_value("site.years", years)), record


def _when(text: str) -> str:
    """Return the night asked for; any writing of a day that a sheet may hold."""
    from vanclimate.van.place import read_night

    return read_option("--night", read_night, text)


def _inputs(source: Path, site: str | None, sheet: Sheet) -> tuple[Path, ...]:
    """Return the files that a trace must not overwrite."""
    files = [source]
    if site is not None:
        files.append(Path(site))
    if sheet.site.place is not None and sheet.folder is not None:
        files.append(sheet.folder / sheet.site.place)
    return tuple(files)


def _say_compiling() -> None:
    from vanclimate.simulate.jit import is_compiled

    if not is_compiled():
        typer.echo("compiling, once for this version; takes about a minute …", err=True)


@app.command()
def new(
    file: Annotated[Path, typer.Argument(help="The sheet to start; never overwritten.")],
    debug: Debug = False,
) -> None:
    """Start a sheet of your own, ready to edit and to run."""
    with told(debug):
        from vanclimate.report.stream import Carrying
        from vanclimate.van.template import write_new

        made = write_new(file)
        text = f"{made}: a sheet to edit. Then: vanclimate check {made}; vanclimate night {made}"
        Carrying(sys.stdout).write(f"{text}\n")


@app.command()
def check(
    sheet: Annotated[
        Path | None, typer.Argument(help="Your sheet; without one, the demo's.")
    ] = None,
    debug: Debug = False,
) -> None:
    """Show every value of a sheet as understood, in both unit systems, and what was guessed."""
    with told(debug):
        from vanclimate.answers.damp import dampness
        from vanclimate.answers.fresh_air import fixed_ventilation
        from vanclimate.answers.scene import set_scene
        from vanclimate.answers.season import record_for, season_of
        from vanclimate.cache import data_path
        from vanclimate.network.summary import leakage_ua, summarise
        from vanclimate.report.checked import print_check
        from vanclimate.report.damp import print_damp
        from vanclimate.report.powered import print_power
        from vanclimate.report.terminal import console_for
        from vanclimate.van.reading import load

        read = load(sheet or data_path(*DEMO))
        leakage = leakage_ua(read.body.leakage, read.body.shelter, read.body.height)
        # the whole scene, so that a site or a data plate that cannot be is refused here too
        record = record_for(read)
        spell = next(s for s in season_of(read, record).spells if s.nights)
        scene = set_scene(read, spell.weather(), read.heading or 0.0)
        shell = summarise(scene.model, leakage)
        console = console_for()
        print_check(read, shell, scene.gear, fixed_ventilation(read), console)
        print_power(scene, console)
        print_damp(dampness(read, scene.model.shell, record), console)


def main() -> None:
    """Run the command line."""
    try:
        app()
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except OSError as error:  # typer's own text, such as the help, found no room
        forget_stdout()
        typer.echo(message(error), err=True)
        sys.exit(2)
