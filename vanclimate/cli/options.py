"""The options that all answers share, and what they ask for.

A command is a function of an `Asked` and its own options, decorated with `shared`; it ends in
`vanclimate.cli.respond`. Only typer is imported here at the top, see `vanclimate.cli`.
"""

from __future__ import annotations

import functools
import inspect
import sys
from collections.abc import Callable
from dataclasses import dataclass, fields
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, NamedTuple, get_type_hints

import typer

from vanclimate.cli import complete
from vanclimate.cli.outcome import Debug, read_option, system_of, told

if TYPE_CHECKING:
    from vanclimate.site.record import Record
    from vanclimate.units import System
    from vanclimate.van.sheet import Sheet

DEMO = ("scenarios", "holds.yaml")
OWN_SHEET = "vanclimate new my-van.yaml"

Units = Annotated[
    str | None,
    typer.Option(help="us or si; the sheet's own by default.", autocompletion=complete.units),
]

Set = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="<key=value>",
        help="A value in place of the (first) sheet's: 'battery.capacity=500 Ah', "
        "month=August; repeatable.",
        autocompletion=complete.keys,
    ),
]


@dataclass(frozen=True)
class Asked:
    """What the command line asks of any answer; each field is an option of every command.

    ``demo`` is the sheet that stands in for one that is not given.
    """

    demo: ClassVar[tuple[str, ...]] = DEMO

    sheet: Annotated[
        Path | None,
        typer.Argument(
            help="Your sheet; without one, an invented demo van.", autocompletion=complete.sheets
        ),
    ] = None
    site: Annotated[
        str | None,
        typer.Option(
            help="A place, coordinates or a weather file, not the sheet's site and spot.",
            autocompletion=complete.places,
        ),
    ] = None
    years: Annotated[
        str | None,
        typer.Option(
            help="typical, or real years such as 2017-2023, of the site.",
            autocompletion=complete.years,
        ),
    ] = None
    stay: Annotated[
        str | None, typer.Option(help="Nights of a stay, '12 July to 26 July', not of the month.")
    ] = None
    fill: Annotated[
        bool, typer.Option("--fill", help="Fill a weather file's gaps of up to 3 h.")
    ] = False
    also: Annotated[
        list[str] | None,
        typer.Option(
            metavar="<str>",
            help="A load more: kettle, or 'blender: 300 W, 5 min at 8:00'; repeatable.",
            autocompletion=complete.loads,
        ),
    ] = None
    set_: Set = None
    units: Units = None
    page: Annotated[
        Path | None,
        typer.Option(help="Write the page to keep and print: two sheets, as .html or .pdf."),
    ] = None
    csv: Annotated[
        Path | None, typer.Option(help="Write the answer's figures to this CSV file.")
    ] = None
    trace: Annotated[
        Path | None, typer.Option(help="Write the run, step by step, to this CSV file.")
    ] = None
    force: Annotated[
        bool, typer.Option("--force", help="Replace a page that is there already.")
    ] = False
    compare: Annotated[
        Path | None,
        typer.Option(
            help="Another sheet, set beside the first: what differs and what matters.",
            autocompletion=complete.sheets,
        ),
    ] = None
    json: Annotated[
        bool, typer.Option("--json", help="Answer in JSON, and print nothing else.")
    ] = False
    debug: Debug = False

    @property
    def source(self) -> Path:
        """The sheet's file: the one given, else the demo's."""
        from vanclimate.cache import data_path

        return self.sheet or data_path(*self.demo)

    @property
    def check_command(self) -> str:
        """The command that lists the sheet's values."""
        return f"vanclimate check {self.sheet}" if self.sheet else "vanclimate check"

    def given(self) -> Given:
        """Return what an answer is computed from; whatever cannot be is refused here.

        Raises
        ------
        SheetError, OptionError, WeatherError
        """
        from vanclimate.van.reading import load

        read = load(self.source, self.set_ or ())
        sheet, record = self.ready(read)
        return Given(read, sheet, record, system_of(self.units, read.units), self._targets(sheet))

    def ready(self, sheet: Sheet) -> tuple[Sheet, Record | None]:
        """Return a sheet that was read with the loads added, at the site asked for.

        The record is None where that is the sheet's own site.
        """
        from vanclimate.van.also import with_also

        return self.at_site(with_also(sheet, self.also or ()))

    def at_site(self, sheet: Sheet) -> tuple[Sheet, Record | None]:
        """Return a sheet at the site, in the years and for the stay asked for, and such a record.

        There is no record where the sheet's own site is asked about, in its own years.
        """
        from vanclimate.errors import NoYearsError, OptionError, UnknownSiteError
        from vanclimate.site.sites import find_record
        from vanclimate.site.years import read_years
        from vanclimate.van.place import read_stay

        years = None if self.years is None else read_option("--years", read_years, self.years)
        if self.stay is not None:
            if sheet.site.place is None and self.site is None:
                raise OptionError("--stay", self.stay, "no stay beside made-up days")
            sheet = sheet.for_stay(read_option("--stay", read_stay, self.stay))
        if self.site is not None and not self.site.strip():
            raise OptionError(
                "--site", "nothing", "a place such as miami: `vanclimate weather list`"
            )
        if self.fill:
            sheet = sheet.with_value("site.gaps", "fill")
        if self.site is not None:
            sheet, folder = sheet.moved(self.site), Path.cwd()
        elif years is None:
            return sheet, None
        else:
            folder = sheet.folder or Path.cwd()
        place, spot = sheet.site.place, sheet.site
        if place is None:
            raise OptionError("--years", self.years, "no years beside a made-up day")
        try:
            record = find_record(place, folder, years, spot.gaps == "fill", spot.elevation)
        except UnknownSiteError as error:
            if self.site is None:
                return sheet, None  # the sheet's own site is refused with its line
            raise OptionError("--site", error.found, error.allowed or "", error.hint) from None
        except NoYearsError as error:
            raise OptionError("--years", error.found, error.allowed or "", error.hint) from None
        return (sheet if years is None else sheet.with_value("site.years", years)), record

    def _targets(self, sheet: Sheet) -> Targets:
        """Return where files go that the answer is to be written to; none may be read.

        Raises
        ------
        OptionError
        """
        files = [self.source, *([self.compare] if self.compare is not None else [])]
        if self.site is not None:
            files.append(Path(self.site))
        if sheet.site.place is not None and sheet.folder is not None:
            files.append(sheet.folder / sheet.site.place)
        targets = Targets()
        if self.page is not None:
            from vanclimate.page.write import check_page

            targets = targets._replace(page=check_page(self.page, files, self._may_replace()))
        if self.csv is not None:
            from vanclimate.report.figures_file import check_figures

            targets = targets._replace(csv=check_figures(self.csv, files))
        if self.trace is not None:
            from vanclimate.report.trace_file import check_target

            targets = targets._replace(trace=check_target(self.trace, files))
        check_apart(targets)
        return targets

    def _may_replace(self) -> bool:
        """Return whether a page that is there may go; on a terminal that is asked."""
        assert self.page is not None, "a page is asked for"
        asks = sys.stdin.isatty() and sys.stderr.isatty() and self.page.is_file()
        if self.force or not asks:
            return self.force
        return typer.confirm(f"{self.page} is there already. Replace it?", err=True)


class Targets(NamedTuple):
    """Files that an answer is to be written to, by the option's name; None: not asked for."""

    page: Path | None = None
    csv: Path | None = None
    trace: Path | None = None


def check_apart(targets: Targets) -> None:
    """Refuse one file for two things.

    Raises
    ------
    OptionError
    """
    from vanclimate.errors import OptionError

    seen: dict[Path, str] = {}
    for name, path in targets._asdict().items():
        if path is not None and path in seen:
            raise OptionError(f"--{name}", str(path), f"another file than that of --{seen[path]}")
        if path is not None:
            seen[path] = name


class Given(NamedTuple):
    """What an answer is computed from, and where it is written to."""

    read: Sheet  # as it stands in the file, and as values were set
    sheet: Sheet  # with loads added, at the site asked for
    record: Record | None  # None: the sheet's own site
    system: System
    targets: Targets


def shared(command: Callable[..., None]) -> Callable[..., None]:
    """Return a command that has its own options and all of `Asked`'s.

    Parameters
    ----------
    command : takes an `Asked` first, then its own options
    """
    own = list(inspect.signature(command).parameters.values())[1:]
    kinds = get_type_hints(command, include_extras=True)
    mine = get_type_hints(Asked, include_extras=True)
    names = [field.name for field in fields(Asked)]

    @functools.wraps(command)
    def whole(**given: Any) -> None:
        asked = Asked(**{name: given.pop(name) for name in names})
        with told(asked.debug):
            command(asked, **given)

    keyword = inspect.Parameter.KEYWORD_ONLY
    options = [
        inspect.Parameter(field.name, keyword, default=field.default, annotation=mine[field.name])
        for field in fields(Asked)
    ]
    options[-1:-1] = [p.replace(kind=keyword, annotation=kinds[p.name]) for p in own]
    whole.__annotations__ = {option.name: option.annotation for option in options}
    whole.__signature__ = inspect.Signature(options)  # type: ignore[attr-defined]
    return whole
