"""NASA POWER: its two writings agree; units, missing values and local solar time."""

import numpy as np
import pytest

from tests.site import invented_files as invented
from vanclimate.errors import WeatherError
from vanclimate.site import formats


@pytest.fixture(scope="module")
def days():
    return invented.invented_days(2)


@pytest.mark.parametrize("standard", ["UTC", "LST"])
def test_csv_and_json_are_the_same_table(days, standard):
    one = formats.read(invented.as_power_json(days), "a.json")
    two = formats.read(invented.as_power_csv(days, standard), "a.csv")
    np.testing.assert_array_equal(one.start, two.start)
    assert set(one.columns) == set(two.columns)
    for quantity, values in one.columns.items():
        np.testing.assert_allclose(values, two.columns[quantity], rtol=1e-5)
    assert one.points is one.sun is two.points is two.sun is None
    assert one.start[0] == days.start.timestamp()  # stamps start their hours, from memory


def test_values_are_in_si(days):
    table = formats.read(invented.as_power_json(days), "a.json")
    np.testing.assert_allclose(table.columns["ghi"], days.ghi, atol=0.006)
    mean = 0.5 * (days.pressure[1:] + days.pressure[:-1])
    np.testing.assert_allclose(table.columns["pressure"], mean, atol=6.0)
    assert 0 < table.columns["cloud_total"].max() <= 1
    assert table.station.elevation == days.elevation


def test_megajoules_an_hour_are_read_by_their_unit(days):
    text = invented.as_power_csv(days)
    other = text.replace(
        "Shortwave Downward Irradiance (Wh/m^2)", "Shortwave Downward Irradiance (MJ/hr)"
    )
    assert other != text
    lines = other.splitlines()
    head = next(i for i, line in enumerate(lines) if line.startswith("YEAR"))
    at = lines[head].split(",").index("ALLSKY_SFC_SW_DWN")
    for i in range(head + 1, len(lines)):
        fields = lines[i].split(",")
        fields[at] = f"{float(fields[at]) * 0.0036:.6f}"  # 1 Wh = 0.0036 MJ
        lines[i] = ",".join(fields)
    table = formats.read("\n".join(lines), "mj.csv")
    np.testing.assert_allclose(table.columns["ghi"], days.ghi, atol=0.02)


def test_the_fill_value_is_missing(days):
    text = invented.as_power_json(days)
    broken = text.replace('"T2M": {\n', '"T2M": {\n', 1)
    first = formats.read(text, "a.json").columns["temp_air"][0]
    broken = text.replace(f": {first}", ": -999.0", 1)
    table = formats.read(broken, "a.json")
    assert np.isnan(table.columns["temp_air"][0])
    assert np.isnan(table.columns["temp_air"]).sum() == 1


def test_relative_humidity_serves_where_dew_point_is_left_out(days):
    text = invented.as_power_csv(days).replace("T2MDEW ", "RH2M   ").replace("T2MDEW", "RH2M")
    text = text.replace("Dew/Frost Point at 2 Meters (C)", "Relative Humidity at 2 Meters (%)")
    table = formats.read(text, "rh.csv")
    assert "temp_dew" not in table.columns
    assert table.columns["relative_humidity"].max() < 1.1


def test_parameters_of_other_hours_are_refused(days):
    text = invented.as_power_json(days)
    at = text.index('"PS"')
    text = text[:at] + text[at:].replace('"2021070208"', '"2021070108"', 1)
    with pytest.raises(WeatherError, match="PS: found 'other hours'"):
        formats.read(text, "a.json")
