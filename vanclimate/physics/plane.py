"""Steady heat conduction in a plane section of rectangles: temperatures, and the heat that crosses.

The section is cut by straight lines in both directions. Temperatures stand where the lines cross,
so they lie on the faces of materials, and each node keeps the quarter cells round it (finite
volumes). Along a line two cells conduct side by side; from one cell to the next the heat passes in
series: that is the harmonic mean of neighbours, with the node on the face between them. Does not
belong here: what the rectangles are made of in a van (``network/section``), and time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
SOLID = -1  # mark of a cell that is no air
CLOSED = -2  # mark of a side that no heat crosses


class Film(NamedTuple):
    """Air on a face: its name, temperature [°C] and surface resistance [m²K/W], above zero.

    A face held at a temperature is a film of next to no resistance.
    """

    name: str
    temp: float
    resistance: float


class Block(NamedTuple):
    """A rectangle [m] of a conductivity [W/mK], or of air that films every face it touches."""

    left: float
    right: float
    low: float
    high: float
    fill: float | Film


@dataclass(frozen=True)
class Field:
    """The solution of a section.

    Attributes
    ----------
    x, y : arrays (nx + 1,), (ny + 1,) [m], the grid's lines
    temp : array (ny + 1, nx + 1) [°C], at the crossings; in the air of a film its temperature
    conductivity : array (ny, nx) [W/mK], of the cells; 0 in air
    flow : heat into the section through each film, by its name [W/m]
    faces : array (ny + 1, nx + 1) of bool for each film: the nodes it touches
    """

    x: Array
    y: Array
    temp: Array
    conductivity: Array
    flow: dict[str, float]
    faces: dict[str, NDArray[np.bool_]] = field(repr=False)

    def at(self, x: float, y: float) -> float:
        """Return the temperature at a point [°C], linear in each direction between the lines."""
        i = int(np.clip(np.searchsorted(self.x, x) - 1, 0, len(self.x) - 2))
        j = int(np.clip(np.searchsorted(self.y, y) - 1, 0, len(self.y) - 2))
        u = (x - self.x[i]) / (self.x[i + 1] - self.x[i])
        v = (y - self.y[j]) / (self.y[j + 1] - self.y[j])
        low = (1 - u) * self.temp[j, i] + u * self.temp[j, i + 1]
        high = (1 - u) * self.temp[j + 1, i] + u * self.temp[j + 1, i + 1]
        return float((1 - v) * low + v * high)


def grid_lines(
    marks: Sequence[float], finest: float, coarsest: float, growth: float = 1.5
) -> Array:
    """Return lines through all marks, close together at each mark and wider apart between.

    Parameters
    ----------
    marks : [m], where materials end; in any order, repeated or not
    finest : [m], the cell at a mark; a narrower strip gets one cell
    coarsest : [m], no cell is wider
    growth : [-], of a cell to the next, up to the middle between two marks

    Returns
    -------
    array [m], rising
    """
    own = sorted(marks)
    kept = [own[0]] + [b for a, b in pairwise(own) if b - a > 1e-7]
    lines = [kept[:1]]
    for a, b in pairwise(kept):
        sizes: list[float] = []
        reach = 0.0
        while reach < (b - a) / 2:
            sizes.append(min(coarsest, finest * growth ** len(sizes)))
            reach += sizes[-1]
        both = np.array([*sizes, *sizes[::-1]]) if len(sizes) > 1 or finest < b - a else np.ones(1)
        lines.append((a + np.cumsum(both) * (b - a) / both.sum()).tolist())
        lines[-1][-1] = b
    return np.concatenate(lines)


def halved(lines: Array) -> Array:
    """Return the lines with one more in the middle of each cell."""
    out = np.empty(2 * len(lines) - 1)
    out[::2] = lines
    out[1::2] = (lines[1:] + lines[:-1]) / 2
    return out


def solve_plane(
    x: Array,
    y: Array,
    blocks: Sequence[Block],
    *,
    left: Film | None = None,
    right: Film | None = None,
    low: Film | None = None,
    high: Film | None = None,
) -> Field:
    """Solve div(λ grad T) = 0 in a rectangle with films on its sides.

    Parameters
    ----------
    x, y : arrays [m], rising lines of the grid; the blocks' edges should be among them
    blocks : later ones lie over earlier ones; together they cover the rectangle
    left, right, low, high : film on a side; None: no heat crosses it

    Returns
    -------
    Field

    Raises
    ------
    ValueError
        When a cell is covered by no block, or nothing of the section touches a film.

    References
    ----------
    The rules of ISO 10211:2017 for a numerical method (annex A and C, from memory): halving the
    grid must change the flow by less than 1 %; flows balance to 1e-4.
    """
    k, air, films = _painted(x, y, blocks, (left, right, low, high))
    dx, dy = np.diff(x), np.diff(y)
    inside = np.pad(k, 1)
    along = np.pad(dy, 1)[:, None] * inside[:, 1:-1] / 2  # half a cell's share of an edge in x
    across = np.pad(dx, 1)[None, :] * inside[1:-1, :] / 2
    g_x = (along[:-1] + along[1:]) / dx[None, :]  # (ny + 1, nx), W/mK
    g_y = (across[:, :-1] + across[:, 1:]) / dy[:, None]  # (ny, nx + 1)
    film = _film_conductances(air, dx, dy, films)  # (films, ny + 1, nx + 1)
    film_temp = np.array([f.temp for f in films])
    # a node that only air touches takes the temperature of the air of a cell beside it
    beside = film_temp[np.maximum(0, np.maximum.reduce([air[:-1, :-1], air[1:, 1:]]))]
    temp = _solved(g_x, g_y, film, film_temp, beside)
    flow: dict[str, float] = {}
    faces: dict[str, NDArray[np.bool_]] = {}
    for f, g in zip(films, film, strict=True):
        flow[f.name] = flow.get(f.name, 0.0) + float((g * (f.temp - temp)).sum())
        faces[f.name] = faces.get(f.name, np.zeros(temp.shape, bool)) | (g > 0)
    return Field(x, y, temp, k, flow, faces)


def _painted(
    x: Array, y: Array, blocks: Sequence[Block], sides: tuple[Film | None, ...]
) -> tuple[Array, NDArray[np.int64], list[Film]]:
    """Return conductivity of the cells, the film's number of each cell and side, and the films."""
    films: list[Film] = []

    def number(film: Film) -> int:
        if film.resistance <= 0.0:
            raise ValueError(f"film {film.name}: a resistance above zero")
        if film not in films:
            films.append(film)
        return films.index(film)

    mid_x, mid_y = (x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2
    k = np.full((len(mid_y), len(mid_x)), np.nan)
    air = np.full((len(mid_y) + 2, len(mid_x) + 2), CLOSED, dtype=np.int64)
    for b in blocks:
        rows = (mid_y > b.low) & (mid_y < b.high)
        columns = (mid_x > b.left) & (mid_x < b.right)
        own = np.ix_(rows, columns)
        if isinstance(b.fill, Film):
            k[own], air[1:-1, 1:-1][own] = 0.0, number(b.fill)
        else:
            k[own], air[1:-1, 1:-1][own] = b.fill, SOLID
    if np.isnan(k).any():
        raise ValueError("a part of the section that no block covers")
    edges = (air[1:-1, 0], air[1:-1, -1], air[0, 1:-1], air[-1, 1:-1])
    for edge, side in zip(edges, sides, strict=True):
        if side is not None:
            edge[:] = number(side)
    return k, air, films


def _film_conductances(
    air: NDArray[np.int64], dx: Array, dy: Array, films: Sequence[Film]
) -> Array:
    """Return the conductance from each film to each node [W/mK]: half a face to either end."""
    out = np.zeros((len(films), len(dy) + 1, len(dx) + 1))
    solid = air == SOLID
    for n, film in enumerate(films):
        here = air == n
        upright = (here[1:-1, :-1] & solid[1:-1, 1:]) | (solid[1:-1, :-1] & here[1:-1, 1:])
        level = (here[:-1, 1:-1] & solid[1:, 1:-1]) | (solid[:-1, 1:-1] & here[1:, 1:-1])
        up = upright * dy[:, None] / 2 / film.resistance  # (ny, nx + 1)
        out[n, :-1] += up
        out[n, 1:] += up
        flat = level * dx[None, :] / 2 / film.resistance  # (ny + 1, nx)
        out[n, :, :-1] += flat
        out[n, :, 1:] += flat
    if not out.any():
        raise ValueError("a section that no film touches has no temperature")
    return out


def _solved(g_x: Array, g_y: Array, film: Array, film_temp: Array, air: Array) -> Array:
    """Return the nodes' temperatures (ny + 1, nx + 1) for the conductances between them.

    ``air`` holds the temperature that a node takes which no solid touches.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.linalg import spsolve

    node = np.arange(air.size).reshape(air.shape)
    a = np.concatenate([node[:, :-1].ravel(), node[:-1].ravel()])
    b = np.concatenate([node[:, 1:].ravel(), node[1:].ravel()])
    g = np.concatenate([g_x.ravel(), g_y.ravel()])
    diagonal = film.sum(axis=0).ravel() + np.bincount(a, g, air.size) + np.bincount(b, g, air.size)
    in_air = diagonal == 0.0
    heat = np.tensordot(film_temp, film, 1).ravel()
    heat[in_air], diagonal[in_air] = air.ravel()[in_air], 1.0
    rows = np.concatenate([node.ravel(), a, b])
    columns = np.concatenate([node.ravel(), b, a])
    matrix = coo_array((np.concatenate([diagonal, -g, -g]), (rows, columns))).tocsc()
    solved: Array = spsolve(matrix, heat, permc_spec="MMD_AT_PLUS_A")
    return solved.reshape(air.shape)
