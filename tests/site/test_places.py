"""The gazetteer: towns and coordinates, without a network.

Positions, heights and zones of towns are common knowledge, no source.
"""

import subprocess
import sys

import numpy as np
import pytest

from vanclimate.errors import OptionError
from vanclimate.site import places
from vanclimate.site.places import (
    distance_km,
    find_places,
    fold,
    locate,
    parse_coordinates,
    standard_offset,
    the_place,
)


@pytest.mark.parametrize(
    ("text", "pair"),
    [
        ("38.57, -109.55", (38.57, -109.55)),
        (" 38.57,-109.55 ", (38.57, -109.55)),
        ("38.57 -109.55", (38.57, -109.55)),
        ("38.57N 109.55W", (38.57, -109.55)),
        ("n38.57 w109.55", (38.57, -109.55)),
        ("109.55W, 38.57N", (38.57, -109.55)),
        ("33.9S,18.4E", (-33.9, 18.4)),
        ("−33.9, 18.4", (-33.9, 18.4)),
        ("38°30′N, 109°30′W", (38.5, -109.5)),
        ("38° 30' 36\" N, 109° 30' W", (38.51, -109.5)),
        ("90, 180", (90.0, 180.0)),
        ("0,0", (0.0, 0.0)),
    ],
)
def test_coordinates_are_read_in_their_usual_forms(text, pair):
    assert parse_coordinates(text) == pytest.approx(pair, abs=1e-12)


@pytest.mark.parametrize(
    "text", ["Moab, Utah", "", "38.57", "1,2,3", "38.57, abc", "1e1,1e1", "../..", "nan,nan"]
)
def test_other_text_is_no_pair_of_coordinates(text):
    assert parse_coordinates(text) is None


@pytest.mark.parametrize(
    "text",
    ["90.1, 0", "0, 180.1", "109.55, 38.57", "38N, 9N", "38E, 109W", "-38N, 9E", "38°61′N, 9°E",
     "38.5°30′N, 9°E", "N38S, 9E"],
)  # fmt: skip
def test_a_pair_that_is_nowhere_on_earth_is_refused(text):
    with pytest.raises(OptionError, match=r"allowed: latitude -90 to 90, longitude -180 to 180"):
        parse_coordinates(text)


@pytest.mark.parametrize(
    ("text", "name", "latitude", "longitude", "zone", "offset"),
    [
        ("Moab", "Moab, Utah", 38.6, -109.6, "America/Denver", -7.0),
        ("moab, ut", "Moab, Utah", 38.6, -109.6, "America/Denver", -7.0),
        ("Denver, Colorado", "Denver, Colorado", 39.7, -105.0, "America/Denver", -7.0),
        ("Denver, CO, USA", "Denver, Colorado", 39.7, -105.0, "America/Denver", -7.0),
        ("SAO PAULO", "Sao Paulo, São Paulo, Brazil", -23.5, -46.6, "America/Sao_Paulo", -3.0),
        ("São-Paulo", "Sao Paulo, São Paulo, Brazil", -23.5, -46.6, "America/Sao_Paulo", -3.0),
        ("Paris, France", "Paris, Ile-de-France, France", 48.9, 2.4, "Europe/Paris", 1.0),
        ("Bodo, NO", "Bodø, Nordland, Norway", 67.3, 14.4, "Europe/Oslo", 1.0),
        ("Manchester, UK", "Manchester, England, Britain (UK)", 53.5, -2.2, "Europe/London", 0.0),
    ],
)  # fmt: skip
def test_a_town_is_found_with_its_position_and_standard_time(
    text, name, latitude, longitude, zone, offset
):
    place = the_place(text)
    assert (place.name, place.zone, place.utc_offset_h) == (name, zone, offset)
    assert (place.latitude, place.longitude) == pytest.approx((latitude, longitude), abs=0.4)


def test_heights_are_metres():
    # Denver lies a mile, 1609 m, above the sea (common knowledge); its airfield somewhat higher
    assert the_place("Denver, Colorado").elevation == pytest.approx(1609.0, abs=200.0)


def test_a_town_with_several_fields_is_one_place_at_the_one_with_scheduled_traffic():
    (moab,) = find_places("Moab")
    fields = [field for field in places._fields() if field["city"] == "Moab"]
    assert len(fields) > 3
    assert [f["lat"] for f in fields if f["iata"]] == [moab.latitude]


def test_a_name_that_several_towns_bear_gives_the_list_to_choose_from():
    with pytest.raises(OptionError) as caught:
        the_place("Springfield")
    text = str(caught.value)
    assert "say which: " in text
    assert "Springfield, Illinois" in text
    assert text.count(";") <= places.LARGEST_LIST + 1
    assert "more)" in text
    assert "\n" not in text


def test_every_name_on_a_list_finds_its_own_place_again():
    for town in ("Springfield", "Paris", "Stockholm", "Manchester", "San Jose", "Victoria"):
        found = find_places(town)
        assert len(found) > 1
        for place in found:
            assert the_place(place.name) == place


def test_a_misspelt_name_gives_the_near_spelling():
    with pytest.raises(OptionError, match="did you mean 'Asheville'"):
        the_place("Ashevile")


def test_a_town_of_another_region_is_named():
    with pytest.raises(OptionError, match="known: Moab, Utah"):
        the_place("Moab, Nevada")


@pytest.mark.parametrize("text", ["", ",", "..", "../../etc/passwd", "\x00", "x" * 10_000])
def test_text_that_is_no_place_is_refused_in_one_short_line(text):
    with pytest.raises(OptionError) as caught:
        the_place(text)
    assert len(str(caught.value)) < 400
    assert "\n" not in str(caught.value)


def test_no_airfields_own_name_is_shown():
    shown = " ".join(place.name for place in find_places("Paris"))
    for field in places._fields():
        if field["city"] == "Paris":
            assert field["name"] not in shown


def test_coordinates_are_a_place_named_by_themselves():
    place = locate("38.57, -109.55")
    assert place == places.PlaceFound(
        "38.570, -109.550", 38.57, -109.55, None, -7.0, "America/Denver"
    )
    assert locate("Moab, Utah") == the_place("Moab")


@pytest.mark.parametrize(
    ("latitude", "longitude", "offset"),
    [
        (35.05, -85.31, -5.0),  # Chattanooga: Eastern time (common knowledge)
        (-33.87, 151.21, 10.0),  # Sydney, whose summer time falls in January
        (53.35, -6.26, 0.0),  # Dublin, whose winter time counts as the exception in the tables
        (27.7, 85.3, 5.75),  # Kathmandu
    ],
)
def test_standard_time_of_a_spot_is_the_nearest_listed_places(latitude, longitude, offset):
    assert standard_offset(latitude, longitude)[0] == offset


def test_far_from_any_listed_place_the_longitude_gives_the_time_and_says_so():
    offset, words = standard_offset(-45.0, -121.0)
    assert offset == -8.0
    assert words == "UTC-8 h by longitude, no listed place within 300 km"


def test_distances_are_those_along_the_earth():
    # a minute of latitude is a nautical mile, 1.852 km (definition, to 0.1 %)
    assert distance_km(50.0, 8.0, np.array([51.0]), np.array([8.0]))[0] == pytest.approx(
        111.12, rel=2e-3
    )
    assert distance_km(0.0, 179.9, np.array([0.0]), np.array([-179.9]))[0] < 23.0
    assert distance_km(89.0, 0.0, np.array([89.0]), np.array([180.0]))[0] < 223.0


def test_folding_ignores_case_accents_and_hyphens():
    assert fold("Saint-Étienne") == fold("saint etienne")
    assert fold("Bodø") == "bodo"
    assert fold("Coeur d'Alene") == fold("COEUR DALENE")


def test_importing_the_gazetteer_loads_no_list():
    code = (
        "import sys, vanclimate.site.places;"
        "print([m for m in ('airportsdata', 'pandas', 'pvlib', 'requests') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
