"""How good the planting is, beside proofs and other solvers, and how its cost grows with the bed.

1. Small beds: the arrangement beside the proven optimum (HiGHS, branch and bound).
2. Large beds: the gap to the proven bound and how long that took, and CP-SAT's best in a
   minute.
3. Lattices: plants set, beside the best of 10,000 turns and offsets drawn at random.
4. Drifts: how far areas miss what is wanted.
5. Growth: seconds by bed.

Usage: ``python benchmarks/planting.py`` (in the development environment)
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import date
from itertools import chain

import numpy as np
import shapely
from numpy.typing import NDArray

from bedwright.brief import Brief, read_brief
from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.climate import Site, Weather, normals_at
from bedwright.geometry import Outline
from bedwright.growth import Course
from bedwright.light import Light, sun_on
from bedwright.plan import set_out
from bedwright.planting import make_planting
from bedwright.planting.arrange.anneal import anneal, cost_of
from bedwright.planting.arrange.arrangement import steps_for
from bedwright.planting.arrange.energy import Terms
from bedwright.planting.arrange.objective import sites_of, terms_of
from bedwright.planting.beds import drift_shares, height_limit, tiers_wanted
from bedwright.planting.palette.candidates import Offer
from bedwright.planting.palette.choose import choose_palette
from bedwright.planting.place.drifts import cut_drifts
from bedwright.planting.place.lattice import fill
from bedwright.planting.proof.bound import lower_bound
from bedwright.planting.proof.prices import STEPS
from cpsat import arranged
from timing import SHORT, Row, show

TODAY = date(2026, 11, 25)
PLACES = ((53.3, -9.1), (34.7, -82.8), (44.5, -73.2), (47.6, -122.3), (48.8, 2.3), (-37.8, 145.0))
SCHEMES = ("any", "complementary", "hot", "cool", "pastel", "single colour")


def bed_of(rng: np.random.Generator, area_m2: float) -> dict[str, object]:
    """A bed of any shape, convex or not, of about that area."""
    count = int(rng.integers(5, 9))
    angles = np.linspace(0, 2 * np.pi, count, endpoint=False) + rng.uniform(-0.2, 0.2, count)
    radii = rng.uniform(0.7, 1.3, count)
    corners = np.column_stack([1.5 * radii * np.cos(angles), radii * np.sin(angles)])
    corners *= np.sqrt(area_m2 / shapely.Polygon(corners).area)
    return {
        "shape": "polygon",
        "corners": [[f"{x:.3f} m", f"{y:.3f} m"] for x, y in corners],
        "viewed_from": str(rng.choice(["all", "S", "N"])),
    }


def house_beside(bed: dict[str, object], latitude: float) -> dict[str, object]:
    """A house on the side of a bed toward the sun, that shades a part of it."""
    y = [float(str(pair[1])[:-2]) for pair in bed["corners"]]  # type: ignore[attr-defined]
    near, far = (min(y) - 0.8, min(y) - 8) if latitude > 0 else (max(y) + 0.8, max(y) + 8)
    corners = [(-9, near), (0.5, near), (0.5, far), (-9, far)]
    return {
        "kind": "building",
        "name": "house",
        "height": "5 m",
        "corners": [[f"{x:.2f} m", f"{y:.2f} m"] for x, y in corners],
    }


class Case:
    """A bed, its season and light, and the palette chosen for it."""

    def __init__(
        self, catalogue: Catalogue, seed: int, area_m2: float, shaded: bool = False
    ) -> None:
        rng = np.random.default_rng(seed)
        latitude, longitude = PLACES[seed % len(PLACES)]
        self.catalogue = catalogue
        bed = bed_of(rng, area_m2)
        self.brief: Brief = read_brief(
            {
                "place": {"latitude": latitude, "longitude": longitude},
                "season": {"year": 2027},
                "bed": bed,
                "wishes": {"colour_scheme": SCHEMES[seed % len(SCHEMES)]},
                "surroundings": [house_beside(bed, latitude)] if shaded else [],
            }
        )
        normals = normals_at(latitude, longitude)
        weather = Weather(Site("here", latitude, longitude, normals.altitude_m), normals)
        setting = set_out(self.brief, catalogue, weather)
        self.outline: Outline = setting.outline
        self.courses: dict[str, Course] = setting.courses
        self.light: Light = sun_on(self.brief, self.outline, setting.season, setting.soil_c)

    @property
    def offer(self) -> Offer:
        """What colour forms are chosen from."""
        brief = self.brief
        return Offer(self.catalogue, self.courses, self.light, brief.ground, brief.wishes)

    def terms(self, drifts: int, seed: int) -> Terms:
        """The arrangement's costs, of the bed cut into so many drifts."""
        outline = self.outline
        limit = height_limit(outline, None)
        wanted = tiers_wanted(drifts, limit, False, None, outline)
        palette = choose_palette(self.offer, limit, wanted)
        rng = np.random.default_rng(seed)
        patches = cut_drifts(outline.polygon, drift_shares(drifts), None, rng).drifts
        items = list(palette.chosen)
        most = int(np.ceil(len(patches) / len(items))) + 1
        return terms_of(sites_of(outline, self.light, patches), items, frozenset(), most)


def annealed(terms: Terms) -> tuple[float, float]:
    """Cost reached and seconds taken."""
    drifts = len(terms.local)
    begun = time.perf_counter()
    start = np.argmin(terms.local, axis=1)
    _, cost = anneal(terms, np.arange(drifts), start, steps_for(drifts), 0)
    return cost, time.perf_counter() - begun


def small_beds(catalogue: Catalogue, count: int, drifts: int) -> Iterator[Row]:
    gaps, spent = [], []
    for seed in range(count):
        terms = Case(catalogue, seed, 0.6 * drifts).terms(drifts, seed)
        cost, seconds = annealed(terms)
        bound = lower_bound(terms, STEPS, cost)
        gaps.append((cost - bound) / abs(bound))
        spent.append(seconds)
    off = np.array(gaps)
    size = f"{count} beds of {drifts} drifts"
    optimal = float((off < 1e-4).sum())
    yield Row("arrangements at the optimum", size, optimal, "beds", len(off), "proven by HiGHS")
    yield Row("furthest from the proven optimum", size, 100 * float(off.max()), "%")
    yield Row("annealing, median", size, float(np.median(spent)), "s")


def large_beds(catalogue: Catalogue, sizes: tuple[int, ...], seconds: float) -> Iterator[Row]:
    for drifts in sizes:
        for seed in (drifts,) if SHORT else (drifts, drifts + 500):
            terms = Case(catalogue, seed, drifts * 1.2).terms(drifts, seed)
            cost, spent = annealed(terms)
            begun = time.perf_counter()
            bound = lower_bound(terms, STEPS, cost)
            took = time.perf_counter() - begun
            size = f"{drifts} drifts, {terms.local.shape[1]} items, bed {seed}"
            yield Row("cost of an arrangement, and what is proven", size, cost, "points",
                      bound, f"a bound in {took:.0f} s")  # fmt: skip
            state, _ = arranged(terms, seconds)
            theirs = None if state is None else cost_of(terms, state)
            by = (
                f"CP-SAT in {seconds:.0f} s"
                if theirs is not None
                else f"CP-SAT: none in {seconds:.0f} s"
            )
            yield Row("cost of an arrangement", size, cost, "points", theirs, by)
            yield Row("annealing", size, spent, "s")


def random_lattice(
    ground: shapely.Geometry, spacing: float, rng: np.random.Generator
) -> NDArray[np.float64]:
    """A triangular lattice at a turn and offset drawn at random, clipped to the ground."""
    x0, y0, x1, y1 = ground.bounds
    reach = float(np.hypot(x1 - x0, y1 - y0)) / 2 + spacing
    rise = spacing * np.sqrt(3) / 2
    rows = np.arange(-int(reach / rise) - 2, int(reach / rise) + 3)
    columns = np.arange(-int(reach / spacing) - 2, int(reach / spacing) + 3)
    x = columns[None] * spacing + (rows[:, None] % 2) * spacing / 2
    y = np.broadcast_to(rows[:, None] * rise, x.shape)
    turn, shift = rng.uniform(0, np.pi / 3), rng.uniform(0, 1, 2) * [spacing, 2 * rise]
    at = np.column_stack([x.ravel(), y.ravel()]) + shift
    cos, sin = np.cos(turn), np.sin(turn)
    at = at @ np.array([[cos, sin], [-sin, cos]]) + [(x0 + x1) / 2, (y0 + y1) / 2]
    return np.asarray(at[shapely.contains_xy(ground, at[:, 0], at[:, 1])])


def lattices(draws: int) -> Iterator[Row]:
    rng = np.random.default_rng(5)
    bed = shapely.Point(0, 0).buffer(2.0).union(shapely.box(1, -1, 3.5, 1.2))
    counts, spent = [], 0.0
    fill(shapely.box(0, 0, 1, 1), 0.3, 0.0, np.empty((0, 3)))
    for count in (6,) if SHORT else (6, 14, 24):
        for drift in cut_drifts(bed, drift_shares(count), (0.0, -1.0), rng).drifts:
            shapely.prepare(drift)
            spacing = float(rng.choice([0.15, 0.2, 0.25, 0.3]))
            begun = time.perf_counter()
            ours = len(fill(drift, spacing, 0.0, np.empty((0, 3))))
            spent += time.perf_counter() - begun
            best = max(len(random_lattice(drift, spacing, rng)) for _ in range(draws))
            counts.append((ours, max(best, 1)))
    ours_, others = np.array(counts, float).T
    size, by = f"{len(counts)} drifts", f"the best of {draws:,} random ones"
    yield Row("plants that lattices stand", size, ours_.sum(), "plants", others.sum(), by)
    worst = int(np.argmin(ours_ / others))
    yield Row("plants that a lattice stands, the worst", "1 drift", ours_[worst], "plants",
              others[worst], by)  # fmt: skip
    yield Row("a lattice", "1 drift", 1e3 * spent / len(counts), "ms")


def drifts(counts: tuple[int, ...], beds: int = 6) -> Iterator[Row]:
    for count in counts:
        misses, spent = [], []
        for seed in range(beds):
            corners = bed_of(np.random.default_rng(seed), count * 0.8)["corners"]
            bed = shapely.Polygon([[float(v[:-2]) for v in pair] for pair in corners])  # type: ignore[union-attr]
            shares = drift_shares(count)
            begun = time.perf_counter()
            cut = cut_drifts(bed, shares, (0.0, -1.0), np.random.default_rng(seed)).drifts
            spent.append(time.perf_counter() - begun)
            got = np.array([d.area for d in cut]) / bed.area
            misses.append(float(np.abs(got / (shares / shares.sum()) - 1).max()))
        size = f"{count} drifts, {beds} beds"
        yield Row("drifts cut, furthest miss of an area", size, 100 * max(misses), "%")
        yield Row("drifts cut, median", size, float(np.median(spent)), "s")


def growth(catalogue: Catalogue, areas: tuple[float, ...]) -> Iterator[Row]:
    for area in areas:
        case = Case(catalogue, 4, area)
        begun = time.perf_counter()
        planting = make_planting(case.brief, case.outline, catalogue, case.courses, case.light, 0)
        seconds = time.perf_counter() - begun
        plants = sum(item.plants for item in planting.items)
        size = f"{area:.0f} m², {plants} plants, {len(planting.drifts)} drifts"
        yield Row("a planting of an odd shape", size, seconds, "s")


def rows() -> Iterator[Row]:
    catalogue = load_catalogue()
    if SHORT:
        return chain(
            small_beds(catalogue, 1, 4),
            large_beds(catalogue, (6,), 0.5),
            lattices(10),
            drifts((4,), 1),
            growth(catalogue, (2,)),
        )
    annealed(Case(catalogue, 0, 5.0).terms(4, 0))
    return chain(
        small_beds(catalogue, 30, 12),
        large_beds(catalogue, (20, 40, 60), 60.0),
        lattices(10_000),
        drifts((6, 12, 30, 60)),
        growth(catalogue, (15, 100, 400, 1000)),
    )


if __name__ == "__main__":
    show(rows())
