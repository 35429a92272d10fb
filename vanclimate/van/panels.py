"""Solar panels as a sheet describes them: on the roof, and one that is stood on the ground.

What does not belong here: the sun on them (site/panel), their wiring's behaviour (energy/array).
"""

from __future__ import annotations

import re
from typing import Any, Literal

from pydantic import model_validator

from vanclimate.errors import UnitError
from vanclimate.units import System, parse, show
from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import (
    Part,
    Period,
    choice,
    custom,
    own_kind,
    quantity,
    read_period,
    read_periods,
    refused,
    switch,
    whole,
    write_period,
    write_periods,
)

CELL_VOLTS = 22.4 / 36  # V a cell, open circuit, of the usual 36-cell module
WORKING_SHARE = 18.45 / 22.4  # of that at maximum power; pvlib's library has 0.77 to 0.84
SHORT_CIRCUIT = 1.07  # short circuit by the current at maximum power; the library has 1.04 to 1.18
SMALL_MODULE = 220.0  # W: up to here 36 cells, above it 60; assumed
USUAL_MODULE = 100.0  # W
CONTROLLER_CLASSES = (100.0, 150.0, 250.0, 600.0)  # V; common practice, no source
COLD_RISE = 1.25  # open-circuit volts of the coldest place over those of the plate; assumed
SAME_PLATE = 0.05  # by which rounded figures of one data plate may differ
STRINGS = (
    "module_power", "in_series", "in_parallel", "open_circuit_voltage", "working_voltage",
    "working_current", "short_circuit_current", "voltage_coefficient",
    "working_voltage_coefficient", "controller_voltage", "controller_headroom",
    "controller_start", "shaded",
)  # fmt: skip

Shadow = tuple[int, int, Period]  # modules in the shade, of how many, and when


def read_shadows(text: str) -> tuple[Shadow, ...]:
    """Read '1 of 4, 15:00 to 18:00'; more times, and more shadows, follow after commas.

    >>> read_shadows("1 of 4, 15:00 to 18:00, 2 of 4, 7:00 to 8:00, 18:00 to 19:00")
    ((1, 4, (900, 1080)), (2, 4, (420, 480)), (2, 4, (1080, 1140)))
    """
    if text.strip().casefold() in ("none", "never", "no"):
        return ()
    allowed = "modules in the shade and when, such as '1 of 4, 15:00 to 18:00'"
    found: list[Shadow] = []
    count: tuple[int, int] | None = None
    timed = True
    for piece in text.split(","):
        match = re.fullmatch(r"\s*(\d{1,3})\s+of\s+(\d{1,3})\s*", piece)
        if match:
            count = int(match[1]), int(match[2])
            if not timed or not 0 < count[0] <= count[1]:
                raise UnitError(text, allowed)
            timed = False
        elif count is None:
            raise UnitError(text, allowed)
        else:
            found.append((*count, read_period(piece)))
            timed = True
    if not timed:
        raise UnitError(text, allowed)
    return tuple(found)


def write_shadows(shadows: tuple[Shadow, ...], system: System) -> str:
    """Write what `read_shadows` reads."""
    return ", ".join(f"{k} of {n}, {write_period(when)}" for k, n, when in shadows) or "none"


def _said(panels: Any) -> bool:
    """Say whether the sheet tells anything of modules, strings or the controller's volts.

    Where it does not, the strings are long enough for the bank and the controller is not their
    limit.
    """
    return bool(set(STRINGS) & panels.model_fields_set)


def _controlled(panels: Any) -> bool:
    """Say whether the modules have a controller of their own."""
    return getattr(panels, "controller", "own") == "own"


def _said_and_controlled(panels: Any) -> bool:
    return _said(panels) and _controlled(panels)


def _usual_power(panels: Any) -> float:
    """Return the modules' power [W] where only the modules are told of."""
    given = panels.model_fields_set
    if "module_power" not in given:
        return 0.0
    series = panels.in_series if "in_series" in given else 1
    parallel = panels.in_parallel if "in_parallel" in given else 1
    shaded = getattr(panels, "shaded", ())
    return float(panels.module_power * max(series * parallel, shaded[0][1] if shaded else 1))


def _usual_module(panels: Any) -> float:
    """Return the power [W] of one module of as many as the sheet tells of, else of about 100 W."""
    given = panels.model_fields_set
    shaded = getattr(panels, "shaded", ())
    if {"in_series", "in_parallel"} <= given:
        count = panels.in_series * panels.in_parallel
    elif shaded:
        count = shaded[0][1]
    else:
        least = panels.in_series if "in_series" in given else 1
        least = panels.in_parallel if "in_parallel" in given else least
        count = least * max(1, round(panels.power / USUAL_MODULE / least))
    return float(panels.power / count)


def _usual_series(panels: Any) -> int:
    """Return the shortest strings of two or more that use all modules."""
    if "in_parallel" in panels.model_fields_set:
        return max(1, int(panels.count) // int(panels.in_parallel))
    return next((s for s in range(2, panels.count + 1) if panels.count % s == 0), 1)


def _usual_open_volts(panels: Any) -> float:
    if "working_voltage" in panels.model_fields_set:
        return float(panels.working_voltage / WORKING_SHARE)
    return CELL_VOLTS * (36 if panels.module_power <= SMALL_MODULE else 60)


def _usual_working_volts(panels: Any) -> float:
    if "working_current" in panels.model_fields_set:
        return float(panels.module_power / panels.working_current)
    return float(panels.open_circuit_voltage * WORKING_SHARE)


def _usual_controller_volts(panels: Any) -> float:
    """Return the smallest usual class that the strings keep below in the cold."""
    most = COLD_RISE * panels.in_series * panels.open_circuit_voltage
    return next((volts for volts in CONTROLLER_CLASSES if volts >= most), CONTROLLER_CLASSES[-1])


class Modules(Part):
    """Modules by their data plate, how they are wired, and their controller."""

    power: float = quantity("power", 0.0, 5000.0, default_of=_usual_power)
    module_power: float = quantity(
        "power", 0.0, 1000.0, default_of=_usual_module, applies=_said,
        why="assumed: equal modules of about 100 W", settle="read a module's data plate",
    )  # fmt: skip
    in_series: int = whole(
        1, 20, default_of=_usual_series, applies=_said,
        why="assumed: the shortest strings of two or more that use all modules",
        settle="follow the cables from module to module",
    )  # fmt: skip
    in_parallel: int = whole(
        1, 50, default_of=lambda panels: max(1, panels.count // panels.in_series), applies=_said,
        why="assumed: as many strings as the modules make", settle="count the strings' cables",
    )  # fmt: skip
    open_circuit_voltage: float = quantity(
        "voltage", 1.0, 200.0, default_of=_usual_open_volts, spread=(0.96, 1.04), applies=_said,
        why="assumed: 36 cells up to 220 W, 60 above; 36 of them 22.4 V, in pvlib's library of "
        "modules 20-23 V", settle="read a module's data plate",
    )  # fmt: skip
    working_voltage: float = quantity(
        "voltage", 1.0, 200.0, default_of=_usual_working_volts, spread=(0.96, 1.02), applies=_said,
        why="assumed: at maximum power 82 % of the open circuit's, in pvlib's library 77-84 %",
        settle="read a module's data plate",
    )  # fmt: skip
    working_current: float = quantity(
        "current", 0.0, 100.0, default_of=lambda panels: panels.module_power/panels.working_voltage,
        applies=_said, why="assumed: power by voltage", settle="read a module's data plate",
    )  # fmt: skip
    short_circuit_current: float = quantity(
        "current", 0.0, 110.0, default_of=lambda panels: SHORT_CIRCUIT * panels.working_current,
        applies=_said, why="assumed: 1.07 times the current at maximum power, in pvlib's library "
        "1.04-1.18", settle="read a module's data plate",
    )  # fmt: skip
    power_coefficient: float = quantity(
        "temperature_coefficient", -0.008, 0.0, -0.0037,
        why="common practice, no source: crystalline silicon", at_least=-0.0047, at_most=-0.0029,
        settle="read a module's data sheet",
    )  # fmt: skip
    voltage_coefficient: float = quantity(
        "temperature_coefficient", -0.006, 0.0, -0.0039, applies=_said,
        why="slope of pvlib's one-diode model of 22.4 V modules, -0.35 to -0.43 %/K; data sheets "
        "say from -0.29", at_least=-0.0043, at_most=-0.0029, settle="read a module's data sheet",
    )  # fmt: skip
    working_voltage_coefficient: float = quantity(
        "temperature_coefficient", -0.008, 0.0, -0.0048, applies=_said,
        why="slope of pvlib's one-diode model of 22.4 V modules at maximum power",
        at_least=-0.0058, at_most=-0.0044, settle="the string's volts at noon, with its warmth",
    )  # fmt: skip
    soiling: float = quantity(
        "fraction", 0.0, 0.9, 0.05, why="assumed: a roof that is washed now and then",
        at_least=0.02, at_most=0.15, settle="the panels' amps before and after washing",
    )  # fmt: skip
    controller_efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.97, why="0.96-0.98, from memory", at_least=0.96, at_most=0.98,
        applies=_controlled,
    )  # fmt: skip
    controller_current: float | None = quantity(
        "current", 1.0, 1000.0, None, words={"usual": None}, applies=_controlled,
        why="assumed: a quarter more than the nameplate's amps at the bank's nominal voltage",
        settle="read the controller's label",
    )  # fmt: skip
    controller_voltage: float = quantity(
        "voltage", 10.0, 1500.0, default_of=_usual_controller_volts, applies=_said_and_controlled,
        why="assumed: the smallest usual class (100, 150, 250 V) that the strings never pass",
        settle="read the controller's label",
    )  # fmt: skip
    controller_headroom: float = quantity(
        "voltage", 0.0, 10.0, 1.0, applies=_said_and_controlled,
        why="common practice, no source: the string at work is 1 V above the bank",
        at_least=0.5, at_most=2.0, settle="read the controller's manual",
    )  # fmt: skip
    controller_start: float = quantity(
        "voltage", 0.0, 20.0, 5.0, applies=_said_and_controlled,
        why="common practice, no source: it starts where the string is 5 V above the bank",
        at_least=2.0, at_most=6.0, settle="read the controller's manual",
    )  # fmt: skip

    zone: Literal["outside", "living", "cab", "garage"] = choice(
        ("outside", *ZONES), "outside", applies=_controlled,
        why="assumed: the few watts that the controller loses count for nothing inside",
        settle="look where the controller hangs",
    )  # fmt: skip
    kind: str | None = own_kind()

    @property
    def count(self) -> int:
        """How many modules there are."""
        return max(1, round(self.power / self.module_power)) if self.module_power > 0 else 1

    @property
    def wired(self) -> bool:
        """Whether the sheet tells anything of the strings or of the controller's volts."""
        return _said(self)

    @model_validator(mode="after")
    def _plate(self) -> Modules:
        """Refuse figures that no one module can have."""
        if self.working_voltage >= self.open_circuit_voltage:
            most = f"less than the open circuit's {show(self.open_circuit_voltage, 'voltage')}"
            raise refused(show(self.working_voltage, "voltage"), most, key="working_voltage")
        if self.working_current > self.short_circuit_current:
            most = f"at most the short circuit's {show(self.short_circuit_current, 'current')}"
            raise refused(show(self.working_current, "current"), most, key="working_current")
        product = self.working_voltage * self.working_current
        if abs(product - self.module_power) > SAME_PLATE * self.module_power:
            found = f"{show(product, 'power')} by volts and amps at maximum power"
            allowed = f"the module's {show(self.module_power, 'power')}"
            raise refused(found, allowed, key="working_current")
        return self

    @model_validator(mode="after")
    def _all_wired(self) -> Modules:
        """Refuse strings that leave modules over, and modules that do not make up the power."""
        if not self.wired or self.power == 0:
            return self
        whole_power = self.count * self.module_power
        if abs(whole_power - self.power) > SAME_PLATE * self.power:
            found = f"{show(self.power, 'power')} of modules of {show(self.module_power, 'power')}"
            raise refused(found, "a whole number of modules", key="power")
        if self.in_series * self.in_parallel != self.count:
            found = f"{self.in_series} in series, {self.in_parallel} in parallel"
            raise refused(found, f"strings that use {self.count} modules", key="in_series")
        return self


class RoofPanels(Modules):
    """Solar panels on the roof; left out, there are none."""

    area: float = quantity(
        "area", 0.0, 30.0, default_of=lambda panels: 0.0053 * panels.power, spread=(0.85, 1.2),
        why="assumed: 190 W a square metre", settle="measure the panels",
    )  # fmt: skip
    tilt: float = quantity("angle", 0.0, 90.0, 0.0, why="assumed: flat on the roof")
    shaded: tuple[Shadow, ...] = custom(read_shadows, write_shadows, (), joins=True)

    @model_validator(mode="after")
    def _shaded_of_all(self) -> RoofPanels:
        for _, of, _ in self.shaded:
            if of != self.count:
                found = f"a shadow on modules of {of}"
                raise refused(found, f"of the {self.count} there are", key="shaded")
        return self


def read_facing(text: str) -> float | None:
    """Read 'noon', a compass point or degrees, clockwise from north.

    >>> read_facing("noon"), read_facing("SW")
    (None, 225.0)
    """
    if text.strip().casefold() == "noon":
        return None
    value = parse(text, "angle")
    if not 0.0 <= value <= 360.0:
        raise UnitError(text, "noon, or 0 deg to 360 deg, clockwise from north")
    return value % 360.0


class GroundPanel(Modules):
    """A panel that is stood on the ground beside the van, and shades no roof."""

    when: tuple[Period, ...] = custom(
        read_periods, write_periods, (), joins=True, why="assumed: it stands out all day",
        settle="ask the client",
    )  # fmt: skip
    tilt: float = quantity(
        "angle", 0.0, 90.0, 30.0, why="assumed: propped up", settle="ask the client"
    )
    facing: float | None = custom(
        read_facing, lambda v, s: "noon" if v is None else f"{v:g} deg", None,
        why="assumed: turned to the noon sun and left there", settle="ask the client",
    )  # fmt: skip
    in_shade: bool = switch(
        False, why="assumed: stood where the sun is, whatever shades the van",
        settle="look at the place where the van parks",
    )  # fmt: skip
    cable_loss: float = quantity(
        "fraction", 0.0, 0.5, 0.03, why="assumed: 10 m of 4 mm2 copper, there and back, at 18 V",
        at_least=0.01, at_most=0.06, settle="volts at the panel and at the controller at noon",
    )  # fmt: skip
    controller: Literal["own", "roof"] = choice(
        ("own", "roof"), "own", why="assumed: a controller of its own",
        settle="follow its cable",
    )  # fmt: skip

    @model_validator(mode="after")
    def _does_something(self) -> GroundPanel:
        if self.power == 0:
            raise refused("no power", "its nameplate power", key="power")
        return self
