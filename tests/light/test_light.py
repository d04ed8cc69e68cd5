from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from awkward import BEDS
from bedwright.geometry import outline_of
from bedwright.light import Light, bodies_of, exposure, sun_hours, sun_position
from bedwright.light.hours import STEP_MINUTES, STEPS, SUNSHINE_W_M2, beam_w_m2, suns_of
from bedwright.season import DAYS, Season
from conftest import brief_of

ALWAYS_IN_LEAF = (0, 365)


def light_of(season: Season, *things: dict[str, object], leaf: tuple[int, int] = ALWAYS_IN_LEAF,
             **bed: object) -> Light:  # fmt: skip
    outline_spec = bed or {"shape": "circle", "diameter": "2 m"}
    brief = brief_of(bed=outline_spec, surroundings=list(things))
    outline = outline_of(brief.bed)
    return sun_hours(outline, bodies_of(outline, brief.surroundings), season, leaf)


WALL = {"kind": "wall", "bearing": "S", "distance": "3 m", "length": "600 m", "height": "3 m",
        "thickness": "20 cm"}  # fmt: skip


def test_nothing_around_means_open_sky(galway: Season) -> None:
    light = light_of(galway)
    assert np.allclose(light.hours, light.open_hours[:, None])
    assert light.open_hours[12] > 15
    assert light.open_hours[25] < 8


def test_a_long_wall_to_the_south_shades_where_the_sun_stands_below_its_top(
    galway: Season,
) -> None:
    # A cell sees the sun when, across the wall, tan(elevation) / cos(azimuth - 180) > top / gap.
    light = light_of(galway, WALL)
    fortnight = 5
    days = slice(fortnight * 14, fortnight * 14 + 14)
    elevation, azimuth = (part.reshape(DAYS, STEPS)[days].ravel() for part in suns_of(galway))
    for cell, hours in zip(light.cells, light.hours[fortnight], strict=True):
        # The bed's frame: base line to the east, y to the north; the bed's middle at (1, 0).
        gap = 3.0 - 0.1 + (cell[1] - 0.0)
        profile = np.tan(np.radians(elevation)) / np.maximum(
            np.cos(np.radians(azimuth - 180.0)), 1e-9
        )
        behind = np.cos(np.radians(azimuth - 180.0)) > 0
        lit = (beam_w_m2(elevation) >= SUNSHINE_W_M2) & ~(behind & (profile < 3.0 / gap))
        # The wall is long, not endless: allow a little.
        assert hours == pytest.approx(lit.sum() * STEP_MINUTES / 60 / 14, abs=0.05)


def test_a_wall_to_the_north_takes_little_in_spring(galway: Season) -> None:
    north = light_of(galway, {**WALL, "bearing": "N"})
    assert (north.open_hours[5] - np.median(north.hours[5])) < 0.2


def test_south_of_the_equator_the_north_wall_shades(galway: Season) -> None:
    site = replace(galway.site, latitude=-43.5)
    from datetime import date

    south = replace(galway, site=site, start=date(2027, 7, 1))
    assert np.median(light_of(south, {**WALL, "bearing": "N"}).hours[1]) < np.median(
        light_of(south, {**WALL, "bearing": "S"}).hours[1]
    )


def test_openness_lets_light_through_in_part(galway: Season) -> None:
    closed, half = (
        light_of(galway, {**WALL, "kind": "fence", "openness": share}) for share in ("0%", "50%")
    )
    lost_closed = closed.open_hours[5] - closed.hours[5]
    lost_half = half.open_hours[5] - half.hours[5]
    assert np.allclose(lost_half, lost_closed / 2)


TREE = {"kind": "tree", "bearing": "S", "distance": "4 m", "height": "10 m", "spread": "8 m"}


def test_a_tree_shades_more_in_leaf_and_an_evergreen_always(galway: Season) -> None:
    leafy = light_of(galway, TREE)
    bare = light_of(galway, TREE, leaf=(0, 0))
    evergreen = light_of(galway, {**TREE, "evergreen": True, "openness": "19%"}, leaf=(0, 0))
    assert leafy.hours.sum() < bare.hours.sum() < leafy.open_hours.sum() * leafy.hours.shape[1]
    assert np.allclose(evergreen.hours, leafy.hours)


def test_a_higher_crown_lets_the_low_sun_under(galway: Season) -> None:
    low = light_of(galway, {**TREE, "crown_base": "0 m"})
    high = light_of(galway, {**TREE, "crown_base": "6 m"})
    assert high.hours[4].sum() > low.hours[4].sum()


def test_a_ridge_shades_more_than_the_eaves(galway: Season) -> None:
    house = {"kind": "building", "bearing": "S", "distance": "5 m", "width": "10 m",
             "depth": "6 m", "height": "4 m"}  # fmt: skip
    flat = light_of(galway, house)
    gabled = light_of(galway, {**house, "ridge": "9 m"})
    assert gabled.hours.sum() < flat.hours.sum()


@pytest.mark.parametrize(
    ("hours", "word"),
    [(6.0, "full sun"), (5.99, "part sun"), (4.0, "part sun"), (3.0, "part shade"), (1.9, "shade")],
)
def test_exposure_bounds(hours: float, word: str) -> None:
    assert exposure(hours) == word


@pytest.mark.parametrize("name", BEDS)
def test_awkward_beds_get_light(name: str, galway: Season) -> None:
    light = light_of(galway, **BEDS[name])
    assert 1 <= len(light.cells) <= 4400
    assert np.isfinite(light.hours).all()


def test_noon_sun_is_due_south_at_equinox_on_greenwich() -> None:
    # 2027-03-20 12:07:30 UTC: solar noon at 0° E by the equation of time of -7.5 min.
    noon = np.array([1805544450.0])
    elevation, azimuth = sun_position(noon, 45.0, 0.0)
    assert azimuth[0] == pytest.approx(180, abs=0.3)
    assert elevation[0] == pytest.approx(45, abs=0.3)


def test_mornings_and_afternoons_mirror_under_an_open_sky(galway: Season) -> None:
    light = light_of(galway)
    assert light.morning[12] == pytest.approx(light.hours[12] / 2, rel=0.03)
    west = light_of(galway, {**WALL, "bearing": "W"})
    assert west.morning[12].mean() > 0.6 * west.hours[12].mean()
    east = light_of(galway, {**WALL, "bearing": "E"})
    assert east.morning[12].mean() < 0.4 * east.hours[12].mean()


def test_days_at_the_equinox_are_as_long_in_both_hemispheres(galway: Season) -> None:
    """Equinox symmetry: on 20 March the north and the south have the same sun, mirrored."""
    days = {}
    for latitude in (53.27, -53.27):
        site = replace(galway.site, latitude=latitude)
        elevation, _ = suns_of(replace(galway, site=site))
        days[latitude] = elevation.reshape(DAYS, STEPS)[78]
    assert days[53.27].max() == pytest.approx(days[-53.27].max(), abs=0.6)
    north, south = ((beam_w_m2(day) >= SUNSHINE_W_M2).sum() for day in days.values())
    assert abs(int(north) - int(south)) <= 1


def lit_behind_a_wall(
    wall: np.ndarray, cells: np.ndarray, sun: tuple[float, float, float], rise: float = 0.0
) -> list[float]:
    """Light of one sun on each cell behind a wall, the ground rising along y."""
    from bedwright.light.kernel import Shading, sunlight

    shading = Shading(
        wall,
        np.array([0, len(wall)]),
        np.zeros(1),
        np.empty((0, 5)),
        np.empty((1, 0)),
        np.empty((0, 6)),
        np.empty((1, 0)),
        np.array([0.0, rise]),
    )
    return sunlight(cells, np.array([sun]), np.ones((1, 1)), shading)[0].tolist()


def wall_of(half_width: float) -> np.ndarray:
    """Corners of a thin wall 2 m high along x."""
    ring = [(x, y) for y in (0.0, -0.01) for x in (-half_width, half_width)]
    return np.array([(x, y, z) for z in (0.0, 2.0) for x, y in ring])


def test_a_post_throws_its_shadow_by_trigonometry() -> None:
    """A wall 2 m high and 2 m wide: at a sun 45 degrees high due south its shadow is 2 m long."""
    cells = np.array([[0.0, 0.5], [0.0, 1.9], [0.0, 2.1], [1.1, 0.5], [0.0, -0.5]])
    wall = wall_of(1.0)
    assert lit_behind_a_wall(wall, cells, (0.0, -1.0, 1.0)) == [0.0, 0.0, 1.0, 1.0, 1.0]
    # At half that height, tangent 1/2, it is 4 m long; from the south-west it leans north-east.
    assert lit_behind_a_wall(wall, cells, (0.0, -1.0, 0.5)) == [0.0, 0.0, 0.0, 1.0, 1.0]
    aslant = (-np.sqrt(0.5), -np.sqrt(0.5), 1.0)
    assert lit_behind_a_wall(wall, cells, aslant)[3] == 0.0


def test_a_slope_toward_the_sun_shortens_shadows() -> None:
    """Ground rising by r per metre behind a wall 2 m high meets the ray at 2 / (1 + r) metres."""
    cells = np.array([[0.0, y] for y in (1.2, 1.9, 2.1, 3.9)])
    wall, sun = wall_of(9.0), (0.0, -1.0, 1.0)
    assert lit_behind_a_wall(wall, cells, sun) == [0.0, 0.0, 1.0, 1.0]
    assert lit_behind_a_wall(wall, cells, sun, 0.5) == [0.0, 1.0, 1.0, 1.0]
    assert lit_behind_a_wall(wall, cells, sun, -0.5) == [0.0, 0.0, 0.0, 0.0]


def test_compiled_and_plain_hours_agree(monkeypatch: pytest.MonkeyPatch) -> None:
    """The kernel as Python runs it and as numba compiles it, among walls, crowns and a slope."""
    from bedwright.light import kernel

    rng = np.random.default_rng(5)
    base = rng.uniform(-3.0, 3.0, (24, 2))
    corners = np.column_stack([base, rng.uniform(0.0, 4.0, 24)])
    corners[16:] = [(x, y, z) for x in (1.0, 2.0) for y in (1.0, 2.0) for z in (0.0, 3.0)]
    turn = rng.uniform(0.0, 2 * np.pi, 24)
    suns = np.column_stack([np.cos(turn), np.sin(turn), rng.uniform(-0.1, 2.0, 24)])
    suns[0] = 0.0, 1.0, 0.8  # along the box's sides: corners of equal x
    suns[1, 2] = 0.01  # so low that shadows pass over
    shading = kernel.Shading(
        corners,
        np.array([0, 8, 16, 24]),
        np.array([0.0, 0.5, 0.2]),
        np.array([[0.5, -2.0, 3.0, 1.5, 2.0], [90.0, 90.0, 3.0, 1.0, 1.0]]),
        rng.uniform(0.0, 1.0, (24, 2)),
        np.array([[-1.0, 2.0, 1.0, 4.0, 1.2, 0.0], [2.0, -2.0, 0.0, 2.0, 0.3, 0.3]]),
        rng.uniform(0.0, 1.0, (24, 2)),
        np.array([0.1, -0.2]),
    )
    given = rng.uniform(-2.0, 2.0, (40, 2)), suns, rng.uniform(0.0, 1.0, (24, 2)), shading
    compiled = kernel.sunlight(*given)
    for name in ("_hull", "_falls_on", "_under_ellipsoid", "_under_taper", "_part", "_parts"):
        monkeypatch.setattr(kernel, name, getattr(kernel, name).py_func)
    plain = kernel.sunlight(*given)
    assert len(np.unique(plain[0].round(9))) > 10
    np.testing.assert_allclose(compiled, plain, rtol=1e-12)
