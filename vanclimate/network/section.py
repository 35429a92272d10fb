"""What a rib does to a stack: its section solved in two dimensions, and the path it becomes.

Result of a solution: U between the ribs and with them, the rib's linear transmittance, the coldest
point inside, and a path of one chain with the same steady heat and the same coldest face. Films
are those of ISO 6946, the section's other rules those of ``profile``. What does not belong here:
the geometry (profile.py) and the surfaces of a shell (shell.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.cache import cached_arrays
from vanclimate.network.profile import Profile, Split, as_built, profile_of, split_stack
from vanclimate.network.resistance import core_resistance
from vanclimate.network.resolution import METAL
from vanclimate.physics.conduction import R_SE, R_SI, Direction, u_value
from vanclimate.physics.plane import Array, Block, Field, Film, grid_lines, halved, solve_plane
from vanclimate.van.layers import Layer
from vanclimate.van.ribs import Ribs

MOULD_RSI = 0.25  # m2K/W inside, of ISO 13788 where mould is judged on opaque parts; from memory
FINEST, COARSEST = 0.3e-3, 10e-3  # m; halving such a grid moves the flow by 0.6 % at most
SCREW_METAL = 50.0  # W/mK, steel
HEAD = 2.0  # a screw's head over its shank, in diameter; assumed: a pan head
MOST_SHARE = 0.9  # of a side that a rib's path may stand for
LEAST_CORE = 2e-3  # m2K/W of a rib's path; it cannot conduct better than its own steel


class RibPath(NamedTuple):
    """The chain that stands for a rib: skin, rib, face to the room.

    ``share`` of the side's area; ``outer`` and ``inner`` resistance [m2K/W] from the skin to the
    rib and from the rib to the face. Heat capacities per area of the path [J/m2K]: ``skin``,
    ``rib`` with the insulation that its strip takes from the stack, ``face`` of the lining.
    """

    share: float
    outer: float
    inner: float
    skin: float
    rib: float
    face: float


@dataclass(frozen=True, eq=False)
class Section:
    """A stack and its rib, solved.

    Attributes
    ----------
    name : of the rib
    u_plain, u_mean : transmittance between ribs (as built) and with them, screws included [W/m2K]
    psi : linear transmittance of a rib, screws included [W/mK]
    psi_screws : what of it the screws add [W/mK]
    factor : temperature factor of the coldest point inside, (T − Te)/(Ti − Te) [-]
    factor_mould : the same with the film that ISO 13788 takes for mould, 0.25 m2K/W
    factor_plain : of the face between the ribs
    factor_screw : of a screw's head, or None
    path : RibPath, or None where the rib adds nothing
    stack : the layers between the ribs as built
    x, y : grid lines [m], x from the rib's centre, y from the skin's outer face
    temp : temperature factor at the crossings (len(y), len(x)); 1 in the room's air
    conductivity : of the cells [W/mK]; 0 in the room's air
    warnings : what of the description needs a word
    """

    name: str
    u_plain: float
    u_mean: float
    psi: float
    psi_screws: float
    factor: float
    factor_mould: float
    factor_plain: float
    factor_screw: float | None
    path: RibPath | None
    stack: tuple[Layer, ...]
    x: Array
    y: Array
    temp: Array
    conductivity: Array
    warnings: tuple[str, ...]

    @property
    def bridging(self) -> float:
        """Mean U over U between ribs [-]."""
        return self.u_mean / self.u_plain


def section_of(
    layers: tuple[Layer, ...],
    ribs: Ribs,
    direction: Direction = "horizontal",
    *,
    rsi: float | None = None,
    halvings: int = 0,
) -> Section:
    """Return the solved section of a stack across its ribs.

    Parameters
    ----------
    layers : as listed, outside first, insulation as installed
    ribs : Ribs
    direction : of the heat flow: 'up' through a roof in winter
    rsi : film inside [m2K/W]; ISO 6946's of the direction where None
    halvings : how often the usual grid is halved, to see what it is worth
    """
    rsi = R_SI[direction] if rsi is None else rsi
    stack = as_built(layers, ribs)
    u_plain = u_value([core_resistance(stack, direction)], rsi, R_SE)
    shape = profile_of(layers, ribs, direction, Film("inside", 1.0, rsi))
    solved = _cached(shape, rsi, halvings)
    mould_shape = profile_of(layers, ribs, direction, Film("inside", 1.0, MOULD_RSI))
    mould = _cached(mould_shape, MOULD_RSI, halvings)
    spans = 1.0 if shape.whole else 2.0
    bare = spans * float(solved["flow"]) - u_plain * ribs.spacing
    split = split_stack(stack)
    screws, head = _screws(ribs, split, solved, rsi)
    psi, factor = bare + screws, float(solved["coldest"])
    u_mean = u_plain + psi / ribs.spacing
    return Section(
        name=ribs.label,
        u_plain=u_plain,
        u_mean=u_mean,
        psi=psi,
        psi_screws=screws,
        factor=factor,
        factor_mould=float(mould["coldest"]),
        factor_plain=1.0 - rsi * u_plain,
        factor_screw=head,
        path=_path(ribs, split, u_plain, u_mean, factor, float(solved["rib"]), rsi),
        stack=stack,
        x=solved["x"],
        y=solved["y"],
        temp=solved["temp"],
        conductivity=solved["conductivity"],
        warnings=tuple(_warnings(layers, ribs, psi)),
    )


def _cached(shape: Profile, rsi: float, halvings: int) -> dict[str, NDArray[Any]]:
    """Return the solution's arrays, from disk where this very section was solved before."""

    def build() -> dict[str, NDArray[Any]]:
        solved = _solve(shape, rsi, halvings)
        return {
            "x": solved.x, "y": solved.y, "temp": solved.temp,
            "conductivity": solved.conductivity,
            "flow": np.array(solved.flow["inside"]),
            "coldest": np.array(solved.temp[solved.faces["inside"]].min()),
            "rib": np.array(_mean_over(solved, shape.rib)),
            "face": np.array(solved.at(_middle(shape), shape.face)),
            "lining": np.array(solved.at(_middle(shape), shape.height)),
        }  # fmt: skip

    return cached_arrays("section", (shape, rsi, halvings, FINEST, COARSEST), build)


def _middle(shape: Profile) -> float:
    """Return the x of the middle of the rib's face."""
    return (shape.rib[0].left + shape.rib[0].right) / 2


def _solve(shape: Profile, rsi: float, halvings: int) -> Field:
    """Solve the section with 0 outside and 1 inside, no heat crossing its two ends."""
    end = shape.start + shape.width

    def marks(values: list[float], low: float, high: float) -> list[float]:
        return [low, *(v for v in values if low < v < high), high]

    across = [v for b in shape.blocks for v in (b.left, b.right)]
    through = [v for b in shape.blocks for v in (b.low, b.high)]
    x = grid_lines(marks(across, shape.start, end), FINEST, COARSEST)
    y = grid_lines(marks(through, 0.0, shape.height), FINEST, COARSEST)
    for _ in range(halvings):
        x, y = halved(x), halved(y)
    outside, inside = Film("outside", 0.0, R_SE), Film("inside", 1.0, rsi)
    return solve_plane(x, y, shape.blocks, low=outside, high=inside)


def _mean_over(solved: Field, blocks: tuple[Block, ...]) -> float:
    """Return the mean temperature of the cells in some blocks, by their area."""
    mid_x, mid_y = (solved.x[1:] + solved.x[:-1]) / 2, (solved.y[1:] + solved.y[:-1]) / 2
    own = np.zeros(solved.conductivity.shape, bool)
    for b in blocks:
        own |= np.outer((mid_y > b.low) & (mid_y < b.high), (mid_x > b.left) & (mid_x < b.right))
    t = solved.temp
    cell = (t[1:, 1:] + t[1:, :-1] + t[:-1, 1:] + t[:-1, :-1]) / 4
    area = np.outer(np.diff(solved.y), np.diff(solved.x)) * own
    return float((cell * area).sum() / area.sum())


def _screws(
    ribs: Ribs, split: Split, solved: dict[str, NDArray[Any]], rsi: float
) -> tuple[float, float | None]:
    """Return what screws add to a rib's transmittance [W/mK], and the factor of a head.

    A screw joins the lining's face to the rib's by its shank, λ π d²/4 over the length between.
    Its head gathers heat from the room and from the lining round it, a disc that fades outwards:
    G = H π r² + 2 π r λt m K1(m r)/K0(m r), m² = H/λt, with H the film and the layers behind the
    lining side by side. Both are in series between the two temperatures that the section has
    without screws; that they cool the lining for each other and warm the rib is left out, which
    makes the estimate a high one. A disc in an infinite plate: textbook solution.
    """
    if ribs.screws is None or not split.lining:
        return 0.0, None
    from scipy.special import k0, k1

    thick = sum(x.thickness for x in split.lining)
    spread = sum(x.thickness * x.conductivity for x in split.lining)  # W/K
    length = float(solved["y"][-1]) - split.skin.thickness - ribs.mastic - ribs.depth
    behind = core_resistance(split.lining) / 2
    behind += ribs.strip.thickness / ribs.strip.conductivity if ribs.strip else 0.0
    over = max(0.0, length - thick - (ribs.strip.thickness if ribs.strip else 0.0))
    insulation = [x.conductivity for x in split.between if x.insulation]
    behind += over / min(insulation, default=0.026)
    surface = 1.0 / rsi + 1.0 / behind
    r = HEAD * ribs.screws.diameter / 2
    m = np.sqrt(surface / spread)
    gather = surface * np.pi * r**2 + 2 * np.pi * r * spread * m * k1(m * r) / k0(m * r)
    shank = SCREW_METAL * np.pi * ribs.screws.diameter**2 / 4 / length
    face, lining = float(solved["face"]), float(solved["lining"])
    heat = (lining - face) / (1 / gather + 1 / shank)  # W/K, of one screw
    return float(heat / ribs.screws.spacing), float(lining - heat / gather)


def _path(
    ribs: Ribs, split: Split, u_plain: float, u_mean: float, factor: float, rib: float, rsi: float
) -> RibPath | None:
    """Return the chain that adds the rib's heat and has its coldest face.

    The coldest face asks U = (1 − factor)/Rsi of the path, the rib's heat asks
    share (U − U plain) = U mean − U plain: the width of the strip that would be as cold
    throughout. The rib's node stands where the chain has the rib's mean temperature.
    """
    more = u_mean - u_plain
    least = rsi + R_SE + LEAST_CORE
    u = min((1.0 - factor) / rsi, 1.0 / least)
    if more <= 1e-4 * u_plain or u_plain >= 1.0 / least:
        return None
    share = min(MOST_SHARE, more / (u - u_plain)) if u > u_plain else MOST_SHARE
    u = min(u_plain + more / share, 1.0 / least)
    core = 1.0 / u - rsi - R_SE
    outer = float(np.clip(rib / u - R_SE, 0.0, core))
    strip = share * ribs.spacing
    beside = _heat(split.between) * max(0.0, 1.0 - ribs.footprint / strip)
    own = ribs.mass * ribs.material.specific_heat / strip + beside
    face = _heat(split.lining)
    # a link too small for a node of its own, and a face without a lining, join the rib
    outer = 0.0 if outer < METAL else outer
    outer = core if core - outer < METAL or face == 0.0 else outer
    return RibPath(share, outer, core - outer, _heat((split.skin,)), own, face)


def _heat(layers: tuple[Layer, ...]) -> float:
    """Return the heat capacity of layers [J/m2K]; air holds none."""
    return sum(0.0 if x.air_gap else x.thickness * x.density * x.specific_heat for x in layers)


def _warnings(layers: tuple[Layer, ...], ribs: Ribs, psi: float) -> list[str]:
    """Return what a builder should know of how his words were taken."""
    split = split_stack(layers)
    gap = ribs.stand - split.depth
    found = []
    if gap > 1e-3 and split.lining and ribs.lined:
        found.append(
            f"ribs that reach {ribs.stand * 1e3:.0f} mm in carry the lining, over {gap * 1e3:.0f} "
            "mm of air in front of the insulation"
        )
    if gap < -1e-3 and ribs.cover is not None and ribs.lined and split.lining:
        found.append(
            f"insulation {-gap * 1e3:.0f} mm thicker than the ribs and what is on them holds the "
            "lining off: that much air is taken to lie over the ribs"
        )
    if ribs.filled and ribs.kind in ("hat", "box") and not any(x.insulation for x in split.between):
        found.append("ribs said to be filled, in a stack without insulation: taken as air")
    if psi < 0:
        found.append("ribs that hold heat better than the thin stack beside them: not counted")
    if any(x.ventilated != "no" for x in layers):
        found.append("a vented gap beside ribs: U between and with them is that of the gap shut")
    if ribs.screws is not None and not split.lining:
        found.append("screws in a stack without a lining: left out")
    return found
