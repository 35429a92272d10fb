"""Words of the trade for keys that a sheet calls otherwise: a message then names the key.

What does not belong here: near spellings (errors.near), and words that a key's value may be.
"""

from __future__ import annotations

from collections.abc import Sequence

OTHER_WORDS = {
    "ac": "air conditioner", "a/c": "air conditioner", "aircon": "air conditioner",
    "cooling": "air conditioner", "amp hours": "capacity", "size": "capacity",
    "bank": "battery", "batteries": "battery", "cabin": "body", "van": "body", "shell": "body",
    "color": "colour", "paint": "colour", "converter": "inverter", "dcdc": "dc charger",
    "curtain": "cab", "date": "month", "furnace": "heater", "heating": "heater",
    "insulation": "stacks", "layers": "stacks", "location": "site", "place": "site",
    "max temp": "limit", "mains": "shore", "hookup": "shore", "charger": "shore",
    "occupants": "people", "sleeping": "people", "panels": "roof panels",
    "solar": "roof panels", "solar panels": "roof panels", "pv": "roof panels",
    "poptop": "pop top", "lifting roof": "pop top", "raised roof": "pop top",
    "elevating roof": "pop top", "room": "zone", "temp": "setpoint", "temperature": "setpoint",
    "thermostat": "setpoint", "max": "rating", "stops": "trip", "appliance": "loads",
    "devices": "loads", "ventilation": "fresh air", "fan": "fans", "vent": "vents", "glazing":
    "windows", "hold": "garage", "time": "when", "hours": "when", "schedule": "when",
    "tightness": "leakage", "air tightness": "leakage", "drafts": "leakage", "draughts": "leakage",
}  # fmt: skip
WATTAGE = ("watts", "wattage", "w", "watt", "amps", "amp", "current", "draw")
WATTS = ("power", "rating", "output", "capacity")  # whichever the section has, in this order


def meant(word: str, known: Sequence[str]) -> str:
    """Return ``did you mean '…'?`` where a section has a key for another word, else ''.

    >>> meant("solar", ["shore", "roof panels"])
    "did you mean 'roof panels'?"
    """
    clean = word.casefold().strip()
    names = WATTS if clean in WATTAGE else (OTHER_WORDS.get(clean, ""),)
    key = next((name for name in names if name in known), "")
    return f"did you mean '{key}'?" if key else ""
