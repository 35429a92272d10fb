"""``vanclimate size``: what AC, heater, bank, roof and DC-DC charger does it need?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from vanclimate.cli.last import read_odds
from vanclimate.cli.options import Asked, shared
from vanclimate.cli.progress import stages
from vanclimate.cli.respond import Question, respond

if TYPE_CHECKING:
    from vanclimate.answers.size.answer import Size
    from vanclimate.site.record import Record
    from vanclimate.van.sheet import Sheet


@shared
def size(
    asked: Asked,
    odds: Annotated[str, typer.Option(help="The share of nights that must hold.")] = "90 %",
    days: Annotated[int, typer.Option(help="Nights in a row that the bank must bridge.")] = 1,
    futures: Annotated[int, typer.Option(help="How many stays each size is tried in.")] = 500,
    seed: Annotated[int, typer.Option(help="Of the draws; the same gives the same answer.")] = 20,
) -> None:
    """Tell the smallest AC, heater, bank, roof and DC-DC charger that are enough here."""
    share = read_odds(odds)

    def answer(sheet: Sheet, record: Record | None) -> Size:
        from vanclimate.answers.size.answer import size as answer_for

        with stages(kept=True) as stage:
            return answer_for(
                sheet, record, days=days, odds=share, futures=futures, seed=seed, stage=stage
            )

    def verdict(answer: Any, system: Any) -> str:
        from vanclimate.report.size_words import verdict as first_line

        return first_line(answer, system)

    def show(answer: Any, system: Any, console: Any, *, demo: str) -> None:
        from vanclimate.report.size import print_size

        print_size(answer, system, console, check=asked.check_command, demo=demo)

    respond(asked, Question("size", answer, verdict, show))
