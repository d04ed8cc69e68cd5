"""The table of the ground work's rates."""

from __future__ import annotations

from typing import get_args

import pytest

from bedwright.brief import GroundFound
from bedwright.ground.clear import SOIL_KG_M3
from bedwright.ground.rates import dig_minutes_m2, rate_rows, rates

UNSOURCED = ("common practice, no source", "estimate", "from memory")


@pytest.mark.parametrize("row", rate_rows(), ids=lambda row: row["key"])
def test_each_rate_names_its_source(row: dict[str, str]) -> None:
    """A publication that was read, or that there is none."""
    assert row["unit"]
    assert float(row["value"]) > 0.0
    assert "(read)" in row["source"] or row["source"].startswith(UNSOURCED)


def test_each_rate_stands_once() -> None:
    assert len(rate_rows()) == len(rates())


def test_every_texture_of_a_brief_has_a_rate_of_digging() -> None:
    textures = get_args(GroundFound.model_fields["texture"].annotation)
    assert set(textures) == set(SOIL_KG_M3)
    assert dig_minutes_m2("sand") < dig_minutes_m2("silt loam") < dig_minutes_m2("clay")
