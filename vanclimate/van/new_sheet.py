"""A sheet to start from: for a place, a class of van and what it is for; and its file.

What does not belong here: the lines themselves (template.py), the classes of body (bodies.py), and
asking for any of the three (cli/new.py).
"""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from vanclimate.cache import PACKAGE
from vanclimate.errors import OptionError, UnknownSiteError, near
from vanclimate.units import IN
from vanclimate.van.bodies import BodyKind, Pane, find_kind, kind_words
from vanclimate.van.fields import fold
from vanclimate.van.template import COLUMN, laid_out
from vanclimate.van.write_once import write_to_new

SCHEMA = PACKAGE / "sheet.schema.json"  # what an editor completes and checks a sheet by

USUAL_PLACE, USUAL_VAN, USUAL_USE = "miami", "long high van", "summer"
KINDS_SAID = (
    "short, medium, long or extended, with a standard, medium or high roof, such as 'long high'; "
    "pop-top van, box trailer, small truck body"
)


@dataclass(frozen=True)
class Use:
    """What a van is for: which sections its sheet has, with ordinary values (assumed, all of them).

    Parameters
    ----------
    name : as it is asked for
    said : in words
    question : the command that answers for it first
    sections : those of template.py that are no comments
    winter : the month is the coldest, its night too; else the hottest
    values : in place of `_ORDINARY`
    """

    name: str
    said: str
    question: str
    sections: tuple[str, ...]
    winter: bool = False
    values: dict[str, str] = field(default_factory=dict)


_ORDINARY = {
    "bank": "400 Ah", "charge": "full", "inverter": "3000 W", "idles": "always", "panels": "400 W",
    "chargers": "2 x 30 A", "driving": "3 h a day", "plugged": "night", "fan": "on",
}  # fmt: skip
_FROM_ENGINE = ("alternator", "dc charger", "driving")
USES = (
    Use(
        "summer", "summer nights on an air conditioner, from the battery", "night",
        ("air conditioner", "roof panels"),
    ),
    Use(
        "winter", "winter on a fuel heater", "night",
        ("heater", "roof panels", *_FROM_ENGINE), winter=True,
        values={"bank": "300 Ah", "charge": "followed", "inverter": "2000 W", "idles": "needed",
                "panels": "300 W", "chargers": "40 A", "driving": "2 h a day", "fan": "off"},
    ),
    Use(
        "full-time", "full-time, an air conditioner and a fuel heater both", "night",
        ("air conditioner", "heater", "roof panels", *_FROM_ENGINE, "water"),
        values={"bank": "600 Ah", "charge": "followed", "panels": "600 W", "driving": "1 h a day"},
    ),
    Use(
        "shore", "weekends on shore power, with an air conditioner", "night",
        ("air conditioner", "roof panels", "shore"),
        values={"bank": "200 Ah", "charge": "followed", "panels": "200 W", "plugged": "always"},
    ),
    Use(
        "trip", "a winter trip on a fuel heater, stop by stop", "trip",
        ("heater", "roof panels", "alternator", "dc charger", "shore", "water", "trip"),
        winter=True,
        values={"inverter": "2000 W", "idles": "needed", "panels": "300 W", "chargers": "40 A",
                "plugged": "always", "fan": "off"},
    ),
)  # fmt: skip
_USES = {use.name: use for use in USES}


class Spot(NamedTuple):
    """A place as a sheet names it, the half of the earth it lies on, and how its weather is had."""

    site: str
    southern: bool = False
    fetch: str = ""  # the command that fetches its weather; '' where that is on disk


_USUAL_SPOT = Spot(USUAL_PLACE)


@dataclass(frozen=True)
class Start:
    """What a new sheet is for."""

    spot: Spot = _USUAL_SPOT
    kind: str = USUAL_VAN
    use: Use = USES[0]


def find_use(text: str) -> Use:
    """Return what a van is for by its word.

    >>> find_use("Full time").said
    'full-time, an air conditioner and a fuel heater both'
    """
    known = {fold(use.name): use for use in USES} | {fold(use.said): use for use in USES}
    if fold(text) not in known:
        allowed = f"{', '.join(list(_USES)[:-1])} or {USES[-1].name}"
        raise OptionError("--for", text, allowed, near(fold(text), _USES))
    return known[fold(text)]


def find_van(text: str) -> str:
    """Return the kind of body that a text means.

    >>> find_van("Long high")
    'long high van'
    """
    known = {fold(word): kind for word, kind in kind_words().items()}
    if fold(text) not in known:
        raise OptionError("--van", text, KINDS_SAID, near(fold(text), known))
    return known[fold(text)]


def find_spot(text: str, folder: Path) -> Spot:
    """Return the place that a text means: shipped, a weather file, fetched, or any town.

    Parameters
    ----------
    text : as `vanclimate.site.sites.find_record` takes it; a file's path counts from where one is
    folder : of the sheet, from which the path will count

    Raises
    ------
    OptionError, WeatherError
        for what is neither, and for a file that cannot be read
    """
    from vanclimate.site.places import locate
    from vanclimate.site.sites import find_record, shipped_sites
    from vanclimate.site.years import TYPICAL, fetch_command

    text = text.strip()
    if not text or not text.isprintable() or len(text) > 400:
        raise OptionError("--place", text or "nothing", PLACE_SAID)
    try:
        record = find_record(text, Path.cwd())
    except UnknownSiteError:
        try:
            place = locate(text)
        except OptionError as error:
            raise OptionError("--place", text, PLACE_SAID, error.hint) from None
        return Spot(place.name, place.latitude < 0.0, fetch_command(place.name, TYPICAL))
    site = text if text.casefold() in shipped_sites() else _as_seen_from(folder, text)
    return Spot(site, record.latitude < 0.0)


PLACE_SAID = (
    "a shipped place (greensboro, miami, sand point), a weather file, a town such as "
    "'Moab, Utah', or coordinates"
)


def _as_seen_from(folder: Path, text: str) -> str:
    """Return a file's path as it counts from a folder; any other text as it is."""
    path = Path(text).expanduser()
    with contextlib.suppress(OSError, ValueError):  # ValueError: on another drive
        if path.exists():
            if path.is_absolute() or folder.resolve() == Path.cwd().resolve():
                return str(path)
            return Path(os.path.relpath(path, folder)).as_posix()
    return text


def new_sheet_text(start: Start | None = None) -> str:
    """Return a commented sheet of an ordinary van, ready to edit and to run."""
    start = start or Start()
    kind, use, spot = find_kind(start.kind), start.use, start.spot
    live = {*use.sections, *(("pop top",) if kind.pop_top else ())}
    month = "January" if use.winter != spot.southern else "July"
    values = _ORDINARY | use.values | {
        "schema": SCHEMA.as_uri(),
        "said": f"A {kind.name}, for {use.said}.",
        "site": _scalar(spot.site),
        "month": month,
        "night": "coldest" if use.winter else "hottest",
        "kind": kind.name,
        "length": _feet(kind.length),
        "width": f"{kind.width / IN:.0f} in",
        "height": f"{kind.height / IN:.0f} in",
        "ribs": "6 %" if kind.sandwich else "10 %",
        "stacks": _SANDWICH if kind.sandwich else _STEEL,
        "windows": "\n".join(_windows(kind)),
    }  # fmt: skip
    return laid_out(values, live, () if kind.has_cab else ("cab",))


_STEEL = """\
  roof: [steel 0.9 mm, XPS 1-1/2 in, plywood 1/4 in]
  walls: [steel 20 gauge, R-7 sheep wool, plywood 6 mm]   # an R-value gives the thickness
  floor: [steel 1.2 mm, XPS 1 in, plywood 1/2 in]"""
_SANDWICH = """\
  roof: [aluminium 1 mm, XPS 1-1/2 in, plywood 1/8 in]
  walls: [aluminium 1 mm, R-7 XPS, plywood 1/8 in]        # an R-value gives the thickness
  floor: [aluminium 1 mm, XPS 1-1/2 in, plywood 1/2 in]"""
_EXPLAINED = """\
  - name: {name}
    side: {side} ## front, rear, left, right, roof
    area: {area} m2
    glass: {glass} ## clear, laminated, green, tinted, double, double acrylic,
    ## tinted double acrylic, clear dome, smoked dome, white dome,
    ## double dome
    # slope: 45 deg ## from level; a windscreen leans so, left out, other glass is upright
    cover: insulated ## none, curtain, thick curtain, blind, insulated, reflective,
    ## foam board; outside mat, outside reflective, outside mesh
    covered: night ## never, night, day, always; or times such as 20:00 to 08:00
    # cover edge: tight ## its gap along the edges: sealed, tight, ordinary, loose, hanging; 3 mm
    # cover resistance: 0.4 m2K/W
    # zone: {zone} ## living, cab, garage; at the front it is the cab's, if one is described
    # opening: 0.1 m2 ## of one that opens: its free area, and when: never, night, day,
    # open: night ## always, or times; shut while the air conditioner cools"""


def _windows(kind: BodyKind) -> Iterator[str]:
    """Yield the lines of the windows: the usual glass of a kind, the first explained."""
    if not kind.windows:
        yield "windows: none ## or a list of them; left out, the usual glass is guessed"
        example = _explained(Pane("left window", "left", 0.35, "double acrylic"))
        yield from (f"# {line}" for line in ("windows:", *example))
        return
    yield "windows: ## none for a body without; left out, the usual glass is guessed"
    first, *others = kind.windows
    yield from _explained(first)
    for pane in others:
        name = f"cab door {pane.side}" if pane.cab else pane.name  # 'cab' says which room it lights
        zone = "" if pane.cab or not kind.has_cab else ",\n     zone: living"
        yield (
            f"  - {{name: {name}, side: {pane.side}, area: {pane.area:g} m2, glass: {pane.glass}, "
            f"cover: insulated{zone}}}"
        )
    yield "  # - {name: side window, side: left, area: 30 in x 18 in, glass: double, cover: none}"


def _explained(pane: Pane) -> list[str]:
    """Return the lines of a window with all that may be said of one."""
    zone = "cab" if pane.cab else "living"
    text = _EXPLAINED.format(
        name=pane.name, side=pane.side, area=f"{pane.area:g}", glass=pane.glass, zone=zone
    )
    return re.sub(r"(?m)^    ## ", f"    #{' ' * (COLUMN - 5)}# ", text).split("\n")


def _feet(metres: float) -> str:
    """Return a length to the nearest inch, as a tape measure says it.

    >>> _feet(3.7)
    '12 ft 2 in'
    """
    feet, inches = divmod(round(metres / IN), 12)
    return f"{feet} ft {inches} in" if inches else f"{feet} ft"


def _scalar(text: str) -> str:
    """Return a text as YAML takes it for one: in quotes where it has signs of its own.

    >>> _scalar("Moab, Utah"), _scalar("a: b.csv")
    ('Moab, Utah', '"a: b.csv"')
    """
    if re.fullmatch(r"[\w./°(][\w .,/°'’()+−-]*", text) and not text.endswith(" "):
        return text
    return json.dumps(text, ensure_ascii=False)


def write_new(path: str | Path, start: Start | None = None) -> Path:
    """Write the starting sheet to a new file; a file that is there is never overwritten.

    Parameters
    ----------
    path : where to write it; its folder must be there
    start : what it is for

    Raises
    ------
    OptionError : something of that name is there, or the folder cannot be written to
    """
    target = Path(path)
    write_to_new(target, new_sheet_text(start))
    return target
