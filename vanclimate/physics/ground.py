"""Temperature of the ground's surface, from the heat balance of a thick ground.

Belongs here: kinds of ground, the film above it, the balance. What does not: weather, shade and
van (site.ground), what a van's faces see of it (network.surroundings).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.physics.air import KELVIN
from vanclimate.physics.branch import Floats
from vanclimate.physics.conduction import DAY
from vanclimate.physics.longwave import STEFAN_BOLTZMANN

Array = NDArray[np.float64]


class Ground(NamedTuple):
    """A kind of ground; the range of each figure stands beside its row in `GROUNDS`."""

    albedo: float
    emissivity: float
    conductivity: float  # W/(m K)
    density: float  # kg/m3
    specific_heat: float  # J/(kg K)
    evaporating: float = 0.0  # share of net radiation that goes into evaporation
    melts: bool = False

    @property
    def effusivity(self) -> float:
        """Square root of conductivity times heat capacity [W s^0.5/(m2 K)]."""
        return float(np.sqrt(self.conductivity * self.density * self.specific_heat))


GROUNDS = {
    # albedo 0.05-0.20, aged; conductivity 0.75-1.4; specific heat 850-1000
    "asphalt": Ground(0.10, 0.95, 1.1, 2250.0, 920.0),
    # albedo 0.2-0.4; conductivity 1.0-1.8
    "concrete": Ground(0.30, 0.92, 1.5, 2300.0, 900.0),
    # dry, compacted: albedo 0.12-0.34; conductivity 0.5-1.3, density 1600-2000
    "gravel": Ground(0.20, 0.92, 0.9, 1800.0, 840.0),
    # over moist soil: albedo 0.16-0.26; soil 0.6-1.6; evaporation 0.2 parched to 0.9 watered
    "grass": Ground(0.23, 0.97, 1.0, 1600.0, 1250.0, 0.5),
    # dry: albedo 0.2-0.45, emissivity 0.84-0.92; conductivity 0.2-0.4
    "sand": Ground(0.35, 0.90, 0.30, 1550.0, 800.0),
    # settled: albedo 0.4 old and wet to 0.9 fresh; conductivity after Yen (1981) at 300 kg/m3
    "snow": Ground(0.70, 0.98, 0.23, 300.0, 2100.0, melts=True),
}
"""Kinds of ground, each alike at every depth. Albedo and emissivity after the tables of Oke 1987,
Boundary Layer Climates; the rest from handbook tables of materials and soils; all from memory.
The share of grass that evaporates is assumed: Priestley and Taylor 1972 have 0.9 at 25 °C where
water is plenty, parched grass has next to none."""

SNOW_ICE = 2.22362  # W/(m K), of the formula below
MELTING = 0.0  # °C


SNOW_DENSITY_RANGE = (50.0, 550.0)
"""Density of snow [kg/m³], fresh to old, of `snow_conductivity`; Yen 1981, from memory."""


def snow_conductivity(density: float) -> float:
    """Return the conductivity [W/mK] of snow: 2.22362 ρ^1.885, ρ in g/cm³.

    Parameters
    ----------
    density : [kg/m3]; see `SNOW_DENSITY_RANGE`

    References
    ----------
    Yen 1981, Review of thermal properties of snow, ice and sea ice; from memory.

    Examples
    --------
    >>> round(snow_conductivity(300.0), 2)
    0.23
    """
    return float(SNOW_ICE * (density / 1000.0) ** 1.885)


GROUND_WIND_RANGE = (0.0, 12.0)
"""Wind at 10 m [m/s] that `ground_film` is used for; Bentz 2000, from memory; the end is assumed,
as that of the van's own film."""


def ground_film(wind: Floats) -> Floats:
    """Convection over open level ground: 5.6 + 4.0 v, and 7.2 v^0.78 above 5 m/s.

    Parameters
    ----------
    wind : float or array [m/s]; see `GROUND_WIND_RANGE`

    Returns
    -------
    float or array [W/m²K]

    References
    ----------
    Bentz 2000, NISTIR 6551, a model of the temperature of pavements and bridge decks; from memory.
    Over snow on a clear night, where the air is layered, it is too high; used all the same.

    Examples
    --------
    >>> float(ground_film(2.0))
    13.6
    """
    speed = np.maximum(wind, 0.0)
    return np.where(speed <= 5.0, 5.6 + 4.0 * speed, 7.2 * speed**0.78)


def surface_temperature(
    ground: Ground, *, absorbed: Array, film: Array, temp_air: Array, temp_above: Array,
    step: float = 3600.0,
) -> Array:  # fmt: skip
    """Return the surface temperature [°C] of a ground under a weather that comes back for ever.

    ``absorbed + εσ(T_above⁴ − T⁴) − evaporation = h (T − T_air) + G``, where G is the heat that a
    thick ground takes up: at each frequency ω it is e √(iω) tanh(3 √(iωP/π)) times the swing of
    temperature, e the effusivity, P a day. So the deep ground has the mean temperature of the
    surface, and no start is needed. No heat passes below `DEPTHS`.

    Parameters
    ----------
    absorbed : sunlight taken up, mean of each step [W/m2], shape (n,)
    film : convection h [W/m2K], shape (n,), above zero
    temp_air : [°C], shape (n,)
    temp_above : radiant temperature of all that the ground sees [°C], shape (n,)
    step : [s]

    Notes
    -----
    Loss and gain are evaluated at the last estimate, save a constant film that is solved for
    exactly by the discrete Fourier transform; with that film in the middle of all that occur the
    estimates close in. Snow's surface is not let above melting: its melting takes what is over.
    Evaporation is a share of the net radiation where that is positive. What the ground freezes or
    thaws, and heat carried by rain, are left out.

    References
    ----------
    Periodic flow in a slab that is insulated below: Carslaw and Jaeger, Conduction of Heat in
    Solids; ISO 13786 has the same.
    """
    slopes = film + 4.0 * ground.emissivity * STEFAN_BOLTZMANN * (temp_air + KELVIN) ** 3
    middle = 0.5 * (float(slopes.min()) + float(slopes.max()))
    omega = 2.0 * np.pi * np.fft.rfftfreq(len(film), step)
    depth = np.tanh(DEPTHS * np.sqrt(1j * omega * DAY / np.pi))
    answer = 1.0 / (middle + ground.effusivity * np.sqrt(1j * omega) * depth)
    fixed = absorbed + ground.emissivity * STEFAN_BOLTZMANN * (temp_above + KELVIN) ** 4
    temp = temp_air.astype(float)
    for _ in range(MOST_ROUNDS):
        radiation = fixed - ground.emissivity * STEFAN_BOLTZMANN * (temp + KELVIN) ** 4
        radiation -= ground.evaporating * np.maximum(radiation, 0.0)
        gain = radiation + film * (temp_air - temp) + middle * temp
        found = np.fft.irfft(answer * np.fft.rfft(gain), len(film))
        change = float(np.max(np.abs(found - temp)))
        temp = found
        if change < CLOSE:
            break
    return np.minimum(temp, MELTING) if ground.melts else temp


DEPTHS = 3.0
"""Thickness of the ground that takes part, in daily penetration depths √(λP/πρc); about 0.4 m. A
day feels nothing of its end. Deeper down heat comes and goes with the seasons, 9 W/m2 at most and
0.2 to 0.4 K at the surface, which a month of a real year, not knowing its winter, could not
have."""

MOST_ROUNDS = 500
CLOSE = 0.002  # K
