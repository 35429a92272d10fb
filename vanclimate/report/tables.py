"""Rows and columns of the night's answer, as rich tables.

What does not belong here: sentences (words.py) and their order (terminal.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from vanclimate.answers.days import CAME, WENT
from vanclimate.report.margin_words import must_stay
from vanclimate.report.numbers import fixed, in_units, scale
from vanclimate.report.words import RESIDUAL_ALLOWED, way_name, when_warm
from vanclimate.site.years import MONTHS
from vanclimate.units import GAL, show

if TYPE_CHECKING:
    from vanclimate.answers.judge import WayResult
    from vanclimate.answers.ledgers import Balance
    from vanclimate.answers.night import Night
    from vanclimate.units import System

FOG = 1.005  # relative humidity from which it no longer reads as 100 %
GOOD, BAD = "bold green", "bold red"


def plain_table(*columns: str) -> Table:
    """Return a table without rules: the first column to the left, the others to the right."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="underline")
    for i, name in enumerate(columns):
        table.add_column(name, justify="left" if i == 0 else "right", no_wrap=i == 0)
    return table


def ways_table(night: Night, system: System) -> Table:
    """Return the ways of spending the night side by side."""
    table = plain_table("", *(way_name(w.way, night) for w in night.ways))
    table.add_row("holds", *(_holds(w, night) for w in night.ways))
    unit = scale(system)

    def row(label: str, values: Sequence[str]) -> None:
        table.add_row(label, *values)

    def felt(values: Sequence[float]) -> list[str]:
        return [fixed(in_units(v, "temperature", system), 1) for v in values]

    row(f"felt, bedtime, {unit}", felt([w.felt_at_bedtime_c for w in night.ways]))
    row(f"felt, warmest*, {unit}", felt([w.felt_warmest_c for w in night.ways]))
    row(f"felt, waking, {unit}", felt([w.felt_at_waking_c for w in night.ways]))
    limit = show(night.sheet.people.limit, "temperature", system)
    row(f"hours above {limit}", [fixed(w.hours_above, 1) for w in night.ways])
    if night.sheet.heats:
        row(f"felt, coldest, {unit}", felt([w.felt_coldest_c for w in night.ways]))
        least = show(night.sheet.people.least, "temperature", system)
        row(f"hours below {least}", [fixed(w.hours_below, 1) for w in night.ways])
    if night.sheet.heater is not None:
        of, litres = ("gal", 1e3 * GAL) if system == "us" else ("L", 1.0)
        row(f"fuel, {of}", [fixed(w.fuel_l / litres, 2) for w in night.ways])
        row("heater, h (starts)", [f"{w.heater_hours:.1f} ({w.heater_starts})" for w in night.ways])
    damp = [
        f"{damp_air(w.humidity_at_waking)} ({damp_air(w.humidity_highest)})" for w in night.ways
    ]
    row("humidity (highest)", damp)
    row("CO2, waking, ppm", [fixed(round(w.co2_at_waking_ppm, -1)) for w in night.ways])
    row("drawn, Ah", [fixed(w.drawn_ah) for w in night.ways])
    bank = [f"{fixed(w.charge_at_waking_ah)} ({w.charge_at_waking:.0%})" for w in night.ways]
    row("bank, waking, Ah", bank)
    return table


def damp_air(humidity: float) -> str:
    """Write a relative humidity; air with more water than it can hold is foggy.

    >>> damp_air(0.57), damp_air(1.24)
    ('57%', 'fog')
    """
    return "fog" if humidity > FOG else f"{humidity:.0%}"


def _holds(result: WayResult, night: Night) -> Text:
    if not result.fit_to_sleep:
        return Text("unfit for sleeping", style=BAD)
    if result.holds:
        return Text("yes", style=GOOD)
    failure = result.failure
    if failure is None:
        return Text("no", style=BAD)
    if failure.kind == "charge":
        return Text(f"no, {must_stay(night.sheet).split()[0]} {failure.at:%H:%M}", style=BAD)
    span = when_warm(failure, night).replace("from ", "", 1).replace(" to ", "–")
    return Text(f"no, {'cold' if failure.kind == 'cold' else 'warm'} {span}", style=BAD)


def heat_table(night: Night) -> Table:
    """Return where the heat came from and what took it, bedtime to waking."""
    table = plain_table("heat into the cabin", "Wh")
    in_air = [r for r in night.heat if not r.latent]
    for row in in_air:
        if abs(row.wh) >= 0.5:
            table.add_row(row.name.replace("air conditioner", "AC"), fixed(row.wh))
    table.add_row("left in the air", fixed(sum(r.wh for r in in_air)))
    water = sum(r.wh for r in night.heat if r.latent)
    if abs(water) >= 0.5:
        table.add_row("besides: AC, vapour", fixed(water))
    return table


def charge_table(night: Night) -> Table:
    """Return where the charge went, bedtime to waking."""
    table = plain_table("charge went to", "Wh", "Ah")
    rows = [row for row in night.charge if abs(row.wh) >= 0.5]
    for row in rows:
        table.add_row(row.name, fixed(row.wh), fixed(row.ah, 1))
    table.add_row("all", fixed(sum(r.wh for r in rows)), fixed(sum(r.ah for r in rows), 1))
    return table


def days_table(night: Night, width: int) -> Table:
    """Return where each day's charge came from and went, in Ah.

    A row a day; where that does not fit, a column a day.
    """
    came = [x for x in CAME if any(day.came[x] >= 0.5 for day in night.days)]
    went = [x for x in WENT if any(day.went[x] >= 0.5 for day in night.days)]
    names = ["start", *came, *(f"−{x}" for x in went), "−losses", "end"]
    dates = [f"{MONTHS[d.begins.month - 1][:3]} {d.begins.day}" for d in night.days]
    hours = [f"{d.begins:%H:%M}" for d in night.days]
    figures = [
        [
            fixed(day.start_ah), *(fixed(day.came[x]) for x in came),
            *(fixed(day.went[x]) for x in went), fixed(day.losses_ah), fixed(day.end_ah),
        ]
        for day in night.days
    ]  # fmt: skip
    if sum(2 + max(len(word) for word in name.split()) for name in names) + 15 <= width:
        table = plain_table("Ah from", *names)
        for date, hour, row in zip(dates, hours, figures, strict=True):
            table.add_row(f"{date}, {hour}", *row)
        return table
    table = plain_table(f"Ah from {hours[0] if hours else ''}", *dates)
    for name, *row in zip(names, *figures, strict=True):
        table.add_row(name, *row)
    return table


def sun_table(night: Night) -> Table:
    """Return the sun on each side over the day before and the night."""
    table = plain_table("sun on, Wh", "day before", "night")
    for row in night.sun:
        table.add_row(row.name, fixed(row.day_wh), fixed(row.night_wh))
    return table


def side_by_side(tables: Sequence[Table], width: int) -> list[Table]:
    """Return tables next to each other where the width allows, else one below the other."""
    if width >= 96:
        groups = [list(tables)]
    elif width >= 64:
        groups = [list(tables[:2]), list(tables[2:])]
    else:
        groups = [[t] for t in tables]
    out = []
    for group in groups:
        grid = Table.grid(padding=(0, 2, 0, 0))
        for _ in group:
            grid.add_column()
        grid.add_row(*group)
        out.append(grid)
    return out


def balance_table(balances: Sequence[Balance]) -> Table:
    """Return the books: what passed through, what is left over, and whether they close."""
    table = plain_table("balance", "passed through", "left over", "ratio", "closes")
    for book in balances:
        closes = book.ratio <= RESIDUAL_ALLOWED
        table.add_row(
            book.name,
            f"{fixed(book.throughput)} {book.unit}",
            f"{book.residual:.0e} {book.unit}".replace("-", "−"),
            f"{book.ratio:.0e}".replace("-", "−"),
            "yes" if closes else Text("NO", style=BAD),
        )
    return table
