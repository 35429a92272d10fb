"""From a file or a text to a checked `Sheet`, with one clear message where that fails.

What does not belong here: what a field may hold (fields.py), what is said of one that cannot be
(problems.py), and YAML itself (textfile.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from pydantic import ValidationError

from vanclimate.errors import SheetError
from vanclimate.van.changes import OPTION, Change, changed_tree, without_orphans
from vanclimate.van.own_layers import NO_LIBRARY, Library
from vanclimate.van.own_rows import with_own_rows
from vanclimate.van.paths import dotted, fault
from vanclimate.van.problems import told
from vanclimate.van.sheet import Sheet
from vanclimate.van.textfile import Node, read_text, read_tree


def load(path: str | Path, changes: Sequence[str] = ()) -> Sheet:
    """Read a scenario sheet from a file.

    Parameters
    ----------
    path : the sheet's file
    changes : values to put in place of the file's, each 'key=value'

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    """
    path = Path(path)
    return loads_text(read_text(path), path.name, changes, path.resolve().parent)


def loads_text(
    text: str, name: str = "sheet", changes: Sequence[str] = (), folder: Path | None = None
) -> Sheet:
    """Read a scenario sheet from its text.

    Parameters
    ----------
    text : the whole sheet
    name : what to call it in messages
    changes : values to put in place of the text's, each 'key=value'
    folder : from which the paths of a weather file and of a library count

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    OptionError : a change of a key that there is not
    """
    tree = read_tree(text, name)
    changed, done = changed_tree(tree, changes)
    if not done:
        tree, own = with_own_rows(tree, name, folder)
        return of_tree(tree, name, text, folder, own)
    base = None
    with suppress(SheetError):  # the changes may be what makes it whole
        whole, own = with_own_rows(tree, name, folder)
        base = of_tree(whole, name, text, folder, own)
    changed, own = with_own_rows(changed, name, folder)
    changed, left_out = _left_out(changed, done)
    try:
        sheet = of_tree(changed, name, text, folder, own)
    except SheetError as error:
        if error.line is None or base is None:
            raise
        beside = f"beside {' and '.join(change.option for change in done)}"
        hint = f"{error.hint}; {beside}" if error.hint else beside
        raise SheetError(name, error.line, error.key, error.found, error.allowed, hint) from None
    sheet._set, sheet._base, sheet._also = done, base, left_out
    sheet._changes = tuple((change.option, change.text) for change in done)
    return sheet


def _left_out(tree: Node, done: Sequence[Change]) -> tuple[Node, tuple[str, ...]]:
    """Return the tree without what a value set to 'none' leaves no sense in, and notes of it."""
    notes: list[str] = []
    while True:
        try:
            Sheet.model_validate(tree.plain())
        except ValidationError as error:
            places = [told(e, tree)[1] for e in error.errors(include_url=False)]
            smaller, place = without_orphans(tree, done, places)
            if place is None:
                return tree, tuple(notes)
            notes.append(
                f"{dotted(place)} counts for nothing beside a value set to none ({OPTION})"
            )
            tree = smaller
        else:
            return tree, tuple(notes)


def of_tree(
    tree: Node, name: str, text: str, folder: Path | None = None, own: Library = NO_LIBRARY
) -> Sheet:
    """Read a scenario sheet from its tree of texts.

    Parameters
    ----------
    tree : the texts by their keys, those of an own library in their places
    name : what to call it in messages
    text : the whole sheet
    folder : from which a weather file's path counts
    own : the library that the sheet names

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    """
    try:
        sheet = Sheet.model_validate(tree.plain())
    except ValidationError as error:
        raise _as_sheet_error(error, tree, name, own) from None
    except RecursionError:
        raise SheetError(name, found="a sheet too deep", allowed="a few levels") from None
    sheet._file, sheet._text, sheet._tree, sheet._folder = name, text, tree, folder
    sheet._own = own
    return sheet


def _as_sheet_error(error: ValidationError, tree: Node, name: str, own: Library) -> SheetError:
    """Return the first of pydantic's errors, by line, in our words; it carries the others."""
    problems = [
        (node, loc, found, allowed, own.near(str(found)) or hint)
        for node, loc, found, allowed, hint in (
            told(e, tree) for e in error.errors(include_url=False)
        )
    ]
    # a key that is missing is often one that is spelt wrongly, so that comes last
    problems.sort(key=lambda p: (p[2] == "nothing", p[0].line))
    node, loc, found, allowed, hint = problems[0]
    more = len(problems) - 1
    if more:
        also = f"and {more} more problem{'s' if more > 1 else ''} in this sheet"
        hint = f"{hint}; {also}" if hint else also
    first = fault(node, name, loc, found, allowed, hint)
    first.others = tuple(
        fault(node, name, loc, found, allowed, hint)
        for node, loc, found, allowed, hint in problems[1:]
    )
    return first
