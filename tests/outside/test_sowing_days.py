"""Days of sowing outdoors against those on which gardeners sow, of ``data/outdoor_flowering.csv``.

A day given in words, such as "early spring", is our reading of them, so ten days either way are
noise; a plan sows on the first day that its risk allows, a gardener some time after it.
"""

from __future__ import annotations

import numpy as np

from bedwright.catalogue import Catalogue
from bedwright.climate import soil_temperature
from bedwright.growth import Outdoors, Way, bloom_of
from fit_growth import ROWS, Row, read_rows, season_at

RISK = 0.1


def outdoors_at(place: str) -> Outdoors:
    """When plants may go outside at a place, at the usual risk."""
    season = season_at(place)
    return Outdoors(season, soil_temperature(season.tmean_c), RISK)


def sown_in_place(catalogue: Catalogue, group: str) -> list[Row]:
    """Rows sown in place, of a climate or of autumn."""
    rows = read_rows(ROWS, catalogue)
    return [row for row in rows if row.way.in_place and row.group == group]


def test_hardy_seed_in_place_does_not_wait_for_weeks(catalogue: Catalogue) -> None:
    """In cool summers; gardeners sow hardy annuals there from the middle of March on."""
    rows = [r for r in sown_in_place(catalogue, "cool, in place") if r.kind.hardiness == "hardy"]
    assert len(rows) >= 25
    off = [outdoors_at(row.place).sowing_day(row.kind).day - row.way.sown for row in rows]
    assert abs(np.median(off)) <= 14
    assert np.mean(np.array(off) > 28) < 0.1


def test_hardy_annuals_are_sown_in_autumn_when_growers_do(catalogue: Catalogue) -> None:
    """In the South of the United States: October and the first days of November."""
    rows = sown_in_place(catalogue, "sown in autumn")
    assert len(rows) >= 10
    days = [(outdoors_at(row.place).autumn_day, row.way.sown) for row in rows]
    assert all(day is not None for day, _ in days)
    off = np.array([day - sown for day, sown in days if day is not None])
    assert abs(np.median(off)) <= 14
    assert np.mean(np.abs(off) <= 28) >= 0.8


def test_pansies_set_out_in_october_flower_from_winter_to_the_heat(catalogue: Catalogue) -> None:
    """In the hills of Georgia they are the flower most planted in autumn, give colour in autumn,
    winter and spring, most of it in spring, and are pulled out when hot weather begins (extension
    agent's columns, Gainesville Times, Georgia: "Fall is here" and one more)."""
    season = season_at("34.30 -83.82")
    for key in ("pansy", "viola"):
        kind = catalogue.kinds[key]
        bloom = bloom_of(Way(kind, -140, -85, in_place=False, in_bud=True), season)
        weeks_of_spring = bloom.weekly[9:16]
        assert weeks_of_spring.mean() > 0.6, key
        assert bloom.weekly[:9].mean() > 0.3, key
        # Little is left by the end of June.
        assert bloom.weekly[25] < 0.1, key
