from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from awkward import BEDS
from bedwright.climate import DAYS, Season
from bedwright.geometry import outline_of
from bedwright.light import (
    Light,
    bodies_of,
    exposure,
    exposure_index,
    exposure_shares,
    sun_hours,
    sun_position,
)
from bedwright.light.hours import (
    STEP_MINUTES,
    STEPS,
    SUNSHINE_W_M2,
    beam_w_m2,
    skyline_deg,
    suns_of,
)
from conftest import brief_of
from shadows import light_through

ALWAYS_IN_LEAF = (0, 365)


def light_of(season: Season, *things: dict[str, object], leaf: tuple[int, int] = ALWAYS_IN_LEAF,
             horizon: tuple[tuple[float, float], ...] = (), **bed: object) -> Light:  # fmt: skip
    outline_spec = bed if "shape" in bed else {"shape": "circle", "diameter": "2 m", **bed}
    brief = brief_of(bed=outline_spec, surroundings=list(things))
    outline = outline_of(brief.bed)
    return sun_hours(outline, bodies_of(outline, brief.surroundings), season, leaf, horizon)


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


def test_light_through_a_hedge_does_not_hang_on_how_many_corners_tell_it(galway: Season) -> None:
    def hedge(count: int) -> Light:
        corners = [[f"{x:.3f} m", "-2 m"] for x in np.linspace(-3.0, 5.0, count)]
        return light_of(galway, {"kind": "hedge", "height": "2 m", "openness": "50%",
                                 "corners": corners})  # fmt: skip

    one, many = hedge(2), hedge(40)
    assert np.allclose(one.hours, many.hours, atol=0.01)
    assert one.hours[4].mean() < one.open_hours[4] - 0.5


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
    return light_through(cells, np.array(sun), solids=[wall], tilt=(0.0, rise)).tolist()


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
        np.array([0, 2, 3]),
        np.array([0.5, 0.2]),
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


def test_hills_hide_the_sun_below_their_skyline(galway: Season) -> None:
    """Steps of the day whose sun stands above the skyline, counted one by one."""
    skyline = ((90.0, 20.0), (180.0, 5.0), (270.0, 0.0), (0.0, 0.0))
    light = light_of(galway, horizon=skyline)
    elevation, azimuth = (part.reshape(DAYS, STEPS)[70:84].ravel() for part in suns_of(galway))
    shining = beam_w_m2(elevation) >= SUNSHINE_W_M2
    east, south = (azimuth >= 90.0) & (azimuth < 180.0), (azimuth >= 180.0) & (azimuth < 270.0)
    hill = np.where(east, 20.0 - (azimuth - 90.0) / 6.0, 0.0)
    hill = np.where(azimuth < 90.0, azimuth * 20.0 / 90.0, hill)
    hill = np.where(south, 5.0 - (azimuth - 180.0) / 18.0, hill)
    lit = (shining & (elevation > hill)).sum() * STEP_MINUTES / 60 / 14
    assert light.hours[5] == pytest.approx(lit)
    assert light.open_hours[5] == pytest.approx(shining.sum() * STEP_MINUTES / 60 / 14)
    assert light.morning[5].mean() < 0.45 * light.hours[5].mean()


def test_one_height_is_the_skyline_all_round() -> None:
    azimuth = np.linspace(0, 359, 40)
    assert skyline_deg(azimuth, ((90.0, 12.0),)) == pytest.approx(12.0)
    # Straight across north as well.
    assert skyline_deg(np.array([0.0]), ((350.0, 4.0), (30.0, 8.0))) == pytest.approx(5.0)


def test_a_bed_that_faces_the_sun_gets_more_of_its_energy(galway: Season) -> None:
    level = light_of(galway)
    south = light_of(galway, slope="20%", aspect="S")
    north = light_of(galway, slope="20%", aspect="N")
    assert south.beam_mj[4].mean() > 1.1 * level.beam_mj[4].mean()
    assert north.beam_mj[4].mean() < 0.9 * level.beam_mj[4].mean()
    # The sun rises behind a bank only when it stands low in the north of it.
    assert north.hours[24].mean() < level.hours[24].mean()
    assert south.hours[2].mean() == pytest.approx(level.hours[2].mean())


def test_a_wall_downhill_of_a_bed_to_its_south_takes_less_than_one_uphill(galway: Season) -> None:
    down = light_of(galway, WALL, slope="15%", aspect="S")
    up = light_of(galway, WALL, slope="15%", aspect="N")
    assert down.hours[8].mean() > up.hours[8].mean() + 0.5


def test_leaf_dates_stated_go_before_the_seasons(galway: Season) -> None:
    early = {**TREE, "leaf_out": "03-20", "leaf_fall": "09-10"}
    late = light_of(galway, {**TREE, "leaf_out": "05-20", "leaf_fall": "11-20"}, leaf=(0, 0))
    light = light_of(galway, early, leaf=(0, 0))
    bare, leafy = light_of(galway, TREE, leaf=(0, 0)), light_of(galway, TREE)
    for fortnight, expected in ((3, bare), (7, leafy), (20, bare)):
        assert np.allclose(light.hours[fortnight], expected.hours[fortnight])
    assert np.allclose(late.hours[8], bare.hours[8])
    assert np.allclose(late.hours[20], leafy.hours[20])


def test_leaf_dates_in_the_south_fall_in_the_next_calendar_year(galway: Season) -> None:
    from datetime import date

    south = replace(galway, site=replace(galway.site, latitude=-43.5), start=date(2027, 7, 1))
    tree = {**TREE, "bearing": "N", "leaf_out": "09-20", "leaf_fall": "05-10"}
    light = light_of(south, tree, leaf=(0, 0))
    bare, leafy = (
        light_of(south, {**tree, "leaf_out": "06-01", "leaf_fall": "06-02"}),
        light_of(south, {**tree, "leaf_out": "07-01", "leaf_fall": "06-30"}),
    )
    for fortnight, expected in ((2, bare), (10, leafy), (20, leafy), (23, bare)):
        assert np.allclose(light.hours[fortnight], expected.hours[fortnight])


def test_hours_are_those_of_the_cells_exposure() -> None:
    hours = np.array([[7.0, 6.0, 5.0], [3.9, 2.0, 0.0]])
    assert exposure_index(hours).tolist() == [[0, 0, 1], [2, 2, 3]]
    assert exposure_shares(hours) == pytest.approx(
        {"full sun": 1 / 3, "part sun": 1 / 6, "part shade": 1 / 3, "shade": 1 / 6}
    )


def test_far_in_the_north_the_midnight_sun_shines(galway: Season) -> None:
    far = replace(galway, site=replace(galway.site, latitude=70.0))
    light = light_of(far)
    assert light.open_hours[12] > 22.0
    assert light.open_hours[25] == 0.0
    assert np.isfinite(light.hours).all()
