"""Every error that the package raises on purpose.

::

    VanclimateError                   one clear message; the command line ends with exit code 2
    ├── SheetError                    a scenario sheet that cannot be read or makes no sense
    ├── WeatherError                  a weather file that cannot be read
    │   ├── UnknownSiteError          a site that is neither shipped nor a file
    │   ├── NoYearsError              years that a site does not have
    │   └── NoHoursError              a span of time of which a record has nothing
    ├── FetchError                    an open data service that gave no weather
    ├── UnitError                     a quantity that cannot be read
    └── OptionError                   a bad option on the command line or in a call

The text says where (file, line, key), what was found, what is allowed, and a near spelling.
What does not belong here: faults of our own, which stay ordinary Python exceptions.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable

MAX_SHOWN = 60
WITHOUT_NETWORK = (
    "without the network: a weather file, a shipped place such as miami, or a design day"
)


class VanclimateError(Exception):
    """Base of all errors raised on purpose; ``str()`` is the whole message.

    >>> str(VanclimateError("the bank is empty"))
    'the bank is empty'
    """

    exit_code = 2


class SheetError(VanclimateError):
    """A scenario sheet that cannot be read or makes no sense.

    Parameters
    ----------
    file : name of the sheet
    line : line number, counted from 1, or None
    key : dotted key in the sheet, such as ``body.length``, or None
    found : the text found there, or None
    allowed : what may stand there, in words, or None
    hint : near spelling or remedy, put in brackets at the end

    >>> str(SheetError("a.yaml", 14, "body.length", "-3 m", "1.5 m to 14 m"))
    "a.yaml, line 14, body.length: found '-3 m'; allowed: 1.5 m to 14 m"
    """

    def __init__(
        self,
        file: str | None = None,
        line: int | None = None,
        key: str | None = None,
        found: object = None,
        allowed: str | None = None,
        hint: str = "",
    ) -> None:
        self.file, self.line, self.key = file, line, key
        self.found, self.allowed, self.hint = found, allowed, hint
        self.others: tuple[SheetError, ...] = ()  # what else is wrong with the same sheet
        where = [file, None if line is None else f"line {line}", key]
        super().__init__(_message(where, found, allowed, hint))


class WeatherError(VanclimateError):
    """A weather file that cannot be read, or an unknown site.

    Parameters
    ----------
    file : name of the file or site
    row : row of the file, counted from 1, or None
    column : name of the column, or None
    found, allowed, hint : as in `SheetError`

    >>> str(WeatherError("x.tm2", 3, "DryBulb", "warm", "a number"))
    "x.tm2, row 3, column DryBulb: found 'warm'; allowed: a number"
    """

    def __init__(
        self,
        file: str | None = None,
        row: int | None = None,
        column: str | None = None,
        found: object = None,
        allowed: str | None = None,
        hint: str = "",
    ) -> None:
        self.file, self.row, self.column = file, row, column
        self.found, self.allowed, self.hint = found, allowed, hint
        where = [
            file,
            None if row is None else f"row {row}",
            None if column is None else f"column {column}",
        ]
        super().__init__(_message(where, found, allowed, hint))


class UnknownSiteError(WeatherError):
    """A site that is neither shipped nor a file; whoever knows where it stood says so."""


class NoYearsError(WeatherError):
    """Years that a site does not have; whoever knows where they stood says so."""


class NoHoursError(WeatherError):
    """A span of time of which a record holds no hour."""


class FetchError(VanclimateError):
    """A data service that gave no weather: not reached, refused, or with a reply not to be trusted.

    Parameters
    ----------
    service : name of the service
    happened : what went wrong, in a few words that hold no query and no key
    hint : remedy, put in brackets at the end

    >>> str(FetchError("PVGIS", "no connection"))[:62]
    'PVGIS: no connection (without the network: a weather file, a s'
    """

    def __init__(self, service: str, happened: str, hint: str = WITHOUT_NETWORK) -> None:
        self.service, self.happened, self.hint = service, happened, hint
        super().__init__(f"{service}: {happened} ({hint})")


class UnitError(VanclimateError):
    """A quantity that cannot be read; a sheet's reader adds the place to it.

    Parameters
    ----------
    text : the text as it was found
    allowed : the units or the form that are allowed
    hint : near spelling or remedy

    >>> str(UnitError("3", "a length with its unit: m, mm, in"))
    "found '3'; allowed: a length with its unit: m, mm, in"
    """

    def __init__(self, text: object, allowed: str | None = None, hint: str = "") -> None:
        self.text, self.allowed, self.hint = text, allowed, hint
        super().__init__(_message([], text, allowed, hint))


class OptionError(VanclimateError):
    """A bad option on the command line or in a call.

    Parameters
    ----------
    option : name of the option, such as ``--month``
    found, allowed, hint : as in `SheetError`

    >>> str(OptionError("--month", "Juli", "January to December", near("Juli", ["July"])))
    "--month: found 'Juli'; allowed: January to December (did you mean 'July'?)"
    """

    def __init__(
        self,
        option: str | None = None,
        found: object = None,
        allowed: str | None = None,
        hint: str = "",
    ) -> None:
        self.option, self.found, self.allowed, self.hint = option, found, allowed, hint
        super().__init__(_message([option], found, allowed, hint))


def near(word: str, known: Iterable[str]) -> str:
    """Return ``did you mean '…'?`` where a known word is spelt nearly like `word`, else ''.

    >>> near("lenght", ["length", "width"])
    "did you mean 'length'?"
    """
    by_fold = {k.casefold(): k for k in known}
    close = difflib.get_close_matches(word[:80].casefold(), list(by_fold), n=1, cutoff=0.6)
    return f"did you mean '{by_fold[close[0]]}'?" if close else ""


def shorten(found: object) -> str:
    """Return `found` as one short printable line, so that no message runs over.

    >>> shorten("a" * 100)[-1]
    '…'
    """
    raw = str(found)
    text = "".join(c if c.isprintable() else repr(c)[1:-1] for c in raw[: 2 * MAX_SHOWN])
    return text[: MAX_SHOWN - 1] + "…" if len(text) > MAX_SHOWN or len(raw) > len(text) else text


def _message(where: list[str | None], found: object, allowed: str | None, hint: str) -> str:
    """Join the parts that are known into one message."""
    place = ", ".join(w for w in where if w)
    parts = []
    if found is not None:
        parts.append(f"found '{shorten(found)}'")
    if allowed:
        parts.append(f"allowed: {allowed}")
    text = "; ".join(parts)
    body = ": ".join(p for p in (place, text) if p)
    return f"{body} ({hint})" if hint else body
