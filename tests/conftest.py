"""Shared places, seasons and plans; each is made once a session."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest
from hypothesis import settings

from bedwright.brief import Brief, read_brief
from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.climate import (
    Season,
    Site,
    Weather,
    make_season,
    normals_at,
    soil_temperature,
    workable_day,
)
from bedwright.growth import Course, courses_of
from bedwright.inputs import read_record
from bedwright.inputs.checks import checks
from bedwright.inputs.gather import gather
from bedwright.plan import Plan, make_plan

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
CLEMSON = EXAMPLES / "weather/clemson.csv"
TODAY = date(2026, 11, 25)

# The same examples in every run, so that a change is judged by what it changes; the profile
# "random" tries others (HYPOTHESIS_PROFILE=random script/test tests/...).  No time limits: speed is
# measured by benchmarks.
settings.register_profile("fixed", derandomize=True, deadline=None)
settings.register_profile("random", deadline=None, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "fixed"))


def brief_of(**tables: object) -> Brief:
    """A checked brief of a two by four metre bed in Galway, unless ``tables`` say otherwise."""
    given: dict[str, object] = {
        "place": {"latitude": 53.27, "longitude": -9.05},
        "season": {"year": 2027},
        "bed": {"shape": "rectangle", "length": "4 m", "width": "2 m"},
    }
    return read_brief({**given, **tables}, checks(load_catalogue()))


def weather_at(latitude: float, longitude: float, altitude_m: float | None = None) -> Weather:
    normals = normals_at(latitude, longitude, altitude_m)
    return Weather(Site("here", latitude, longitude, normals.altitude_m), normals)


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return load_catalogue()


@pytest.fixture(scope="session")
def galway() -> Season:
    return make_season(weather_at(53.27, -9.05), 2027, None, 0)


@pytest.fixture(scope="session")
def clemson_weather() -> Weather:
    base = weather_at(34.68, -82.84, 220.0)
    return Weather(base.site, base.normals, read_record(CLEMSON))


@pytest.fixture(scope="session")
def clemson(clemson_weather: Weather) -> Season:
    return make_season(clemson_weather, 2027, None, 0)


@pytest.fixture(scope="session")
def courses(catalogue: Catalogue, galway: Season) -> dict[str, Course]:
    soil = soil_temperature(galway.tmean_c)
    ready = workable_day(galway, soil) + 14
    return courses_of(catalogue, galway, soil, ready, 0.1, True, -120)


@pytest.fixture(scope="session", params=sorted(p.stem for p in EXAMPLES.glob("*.toml")))
def example(request: pytest.FixtureRequest, catalogue: Catalogue) -> Plan:
    """The plan of each example brief."""
    brief, weather = gather(EXAMPLES / f"{request.param}.toml", catalogue, TODAY)
    return make_plan(brief, catalogue=catalogue, weather=weather)


@pytest.fixture(scope="session")
def oval(catalogue: Catalogue) -> Plan:
    brief, weather = gather(EXAMPLES / "front-walk-oval.toml", catalogue, TODAY)
    return make_plan(brief, catalogue=catalogue, weather=weather)
