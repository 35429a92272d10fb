"""A new sheet for any class of van and any use reads, fits together, and is what was asked for."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.van.test_template import opened
from vanclimate.answers.checks import check_sheet
from vanclimate.cache import data_path
from vanclimate.errors import OptionError, WeatherError
from vanclimate.units import IN
from vanclimate.van.bodies import KINDS, find_kind
from vanclimate.van.new_sheet import (
    SCHEMA,
    USES,
    Spot,
    Start,
    _scalar,
    find_spot,
    find_use,
    find_van,
    new_sheet_text,
    write_new,
)
from vanclimate.van.reading import loads_text
from vanclimate.van.textfile import read_tree
from vanclimate.van.write_once import refuse_taken

SHIPPED = Spot("greensboro")


@pytest.mark.parametrize("use", USES, ids=lambda use: use.name)
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_sheet_of_each_class_and_use_reads_and_fits_together(kind, use):
    sheet = loads_text(new_sheet_text(Start(SHIPPED, kind.name, use)))
    check_sheet(sheet)
    assert sheet.body.kind == kind.name
    assert abs(sheet.body.length - kind.length) <= IN / 2
    assert abs(sheet.body.width - kind.width) <= IN / 2
    assert abs(sheet.body.height - kind.height) <= IN / 2
    glass = [(w.side, w.area, w.glass) for w in sheet.windows]
    assert glass == [(p.side, p.area, p.glass) for p in kind.windows]
    assert (sheet.pop_top is not None) == kind.pop_top
    assert sheet.month == (1 if use.winter else 7)
    assert sheet.night == ("coldest" if use.winter else "hottest")
    for name in ("air conditioner", "heater", "alternator", "shore", "water", "trip"):
        assert bool(sheet.value_of(name)) == (name in use.sections)


@pytest.mark.slow
@pytest.mark.parametrize("use", USES, ids=lambda use: use.name)
def test_a_new_sheet_answers_its_question(use, tmp_path):
    from typer.testing import CliRunner

    from vanclimate.cli import app

    kind = {"summer": "long high", "winter": "box trailer", "trip": "small truck body"}
    file = tmp_path / "my-van.yaml"
    asked = ["--van", kind.get(use.name, "pop-top"), "--for", use.name, "--place", "greensboro"]
    assert CliRunner().invoke(app, ["new", str(file), *asked]).exit_code == 0
    for command in ("check", use.question):
        done = CliRunner().invoke(app, [command, str(file)])
        assert done.exit_code == 0, done.output
        assert done.output


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_the_whole_scene_of_each_class_and_use_is_set(kind, tmp_path):
    from typer.testing import CliRunner

    from vanclimate.cli import app

    for use in USES:
        file = write_new(tmp_path / f"{use.name}.yaml", Start(SHIPPED, kind.name, use))
        done = CliRunner().invoke(app, ["check", str(file)])
        assert done.exit_code == 0, done.output


@pytest.mark.parametrize("use", USES, ids=lambda use: use.name)
def test_cab_garage_and_lifting_roof_can_be_taken_in(use):
    for kind in ("medium high van", "pop-top van", "small truck body"):
        text = new_sheet_text(Start(SHIPPED, kind, use))
        rooms = ["garage", *(["cab"] if find_kind(kind).has_cab else [])]
        assert (re.search(r"^# cab:", text, re.MULTILINE) is None) == ("cab" not in rooms)
        for name in rooms:
            text = opened(text, name)
        assert set(loads_text(text).zones) == {"living", *rooms}


def test_the_windows_of_a_trailer_can_be_taken_in():
    text = new_sheet_text(Start(SHIPPED, "box trailer"))
    assert loads_text(text).windows == ()
    block = text[text.index("# windows:") : text.index("\npeople:")]
    taken = "".join(line.removeprefix("# ") for line in block.splitlines(keepends=True))
    sheet = loads_text(text.replace("windows: none", "# windows: none").replace(block, taken))
    assert [w.name for w in sheet.windows] == ["left window"]


def test_south_of_the_line_winter_is_in_july():
    for use in USES:
        sheet = loads_text(new_sheet_text(Start(Spot("miami", southern=True), use=use)))
        assert sheet.month == (7 if use.winter else 1)


def test_each_line_is_short_and_the_first_names_the_schema():
    for kind in KINDS:
        first, *lines = new_sheet_text(Start(SHIPPED, kind.name)).splitlines()
        assert first == f"# yaml-language-server: $schema={SCHEMA.as_uri()}"
        assert [line for line in lines if len(line) > 100] == []
        assert [line for line in lines if re.search(r"[@$]|##", line)] == []
    assert SCHEMA.is_file()


@pytest.mark.parametrize(
    ("text", "kind"),
    [("long high", "long high van"), ("Short Standard-Roof van", "short standard van"),
     ("trailer", "box trailer"), ("pop top", "pop-top van"), ("Small truck body",) * 2],
)  # fmt: skip
def test_a_class_of_van_is_found_by_its_words(text, kind):
    assert find_van(text) == kind.casefold()


@pytest.mark.parametrize(
    ("find", "text", "says"),
    [(find_van, "lng high", "did you mean 'long high'?"), (find_van, "bus", "box trailer"),
     (find_use, "sumer", "did you mean 'summer'?"), (find_use, "", "summer, winter, full-time")],
)  # fmt: skip
def test_an_answer_that_is_none_says_what_is_allowed(find, text, says):
    with pytest.raises(OptionError) as caught:
        find(text)
    assert says in str(caught.value)


def test_a_shipped_place_needs_no_fetching(tmp_path):
    assert find_spot("Miami", tmp_path) == Spot("Miami")


def test_a_town_is_named_in_full_and_says_how_its_weather_is_had(tmp_path, monkeypatch):
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path))
    spot = find_spot("moab, ut", tmp_path)
    assert spot.site == "Moab, Utah"
    assert spot.fetch == 'vanclimate weather fetch "Moab, Utah" --years typical'
    assert not spot.southern
    assert find_spot("-33.9, 151.2", tmp_path).southern
    sheet = loads_text(new_sheet_text(Start(spot)))
    assert sheet.site.place == "Moab, Utah"


def test_a_weather_file_counts_from_the_sheets_folder(tmp_path, monkeypatch):
    source = data_path("weather", "723170TYA.CSV.gz")
    (tmp_path / "weather").mkdir()
    (tmp_path / "sheets").mkdir()
    (tmp_path / "weather" / "own.csv.gz").write_bytes(source.read_bytes())
    monkeypatch.chdir(tmp_path)
    spot = find_spot("weather/own.csv.gz", Path("sheets"))
    assert spot == Spot("../weather/own.csv.gz")
    assert find_spot("weather/own.csv.gz", Path()) == Spot("weather/own.csv.gz")
    whole = str(tmp_path / "weather" / "own.csv.gz")
    assert find_spot(whole, Path("sheets")) == Spot(whole)
    file = write_new(tmp_path / "sheets" / "van.yaml", Start(spot))
    assert loads_text(file.read_text(encoding="utf-8")).site.place == "../weather/own.csv.gz"


@pytest.mark.parametrize("text", ["", "Nowhereville", "mi\tami", "m" * 500, "91, 0", "no.csv"])
def test_a_place_that_is_none_is_refused(text, tmp_path):
    with pytest.raises((OptionError, WeatherError)) as caught:
        find_spot(text, tmp_path)
    assert "\n" not in str(caught.value)


@given(st.text(st.characters(blacklist_categories=("Cc", "Cs", "Cf", "Zl", "Zp")), min_size=1))
def test_any_name_of_a_place_is_read_again_as_it_was(text):
    if text.split():
        read = read_tree(f"site: {_scalar(text)}    # a comment\n", "sheet").plain()
        assert read == {"site": " ".join(text.split())}


def _full(*_args, **_kwargs):
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize(
    ("broken", "how"),
    [
        ("os.fdopen", _full),
        ("os.chmod", _full),
        ("tempfile.mkstemp", PermissionError(13, "denied")),
    ],
)
def test_a_full_disk_or_a_shut_folder_leaves_nothing(broken, how, tmp_path, monkeypatch):
    def fails(*args, **kwargs):
        raise how if isinstance(how, Exception) else OSError(errno.ENOSPC, "No space left")

    monkeypatch.setattr(broken, fails)
    with pytest.raises(OptionError, match=r"a place that can be written to \((No space|denied)"):
        write_new(tmp_path / "van.yaml")
    assert list(tmp_path.iterdir()) == []


def test_without_hard_links_a_full_disk_leaves_nothing(tmp_path, monkeypatch):
    class Full:
        def __init__(self, *_: object, **__: object) -> None:
            (tmp_path / "van.yaml").touch()

        def __enter__(self) -> Full:
            return self

        def __exit__(self, *_: object) -> None:
            pass

        write = _full

    def refuse(*_: object) -> None:
        raise PermissionError("no hard links here")

    monkeypatch.setattr(os, "link", refuse)
    monkeypatch.setattr("builtins.open", Full)
    with pytest.raises(OptionError, match="No space"):
        write_new(tmp_path / "van.yaml")
    monkeypatch.undo()
    assert list(tmp_path.iterdir()) == []


def test_a_name_that_no_file_can_have_is_told(tmp_path):
    refuse_taken(tmp_path / "a\0b")  # told where it is written
    with pytest.raises(OptionError, match="a place that can be written to"):
        write_new(tmp_path / "a\0b")
