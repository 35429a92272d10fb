"""``vanclimate night``: does a night hold?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from vanclimate.cli import complete
from vanclimate.cli.options import Asked, shared
from vanclimate.cli.outcome import read_option
from vanclimate.cli.respond import Question, respond

if TYPE_CHECKING:
    from vanclimate.answers.night import Night
    from vanclimate.answers.which_night import NightInShort
    from vanclimate.site.record import Record
    from vanclimate.van.sheet import Sheet


@shared
def night(
    asked: Asked,
    when: Annotated[
        str | None,
        typer.Option(
            "--night",
            help="hottest, coldest, typical, or 2025-07-14.",
            autocompletion=complete.nights,
        ),
    ] = None,
) -> None:
    """Tell whether a night holds: on the battery, and cool enough to sleep."""
    from vanclimate.van.place import read_night

    wanted = None if when is None else read_option("--night", read_night, when)

    def answer(sheet: Sheet, record: Record | None) -> Night:
        from vanclimate.answers.night import night as answer_for

        return answer_for(sheet, weather=record, when=wanted)

    def verdict(night: Any, system: Any) -> str:
        from vanclimate.report.words import verdict as first_line

        return first_line(night, system)

    def show(night: Any, system: Any, console: Any, *, demo: str) -> None:
        from vanclimate.report.terminal import print_night

        print_night(night, system, console, check=asked.check_command, demo=demo)

    def headline(sheet: Sheet, record: Record | None) -> NightInShort:
        from vanclimate.answers.which_night import night_in_short

        return night_in_short(sheet, record, wanted)

    respond(asked, Question("night", answer, verdict, show, headline))
