"""Sun position against NREL's worked example.

I. Reda and A. Andreas, Solar Position Algorithm for Solar Radiation Applications,
NREL/TP-560-34302,
2003, the example of its appendix.  State: copy (expected output of the published tester, the same
in several public copies).
"""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from bedwright.light import sun_position

TOLERANCE_DEG = 0.02
"""Our method is good to 0.01 degree; the example's air (820 mbar, 11 °C at 1,830 m) lifts the sun
by 0.003 degree less than ours does."""


def test_the_worked_example() -> None:
    # 17 October 2003, 12:30:30 at UTC-7, 39.742476 N, 105.1786 W.
    instant = datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC).timestamp()
    elevation, azimuth = sun_position(np.array([instant]), 39.742476, -105.1786)
    assert 90 - elevation[0] == pytest.approx(50.111622, abs=TOLERANCE_DEG)
    assert azimuth[0] == pytest.approx(194.340241, abs=TOLERANCE_DEG)


def test_the_check_can_see_a_wrong_year() -> None:
    # The same inputs dated 2004 give 50.391411 and 194.311962 (a known slip in copies).
    instant = datetime(2004, 10, 17, 19, 30, 30, tzinfo=UTC).timestamp()
    elevation, azimuth = sun_position(np.array([instant]), 39.742476, -105.1786)
    assert 90 - elevation[0] == pytest.approx(50.391411, abs=TOLERANCE_DEG)
    assert azimuth[0] == pytest.approx(194.311962, abs=TOLERANCE_DEG)
