"""A forecast of the night, as it is typed."""

from __future__ import annotations

import pytest

from bedwright.journal import forecast_in
from bedwright.units import System


@pytest.mark.parametrize(
    ("line", "units", "celsius"),
    [
        ("minus 1 tonight", "metric", -1.0),
        ("tonight -2 °C", "metric", -2.0),
        ("tonight −2,5", "metric", -2.5),
        ("forecast: 3 degrees tonight", "metric", 3.0),
        ("28 F tonight", "metric", -20.0 / 9.0),
        ("28 tonight", "us", -20.0 / 9.0),
        ("-2 c tonight", "us", -2.0),
        ("2 degrees of frost tonight", "metric", -2.0),
        ("2 below tonight", "metric", -2.0),
        ("tomorrow night 0", "metric", 0.0),
        ("frost last night -2", "metric", None),
        ("was -2 tonight", "metric", None),
        ("sowed cosmos 24", "metric", None),
        ("tonight between -1 and 2", "metric", None),
        ("tonight 200", "metric", None),
        ("tonight", "metric", None),
    ],
)
def test_a_forecast_is_read(line: str, units: System, celsius: float | None) -> None:
    found = forecast_in(line, units)
    if celsius is None:
        assert found is None
    else:
        assert found == pytest.approx(celsius)
