"""The body, its people and its shade: what is there without power.

What does not belong here: equipment (cooling.py, heating.py, loads.py), electricity (battery.py,
inverter.py and their neighbours), layers (layers.py), windows (windows.py), the place (place.py).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

from pydantic import model_validator

from vanclimate.errors import UnitError, near
from vanclimate.units import parse, show, show_clock
from vanclimate.van.bodies import SIZE_SPREAD, find_kind, kind_words
from vanclimate.van.fields import (
    Part,
    Period,
    Spec,
    choice,
    clock,
    custom,
    quantity,
    read_period,
    refused,
    whole,
    write_period,
)
from vanclimate.van.ribs import Ribs, check_ribs, no_ribs_given, rib_section
from vanclimate.van.roof import DRY, RoofState, read_roof, write_roof

# Solar absorptance of paint by its colour, handbook values for clean paint, from memory; a
# measured paint may differ by 0.1.
COLOURS = {
    "white": 0.25, "cream": 0.35, "silver": 0.45, "light grey": 0.50, "yellow": 0.45,
    "grey": 0.65, "red": 0.70, "green": 0.75, "blue": 0.80, "dark grey": 0.85,
    "dark green": 0.88, "dark blue": 0.90, "black": 0.92, "gray": 0.65, "light gray": 0.50,
    "dark gray": 0.85,
}  # fmt: skip
LEAKAGE = {"tight": 25e-4, "ordinary": 60e-4, "leaky": 150e-4}  # m2; assumed, see Body.leakage


def read_body(text: str) -> dict[str, str]:
    """Read a kind of body in place of its section."""
    return {"kind": text}


SANDWICH: dict[str, dict[str, Any]] = {
    "rib_share": {
        "why": "assumed: sandwich panels have no ribs; profiles that take 40 mm of both panels "
               "along every edge of such a body are some 6 % of its sides",
        "low": 0.02, "high": 0.10,
        "settle": "knock along the sides for posts, and measure the profiles at their edges",
    },
    "rib_bridging": {
        "why": "assumed: foam between two skins is bridged at its edges only",
        "low": 1.0, "high": 1.5,
    },
}  # fmt: skip
"""What is said of those guesses for a body of sandwich panels, in place of what is said of ribs."""


def _size(key: str, low: float, high: float) -> Any:
    """Declare an inside size that the kind of body stands in for."""

    def of_kind(body: Body) -> float:
        if body.kind is None:
            allowed = f"'{key}:' and its value, or a 'kind:' such as medium high van"
            raise refused("nothing", allowed, "the key is missing", key=key)
        return float(getattr(find_kind(body.kind), key))

    return quantity(
        "length", low, high, default_of=of_kind, spread=SIZE_SPREAD,
        why="rounded size of this kind, common practice, no source", settle="a tape measure",
    )  # fmt: skip


class Body(Part):
    """The body's inside, its paint, its ribs and its leaks."""

    kind: str | None = choice(kind_words(), None)
    length: float = _size("length", 1.5, 14.0)
    width: float = _size("width", 0.8, 3.0)
    height: float = _size("height", 0.8, 3.2)
    colour: float = quantity(
        "fraction", 0.05, 1.0, 0.25, words=COLOURS,
        why="assumed: white, the commonest van", at_least=0.20, at_most=0.92,
        settle="look at the van",
    )  # fmt: skip
    emissivity: float = quantity(
        "fraction", 0.05, 1.0, 0.90,
        why="handbook value of paint of any colour, from memory", at_least=0.85, at_most=0.95,
    )  # fmt: skip
    ribs: Ribs | None = rib_section("ribs")
    roof_ribs: Ribs | None = rib_section("roof_ribs")
    floor_ribs: Ribs | None = rib_section("floor_ribs")
    rib_share: float = quantity(
        "fraction", 0.0, 0.6, default_of=lambda body: 0.06 if body.sandwich else 0.10,
        applies=no_ribs_given,
        why="assumed: ribs and pillars take about a tenth of the sides", at_least=0.06,
        at_most=0.16, settle="measure the ribs' width and their spacing",
    )  # fmt: skip
    rib_bridging: float = quantity(
        "none", 1.0, 10.0, default_of=lambda body: 1.2 if body.sandwich else 1.5,
        applies=no_ribs_given,
        why="assumed: sides lose half as much again through steel ribs as insulation alone says",
        at_least=1.2, at_most=2.0, settle="a thermal picture of the finished wall on a cold night",
    )  # fmt: skip
    leakage: float = quantity(
        "area", 1e-4, 0.2, LEAKAGE["ordinary"], words=LEAKAGE,
        why="assumed: effective leakage area of an ordinary van body with its doors shut",
        at_least=LEAKAGE["tight"], at_most=LEAKAGE["leaky"],
        settle="a blower-door or smoke test of the finished van",
    )  # fmt: skip
    shelter: Literal["open", "some", "sheltered"] = choice(
        ("open", "some", "sheltered"), "some",
        why="assumed: some trees or vehicles around break the wind",
        at_least="sheltered", at_most="open", settle="look at the place where the van parks",
    )  # fmt: skip
    furnishing: float = quantity(
        "mass", 0.0, 5000.0,
        default_of=lambda body: 60.0 * body.length * body.width, spread=(0.5, 1.7),
        why="assumed: 60 kg of furniture, water and bedding per m2 of floor",
        settle="weigh the van before and after the fit-out",
    )  # fmt: skip
    lining_absorptance: float = quantity(
        "fraction", 0.05, 1.0, 0.50,
        why="assumed: a lining of middling colour", at_least=0.3, at_most=0.8,
        settle="look at the lining",
    )  # fmt: skip
    roof_state: RoofState = custom(
        read_roof, write_roof, DRY, why="assumed: neither rain nor snow on the roof"
    )
    installed_conductivity: float = quantity(
        "none", 0.8, 3.0, 1.0,
        why="assumed: insulation fitted as well as on paper", at_least=1.0, at_most=1.25,
        settle="a heater test: watts against the temperature difference on a calm night",
    )  # fmt: skip

    @model_validator(mode="after")
    def _ribs_fit(self) -> Body:
        check_ribs(self)
        return self

    @property
    def sandwich(self) -> bool:
        """Whether its kind is one of foam between two skins, without ribs."""
        return self.kind is not None and find_kind(self.kind).sandwich

    def spec_of(self, name: str) -> Spec | None:
        """Return a field's `Spec`; a body of sandwich panels has other reasons and ranges."""
        spec = super().spec_of(name)
        other = SANDWICH.get(name) if self.sandwich else None
        return replace(spec, **other) if spec and other else spec

    def ribs_of(self, side: str) -> Ribs | None:
        """Return the ribs of a side; a roof without a word of its own has those of the walls."""
        if side == "floor":
            return self.floor_ribs
        own = side == "roof" and "roof_ribs" in self.model_fields_set
        return self.roof_ribs if own else self.ribs


class People(Part):
    """Who sleeps, when, and what they bear."""

    sleepers: int = whole(
        0, 8, 2, why="assumed: two", at_least=1, at_most=2, settle="ask the client"
    )
    bedtime: int = clock(22 * 60 + 30, why="assumed", settle="ask the client")
    waking: int = clock(7 * 60, why="assumed", settle="ask the client")
    home: Period = custom(
        read_period, write_period, default_of=lambda people: people.usual_home(),
        why="assumed: people are inside from evening to morning", settle="ask the client",
    )  # fmt: skip
    heat_asleep: float = quantity(
        "power", 30.0, 150.0, 72.0,
        why="about 72 W a sleeper at 40 W/m2 (0.7 met), a copy of the ASHRAE table",
        at_least=65.0, at_most=80.0,
    )  # fmt: skip
    limit: float = quantity(
        "temperature", 15.0, 35.0, 26.0,
        why="assumed: the warmest operative temperature that most people sleep well in",
        at_least=24.0, at_most=28.0, settle="ask the client",
    )  # fmt: skip
    least: float = quantity(
        "temperature", 0.0, 25.0, default_of=lambda people: min(16.0, people.limit - 2.0),
        why="assumed: the coldest they sleep well in, with bedding for it; awake the WHO asks for "
            "18 °C, from memory",
        at_least=12.0, at_most=18.0, settle="ask the client",
    )  # fmt: skip
    settle_in: float = quantity(
        "duration", 0.0, 6 * 3600.0, 3600.0,
        why="assumed: the longest pull-down after bedtime that still counts as a night that holds",
        at_least=1800.0, at_most=7200.0, settle="ask the client",
    )  # fmt: skip

    @property
    def home_from(self) -> int:
        """Minute after midnight from which people are inside."""
        return self.home[0]

    @property
    def home_until(self) -> int:
        """Minute after midnight until which people are inside."""
        return self.home[1]

    @property
    def sleep_minutes(self) -> int:
        """Minutes from bedtime to waking; waking before bedtime is the next morning."""
        return (self.waking - self.bedtime) % 1440

    def usual_home(self) -> Period:
        """Return 18:00 to 09:00, or hours round an unusual night."""
        usual = (18 * 60, 9 * 60)
        if self._covers(usual):
            return usual
        return (self.bedtime - 120) % 1440, (self.waking + 60) % 1440

    def _covers(self, home: Period) -> bool:
        before = (self.bedtime - home[0]) % 1440
        return before + self.sleep_minutes <= (home[1] - home[0]) % 1440

    @model_validator(mode="after")
    def _bears(self) -> People:
        if self.least >= self.limit:
            found = show(self.least, "temperature")
            allowed = f"less than the limit, {show(self.limit, 'temperature')}"
            raise refused(found, allowed, key="least")
        return self

    @model_validator(mode="after")
    def _night(self) -> People:
        if self.bedtime == self.waking:
            found = f"{show_clock(self.waking)}, the same as bedtime"
            raise refused(found, "a waking time other than bedtime", key="waking")
        if self.sleep_minutes > 20 * 60:
            times = f"{show_clock(self.bedtime)} to {show_clock(self.waking)}"
            found = f"a night of {self.sleep_minutes / 60:.1f} h, {times}"
            hint = f"{show_clock(self.bedtime)} is in the morning; 22:30 or 10:30 pm in the evening"
            hint = hint if self.bedtime < 720 else ""
            raise refused(found, "20 h at most from bedtime to waking", hint, key="waking")
        if "home" in self.model_fields_set and not self._covers(self.home):
            night = f"{show_clock(self.bedtime)} to {show_clock(self.waking)}"
            raise refused(
                write_period(self.home), f"hours that hold the night, {night}", key="home"
            )
        return self


class Shade(Part):
    """What a tree, a canopy or a neighbour leaves of the sun, on roof, glass and panels alike."""

    beam_transmission: float = quantity("fraction", 0.0, 1.0, 1.0)
    diffuse_transmission: float = quantity("fraction", 0.0, 1.0, 1.0)

    @property
    def label(self) -> str:
        """The shade in words."""
        pair = (self.beam_transmission, self.diffuse_transmission)
        known = next((word for word, held in SHADES.items() if held == pair), None)
        return known or f"{1 - pair[0]:.0%} of the beam and {1 - pair[1]:.0%} of the sky kept off"


# Shares of beam and of sky light that get through; assumed classes. Leaves leave gaps; a canopy
# is solid overhead and open at its sides.
SHADES = {
    "none": (1.0, 1.0), "light tree": (0.5, 0.7), "heavy tree": (0.2, 0.4), "canopy": (0.05, 0.4),
}  # fmt: skip


def read_shade(value: str) -> dict[str, float]:
    """Read a word, or the share of all sunlight that is kept off."""
    try:
        pair = SHADES.get(" ".join(value.casefold().replace("-", " ").split()))
        if pair is None:
            kept_off = parse(value, "fraction")
            if not 0.0 <= kept_off <= 1.0:
                raise UnitError(value, "0 % to 100 %")
            pair = (1.0 - kept_off, 1.0 - kept_off)
    except UnitError:
        allowed = f"{', '.join(SHADES)}, or the share kept off such as 40 %"
        raise UnitError(value, allowed, near(value, SHADES)) from None
    return {"beam_transmission": pair[0], "diffuse_transmission": pair[1]}
