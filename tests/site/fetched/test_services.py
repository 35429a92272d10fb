"""Queries of the open services, held against what pvlib.iotools itself would ask."""

import traceback
from datetime import date

import pytest

from vanclimate.errors import OptionError
from vanclimate.site.fetched.services import (
    NSRDB,
    POWER,
    POWER_PARAMETERS,
    PVGIS,
    SERVICES,
    service_for,
)

SPOT = (38.5733, -109.5498)
KEY, MAIL = "s3cretk3y", "someone@example.org"


@pytest.fixture
def key(monkeypatch):
    monkeypatch.setenv("NSRDB_API_KEY", KEY)
    monkeypatch.setenv("NSRDB_EMAIL", MAIL)


class Asked(Exception):
    pass


def asked_by_pvlib(monkeypatch, module, call, *args, **more):
    """Return address and query that pvlib's own function sends, caught before the network."""
    caught = {}

    def no_network(url, params=None, **rest):
        caught.update(url=url, params=params)
        raise Asked

    monkeypatch.setattr(f"pvlib.iotools.{module}.requests.get", no_network)
    import pvlib.iotools

    with pytest.raises(Asked):
        getattr(pvlib.iotools, call)(*args, **more)
    given = {k: v for k, v in caught["params"].items() if v is not None}
    return caught["url"], {k: str(v) for k, v in given.items()}


def numbers(params, *names):
    return {name: round(float(params[name]), 4) for name in names}


def test_nasa_power_is_asked_as_pvlib_asks(monkeypatch):
    url, params = asked_by_pvlib(
        monkeypatch, "nasa_power", "get_nasa_power", *SPOT, "2019-01-01", "2019-12-31",
        list(POWER_PARAMETERS), map_variables=False,
    )  # fmt: skip
    own = POWER.request_for(*SPOT, 2019)
    assert own.url == url
    assert own.params.keys() == params.keys()
    place = ("latitude", "longitude")
    assert numbers(own.params, *place) == numbers(params, *place)
    assert {k: v for k, v in own.params.items() if k not in place} == {
        k: v for k, v in params.items() if k not in place
    }


def test_pvgis_hours_are_asked_as_pvlib_asks_for_the_level(monkeypatch):
    url, params = asked_by_pvlib(
        monkeypatch, "pvgis", "get_pvgis_hourly", *SPOT, start=2019, end=2019
    )
    own = PVGIS.request_for(*SPOT, 2019)
    assert own.url == url
    assert own.params | params == own.params | {"lat": str(SPOT[0]), "lon": str(SPOT[1])}
    assert own.params.keys() == params.keys()


def test_pvgis_typical_year_is_asked_as_pvlib_asks(monkeypatch):
    url, params = asked_by_pvlib(monkeypatch, "pvgis", "get_pvgis_tmy", *SPOT)
    own = PVGIS.request_for(*SPOT, None)
    assert (own.url, own.params.keys()) == (url, params.keys())
    assert own.params["outputformat"] == "json"


@pytest.mark.parametrize("year", [2019, None])
def test_the_nsrdb_is_asked_as_pvlib_asks(monkeypatch, key, year):
    call = "get_nsrdb_psm4_tmy" if year is None else "get_nsrdb_psm4_aggregated"
    more = {} if year is None else {"year": year}
    url, params = asked_by_pvlib(monkeypatch, "psm4", call, *SPOT, KEY, MAIL, **more)
    own = NSRDB.request_for(*SPOT, year)
    assert own.url == url
    ours = ("full_name", "affiliation", "reason", "attributes")
    assert {k: v for k, v in own.params.items() if k not in ours} == {
        k: v for k, v in params.items() if k not in ours
    }
    assert set(own.params["attributes"].split(",")) <= set(params["attributes"].split(","))


@pytest.mark.parametrize("service", SERVICES.values(), ids=list(SERVICES))
def test_every_address_is_secure(key, service):
    assert service.request_for(*SPOT, 2019).url.startswith("https://")


def test_key_and_mail_are_in_the_query_and_nowhere_else(key):
    request = NSRDB.request_for(*SPOT, 2019)
    assert (request.params["api_key"], request.params["email"]) == (KEY, MAIL)
    for shown in (repr(request), str(request.public)):
        assert KEY not in shown
        assert MAIL not in shown
    assert request.public["names"] == "2019"
    assert set(request.hide) == {KEY, MAIL}


@pytest.mark.parametrize("missing", ["NSRDB_API_KEY", "NSRDB_EMAIL"])
@pytest.mark.parametrize("value", [None, "", "  ", "x" * 201, "a\x00b"])
def test_a_missing_or_impossible_key_is_named_and_not_shown(key, monkeypatch, missing, value):
    if value is None or "\x00" in value:  # the environment cannot hold a NUL
        monkeypatch.delenv(missing)
    else:
        monkeypatch.setenv(missing, value)
    with pytest.raises(OptionError) as caught:
        NSRDB.request_for(*SPOT, 2019)
    text = "".join(traceback.format_exception(caught.value))
    assert str(caught.value).startswith(f"{missing}: ")
    assert "your own, set in the environment only" in text
    for secret in (KEY, MAIL, "x" * 20):
        assert secret not in text


def test_no_other_service_needs_a_key(monkeypatch):
    monkeypatch.delenv("NSRDB_API_KEY", raising=False)
    for service in (POWER, PVGIS):
        assert service.request_for(*SPOT, 2019).hide == ()


@pytest.mark.parametrize(
    ("service", "year", "allowed"),
    [
        (POWER, 2000, "2001 to 2024 from NASA POWER"),
        (POWER, 2025, "2001 to 2024 from NASA POWER (that year is not over yet)"),
        (POWER, 2030, "2001 to 2024 from NASA POWER (that year is not over yet)"),
        (PVGIS, 2004, "2005 to 2023 from PVGIS"),
        (PVGIS, 2024, "2005 to 2023 from PVGIS"),
        (NSRDB, 1997, "1998 to 2024 from NSRDB"),
    ],
)
def test_years_that_are_not_on_offer_are_refused_with_the_range(service, year, allowed):
    with pytest.raises(OptionError) as caught:
        service.check_years((2010, year), date(2025, 11, 1))
    assert str(caught.value) == f"years: found '{year}'; allowed: {allowed}"


@pytest.mark.parametrize("service", SERVICES.values(), ids=list(SERVICES))
def test_years_on_offer_pass(service):
    service.check_years((2005, 2015, 2023), date(2025, 1, 1))


def test_the_usual_services_need_no_key():
    assert service_for(None, typical=True) is PVGIS
    assert service_for(None, typical=False) is POWER
    assert service_for(" PVGIS ", typical=False) is PVGIS


def test_another_service_is_refused_with_the_list_and_a_near_spelling():
    with pytest.raises(OptionError, match=r"allowed: power, pvgis, nsrdb \(did you mean 'power'"):
        service_for("powr", typical=False)


def test_a_typical_year_is_refused_where_there_is_none():
    with pytest.raises(OptionError, match="allowed: pvgis or nsrdb"):
        service_for("power", typical=True)
