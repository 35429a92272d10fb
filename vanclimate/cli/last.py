"""``vanclimate last``: will it last some days?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vanclimate.cli.options import Asked, shared
from vanclimate.cli.outcome import read_option
from vanclimate.cli.progress import stages
from vanclimate.cli.respond import Question, respond

if TYPE_CHECKING:
    from vanclimate.answers.last import Last
    from vanclimate.site.record import Record
    from vanclimate.van.sheet import Sheet


@shared
def last(
    asked: Asked,
    days: Annotated[int, typer.Option(help="How many nights in a row.")] = 3,
    odds: Annotated[str, typer.Option(help="The share of stays that must last.")] = "90 %",
    futures: Annotated[int, typer.Option(help="How many stays are tried.")] = 1000,
    seed: Annotated[int, typer.Option(help="Of the draws; the same gives the same answer.")] = 20,
    shore: Annotated[
        bool, typer.Option("--shore", help="Count on shore power as the sheet has it.")
    ] = False,
    search: Annotated[
        bool, typer.Option("--search/--no-search", help="Look for the smallest change.")
    ] = True,
    table: Annotated[
        Path | None, typer.Option(help="Write all futures, a row each, to this CSV file.")
    ] = None,
) -> None:
    """Tell whether the van lasts some days without shore: odds, what fails first, what helps."""
    share = read_odds(odds)
    left = [] if table is None else [_table_of(asked, table)]

    def answer(sheet: Sheet, record: Record | None) -> Last:
        from vanclimate.answers.last import last as answer_for
        from vanclimate.report.futures_file import write_futures

        target = left.pop() if left else None  # of two sheets the first's, as the trace
        with stages(kept=True) as stage:
            found = answer_for(
                sheet, record, days=days, odds=share, futures=futures, seed=seed, shore=shore,
                search=search, stage=stage,
            )  # fmt: skip
        if target is not None:
            write_futures(found.futures, target)
        return found

    def verdict(answer: Any, system: Any) -> str:
        from vanclimate.report.last_words import verdict as first_line

        return first_line(answer, system)

    def show(answer: Any, system: Any, console: Any, *, demo: str) -> None:
        from vanclimate.report.last import print_last

        print_last(answer, system, console, check=asked.check_command, demo=demo)

    def headline(sheet: Sheet, record: Record | None) -> Last:
        from vanclimate.answers.last import last as answer_for

        return answer_for(
            sheet, record, days=days, odds=share, futures=futures, seed=seed, shore=shore,
            search=False,
        )  # fmt: skip

    respond(asked, Question("last", answer, verdict, show, headline))


def _table_of(asked: Asked, table: Path) -> Path:
    """Return where the futures go, which must be no file that is read, nor the trace's."""
    from vanclimate.errors import OptionError
    from vanclimate.report.futures_file import OPTION, check_futures

    read = [asked.source] if asked.compare is None else [asked.source, asked.compare]
    target = check_futures(table, tuple(read))
    if asked.trace is not None and asked.trace.resolve() == target:
        raise OptionError(OPTION, str(table), "another file than that of --trace")
    return target


def read_odds(text: str) -> float:
    """Return the odds asked for as a share.

    Raises
    ------
    OptionError
    """
    from vanclimate.errors import OptionError
    from vanclimate.units import parse

    share = read_option("--odds", lambda x: parse(x, "fraction"), text)
    if not 0.0 < share < 1.0:
        raise OptionError("--odds", text, "more than 0 %, less than 100 %, such as '90 %'")
    return share
