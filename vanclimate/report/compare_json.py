"""A comparison as JSON.

The form is described in docs/json.md. What does not belong here: a single answer's
(json_text.py).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from vanclimate.report.compare_words import verdict
from vanclimate.report.json_text import answer_text, inputs_of, plain, unit_of

if TYPE_CHECKING:
    from vanclimate.answers.compare.answer import Comparison
    from vanclimate.units import System


def comparison_text(
    comparison: Comparison, lines: tuple[str, str], files: tuple[str, str], system: System,
    also: Iterable[str],
) -> str:  # fmt: skip
    """Return a comparison as a JSON text.

    Parameters
    ----------
    comparison : what
    lines : the first lines of both answers
    files : both sheets' files
    system : units of the sentences
    also : loads that were added to both
    """
    sheets = comparison.first.sheet, comparison.second.sheet
    first, second = (inputs_of(s, f, also) for s, f in zip(sheets, files, strict=True))
    inputs = {"question": comparison.question, "first": first, "second": second}
    figures = [{**plain(pair), "unit": unit_of(pair.kind)} for pair in comparison.pairs]
    answer = {**plain(comparison), "first_lines": list(lines)}
    return answer_text("compare", verdict(comparison, system), inputs, figures, answer)
