"""``vanclimate trip``: what does a trip take, and what runs out first?"""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vanclimate.cli.options import Asked, shared
from vanclimate.cli.progress import stages
from vanclimate.cli.respond import Question, respond

if TYPE_CHECKING:
    from vanclimate.answers.futures.ensemble import Tick
    from vanclimate.answers.trip.answer import Trip
    from vanclimate.site.record import Record
    from vanclimate.van.sheet import Sheet


class OfTrip(Asked):
    """The same, with a demo that has stops."""

    demo = ("scenarios", "winter-trip.yaml")


@shared
def trip(
    asked: Asked,
    stops: Annotated[
        list[str] | None,
        typer.Option(
            "--stop",
            metavar="<str>",
            help="A stop in place of the sheet's: 'greensboro, 12 January, 3 nights, 2 h driving, "
            "shore'; repeatable, in order.",
        ),
    ] = None,
) -> None:
    """Tell what a trip takes of fuel and power, whether it lasts, and what runs out first."""
    from vanclimate.errors import OptionError
    from vanclimate.van.trip import stops_of_option

    if asked.stay is not None:
        raise OptionError("--stay", asked.stay, "no stay: a trip's stops have days of their own")
    given = stops_of_option(stops or ())

    def whole_trip(sheet: Sheet, record: Record | None, draws: int, tick: Tick) -> Trip:
        from vanclimate.answers.trip.answer import trip as answer_for
        from vanclimate.answers.trip.places import with_stops

        whole = with_stops(sheet, given) if given else sheet
        if asked.site is not None and all(stop.place is not None for stop in whole.trip):
            allowed = "no site: the stops have places of their own"
            raise OptionError("--site", asked.site, allowed)
        return answer_for(whole, weather=record, draws=draws, tick=tick)

    def answer(sheet: Sheet, record: Record | None) -> Trip:
        from vanclimate.answers.trip.ranges import DRAWS

        with stages() as stage:
            return whole_trip(sheet, record, DRAWS, stage("vans"))

    def headline(sheet: Sheet, record: Record | None) -> Trip:
        from vanclimate.answers.futures.ensemble import quiet

        return whole_trip(sheet, record, 1, quiet)

    def verdict(found: Any, system: Any) -> str:
        from vanclimate.report.trip_words import verdict as first_line

        return first_line(found, system)

    def show(found: Any, system: Any, console: Any, *, demo: str) -> None:
        from vanclimate.report.trip import print_trip

        print_trip(found, system, console, demo=demo)

    of_trip = OfTrip(**{field.name: getattr(asked, field.name) for field in fields(asked)})
    respond(of_trip, Question("trip", answer, verdict, show, headline))
