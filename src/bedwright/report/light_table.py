"""The sun on the bed told: month by month, and over each kind's own season."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from bedwright.brief import Brief
from bedwright.catalogue import Catalogue
from bedwright.climate import Season
from bedwright.geometry import Outline
from bedwright.growth import Course
from bedwright.light import Exposure, Light, exposure, exposure_shares
from bedwright.planting import sun_fit
from bedwright.report.words import months_of


class Sunlit(Protocol):
    """A bed in its light: a plan, or what ``bedwright light`` gathers."""

    @property
    def brief(self) -> Brief: ...  # noqa: D102
    @property
    def outline(self) -> Outline: ...  # noqa: D102
    @property
    def season(self) -> Season: ...  # noqa: D102
    @property
    def light(self) -> Light: ...  # noqa: D102


@dataclass(frozen=True)
class BedLight:
    """A bed's light without a plan."""

    brief: Brief
    outline: Outline
    season: Season
    light: Light


@dataclass(frozen=True)
class SunMonth:
    """One month's sun on the bed, hours of direct sun a day under a clear sky.

    ``low``, ``middle``, ``high``: of its patches, the middle one in order of hours; ``shares``: of
    the bed in each exposure; ``morning``: share of its hours before noon; ``cloudy``: the middle
    patch's hours that clouds are expected to leave; ``beam_mj``: energy of the beam on it, MJ/m² a
    day.
    """

    name: str
    fortnight: int
    low: float
    middle: float
    high: float
    shares: dict[Exposure, float]
    morning: float
    cloudy: float
    beam_mj: float


def sun_months(lit: Sunlit) -> list[SunMonth]:
    """The sun month by month, by the fortnight about each month's middle."""
    rows = []
    for index, _ in months_of(lit.season):
        f = min((index + 15) // 14, 25)
        hours, light = lit.light.hours[f], lit.light
        low, middle, high = (float(v) for v in np.quantile(hours, [0.0, 0.5, 1.0]))
        rows.append(
            SunMonth(
                f"{lit.season.day(index + 15):%B}",
                f,
                low,
                middle,
                high,
                exposure_shares(hours),
                float(light.morning[f].sum() / max(hours.sum(), 1e-9)),
                middle * float(light.sunshine[f]),
                float(np.median(light.beam_mj[f])),
            )
        )
    return rows


@dataclass(frozen=True)
class KindSun:
    """The bed's sun over one kind's own season, from planting out to the end of bloom.

    ``first``, ``last``: its days (indices); ``middle``: hours a day of which half the bed has more;
    ``word``: what that is called; ``wants``: least and most hours that suit it; ``suits``: share of
    the bed that does.
    """

    key: str
    name: str
    first: int
    last: int
    middle: float
    word: Exposure
    wants: tuple[float, float]
    suits: float


def kind_suns(light: Light, catalogue: Catalogue, courses: dict[str, Course]) -> list[KindSun]:
    """Every kind of some courses, those that most of the bed suits first."""
    rows = []
    for key, course in courses.items():
        kind, window = catalogue.kinds[key], course.window
        middle = float(np.median(light.over(window)))
        rows.append(
            KindSun(
                key,
                kind.name,
                course.out,
                course.bloom.typical[1] if course.bloom.typical else window.stop * 14 - 1,
                middle,
                exposure(middle),
                (kind.liking.sun_min_h, course.most_sun_h),
                float((sun_fit(kind, course, light) >= 1.0).mean()),
            )
        )
    return sorted(rows, key=lambda row: (-row.suits, row.name.casefold()))
