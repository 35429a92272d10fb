"""The coast: the air conditioner or the heaters stop, and how long until it is dangerous inside.

For adults who can leave: the time that nineteen of twenty cuts stay above, over the season's days,
the hours of full sun (in the cold the worst hour of the night) and vans as they may turn out. For
whoever cannot leave there is no time at all, only how fast the first ten degrees go.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from vanclimate.answers.cautions import NO_LEAVE, coast_cautions
from vanclimate.answers.coast.part import RUNS, outdoor_extremes, part_of
from vanclimate.answers.coast.read import Coasting, Reach
from vanclimate.answers.coast.runs import humidity_of
from vanclimate.answers.coast.tank import Tank, tank_of
from vanclimate.answers.facing import wants_heat
from vanclimate.answers.figures import DEG, Figure
from vanclimate.answers.scene import Scene
from vanclimate.answers.season import Season, record_for, season_of
from vanclimate.answers.shown import Shown
from vanclimate.answers.thresholds import COLD_STEPS
from vanclimate.answers.trace import run_trace
from vanclimate.physics.comfort import heat_index
from vanclimate.site.record import Record, record_of
from vanclimate.site.weather import Weather
from vanclimate.van.parts import Shade
from vanclimate.van.sheet import Sheet

if TYPE_CHECKING:
    import pandas as pd

WARM_ENOUGH = 15.0
"""Mean of the days' warmest hours outdoors [°C] from which the heat is asked about: a closed car
rises by some 22 K in the sun (McLaren, Null and Quinn 2005), so past 35 °C; assumed."""
COLD_ENOUGH = COLD_STEPS[0]  # °C outdoors: above, nothing inside falls so low
BEFORE = 1800.0  # s of the trace before the cut


@dataclass(frozen=True)
class Coast(Shown):
    """The answer."""

    sheet: Sheet
    season: Season
    weather: Weather  # of the spell with the case that leads
    at: int | None = field(metadata={"unit": "min_after_midnight"})  # the moment asked for
    heading: float = field(metadata=DEG)
    heat: Coasting | None
    cold: Coasting | None
    leads: str  # 'heat' or 'cold'
    shaded: bool  # whether the sheet hopes for shade, which is left out
    tank: Tank
    cautions: tuple[str, ...]

    @property
    def caution_first(self) -> str:
        """What every first line with a figure of it begins with, a comparison's too."""
        return NO_LEAVE

    @property
    def first(self) -> Coasting:
        """The part that the first line is about."""
        part = self.cold if self.leads == "cold" else self.heat
        assert part is not None, "what leads is there"
        return part

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Times for adults who can leave, first that to danger; none of anybody else."""
        parts = (self.first, *(p for p in (self.heat, self.cold) if p not in (None, self.first)))
        out = []
        for part in parts:
            assert part is not None
            out.append(
                Figure(
                    f"{part.kind}: time to danger for adults", part.adults_danger_s, "duration", 1
                )
            )
            out += [_figure(part, reach) for reach in part.adults]
        return tuple(out)

    @property
    def trace(self) -> pd.DataFrame:
        """The cut that the first line is about, from half an hour before it on."""
        run, part = self.first.run, self.first
        begin = (part.moment - run.start).total_seconds()
        first, last = (
            int(np.searchsorted(run.seconds, begin + x - 1e-3))
            for x in (-BEFORE, part.held.watch_s)
        )
        rows = slice(first, last)
        frame = run_trace(run, self.sheet, "closed", rows)
        felt = heat_index(run.column("cabin_temp_c")[rows], humidity_of(run, rows))
        frame.insert(4, "heat_index_c", felt)
        return frame


def _figure(part: Coasting, reach: Reach) -> Figure:
    limit = reach.limit
    names = {"first ice": "first ice in the tank", "half ice": "half of the tank frozen"}
    temp = f"{limit.temp_c:g} °C ({1.8 * limit.temp_c + 32.0:g} °F)"
    name = names.get(limit.kind) or f"{limit.kind} {limit.band or temp}"
    return Figure(f"{part.kind}: time to {name}", reach.early_s, "duration", 1)


def coast(
    sheet: Sheet, weather: Weather | Record | None = None, at: int | None = None,
    tick: Callable[[int, int], None] | None = None,
) -> Coast:  # fmt: skip
    """Answer how long a van coasts when what cools or heats it stops.

    Parameters
    ----------
    sheet : Sheet
    weather : Weather or Record, optional
        The sheet's own site unless given.
    at : int, optional
        Time of day of the cut [minutes after midnight]; the hours of full sun, in the cold those of
        the night, unless given.
    tick : callable, optional
        Told how many runs are done, and of how many.

    Raises
    ------
    SheetError, WeatherError
        When the sheet or its site cannot be.
    """
    record = record_of(weather) if isinstance(weather, Weather) else weather or record_for(sheet)
    bare = sheet.with_value("shade", Shade())
    season = season_of(bare, record)
    spells = [spell for spell in season.spells if spell.nights]
    weathers = [spell.weather() for spell in spells]
    nights = [spell.nights for spell in spells]
    warmest, coldest = outdoor_extremes(weathers, nights)
    cold = bare.heats and coldest < COLD_ENOUGH
    heat = warmest >= WARM_ENOUGH or not cold
    asked = [kind for kind, wanted in (("heat", heat), ("cold", cold)) if wanted]
    tank = tank_of(sheet.water)
    done: dict[str, Coasting] = {}
    scenes: dict[str, Scene] = {}
    of = [RUNS[kind] for kind in asked]
    for i, kind in enumerate(asked):
        count = _Ticked(tick, sum(of[:i]), sum(of))
        scenes[kind], done[kind] = part_of(kind, bare, weathers, nights, at, tank, count)
    leads = "cold" if cold and (not heat or wants_heat(bare, season)) else "heat"
    return Coast(
        sheet=sheet,
        season=season,
        weather=scenes[leads].place.weather,
        at=at,
        heading=scenes[leads].place.heading,
        heat=done.get("heat"),
        cold=done.get("cold"),
        leads=leads,
        shaded=sheet.shade != bare.shade,
        tank=tank,
        cautions=coast_cautions(sheet, cold),
    )


@dataclass(frozen=True)
class _Ticked:
    """Tells of progress across both parts."""

    tick: Callable[[int, int], None] | None
    before: int
    of: int

    def __call__(self, done: int) -> None:
        if self.tick is not None:
            self.tick(self.before + done, self.of)
