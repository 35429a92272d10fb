"""The cautions that concern an answer, said where its number is shown."""

from __future__ import annotations

from vanclimate.van.loads import Load
from vanclimate.van.sheet import Sheet
from vanclimate.van.water import HOT_WATER

AC_AND_BANK = (
    "Never leave people or animals depending on an air conditioner or a battery: when either "
    "stops, a closed van in the sun gets dangerous within minutes."
)
FRESH_AIR = (
    "Sleepers need outdoor air all night; fit a CO alarm, and keep combustion appliances vented."
)
CLOSED = (
    "Closed up is shown for comparison only: it is unfit for sleeping whatever its temperature."
)
ENGINE = "Never idle an engine or run a generator near sleepers; no figure here relies on it."
WIRING = (
    "Wiring, fuses, gas and roof work belong to licensed people under local codes; "
    "lithium batteries must not be charged below freezing."
)
FUEL_HEATER = (
    "A fuel heater takes its combustion air from outside and lets its exhaust out there, clear of "
    "snow and away from windows; fit a CO alarm. Fuel and exhaust are work for licensed people."
)
COLD = "Never leave people or animals depending on a heater: when it stops a van is cold in hours."
SHORE = (
    "Shore power: an earthed post with ground-fault protection, a cord rated for the amps and laid "
    "out, not coiled; no adaptor that passes a breaker by."
)
COOKING = "Ventilate while cooking."
VENTILATE = "Ventilate the {room} while water goes into its air ({loads})."
OPEN_FLAME = (
    "An open flame takes the cabin's air and can make carbon monoxide: open a window and a vent "
    "while it burns, never heat with it, never sleep beside it; fit a CO alarm."
)
ROOM_SEALED = (
    "A room-sealed appliance needs intake and flue clear of snow and away from windows and the "
    "fresh-air path; fit a CO alarm."
)
DO_NOT = "do not rely on it"
NO_LEAVE = "Not a permission, and never for a child or an animal"
NOT_ALONE = (
    "Never leave a child, an animal or anybody who cannot leave by themselves in a closed vehicle, "
    "at no time of the year and for no length of time. An air conditioner or a heater is no "
    f"safeguard for them: {DO_NOT}."
)
NOT_A_PERMISSION = (
    "The times are not a permission to stay. They are for healthy adults who are awake, open the "
    "door and leave; one in twenty is faster, and yours may be faster still."
)
LEAVE = (
    "When the cooling stops, open doors, windows and vents at once and leave; dizziness, headache "
    "or confused speech is an emergency: call for help and cool the person."
)
LEAVE_THE_COLD = (
    "When the heat stops, wake everybody, dress, and go where it is warm; never heat with a stove, "
    "a flame or an idling engine."
)
PIPES = (
    "Pipes, pump and taps freeze long before the tank does: drain them before a freezing night "
    "without heat."
)
INSULATION = (
    "Foams burn fast and with poisonous smoke: line them, and keep them off heaters, flues and "
    "cookers. Spraying foam needs breathing protection, and a van that is aired for days."
)
TIGHTER = (
    "A van insulated and sealed afresh leaks less: fixed vents and an open fresh-air path stay "
    "needed, and a CO alarm."
)
ESTIMATE = "An estimate from a model and stated assumptions, not a guarantee."


def night_cautions(sheet: Sheet) -> tuple[str, ...]:
    """Return the cautions of a night's answer, most urgent first."""
    out = [AC_AND_BANK if sheet.air_conditioner is not None else "", FRESH_AIR, CLOSED, ENGINE]
    out += [FUEL_HEATER] if sheet.heater is not None else []
    out += [COLD] if sheet.heats else []
    out += [SHORE] if sheet.shore is not None else []
    out += {"open burner": [OPEN_FLAME], "room sealed": [ROOM_SEALED]}.get(sheet.appliances, [])
    out += _water_cautions(sheet)
    out += [WIRING, ESTIMATE]
    return tuple(x for x in out if x)


def coast_cautions(sheet: Sheet, cold: bool) -> tuple[str, ...]:
    """Return the cautions of a coast's answer, which stand before any figure of it."""
    out = [NOT_ALONE, NOT_A_PERMISSION, LEAVE]
    out += [LEAVE_THE_COLD, PIPES] if cold else []
    out += [FUEL_HEATER] if cold and sheet.heater is not None else []
    return (*out, ESTIMATE)


def stack_cautions() -> tuple[str, ...]:
    """Return the cautions of an answer about insulation, most urgent first."""
    return INSULATION, TIGHTER, ESTIMATE


def _water_cautions(sheet: Sheet) -> list[str]:
    """Return what to do about loads that give off water, by the room they stand in."""
    wet: dict[str, list[Load]] = {}
    for load in sheet.loads:
        if load.water > 0:
            wet.setdefault(load.zone, []).append(load)
    out = []
    for room, loads in wet.items():
        cooked = any(load.power > 0 or load.water >= HOT_WATER for load in loads)
        where = "living space" if room == "living" else room
        names = " and ".join(load.name for load in loads)
        told = VENTILATE.format(room=where, loads=names)
        out.append(COOKING if cooked and room == "living" else told)
    return out
