"""The diagram of a place's year, in climates of every sort."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest

from bedwright.climate import Season, make_season
from bedwright.draw import frost_chart, season_chart
from bedwright.draw.labels import EM_WIDTH
from bedwright.draw.season_chart import Box, _hatch
from bedwright.draw.svg import Canvas
from bedwright.growth import outlook_of
from bedwright.units import System
from conftest import weather_at

SVG = "{http://www.w3.org/2000/svg}"
PLACES = {
    "mild": (53.27, -9.05),
    "cold": (62.0, 129.7),
    "frost all year": (46.55, 8.0),
    "hot and wet": (1.3, 103.85),
    "southern": (-37.8, 144.97),
    "desert": (33.45, -112.07),
    "rains by the metre": (25.28, 91.72),
    "no frost at even odds": (-33.9, 18.4),
}


@pytest.fixture(scope="module", params=PLACES)
def season(request: pytest.FixtureRequest) -> Season:
    return make_season(weather_at(*PLACES[request.param]), 2027, None, 0)


def words(canvas: Canvas) -> Iterator[tuple[str, Box]]:
    """Every text of a picture with the room it takes."""
    for element in ElementTree.fromstring(canvas.render()).iter(f"{SVG}text"):
        text, size = element.text or "", float(element.get("font-size", "0"))
        wide, x, y = (
            len(text) * EM_WIDTH * size,
            float(element.get("x", "0")),
            float(element.get("y", "0")),
        )
        left = x - {"middle": wide / 2, "end": wide}.get(element.get("text-anchor", ""), 0.0)
        yield text, Box(left, y - 0.72 * size, left + wide, y + 0.2 * size)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_words_are_clipped_or_lie_on_others(season: Season, units: System) -> None:
    for canvas in (season_chart(outlook_of(season), units), frost_chart(season, units)):
        found = list(words(canvas))
        for text, box in found:
            assert box.left >= 0, text
            assert box.right <= canvas.width, text
            assert box.top >= 0, text
            assert box.bottom <= canvas.height, text
        for (one, a), (other, b) in itertools.combinations(found, 2):
            apart = a.right <= b.left or b.right <= a.left or a.bottom <= b.top or b.bottom <= a.top
            assert apart, f"{one} on {other}"


def test_the_dates_beside_the_bars_are_those_of_the_odds(clemson: Season) -> None:
    found = [text for text, _ in words(frost_chart(clemson, "metric"))]
    days = [clemson.day(clemson.freeze(True).day_at(odds)) for odds in (0.5, 0.1)]
    assert " · ".join(f"{day.day} {day:%b}" for day in days) in found
    days = [clemson.day(clemson.freeze(False).day_at(odds)) for odds in (0.1, 0.5)]
    assert " · ".join(f"{day.day} {day:%b}" for day in days) in found


def test_a_place_without_frost_says_so_in_every_row() -> None:
    season = make_season(weather_at(*PLACES["hot and wet"]), 2027, None, 0)
    found = [text for text, _ in words(season_chart(outlook_of(season), "metric"))]
    assert found.count("in fewer than one year in ten") == 4
    assert "freezing" not in found


def test_months_stand_in_the_order_of_the_growing_year_with_their_figures() -> None:
    season = make_season(weather_at(*PLACES["southern"]), 2027, None, 0)
    outlook = outlook_of(season)
    found = [text for text, _ in words(season_chart(outlook, "metric"))]
    assert [t for t in found if t in ("Jan", "Apr", "Jul", "Oct")] == ["Jul", "Oct", "Jan", "Apr"]
    hours, minutes = divmod(round(outlook.months[0].day_h * 60), 60)
    assert f"{hours}:{minutes:02d}" in found
    assert f"{outlook.months[0].rain_mm[0]:.0f}" in found


def test_days_and_nights_differ_without_colour(galway: Season) -> None:
    """By the weight of the step and by the slant of the hatching."""
    root = ElementTree.fromstring(season_chart(outlook_of(galway), "metric").render())
    steps = [p for p in root.iter(f"{SVG}path") if p.get("stroke-linejoin") == "miter"]
    assert len({p.get("stroke-width") for p in steps}) == len(steps) == 2


@pytest.mark.parametrize("rising", [True, False])
def test_hatching_stays_in_its_box_at_an_even_pitch(rising: bool) -> None:
    canvas, box = Canvas(50.0, 30.0, "hatching"), Box(3.1, 4.2, 21.7, 9.9)
    _hatch(canvas, box, 1.1, rising, stroke="black")
    (path,) = ElementTree.fromstring(canvas.render()).iter(f"{SVG}path")
    ends = [float(v) for v in re.findall(r"-?[\d.]+", path.get("d", ""))]
    lines = [ends[n : n + 4] for n in range(0, len(ends), 4)]
    marks = []
    for xa, ya, xb, yb in lines:
        assert box.left - 0.01 <= xa < xb <= box.right + 0.01
        assert box.top - 0.01 <= min(ya, yb) < max(ya, yb) <= box.bottom + 0.01
        assert abs((yb - ya) - (xa - xb if rising else xb - xa)) < 0.03
        marks.append(xa + ya if rising else xa - ya)
    assert len(lines) > 15
    for one, next_ in itertools.pairwise(sorted(marks)):
        assert next_ - one == pytest.approx(1.1, abs=0.03)
