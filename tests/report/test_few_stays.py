"""What is said of stays whose weather is too little for odds."""

from types import SimpleNamespace

from vanclimate.answers.futures.odds import odds_of
from vanclimate.report import last_words as words


def test_one_stay_s_weather_tells_no_odds():
    week = SimpleNamespace(
        odds=odds_of(285, 300, 1), asked=0.9, lasts=True, days=4, on_shore=False,
        sheet=SimpleNamespace(stay=None), season=SimpleNamespace(words="August", years=None),
        futures={"draw": SimpleNamespace(tolist=lambda: [1, 2])},
    )  # fmt: skip
    assert words.verdict(week, "si") == (
        "Lasts 4 days without shore: 285 of 300 stays tried do, in the weather of one stay alone"
    )
    assert "in the weather of one stay alone, too little for odds" in words.asked_line(week)
    assert words.then_words(week.odds) == "95 % of them"


def test_a_season_tells_them_in_tenths():
    odds = odds_of(331, 1000, 10)
    july = SimpleNamespace(
        odds=odds, sheet=SimpleNamespace(stay=None), season=SimpleNamespace(words="July")
    )
    assert words.share_words(july) == "1 to 6 July stays in 10 do"
    july.sheet.stay = object()
    assert words.share_words(july) == "1 to 6 stays in 10, of July, do"
    assert words.then_words(odds) == "1 to 6 stays in 10"
