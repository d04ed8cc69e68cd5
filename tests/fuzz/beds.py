"""Random beds with random wishes, as a brief's tables in plain values."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely
from numpy.random import Generator

from bedwright.catalogue import load_catalogue

SCHEMES = (
    "any", "hot", "cool", "pastel", "white", "single colour", "analogous",
    "complementary", "triadic",
)  # fmt: skip
AVOID = (
    "toxic to people", "toxic to dogs", "toxic to cats",
    "skin irritants", "invasive anywhere", "freely self-sowing",
)  # fmt: skip
SIDES = ("S", "N", "E", "W", "SW", "NE")
PLACES = ((53.27, -9.05), (34.68, -82.84), (-43.53, 172.63), (60.17, 24.94), (1.35, 103.82))
KINDS = ("garden_cosmos", "petunia", "pot_marigold", "tall_zinnia", "coleus", "sweet_alyssum")
EDGINGS = ("sweet_alyssum", "sweet_alyssum: purple", "french_marigold", "petunia")

Corners = np.ndarray[tuple[int, int], np.dtype[np.float64]]


def random_bed(seed: int) -> dict[str, object]:
    """A brief's tables, always the same for a seed.  Some cannot be planned, and some are refused
    by the brief's checks: a bed of any shape and size may come out, with anything in it."""
    rng = np.random.default_rng([71, seed])
    bed, corners = _bed(rng)
    _bend(np.random.default_rng([73, seed]), bed)
    latitude, longitude = PLACES[int(rng.integers(len(PLACES)))]
    existing = _existing(rng, corners)
    tables: dict[str, object] = {
        "place": {"latitude": latitude, "longitude": longitude},
        "season": {"year": 2027},
        "bed": bed,
        "wishes": _wishes(rng),
    }
    if existing:
        tables["existing"] = existing
    if rng.random() < 0.3:
        tables["surroundings"] = [_wall(rng, corners)]
    if rng.random() < 0.3:
        tables["prices"] = {"seed_packet": 3.0, "plant": 1.5}
    if rng.random() < 0.15:
        tables["indoors"] = {"possible": False}
    if rng.random() < 0.2:
        tables["changes"] = _changes(rng, corners)
    if rng.random() < 0.15:
        tables["dates"] = {"show": "2027-08-01"}
    return tables


def _bed(rng: Generator) -> tuple[dict[str, object], Corners]:
    """An outline, and corners of about the same ground."""
    bed: dict[str, object] = {}
    if rng.random() < 0.15:
        size = rng.uniform(0.3, 6.0, 2)
        if rng.random() < 0.5:
            bed |= {"shape": "ellipse", "length": _metres(size[0]), "width": _metres(size[1])}
        else:
            bed |= {"shape": "circle", "diameter": _metres(size[0])}
            size[1] = size[0]
        ring = np.asarray(shapely.Point(0.5, 0.5).buffer(0.5).exterior.coords)
        corners = (ring - [0.0, 0.5]) * size
    elif rng.random() < 0.15:
        corners, bed["offsets"] = _crescent(rng)
        bed["shape"] = "offsets"
    else:
        makers: tuple[Callable[[Generator], Corners], ...] = (
            _star, _blob, _comb, _ell, _you, _thin, _tiny
        )  # fmt: skip
        corners = makers[int(rng.integers(len(makers)))](rng)
        bed |= {"shape": "polygon", "corners": [_spot(spot) for spot in corners]}
    bed["bearing"] = str(rng.choice(["E", "N", "SW"]))
    sort = rng.random()
    if sort < 0.6:
        bed["viewed_from"] = str(rng.choice(SIDES))
    elif sort < 0.75:
        bed["viewed_from"] = [str(side) for side in rng.choice(SIDES, 2, replace=False)]
    return bed, corners


def _bend(rng: Generator, bed: dict[str, object]) -> None:
    """Of some polygons, a curve through the corners, sharp at a few of them."""
    if bed["shape"] == "polygon" and rng.random() < 0.25:
        pegs = bed.pop("corners")
        assert isinstance(pegs, list)
        sharp = rng.choice(len(pegs), int(rng.integers(0, 3)), replace=False)
        bed |= {"shape": "curve", "pegs": pegs, "sharp": sorted(int(n) + 1 for n in sharp)}


def _star(rng: Generator) -> Corners:
    """A star of sharp points."""
    points = int(rng.integers(3, 10))
    angles = np.linspace(0, 2 * np.pi, 2 * points, endpoint=False)
    radii = np.where(np.arange(2 * points) % 2, rng.uniform(0.25, 0.8), 1.0) * rng.uniform(0.5, 3)
    return np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])


def _blob(rng: Generator) -> Corners:
    """Corners at random distances round a middle, small to large."""
    count = int(rng.integers(4, 12))
    angles = np.linspace(0, 2 * np.pi, count, endpoint=False)
    radii = rng.uniform(0.3, 1.4, count) * 10 ** rng.uniform(-0.3, 0.8)
    return np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])


def _comb(rng: Generator) -> Corners:
    """A strip with teeth."""
    teeth, wide = int(rng.integers(2, 6)), rng.uniform(0.2, 1.0)
    gap, long, back = rng.uniform(0.05, 0.8), rng.uniform(0.4, 2.5), rng.uniform(0.2, 1.2)
    ring = []
    for n in range(teeth):
        x = n * (wide + gap)
        ring += [[x, -back], [x, -back - long], [x + wide, -back - long], [x + wide, -back]]
    x = teeth * (wide + gap) - gap
    corners = np.array([*ring, [x, 0.0], [0.0, 0.0]])
    return corners[np.any(corners != np.roll(corners, 1, axis=0), axis=1)]


def _ell(rng: Generator) -> Corners:
    long, high = rng.uniform(1.0, 5.0, 2)
    a, b = rng.uniform(0.2, 0.9, 2) * [long, high]
    return np.array([[0, 0], [long, 0], [long, b], [a, b], [a, high], [0, high]])


def _you(rng: Generator) -> Corners:
    long, high = rng.uniform(2.0, 5.0), rng.uniform(1.0, 3.0)
    arm, base = rng.uniform(0.1, 0.45) * long, rng.uniform(0.1, 0.9) * high
    return np.array(
        [[0, 0], [long, 0], [long, high], [long - arm, high],
         [long - arm, base], [arm, base], [arm, high], [0, high]]
    )  # fmt: skip


def _thin(rng: Generator) -> Corners:
    """A long strip, 3 cm to 60 cm wide."""
    long, wide = rng.uniform(0.5, 30.0), 10 ** rng.uniform(-1.5, -0.2)
    lean = rng.uniform(-0.5, 0.5)
    return np.array([[0, 0], [long, lean], [long, wide + lean], [0, wide]])


def _tiny(rng: Generator) -> Corners:
    """A triangle or so, of 0.1 to 0.6 m²."""
    corners = _blob(rng)
    return corners * np.sqrt(rng.uniform(0.1, 0.6) / shapely.Polygon(corners).area)


def _crescent(rng: Generator) -> tuple[Corners, list[list[str]]]:
    """A crescent, and the offsets of its edges."""
    long, bow, deep = rng.uniform(2.0, 8.0), rng.uniform(0.0, 2.0), rng.uniform(0.2, 2.0)
    share = np.linspace(0.0, 1.0, int(rng.integers(3, 8)))
    near = bow * np.sin(np.pi * share)
    far = near + deep * np.sin(np.pi * share) + rng.choice([0.0, 0.05, 0.4])
    offsets = [
        [_metres(long * s), _metres(n), _metres(f)]
        for s, n, f in zip(share, near, far, strict=True)
    ]
    x = long * share
    ring = np.concatenate([np.column_stack([x, near]), np.column_stack([x, far])[::-1]])
    return ring, offsets


def _existing(rng: Generator, corners: Corners) -> list[dict[str, object]]:
    """Plants that stay: none, some, or so many that they cover most of the bed."""
    sort = rng.random()
    if sort < 0.35:
        return []
    low, high = corners.min(axis=0), corners.max(axis=0)
    count = int(rng.integers(1, 6)) if sort < 0.8 else int(rng.integers(8, 40))
    largest = float(rng.choice([0.15, 0.4, 0.8])) * float((high - low).min() + 0.2)
    ground = shapely.Polygon(corners).buffer(0)
    made: list[dict[str, object]] = []
    for n in range(count):
        at, spread = rng.uniform(low, high), rng.uniform(0.2, 1.0) * largest + 0.05
        if ground.distance(shapely.Point(*at)) > 0.45 * spread:
            continue
        plant: dict[str, object] = {
            "name": f"plant {n + 1}", "at": _spot(at), "spread": _metres(spread)
        }  # fmt: skip
        if rng.random() < 0.5:
            plant["spread_now"] = _metres(0.4 * spread)
        made.append(plant)
    return made


def _wishes(rng: Generator) -> dict[str, object]:
    """Wishes of every sort, most of them left out."""
    chances: tuple[tuple[str, float, Callable[[], object]], ...] = (
        ("colour_scheme", 0.5, lambda: str(rng.choice(SCHEMES))),
        ("colours", 0.1, lambda: ["blue", "white"]),
        ("uses", 0.2, lambda: ["cutting", "scent"]),
        ("height", 0.25, lambda: _metres(rng.uniform(0.1, 1.5))),
        ("maintenance", 0.3, lambda: str(rng.choice(["little", "some", "much"]))),
        ("budget", 0.2, lambda: float(np.round(10 ** rng.uniform(0, 2.5), 2))),
        ("kinds", 0.4, lambda: int(rng.integers(1, 31))),
        ("grow", 0.2, lambda: [str(k) for k in rng.choice(KINDS, 2, replace=False)]),
        ("last_year", 0.15, lambda: [str(rng.choice(KINDS))]),
        ("avoid", 0.25, lambda: [str(a) for a in rng.choice(AVOID, 2, replace=False)]),
        ("variant", 0.1, lambda: int(rng.integers(1, 4))),
        ("gaps_only", 0.2, lambda: True),
    )
    wishes = {name: make() for name, odds, make in chances if rng.random() < odds}
    if rng.random() < 0.2 and "grow" not in wishes:
        families = rng.permutation(sorted({kind.family for kind in load_catalogue()}))
        share = rng.choice([0.05, 0.3, 0.9, 1.0])
        wishes["leave_out"] = [str(family) for family in families[: int(share * len(families))]]
    if rng.random() < 0.2:
        wishes["edge_with"] = [str(e) for e in rng.choice(EDGINGS, rng.integers(1, 3), False)]
    elif rng.random() < 0.2:
        wishes["edging"] = False
    return wishes


def _wall(rng: Generator, corners: Corners) -> dict[str, object]:
    reach = float(np.abs(corners - corners.mean(axis=0)).max())
    return {
        "kind": "wall",
        "bearing": str(rng.choice(["S", "N", "W"])),
        "distance": _metres(1.8 * reach + 0.5),
        "length": "20 m",
        "height": _metres(rng.uniform(0.5, 5.0)),
    }


def _changes(rng: Generator, corners: Corners) -> list[dict[str, object]]:
    """Changes at spots in and about the bed."""
    low, high = corners.min(axis=0), corners.max(axis=0)

    def spot() -> list[str]:
        return _spot(rng.uniform(low, high))

    made: list[dict[str, object]] = []
    for _ in range(int(rng.integers(1, 4))):
        change: dict[str, object] = {"at": spot()}
        sort = rng.random()
        if sort < 0.4:
            change["grow"] = str(rng.choice(KINDS))
        elif sort < 0.7:
            change["size"] = float(np.round(rng.uniform(0.4, 2.5), 2))
        else:
            change["swap"] = spot()
        made.append(change)
    return made


def _spot(at: Corners) -> list[str]:
    return [_metres(at[0]), _metres(at[1])]


def _metres(value: float) -> str:
    return f"{value:.3f} m"
