"""The whole scenario sheet, its guesses, and changed copies of it.

What does not belong here: reading a file (reading.py), and what a field may hold (fields.py).
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NoReturn, Self

from pydantic import PrivateAttr, field_validator, model_validator

from vanclimate.site.years import MONTHS
from vanclimate.van.air import (
    GAS_APPLIANCES,
    Doors,
    Fans,
    Vents,
    check_door,
    fit_door,
    never_opened,
    no_vents,
    shut_body,
)
from vanclimate.van.battery import Battery
from vanclimate.van.bodies import find_kind
from vanclimate.van.circuits import SpareCircuit
from vanclimate.van.cooling import AirConditioner
from vanclimate.van.driving import (
    Alternator,
    DcCharger,
    Driving,
    SecondAlternator,
    read_amps,
    read_dc_charger,
    read_driving,
)
from vanclimate.van.fields import (
    Part,
    choice,
    custom,
    quantity,
    refused,
    section,
    words_of,
)
from vanclimate.van.fresh_water import FreshWater, read_water
from vanclimate.van.guesses import Guess, guesses_of
from vanclimate.van.heating import ElectricHeater, Heater
from vanclimate.van.inverter import Inverter
from vanclimate.van.layers import Layer, Stacks, idle_foil_notes
from vanclimate.van.loads import Load, usual_loads
from vanclimate.van.own_layers import NO_LIBRARY, Library, library_file
from vanclimate.van.panels import GroundPanel, RoofPanels
from vanclimate.van.parts import Body, People, Shade, read_body, read_shade
from vanclimate.van.paths import child, fault, replaced, steps_of
from vanclimate.van.place import (
    MONTH_WORDS,
    Site,
    Stay,
    read_calendar_day,
    read_heading,
    read_night,
    read_site,
    read_stay,
    write_heading,
)
from vanclimate.van.prices import Prices, prices_section
from vanclimate.van.remedies import Remedies, remedies_section
from vanclimate.van.rules import Rule
from vanclimate.van.shore import Shore, read_shore
from vanclimate.van.textfile import Node
from vanclimate.van.tried import Tried, tried_section
from vanclimate.van.trip import Stop
from vanclimate.van.windows import Window, usual_windows
from vanclimate.van.zones import (
    Cab,
    Garage,
    PopTop,
    fit_rooms,
    read_cab,
    refuse_apart,
    refuse_unknown,
    usual_pop_top,
    window_zone,
)

if TYPE_CHECKING:
    from vanclimate.van.changes import Change

__all__ = ["Guess", "Layer", "Sheet"]

MOST_LISTED = 40  # windows, loads, rules or circuits


class Sheet(Part):
    """What a builder wrote about one van, one place and one night; all values SI."""

    name: str = words_of("A van", longest=120)
    note: str = words_of("-", longest=2000)
    prepared_by: str = words_of("-", longest=120)
    prepared_for: str = words_of("-", longest=120)
    library: str | None = library_file()
    site: Site = section(
        reads=read_site, what="a shipped place, a weather file, or a section such as a design day"
    )
    month: int = choice(MONTH_WORDS, 7, why="assumed: July", settle="ask the client")
    night: str = custom(
        read_night, lambda v, s: str(v), "hottest",
        why="assumed: the hottest of the month, in the cold of a heated van its coldest",
        settle="ask the client",
    )  # fmt: skip
    stay: Stay | None = custom(read_stay, lambda v, s: "none" if v is None else v.words, None)
    heading: float | None = custom(
        read_heading, write_heading, None,
        why="assumed: unknown, so the worst of eight headings counts",
        settle="a compass where the van parks",
    )  # fmt: skip
    units: Literal["us", "si"] = choice(
        {"us": "us", "si": "si", "US": "us", "metric": "si", "SI": "si"}, "us"
    )
    shade: Shade = section(
        Shade, reads=read_shade, what="a word or a section", why="assumed: none",
        settle="look at the place where the van parks",
    )  # fmt: skip
    body: Body = section(what="a section, or a kind of body", reads=read_body)
    stacks: Stacks
    cab: Cab | None = section(None, what="a section, a divider, or none", reads=read_cab)
    garage: Garage | None = section(None, none=None, what="a section")
    pop_top: PopTop | None = section(
        default_of=lambda sheet: usual_pop_top(sheet.body), none=None, what="a section"
    )
    windows: tuple[Window, ...] = section(
        default_of=lambda sheet: usual_windows(sheet.body.kind, sheet.cab is not None), none=(),
        what="a list of windows", why="assumed: the usual glass of such a body and no other",
        settle="measure the glass",
    )  # fmt: skip
    people: People = section(People, what="a section")
    fresh_air: float = quantity(
        "flow", 0.0, 0.1, 0.0075, why="assumed: 7.5 L/s of outdoor air a sleeper", at_least=0.004,
        at_most=0.010, settle="a carbon dioxide meter through one night",
    )  # fmt: skip
    fresh_air_fan: float = quantity(
        "power", 0.0, 200.0, 5.0, why="assumed: a small fan at its lowest step", at_least=1.0,
        at_most=15.0,
    )  # fmt: skip
    fans: Fans = section(Fans, what="a section")
    vents: Vents = section(Vents, none=no_vents, what="a section")
    doors: Doors = section(Doors, none=never_opened, what="a section")
    air_conditioner: AirConditioner | None = section(None, none=None, what="a section")
    heater: Heater | None = section(None, none=None, what="a section")
    electric_heater: ElectricHeater | None = section(None, none=None, what="a section")
    battery: Battery = section(Battery, what="a section")
    inverter: Inverter | None = section(
        default_of=lambda sheet: Inverter() if sheet.has_sockets else None, none=None,
        what="a section",
    )  # fmt: skip
    roof_panels: RoofPanels = section(RoofPanels, none=RoofPanels, what="a section")
    ground_panel: GroundPanel | None = section(None, none=None, what="a section")
    alternator: Alternator | None = section(
        None, what="its amps, a section, or none", reads=read_amps
    )
    second_alternator: SecondAlternator | None = section(
        None, what="its amps, a section, or none", reads=read_amps
    )
    dc_charger: DcCharger | None = section(
        None, what="its amps, a section, or none", reads=read_dc_charger
    )
    driving: Driving | None = section(
        None, what="hours a day, a section, or never", reads=read_driving
    )
    shore: Shore | None = section(None, what="its amps, a section, or none", reads=read_shore)
    loads: tuple[Load, ...] = section(
        usual_loads, none=(), what="a list of loads", why="assumed: a fridge and lights",
        settle="list what draws power at night",
    )  # fmt: skip
    remedies: Remedies = remedies_section()
    rules: tuple[Rule, ...] = section((), none=(), what="a list of sentences")
    spare_circuits: tuple[SpareCircuit, ...] = section((), none=(), what="a list of circuits")
    water: FreshWater | None = section(None, what="the tank's size, or none", reads=read_water)
    trip: tuple[Stop, ...] = section((), none=(), what="a list of stops")
    stacks_to_try: Tried = tried_section()
    prices: Prices | None = prices_section()

    appliances: Literal["none", "room sealed", "open burner"] = choice(
        GAS_APPLIANCES,
        default_of=lambda sheet: "open burner" if sheet.burns_gas else "none",
        why="assumed: no gas appliance but the loads that burn gas", settle="look at the van",
    )  # fmt: skip

    _file: str = PrivateAttr("sheet")
    _folder: Path | None = PrivateAttr(None)
    _text: str = PrivateAttr("")
    _tree: Node | None = PrivateAttr(None)
    _changes: tuple[tuple[str, str], ...] = PrivateAttr(())
    _also: tuple[str, ...] = PrivateAttr(())
    _set: tuple[Any, ...] = PrivateAttr(())
    _base: Any = PrivateAttr(None)
    _own: Library = PrivateAttr(NO_LIBRARY)

    @field_validator("windows", "loads", "spare_circuits", mode="after")
    @classmethod
    def _unlike(cls, items: tuple[Any, ...]) -> tuple[Any, ...]:
        if len(items) > MOST_LISTED:
            raise refused(f"{len(items)} of them", f"at most {MOST_LISTED}")
        seen: set[str] = set()
        for item in items:
            if item.name.casefold() in seen:
                raise refused(f"the name {item.name} twice", "a name of its own for each")
            seen.add(item.name.casefold())
        return items

    @model_validator(mode="after")
    def _rooms(self) -> Self:
        """Fit the rooms to the body, and find everything in one of them."""
        fit_rooms(self.body, self.cab, self.pop_top)
        kind = find_kind(self.body.kind) if self.body.kind else None
        fit_door(self.doors, kind, self.body.length, self.body.height)
        check_door(self.doors, self.body.length, self.body.height)
        if not self.windows and self.pop_top is None:
            shut_body(self.fans)
        for i, window in enumerate(self.windows):
            window.__dict__["zone"] = window_zone(window, i, self.zones)
        standing = {"battery": self.battery.zone}
        placed = ("inverter", "heater", "electric_heater", "dc_charger", "shore")
        for key, part in ((key, getattr(self, key)) for key in placed):
            standing |= {key: part.zone} if part is not None else {}
        standing |= {f"loads.{i}": load.zone for i, load in enumerate(self.loads)}
        panels = {"roof_panels": self.roof_panels, "ground_panel": self.ground_panel}
        standing |= {k: p.zone for k, p in panels.items() if p and p.zone != "outside"}
        for key, zone in standing.items():
            refuse_unknown(zone, self.zones, key)
        refuse_apart([load.zone for load in self.loads if load.kind == "fridge"])
        return self

    @model_validator(mode="after")
    def _month_of_days(self) -> Self:
        """A stay, or a night given as a day, brings its month with it."""
        day = None if self.stay is None else self.stay.arrival
        if self.stay is not None and self.site.place is None:
            raise refused(str(self.stay), "no stay beside made-up days", key="stay")
        if self.stay is not None and "month" in self.model_fields_set:
            raise refused(MONTHS[self.month - 1], "a month or a stay, not both", key="month")
        if self.night[0].isdigit():
            day = read_calendar_day(self.night)
            if "month" in self.model_fields_set and self.month != day.month:
                found = f"{day}, while month is {MONTHS[self.month - 1]}"
                raise refused(found, f"a day in {MONTHS[self.month - 1]}", key="night")
        if day is not None:
            self.__dict__["month"] = day.month
            self.__pydantic_fields_set__.add("month")
        return self

    @model_validator(mode="after")
    def _burners(self) -> Self:
        if self.burns_gas and self.appliances != "open burner":
            name = next(load.name for load in self.loads if load.feed == "gas")
            found = f"{self.appliances}, while the {name} burns gas"
            raise refused(found, "open burner", key="appliances")
        return self

    @property
    def burns_gas(self) -> bool:
        """Whether a load burns gas in the open."""
        return any(load.feed == "gas" for load in self.loads)

    @property
    def heats(self) -> bool:
        """Whether anything heats."""
        unit = self.air_conditioner
        pump = unit is not None and unit.heats
        return pump or self.heater is not None or self.electric_heater is not None

    @property
    def has_sockets(self) -> bool:
        """Whether anything hangs on mains sockets, or is planned to."""
        planned = any(circuit.feed == "inverter" for circuit in self.spare_circuits)
        return planned or bool(self.fed_by("inverter"))

    @property
    def plugs_in(self) -> bool:
        """Whether the van is ever on shore."""
        return self.shore is not None and self.shore.hours != "never"

    def fed_by(self, feed: str) -> tuple[tuple[float, str], ...]:
        """Return watts and name of all that hangs on the battery, or on the inverter's sockets."""
        unit, heater = self.air_conditioner, self.electric_heater
        hung = [(load.power, load.name) for load in self.loads if load.feed == feed]
        if unit is not None and unit.feed == feed:
            hung.append((unit.power, "air conditioner"))
        if heater is not None and heater.feed == feed:
            hung.append((heater.power, "electric heater"))
        return tuple(hung)

    @property
    def zones(self) -> tuple[str, ...]:
        """Names of the zones, the living space first."""
        rooms = {"living": True, "cab": self.cab is not None, "garage": self.garage is not None}
        return tuple(name for name, there in rooms.items() if there)

    @property
    def file(self) -> str:
        """Name of the sheet's file."""
        return self._file

    @property
    def folder(self) -> Path | None:
        """Folder of the sheet's file, from which a weather file's path counts."""
        return self._folder

    @property
    def digest(self) -> str:
        """Sha-256 of the sheet's text, its library's, and of what `with_value` changed since."""
        changes = "".join(f"\n{path}={value}" for path, value in self._changes)
        whole = self._text + (f"\nlibrary\n{self._own.text}" if self._own.text else "") + changes
        return hashlib.sha256(whole.encode("utf-8", "replace")).hexdigest()

    @property
    def own(self) -> Library:
        """The user's own library, an empty one where the sheet names none."""
        return self._own

    @property
    def guessed(self) -> tuple[Guess, ...]:
        """Every default that was used, in order."""
        found = guesses_of(self, "", self.units)
        return tuple(g for g in found if len(self.zones) > 1 or not g.path.endswith(".zone"))

    @property
    def notes(self) -> tuple[str, ...]:
        """What has no effect, such as foil without an air gap; loads beside the sheet's."""
        return (*(idle_foil_notes(self._tree) if self._tree else ()), *self._also)

    @property
    def settings(self) -> tuple[tuple[Change, ...], Sheet | None]:
        """What was set in place of the file's text, and the sheet without it, if it is whole."""
        return self._set, self._base

    @property
    def tree(self) -> Node:
        """The sheet's texts by their keys, as it was read."""
        return self._tree or Node(0, {})

    def line_of(self, path: str) -> int | None:
        """Return the line of the sheet in which a value, or the section it belongs to, stands."""
        return (self._tree.at(steps_of(path)).line or None) if self._tree else None

    def gives(self, path: str) -> bool:
        """Return whether the sheet's own text gives a value, and no trial of a guess."""
        steps = steps_of(path)
        return self._tree is not None and self._tree.at(steps) is not self._tree.at(steps[:-1])

    def refuse(self, path: str, *, found: object, allowed: str, hint: str = "") -> NoReturn:
        """Raise the `SheetError` for a value that makes no sense together with others."""
        steps = steps_of(path)
        node = self._tree.at(steps) if self._tree else None
        raise fault(node, self._file, steps, found, allowed, hint)

    def value_of(self, path: str) -> Any:
        """Return the value at a path such as 'body.leakage' or 'loads.0.power'."""
        value: Any = self
        for step in steps_of(path):
            value = child(value, step, path)
        return value

    def moved(self, place: str) -> Sheet:
        """Return a copy at another place, of whose own spot nothing is said."""
        kept = {x: getattr(self.site, x) for x in ("gaps", "sky") if not self.site.leaves(x)}
        site = Site.model_validate({"place": place, **kept})
        changed = self.model_copy(update={"site": site})
        changed._changes = (*self._changes, ("site", place))
        return changed

    def for_stay(self, stay: Stay) -> Sheet:
        """Return a copy that asks about a stay instead of a month."""
        changed = self.model_copy(update={"stay": stay, "month": stay.arrival.month})
        changed._changes = (*self._changes, ("stay", str(stay)))
        return changed

    def with_value(self, path: str, value: Any) -> Sheet:
        """Return a copy in which one value is another; it is no guess any more.

        Parameters
        ----------
        path : such as 'body.leakage' or 'loads.0.power', in any spelling of the keys
        value : SI, or a text as in a sheet
        """
        return self.with_values({path: value})

    def with_values(self, values: Mapping[str, Any]) -> Sheet:
        """Return a copy with several values, by path, see `with_value`."""
        changed = replaced(self, [(steps_of(path), value, path) for path, value in values.items()])
        told = [(".".join(map(str, steps_of(x))), repr(changed.value_of(x))) for x in values]
        changed._changes = (*self._changes, *told)
        assert isinstance(changed, Sheet)
        return changed
