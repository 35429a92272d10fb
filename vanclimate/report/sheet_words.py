"""What may be said of a key of the sheet: what it holds, its default and why, what settles it.

For an editor and for the page of all keys. What does not belong here: a sheet's own values
(checked.py), and the models themselves (van/).
"""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any, NamedTuple

from pydantic import BaseModel, ValidationError
from pydantic_core import PydanticUndefined

from vanclimate.report.key_meanings import meaning
from vanclimate.units import KINDS, both, show
from vanclimate.van.battery import AGM, Battery
from vanclimate.van.fields import Spec, specs
from vanclimate.van.json_schema import needed_keys, sections, sheet_schema
from vanclimate.van.layers import Layer
from vanclimate.van.own_texts import LAYER, PARTS, READERS
from vanclimate.van.parts import SANDWICH, Body
from vanclimate.van.prices import Prices
from vanclimate.van.schema import section_type

NOTHING_SAID = "free text"
EXAMPLES = {
    "length": "70 in, 14 ft 6 in, 1.78 m", "area": "30 in x 18 in, 4 sq ft, 0.4 m2",
    "power": "300 W, 4 A at 12 V", "charge": "200 Ah, 2.5 kWh at 12.8 V",
    "temperature": "75 F, 24 C", "flow": "900 CFM, 7.5 L/s", "heat_rate": "13.5 kBTU/h, 4 kW",
    "volume": "20 gal, 80 L", "duration": "3 h, 20 min",
}  # fmt: skip
MANY = 12  # words, from which on some stand for all


class KeyWords(NamedTuple):
    """What is said of one key; '' where there is nothing to say."""

    means: str
    holds: str
    default: str
    why: str
    settle: str


def key_words(part: type[BaseModel], name: str) -> KeyWords:
    """Return what is said of a key of a section."""
    spec = specs(part).get(name)
    return KeyWords(
        meaning(part, name),
        _holds(part, name, spec),
        _default(part, name, spec),
        _why(part, name, spec),
        (spec.settle or "") if spec else "",
    )


def shown_beside(part: type[BaseModel], name: str) -> str:
    """Return what an editor shows beside a key."""
    words = key_words(part, name)
    spec = specs(part).get(name)
    text = f"{words.means[0].upper()}{words.means[1:]}: {words.holds}."
    if spec and spec.kind in EXAMPLES:
        text += f" Such as {EXAMPLES[spec.kind]}."
    text += f" Left out: {words.default}" if words.default else " It must be given"
    text += f" ({words.why})." if words.why else "."
    return text + (f" What settles it: {words.settle}." if words.settle else "")


OTHERWISE = {Battery: ("AGM", AGM), Body: ("a trailer or truck body", SANDWICH)}
"""Kinds of a section whose defaults have other reasons, by its class."""


def _why(part: type[BaseModel], name: str, spec: Spec | None) -> str:
    """Return the reason of a default, and that of another kind of such a section."""
    why = spec.why if spec else ""
    kind, others = OTHERWISE.get(part, ("", {}))
    return f"{why}; of {kind}: {others[name]['why']}" if name in others else why


def _holds(part: type[BaseModel], name: str, spec: Spec | None) -> str:
    """Return what a key may hold."""
    info = part.model_fields[name]
    inner = section_type(info.annotation)
    if inner is not None:
        return _of_section(inner, spec, "tuple[" in str(info.annotation))
    if spec is None:
        return "a plain number"
    words = _words(spec)
    if spec.kind is not None:
        span = limits(spec)
        amount = f"{KINDS[spec.kind].what}, {span}"
        return f"{words}; or {amount}" if words else amount
    if spec.whole is not None:
        return f"a whole number, {spec.whole[0]} to {spec.whole[1]}"
    if spec.clock:
        time = "a time of day such as 22:30 or 10:30 pm"
        return f"{words}; or {time}" if words else time
    if spec.read in READERS:
        return READERS[spec.read].said
    return words or NOTHING_SAID


def limits(spec: Spec) -> str:
    """Return the limits of a quantity in both systems of units."""
    assert spec.kind is not None
    assert spec.bounds is not None
    low, high = spec.bounds
    spans = [
        f"{'more than ' if spec.open_low else ''}{show(low, spec.kind, system)} to "
        f"{show(high, spec.kind, system)}"
        for system in ("si", "us")
    ]
    return spans[0] if spans[0] == spans[1] else f"{spans[0]} ({spans[1]})"


def _of_section(inner: type[BaseModel], spec: Spec | None, listed: bool) -> str:
    """Return what a key of sections holds."""
    if inner is Prices:
        return "materials, each with its price"
    if inner is Layer and listed:
        text = "a list of layers"
    else:
        text = "a list" if listed else "a section"
        if listed and inner in PARTS:
            text = f"a list, each {PARTS[inner].said}; or a section of keys"
    if spec is None:
        return text
    own = READERS.get(spec.read) or (LAYER if inner is Layer and not listed else None)
    if own is not None:
        return f"{own.said}; or {text} of keys"
    return f"{text}, or none" if spec.what.endswith("or none") else text


def _words(spec: Spec) -> str:
    """Return the words that a key may be, each value once."""
    first: dict[Any, str] = {}
    for word, value in spec.words:
        first.setdefault(value, word)
    words = list(first.values())
    more = ", and so on" if len(words) > MANY + 4 else ""
    return ", ".join(words[:MANY] if more else words) + more


@lru_cache(maxsize=128)
def _usual(part: type[BaseModel]) -> BaseModel | None:
    """Return a section of which nothing is said, if there may be one."""
    try:
        return part.model_validate({})
    except ValidationError:
        return None


def _default(part: type[BaseModel], name: str, spec: Spec | None) -> str:
    """Return what stands for a key that is left out; '' where it must be given."""
    info = part.model_fields[name]
    if info.is_required():
        return "" if name in needed_keys(part) else "as the library has it"
    if section_type(info.annotation) is not None:
        return _default_section(info.default, spec, "tuple[" in str(info.annotation))
    worked_out = spec is not None and spec.default_of is not None
    value = info.default
    if worked_out:
        usual = _usual(part)
        if usual is None:
            return "worked out from the others"
        value = getattr(usual, name)
    if value is PydanticUndefined or spec is None:
        return "none"
    if spec.kind is not None and value is not None:
        word = next((word for word, held in spec.words if held == value), "")
        text = word or both(value, spec.kind)
    else:
        text = spec.write(value, "si")
    if text in ("", "-", "None"):
        return "none"
    return f"worked out from the others, {text} where they are left out too" if worked_out else text


def _default_section(default: Any, spec: Spec | None, listed: bool) -> str:
    if spec is not None and spec.default_of is not None:
        return "worked out from the others"
    if default is None or default == ():
        return "none"
    return "the usual ones" if listed else "each of its keys left out"


def schema_text() -> str:
    """Return the JSON schema of a sheet as the file that is shipped holds it: a line for a key."""
    whole = sheet_schema(shown_beside)
    rows = whole.pop("definitions")
    told = [
        f"{json.dumps(key)}: {json.dumps(row, ensure_ascii=False)}" for key, row in rows.items()
    ]
    head = json.dumps(whole, ensure_ascii=False, indent=1).removesuffix("\n}")
    return f'{head},\n "definitions": {{\n' + ",\n".join(told) + "\n }\n}\n"


__all__ = ["KeyWords", "key_words", "limits", "schema_text", "sections", "shown_beside"]
