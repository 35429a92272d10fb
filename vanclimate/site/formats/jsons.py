"""JSON replies of data services, met with one line wherever they are broken.

What does not belong here: what any one service's reply holds.
"""

from __future__ import annotations

import json
from typing import Any

from vanclimate.errors import WeatherError

_WHOLE = "the service's whole reply"


class _Twice(ValueError):
    """A key that stands twice in one object."""


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        raise _Twice(next(key for key in keys if keys.count(key) > 1))
    return found


def parse(text: str, name: str) -> Any:
    """Return the reply.

    Raises
    ------
    WeatherError
        for text that is no JSON or ends early, with its row, and for a key that stands twice
    """
    try:
        return json.loads(text, object_pairs_hook=_once)
    except _Twice as twice:
        raise WeatherError(name, found=f"{twice} twice", allowed="each key once") from twice
    except json.JSONDecodeError as fault:
        rest = text[fault.pos :].strip()
        found = rest[:30] if rest else "the end of the file"
        raise WeatherError(name, fault.lineno, None, found, _WHOLE, "cut short?") from fault
    except RecursionError as fault:
        raise WeatherError(name, found="a JSON of too many levels", allowed=_WHOLE) from fault


def member(reply: Any, path: str, name: str, kind: type, default: Any = None) -> Any:
    """Return what stands at a dotted path of the reply.

    Raises
    ------
    WeatherError
        where there is nothing and no default, or something of another kind
    """
    here = reply
    for key in path.split("."):
        if not isinstance(here, dict) or key not in here:
            if default is not None:
                return default
            raise WeatherError(name, None, path, "nothing", _WHOLE)
        here = here[key]
    if not isinstance(here, kind) or (kind is list and not here):
        raise WeatherError(name, None, path, str(here), _WHOLE)
    return here
