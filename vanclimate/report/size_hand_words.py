"""The reckoning by hand beside a size, and why the two differ: each in one line.

What does not belong here: the reckoning itself (answers/size/hand.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.size.ladders import KBTU_H
from vanclimate.report.numbers import amp_hours, difference, fixed, percent, temperature

if TYPE_CHECKING:
    from vanclimate.answers.size.work import Sized
    from vanclimate.units import System

LEAST = 5.0  # W; less is not told


def hand_text(one: Sized, system: System) -> str:
    """Return the reckoning, and what the runs have besides."""
    forms = {"AC": _ac, "heater": _heater, "bank": _bank, "roof": _roof}
    reckoned, why = forms.get(one.name, _charger)(one, system)
    return f"{reckoned}. The runs: {why}"


def _ac(one: Sized, system: System) -> tuple[str, str]:
    hand, terms, runs = one.hand, one.hand.terms, one.hand.runs
    size = f"{fixed(hand.size / KBTU_H, 1)} kBTU/h"
    reckoned = (
        f"{size} ({fixed(hand.size)} W): {fixed(terms['ua_w_k'])} W/K times "
        f"{difference(terms['difference_k'], system)} at the season's peak of "
        f"{temperature(runs['peak_outdoor_c'], system)}, and {fixed(terms['people_w'])} W of people"
    )
    night = _gains({
        "through the shell": runs["through_shell_w"],
        "from furniture warm of the day": runs["furniture_w"],
        "with outdoor air": runs["outdoor_air_w"],
        "of people": runs["people_w"],
        "of equipment": runs["equipment_w"],
    })  # fmt: skip
    why = (
        f"{temperature(runs['outdoor_at_hour_c'], system)} in the hour that sets it, not the peak; "
        f"mean of that night {night}; {fixed(runs['as_water_w'])} W more leave as water; the unit "
        f"gives {percent(runs['fit_share'])} of its plate as fitted"
    )
    return reckoned, why


def _heater(one: Sized, system: System) -> tuple[str, str]:
    hand, terms, runs = one.hand, one.hand.terms, one.hand.runs
    reckoned = (
        f"{fixed(hand.size / 1e3, 1)} kW: {fixed(terms['ua_w_k'])} W/K times "
        f"{difference(terms['difference_k'], system)} at the season's coldest, "
        f"{temperature(runs['coldest_outdoor_c'], system)}"
    )
    why = (
        f"{temperature(runs['outdoor_at_hour_c'], system)} in the hour that sets it; outdoor air "
        f"alone takes {fixed(-runs['outdoor_air_w'])} W; the heater gives "
        f"{fixed(runs['given_at_hour_w'])} W in that hour, {fixed(runs['mean_given_w'])} W as a "
        f"mean of the stay, and {fixed(runs['most_given_w'])} W in its hardest hour"
    )
    if runs["coil_passes_w"]:
        why += f"; its fan coil passes some {fixed(runs['coil_passes_w'])} W, whatever the burner"
    return reckoned, why


def _bank(one: Sized, system: System) -> tuple[str, str]:
    hand, terms, runs = one.hand, one.hand.terms, one.hand.runs
    plant = "the AC" if terms["cools"] else "the heater"
    night = f"a night of {fixed(terms['hours_h'], 1)} h"
    half = f", {plant} half the time at {fixed(terms['plate_w'])} W" if terms["plate_w"] else ""
    reckoned = (
        f"{amp_hours(hand.size)}: {night}{half}, {fixed(terms['loads_w'])} W of loads, from "
        f"{percent(terms['usable_share'])} of the bank"
    )
    took = f", in which {plant} is on for {fixed(runs['on_h'], 1)} h and takes "
    took = f"{took}{fixed(runs['plant_wh'])} Wh" if terms["plate_w"] else ""
    why = (
        f"from coming home to the least charge {fixed(runs['hours_h'], 1)} h{took}; "
        f"the inverter takes {fixed(runs['inverter_wh'])} Wh more, loads and fans "
        f"{fixed(runs['loads_wh'])} Wh; of a bank that holds {percent(runs['health_share'])} of "
        "its label"
    )
    return reckoned, why


def _roof(one: Sized, system: System) -> tuple[str, str]:
    hand, terms, runs = one.hand, one.hand.terms, one.hand.runs
    reckoned = (
        f"{fixed(hand.size)} W: {fixed(terms['daily_wh'])} Wh of a mean day over "
        f"{fixed(terms['peak_sun_h'], 1)} peak-sun hours"
    )
    why = (
        f"the day that sets it takes {fixed(runs['drawn_wh'])} Wh and has "
        f"{fixed(runs['peak_sun_h'], 1)} peak-sun hours, of which the panels bring "
        f"{percent(runs['brought_share'])}: dirt, heat, shade, the controller, and a bank that is "
        "full or takes no more take the rest; means hide the poor days"
    )
    return reckoned, why


def _charger(one: Sized, system: System) -> tuple[str, str]:
    hand, terms, runs = one.hand, one.hand.terms, one.hand.runs
    reckoned = (
        f"{fixed(hand.size)} A: {amp_hours(terms['daily_ah'])} of a mean day over "
        f"{fixed(terms['driving_h'], 1)} h of driving"
    )
    why = (
        f"the day that sets it takes {fixed(runs['drawn_wh'])} Wh; the panels bring "
        f"{fixed(runs['from_sun_wh'])} Wh of it, driving {fixed(runs['from_driving_wh'])} Wh, a "
        f"mean of {fixed(runs['amps_driving_a'])} A: the alternator's share and heat, and what the "
        "bank takes, set the rest"
    )
    return reckoned, why


def _gains(watts: dict[str, float]) -> str:
    """Write gains by name, small ones left out."""
    told = [f"{fixed(value)} W {name}" for name, value in watts.items() if abs(value) >= LEAST]
    return ", ".join(told) or "next to nothing"
