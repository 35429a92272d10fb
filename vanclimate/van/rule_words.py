"""Ordinary wordings of a rule, turned into those that are read (rule_text.py).

What does not belong here: a wording that could mean two things; that is refused where it is read.
"""

from __future__ import annotations

import re

from vanclimate.van.fields import fold
from vanclimate.van.rules import AC_WORDS, HEAT_SOURCES, STATES, THINGS, Condition, State

AC_NAMES = "|".join(AC_WORDS)
BEGINS = (
    r"(?:(?:while|when|if|under|below|less than|above|over|more than|from|between|at|by|on|during|"
    r"overnight)\b|\d[\d:]*\s*(?:[ap]m\s*)?(?:to|-|–)\s*\d)"
)
"""How a condition begins."""
_THING = r"((?:(?!\bunless\b).)+?)"
_NO = r"(?:no|never|don't|do not)(?:\s+(?:run|use))?"
_RUN = r"(?:run|use|allow)"
_DEGREES = r"[-+−]?[\d.]+(?:\s*°?\s*[CFK])?"

_ALIKE = tuple(
    (re.compile(said, re.I), meant)
    for said, meant in (
        # the condition first: 'at night, AC 76 F'
        (rf"({BEGINS}[^,]*),\s*([^\d\s,].*)", r"\2 \1"),
        (r"(.+?),?\s+except\s+(.+)", r"\1 unless \2"),
        # what must not run
        (rf"{_NO}\s+{_THING}\s+({BEGINS}.+)", r"\1 off \2"),
        (rf"{_NO}\s+{_THING}\s+unless\s+(.+)", r"\1 only \2"),
        (rf"(?:turn|switch|shut)\s+off\s+{_THING}\s+({BEGINS}.+)", r"\1 off \2"),
        (rf"(?:turn|switch|shut)\s+{_THING}\s+off\s+(.+)", r"\1 off \2"),
        (rf"(?:shed|drop|stop|cut)\s+{_THING}\s+({BEGINS}.+)", r"\1 off \2"),
        (rf"{_THING}\s+(?:off|never|not)\s+unless\s+(.+)", r"\1 only \2"),
        # what may run
        (rf"only\s+{_RUN}\s+{_THING}\s+({BEGINS}.+)", r"\1 only \2"),
        (rf"{_RUN}\s+(.+\s+only\s+.+)", r"\1"),
        (rf"{_THING}\s+({BEGINS}.+)\s+only", r"\1 only \2"),
        # temperatures
        (
            rf"(?:set\s+)?(?:the\s+)?(?:{AC_NAMES})\s+(?:set\s+)?(?:(?:at|to)\s+)?"
            rf"({_DEGREES}(?:\s+{BEGINS}.*)?)",
            r"AC at \1",
        ),
        (r"heat(?:ing)?\s+(?:(?:to|at)\s+)?([-+−]?\d.*)", r"heat to \1"),
        # what heats first
        (r"(?:use\s+|heat\s+with\s+)?first\s+(?:the\s+)?(.+?),?\s+then\s+(.+)",
         r"heat with \1, then \2"),
        (r"(?:use\s+|heat\s+with\s+)?(.+?)\s+first,?\s+(?:and\s+)?then\s+(.+)",
         r"heat with \1, then \2"),
        (rf"(?:use\s+|heat\s+with\s+)?(?!(?:the\s+)?(?:{AC_NAMES})\s)(.+?)\s+first",
         r"heat with \1"),
    )
)  # fmt: skip

ORDER = re.compile(r"\s*,?\s+then\s+(?:with\s+)?|\s+before\s+|\s*,\s*", re.I)
"""What parts the names of an order."""
_MORE = r"above|over|more\s+than|at\s+least"
_LESS = r"under|below|less\s+than"
CHARGE = re.compile(
    r"(?:(?:when|while|if)\s+)?"
    r"(?:(?:the\s+)?(?:bank|battery|charge)\s+(?:(?:is|has|falls|drops)\s+)?)?"
    rf"(above|over|more\s+than|down\s+to|{_LESS}|at(?=\s+[\d.]+\s*(?:%|percent)))\s+(.+?)"
    r"(?:\s+(?:of\s+)?(?:the\s+)?(?:charge|bank|battery))?", re.I,
)  # fmt: skip
"""A share of the charge: the word before it, and the share."""
SUN = (
    re.compile(
        r"(?:(?:when|while|if)\s+)?(?:the\s+)?(?:sun|solar|panels?)\s+"
        rf"(?:gives?|brings?|makes?|is|are)\s+(?:({_MORE}|{_LESS})\s+)?(.+)", re.I,
    ),
    re.compile(rf"({_MORE}|{_LESS})\s+(.+?)\s+(?:of|from)\s+(?:the\s+)?(?:sun|solar|panels)", re.I),
)  # fmt: skip
"""What the panels give: more or less than, and the watts."""
UNDER = re.compile(rf"(?:{_LESS}|at)", re.I)
"""Words of `CHARGE` and `SUN` that mean less."""

_SAME: dict[str, tuple[State, bool]] = {
    **dict.fromkeys(("at night", "by night", "overnight", "during the night", "sleeping"),
                    ("asleep", False)),
    # a sheet's word 'day' is all that is not night, bedtime to waking
    **dict.fromkeys(("by day", "during the day"), ("asleep", True)),
    **dict.fromkeys(("plugged in", "on shore power", "on mains"), ("on shore", False)),
    **dict.fromkeys(("parked", "standing"), ("driving", True)),
}  # fmt: skip


def plainly(text: str) -> str:
    """Return a sentence in the wording that is read; what is none of these is left alone.

    >>> plainly("no AC under 30 %"), plainly("AC 76 F overnight")
    ('AC off under 30 %', 'AC at 76 F overnight')
    >>> plainly("electric heater first, then the fuel heater")
    'heat with electric heater, then the fuel heater'
    """
    for said, meant in _ALIKE:
        if match := said.fullmatch(text):
            text = match.expand(meant)
    parts = [re.sub(r"^the ", "", fold(part)) for part in ORDER.split(text)]
    if len(parts) > 1 and all(THINGS.get(part) in HEAT_SOURCES for part in parts):
        return f"heat with {text}"
    return text


def state_of(text: str) -> Condition | None:
    """Return the state that a condition names, such as 'while asleep', 'on shore', 'at night'."""
    bare = re.sub(r"^(?:while|when|if) ", "", fold(text))
    known = next((s for s in STATES if bare in (s, f"on {s}", f"at {s}")), None)
    if known is not None:
        return Condition(known)
    if bare in _SAME:
        state, is_not = _SAME[bare]
        return Condition(state, is_not=is_not)
    return None
