"""``vanclimate coast``: how long until it is dangerous, once the AC or the heater stops?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from vanclimate.cli.options import Asked, shared
from vanclimate.cli.outcome import read_option
from vanclimate.cli.progress import stages
from vanclimate.cli.respond import Question, respond

if TYPE_CHECKING:
    from vanclimate.answers.coast.answer import Coast
    from vanclimate.site.record import Record
    from vanclimate.van.sheet import Sheet


@shared
def coast(
    asked: Asked,
    at: Annotated[
        str | None,
        typer.Option(
            "--at", help="When it stops, such as 15:00, not the hours of full sun or of the night."
        ),
    ] = None,
) -> None:
    """Tell how soon it is dangerous for adults once the AC or the heater stops; cautions first."""
    from vanclimate.units import parse_clock

    minute = None if at is None else read_option("--at", parse_clock, at)

    def answer(sheet: Sheet, record: Record | None) -> Coast:
        from vanclimate.answers.coast.answer import coast as answer_for

        with stages() as stage:
            return answer_for(sheet, weather=record, at=minute, tick=stage("cuts"))

    def verdict(found: Any, system: Any) -> str:
        from vanclimate.report.coast_words import verdict as first_line

        return first_line(found, system)

    def show(found: Any, system: Any, console: Any, *, demo: str) -> None:
        from vanclimate.report.coast import print_coast

        print_coast(found, system, console, demo=demo)

    respond(asked, Question("coast", answer, verdict, show))
