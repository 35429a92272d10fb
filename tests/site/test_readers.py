"""Weather files: stamps, values, units, humidity, speed; shipped sites by name."""

import gzip
import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import psychrolib
import pytest

from vanclimate.cache import data_path
from vanclimate.errors import WeatherError
from vanclimate.site import find_site, read_weather, shipped_sites
from vanclimate.site.clock import HOURS_OF_YEAR, month_of_hour
from vanclimate.site.weather import MEANS, POINTS

SHARED = Path(__file__).resolve().parents[2].parent / "shared" / "weather"
SITES = ("miami", "greensboro", "sand point")
SHARED_FILES = tuple(f"{station}TYA.CSV.gz" for station in (722020, 722780, 725645, 725650, 726580))
JAN_1_13H = 12  # the row stamped 13:00 covers 12:00 to 13:00: index 12, and its end is edge 13


def shared(name):
    path = SHARED / name
    if not path.is_file():
        pytest.skip("../shared/weather stands beside the project only where it is made")
    return path


def unpacked(site):
    return gzip.decompress(shipped_sites()[site].read_bytes()).decode()


@pytest.mark.parametrize("site", SITES)
def test_shapes_and_seam(site):
    weather = find_site(site)
    assert weather.n == 8760
    assert weather.typical
    assert not weather.synthetic
    for name in POINTS:
        values = getattr(weather, name)
        assert values.shape == (8761,)
        assert values[0] == values[-1]
    for name in MEANS:
        assert getattr(weather, name).shape == (8760,)
    assert np.all(weather.temp_dew <= weather.temp_air)


def test_tmy3_row_read_by_hand():
    # Greensboro, 01/01/1988 13:00: GHI 155, DNI 0, DHI 155, cloud 10 of 10, 11.7 °C, dew point
    # 10.6, 992 mbar, wind 250 deg 5.2 m/s, ceiling 310 m; read off the file
    weather = find_site("greensboro")
    i, edge = JAN_1_13H, JAN_1_13H + 1
    assert (weather.time(i).month, weather.time(i).day, weather.time(i).hour) == (1, 1, 12)
    assert (weather.ghi[i], weather.dni[i], weather.dhi[i]) == (155.0, 0.0, 155.0)
    assert (weather.temp_air[edge], weather.temp_dew[edge]) == (11.7, 10.6)
    assert weather.pressure[edge] == 99200.0
    assert (weather.wind_direction[edge], weather.wind_speed[edge]) == (250.0, 5.2)
    assert weather.ceiling[edge] == 310.0
    assert weather.cloud_total[edge] == pytest.approx(1.0)
    assert (weather.latitude, weather.longitude, weather.elevation) == (36.1, -79.95, 273.0)
    assert weather.utc_offset_h == -5.0


def test_tmy2_row_read_by_hand():
    # the fields at the places of the TMY2 manual's table 3-1, counted here on the raw line
    weather = find_site("miami")
    line = unpacked("miami").splitlines()[1 + JAN_1_13H]
    assert line[1:9] == "62010113"
    i, edge = JAN_1_13H, JAN_1_13H + 1
    assert weather.ghi[i] == float(line[17:21]) > 0
    assert weather.dni[i] == float(line[23:27])
    assert weather.dhi[i] == float(line[29:33])
    assert weather.temp_air[edge] == pytest.approx(float(line[67:71]) / 10)
    assert weather.temp_dew[edge] == pytest.approx(float(line[73:77]) / 10)
    assert weather.pressure[edge] == float(line[84:88]) * 100
    assert weather.wind_speed[edge] == pytest.approx(float(line[95:98]) / 10)
    # the header: N 25 48, W 80 16, 2 m, zone -5
    assert weather.latitude == pytest.approx(25.8)
    assert weather.longitude == pytest.approx(-80.26667, abs=1e-5)
    assert (weather.elevation, weather.utc_offset_h) == (2.0, -5.0)
    assert weather.source_years[:3] == (1962, 1961, 1988)


def clear_sky(weather, times):
    from pvlib.clearsky import haurwitz

    from vanclimate.site.sun import solar_position

    sun = solar_position(
        times,
        latitude=weather.latitude,
        longitude=weather.longitude,
        elevation=weather.elevation,
        pressure=101325.0,
        temp_air=12.0,
    )
    return haurwitz(sun["apparent_zenith"])["ghi"].to_numpy()


def best_shift(weather):
    """Return the shift of the labels [minutes] with which radiation follows a clear sky best."""
    middle = pd.date_range(weather.start, periods=weather.n, freq="h") + pd.Timedelta(minutes=30)
    shifts = range(-90, 91, 15)
    found = []
    for shift in shifts:
        sky = clear_sky(weather, middle + pd.Timedelta(minutes=shift))
        found.append(np.corrcoef(sky, weather.ghi)[0, 1])
    return shifts[int(np.argmax(found))]


@pytest.mark.parametrize("site", SITES)
def test_stamps_are_starts_of_hours(site):
    assert best_shift(find_site(site)) == 0


@pytest.mark.parametrize("file", ["725650TYA.CSV.gz", "722780TYA.CSV.gz"])
def test_stamps_are_starts_of_hours_in_test_files(file):
    assert best_shift(read_weather(shared(file))) == 0


def humidity_gap(weather, stated):
    """Return by how much stated humidity and that of dry bulb and dew point disagree [%]."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    computed = np.array(
        [
            100.0 * psychrolib.GetRelHumFromTDewPoint(air, dew)
            for air, dew in zip(weather.temp_air[1:], weather.temp_dew[1:], strict=True)
        ]
    )
    return np.abs(computed - stated)


def far_from_seams():
    """Return which rows lie more than 6 h from a change of month, and so of year.

    There the makers of typical years smoothed temperatures but not humidity (TMY3 manual, from
    memory; the files show gaps of 10 to 30 % there and nowhere else).
    """
    seams = np.flatnonzero(np.diff(month_of_hour(), append=1))
    far = np.ones(HOURS_OF_YEAR, dtype=bool)
    for seam in seams:
        far[np.arange(seam - 6, seam + 8) % HOURS_OF_YEAR] = False
    return far


def stated_humidity(name, rows):
    """Return a file's own relative humidity [%], read off its rows by column."""
    if name == "miami":
        return np.array([float(line[79:82]) for line in rows[1:]])
    at = rows[1].split(",").index("RHum (%)")
    return np.array([float(line.split(",")[at]) for line in rows[2:]])


@pytest.mark.slow
@pytest.mark.parametrize("name", [*SITES, *SHARED_FILES])
def test_humidity_agrees_with_dry_bulb_and_dew_point(name):
    # PsychroLib as the oracle. Humidity is printed to 1 %, so 0.5 %, and both temperatures to
    # 0.1 K, so 0.05 K each at 6.5 % a kelvin: 0.65 %. Together 1.15 %; up to 1 row in 1000 may be
    # rounded twice. Above freezing only: below, the older records mix water and ice.
    path = shipped_sites()[name] if name in SITES else shared(name)
    rows = gzip.decompress(path.read_bytes()).decode().splitlines()
    weather = read_weather(path)
    gap = humidity_gap(weather, stated_humidity(name, rows))
    gap = gap[far_from_seams() & (weather.temp_dew[1:] > 0.0)]
    assert gap.size > 1000
    assert gap.mean() < 0.5
    assert np.mean(gap > 1.16) < 0.001


def test_packed_and_unpacked_are_one_weather(tmp_path):
    plain = tmp_path / "plain.csv"
    plain.write_text(unpacked("greensboro"))
    weather = read_weather(plain)
    assert weather.digest == find_site("greensboro").digest
    assert weather.source.endswith("file plain.csv")


@pytest.mark.parametrize("text", ["Miami", "miami", " MIAMI ", "Miami, Florida", "miami-florida"])
def test_shipped_site_by_name(text):
    assert find_site(text).name == "Miami, Florida"


@pytest.mark.parametrize("text", ["sand point", "Sand-Point", "sand_point"])
def test_names_of_two_words(text):
    assert find_site(text).name == "Sand Point, Alaska"


def test_path_is_relative_to_the_sheet(tmp_path):
    (tmp_path / "here.csv").write_text(unpacked("greensboro"))
    assert find_site("here.csv", tmp_path).name.startswith("Greensboro")
    with pytest.raises(WeatherError, match="no such file"):
        find_site("there.csv", tmp_path)


@pytest.mark.parametrize("text", ["Miamy", "", "x" * 5000, "a\0b", "nowhere"])
def test_unknown_site_is_one_line_with_the_names(text):
    with pytest.raises(WeatherError) as caught:
        find_site(text)
    message = str(caught.value)
    assert len(message.splitlines()) == 1
    assert "miami, greensboro, sand point" in message
    assert ("did you mean 'miami'" in message) == (text == "Miamy")


def test_index_matches_the_files():
    for site in json.loads(data_path("weather", "sites.json").read_text())["sites"]:
        content = gzip.decompress(data_path("weather", site["file"]).read_bytes())
        assert hashlib.sha256(content).hexdigest() == site["sha256"]


def test_a_cached_read_needs_neither_pandas_nor_pvlib_and_is_fast(tmp_path):
    script = (
        "import sys, time\n"
        "from vanclimate.site import find_site\n"
        "start = time.perf_counter(); find_site('miami'); took = time.perf_counter() - start\n"
        "print(took, *sorted({'pandas', 'pvlib', 'scipy'} & set(sys.modules)))\n"
    )

    def fresh_process():
        root = Path(__file__).resolve().parents[2]
        command = [sys.executable, "-c", script]
        env = {**os.environ, "VANCLIMATE_CACHE": str(tmp_path)}
        done = subprocess.run(
            command, cwd=root, env=env, capture_output=True, text=True, check=True
        )
        return done.stdout.split()

    fresh_process()
    took, *heavy = fresh_process()
    assert heavy == []
    assert float(took) < 0.3  # 0.012 s measured; many times that on a loaded machine
