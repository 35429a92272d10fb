"""The sun's path over the parked van: the sky seen from above, the van in its middle.

Straight above is the middle, the horizon the circle, north up. What does not belong here: where the
sun is (site/sun), and shade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import cos, hypot, radians, sin

from vanclimate.page import ink
from vanclimate.page.drawings.canvas import Box, Canvas, Drawing, Point, wrapped
from vanclimate.page.drawings.day import MINUTES, Path, path_of
from vanclimate.report.numbers import compass, fixed, utc_offset
from vanclimate.site.years import MONTHS

WIDTH = 340.0
RADIUS = 80.0  # px from straight above to the horizon
HEAD, SIDE = 16.0, 22.0  # px: of the line above it, beside it for a letter
LINE, SAMPLE = 14.0, 24.0  # px: of text, of a line's sample before it
HORIZON = 90.0  # deg of zenith
OUTSIDE = 12.0  # deg beyond the horizon that letters may stand
EVERY = 3  # hours between those that are named
VAN = 36.0  # px, the van's length
ROUND = (30.0, 60.0)  # deg of zenith with a circle
Line = tuple[Path, float, tuple[float, ...]]  # a path, its width and dashes
SOLSTICES = ((6, 21), (12, 21))


def sun_path(
    moment: datetime, latitude: float, longitude: float, heading: float, *,
    elevation: float = 0.0, shape: float = 0.45, width: float = WIDTH,
) -> Drawing:  # fmt: skip
    """Return the sun's path over the van on a day, the farther solstice beside it.

    Parameters
    ----------
    moment : on that day, with the site's zone
    latitude, longitude : [deg], north and east positive
    heading : of the van's nose, clockwise from north [deg]
    elevation : above the sea [m]
    shape : the van's width over its length
    width : of the drawing [px]
    """
    zone = moment.utcoffset()
    offset = zone.total_seconds() / 3600.0 if zone is not None else 0.0
    today = path_of(moment.date(), latitude, longitude, elevation, offset)
    other = path_of(_other_day(moment.date()), latitude, longitude, elevation, offset)
    with ink.looks():
        canvas = Canvas(width)
        sky = _Sky(width - SIDE - RADIUS, HEAD + SIDE + RADIUS, RADIUS)
        canvas.text(0.0, 11.0, f"{_date(today.day)}: {_day_words(today)}", bold=True)
        _sky_lines(canvas, sky)
        _draw_van(canvas, sky, heading, shape)
        lines: list[Line] = [(today, 2.2, ()), (other, 0.9, (3.0, 2.5))]
        for line in reversed(lines):  # today's over the other
            _draw_path(canvas, sky, *line)
        _draw_hours(canvas, sky, today)
        _name_heights(canvas, sky)
        facts = f"nose to {compass(heading)}, {heading:.0f}°", f"clock {utc_offset(offset)}"
        y = _key(canvas, HEAD, facts, lines)
        return Drawing(canvas.close(max(y, sky.y + RADIUS + SIDE)), _says(today, other, heading))


@dataclass(frozen=True)
class _Sky:
    """Where the sky's middle lies on the paper, and how far its horizon is [px]."""

    x: float
    y: float
    radius: float

    def at(self, zenith: float, azimuth: float) -> Point:
        far = self.radius * min(zenith, HORIZON + OUTSIDE) / HORIZON
        turn = radians(azimuth)
        return self.x + far * sin(turn), self.y - far * cos(turn)


def _other_day(day: date) -> date:
    """Return the solstice that is farther from a day of the year."""
    longest = timedelta(days=366)

    def apart(month: int, number: int) -> timedelta:
        there = day.replace(month=month, day=number)
        gap = abs(there - day)
        return min(gap, longest - gap)

    month, number = max(SOLSTICES, key=lambda pair: apart(*pair))
    return day.replace(month=month, day=number)


def _sky_lines(canvas: Canvas, sky: _Sky) -> None:
    """Draw the horizon, two heights above it and the compass."""
    for zenith in ROUND:
        canvas.ring(sky.x, sky.y, sky.radius * zenith / HORIZON, "rule")
    canvas.ring(sky.x, sky.y, sky.radius, "soft")
    for name, azimuth in (("N", 0.0), ("E", 90.0), ("S", 180.0), ("W", 270.0)):
        x, y = sky.at(HORIZON + 9.0, azimuth)
        canvas.text(x, y + 4.0, name, ha="center", bold=True)
        canvas.lines([[sky.at(HORIZON - 3.0, azimuth), sky.at(HORIZON, azimuth)]])


def _name_heights(canvas: Canvas, sky: _Sky) -> None:
    """Name the two heights where there is room on their circles."""
    for zenith in ROUND:
        text = f"{HORIZON - zenith:.0f}° high"
        for azimuth in (45.0, 315.0, 135.0, 225.0, 60.0, 300.0, 20.0, 340.0, 160.0, 200.0):
            x, y = sky.at(zenith, azimuth)
            if canvas.is_free(canvas.box_of(x, y + 4.0, text, ha="center")):
                canvas.text(x, y + 4.0, text, ha="center", colour="soft")
                break


def _draw_van(canvas: Canvas, sky: _Sky, heading: float, shape: float) -> None:
    """Draw the van from above, its nose rounded to the way it points."""
    half, side = VAN / 2.0, VAN / 2.0 * min(0.6, max(0.2, shape))
    outline = [(-side, -half), (-side, half - 0.35 * side), (-0.6 * side, half), (0.6 * side, half),
               (side, half - 0.35 * side), (side, -half)]  # fmt: skip
    screen = [(-0.8 * side, half * 0.55), (0.8 * side, half * 0.55)]
    arrow = [(0.0, half + 4.0), (0.0, half + 17.0)]
    head = [(-4.0, half + 12.0), (0.0, half + 19.0), (4.0, half + 12.0)]

    def turned(points: list[Point]) -> list[Point]:
        c, s = cos(radians(heading)), sin(radians(heading))
        return [(sky.x + x * c + y * s, sky.y - (y * c - x * s)) for x, y in points]

    canvas.area(turned(outline), fill="wash", edge="ink", width=1.0)
    canvas.lines([turned(screen), turned(arrow)], "ink", 1.2)
    canvas.area(turned(head), fill="ink")
    for x, y in turned([(0.0, half * k / 2.0) for k in range(-2, 4)]):
        canvas.keep(Box(x - side, y - side, x + side, y + side))


def _draw_path(
    canvas: Canvas, sky: _Sky, path: Path, width: float, dashes: tuple[float, ...]
) -> None:
    """Draw the part of a path above the horizon."""
    lines: list[list[Point]] = [[]]
    for k, up in enumerate(path.up):
        if up:
            lines[-1].append(sky.at(min(HORIZON, float(path.zenith[k])), float(path.azimuth[k])))
        elif lines[-1]:
            lines.append([])
    canvas.lines([line for line in lines if len(line) > 1], "sun", width, dashes)
    for x, y in (point for line in lines for point in line):
        canvas.keep(Box(x - 2.0, y - 2.0, x + 2.0, y + 2.0))


def _draw_hours(canvas: Canvas, sky: _Sky, path: Path) -> None:
    """Mark each hour of sun, and name every third where there is room."""
    named = []
    for hour in range(24):
        k = hour * 60 // MINUTES
        if not path.up[k]:
            continue
        here, there = (
            sky.at(min(HORIZON, float(path.zenith[i])), float(path.azimuth[i])) for i in (k, k + 1)
        )
        canvas.ring(*here, 3.4 if hour % EVERY == 0 else 2.0, "sun", "sun")
        if hour % EVERY == 0:
            named.append((f"{hour:02d}", here, there))
    for text, here, there in named:
        (x, y), (dx, dy) = here, (there[0] - here[0], there[1] - here[1])
        long = max(1e-6, hypot(dx, dy))
        for far in (13.0, -13.0, 17.0, -17.0, 25.0, -25.0):
            at = x - far * dy / long, y + far * dx / long + 4.0
            if canvas.is_free(canvas.box_of(*at, text, ha="center")):
                canvas.text(*at, text, ha="center")
                break


def _key(canvas: Canvas, y: float, facts: Sequence[str], lines: Sequence[Line]) -> float:
    """Say beside the sky how the van stands and which line is which; return where it ends."""
    for text in facts:
        y += LINE
        canvas.text(0.0, y, text)
    room = canvas.width - 2.0 * (SIDE + RADIUS) - SAMPLE
    for path, width, dashes in lines:
        y += 6.0
        canvas.lines(
            [[(0.0, y + LINE - 4.0), (SAMPLE - 5.0, y + LINE - 4.0)]], "sun", width, dashes
        )
        for text in (_date(path.day), *wrapped(_height_words(path), room, 3)):
            y += LINE
            canvas.text(SAMPLE, y, text)
    return y + 6.0


def _date(day: date) -> str:
    return f"{MONTHS[day.month - 1]} {day.day}"


def _clock(hours: float) -> str:
    minutes = round(60.0 * hours)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _day_words(path: Path) -> str:
    """Return when the sun is up."""
    rises, sets = path.rises_and_sets
    if not path.up.any():
        return "the sun does not rise"
    if path.up.all():
        return "the sun does not set"
    words = [f"sun up {_clock(rises)}"] if rises is not None else []
    words += [f"down {_clock(sets)}"] if sets is not None else []
    return ", ".join(words)


def _height_words(path: Path) -> str:
    """Return how high the sun stands at its highest."""
    k = int(path.zenith.argmin())
    high = HORIZON - float(path.zenith[k])
    if high <= 0.0:
        return f"highest {fixed(high)}°, below the horizon"
    where, when = compass(float(path.azimuth[k])), _clock(float(path.hours[k]))
    return f"highest {fixed(high)}° in the {where} at {when}"


def _says(today: Path, other: Path, heading: float) -> str:
    """Return the drawing in words."""
    return (
        f"The sun's path over the van, its nose to {compass(heading)}. {_date(today.day)}: "
        f"{_day_words(today)}, {_height_words(today)}. {_date(other.day)}: {_height_words(other)}."
    )
