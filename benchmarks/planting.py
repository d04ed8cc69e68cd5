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
from datetime import date

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
from timing import SHORT

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


def small_beds(catalogue: Catalogue, count: int) -> None:
    print(f"\n{count} beds of 12 drifts, beside the proven optimum")
    gaps, spent = [], []
    for seed in range(count):
        terms = Case(catalogue, seed, 7.0).terms(12, seed)
        cost, seconds = annealed(terms)
        bound = lower_bound(terms, STEPS, cost)
        gaps.append((cost - bound) / abs(bound))
        spent.append(seconds)
    off = np.array(gaps)
    print(f"  proven {len(off)}; at the optimum {int((off < 1e-4).sum())};"
          f" furthest {100 * off.max():.2f}%; annealing {np.median(spent):.2f} s")  # fmt: skip


def large_beds(catalogue: Catalogue, sizes: tuple[int, ...], seconds: float) -> None:
    print(f"\nLarge beds: annealing beside the bound, in {STEPS} steps,"
          f" and CP-SAT's best, given {seconds:.0f} s")  # fmt: skip
    print("  drifts  items     cost  seconds    bound  gap %  seconds   CP-SAT's best and bound")
    for drifts in sizes:
        for seed in (drifts, drifts + 500):
            terms = Case(catalogue, seed, drifts * 1.2).terms(drifts, seed)
            cost, spent = annealed(terms)
            begun = time.perf_counter()
            bound = lower_bound(terms, STEPS, cost)
            took = time.perf_counter() - begun
            print(f"  {drifts:>6} {terms.local.shape[1]:>6} {cost:>8.2f} {spent:>8.2f}"
                  f" {bound:>8.2f} {100 * (cost - bound) / bound:>6.2f} {took:>8.1f}"
                  f"   {by_constraints(terms, seconds)}")  # fmt: skip


def by_constraints(terms: Terms, seconds: float) -> str:
    state, bound = arranged(terms, seconds)
    found = "none" if state is None else f"{cost_of(terms, state):.2f}"
    return f"{found}, {bound:.2f}"


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


def lattices(draws: int) -> None:
    rng = np.random.default_rng(5)
    bed = shapely.Point(0, 0).buffer(2.0).union(shapely.box(1, -1, 3.5, 1.2))
    ratios, spent = [], 0.0
    fill(shapely.box(0, 0, 1, 1), 0.3, 0.0, np.empty((0, 3)))
    for count in (6, 14, 24):
        for drift in cut_drifts(bed, drift_shares(count), (0.0, -1.0), rng).drifts:
            shapely.prepare(drift)
            spacing = float(rng.choice([0.15, 0.2, 0.25, 0.3]))
            begun = time.perf_counter()
            ours = len(fill(drift, spacing, 0.0, np.empty((0, 3))))
            spent += time.perf_counter() - begun
            best = max(len(random_lattice(drift, spacing, rng)) for _ in range(draws))
            ratios.append(ours / max(best, 1))
    least = np.array(ratios)
    print(f"\nLattices in {len(least)} drifts beside the best of {draws:,} random ones:"
          f" mean {least.mean():.3f}, least {least.min():.3f},"
          f" in 4%: {int((least >= 0.96).sum())}; {1e3 * spent / len(least):.0f} ms")  # fmt: skip


def drifts(counts: tuple[int, ...]) -> None:
    print("\nDrifts: furthest miss of an area, %")
    for count in counts:
        misses, spent = [], []
        for seed in range(6):
            corners = bed_of(np.random.default_rng(seed), count * 0.8)["corners"]
            bed = shapely.Polygon([[float(v[:-2]) for v in pair] for pair in corners])  # type: ignore[union-attr]
            shares = drift_shares(count)
            begun = time.perf_counter()
            cut = cut_drifts(bed, shares, (0.0, -1.0), np.random.default_rng(seed)).drifts
            spent.append(time.perf_counter() - begun)
            got = np.array([d.area for d in cut]) / bed.area
            misses.append(float(np.abs(got / (shares / shares.sum()) - 1).max()))
        print(f"  {count:>3} drifts: {100 * max(misses):.1f}; {np.median(spent):.2f} s")


def growth(catalogue: Catalogue, areas: tuple[float, ...]) -> None:
    print("\n    m²   plants   drifts   seconds")
    for area in areas:
        case = Case(catalogue, 4, area)
        begun = time.perf_counter()
        planting = make_planting(case.brief, case.outline, catalogue, case.courses, case.light, 0)
        seconds = time.perf_counter() - begun
        plants = sum(item.plants for item in planting.items)
        print(f"{area:>6.0f} {plants:>8} {len(planting.drifts):>8} {seconds:>9.2f}")


def main() -> None:
    catalogue = load_catalogue()
    annealed(Case(catalogue, 0, 5.0).terms(4, 0))
    small_beds(catalogue, 1 if SHORT else 30)
    large_beds(catalogue, (14,) if SHORT else (20, 40, 60), 2.0 if SHORT else 60.0)
    lattices(100 if SHORT else 10_000)
    drifts((6,) if SHORT else (6, 12, 30, 60))
    growth(catalogue, (5,) if SHORT else (15, 100, 400, 1000))


if __name__ == "__main__":
    main()
