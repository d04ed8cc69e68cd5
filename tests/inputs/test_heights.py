"""Whose height a place has: the gardener's, the town's, or the climate grid's."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from bedwright.climate import Season, Weather, all_towns, make_season, normals_at
from bedwright.climate.ensemble import HeightFrom
from bedwright.growth import outlook_of
from bedwright.inputs.gather import site_of, weather_of
from bedwright.report import heading
from conftest import brief_of


def weather(**place: Any) -> Weather:
    brief = brief_of(place=place)
    return weather_of(brief, site_of(brief), None)


def season(**place: Any) -> Season:
    return make_season(weather(**place), 2027, None, 0)


INNSBRUCK = (47.26266, 11.39454)


@pytest.mark.parametrize(
    ("place", "known", "height"),
    [
        ({"town": "Innsbruck"}, "town", 587.0),
        ({"town": "Innsbruck", "altitude": "900 m"}, "stated", 900.0),
        ({"latitude": INNSBRUCK[0], "longitude": INNSBRUCK[1]}, "grid", 1562.0),
        # A spot that only bears a town's name need not lie in it.
        (
            {"town": "Innsbruck", "latitude": INNSBRUCK[0], "longitude": INNSBRUCK[1]},
            "grid",
            1562.0,
        ),
    ],
)
def test_the_gardeners_height_comes_before_the_towns_and_that_before_the_grids(
    place: dict[str, Any], known: HeightFrom, height: float
) -> None:
    here = weather(**place)
    assert here.site.height_from == known
    assert here.site.altitude_m == pytest.approx(height, abs=2)
    assert here.normals.altitude_m == here.site.altitude_m


def test_a_town_of_unknown_height_has_the_grids() -> None:
    town = next(town for town in all_towns() if town.altitude_m is None)
    here = weather(town=town.label)
    assert here.site.height_from == "grid"
    grid = normals_at(town.latitude, town.longitude)
    assert here.normals == grid
    assert here.site.altitude_m == grid.altitude_m


def test_a_valleys_town_is_warmer_than_the_land_about_it_and_surer() -> None:
    town = season(town="Innsbruck")
    land = season(latitude=INNSBRUCK[0], longitude=INNSBRUCK[1])
    here, about = weather(town="Innsbruck"), normals_at(*INNSBRUCK)
    warmer = np.array(here.normals.mean_c) - about.mean_c
    assert np.allclose(warmer, 0.006 * (about.altitude_m - 587.0), atol=0.05)
    early, late = (s.freeze(True).day_at(0.5) for s in (town, land))
    assert early is not None
    assert late is not None
    assert early < late - 20
    assert town.doubt_c < land.doubt_c


def test_the_heading_says_whose_height_it_is() -> None:
    spot = {"latitude": INNSBRUCK[0], "longitude": INNSBRUCK[1]}
    town, stated, grid = (
        heading(outlook_of(season(**place)))
        for place in ({"town": "Innsbruck"}, {"town": "Innsbruck", "altitude": "900 m"}, spot)
    )
    assert "587 m above the sea, the town's height" in town
    assert "state yours" not in town
    assert "900 m above the sea ·" in stated
    assert "by the climate grid (state yours if it differs)" in grid


def test_four_towns_in_five_and_nine_people_in_ten_have_a_height() -> None:
    towns = list(all_towns())
    known = [town for town in towns if town.altitude_m is not None]
    assert len(known) / len(towns) >= 0.8
    people = sum(town.population for town in known) / sum(town.population for town in towns)
    assert people >= 0.9
    # From the shores of the Dead Sea to La Rinconada.
    assert all(-430 <= town.altitude_m <= 5200 for town in known if town.altitude_m is not None)
