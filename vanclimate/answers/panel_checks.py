"""What strings of modules may not ask of their controller and the bank: refused by name.

What does not belong here: what one section's figures may be among themselves (``van.panels``), and
what a string that is let through gives (``energy.array``).
"""

from __future__ import annotations

import numpy as np

from vanclimate.energy.array import cold_open_circuit
from vanclimate.site.weather import Weather
from vanclimate.units import show
from vanclimate.van.panels import Modules
from vanclimate.van.sheet import Sheet

ALIKE = 0.10  # by which working voltages of two arrays on one controller may differ; assumed
PLATE = 25.0  # °C of the cells, at which data plates are written


def check_panels(sheet: Sheet, weather: Weather | None) -> None:
    """Refuse strings that burn their controller in the cold, or that never reach the bank.

    Raises
    ------
    SheetError
        With the volts that were found: open circuit at the site's record cold above what the
        controller stands, or in full light at 25 °C below what starts it; two arrays on one
        controller whose strings do not match.
    """
    sections = {"roof_panels": sheet.roof_panels, "ground_panel": sheet.ground_panel}
    for key, panels in sections.items():
        if panels is None or not panels.power or not panels.wired:
            continue
        holder = _holder(sheet, panels)
        _check_cold(sheet, key, panels, holder, coldest(sheet, weather))
        _check_reach(sheet, key, panels, holder)
    _check_alike(sheet)


def coldest(sheet: Sheet, weather: Weather | None) -> float:
    """Return the site's record cold [°C]: the sheet's, else the weather's coldest hour.

    Of a typical year that is no record, and of real years only the months that were read count.
    Without either it is 25 °C, the plate's own.
    """
    if sheet.site.record_cold is not None:
        return sheet.site.record_cold
    return PLATE if weather is None else float(np.nanmin(weather.temp_air))


def _holder(sheet: Sheet, panels: Modules) -> Modules:
    """Return the section in which the panels' controller is described."""
    shared = getattr(panels, "controller", "own") == "roof"
    return sheet.roof_panels if shared else panels


def _check_cold(sheet: Sheet, key: str, panels: Modules, holder: Modules, cold: float) -> None:
    if "controller_voltage" not in holder.model_fields_set:
        return  # a guessed controller is no reason to refuse the strings
    volts = cold_open_circuit(panels, cold)
    if volts <= holder.controller_voltage:
        return
    weathers = sheet.site.record_cold is None
    sheet.refuse(
        f"{key}.in_series",
        found=f"{panels.in_series} in series, {volts:.1f} V open circuit at {_warmth(cold)}",
        allowed=f"at most the controller's {show(holder.controller_voltage, 'voltage')}",
        hint="that is the coldest hour of the weather; site has a 'record cold' of its own"
        if weathers
        else "",
    )


def _check_reach(sheet: Sheet, key: str, panels: Modules, holder: Modules) -> None:
    volts = cold_open_circuit(panels, PLATE)
    least = sheet.battery.voltage + holder.controller_start
    if volts >= least:
        return
    sheet.refuse(
        f"{key}.in_series",
        found=f"{panels.in_series} in series, {volts:.1f} V open circuit at {_warmth(PLATE)}",
        allowed=f"at least {least:.1f} V: the bank's {show(sheet.battery.voltage, 'voltage')} and "
        f"the {show(holder.controller_start, 'voltage')} that start the controller",
    )


def _check_alike(sheet: Sheet) -> None:
    """Refuse a panel on the roof's controller whose string works at another voltage."""
    below, above = sheet.ground_panel, sheet.roof_panels
    if below is None or below.controller != "roof":
        return
    if not above.power:
        sheet.refuse("ground_panel.controller", found="roof, while there are no roof panels",
                     allowed="own")  # fmt: skip
    if not above.wired and not below.wired:
        return
    volts = [p.in_series * p.working_voltage for p in (below, above)]
    if abs(volts[0] - volts[1]) > ALIKE * volts[1]:
        sheet.refuse(
            "ground_panel.controller",
            found=f"strings of {volts[0]:.1f} V on the ground and {volts[1]:.1f} V on the roof",
            allowed="own, or strings whose working voltages differ by a tenth at most",
        )


def _warmth(temp: float) -> str:
    return f"{show(temp, 'temperature', 'si', 2)} ({show(temp, 'temperature', 'us', 2)})".replace(
        "-", "−"
    )
