"""Texts of a page: both unit systems, cleaned, and escaped whatever a user writes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from markupsafe import Markup

from vanclimate.page import ink
from vanclimate.page.make import render
from vanclimate.page.parts import (
    LONGEST,
    Assumption,
    Block,
    Both,
    Page,
    Picture,
    Table,
    both,
    clean,
)

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    "</title></style><svg onload=alert(1)>",
    "{{ 7 * 7 }} {% raw %} &amp; &#60;",
    "\u202eright to left\u202c \u200f\u2066",
    "van \U0001f690\u200d\U0001f525 caf\u00e9 \u96ea",
    "x" * 10_000,
    "null \x00 bell \x07 escape \x1b[31m",
)


def page_of(text: str) -> Page:
    return Page(
        question=text, answer="no", verdict=text, says=(text,),
        picture=Picture(Markup("<svg></svg>"), None, text),
        assumptions=(Assumption(text, text, text),), changes_title=text, changes=(text,),
        cautions=(text,), place=text, van=text, prepared=(text,), warnings=(text,),
        blocks=(Block(text, table=Table((text, text), ((text, text),), text),
                      facts=((text, text),), notes=(text,)),),
    )  # fmt: skip


def rendered(page: Page) -> str:
    return render(clean(page), "us", clean(page.question), clean(page.van))


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_no_text_of_a_user_becomes_markup(text):
    page, plain = rendered(page_of(text)), rendered(page_of("plain"))
    for sign in "<>":  # no tag more than a harmless text has
        assert page.count(sign) == plain.count(sign)
    assert page.count('"') == plain.count('"')
    assert "alert(1)>" not in page
    assert not set(page) & set("\x00\x07\x1b\u202e\u202c\u200f\u2066")
    assert "49" not in page


def test_a_long_text_is_cut_and_says_so():
    cut = both(page_of("y" * 10_000), page_of("y" * 10_000))
    assert len(cut.question) <= LONGEST
    assert cut.question.endswith(" …")


def test_texts_that_differ_show_both_and_those_that_do_not_one():
    laid = both(replace(page_of("a"), verdict="5 <F°"), replace(page_of("a"), verdict="3 K"))
    assert laid.question == "a"
    assert isinstance(laid.verdict, Both)
    assert laid.verdict.__html__() == '<span class="us">5 &lt;F°</span><span class="si">3 K</span>'


def test_pages_that_are_not_built_alike_are_refused():
    with pytest.raises(ValueError, match="parts"):
        both(page_of("a"), replace(page_of("a"), says=("a", "b")))


def luminance(colour: str) -> float:
    """Return the relative luminance of WCAG 2.1."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("name", ["ink", "soft", "yes", "no", "inside", "outside", "bank", "device",
                                  "water", "sun"])  # fmt: skip
def test_words_stand_out_from_paper_by_4_5_to_1(name, dark):
    """WCAG 2.1, success criterion 1.4.3."""
    for ground in ("paper", "wash"):
        one, other = (luminance(ink.INKS[x][dark]) for x in (name, ground))
        ratio = (max(one, other) + 0.05) / (min(one, other) + 0.05)
        assert ratio >= 4.5, (ground, ratio)


def test_a_chart_carries_no_fixed_colour_nor_inner_marks_of_another():
    with ink.looks():
        figure = ink.figure(340, 200)
        axes = figure.subplots()
        axes.plot([0, 1], [0, 1], color=ink.light("inside"))
        axes.set_title("5 $ & <b>")
        ink.hover(axes, 0, 1, "<i>")
        one, other = ink.svg(figure, "one", 'says "so"'), ink.svg(figure, "other", "x")
    assert "#" not in one.replace('href="#', "").replace("url(#", "")
    assert 'aria-label="says &quot;so&quot;"' in one
    assert "<title>&lt;i&gt;</title>" in one
    assert "5 $ &amp; &lt;b&gt;" in one

    def marks(text: str) -> set[str]:
        return {part.split('"')[0] for part in text.split(' id="')[1:]}

    assert marks(one)
    assert not marks(one) & marks(other)
