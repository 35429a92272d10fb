"""From the options to the page: what every command does once it knows its question.

Only light modules are imported here at the top, see `vanclimate.cli`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from vanclimate.cli.options import OWN_SHEET, Asked, Given
from vanclimate.cli.progress import Board, working

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.answers.compare.answer import HasFigures
    from vanclimate.answers.figures import Answer
    from vanclimate.site.record import Record
    from vanclimate.units import System
    from vanclimate.van.sheet import Sheet


@dataclass(frozen=True)
class Question:
    """What a command must know to answer.

    Attributes
    ----------
    name : of the command, such as 'night'
    answer : computes it for a sheet; the record is None at the sheet's own site
    verdict : its first line
    headline : a shorter way to the same figures where the answer is slow, for a comparison
    show : prints the whole answer: ``show(answer, system, console, demo=…)``, where the last is
        what is to be said of an invented van, or ''
    """

    name: str
    answer: Callable[[Sheet, Record | None], Answer]
    verdict: Callable[[Any, System], str]
    show: Callable[..., None]
    headline: Callable[[Sheet, Record | None], HasFigures] | None = None


def say_compiling(board: Board) -> None:
    """Say on stderr that the loop is compiled first, where it must be."""
    from vanclimate.simulate.jit import is_compiled

    if not is_compiled():
        board.compiling(is_compiled)


def respond(asked: Asked, question: Question) -> None:
    """Compute, write the trace where one is asked for, and print.

    Raises
    ------
    VanclimateError : whatever is wrong with the sheet or the options
    """
    given = asked.given()
    if asked.compare is not None:
        _respond_to_both(asked, question, given)
        return
    with working(question.name) as board:
        say_compiling(board)
        answer = question.answer(given.sheet, given.record)
    done = _write(question.name, given, asked, answer, (answer,))
    if asked.json:
        from vanclimate.report.json_text import answer_text, figure_of, inputs_of

        inputs = inputs_of(given.sheet, str(asked.sheet or given.sheet.file), asked.also or ())
        first_line, figures = question.verdict(answer, given.system), answer.figures
        text = answer_text(question.name, first_line, inputs, map(figure_of, figures), answer)
        print(text)  # all in ASCII
        return
    from vanclimate.report.terminal import console_for

    console = console_for()
    question.show(answer, given.system, console, demo=_demo(asked))
    _say_written(console, done)


def _respond_to_both(asked: Asked, question: Question, given: Given) -> None:
    """Compare the sheet with another, and print that."""
    from vanclimate.answers.compare.answer import compare
    from vanclimate.van.reading import load

    assert asked.compare is not None, "another sheet"
    other = load(asked.compare)
    with working(question.name) as board:
        say_compiling(board)
        found = compare(
            question.name, (given.read, other), question.answer, question.headline, asked.ready,
            board.begin("differences"),
        )  # fmt: skip
    done = _write(question.name, given, asked, found, (found.first, found.second))
    first, second = (question.verdict(x, given.system) for x in (found.first, found.second))
    if asked.json:
        from vanclimate.report.compare_json import comparison_text

        files = str(asked.sheet or given.read.file), str(asked.compare)
        print(comparison_text(found, (first, second), files, given.system, asked.also or ()))
        return
    from vanclimate.report.compare import print_compare
    from vanclimate.report.terminal import console_for

    console = console_for()
    print_compare(found, (first, second), given.system, console, demo=_demo(asked))
    _say_written(console, done)


def _say_written(console: Console, done: str) -> None:
    """Say last of all, where it is seen, which files were written."""
    from vanclimate.report.layout import say

    if done:
        console.print()
        say(console, f"Written: {done}.")


def _demo(asked: Asked) -> str:
    """Return what to say of an invented van, or ''."""
    text = f"A demo: the van is invented. Start your own sheet with `{OWN_SHEET}`."
    return "" if asked.sheet else text


def _write(question: str, given: Given, asked: Asked, whole: Any, answers: Sequence[Answer]) -> str:
    """Write what is asked for beside the answer, and return what to say of it.

    Parameters
    ----------
    whole : the answer, or the comparison of two
    answers : the one, or both, of which the first's run is the trace
    """
    targets, said = given.targets, []
    if targets.csv is not None:
        from vanclimate.report.figures_file import write_figures

        write_figures(question, [(a.sheet.digest, a.figures) for a in answers], targets.csv)
        said.append(f"figures to {asked.csv}")
    if targets.trace is not None:
        from vanclimate.report.trace_file import write_csv

        frame = answers[0].trace
        write_csv(frame, targets.trace)
        whose = " of the first" if len(answers) > 1 else ""
        said.append(f"{len(frame)} rows{whose} to {asked.trace}")
    if targets.page is not None:
        from vanclimate.page.write import write_page

        write_page(whole, given.system, targets.page)
        is_web = targets.page.suffix.lower() != ".pdf"
        opened = "; open it in a browser, it prints on two sheets" if is_web else ""
        said.append(f"page to {asked.page}{opened}")
    return "; ".join(said)
