"""What the sheets say of where their dates come from."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from bedwright.brief import KnownFrost, Span
from bedwright.cli.plan import _source
from bedwright.climate import make_season
from bedwright.export.sheets import _doubt
from bedwright.plan import Plan
from bedwright.report import say
from bedwright.report.words import certainty, season_lines
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


DATES = {"last_spring": {"50%": "04-21"}, "first_autumn": {"50%": "11-04"}}


@pytest.mark.parametrize(
    ("frost", "words"),
    [
        (DATES, "the stated dates"),
        ({**DATES, "light": True}, "the stated dates of light frost"),
        ("none", "the statement that there is no frost"),
        ("frost from November to March", "the stated months of frost"),
        ("frost one year in five", "the stated odds of frost"),
        ("frost in January one year in five", "the stated months and odds of frost"),
        ({"light": True}, "the statement that frost is light"),
    ],
)
def test_what_is_stated_of_frost_is_named_alike_everywhere(
    oval: Plan, frost: object, words: str
) -> None:
    brief = brief_of(place={"latitude": 53.27, "longitude": -9.05, "frost": frost})
    season = make_season(weather_at(53.27, -9.05), 2027, brief.place.frost, 0)
    assert season.source == "dates"
    assert certainty(season, "metric") == f"As sure as {words}."
    assert f"autumn dates are from {words}." in certainty(
        replace(season, spring_past=True), "metric"
    )
    assert "as stated" in say(season.basis, "metric") or "stated frost" in say(season.basis, "us")
    assert _source(replace(oval, season=season)) == words
    assert _doubt(replace(oval, season=season)) == ""


def test_every_page_says_that_dates_are_joined(oval: Plan) -> None:
    normals = make_season(weather_at(53.27, -9.05), 2027, None, 0)
    joined = replace(normals, source="joined")
    days = f"{normals.doubt_days:.0f} days"
    for season, words in ((normals, "normals"), (joined, "normals and a few years on record")):
        plan = replace(oval, season=season)
        assert _doubt(plan) == f"frost dates from {words}, ± {days}: ask locally"
        told = words if season is joined else "normals alone"
        assert _source(plan) == f"world {told} (uncertain by about {days}; ask locally)"


def test_how_seldom_it_freezes_is_told_in_the_briefs_degrees() -> None:
    season = make_season(weather_at(-33.87, 151.2), 2027, None, 0)
    doubt = season.doubt_c
    assert f"nights may be {doubt:.1f} °C colder or milder" in certainty(season, "metric")
    assert f"nights may be {doubt * 1.8:.1f} °F colder or milder" in certainty(season, "us")
