"""Shared places, seasons and plans; each is made once a session."""

from __future__ import annotations

import os
import shutil
import tempfile
import warnings
from collections.abc import Callable, Iterator
from datetime import date
from functools import cache
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings

from bedwright.brief import Brief, read_brief
from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.climate import (
    Season,
    Site,
    Weather,
    make_season,
    normals_at,
    soil_temperature,
    turn_in_heat,
    workable_day,
)
from bedwright.growth import Course, courses_of
from bedwright.inputs import read_record
from bedwright.inputs.checks import checks
from bedwright.inputs.gather import gather
from bedwright.plan import Plan, make_plan
from shared import made_once

pytest_plugins = ["page", "browsing"]

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
CLEMSON = EXAMPLES / "weather/clemson.csv"
TODAY = date(2026, 11, 25)

# The same examples in every run, so that a change is judged by what it changes; the profile
# "random" tries others (HYPOTHESIS_PROFILE=random script/test tests/...).  No time limits: speed is
# measured by benchmarks, and a machine that is busy or asleep fails no test.
PROFILE = os.environ.get("HYPOTHESIS_PROFILE", "fixed")
UNTIMED = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}
settings.register_profile("fixed", derandomize=True, **UNTIMED)
settings.register_profile("random", print_blob=True, **UNTIMED)
# For script/mutate, which asks only whether a property holds, not for the smallest example.
settings.register_profile(
    "mutants", derandomize=True, phases=(Phase.explicit, Phase.generate), **UNTIMED
)
settings.load_profile(PROFILE)


def examples(fixed: int) -> int:
    """How many examples a slow property is tried on; ten times as many where they are random."""
    return 10 * fixed if PROFILE == "random" else fixed


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
    turn = turn_in_heat(latitude, normals)
    return Weather(Site("here", latitude, longitude, normals.altitude_m, heat_turn=turn), normals)


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


@pytest.fixture(scope="session")
def folder_of_run(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """A folder that all workers of a run share."""
    folder = tmp_path_factory.getbasetemp()
    return folder if worker_id == "master" else folder.parent


@pytest.fixture(scope="session")
def plan_of(catalogue: Catalogue, folder_of_run: Path) -> Callable[[str], Plan]:
    """The plan of an example brief, by its name; made once, for all workers of a run."""

    @cache
    def planned(name: str) -> Plan:
        brief, weather = gather(EXAMPLES / f"{name}.toml", catalogue, TODAY)
        return made_once(
            folder_of_run / f"{name}.plan",
            lambda: make_plan(brief, catalogue=catalogue, weather=weather),
        )

    return planned


@pytest.fixture(scope="session", params=sorted(p.stem for p in EXAMPLES.glob("*.toml")))
def example(request: pytest.FixtureRequest, plan_of: Callable[[str], Plan]) -> Plan:
    """The plan of each example brief."""
    return plan_of(request.param)


@pytest.fixture(scope="session")
def oval(plan_of: Callable[[str], Plan]) -> Plan:
    return plan_of("front-walk-oval")


_DATABASES = count()


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """The address of a PostgreSQL server on a private socket, which ends with the tests.  Its
    folder is none of pytest's, which a server that does not run as root could not enter."""
    folder = Path(tempfile.mkdtemp(prefix="bedwright-pg-"))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of folders that a container does not have
        import pgserver

        server = pgserver.get_server(folder, cleanup_mode="stop")
    yield server.get_uri()
    server.cleanup()
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(params=["file", "postgresql"])
def url(request: pytest.FixtureRequest) -> str | None:
    """What a store is opened by: None for a file, or an empty database's address."""
    if request.param == "file":
        return None
    import psycopg

    address: str = request.getfixturevalue("postgresql")
    name = f"garden_{next(_DATABASES)}"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")  # type: ignore[arg-type]
    return address.replace("/postgres?", f"/{name}?")
