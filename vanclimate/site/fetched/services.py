"""The open data services: what each one holds, and the query that asks it for a year at a spot.

Addresses and names of parameters come from pvlib.iotools, so that a service that moves is followed
by pvlib. The user's own key comes from the environment only. What does not belong here: the request
itself (``download``), what a reply means (``formats``).
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from vanclimate.errors import OptionError, near

KEY_VARIABLE, MAIL_VARIABLE = "NSRDB_API_KEY", "NSRDB_EMAIL"
SECRET = ("api_key", "email")
"""Parameters that are neither shown nor stored."""

POWER_PARAMETERS = (
    "T2M",
    "T2MDEW",
    "RH2M",
    "PS",
    "WS10M",
    "WD10M",
    "ALLSKY_SFC_SW_DWN",
    "ALLSKY_SFC_SW_DNI",
    "ALLSKY_SFC_SW_DIFF",
    "ALLSKY_SFC_LW_DWN",
    "CLOUD_AMT",
)

_JSON = ("application/json", "text/json", "text/plain")
_CSV = ("text/csv", "application/csv", "text/plain", "application/octet-stream")


@dataclass(frozen=True)
class Request:
    """A query: address, parameters, types of reply taken, and texts that are never to be shown."""

    url: str
    params: dict[str, str] = field(repr=False)
    accept: tuple[str, ...]
    hide: tuple[str, ...] = field(default=(), repr=False)

    @property
    def public(self) -> dict[str, str]:
        """Return the query as it may be stored: with the address, without key and e-mail."""
        shown = {key: value for key, value in self.params.items() if key not in SECRET}
        return {"url": self.url, **shown}


@dataclass(frozen=True)
class Service:
    """An open data service.

    Attributes
    ----------
    key, name : for names of files and for messages
    first : first year on offer
    last : last year on offer; None where it is the last complete one
    typical : whether a typical year is on offer
    build : latitude, longitude, year or None for the typical one, base address or None → `Request`
    """

    key: str
    name: str
    first: int
    last: int | None
    typical: bool
    build: Callable[[float, float, int | None, str | None], Request]

    def request_for(
        self, latitude: float, longitude: float, year: int | None, base: str | None = None
    ) -> Request:
        """Return the query for a year, or for the typical year for None.

        Parameters
        ----------
        latitude, longitude : of the spot [deg]
        base : another address, for tests only; no sheet and no option sets it
        """
        return self.build(latitude, longitude, year, base)

    def check_years(self, years: tuple[int, ...], today: date) -> None:
        """Refuse years that the service does not hold, and those that are not over.

        Raises
        ------
        OptionError
            with the years on offer
        """
        complete = today.year - 1
        last = complete if self.last is None else min(self.last, complete)
        outside = [year for year in years if not self.first <= year <= last]
        if not outside:
            return
        why = "that year is not over yet" if outside[0] > complete else ""
        allowed = f"{self.first} to {last} from {self.name}"
        raise OptionError("years", outside[0], allowed, why)


def _power(latitude: float, longitude: float, year: int | None, base: str | None) -> Request:
    """Return a query for hourly values of a year in UTC, as ``get_nasa_power`` asks."""
    from pvlib.iotools import nasa_power

    params = {
        "latitude": f"{latitude:.4f}",
        "longitude": f"{longitude:.4f}",
        "start": f"{year}0101",
        "end": f"{year}1231",
        "community": "re",
        "parameters": ",".join(POWER_PARAMETERS),
        "format": "json",
        "header": "True",
        "time-standard": "utc",
    }
    return Request(base or nasa_power.URL, params, _JSON)


def _pvgis(latitude: float, longitude: float, year: int | None, base: str | None) -> Request:
    """Return a query for a typical year (``get_pvgis_tmy``) or the hours of one on the level.

    The horizon of the terrain, which the service knows, shades the sun in both, as its default is.
    """
    from pvlib.iotools import pvgis

    params = {"lat": f"{latitude:.4f}", "lon": f"{longitude:.4f}", "outputformat": "json"}
    url = base or pvgis.URL
    if year is None:
        return Request(url + "tmy", params, _JSON)
    params |= {
        "angle": "0",
        "aspect": "0",
        "pvcalculation": "0",
        "pvtechchoice": "crystSi",
        "mountingplace": "free",
        "trackingtype": "0",
        "components": "1",
        "usehorizon": "1",
        "optimalangles": "0",
        "optimalinclination": "0",
        "loss": "0",
        "startyear": f"{year}",
        "endyear": f"{year}",
    }
    return Request(url + "seriescalc", params, _JSON)


def _nsrdb(latitude: float, longitude: float, year: int | None, base: str | None) -> Request:
    """Return a query as ``get_nsrdb_psm4_aggregated`` and ``get_nsrdb_psm4_tmy`` ask, hourly."""
    from pvlib.iotools import psm4

    key, mail = _secret(KEY_VARIABLE), _secret(MAIL_VARIABLE)
    wanted = [name for name in psm4.PARAMETERS if name != "surface_albedo"]
    params = {
        "api_key": key,
        "email": mail,
        "full_name": "vanclimate",
        "affiliation": "none",
        "reason": "research",
        "mailing_list": "false",
        "wkt": f"POINT({longitude:.4f} {latitude:.4f})",
        "names": "tmy" if year is None else f"{year}",
        "attributes": ",".join(wanted),
        "leap_day": "false" if year is None else "true",
        "utc": "false",
        "interval": "60",
    }
    endpoint = psm4.PSM4_TMY_ENDPOINT if year is None else psm4.PSM4_AGG_ENDPOINT
    return Request((base or psm4.NSRDB_API_BASE) + endpoint, params, _CSV, (key, mail))


def _secret(variable: str) -> str:
    """Return a secret from the environment; no message shows it."""
    value = os.environ.get(variable, "").strip()
    if not value or len(value) > 200 or not value.isprintable():
        found = "no value" if not value else "a value that cannot be right"
        allowed = "your own, set in the environment only"
        hint = "free of charge from the service; --source power and pvgis need none"
        raise OptionError(variable, found, allowed, hint)
    return value


POWER = Service(
    key="power",
    name="NASA POWER",
    first=2001,
    last=None,
    typical=False,
    build=_power,
)
PVGIS = Service(
    key="pvgis",
    name="PVGIS",
    first=2005,
    last=2023,
    typical=True,
    build=_pvgis,
)
NSRDB = Service(
    key="nsrdb",
    name="NSRDB",
    first=1998,
    last=None,
    typical=True,
    build=_nsrdb,
)
SERVICES = {service.key: service for service in (POWER, PVGIS, NSRDB)}


def service_for(source: str | None, typical: bool) -> Service:
    """Return the service of that key; for None PVGIS's typical year, or NASA POWER's real years.

    Raises
    ------
    OptionError
        for another name, and for a typical year where the service has none
    """
    if source is None:
        return PVGIS if typical else POWER
    service = SERVICES.get(source.strip().casefold())
    if service is None:
        allowed = ", ".join(SERVICES)
        raise OptionError("source", source, allowed, near(source, SERVICES))
    if typical and not service.typical:
        having = [s.key for s in SERVICES.values() if s.typical]
        raise OptionError("source", source, " or ".join(having), "it has no typical year")
    return service
