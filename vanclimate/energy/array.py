"""What panels give at the bank: strings of modules, shadows on them, and their controllers.

Worked out before the loop, for rows of light and cell temperature. What does not belong here: the
light (``site.panel``), what the controllers' amps make of it at the bank's volts, and what loads
and bank can take (``simulate``).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.van.fields import DAY

if TYPE_CHECKING:
    from vanclimate.van.panels import Modules, Shadow

Array = NDArray[np.float64]

LOG_LIGHT = 0.0428
"""Fall of the open-circuit voltage with the light's logarithm, as a share of the plate's: the one
diode's n Ns k T / q. Median of the 252 modules with 36 crystalline cells, 80-170 W, that pvlib
carries; 0.039 to 0.052."""

DIM_WORKING = 0.5
"""Share of that fall in the voltage at maximum power, where less light also costs less in the
series resistance; assumed, at 200 W/m2 within the range of the same modules."""

USUAL_EXCESS = 1.25
"""Amps of a usual controller over the nameplate's at the bank's nominal voltage; assumed."""

LEAST_LIGHT = 1e-4  # of 1000 W/m2: below it there is no voltage to speak of


class Light(NamedTuple):
    """What the cells of one array meet, row by row in the order of time."""

    ratio: Array  # power at the maximum power point per nameplate power, clean
    light: Array  # behind the glass, per 1000 W/m2
    cells: Array  # °C
    minute: Array  # of the day


class Strings(NamedTuple):
    """How an array works in each row; its own controller's efficiency and amps are not in it."""

    power: Array  # W before the controller
    open_circuit: Array  # V at the controller without a load; nan where nothing is said of strings
    working: Array  # V at the controller while it draws; the same
    lost_to_shadow: Array  # W that partly shaded strings cannot give
    lost_to_volts: Array  # W that is missing for strings with too few volts above the bank


class Solar(NamedTuple):
    """What comes to the bank in each row."""

    passed: Array  # (rows, 2) W at the bank by the roof's controller and a ground panel's own,
    # before their amps
    power: Array  # W at the bank within their amps at its charge voltage: the most that can come
    to_shadow: Array  # (rows, 2) W that each would pass besides, were no string shaded
    to_volts: Array  # (rows, 2) W, had the strings volts enough above the bank
    roof: Strings
    ground: Strings | None


class Controllers(NamedTuple):
    """The controllers of the roof's panels and of the ground panel, as the loop uses them."""

    roof_amps: float  # A into the bank, the most
    ground_amps: float
    roof_heat: float  # W in its zone for each that it gives; 0 where it hangs outside
    ground_heat: float


def array_power(
    roof: Modules, on_roof: Light, bus_voltage: float,
    ground: Modules | None = None, on_ground: Light | None = None, *, nominal: float,
) -> Solar:  # fmt: skip
    """Return what roof panels, and a panel on the ground, bring to the bank.

    Parameters
    ----------
    roof, ground : the sections of the sheet
    on_roof, on_ground : rows of light and warmth, of equal length
    bus_voltage : at which the bank is charged [V]; the strings have to exceed it
    nominal : voltage of the bank [V], by which the usual controller is sized

    Notes
    -----
    A controller gives ``min(efficiency P, amps V)`` at the bank's volts of the moment, which only
    the loop knows (``simulate.electricity.sources``). On one controller the powers of both arrays
    add up: their voltages at maximum power are alike (``answers.panel_checks``).
    """
    above, below = strings_power(roof, on_roof, bus_voltage), None
    efficiency, own = [roof.controller_efficiency, 0.0], 1
    if ground is not None and on_ground is not None:
        own = 0 if shares_controller(ground) else 1
        below = strings_power(ground, on_ground, bus_voltage, None if own else roof)
        efficiency[1] = ground.controller_efficiency

    def behind(field: str) -> Array:
        """Return watts of the strings behind each controller."""
        out = np.zeros((len(above.power), 2))
        out[:, 0] = getattr(above, field)
        if below is not None:
            out[:, own] += getattr(below, field)
        return np.asarray(out * np.array(efficiency))

    passed = behind("power")
    power = within_amps(passed, controllers_of(roof, ground, nominal), bus_voltage)
    return Solar(passed, power, behind("lost_to_shadow"), behind("lost_to_volts"), above, below)


def kept_from_bank(
    solar: Solar, controllers: Controllers, volts: Array, row: NDArray[np.int64]
) -> tuple[Array, Array]:
    """Return what shadows, and too few volts, keep from a bank within the controllers' amps [W].

    Parameters
    ----------
    volts, row : of the bank at moments, and the row of ``solar`` of each
    """
    passed, lit = solar.passed[row], solar.to_volts[row]
    now, with_volts, whole = (
        within_amps(watts, controllers, volts[:, None])
        for watts in (passed, passed + lit, passed + lit + solar.to_shadow[row])
    )
    return whole - with_volts, with_volts - now


def within_amps(watts: Array, controllers: Controllers, volts: float | Array) -> Array:
    """Return (rows,) what both controllers give of ``watts`` (rows, 2) at the bank's volts [W].

    ``volts`` is a number, or (rows, 1).
    """
    amps = np.array([controllers.roof_amps, controllers.ground_amps])
    return np.asarray(np.minimum(watts, volts * amps).sum(axis=1))


def shares_controller(ground: Modules) -> bool:
    """Say whether a panel on the ground hangs on the controller of the roof's."""
    return getattr(ground, "controller", "own") == "roof"


def controller_amps(panels: Modules, nominal: float) -> float:
    """Return the most amps [A] that a controller charges with, the usual ones where none are said.

    Parameters
    ----------
    panels : the section of the sheet
    nominal : voltage of the bank [V]
    """
    said = panels.controller_current
    return max(1.0, USUAL_EXCESS * panels.power / nominal) if said is None else said


def controllers_of(roof: Modules, ground: Modules | None, nominal: float) -> Controllers:
    """Return the controllers of the sections of a sheet on a bank of a ``nominal`` voltage [V].

    What exceeds the amps stays in the modules, so that a controller's loss is of what it gives.
    """
    own = ground if ground is not None and not shares_controller(ground) else None
    return Controllers(
        controller_amps(roof, nominal),
        0.0 if own is None else controller_amps(own, nominal),
        _heat_inside(roof),
        0.0 if own is None else _heat_inside(own),
    )


def _heat_inside(panels: Modules) -> float:
    """Return the watts of a controller's loss that stay inside, for each watt that it gives."""
    return 0.0 if panels.zone == "outside" else 1.0 / panels.controller_efficiency - 1.0


def strings_power(
    panels: Modules, at: Light, bus_voltage: float, controller: Modules | None = None
) -> Strings:
    """Return how the strings of one array work.

    Parameters
    ----------
    panels : the section of the sheet; where it tells nothing of strings, they are long enough
    at : rows of light and warmth, in the order of time
    bus_voltage : at which the bank is charged [V]
    controller : the section that holds the controller, its own where none is given

    Notes
    -----
    With k modules of a string at work its voltage is k times one module's. Every string with k
    modules or more in the sun works at it, the rest of its modules bypassed; a shaded module gives
    nothing (assumed). The controller finds the best k: of the array's power
    ``k n(k) / (all modules)`` with n(k) such strings. Shadows fill one string after another
    (assumed). Below the bank's voltage and the headroom the string works beyond its maximum power,
    on the curve of `share_at`.
    """
    full = at.ratio * panels.power * (1 - panels.soiling) * _standing(panels, at.minute)
    full = full * (1 - getattr(panels, "cable_loss", 0.0))
    if not panels.wired:
        none = np.zeros_like(full)
        return Strings(full, none + np.nan, none + np.nan, none, none)
    holder = controller or panels
    light = at.light * (1 - panels.soiling)
    opened = open_circuit(panels, light, at.cells)
    working = at_power(panels, light, at.cells)
    need = bus_voltage + holder.controller_headroom
    in_sun = sunny_modules(panels.in_series, panels.in_parallel, shaded_modules(panels, at.minute))
    best, volts, lit = np.zeros_like(full), np.zeros_like(full), np.zeros_like(full)
    for k in range(1, panels.in_series + 1):
        share = k * (in_sun >= k).sum(axis=1) / (panels.in_series * panels.in_parallel)
        there = share * share_at(need / k, working, opened)
        volts = np.where(there >= best, np.maximum(k * working, need), volts)
        best, lit = np.maximum(best, there), np.maximum(lit, share)
    longest = in_sun.max(axis=1) * opened
    awake = started(longest, bus_voltage + holder.controller_start, need)
    power = full * best * awake
    return Strings(
        power, longest, np.where(power > 0, volts, longest), full * (1 - lit), full * lit - power
    )


def open_circuit(panels: Modules, light: Array, cells: Array) -> Array:
    """Return one module's open-circuit voltage [V].

    Linear in the cells' temperature by the data plate's coefficient, with the one-diode model's
    logarithm of the light (De Soto, Klein & Beckman 2006, Solar Energy 80:78, from memory).
    """
    warmth = 1 + panels.voltage_coefficient * (cells - 25.0)
    volts = panels.open_circuit_voltage * (warmth + LOG_LIGHT * _log(light))
    return np.where(light > LEAST_LIGHT, np.maximum(volts, 0.0), 0.0)


def at_power(panels: Modules, light: Array, cells: Array) -> Array:
    """Return one module's voltage at maximum power [V], at most its open circuit's."""
    warmth = 1 + panels.working_voltage_coefficient * (cells - 25.0)
    fall = DIM_WORKING * LOG_LIGHT * panels.open_circuit_voltage * _log(light)
    volts = panels.working_voltage * warmth + fall
    opened = open_circuit(panels, light, cells)
    return np.asarray(np.minimum(np.maximum(volts, 0.0), 0.95 * opened))


def cold_open_circuit(panels: Modules, temp: float) -> float:
    """Return the string's voltage [V] in full light, with cells as cold as the air [°C].

    That is what a controller must stand at sunrise (common practice of the US code, from memory).
    """
    one = open_circuit(panels, np.ones(1), np.full(1, temp))
    return panels.in_series * float(one[0])


def share_at(volts: float, working: Array, opened: Array) -> Array:
    """Return the share of its best power that a module gives, held at no less than a voltage [V].

    Beyond the maximum power on ``I = Isc (1 - exp((V - Voc) / c))``, the one diode without
    resistances; c is such that the power is greatest at `working`.
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        x, best = volts / opened, working / opened
        steep = np.full(np.shape(best), 3.0)  # (1 - best) Voc / c, from e^w = 1 + w best/(1 - best)
        for _ in range(40):  # each round takes two fifths of what is left
            steep = np.log1p(steep * best / (1 - best))
        current = np.expm1(-steep * (1 - x) / (1 - best)) / np.expm1(-steep)
        share = np.where(x < 1, x / best * current, 0.0)
    share = np.where(volts <= working, 1.0, np.clip(share, 0.0, 1.0))
    return np.asarray(np.where(opened > 0, share, 0.0))


def sunny_modules(series: int, parallel: int, shaded: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return (rows, strings) the modules in the sun, shadows filling one string after another."""
    before = series * np.arange(parallel)
    return np.asarray(series - np.clip(shaded[:, None] - before, 0, series))


def shaded_modules(panels: Modules, minute: Array) -> NDArray[np.int64]:
    """Return how many modules a row's shadow covers; of several at once the largest counts."""
    shadows: tuple[Shadow, ...] = getattr(panels, "shaded", ())
    covered = np.zeros(len(minute), dtype=np.int64)
    for count, _, (start, end) in shadows:
        covered = np.maximum(covered, count * _during(minute, start, end))
    return covered


def started(volts: Array, start: float, stay: float) -> NDArray[np.bool_]:
    """Return whether a controller is awake: from `start` [V] on, until less than `stay` is left."""
    rows = np.arange(len(volts))
    last_start = np.maximum.accumulate(np.where(volts >= start, rows, -1))
    last_stop = np.maximum.accumulate(np.where(volts < stay, rows, -1))
    return np.asarray(last_start > last_stop)


def marks_of(*sections: Modules | None) -> set[int]:
    """Return the clock times [min] at which shadows and a panel's standing begin and end."""
    spans = [when for s in sections for _, _, when in getattr(s, "shaded", ())]
    spans += [when for s in sections for when in getattr(s, "when", ())]
    return {minute for span in spans for minute in span}


def _standing(panels: Modules, minute: Array) -> Array:
    """Return 1 where a panel is out; a sheet's roof panels always are."""
    periods = getattr(panels, "when", ())
    if not periods:
        return np.ones(len(minute))
    out = np.zeros(len(minute), dtype=bool)
    for start, end in periods:
        out |= _during(minute, start, end)
    return out.astype(float)


def _during(minute: Array, start: int, end: int) -> NDArray[np.bool_]:
    return np.asarray(np.mod(minute - start, DAY) < (end - start) % DAY)


def _log(light: Array) -> Array:
    return np.log(np.maximum(light, LEAST_LIGHT))
