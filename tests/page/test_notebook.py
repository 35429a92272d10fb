"""An answer shows itself in a notebook, and every kind of answer has its page's picture."""

from __future__ import annotations

import inspect
from importlib import import_module

import pytest

import vanclimate as vc
from vanclimate.answers.shown import Shown
from vanclimate.cache import data_path
from vanclimate.page.make import MAKERS


@pytest.fixture(scope="module")
def night() -> vc.Night:
    return vc.night(vc.load(data_path("scenarios", "holds.yaml")))


def test_it_shows_its_verdict_figures_and_cautions_and_runs_nothing(night):
    html = night._repr_html_()
    assert "Holds: 25 % of the bank" in html
    assert "<svg" in html
    assert "margin of charge" in html
    assert all(caution in html for caution in night.cautions)
    assert "<script" not in html
    assert "http" not in html.replace('xmlns:xlink="http://www.w3.org/1999/xlink"', "").replace(
        'xmlns="http://www.w3.org/2000/svg"', ""
    )


def test_its_chart_is_a_figure_that_can_be_saved(night, tmp_path):
    from matplotlib.figure import Figure

    chart = night.plot()
    assert isinstance(chart, Figure)
    assert chart._repr_svg_().startswith("<svg")
    chart.savefig(tmp_path / "night.png")
    assert (tmp_path / "night.png").read_bytes().startswith(b"\x89PNG")
    assert night.plot(width=340).get_figwidth() < chart.get_figwidth()


@pytest.mark.parametrize("module", MAKERS.values())
def test_every_question_has_pictures_a_chart_and_a_page(module):
    maker = import_module(f"vanclimate.page.{module}")
    for name, count in (("pictures", 1), ("draw", 2), ("page", 3)):
        assert len(inspect.signature(getattr(maker, name)).parameters) == count


def test_every_answer_of_the_package_shows_itself():
    answers = [getattr(vc, name) for name in MAKERS if name in vc.__all__]
    assert len(answers) == 6
    assert all(issubclass(answer, Shown) for answer in answers)
