"""The command line: parse, call, print.

Only typer is imported here at the top, so that ``--help`` answers at once; what a command needs is
fetched when it runs. What does not belong here: arithmetic and wording.
"""

from __future__ import annotations

import atexit
import gc
import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from vanclimate.cli import complete
from vanclimate.cli.coast import coast
from vanclimate.cli.last import last
from vanclimate.cli.library import library
from vanclimate.cli.new import new
from vanclimate.cli.night import night
from vanclimate.cli.options import DEMO, Set, Units
from vanclimate.cli.outcome import (
    INTERRUPTED,
    Debug,
    forget_stdout,
    message,
    stopped,
    system_of,
    told,
)
from vanclimate.cli.schema import schema
from vanclimate.cli.size import size
from vanclimate.cli.slips import Commands
from vanclimate.cli.stacks import stacks
from vanclimate.cli.trip import trip
from vanclimate.cli.weather import app as weather_app

app = typer.Typer(
    cls=Commands,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="What life in a camper van will be like, before it is built: one question a command.",
)
app.add_typer(weather_app, name="weather", short_help="Weather of a place; fetches it, once.")


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


app.command(short_help="Does a night hold, on the battery and in degrees?")(night)
app.command(short_help="Which insulation stack is worth it?")(stacks)
app.command(short_help="Fuel and power of a trip; what runs out first?")(trip)
app.command(short_help="Does it last some days without shore?")(last)
app.command(short_help="What AC, heater, bank, roof, charger does it need?")(size)
app.command(short_help="The AC or heater stops: how soon is it dangerous?")(coast)
app.command(short_help="What is known by name: materials, loads and so on.")(library)
app.command(short_help="Start a sheet of your own, ready to edit and to run.")(new)
app.command(short_help="The schema of a sheet, for editors that complete and check it.")(schema)


@app.command(short_help="What was understood of a sheet, and what is guessed?")
def check(
    sheet: Annotated[
        Path | None,
        typer.Argument(help="Your sheet; without one, the demo's.", autocompletion=complete.sheets),
    ] = None,
    set_: Set = None,
    units: Units = None,
    debug: Debug = False,
) -> None:
    """Show every value of a sheet as understood, in both unit systems, and what was guessed.

    The sheet's own units come first.
    """
    with told(debug):
        from vanclimate.answers.damp import dampness
        from vanclimate.answers.fresh_air import fixed_ventilation
        from vanclimate.answers.scene import set_scene
        from vanclimate.answers.season import record_for, season_of
        from vanclimate.cache import data_path
        from vanclimate.network.summary import leakage_ua, summarise
        from vanclimate.report.checked import print_accepted, print_check
        from vanclimate.report.damp import print_damp
        from vanclimate.report.powered import print_power
        from vanclimate.report.terminal import console_for
        from vanclimate.van.reading import load

        read = load(sheet or data_path(*DEMO), set_ or ())
        system = system_of(units, read.units)
        leakage = leakage_ua(read.body.leakage, read.body.shelter, read.body.height)
        # the whole scene, so that a site or a data plate that cannot be is refused here too
        record = record_for(read)
        spell = next(s for s in season_of(read, record).spells if s.nights)
        scene = set_scene(read, spell.weather(), read.heading or 0.0)
        shell = summarise(scene.model, leakage)
        console = console_for()
        print_check(read, shell, scene.gear, fixed_ventilation(read), console, system)
        print_power(scene, console, system)
        print_damp(dampness(read, scene.model.shell, record), console, system)
        print_accepted(read, console, sheet)


SELDOM = 100_000  # new objects between two searches for dead cycles; Python's own is 700


def main() -> None:
    """Run the command line."""
    # imports alone make a million objects that stay: searching them again and again for the few
    # that can go took an eighth of a night, and the last time is when all goes anyway
    gc.set_threshold(SELDOM)
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # it reads all that is installed
    atexit.register(gc.freeze)
    try:
        app()
    except KeyboardInterrupt as stop:
        typer.echo(stopped(stop), err=True)
        sys.exit(INTERRUPTED)
    except OSError as error:  # typer's own text, such as the help, found no room
        forget_stdout()
        typer.echo(message(error), err=True)
        sys.exit(2)
