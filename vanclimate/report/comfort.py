"""How a night feels, in lines: what to sleep under, heat, and hours that are no place for animals.

What does not belong here: what is computed (answers/comfort).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.comfort import UNEASY
from vanclimate.answers.thresholds import (
    ANIMALS_COLDEST,
    ANIMALS_HOURS,
    ANIMALS_WARMEST,
    WHO_LEAST,
)
from vanclimate.physics.bedding import FASTEST
from vanclimate.physics.comfort import HEAT_INDEX_RANGE, PMV_RANGE
from vanclimate.report.numbers import (
    MINUS,
    clock,
    fixed,
    hours,
    in_units,
    percent,
    scale,
    temperature,
)
from vanclimate.units import show

if TYPE_CHECKING:
    from vanclimate.answers.comfort import Asleep, Cover, Heat, Span
    from vanclimate.answers.night import Night
    from vanclimate.units import System

SCALE_END = 3.0  # of the votes
LEAVING = {"temp_air": "air", "temp_radiant": "walls", "vapour": "humidity"}
SHORTEST = 0.05  # h; less is not told
NO_PERMISSION = (
    "No permission: never leave an animal depending on an air conditioner, a fan or a battery."
)


def comfort_lines(night: Night, system: System) -> list[tuple[str, str]]:
    """Return names and what is said of them."""
    found = night.comfort
    rows = []
    if night.sheet.people.sleepers:
        rows = [(_bed_name(x, night), bed_line(x, night)) for x in found.asleep]
        rows.append(("votes", votes_line(night, system)))
    if found.hours_below_who >= SHORTEST:
        least = temperature(WHO_LEAST, system, 0)
        below = hours(found.hours_below_who)
        rows.append(("cold", f"it feels colder than {least}, the WHO's least indoors, for {below}"))
    if night.wet:
        rows.append(("water", water_line(night)))
    rows += [("heat", heat_line(night, system)), ("animals", animals_line(night, system))]
    return rows


def water_line(night: Night) -> str:
    """Return where water lay on inside faces at waking, and at most; grams in both systems."""
    faces = [row for row in night.wet if row.name != "frost"]
    parts = [
        f"{fixed(row.waking_g)} g on {row.name} at waking, {fixed(row.most_g)} g at most"
        for row in faces
    ]
    frost = next((row.most_g for row in night.wet if row.name == "frost"), 0.0)
    if frost:
        parts.append(f"of it up to {fixed(frost)} g as frost")
    return "; ".join(parts)


def _bed_name(asleep: Asleep, night: Night) -> str:
    """Return what a way's bedding goes by."""
    names = {"fans": "with fans", "fresh": "no heating"}
    return "bed" if asleep.way == night.main else names[asleep.way]


def cover_words(cover: Cover) -> str:
    """Return what lies over a sleeper: 'a light sheet and the bed fan'."""
    return f"{cover.bed.name} and the bed fan" if cover.fan else cover.bed.name


def vote(value: float) -> str:
    """Write a vote with its sign.

    >>> vote(-0.84), vote(0.02), vote(4.2)
    ('−0.8', '0.0', 'over +3')
    """
    if abs(value) > SCALE_END:
        return "over +3" if value > 0 else f"under {MINUS}3"
    text = fixed(value, 1)
    return f"+{text}" if value > 0 and text != "0.0" else text


def bed_line(asleep: Asleep, night: Night) -> str:
    """Return the bedding nearest to neutral, when it is too much or too little, and the votes."""
    line, used = cover_words(asleep.cover), [asleep.cover]
    for means, cover, words in (
        (asleep.first, asleep.at_first, "it is {} at first"),
        (asleep.last, asleep.before_waking, "it gets {} before waking"),
    ):
        if abs(means[0]) > UNEASY:
            line += f"; {_remark(means, cover == asleep.cover, cover, words)}"
            used.append(cover)
    power = night.sheet.fans.bed_fan_power
    if any(cover.fan for cover in used) and power and asleep.way != "fans":
        line += f" (the bed fan's {show(power, 'power', 'si')} are not in the draw)"
    worst = percent(asleep.worst.dissatisfied)
    return f"{line}. Vote {_course(asleep)}; up to {worst} dissatisfied"


def _remark(means: tuple[float, float], same: bool, cover: Cover, words: str) -> str:
    """Return when the night's cover is wrong for a while, and which one helps."""
    own, best = means
    text = words.format("warm" if own > 0 else "cold")
    if same:
        return f"{text}, and no bedding here helps"
    return f"{text}: {cover_words(cover)} then" + (", not enough" if abs(best) > UNEASY else "")


def _course(asleep: Asleep) -> str:
    """Return the votes from bedtime to waking, the extremes where they lie between."""
    ends = {asleep.bedtime.at, asleep.waking.at}
    between = [("warmest", asleep.warmest), ("coldest", asleep.coldest)]
    shown = [("at bedtime", asleep.bedtime)]
    shown += [(name, x) for name, x in between if x.at not in ends]
    return ", ".join(f"{vote(x.pmv)} {name}" for name, x in [*shown, ("waking", asleep.waking)])


def votes_line(night: Night, system: System) -> str:
    """Return what a vote is, someone's who is awake, and the range that votes are stated for."""
    awake, (low, high) = night.comfort.awake, PMV_RANGE["temp_air"]
    left = " and ".join(LEAVING[name] for name in night.comfort.out_of_range)
    left = f", and this night's {left}," if left else ""
    unit = scale(system)
    limits = " to ".join(fixed(in_units(x, "temperature", system)) for x in (low, high))
    held = f"; the bed fan's air counts as {FASTEST:g} m/s, the most that is known"
    return (
        f"{MINUS}3 cold, 0 neutral, +3 hot (PMV, ISO 7730). Seated at bedtime: "
        f"{vote(awake.vote.pmv)} in {awake.clothes}. Sleepers at 0.7 met{left} are outside its "
        f"range, 0.8 to 4 met, 0 to 2 clo, {limits} {unit}"
        f"{held if night.sheet.fans.bed_fan_speed > FASTEST else ''}"
    )


def heat_line(night: Night, system: System) -> str:
    """Return the heat index of the night, and of the day in the shut van, if either has one."""
    found = night.comfort
    if not (found.night.on_chart or found.day.on_chart):
        least = temperature(HEAT_INDEX_RANGE[0], system, 0)
        return (
            f"no heat index: it is meant for air from {least} on, and the air is "
            f"{temperature(found.night.warmest_c, system, 0)} at most in the night; shut up, "
            f"nobody inside, {temperature(found.day.warmest_c, system, 0)} the day before"
        )
    beyond = ", beyond the index's chart" if found.day.air_c > HEAT_INDEX_RANGE[1] else ""
    return (
        f"index {_index(found.night, system)} at most in the night; shut up, nobody inside, "
        f"{_index(found.day, system)} at {clock(found.day.at)} the day before, "
        f"air {temperature(found.day.air_c, system, 0)}{beyond}"
    )


def _index(heat: Heat, system: System) -> str:
    return f"{temperature(heat.index_c, system, 0)} ({heat.band or 'no band'})"


def animals_line(night: Night, system: System) -> str:
    """Return the hours beyond what dogs and cats may be carried in, and that it permits nothing."""
    shut, lived = night.comfort.shut, night.comfort.lived
    digits = 1 if system == "si" else 0  # as the rule gives them: 85 °F (29.5 °C), 45 °F (7.2 °C)
    warm, cold = (temperature(x, system, digits) for x in (ANIMALS_WARMEST, ANIMALS_COLDEST))
    above = _spans(f"above {warm}", shut.above, lived.above)
    below = _spans(f"below {cold}", shut.below, lived.below)
    return (
        f"in the 24 h to waking the air is {above}; {below}. US rule for carried dogs and cats "
        f"(9 CFR 3.16): ventilate at {warm}, no more than {ANIMALS_HOURS:.0f} h beyond either. "
        f"{NO_PERMISSION}"
    )


def _spans(where: str, shut: Span, lived: Span) -> str:
    """Write how long the air is beyond a limit, in the shut van and as the sheet runs it."""
    if max(shut.hours, lived.hours) < SHORTEST:
        return f"never {where}"
    return f"{where} for {_span(shut)} shut up, {_span(lived)} as your sheet runs it"


def _span(span: Span) -> str:
    if span.hours < SHORTEST:
        return "no time"
    broken = span.hours - span.at_a_stretch > SHORTEST
    return hours(span.hours) + (f" ({hours(span.at_a_stretch)} on end)" if broken else "")
