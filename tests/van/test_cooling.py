"""What a sheet may say of an air conditioner: tables, speeds, heating, hoses. Plates invented."""

import pytest
from pydantic import ValidationError

from vanclimate.equipment import air_conditioner
from vanclimate.van import maker_table
from vanclimate.van.cooling import AirConditioner
from vanclimate.van.fields import specs
from vanclimate.van.guesses import guesses_of
from vanclimate.van.maker_table import grid_of, read_table, write_table

FOUR = (
    "4 kW and 1300 W at 35 C and 19.4 C, 3.6 kW and 1550 W at 45 C and 19.4 C, "
    "4.4 kW and 1330 W at 35 C and 23 C, 4.0 kW and 1590 W at 45 C and 23 C"
)


def unit(**keys: str) -> AirConditioner:
    plate = {} if "table" in keys else {"capacity": "13.5 kBTU/h", "power": "1300 W"}
    return AirConditioner.model_validate(plate | keys)


def refusal(**keys: str) -> tuple[str, str, str]:
    """Return key, what was found and what is allowed."""
    with pytest.raises(ValidationError) as caught:
        AirConditioner.model_validate(keys)
    (error,) = caught.value.errors(include_url=False)
    told = error["ctx"]
    return told["key"] or error["loc"][0], told["found"], told["allowed"]


def guessed(part: AirConditioner) -> set[str]:
    return {guess.path for guess in guesses_of(part, "", "si")}


def test_a_table_is_read_in_any_order_and_written_as_it_is_read():
    points = read_table(FOUR)
    assert points == read_table(", ".join(reversed(FOUR.split(", "))))
    grid = grid_of(points)
    assert grid.capacity.tolist() == [[4000.0, 4400.0], [3600.0, 4000.0]]
    assert grid.power.tolist() == [[1300.0, 1330.0], [1550.0, 1590.0]]
    assert read_table(write_table(points, "si")) == points
    us = read_table(write_table(points, "us"))
    for ours, back in zip(points, us, strict=True):
        assert back == pytest.approx(ours, rel=2e-3)
    assert write_table(None, "us") == "none"


def test_a_table_as_a_list_and_with_thousands_apart():
    first, second = (
        "13,500 BTU/h and 1,300 W at 95 F and 67 F",
        "3.5 kW and 1.5 kW at 110 F and 67 F",
    )
    part = AirConditioner.model_validate({"table": [first, second]})
    assert part.table is not None
    assert [p.power for p in part.table] == [1300.0, 1500.0]


def test_cooling_and_watts_at_rating_come_from_the_table():
    part = unit(table=FOUR)
    assert (part.capacity, part.power) == pytest.approx((4000.0, 1300.0))
    assert not {"capacity", "power", "table"} & guessed(part)
    assert "power" in guessed(AirConditioner.model_validate({"capacity": "4 kW"}))
    here = (air_conditioner.RATED_OUTDOOR, air_conditioner.RATED_WET_BULB)
    assert here == maker_table.RATING


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("4 kW at 35 C", "4 kW at 35 C"),
        ("4 kW and 1300 W at 35 C and 19 C", "one point"),
        ("4 kW and 1300 W at 35 C and 19 C, 4 kW and 1 kW at 35 C and 19 C", "two points"),
        ("4 kW and 1300 W at 35 C and 19 C, 3.6 kW and 1500 W at 45 C and 22 C", "no point at 35"),
        ("1300 W and 13500 BTU/h at 35 C and 19 C", "13500 BTU/h"),
        ("40 W and 1300 W at 35 C and 19 C", "40 W"),
        ("13 kW and 1000 W at 35 C and 19 C", "13 kW"),
        ("4 kW and 1300 W at 85 C and 19 C", "85 C"),
        ("4 kW and 1300 W at 35 C and 45 C", "45 C"),
        ("", "nothing"),
    ],
)
def test_a_table_that_cannot_be_is_refused(text, found):
    key, told, _ = refusal(table=text)
    assert key == "table"
    assert found in told


@pytest.mark.parametrize(
    ("keys", "key", "found", "allowed"),
    [
        ({}, "capacity", "nothing", "'capacity:'"),
        ({"capacity": "4 kW", "table": FOUR}, "capacity", "beside a table", "the table alone"),
        ({"power": "1 kW", "table": FOUR}, "power", "beside a table", "the table alone"),
        ({"table": FOUR, "blower_power": "900 W", "half_speed_power": "40 %"}, "half_speed_power",
         "nothing uses", "speed: variable"),
        ({"capacity": "4 kW", "floor": "30 %"}, "floor", "nothing uses", "speed: variable"),
        ({"capacity": "4 kW", "speed": "variable", "soft_start": "yes"}, "soft_start",
         "nothing uses", "speed: fixed"),
        ({"capacity": "4 kW", "heating_power": "1 kW"}, "heating_power", "nothing uses",
         "heats: yes"),
        ({"capacity": "4 kW", "condenser": "roof", "hose": "two"}, "condenser", "nothing uses",
         "hose: none"),
        ({"capacity": "4 kW", "condenser_airflow": "200 CFM"}, "condenser_airflow", "nothing uses",
         "hose: one"),
        ({"capacity": "4 kW", "roof_warmth": "10 %", "condenser": "underneath"}, "roof_warmth",
         "nothing uses", "condenser: roof"),
        ({"capacity": "4 kW", "condenser_excess": "3 K"}, "condenser_excess", "nothing uses",
         "roof or underneath"),
        ({"capacity": "4 kW", "speed": "variable", "night_limit": "20 %"}, "night_limit",
         "below the floor", "30 %"),
        ({"capacity": "4 kW", "heats": "yes", "heating_power": "5 kW"}, "heating_power",
         "0.8 W of heat", "1 to 8"),
        ({"capacity": "4 kW", "heats": "yes", "heating_power": "100 W"}, "heating_power",
         "100 W", "blower"),
        ({"capacity": "4 kW", "heats": "yes", "heating_setpoint": "25 C"}, "heating_setpoint",
         "25 °C", "24 °C"),
    ],
)  # fmt: skip
def test_what_cannot_be_together_is_refused_by_name(keys, key, found, allowed):
    told = refusal(**keys)
    assert told[0] == key
    assert found in told[1]
    assert allowed in told[2]


def test_a_table_below_the_blower_is_refused():
    low = "1 kW and 100 W at 20 C and 15 C, 4 kW and 1300 W at 35 C and 15 C"
    key, found, allowed = refusal(table=low, blower_power="110 W")
    assert (key, found) == ("table", "100 W in the table")
    assert "110 W" in allowed


def test_only_what_is_used_is_a_guess():
    plain = guessed(unit())
    assert {"speed", "heats", "hose", "condenser", "starting_surge"} <= plain
    assert not {"floor", "heating_capacity", "roof_warmth", "condenser_airflow"} & plain
    assert {"floor", "half_speed_power"} <= guessed(unit(speed="variable"))
    assert "soft_start" not in guessed(unit(speed="variable"))
    heats = {"heating_capacity", "heating_power", "heating_setpoint", "heats_down_to"}
    assert heats <= guessed(unit(heats="yes"))
    assert "condenser" not in guessed(unit(hose="two"))
    assert "condenser_airflow" in guessed(unit(hose="one"))
    assert {"roof_warmth", "condenser_excess"} <= guessed(unit(condenser="roof"))


def test_a_default_follows_what_it_hangs_on():
    assert unit().starting_surge > unit(soft_start="yes").starting_surge
    assert unit(speed="variable").starting_surge < unit(soft_start="yes").starting_surge
    assert unit(condenser="underneath").condenser_excess == 2.0
    assert unit(condenser="roof").condenser_excess == 0.0
    assert unit(heats="yes").heating_when == "home"
    assert unit(heats="yes", heating_when="22:00 to 7:00").heating_when == ((1320, 420),)
    one = unit(heats="yes", heating_capacity="3 kW")
    assert one.heating_power == pytest.approx(1000.0)


def test_every_number_has_its_range():
    words = {"table", "speed", "soft_start", "heats", "heating_when", "hose", "condenser"}
    new = set(list(specs(AirConditioner))[list(specs(AirConditioner)).index("table") :])
    for name in new - words:
        spec = specs(AirConditioner)[name]
        assert spec.spread or (spec.low is not None and spec.high is not None), name
        assert spec.settle, name
