"""What a shell may complete after an option: sheets, places, loads, keys and a few words.

Each function takes the text so far and returns the words that begin with it. Only light modules
are imported here at the top, see `vanclimate.cli`. What does not belong here: how a shell is told,
which is typer's.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

ASKED_BY = "_VANCLIMATE_COMPLETE"  # the variable by which a shell asks
SHEETS = (".yaml", ".yml")

Words = Callable[[str], list[str]]


def one_of(*words: str) -> Words:
    """Return what completes a few words."""

    def complete(incomplete: str) -> list[str]:
        return _those(words, incomplete)

    return complete


units = one_of("us", "si")
nights = one_of("hottest", "coldest", "typical")
years = one_of("typical")
LISTS = ("materials", "stacks", "bodies", "equipment", "loads")
lists = one_of(*LISTS)
sources = one_of("power", "pvgis", "nsrdb")


def sheets(incomplete: str) -> list[str]:
    """Return the sheets and the folders that a path so far may come to."""
    folder, name = os.path.split(incomplete)
    try:
        here = sorted(Path(folder or ".").iterdir())
    except OSError:
        return []
    shown = [path for path in here if name.startswith(".") or not path.name.startswith(".")]
    found = [path.name for path in shown if path.suffix in SHEETS]
    found += [f"{path.name}/" for path in shown if path.is_dir()]
    return _those([os.path.join(folder, word) for word in found], incomplete)


def places(incomplete: str) -> list[str]:
    """Return the places whose weather is shipped or was fetched."""
    from vanclimate.site.fetched.store import stored_series
    from vanclimate.site.sites import shipped_sites

    fetched = (series.name for series in stored_series())
    return _those(dict.fromkeys((*shipped_sites(), *fetched)), incomplete)


def loads(incomplete: str) -> list[str]:
    """Return the ordinary loads that have a name."""
    from vanclimate.van.load_library import LOADS

    return _those([load.name for load in LOADS], incomplete)


def keys(incomplete: str) -> list[str]:
    """Return the keys of a sheet, ready for a value: 'battery.capacity='."""
    wanted = incomplete.replace(" ", "_")
    return [f"{key}=" for key in _keys(()) if key.startswith(wanted)]


def _keys(section: tuple[str, ...]) -> Iterator[str]:
    """Yield the keys of a section and of those in it; a list's items have names of their own."""
    from vanclimate.van.schema import holds_list, keys_at, part_at

    for key in keys_at(section):
        steps = (*section, key)
        if part_at(steps) is None:
            yield ".".join(steps)
        elif not holds_list(steps):
            yield from _keys(steps)


def _those(words: Iterable[str], incomplete: str) -> list[str]:
    """Return the words that go on from a text, as the shell that asks takes them."""
    begun = incomplete.casefold()
    found = [word for word in words if word.casefold().startswith(begun)]
    if not os.environ.get(ASKED_BY, "").endswith("bash"):
        return found  # all others quote what they are given
    return [re.sub(r"([^\w./=:@%+,~-])", r"\\\1", word) for word in found]
