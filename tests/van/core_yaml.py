"""A sheet as an editor's YAML service hands it to a JSON schema: scalars by YAML 1.2's core schema.

What does not belong here: the schema, and the reader, to which every scalar is a text.
"""

from __future__ import annotations

import re
from typing import Any

import yaml

# YAML 1.2.2, 10.3.2 (read): what a plain scalar stands for, in this order
NULL = re.compile(r"null|Null|NULL|~|")
BOOL = re.compile(r"true|True|TRUE|false|False|FALSE")
INT = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
ODD = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")


def core(text: str) -> Any:
    """Return a document as nested dicts, lists and scalars."""
    return _of(yaml.compose(text, yaml.BaseLoader))


def _of(node: yaml.Node) -> Any:
    if isinstance(node, yaml.MappingNode):
        return {key.value: _of(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [_of(item) for item in node.value]
    return scalar(node.value) if node.style is None else node.value


def scalar(text: str) -> Any:
    """Return what a plain scalar stands for."""
    if NULL.fullmatch(text):
        return None
    if BOOL.fullmatch(text):
        return text.casefold() == "true"
    if INT.fullmatch(text):
        return int(text, 0) if text[1:2] in ("o", "x") else int(text)
    if FLOAT.fullmatch(text):
        return float(text)
    return float(text.replace(".", "", 1)) if ODD.fullmatch(text) else text
