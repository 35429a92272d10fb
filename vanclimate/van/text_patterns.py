"""Patterns of the texts that a sheet's values are: what an editor can tell without reading them.

A pattern takes every text that the reader takes, and some that it refuses: limits, and what only
another value makes wrong, are left to the reader. They are written for ECMA 262 with its ``u``
flag and for Python's ``re`` alike. What does not belong here: which value is of which kind
(json_schema.py), and the readers.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from vanclimate.errors import UnitError
from vanclimate.units import COMPASS, KINDS, parse

ANY = r"[\s\S]*"
NUMBER = r"[-+−]?(?:\d+\s?/\s?\d+|[\d.][\d.,]*(?:[eE][-+]?\d+)?(?:(?:\s+|-)[-+−]?\d+\s?/\s?\d+)?)"
CLOCK = (
    r"(?:[mM][iI][dD][nN][iI][gG][hH][tT]|[nN][oO][oO][nN]|[mM][iI][dD][dD][aA][yY]|"
    r"[\d.]+(?::[\d.]+)?\s*[aApP]\.*[mM]\.*|[\d.]+:[\d.]+)"
)
PERIOD = rf"{CLOCK}(?:\s+(?:to|until|till)\s+|\s*[-–]\s*){CLOCK}"
PERIODS = rf"{PERIOD}(?:\s*,\s*{PERIOD})*"
_GAUGE = r"\d{1,2}\s*-?\s*(?:[gG][aA][uU][gG][eE]|[gG][aA])\.?"
_MARKS = "\"'″′"  # of inches and feet
_BY = r"(?:[xX×]|[bB][yY])"
_SPECIAL = {
    "length": _GAUGE,
    "area": rf"{NUMBER}\s*{ANY}{_BY}\s*{NUMBER}\s*[A-Za-z{_MARKS}]{ANY}",
    "conductivity": r"[rR]\s*-?\s*[\d.]+\s*(?:/|[pP][eE][rR])\s*[iI][nN](?:[cC][hH])?",
    "thermal_resistance": r"[rR](?:[sS][iI])?\s*-?\s*[\d.]+",
    "vapour_resistance": r"[\d.]+\s*(?:[uU][sS]\s+)?[pP][eE][rR][mM][sS]?",
}
_DEGREE = r"(?:°|º|[dD][eE][gG]|\s)*"
_OF_TEMPERATURE = ("c", "f", "k", "celsius", "fahrenheit", "kelvin")
_NO_UNIT = r"(?!(?:[xX]|[bB][yY])[\s\d.,/+-]*$)"  # '30 x 18' has none


def whole_text(*patterns: str) -> str:
    """Return the pattern of a text that is one of some patterns from end to end."""
    return rf"^\s*(?:{'|'.join(patterns)})\s*$"


def any_case(word: str) -> str:
    """Return the pattern of a word in any case, its blanks and hyphens as `fields.fold` takes them.

    >>> any_case("Pop-top")
    '[pP][oO][pP][\\\\s_-]+[tT][oO][pP]'
    """
    out, gap = "", False
    for sign in word.strip(" -_"):
        if sign in " -_":
            gap = True
            continue
        out, gap = out + (r"[\s_-]+" if gap else ""), False
        out += _sign(sign)
    return out


def _sign(sign: str) -> str:
    """Return one sign in any case; none but those of the syntax may be escaped."""
    forms = "".join(sorted({sign.casefold(), sign.lower(), sign.upper()}, reverse=True))
    if len(forms) > 1:
        return f"[{forms}]"
    return f"\\{sign}" if sign in r"^$\.*+?()[]{}|/" else sign


def words_pattern(words: Iterable[str]) -> str:
    """Return the pattern of any of some words."""
    found = dict.fromkeys(any_case(word) for word in words)
    return rf"[\s_-]*(?:{'|'.join(found)})[\s_-]*"


def key_pattern(name: str) -> str:
    """Return the pattern of a key in a spelling other than the usual one, with blanks."""
    spelt = name.replace("_", " ")
    return rf"^(?!{spelt}$)[\s_-]*{any_case(spelt)}[\s_-]*$"


@lru_cache(maxsize=64)
def quantity_pattern(kind: str) -> str:
    """Return the pattern of a quantity in any of its units, blanks round it left out.

    Parameters
    ----------
    kind : a key of `units.KINDS`
    """
    k = KINDS[kind]
    if kind == "none":
        return NUMBER
    if kind in ("temperature", "temperature_difference"):
        scale = "|".join(map(any_case, _OF_TEMPERATURE))
        return rf"{NUMBER}\s*{_DEGREE}(?:{scale}){_DEGREE}"
    if k.pint_unit is None:
        unit = "|".join(_unit(spelling) for spelling in (*k.si, *k.us))
        unit = f"(?:{unit}){'?' if k.bare else ''}"
    else:  # pint reads many more
        wrong = "|".join(_exact(spelling) for spelling in _other_units(kind))
        unit = rf"{_NO_UNIT}(?!(?:{wrong})\s*$)[A-Za-zµμΩωΩ_{_MARKS}]{ANY}"
    special = {"angle": _compass()}.get(kind) or _SPECIAL.get(kind)
    plain = rf"{NUMBER}\s*{unit}"
    return f"(?:{plain}|{special})" if special else plain


def _unit(spelling: str) -> str:
    """Return the pattern of a unit in any case, its powers written either way."""
    return "".join({"2": "[2²]", "3": "[3³]", " ": r"\s+"}.get(c) or _sign(c) for c in spelling)


def _exact(spelling: str) -> str:
    return "".join(f"\\{c}" if c in r"^$\.*+?()[]{}|/" else c for c in spelling)


def _other_units(kind: str) -> list[str]:
    """Return the spellings of units that are of other kinds alone."""
    spellings = {unit for k in KINDS.values() for unit in (*k.si, *k.us)}
    return [spelling for spelling in sorted(spellings) if not _reads(f"1 {spelling}", kind)]


def _reads(text: str, kind: str) -> bool:
    try:
        parse(text, kind)
    except UnitError:
        return False
    return True


def _compass() -> str:
    words = sorted(COMPASS, key=len, reverse=True)
    return "|".join("-*".join(_sign(c) for c in word) for word in words)
