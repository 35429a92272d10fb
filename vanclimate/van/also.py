"""A load more than the sheet lists, as the command line gives it.

What does not belong here: what a load may be (loads.py), and what a name alone stands for
(load_library.py).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from vanclimate.errors import OptionError, UnitError, near
from vanclimate.units import KINDS, parse, parse_clock, show
from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import Period, fold, read_period, write_periods
from vanclimate.van.inverter import Inverter
from vanclimate.van.load_library import near_load, usual_load
from vanclimate.van.loads import LOAD_FEEDS, Load
from vanclimate.van.own_layers import NO_LIBRARY, Library
from vanclimate.van.own_rows import own_load
from vanclimate.van.parts import People
from vanclimate.van.sheet import MOST_LISTED, Sheet
from vanclimate.van.water import WATER
from vanclimate.van.zones import refuse_apart, refuse_unknown

OPTION = "--also"
UNNAMED = "extra load"
LONGEST = 200  # letters
FORMS = (
    "a load such as 'kettle', 'blender: 300 W, 5 min at 8:00, inverter', "
    "'60 W, night' or '1.2 kW, 18:00 to 18:30, inverter'"
)
_WHEN_WORDS = ("night", "day", "always")


def with_also(sheet: Sheet, texts: Sequence[str]) -> Sheet:
    """Return a copy of a sheet with more loads, which its notes name.

    Parameters
    ----------
    sheet : the sheet
    texts : each a load, as `read_also` reads it

    Raises
    ------
    OptionError : naming ``--also``, for what cannot be
    """
    for text in texts:
        sheet = _with_one(sheet, text)
    return sheet


def read_also(text: str, people: People, own: Library = NO_LIBRARY) -> Load:
    """Read a load: its name, its watts, when it is on, and what feeds it, in any order.

    Parameters
    ----------
    text : as `FORMS` shows
    people : whose night is meant by 'night'
    own : a library that has more loads by name

    >>> load = read_also("blender: 300 W, 5 min at 8:00, inverter", People())
    >>> load.name, load.power, load.when, load.feed
    ('blender', 300.0, ((480, 485),), 'inverter')
    """
    if len(text) > LONGEST:
        raise UnitError(text, f"{LONGEST} letters at most")
    text = " ".join(text.split())
    if not text.isprintable():
        raise UnitError(text, FORMS)
    named = re.fullmatch(r"([^,:]*[A-Za-z][^,:]*):\s+(.+)", text.strip())
    row: dict[str, Any] = {"name": named[1].strip()} if named else {}
    parts = [part.strip() for part in (named[2] if named else text).split(",")]
    if not named and _is_name(parts[0], own):
        row["name"] = parts.pop(0)
    for part in parts:
        key, value = _read_part(part, people)
        if key == "when" and "when" in row:
            value = row["when"] + value
        elif key in row:
            raise UnitError(part, f"{key.replace('_', ' ')} once")
        row[key] = value
    row.setdefault("name", UNNAMED)
    if (known := own_load(row["name"], own)) is not None:
        row = {**{key: node.plain() for key, node in known.values.items()}, **row}
    try:
        return Load.model_validate(row)
    except ValidationError as error:
        told = error.errors(include_url=False)[0].get("ctx") or {}
        hint = str(told.get("hint", ""))
        if told.get("found") == "nothing":
            near_name = own.near(row["name"]) or near_load(row["name"])
            raise UnitError(text, f"its watts; or {FORMS}", near_name) from None
        raise UnitError(told.get("found", text), told.get("allowed", FORMS), hint) from None


def _is_name(text: str, own: Library) -> bool:
    """Return whether a part is a name and not one of the other words."""
    words = {*_WHEN_WORDS, *LOAD_FEEDS, *ZONES, *WATER}
    known = usual_load(text) is not None or own_load(text, own) is not None
    return known or (re.match(r"[A-Za-z]", text) is not None and fold(text) not in words)


def _read_part(text: str, people: People) -> tuple[str, Any]:
    """Return the field of a load that a part gives, and its value."""
    word = fold(text)
    nights = {"night": ((people.bedtime, people.waking),), "always": (),
              "day": ((people.waking, people.bedtime),)}  # fmt: skip
    if word in nights:
        return "when", nights[word]
    if word in LOAD_FEEDS:
        return "feed", word
    if word.removeprefix("in the ") in ZONES:
        return "zone", word.removeprefix("in the ")
    if word in WATER:
        return "water", WATER[word]
    if re.search(r"\sat\s|\sfrom\s", text):
        return "when", (_span(text),)
    if ":" in text or re.search(r"\d\s*[ap]\.?m", text, re.I):
        return "when", (read_period(text),)
    if "%" in text:
        return "duty", parse(re.sub(r"\s*(?:duty|of the time)$", "", text), "fraction")
    unit = re.sub(r"^[-+\d.,\s]*", "", text)
    if KINDS["water"].unit(unit) is not None:
        return "water", parse(text, "water")
    if KINDS["duration"].unit(unit) is not None:
        raise UnitError(text, f"its time as well, such as '{text} at 19:00'")
    if not re.match(r"[-+.\d]", text):
        words = [*_WHEN_WORDS, *LOAD_FEEDS, *ZONES, *WATER]
        raise UnitError(text or "nothing", FORMS, near(word, words))
    return "power", parse(text, "power")


def _span(text: str) -> Period:
    """Read '2 h at 19:00'."""
    length, start = re.split(r"\s+(?:at|from)\s+", text, maxsplit=1)
    minutes = parse(length, "duration") / 60.0
    if not 1.0 <= minutes < 1440.0:
        raise UnitError(length, "a minute to less than a day; always on: 'always'")
    begin = parse_clock(start)
    return begin, (begin + round(minutes)) % 1440


def _with_one(sheet: Sheet, text: str) -> Sheet:
    """Return a copy with one load more."""
    try:
        load = read_also(text, sheet.people, sheet.own)
    except UnitError as error:
        raise OptionError(OPTION, error.text, error.allowed or "", error.hint) from None
    if len(sheet.loads) >= MOST_LISTED:
        raise OptionError(OPTION, text, f"at most {MOST_LISTED} loads in all")
    load = load.model_copy(update={"name": _free_name(sheet, load.name)})
    loads = (*sheet.loads, load)
    changed = sheet.model_copy(update={"loads": loads})
    try:
        refuse_unknown(load.zone, sheet.zones, OPTION)
        refuse_apart([x.zone for x in loads if x.kind == "fridge"])
    except PydanticCustomError as error:
        told = error.context or {}
        raise OptionError(OPTION, told["found"], told["allowed"], told["hint"]) from None
    if load.feed == "gas" and sheet.appliances != "open burner":
        if "appliances" in sheet.model_fields_set:
            found = f"{load.name} on gas, while appliances is {sheet.appliances}"
            raise OptionError(OPTION, found, "another feed, or 'appliances: open burner'")
        changed.__dict__["appliances"] = "open burner"
    if load.feed == "inverter":
        changed.__dict__["inverter"] = _inverter_for(sheet, load)
    changed._changes = (*sheet._changes, ("also", text))
    changed._also = (*sheet._also, _words(load, sheet))
    return changed


def _inverter_for(sheet: Sheet, load: Load) -> Inverter | None:
    """Return what a load on the mains sockets hangs on; one that cannot serve it is refused."""
    inverter = sheet.inverter
    if inverter is None and "inverter" in sheet.model_fields_set:
        if not sheet.plugs_in:
            found = f"{load.name} on the inverter, while inverter is none"
            raise OptionError(OPTION, found, "another feed, or an 'inverter:' in the sheet")
        return None  # shore serves it
    inverter = inverter or Inverter()
    if load.power > inverter.rating:
        found = f"{load.name} of {show(load.power, 'power')}"
        raise OptionError(OPTION, found, f"at most the inverter's {show(inverter.rating, 'power')}")
    return inverter


def _free_name(sheet: Sheet, name: str) -> str:
    """Return a name that no load has: 'kettle 2' where there is a kettle."""
    taken = {load.name.casefold() for load in sheet.loads}
    numbered = [name, *(f"{name} {i}" for i in range(2, MOST_LISTED + 2))]
    return next(n for n in numbered if n.casefold() not in taken)


def _words(load: Load, sheet: Sheet) -> str:
    """Return the note that says what is counted beside the sheet."""
    fed = {"gas": "on gas"}.get(load.feed, f"on the {load.feed}")
    duty = "" if load.duty == 1.0 else f" for {show(load.duty, 'fraction')} of the time"
    draws = f"{show(load.power, 'power', sheet.units)} {fed}{duty}"
    if not load.power:
        draws = f"{show(load.water, 'water', sheet.units)} of water"
    when = write_periods(load.when, sheet.units)
    return f"beside the sheet's loads ({OPTION}): {load.name}, {draws}, {when}"
