"""The JSON schema of a sheet, from its models: what an editor completes, shows and marks.

Draft 7, which every editor's YAML service reads; nothing of a later draft is needed. It takes what
the reader takes, scalars as YAML 1.2 has them; what only the reader can know it leaves to it. What
does not belong here: patterns of texts (text_patterns.py, own_texts.py), and the words that stand
beside a key, which a caller brings.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from pydantic import BaseModel

from vanclimate.units import KINDS, allowed_units
from vanclimate.van.battery import Battery
from vanclimate.van.fields import Spec, specs
from vanclimate.van.heating import Heater
from vanclimate.van.layers import Layer
from vanclimate.van.library_rows import NAMED
from vanclimate.van.loads import Load
from vanclimate.van.own_texts import LAYER, PARTS, READERS, OwnText
from vanclimate.van.parts import Body
from vanclimate.van.prices import Prices, read_cost
from vanclimate.van.ribs import Ribs
from vanclimate.van.schema import section_type
from vanclimate.van.sheet import Sheet
from vanclimate.van.text_patterns import (
    CLOCK,
    key_pattern,
    quantity_pattern,
    whole_text,
    words_pattern,
)

DRAFT = "http://json-schema.org/draft-07/schema#"
TITLE = "A van's sheet"
Json = dict[str, Any]
Words = Callable[[type[BaseModel], str], str]
NEEDED: dict[type[BaseModel], tuple[str, ...]] = {Layer: ("material",)}
"""Keys that must be given, where what the models ask for is filled in from a library."""
OF_OWN = ".own"
OWN: dict[type[BaseModel], tuple[str, ...]] = {
    Sheet: NAMED, Body: ("kind",), Heater: ("kind",), Battery: ("kind",),
}  # fmt: skip
"""Keys that may name a row of the user's own library, where the sheet has one."""
_SCALAR = ["string", "number", "boolean", "null"]


def sheet_schema(says: Words) -> Json:
    """Return the schema.

    Parameters
    ----------
    says : what to show beside a key, by its section and name
    """
    definitions: Json = {kind: _quantity(kind) for kind in KINDS}
    for part in sections():
        for name in part.model_fields:
            options, said = list(_options(part, name, "")), says(part, name)
            definitions[f"{part.__name__}.{name}"] = {"description": said, "anyOf": options}
            if part in OWN:
                options = list(_options(part, name, OF_OWN))
                definitions[f"{part.__name__}.{name}{OF_OWN}"] = {
                    "description": said,
                    "anyOf": options,
                }
        definitions[part.__name__] = _section(part, "")
        if part in OWN:
            definitions[part.__name__ + OF_OWN] = _section(part, OF_OWN)
    return {
        "$schema": DRAFT,
        "title": TITLE,
        "type": "object",
        "if": _has("library"),
        "then": _ref(Sheet.__name__ + OF_OWN),
        "else": _ref(Sheet.__name__),
        "definitions": definitions,
    }


def sections() -> list[type[BaseModel]]:
    """Return the sheet's class and those of all sections in it, each once, in order."""
    found: list[type[BaseModel]] = []

    def add(part: type[BaseModel]) -> None:
        if part in found:
            return
        found.append(part)
        for info in part.model_fields.values():
            inner = section_type(info.annotation)
            if inner is not None:
                add(inner)

    add(Sheet)
    return found


def _ref(name: str) -> Json:
    return {"$ref": f"#/definitions/{name}"}


def _section(part: type[BaseModel], of: str) -> Json:
    """Return what a section's keys are, and the text that may stand in its place."""
    names = list(part.model_fields)
    own = {name: _ref(f"{part.__name__}.{name}{of}") for name in names}
    keys: Json = {
        "type": "object",
        "title": f"keys of {_spelt(part)}",
        "description": (part.__doc__ or "").strip().split("\n")[0],
        "properties": {name.replace("_", " "): schema for name, schema in own.items()},
        "patternProperties": {key_pattern(name): schema for name, schema in own.items()},
        "additionalProperties": False,
    }
    if needed := needed_keys(part):
        named = ["kind"] if "kind" in names and part not in (Ribs, Load) else []
        keys["allOf"] = [_has(name, *named) for name in needed]  # a row of one's own may give it
    if part is Prices:  # its keys are materials
        keys["additionalProperties"] = {"anyOf": list(_text(READERS[read_cost]))}
    if part not in PARTS:
        return keys
    return {"anyOf": [keys, *_text(PARTS[part])]}


def _spelt(part: type[BaseModel]) -> str:
    """Return a class's name in words: 'air conditioner'."""
    return re.sub(r"(?<!^)([A-Z])", r" \1", part.__name__).casefold()


def needed_keys(part: type[BaseModel]) -> tuple[str, ...]:
    """Return the keys that a section must have, whatever else it holds."""
    required = (name for name, info in part.model_fields.items() if info.is_required())
    return NEEDED.get(part) or tuple(required)


def _has(*names: str) -> Json:
    """Return that a section has one of some keys, in whatever spelling."""
    usual = [{"required": [name.replace("_", " ")]} for name in names]
    other = "|".join(key_pattern(name) for name in names)
    return {"anyOf": [*usual, {"not": {"propertyNames": {"not": {"pattern": other}}}}]}


def _options(part: type[BaseModel], name: str, own: str) -> Iterator[Json]:
    """Yield what a key may hold; beside a library of one's own, a row's name."""
    if own and name in OWN[part]:
        yield {"type": "string"}
    info, spec = part.model_fields[name], specs(part).get(name)
    inner = section_type(info.annotation)
    if inner is not None:
        of = _ref(inner.__name__ + (own if inner in OWN else ""))
        listed = "tuple[" in str(info.annotation)
        yield {"type": "array", "items": of} if listed else of
        if spec is not None:
            yield from _in_place(spec, inner, listed)
    elif spec is None:
        yield {"type": ["string", "number"]}
    else:
        yield from _value(spec)
        if spec.joins:
            yield {"type": "array", "items": {"type": ["string", "number"]}, "minItems": 1}


def _in_place(spec: Spec, inner: type[BaseModel], listed: bool) -> Iterator[Json]:
    """Yield the texts that may stand in place of a section or a list."""
    if spec.read in READERS:
        yield from _text(READERS[spec.read])
    elif inner is Layer and not listed:
        yield from _text(LAYER)
        yield _words(("none",))
    elif _takes_none(spec):
        yield _words(("none",))


def _takes_none(spec: Spec) -> bool:
    try:
        spec.read("none")
    except Exception:  # whatever a reader raises means: not that word
        return False
    return True


def _value(spec: Spec) -> Iterator[Json]:
    """Yield what a single value may be."""
    if spec.words:
        yield from _choices(spec)
    if spec.kind is not None:
        yield _ref(spec.kind)
        if KINDS[spec.kind].bare and spec.bounds is not None:
            low = "exclusiveMinimum" if spec.open_low else "minimum"
            yield {"type": "number", low: spec.bounds[0], "maximum": spec.bounds[1]}
    elif spec.whole is not None:
        low_whole, high = spec.whole
        yield {"type": "integer", "minimum": low_whole, "maximum": high}
        yield _pattern(r"[-+]?[0-9]{1,9}", f"a whole number, {low_whole} to {high}")
    elif spec.clock:
        yield _pattern(CLOCK, "a time of day such as 22:30 or 10:30 pm")
    elif spec.read in READERS:
        yield from _text(READERS[spec.read])
    elif spec.longest or not spec.words:  # free text, or a reader of which nothing is known
        yield {"type": _SCALAR}


def _choices(spec: Spec) -> Iterator[Json]:
    """Yield the words that stand for values: those to offer, then all spellings of them."""
    first: dict[Any, str] = {}
    for word, value in spec.words:
        first.setdefault(value, word)
    words = [word for word, _ in spec.words]
    yield _words(tuple(first.values()))
    yield _pattern(words_pattern(words), ", ".join(first.values()))
    if "true" in words:
        yield {"type": "boolean"}
    if numbers := [int(word) for word in words if word.isdigit()]:
        yield {"type": "integer", "enum": numbers}


def _words(words: tuple[str, ...]) -> Json:
    return {"type": "string", "enum": list(dict.fromkeys(words))}


def _text(own: OwnText) -> Iterator[Json]:
    """Yield the texts that a reader takes."""
    if own.words:
        yield _words(own.words)
    patterns = [words_pattern(own.words)] if own.words else []
    yield _pattern("|".join([*patterns, *([own.pattern] if own.pattern else [])]), own.said)
    if own.number is not None:
        yield dict(own.number)


def _quantity(kind: str) -> Json:
    """Return a quantity's text."""
    return _pattern(quantity_pattern(kind), allowed_units(kind))


def _pattern(pattern: str, said: str) -> Json:
    """Return texts of a pattern; editors that know how say what is meant where one is none."""
    allowed = f"allowed: {said}"
    text = {"type": "string", "pattern": whole_text(pattern)}
    return text | {"patternErrorMessage": allowed, "errorMessage": allowed}
