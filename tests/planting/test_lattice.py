"""The lattice that stands most plants: its map of the ground is a short cut and no more."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from bedwright.planting.place import lattice


@pytest.mark.parametrize("seed", range(5))
def test_the_map_changes_nothing(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """A map so coarse that each place is looked at by itself gives the same places."""
    rng = np.random.default_rng(seed)
    angles = np.linspace(0, 2 * np.pi, 9, endpoint=False)
    corners = np.column_stack([1.4 * np.cos(angles), np.sin(angles)])
    ground = shapely.Polygon(corners * rng.uniform(0.5, 1.2, (9, 1))).buffer(0.05)
    ground = ground.difference(shapely.Point(0.2, 0.1).buffer(0.17))
    near = np.column_stack([rng.uniform(-1.3, 1.3, (6, 2)), rng.uniform(0.1, 0.3, 6)])
    places = lattice.fill(ground, 0.21, 0.3, near)
    monkeypatch.setattr(lattice, "CELLS", 0.1)
    assert (lattice.fill(ground, 0.21, 0.3, near) == places).all()
    assert len(places) > 10
    assert shapely.contains_xy(ground.buffer(1e-9), places[:, 0], places[:, 1]).all()
    gaps = np.hypot(*(places[:, None] - near[None, :, :2]).transpose(2, 0, 1))
    assert (gaps >= near[:, 2] - 1e-9).all()
    apart = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    assert apart[np.triu_indices(len(places), 1)].min() >= 0.21 - 1e-9


def test_no_ground_holds_no_plants() -> None:
    assert len(lattice.fill(shapely.Polygon(), 0.2, 0.0, np.empty((0, 3)))) == 0
    crowded = np.array([[0.05, 0.05, 0.3]])
    assert len(lattice.fill(shapely.box(0, 0, 0.1, 0.1), 0.2, 0.0, crowded)) == 0
