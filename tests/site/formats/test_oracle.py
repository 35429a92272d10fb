"""The same invented file through our readers and through pvlib.iotools gives the same values.

pvlib.iotools is the independent reader; where it states what a stamp means, so does the test.
"""

import io
import warnings

import numpy as np
import pandas as pd
import pytest
from pvlib import iotools

from tests.site import invented_files as invented
from vanclimate.site import formats
from vanclimate.site.years import NOMINAL_YEAR


@pytest.fixture(scope="module")
def days():
    return invented.invented_days(2)


@pytest.fixture(scope="module")
def year():
    return invented.invented_year()


def ours(text):
    return formats.read(text, "file")


def written(folder, text, name="file.dat"):
    path = folder / name
    path.write_text(text, newline="")
    return path


def same(table, data, pairs):
    for quantity, (column, scale) in pairs.items():
        values = data[column].to_numpy(dtype=float) * scale
        np.testing.assert_allclose(table.columns[quantity], values, rtol=1e-9, err_msg=quantity)


SUN = {name: (name, 1.0) for name in ("ghi", "dni", "dhi")}


def seconds(index):
    return index.tz_convert("UTC").tz_localize(None).to_numpy().astype("datetime64[s]").astype(int)


def test_tmy3(tmp_path, year):
    text = invented.as_tmy3(year)
    table = ours(text)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        data, meta = iotools.read_tmy3(written(tmp_path, text), map_variables=True)
    pairs = {
        "temp_air": ("temp_air", 1.0),
        "temp_dew": ("temp_dew", 1.0),
        "pressure": ("pressure", 100.0),
        "wind_speed": ("wind_speed", 1.0),
        "wind_direction": ("wind_direction", 1.0),
        "cloud_total": ("TotCld (tenths)", 0.1),
    }
    same(table, data, SUN | pairs)
    assert (table.station.latitude, table.station.longitude) == (
        meta["latitude"],
        meta["longitude"],
    )
    assert table.years == year.source_years
    # "right-labeled", pvlib's note: the first stamp, 01:00 at UTC-7, ends the hour from 07:00 UTC
    first = pd.Timestamp(f"{NOMINAL_YEAR}-01-01 07:00", tz="UTC").timestamp()
    assert table.start[0] == first
    assert (table.points, table.sun, table.typical) == (1.0, None, True)
    assert np.isinf(table.columns["ceiling"]).any()


@pytest.mark.slow
def test_tmy2(tmp_path, year):
    text = invented.as_tmy2(year)
    table = ours(text)
    data, _ = iotools.read_tmy2(written(tmp_path, text))
    pairs = {"ghi": ("GHI", 1), "dni": ("DNI", 1), "dhi": ("DHI", 1), "temp_air": ("DryBulb", 0.1),
             "temp_dew": ("DewPoint", 0.1), "pressure": ("Pressure", 100),
             "wind_speed": ("Wspd", 0.1), "wind_direction": ("Wdir", 1),
             "cloud_opaque": ("OpqCld", 0.1)}  # fmt: skip
    same(table, data, pairs)
    assert (table.points, table.sun, table.typical) == (1.0, None, True)


@pytest.mark.parametrize(
    ("step", "humidity"), [(60, "Dew Point"), (30, "Dew Point"), (5, "Relative Humidity")]
)
def test_nsrdb(tmp_path, days, step, humidity):
    text = invented.as_nsrdb(days, step, humidity)
    table = ours(text)
    data, _ = iotools.read_nsrdb_psm4(io.StringIO(text))
    wet = {"temp_dew": ("temp_dew", 1.0)}
    if humidity != "Dew Point":
        wet = {"relative_humidity": ("relative_humidity", 0.01)}
    pairs = {
        "temp_air": ("temp_air", 1.0),
        "pressure": ("pressure", 100.0),
        "wind_speed": ("wind_speed", 1.0),
        "wind_direction": ("wind_direction", 1.0),
    }
    same(table, data, SUN | pairs | wet)
    assert table.step == 60 * step
    np.testing.assert_array_equal(table.start + table.step // 2, seconds(data.index))
    assert table.points == 0.5


def test_nsrdb_typical_year_lies_on_the_nominal_one(year):
    table = ours(invented.as_nsrdb(year))
    assert table.typical
    assert table.years == year.source_years
    assert table.start[0] == year.start.timestamp()
    assert set(np.diff(table.start)) == {3600}


@pytest.mark.parametrize("write", [invented.as_pvgis_hourly_csv, invented.as_pvgis_hourly_json])
def test_pvgis_hourly(days, write):
    text = write(days, 10)
    table = ours(text)
    form = "json" if text.startswith("{") else "csv"
    data, _ = iotools.read_pvgis_hourly(io.StringIO(text), pvgis_format=form)
    same(
        table,
        data,
        {
            "dhi": ("poa_sky_diffuse", 1.0),
            "temp_air": ("temp_air", 1.0),
            "wind_speed": ("wind_speed", 1.0),
        },
    )
    total = data["poa_direct"] + data["poa_sky_diffuse"] + data["poa_ground_diffuse"]
    np.testing.assert_allclose(table.columns["ghi"], total)
    np.testing.assert_array_equal(table.start + 600, seconds(data.index))
    assert table.points == table.sun == pytest.approx(1 / 6)
    assert "dni" not in table.columns


def test_pvgis_of_a_reanalysis_gives_means(days):
    table = ours(invented.as_pvgis_hourly_csv(days, 30, "PVGIS-ERA5"))
    assert table.sun is None
    assert table.start[0] % 3600 == 0


@pytest.mark.parametrize("write", [invented.as_pvgis_tmy_csv, invented.as_pvgis_tmy_json])
def test_pvgis_typical_year(year, write):
    text = write(year)
    table = ours(text)
    if text.startswith("{"):
        data, meta = iotools.read_pvgis_tmy(io.StringIO(text), pvgis_format="json")
    else:
        data, meta = iotools.read_pvgis_tmy(io.BytesIO(text.encode()), pvgis_format="csv")
    pairs = {
        "temp_air": ("temp_air", 1.0),
        "pressure": ("pressure", 1.0),
        "relative_humidity": ("relative_humidity", 0.01),
        "longwave": ("IR(h)", 1.0),
        "wind_speed": ("wind_speed", 1.0),
        "wind_direction": ("wind_direction", 1.0),
    }
    same(table, data, SUN | pairs)
    assert table.years == tuple(m["year"] for m in meta["months_selected"])
    assert (table.points, table.sun) == (0.0, pytest.approx(0.1761))
    assert table.start[0] == pd.Timestamp(f"{NOMINAL_YEAR}-01-01", tz="UTC").timestamp()


def test_pvgis_sun_before_the_stamp_and_unsaid(year):
    early = ours(invented.as_pvgis_tmy_csv(year, -0.2))
    # the moment of the sun, an hour's start and a share of it, is 0.2 h before the stamp
    assert early.start[0] + 3600 * early.sun == early.start[0] + 3600 - 0.2 * 3600
    assert early.points == 1.0
    unsaid = ours(invented.as_pvgis_tmy_csv(year, None))
    assert unsaid.sun == 0.0
    assert any("at the stamp is assumed" in note for note in unsaid.notes)


@pytest.mark.parametrize("step", [1, 3])
def test_surfrad(tmp_path, days, step):
    text = invented.as_surfrad(days, step=step)
    table = ours(text)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # pvlib's own use of pandas
        data, meta = iotools.read_surfrad(written(tmp_path, text))
    pairs = {
        "longwave": ("dw_ir", 1.0),
        "temp_air": ("temp_air", 1.0),
        "relative_humidity": ("relative_humidity", 0.01),
        "pressure": ("pressure", 100.0),
        "wind_speed": ("wind_speed", 1.0),
        "wind_direction": ("wind_direction", 1.0),
    }
    same(table, data, SUN | pairs)
    np.testing.assert_array_equal(table.start + table.step, seconds(data.index))
    assert table.step == 60 * step
    assert table.station.elevation == meta["elevation"]


def test_surfrad_flags_missing_values_and_night_offsets(days):
    lines = invented.as_surfrad(days).splitlines()
    fields = lines[10].split()
    fields[8], fields[38], fields[39], fields[42] = "-3.2", "20.0", "2", "-9999.9"
    lines[10] = " ".join(fields)
    table = ours("\n".join(lines))
    row = 10 - 2
    assert table.columns["ghi"][row] == 0.0
    assert np.isnan(table.columns["temp_air"][row])
    assert np.isnan(table.columns["wind_speed"][row])
    assert any("1 values of sun a little below zero" in note for note in table.notes)
    assert any("1 values flagged" in note for note in table.notes)


def test_bsrn(days):
    text = invented.as_bsrn(days)
    table = ours(text)
    data, meta = iotools.read_bsrn(io.StringIO(text))
    pairs = {
        "longwave": ("lwd", 1.0),
        "temp_air": ("temp_air", 1.0),
        "relative_humidity": ("relative_humidity", 0.01),
        "pressure": ("pressure", 100.0),
    }
    same(table, data, SUN | pairs)
    # "All time labels … denote the start of a time interval", the network's plan, in pvlib's notes
    np.testing.assert_array_equal(table.start, seconds(data.index))
    assert table.station.latitude == pytest.approx(meta["latitude"])
    assert table.station.longitude == pytest.approx(meta["longitude"])


def test_bsrn_codes_are_missing_and_what_a_station_lacks_is_left_out(days):
    lines = invented.as_bsrn(days).splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("*U0100")) + 1
    lines[first] = lines[first][:10] + "  -999" + lines[first][16:]
    for i in range(first + 1, len(lines), 2):
        lines[i] = lines[i][:70] + " -999"
    table = ours("\n".join(lines))
    assert np.isnan(table.columns["ghi"][0])
    assert not np.isnan(table.columns["ghi"][1:]).any()
    assert "pressure" not in table.columns


def test_crn(tmp_path, days):
    text = invented.as_crn(days)
    table = ours(text)
    data = iotools.read_crn(written(tmp_path, text))
    same(
        table,
        data,
        {
            "ghi": ("ghi", 1.0),
            "temp_air": ("temp_air", 1.0),
            "relative_humidity": ("relative_humidity", 0.01),
        },
    )
    # open country, (10 / 1.5) ** 0.14 = 1.304 (ASHRAE Fundamentals, from memory)
    np.testing.assert_allclose(table.columns["wind_speed"], data["wind_speed"] * 1.3042, rtol=1e-4)
    # "labeled by the interval ending time", pvlib's notes
    np.testing.assert_array_equal(table.start + 300, seconds(data.index))
    assert table.station.utc_offset_h == -7.0
    assert table.station.elevation is None


def test_crn_codes_are_missing(days):
    lines = invented.as_crn(days).splitlines()
    fields = lines[5].split()
    fields[8], fields[10], fields[15], fields[21] = "-9999.0", "-99999", "-9999", "-99.00"
    lines[5] = " ".join(fields)
    table = ours("\n".join(lines))
    for quantity in ("temp_air", "ghi", "relative_humidity", "wind_speed"):
        assert np.isnan(table.columns[quantity][5])
        assert np.isnan(table.columns[quantity]).sum() == 1
