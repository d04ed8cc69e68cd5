"""Freeze dates of a record's 30 years against the years that followed them.

Clemson's daily record, 1930-2020 (as in ``test_clemson_freezes.py``): what the tool would have said
in each year from 1960 on is held against what came (``tools/judge_records.py``, which does the same
for a folder of records).
"""

from __future__ import annotations

import pytest

from bedwright.inputs import read_record
from conftest import CLEMSON
from judge_records import ODDS, TENTH, Passed, passed
from stations import weather_of


@pytest.fixture(scope="module", params=[True, False], ids=["spring", "autumn"])
def clemson(request: pytest.FixtureRequest) -> Passed:
    return passed(read_record(CLEMSON), weather_of(34.68, -82.84), request.param)


def test_dates_at_one_in_ten_are_past_in_about_one_year_of_ten(clemson: Passed) -> None:
    assert clemson.windows > 50
    assert 0.05 <= clemson.soon[TENTH] <= 0.15
    assert 0.05 <= clemson.later[TENTH] <= 0.15
    assert 0.05 <= clemson.before[TENTH] <= 0.15


def test_rarer_dates_are_past_in_fewer_years(clemson: Passed) -> None:
    for shares in (clemson.soon, clemson.later, clemson.before):
        assert list(shares) == sorted(shares, reverse=True)
    assert 0.1 <= clemson.soon[1] <= 0.3
    assert 0.02 <= clemson.soon[3] <= 0.08


def test_what_the_years_to_come_lack_those_before_have_too_much(clemson: Passed) -> None:
    """The season free of freezes grows longer: dates at even odds are past too seldom afterwards,
    too often before.  Over both sides every date is past about as often as it says."""
    assert clemson.soon[0] < 0.5 < clemson.before[0]
    for at, odds in enumerate(ODDS):
        both = (clemson.soon[at] + clemson.before[at]) / 2
        assert both == pytest.approx(odds, abs=0.06)
