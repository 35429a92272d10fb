"""``vanclimate stacks``: which insulation stack suits the van?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from vanclimate.cli.options import Asked, shared
from vanclimate.cli.progress import stages
from vanclimate.cli.respond import Question, respond

if TYPE_CHECKING:
    from vanclimate.answers.stacks.answer import Stacks
    from vanclimate.site.record import Record
    from vanclimate.van.sheet import Sheet


@shared
def stacks(asked: Asked) -> None:
    """Rank insulation stacks for the van, and tell what each layer of its own earns."""

    def answer(sheet: Sheet, record: Record | None) -> Stacks:
        from vanclimate.answers.stacks.answer import stacks as answer_for

        with stages() as stage:
            return answer_for(sheet, weather=record, tick=stage("stacks"))

    def verdict(found: Any, system: Any) -> str:
        from vanclimate.report.stacks_words import verdict as first_line

        return first_line(found, system)

    def show(found: Any, system: Any, console: Any, *, demo: str) -> None:
        from vanclimate.report.stacks import print_stacks

        print_stacks(found, system, console, demo=demo)

    respond(asked, Question("stacks", answer, verdict, show))
