from __future__ import annotations

import csv
from datetime import datetime
from pathlib import Path

import pytest

from vanclimate.errors import OptionError
from vanclimate.report.trace_file import check_target, write_csv


def test_a_folder_a_missing_folder_a_device_and_the_sheet_are_refused(tmp_path):
    sheet = tmp_path / "van.yaml"
    sheet.write_text("x")
    for bad in (tmp_path, tmp_path / "no" / "t.csv", Path("/dev/null"), sheet):
        with pytest.raises(OptionError, match="--trace"):
            check_target(bad, (sheet,))


def test_a_link_to_the_sheet_is_refused_too(tmp_path):
    sheet, link = tmp_path / "van.yaml", tmp_path / "t.csv"
    sheet.write_text("x")
    link.symlink_to(sheet)
    with pytest.raises(OptionError, match="being read"):
        check_target(link, (sheet,))


def test_a_trace_reads_back_to_the_last_digit(tmp_path, demo):
    frame, target = demo.trace, tmp_path / "t.csv"
    write_csv(frame, target)
    with target.open(newline="") as text:
        rows = list(csv.DictReader(text))
    assert [float(r["cabin_temp_c"]) for r in rows] == frame["cabin_temp_c"].tolist()
    assert [datetime.fromisoformat(r["start"]) for r in rows] == list(frame.index)
