"""Each bad TMY file gives one clear line: file, row, column, found, allowed."""

import gzip

import pytest

from vanclimate.errors import WeatherError
from vanclimate.site import read_weather, shipped_sites

ROW_3000_TMY3, ROW_3000_TMY2 = 3002, 3001  # index in the file's lines, counted from 0


@pytest.fixture(scope="module")
def tmy3():
    return gzip.decompress(shipped_sites()["greensboro"].read_bytes()).decode().splitlines()


@pytest.fixture(scope="module")
def tmy2():
    return gzip.decompress(shipped_sites()["miami"].read_bytes()).decode().splitlines()


def refused(path, *words):
    with pytest.raises(WeatherError) as caught:
        read_weather(path)
    message = str(caught.value)
    assert len(message.splitlines()) == 1
    assert path.name in message
    for word in words:
        assert word in message, message
    return message


def write(folder, lines, name="bad.csv"):
    path = folder / name
    path.write_text("\n".join(lines) + "\n")
    return path


def with_field(lines, column, value, row=ROW_3000_TMY3):
    at = lines[1].split(",").index(column)
    fields = lines[row].split(",")
    fields[at] = value
    return [*lines[:row], ",".join(fields), *lines[row + 1 :]]


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("Dry-bulb (C)", "warm"),
        ("Dry-bulb (C)", ""),
        ("Dry-bulb (C)", "nan"),
        ("Dry-bulb (C)", "-9900"),
        ("Dry-bulb (C)", "61"),
        ("Dew-point (C)", "-9900"),
        ("Pressure (mbar)", "9999"),
        ("Wspd (m/s)", "-0.1"),
        ("Wspd (m/s)", "-9900"),
        ("GHI (W/m^2)", "1601"),
        ("DNI (W/m^2)", "-1"),
        ("DHI (W/m^2)", "inf"),
        ("OpqCld (tenths)", "-9900"),
        ("CeilHgt (m)", "low"),
    ],
)
def test_tmy3_names_row_and_column(tmp_path, tmy3, column, value):
    bad = with_field(tmy3, column, value)
    refused(
        write(tmp_path, bad),
        f"row {ROW_3000_TMY3 + 1}, column {column}",
        f"found '{value or 'nothing'}'",
        "allowed: a number",
    )


@pytest.mark.parametrize(
    ("place", "value", "column"),
    [
        ((67, 71), "hot ", "DryBulb"),
        ((67, 71), "9999", "DryBulb"),
        ((73, 77), "9999", "DewPoint"),
        ((84, 88), "9999", "Pressure"),
        ((95, 98), "999", "Wspd"),
        ((90, 93), "999", "Wdir"),
        ((17, 21), "9999", "GHI"),
        ((63, 65), "99", "OpqCld"),
    ],
)
def test_tmy2_names_row_and_column(tmp_path, tmy2, place, value, column):
    row = ROW_3000_TMY2
    line = tmy2[row][: place[0]] + value + tmy2[row][place[1] :]
    bad = [*tmy2[:row], line, *tmy2[row + 1 :]]
    refused(
        write(tmp_path, bad, "bad.tm2"),
        f"row {row + 1}, column {column}",
        f"found '{value.strip()}'",
    )


def test_dew_point_far_above_dry_bulb_is_refused_and_a_little_is_clipped(tmp_path, tmy3):
    at = tmy3[1].split(",").index("Dry-bulb (C)")
    dry = float(tmy3[ROW_3000_TMY3].split(",")[at])
    far = with_field(tmy3, "Dew-point (C)", f"{dry + 0.6:.1f}")
    refused(write(tmp_path, far), "column Dew-point (C)", "dry bulb")
    little = with_field(tmy3, "Dew-point (C)", f"{dry + 0.5:.1f}")
    weather = read_weather(write(tmp_path, little, "little.csv"))
    edge = ROW_3000_TMY3 - 2 + 1
    assert weather.temp_dew[edge] == weather.temp_air[edge] == dry
    assert any("clipped" in note for note in weather.notes)


def test_unknown_ceiling_is_none_and_noted(tmp_path, tmy3):
    weather = read_weather(write(tmp_path, with_field(tmy3, "CeilHgt (m)", "-9900")))
    assert weather.ceiling[ROW_3000_TMY3 - 1] == float("inf")
    assert any("cloud base unknown in 1 rows" in note for note in weather.notes)


def test_rows_missing_swapped_doubled_short_or_too_many(tmp_path, tmy3, tmy2):
    row = ROW_3000_TMY3
    place = f"row {row + 1}, column date and time"
    refused(write(tmp_path, [*tmy3[:row], *tmy3[row + 1 :]]), place, "in order")
    swapped = [*tmy3[:row], tmy3[row + 1], tmy3[row], *tmy3[row + 2 :]]
    refused(write(tmp_path, swapped), place)
    refused(write(tmp_path, [*tmy3[:row], *[tmy3[row]] * 2, *tmy3[row + 1 :]]), "8761 rows")
    refused(write(tmp_path, tmy3[: row + 1]), "3001 rows", "8760 rows")
    refused(write(tmp_path, tmy2[:4001]), "4000 rows", "8760 rows")
    refused(write(tmp_path, tmy3[:2]), "0 rows")


def test_a_leap_year_is_refused(tmp_path, tmy3):
    day = tmy3[2 + 58 * 24 : 2 + 59 * 24]
    leap = [line.replace(line[:5], "02/29", 1) for line in day]
    bad = [*tmy3[: 2 + 59 * 24], *leap, *tmy3[2 + 59 * 24 :]]
    refused(write(tmp_path, bad), "8784 rows", "allowed: 8760 rows")


def test_cut_in_the_middle_of_a_line(tmp_path, tmy3, tmy2):
    path = tmp_path / "cut.csv"
    path.write_text("\n".join(tmy3)[:500_000])
    refused(path, "rows")
    path.write_text("\n".join(tmy3)[:-150])  # the last row lacks its last columns
    refused(path, "row 8762", "71, as in the header")
    refused(write(tmp_path, [*tmy2[:-1], tmy2[-1][:80]], "cut.tm2"), "row 8761", "80 characters")


def test_a_column_that_is_not_there(tmp_path, tmy3):
    head = tmy3[1].replace("Dry-bulb (C)", "Temperature")
    refused(write(tmp_path, [tmy3[0], head, *tmy3[2:]]), "row 2", "no column Dry-bulb (C)")


@pytest.mark.parametrize(
    ("first", "word"),
    [
        ('723170,"X",NC,-5.0,north,-79.950,273', "latitude"),
        ('723170,"X",NC,-5.0,96.1,-79.950,273', "-90 to 90"),
        ('723170,"X",NC,-25.0,36.1,-79.950,273', "time zone"),
        ('723170,"X",NC,-5.0,36.1,-79.950,nan', "elevation"),
        ("723170", "time zone"),
    ],
)
def test_a_bad_place(tmp_path, tmy3, first, word):
    refused(write(tmp_path, [first, *tmy3[1:]]), "row 1", word)


def test_a_station_of_two_words_and_commas_is_read(tmp_path, tmy3, tmy2):
    first = '723170,"PIEDMONT, TRIAD INT",NC,-5.0,36.100,-79.950,273'
    assert read_weather(write(tmp_path, [first, *tmy3[1:]])).name == "Piedmont, Triad Int, NC"
    first = tmy2[0].replace("MIAMI     ", "WEST MIAMI")
    assert read_weather(write(tmp_path, [first, *tmy2[1:]])).name == "West Miami, FL"


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"", "empty"),
        (b"\n\n  \n", "empty"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\xff\xfe", "binary"),
        (b"text with\0nul", "binary"),
        (b"dear diary,\nit was hot\n", "TMY2, TMY3"),
        (b"\x1f\x8bno gzip at all", "gzip"),
        (gzip.compress(b"x" * 1000, mtime=0)[:-12], "gzip"),
        (b'a,b\nDate (MM/DD/YYYY),"' + b"x" * 200_000, "allowed"),
    ],
)
def test_no_weather_file_at_all(tmp_path, content, word):
    path = tmp_path / "odd.csv"
    path.write_bytes(content)
    refused(path, word)


def test_a_folder_and_nothing(tmp_path):
    refused(tmp_path, "an empty folder")
    refused(tmp_path / "none.csv", "no such file")
    refused(tmp_path / ("n" * 300), "allowed")
