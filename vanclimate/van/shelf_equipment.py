"""What is taken of equipment where a sheet does not say it: each default, its range and its source.

The defaults stand at their fields and are read from there, off a unit of each class. What does not
belong here: how rows are printed (report/library.py).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any, NamedTuple

from vanclimate.units import BTU_H
from vanclimate.van.air import Fans
from vanclimate.van.battery import Battery
from vanclimate.van.cooling import AirConditioner
from vanclimate.van.driving import Alternator, DcCharger, SecondAlternator
from vanclimate.van.fields import Part, Spec, in_use
from vanclimate.van.heating import ElectricHeater, Heater
from vanclimate.van.inverter import Inverter
from vanclimate.van.own_layers import NO_LIBRARY, Library
from vanclimate.van.panels import GroundPanel, RoofPanels
from vanclimate.van.shelf import Cell, ShelfRow, number, own_values, place_of, words, written
from vanclimate.van.shore import Shore


class Class(NamedTuple):
    """A class of equipment: the section of a sheet, what is said of it, a unit, and the plain one.

    Of a class beside a plain one only what differs is listed.
    """

    section: str
    of: str
    unit: Part
    plain: Part | None = None


@cache
def classes() -> tuple[Class, ...]:
    """Return the classes whose defaults are listed."""
    size = 13_500 * BTU_H
    cooler, heater, bank, inverter = AirConditioner(capacity=size), Heater(), Battery(), Inverter()
    varying = AirConditioner(capacity=size, speed="variable", heats=True)
    alternator = Alternator()
    roof = RoofPanels(power=400.0, shaded=((1, 4, (900, 1080)),))
    return (
        Class("air conditioner", "of 13.5 kBTU/h", cooler),
        Class("air conditioner", "of variable speed that heats too", varying, cooler),
        Class("air conditioner", "with one hose", AirConditioner(capacity=size, hose="one"),
              cooler),
        Class("air conditioner", "on the roof",
              AirConditioner(capacity=size, condenser="roof"), cooler),
        Class("air conditioner", "underneath",
              AirConditioner(capacity=size, condenser="underneath"), cooler),
        Class("heater", "that blows air", heater),
        Class("heater", "that warms outdoor air",
              Heater(air="outdoor", full_run_every=86400.0), heater),
        Class("heater", "with coolant", Heater(kind="hydronic"), heater),
        Class("electric heater", "of 750 W", ElectricHeater(power=750.0)),
        Class("fans", "one roof fan", Fans()),
        Class("battery", "lithium, 200 Ah", bank),
        Class("battery", "AGM", Battery(kind="AGM"), bank),
        Class("battery", "with a warming pad of 60 W", Battery(pad=60.0, slow_below=10.0), bank),
        Class("inverter", "of 3 kW", inverter),
        Class("inverter", "that searches for loads", Inverter(on="search"), inverter),
        Class("roof panels", "of 400 W, one of four in the shade", roof),
        Class("ground panel", "of 400 W", GroundPanel(power=400.0, in_series=2), roof),
        Class("alternator", "of 180 A", alternator),
        Class("alternator", "by a fuse at its post", Alternator(post_fuse=100.0), alternator),
        Class("second alternator", "of 180 A", SecondAlternator()),
        Class("dc charger", "of 30 A", DcCharger(amps=30.0)),
        Class("shore", "with an inlet of 30 A", Shore()),
    )  # fmt: skip


def default_rows(own: Library = NO_LIBRARY) -> Iterator[ShelfRow]:
    """Yield each default of each class, and then the rows of an own library."""
    for cls in classes():
        for name in type(cls.unit).model_fields:
            row = _default(cls, name)
            if row is not None and (cls.plain is None or row != _default(_plain(cls), name)):
                yield row
    for given in (row for row in own.rows if row.section == "equipment"):
        cells = (words("section", given.what.replace("_", " ")), *own_values(own, given))
        place = place_of(own, given)
        yield ShelfRow("equipment", "your own", given.name, cells, given.source, (), place)


def _plain(cls: Class) -> Class:
    """Return a class with the plain unit in its place, to be compared with it."""
    assert cls.plain is not None, "a class beside another"
    return cls._replace(unit=cls.plain)


def _default(cls: Class, name: str) -> ShelfRow | None:
    """Return a field's default as a row; None where it holds no guess, or nothing that counts."""
    unit = cls.unit
    if name not in type(unit).model_fields or not unit.is_guess(name) or not in_use(unit, name):
        return None
    spec = unit.spec_of(name)
    assert spec is not None, "a guess has its reason"
    cells = [_value(spec, getattr(unit, name))]
    if spec.settle:
        cells.append(words("what settles it", spec.settle, aside=True))
    group = f"{cls.section}, {cls.of}"
    return ShelfRow("equipment", group, name.replace("_", " "), tuple(cells), spec.why)


def _value(spec: Spec, value: Any) -> Cell:
    """Return a default with its range."""
    low, high = spec.low, spec.high
    if spec.kind and isinstance(value, float):
        if spec.spread is not None:
            low, high = (value * factor for factor in spec.spread)
        return number("default", value, spec.kind, low, high)
    return written("default", spec.write(value, "si"), spec.write(value, "us"))
