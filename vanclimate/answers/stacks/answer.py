"""Which insulation stack: every candidate in the van, on the hottest night and on the coldest.

What ranks them is the energy that an air conditioner takes on the hottest night; in a van without
one the fuel, or the heat, of the coldest; in one that needs no heat there either, how warm it gets.
Where even the hottest night is so mild that what insulates least takes least, the coldest ranks. A
stack with which the van misses what its sleepers want comes after those with which it does not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, ClassVar

from vanclimate.answers.ahead import begin_table, finish_table
from vanclimate.answers.cautions import stack_cautions
from vanclimate.answers.damp import climate_of
from vanclimate.answers.figures import UNTOLD, Figure
from vanclimate.answers.futures.ensemble import Tick, quiet
from vanclimate.answers.judge import night_rows
from vanclimate.answers.ledgers import Balance, balances
from vanclimate.answers.scene import side_by_side
from vanclimate.answers.season import record_for
from vanclimate.answers.shown import Shown
from vanclimate.answers.stacks.figures import Figures, figures_of
from vanclimate.answers.stacks.listed import Candidate, candidates
from vanclimate.answers.stacks.nights import (
    Fared,
    TestNight,
    fared,
    in_fuel,
    night_run,
    two_nights,
)
from vanclimate.answers.stacks.range import gain_range
from vanclimate.answers.stacks.worth import (
    INCH,
    Gain,
    NextInch,
    Nights,
    Worth,
    gain_of,
    inch_candidates,
    layer_candidates,
    worths,
)
from vanclimate.network.compile import compile_shell
from vanclimate.network.damp import Climate
from vanclimate.network.shell import Shell
from vanclimate.simulate.runs import Run
from vanclimate.site.record import Record, record_of
from vanclimate.site.weather import Weather
from vanclimate.van.layers import Layer, idle_shine
from vanclimate.van.sheet import Sheet

if TYPE_CHECKING:
    import pandas as pd

NO_HEAT = 50.0  # Wh: a night that takes less wants no heating, or no cooling
SPREAD = 1.1  # of U, least to greatest: stacks more alike tell nothing of a night; assumed
SHORT = 0.05  # K: a stack that misses what is wanted by more comes after those that do not


@dataclass(frozen=True, eq=False)
class Row:
    """One stack in the ranking.

    Attributes
    ----------
    rank : from 1, the best
    name, own : of the stack; whether it is the sheet's own
    layers : what lies between skin and lining, as listed, by key of the sheet's `stacks`
    idle : foil and shiny boards in it that no air lies on
    cover_m : insulation over guessed ribs [m]
    figures : what it is on paper and in the van
    hot, cold : how it fares on the two nights, None without such a night
    """

    rank: int
    name: str
    own: bool
    layers: dict[str, tuple[str, ...]]
    idle: tuple[str, ...]
    cover_m: float
    figures: Figures
    hot: Fared | None
    cold: Fared | None

    def of(self, measure: str) -> float:
        """Return what ranks it: 'ac_wh', 'felt_c' of the hot night; 'fuel_l', 'heat_wh'."""
        night = self.hot if measure in ("ac_wh", "felt_c") else self.cold
        return float(getattr(night, measure))

    def short_k(self, measure: str) -> float:
        """Return by how much the van misses what is wanted on the night that ranks it [K]."""
        night = self.hot if measure in ("ac_wh", "felt_c") else self.cold
        return 0.0 if night is None else night.short_k


@dataclass(frozen=True, eq=False)
class Stacks(Shown):
    """The answer.

    Attributes
    ----------
    sheet : the van as it is
    measure : what ranks: 'ac_wh' or 'felt_c' of the hot night, 'fuel_l' or 'heat_wh' of the cold
    turned : on the hot night less insulation takes less, so the cold one ranks in its place
    rows : the stacks, best first
    hot, cold : the two nights, None without
    made_up : the site is made-up days, and has but one kind of night
    floor : the floor is compared too, for a stack to try changes it
    worths : what each layer of the own stacks earns added last
    inches : where one more inch earns, the most by area first; covers on bare glass last
    gain : what the best stack saves against the own
    gain_80 : its middle 80 % by `measure` over 16 vans with every unknown drawn
    balances : the books of the own stack's run on the night that ranks
    climate : months on both sides of the stacks, None where no year is known
    best_shell : the van with the best stack
    """

    also_told: ClassVar = ("cautions",)

    sheet: Sheet
    measure: str
    turned: bool
    rows: tuple[Row, ...]
    hot: TestNight | None
    cold: TestNight | None
    made_up: bool
    floor: bool
    worths: tuple[Worth, ...]
    inches: tuple[NextInch, ...]
    gain: Gain
    gain_80: tuple[float, float]
    balances: tuple[Balance, ...]
    run: Run
    climate: Climate | None = field(metadata=UNTOLD)
    best_shell: Shell = field(metadata=UNTOLD)

    @property
    def own(self) -> Row:
        """The sheet's own stack."""
        return next(row for row in self.rows if row.own)

    @property
    def best(self) -> Row:
        """The stack that ranks first."""
        return self.rows[0]

    @property
    def driest(self) -> Row | None:
        """The first of those in which no more water settles than stays in place and dries."""
        dry = (r for r in self.rows if not any(damp.trouble for _, damp in r.figures.damp))
        return next(dry, None) if self.best.figures.damp else None

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to heed of insulation, most urgent first."""
        return stack_cautions()

    @property
    def night(self) -> TestNight:
        """The night that ranks."""
        night = self.hot if self.measure in ("ac_wh", "felt_c") else self.cold
        assert night is not None, "the measure is of a night that is there"
        return night

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The answer's numbers, the own stack's headline first."""
        own, best, of = self.own, self.best, self.measure
        name, kind = MEASURES[of]
        si = 1e-3 if kind == "volume" else 1.0
        hot, cold = own.hot, own.cold
        found = [
            Figure(f"{name}, own stack", si * own.of(of), kind, -1),
            Figure(f"{name}, best stack", si * best.of(of), kind, -1),
            Figure("rank of the own stack", own.rank, "count", -1),
            Figure("resistance on paper", own.figures.r_paper_m2k_w, "thermal_resistance", 1),
            Figure("resistance with ribs", 1.0 / own.figures.u_w_m2k, "thermal_resistance", 1),
            Figure("coldest point inside", own.figures.coldest_c, "temperature", 1),
            Figure("depth of insulation", own.figures.thickness_m, "length", 0),
            Figure("mass", own.figures.mass_kg, "mass", -1),
        ]
        if hot is not None and of != "felt_c":
            found.append(Figure("warmest on the hot night", hot.felt_c, "temperature", -1))
        if cold is not None and of != "heat_wh":
            found.append(Figure("heat on the cold night", cold.heat_wh, "energy", -1))
        if own.figures.dampest is not None:
            water = own.figures.dampest[1].peak
            found.append(Figure("most water in a stack", water, "area_mass", -1))
        return tuple(found)

    @property
    def trace(self) -> pd.DataFrame:
        """The own stack's run on the night that ranks, bedtime to waking."""
        from vanclimate.answers.trace import run_trace

        way = "fresh" if self.night.way == "held" else self.night.way
        part = night_rows(self.run, self.night.bedtime, self.sheet)
        return run_trace(self.run, self.sheet, way, part)


MEASURES = {
    "ac_wh": ("AC energy on the hot night", "energy"),
    "felt_c": ("warmest felt on the hot night", "temperature"),
    "fuel_l": ("fuel on the cold night", "volume"),
    "heat_wh": ("heat on the cold night", "energy"),
}


def stacks(sheet: Sheet, weather: Weather | Record | None = None, tick: Tick = quiet) -> Stacks:
    """Answer which insulation stack suits a van.

    Parameters
    ----------
    sheet : Sheet
    weather : Weather or Record, optional
        The sheet's own site unless given.
    tick : callable, optional
        Told after each run how many of how many are done.

    Raises
    ------
    SheetError, WeatherError
        When the sheet, its site or a stack of its list cannot be.
    """
    record = record_of(weather) if isinstance(weather, Weather) else weather or record_for(sheet)
    if sheet.air_conditioner is None:  # its hot night is spent with fans
        finish_table(begin_table(sheet.fans.bed_fan_speed))
    tried = candidates(sheet)
    climate = climate_of(sheet, record)
    nights = two_nights(sheet, record, climate)
    hot, cold = (next((n for n in nights if n.cold == of), None) for of in (False, True))
    layers, more = layer_candidates(sheet), inch_candidates(sheet, tried[0].shell())
    vans = [*tried, *(van for _, _, van in layers if van), *(van for *_, van in more)]
    done = _run_all(vans, (hot, cold), tick)
    results = dict(zip(map(id, vans), done, strict=True))
    own = results[id(tried[0])]
    floor = any(van.of("floor") is not None for van in sheet.stacks_to_try or ())
    mean = None if cold is None else (sheet.people.least + cold.outdoor_c) / 2.0
    rows = [
        _row(van, results[id(van)],
             figures_of(sheet, van, van.shell(), floor=floor, climate=climate, cold=mean))
        for van in tried
    ]  # fmt: skip
    cooled = sheet.air_conditioner is not None
    mild = cooled and cold is not None and _turned(rows)
    measure = _measure(sheet, own, mild)
    ranked = sorted(zip(rows, tried, strict=True), key=lambda pair: _rank_key(pair[0], measure))
    best = ranked[0][1]
    night = hot if measure in ("ac_wh", "felt_c") else cold
    assert night is not None, "the measure is of a night that is there"
    run = night_run(night, night.scene)
    ways = [(side, i, None if van is None else results[id(van)]) for side, i, van in layers]
    return Stacks(
        sheet=sheet,
        measure=measure,
        turned=mild and measure in ("fuel_l", "heat_wh"),
        rows=tuple(replace(row, rank=i) for i, (row, _) in enumerate(ranked, 1)),
        hot=hot,
        cold=cold,
        made_up=record.synthetic is not None,
        floor=floor,
        worths=worths(sheet, own, ways),
        inches=_inches(own, more, results, measure),
        gain=gain_of(own, results[id(best)]),
        gain_80=gain_range(night, tried[0], best, measure),
        balances=balances(run),
        run=run,
        climate=climate,
        best_shell=best.shell(),
    )


def _row(van: Candidate, nights: Nights, figures: Figures) -> Row:
    """Return a stack's row, its rank not known yet."""
    between = van.between.items()
    ends = tuple(Layer.model_validate(x) for x in ("steel 1 mm", "ply 6 mm"))
    whole = [x if key in van.whole else (ends[0], *x, ends[1]) for key, x in between]
    idle = [name for layers in whole for name in idle_shine(layers)]
    return Row(
        0, van.name, van.own, {key: tuple(x.label for x in layers) for key, layers in between},
        tuple(dict.fromkeys(idle)), van.cover, figures, *nights,
    )  # fmt: skip


def _run_all(
    vans: Sequence[Candidate], nights: tuple[TestNight | None, TestNight | None], tick: Tick
) -> list[Nights]:
    """Return how each van fares on both nights, two vans at a time."""
    count = 0

    def of(van: Candidate) -> Nights:
        nonlocal count
        model = compile_shell(van.shell())
        found = [
            None if n is None else fared(n, replace(n.scene, sheet=van.sheet, model=model))
            for n in nights
        ]
        count += 1
        tick(count, len(vans))
        return found[0], found[1]

    return side_by_side(of, vans)


def _turned(rows: Sequence[Row]) -> bool:
    """Say whether on the hot night the air conditioner takes least where least is insulated.

    Or where it takes next to nothing at all.
    """
    best, *_, worst = sorted(rows, key=lambda row: row.figures.u_w_m2k)
    if best.hot is None or worst.hot is None:
        return False
    if max(best.hot.ac_wh, worst.hot.ac_wh) < NO_HEAT:
        return True
    differ = worst.figures.u_w_m2k > SPREAD * best.figures.u_w_m2k
    return differ and worst.hot.ac_wh < best.hot.ac_wh


def _measure(sheet: Sheet, own: Nights, mild: bool) -> str:
    """Return what ranks the stacks, see the module."""
    hot, cold = own
    if hot is not None and sheet.air_conditioner is not None and not mild:
        return "ac_wh"
    if cold is None or (hot is not None and cold.heat_wh < NO_HEAT):
        return "felt_c" if sheet.air_conditioner is None else "ac_wh"
    return "fuel_l" if in_fuel(sheet) else "heat_wh"


def _rank_key(row: Row, measure: str) -> tuple[float, float]:
    short = row.short_k(measure)
    return (round(short, 1) if short > SHORT else 0.0), row.of(measure)


def _inches(
    own: Nights, more: Sequence[tuple[str, str, float, Candidate]], results: dict[int, Nights],
    measure: str,
) -> tuple[NextInch, ...]:  # fmt: skip
    """Return what an inch more earns on each part, most by its area first; covers last."""
    found = [
        NextInch(where, material, area, 0.0 if where == "glass" else area * INCH,
                 gain_of(own, results[id(van)]))
        for where, material, area, van in more
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda x: (x.where == "glass", -x.gain.of(measure) / x.area_m2)))
