"""The same sizes as reckoned by hand, and what of the runs says why they differ.

Steady heat at the season's extreme, plates' watts times hours, peak-sun hours: the sheet of figures
that a builder fills in without a model. What does not belong here: the runs (``runs``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vanclimate.answers.ledgers import GROUP_NAMES, heat_rows
from vanclimate.answers.scene import Scene
from vanclimate.answers.season import Season
from vanclimate.answers.size.runs import HOUR, Tried, WorstHeld, start_share
from vanclimate.network.summary import leakage_ua, summarise
from vanclimate.simulate.loads import load_arrays
from vanclimate.site.weather import Weather, window
from vanclimate.van.heating import Heater
from vanclimate.van.sheet import Sheet

DUTY = 0.5  # of the night that an AC, a heater or a fridge runs; common practice, no source


@dataclass(frozen=True)
class Hand:
    """A size by hand, its terms by name, and the runs' own figures beside them.

    Keys of both end in their units, but for 'cools', 1 where an AC is meant.

    Parameters
    ----------
    size : in W, Ah or A as the device's size
    terms : of the reckoning
    runs : what the runs say of the same
    """

    size: float
    terms: dict[str, float]
    runs: dict[str, float]


@dataclass(frozen=True)
class Extremes:
    """A season's outdoor extremes [°C], and the mean day's sun on level ground [Wh/m2]."""

    coldest_c: float
    warmest_c: float
    sun_wh_m2: float


def extremes_of(scenes: Sequence[Scene], season: Season) -> Extremes:
    """Return the extremes of the days that a season's nights stand in."""
    temps, suns = [], []
    spells = [spell for spell in season.spells if spell.nights]
    for scene, spell in zip(scenes, spells, strict=True):
        weather: Weather = scene.place.weather
        for night in spell.nights:
            hours = window(weather, night, 24)
            temps.append(weather.temp_air[hours])
            suns.append(float(weather.ghi[hours].sum()))
    every = np.concatenate(temps)
    return Extremes(float(every.min()), float(every.max()), float(np.mean(suns)))


def shell_ua(scene: Scene) -> float:
    """Return the shell's steady UA [W/K], covers closed, leaks aside."""
    return summarise(scene.model).ua_covered


def ac_by_hand(scene: Scene, ends: Extremes, held: WorstHeld) -> Hand:
    """Return UA times the peak difference, and people [W]."""
    sheet, unit = scene.sheet, scene.sheet.air_conditioner
    assert unit is not None, "an AC is sized"
    ua, peak = shell_ua(scene), ends.warmest_c - unit.setpoint
    people = sheet.people.sleepers * sheet.people.heat_asleep
    hour, run, night = held.hour, held.run, held.night
    fitted = held.scene.sheet.air_conditioner
    assert fitted is not None, "the same van"
    length = float(run.width[night].sum())
    heat = {row.name: row.wh * HOUR / length for row in heat_rows(run, night)}
    return Hand(
        max(0.0, ua * peak) + people,
        {"ua_w_k": ua, "difference_k": peak, "people_w": people},
        {
            "outdoor_at_hour_c": hour.outdoor_c,
            "peak_outdoor_c": ends.warmest_c,
            "through_shell_w": sum(heat.get(name, 0.0) for name in GROUP_NAMES.values()),
            "furniture_w": heat["given back by furniture"],
            "outdoor_air_w": heat["with outdoor air"],
            "people_w": heat["people"],
            "equipment_w": heat["equipment"],
            "as_water_w": run.total("ac_latent_w", night) / length,
            "fit_share": fitted.fit_factor,
        },
    )


def heater_by_hand(scene: Scene, ends: Extremes, held: WorstHeld) -> Hand:
    """Return UA times the difference at the season's coldest [W]."""
    sheet, heater = scene.sheet, scene.sheet.heater
    assert heater is not None, "a heater is sized"
    ua, most = shell_ua(scene), heater.setpoint - ends.coldest_c
    run, at = held.run, held.part
    length = float(run.width[at].sum())
    sums = np.concatenate([[0.0], np.cumsum(run.column("heater_output_w")[at] * run.width[at])])
    edges = run.seconds[at.start : at.stop + 1]
    hours = sums[1:] - np.interp(np.maximum(edges[1:] - HOUR, edges[0]), edges, sums)
    own = held.scene.sheet.heater
    assert own is not None, "the same van"
    coil = 0.0
    if own.kind == "hydronic":
        coil = own.fan_coil * (0.5 * (own.coolant_on + own.coolant_off) - own.setpoint)
    body = sheet.body
    leaks = leakage_ua(body.leakage, body.shelter, body.height)
    return Hand(
        max(0.0, ua * most),
        {"ua_w_k": ua, "difference_k": most},
        {
            "outdoor_at_hour_c": held.hour.outdoor_c,
            "coldest_outdoor_c": ends.coldest_c,
            "leaks_w_k": leaks,
            "outdoor_air_w": run.total("living_air_w", at) / length,
            "given_at_hour_w": held.hour.load_w,
            "most_given_w": float(hours.max()) / HOUR,
            "coil_passes_w": coil,
            "mean_given_w": run.total("heater_output_w", at) / length,
        },
    )


def _heater_power(heater: Heater) -> float:
    """Return the watts [W] of a heater's fans and pump at full output."""
    wet = heater.coil_fan_power + heater.pump_power if heater.kind == "hydronic" else 0.0
    return heater.fan_full + wet


def bank_by_hand(sheet: Sheet, held: WorstHeld) -> Hand:
    """Return the night's watts by their plates times hours and duty, over volts and share [Ah]."""
    people, bank = sheet.people, sheet.battery
    hours = people.sleep_minutes / 60.0
    minutes = (people.bedtime + np.arange(float(people.sleep_minutes))) % 1440.0 + 0.5
    drawn = load_arrays(sheet, minutes)
    loads = float((drawn.power.sum(axis=(1, 2)) + DUTY * drawn.fridge.sum(axis=(1, 2))).mean())
    unit, heater = sheet.air_conditioner, sheet.heater
    plate = unit.power if unit is not None else 0.0 if heater is None else _heater_power(heater)
    usable = start_share(sheet) - bank.reserve
    watt_hours = hours * (DUTY * plate + loads)
    run, part = held.run, held.part
    upto = slice(part.start, int(np.searchsorted(
        run.seconds, (held.hour.at - run.start).total_seconds() - 1e-3)))  # fmt: skip
    length = float(run.width[upto].sum())
    return Hand(
        watt_hours / bank.voltage / usable,
        {"cools": float(unit is not None), "plate_w": plate, "duty_share": DUTY,
         "hours_h": hours, "loads_w": loads, "usable_share": usable, "volts_v": bank.voltage},
        {
            "on_h": run.total("ac_on_share" if unit else "heater_on_share", upto) / HOUR,
            "hours_h": length / HOUR,
            "plant_wh": run.total("ac_power_w", upto) / HOUR
            + run.total("heater_power_w", upto) / HOUR,
            "inverter_wh": run.total("inverter_loss_w", upto) / HOUR,
            "loads_wh": sum(run.total(x, upto) for x in ("fridge_w", "fans_w", "loads_w")) / HOUR,
            "health_share": held.scene.sheet.battery.health,
        },
    )  # fmt: skip


def roof_by_hand(tried: Tried, ends: Extremes, held: WorstHeld) -> Hand:
    """Return a mean day's watt-hours over peak-sun hours [W]."""
    daily = float(tried.columns["drawn_wh"].mean()) / tried.worlds.days
    peak_hours = ends.sun_wh_m2 / 1000.0
    hour = held.hour
    return Hand(
        daily / max(peak_hours, 0.1),
        {"daily_wh": daily, "peak_sun_h": peak_hours},
        {
            "drawn_wh": hour.drawn_wh,
            "peak_sun_h": hour.sun_wh_m2 / 1000.0,
            "brought_wh": hour.sun_wh,
            "brought_share": hour.sun_wh / max(tried.size * hour.sun_wh_m2 / 1000.0, 1.0),
        },
    )


def charger_by_hand(tried: Tried, held: WorstHeld) -> Hand:
    """Return a mean day's amp-hours over the hours driven [A]."""
    sheet = tried.worlds.sheet
    counted = tried.counted
    daily = float(tried.columns["drawn_wh"][counted].mean()) / sheet.battery.voltage
    hours = float(tried.columns["drive_h"][counted].mean())
    hour = held.hour
    return Hand(
        daily / max(hours, 0.1),
        {"daily_ah": daily, "driving_h": hours},
        {
            "drawn_wh": hour.drawn_wh,
            "from_driving_wh": hour.drive_wh,
            "from_sun_wh": hour.sun_wh,
            "amps_driving_a": hour.drive_wh / sheet.battery.voltage / max(hours, 0.1),
        },
    )
