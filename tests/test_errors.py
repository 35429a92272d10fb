"""The exception tree and its messages."""

import pytest

from vanclimate.errors import (
    FetchError,
    OptionError,
    SheetError,
    UnitError,
    VanclimateError,
    WeatherError,
    near,
    shorten,
)


@pytest.mark.parametrize("kind", [SheetError, WeatherError, FetchError, UnitError, OptionError])
def test_every_error_is_one_of_ours(kind):
    assert issubclass(kind, VanclimateError)
    assert kind.exit_code == 2


def test_the_whole_message_says_where_what_and_which():
    error = SheetError(
        "a.yaml", 14, "body.lenght", "-3 m", "1.5 m to 14 m", "did you mean 'length'?"
    )
    assert str(error) == (
        "a.yaml, line 14, body.lenght: found '-3 m'; allowed: 1.5 m to 14 m "
        "(did you mean 'length'?)"
    )


def test_parts_that_are_not_known_are_left_out():
    assert str(SheetError("a.yaml", found="a list")) == "a.yaml: found 'a list'"
    assert str(WeatherError("x.tm2", 8785, allowed="8760 rows")) == (
        "x.tm2, row 8785: allowed: 8760 rows"
    )
    assert str(OptionError("--month", hint="try July")) == "--month (try July)"


def test_a_failed_fetch_says_what_answers_without_the_network():
    assert str(FetchError("PVGIS", "no connection")) == (
        "PVGIS: no connection (without the network: a weather file, a shipped place such as "
        "miami, or a design day)"
    )


def test_near_finds_a_slip_and_nothing_far_off():
    assert near("lenght", ["length", "width"]) == "did you mean 'length'?"
    assert near("battery", ["length", "width"]) == ""


def test_long_or_unprintable_text_is_shortened():
    assert len(shorten("x" * 10_000)) == 60
    assert shorten("a\nb\x00") == "a\\nb\\x00"
