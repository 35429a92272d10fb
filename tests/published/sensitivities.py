"""What other models of the outside and of films are worth in the cases of Standard 140.

``python -m tests.published.sensitivities`` prints docs/validation.md's table. Each variant runs in
a process of its own with a cache of its own, for it puts other functions into the compiled loop.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.roots import cube_root
from vanclimate.physics.wind import VAN_HEIGHT, wind_at_height

CASES = ("600", "600FF", "620", "900", "900FF", "195")
LOCAL = float(wind_at_height(1.0, VAN_HEIGHT))


def put(**formulae: Any) -> None:
    """Put other formulae into the loop; it must have had such ones."""
    from vanclimate.simulate import films

    for name, formula in formulae.items():
        assert hasattr(films, name), name
        setattr(films, name, formula)


def brutsaert() -> None:
    """Take the sky after Brutsaert in place of Berdahl and Martin."""
    from tests.published import building
    from vanclimate.site.sky import BY_VAPOUR_PRESSURE, sky

    building.sky = lambda weather: sky(weather, BY_VAPOUR_PRESSURE)


def isotropic() -> None:
    """Take a uniform sky for its light."""
    from tests.published import building
    from vanclimate.site.sun import irradiance

    def uniform(weather: Any, tilt: float, azimuth: float) -> Any:
        light = irradiance(weather, tilt, azimuth)
        half = 0.5 * (1.0 + np.cos(np.radians(tilt)))
        return replace(light, beam=weather.dni * light.cos_aoi, sky_diffuse=weather.dhi * half)

    building.irradiance = uniform


def on(ground: str) -> Callable[[], None]:
    """Take a ground with a temperature of its own."""

    def change() -> None:
        from tests.published import building

        building.GROUND = ground

    return change


def no_direction() -> None:
    """Take the mean of windward and leeward for every face, the roof too."""
    from tests.published import building

    building.windward = lambda model, direction, *_: np.full(
        (len(direction), len(model.chains)), 0.5
    )


def smooth() -> None:
    """Take all outside surfaces as smooth as glass."""
    from tests.published import building

    building.ROUGHNESS = {"brick or rough plaster": 1.0}


def standard_film() -> None:
    """Take ISO 6946's 4 + 4 v outside, v the wind at 2 m, on all surfaces alike."""
    smooth()

    @register_jitable
    def squares(wind: float) -> tuple[float, float]:
        return (4.0 + 4.0 * LOCAL * wind) ** 2, (4.0 + 4.0 * LOCAL * wind) ** 2

    @register_jitable
    def film(difference: float, windward: float, leeward: float, share: float, kind: int) -> float:
        return np.sqrt(windward)

    put(forced_squares=squares, mixed_film=film)


def wind_beside() -> None:
    """Read the measured film's coefficients for the wind beside the surface, not at 10 m."""
    from vanclimate.physics.convection import forced_squares

    @register_jitable
    def squares(wind: float) -> tuple[float, float]:
        return forced_squares(LOCAL * wind)

    put(forced_squares=squares)


def turbulent_inside() -> None:
    """Take McAdams' turbulent forms inside: 1.31 and 1.52 times the cube root."""

    @register_jitable
    def film(difference: float, kind: int, size: float) -> float:
        span = abs(difference)
        root = cube_root(span)
        upward = -difference if kind == 2 else difference
        if kind == 0:
            return max(0.1, 1.31 * root)
        return max(0.1, 1.52 * root if upward > 0.0 else 0.59 * np.sqrt(np.sqrt(span / 2.0)))

    put(inside_film=film)


def constant_inside() -> None:
    """Take ISO 6946's constant films inside: 5.0 up, 2.5 across, 0.7 W/m²K down."""

    @register_jitable
    def film(difference: float, kind: int, size: float) -> float:
        upward = -difference if kind == 2 else difference
        if kind == 0:
            return 2.5
        return 5.0 if upward > 0.0 else 0.7

    put(inside_film=film)


VARIANTS: dict[str, Callable[[], None]] = {
    "as the model is": lambda: None,
    "sky after Brutsaert": brutsaert,
    "uniform sky light": isotropic,
    "on gravel": on("gravel"),
    "on grass": on("grass"),
    "wind from no side": no_direction,
    "all surfaces smooth": smooth,
    "outside 4 + 4 v (ISO 6946)": standard_film,
    "measured film, wind beside the face": wind_beside,
    "inside turbulent only (McAdams)": turbulent_inside,
    "inside constant (ISO 6946)": constant_inside,
}


def one(name: str) -> None:
    """Print a variant's figures as JSON."""
    VARIANTS[name]()
    from tests.published.building import figures

    print(json.dumps({case: {k: float(v) for k, v in figures(case).items()} for case in CASES}))


def run(name: str) -> dict[str, dict[str, float]]:
    """Return a variant's figures from a process of its own."""
    with tempfile.TemporaryDirectory() as cache:
        done = subprocess.run(
            [sys.executable, "-m", "tests.published.sensitivities", "--one", name],
            check=True, capture_output=True, text=True,
            env={**os.environ, "VANCLIMATE_CACHE": cache},
        )  # fmt: skip
    return dict(json.loads(done.stdout))


def row(name: str, found: dict[str, dict[str, float]]) -> str:
    """Return a variant as a row of the table."""
    yearly = ("heating", "cooling", "peak heating", "peak cooling")
    cells = [
        ", ".join(f"{found[case][k]:.3f}" for k in yearly) for case in CASES if "FF" not in case
    ]
    free = [f"{found[case]['max']:.1f}, {found[case]['min']:.1f}" for case in ("600FF", "900FF")]
    return "| " + " | ".join([name, *cells[:3], *free, cells[3]]) + " |"


def main() -> None:
    """Print the table."""
    print("| | 600 | 620 | 900 | 600FF | 900FF | 195 |\n|---|---|---|---|---|---|---|")
    for name in VARIANTS:
        print(row(name, run(name)), flush=True)


if __name__ == "__main__":
    one(sys.argv[2]) if sys.argv[1:2] == ["--one"] else main()
