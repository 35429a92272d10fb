from __future__ import annotations

import io

import numpy as np
import pytest

from vanclimate.report.chart import FULL_SIGNS, PLAIN_SIGNS, by_column, night_chart
from vanclimate.report.terminal import console_for, print_night
from vanclimate.report.words import verdict

ORDER = [
    "Three ways", "This night and the next", "How it feels", "Bedtime to waking", "felt inside",
    "What nobody has measured yet", "What it stands on", "Cautions",
]  # fmt: skip


def printed(night, system="us", width=100, encoding="utf-8"):
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding)
    print_night(
        night, system, console_for(stream, width), check="vanclimate check x", demo="A demo"
    )
    stream.flush()
    return raw.getvalue().decode(encoding)


@pytest.mark.parametrize("width", [60, 100])
def test_verdict_first_then_the_parts_in_order(demo, width):
    text = printed(demo, width=width)
    lines = text.splitlines()
    assert lines[0] == verdict(demo, "us")
    places = [text.index(part) for part in ORDER]
    assert places == sorted(places)
    assert all(len(line) <= width for line in lines[1:])
    assert not any(line.endswith(" ") for line in lines)


def test_it_fits_a_screen_and_one_scroll(demo):
    assert len(printed(demo).splitlines()) <= 116


def test_a_pipe_gets_no_control_codes(demo):
    assert "\x1b" not in printed(demo)


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_a_poor_encoding_gets_plain_signs(demo, encoding):
    text = printed(demo, encoding=encoding)
    assert "?" not in text.split("Cautions")[0]
    assert PLAIN_SIGNS.felt in text


def test_closed_up_is_unfit_for_sleeping_whatever_else(demo):
    assert "unfit for sleeping" in printed(demo)


def test_every_caution_and_warning_is_printed(demo):
    text = " ".join(printed(demo).split())
    for said in (*demo.cautions, *demo.warnings):
        assert " ".join(said.split()) in text


def test_both_systems_of_units(demo):
    assert "°F" in printed(demo, "us")
    si = printed(demo, "si")
    assert "°C" in si
    assert "°F" not in si


def test_columns_of_the_chart_keep_the_mean():
    seconds, values = np.array([0.0, 10.0, 25.0, 60.0]), np.array([1.0, 5.0, 2.0])
    mean = (values * np.diff(seconds)).sum() / 60.0
    assert by_column(seconds, values, 7).mean() == pytest.approx(mean)


@pytest.mark.parametrize("signs", [FULL_SIGNS, PLAIN_SIGNS])
@pytest.mark.parametrize("width", [60, 100])
def test_the_chart_keeps_its_width_and_shows_all_three(demo, signs, width):
    lines = night_chart(demo, "us", width, signs)
    assert max(len(line) for line in lines) <= width
    plot = "\n".join(lines[:-3])
    assert signs.felt in plot
    assert signs.outdoor in plot
    assert signs.limit in plot
    assert lines[-3].lstrip().startswith("bank")


def test_a_pipe_that_nobody_reads_is_told_to_the_command_line():
    class Closed(io.StringIO):
        def write(self, text: str) -> int:
            raise BrokenPipeError

    with pytest.raises(BrokenPipeError):
        console_for(Closed(), 80).print("a line")
