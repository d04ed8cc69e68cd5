"""What the sheets say of where their dates come from."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from bedwright.brief import KnownFrost, Span
from bedwright.climate import make_season
from bedwright.plan import Plan
from bedwright.report import say
from bedwright.report.words import season_lines
from conftest import brief_of, weather_at


def why_dig(plan: Plan) -> str:
    return next(x.working for x in season_lines(plan) if x.label == "Ground can be worked")


def test_the_day_of_digging_says_what_decided_it(oval: Plan) -> None:
    day = oval.season.day(oval.dig)

    def with_dates(**given: object) -> Plan:
        dates = oval.brief.dates.model_copy(update={"begin": None, "away": (), **given})
        return replace(oval, brief=oval.brief.model_copy(update={"dates": dates}))

    soil = "soil at 4.5 °C (40 °F) in half of all years and ten hours of day"
    assert why_dig(with_dates()) == soil
    assert why_dig(with_dates(begin=day)) == "the day stated"
    assert why_dig(with_dates(begin=day - timedelta(days=20))) == soil
    away = Span(start=day - timedelta(days=9), end=day - timedelta(days=1))
    assert why_dig(with_dates(away=(away,))) == f"{soil}, and you are back"


@pytest.mark.parametrize(
    ("source", "words"),
    [
        ("my own notebook", "frost dates as stated (source: my own notebook)"),
        (None, "stated frost dates"),
        ("as stated", "frost dates as stated (source: as stated)"),
        ("", "stated frost dates"),
    ],
)
def test_stated_frost_dates_say_whose_they_are(source: str | None, words: str) -> None:
    frost: dict[str, object] = {
        "last_spring": {"50%": "04-21"},
        "first_autumn": {"50%": "11-04"},
    }
    if source is not None:
        frost["source"] = source
    brief = brief_of(place={"latitude": 53.27, "longitude": -9.05, "frost": frost})
    assert isinstance(brief.place.frost, KnownFrost)
    season = make_season(weather_at(53.27, -9.05), 2027, brief.place.frost, 0)
    assert say(season.basis, "metric").startswith(f"{words}; heat and rain")
