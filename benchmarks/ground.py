"""How long the ground work takes to reckon, and how it grows with beds and materials.

The filling, a whole number of each pack, is set beside trying every number of every pack; the blend
beside a general solver of another kind, scipy's SLSQP.

Usage: ``python benchmarks/ground.py`` (in the development environment)
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import date
from itertools import product

import numpy as np
from scipy.optimize import LinearConstraint, minimize

from bedwright.brief import read_brief
from bedwright.geometry import outline_of
from bedwright.ground import make_ground, packs_of
from bedwright.ground.blend import Products, Wanted, solve_blend
from timing import SHORT, Row, best, show

MATERIALS = [
    {"material": "compost", "pack": "50 L", "price": 6.0},
    {"material": "topsoil", "pack": "25 L", "price": 4.0},
    {"material": "leaf mould", "pack": "60 L", "price": 7.0},
    {"material": "composted bark", "pack": "70 L", "price": 9.0},
    {"material": "hoof and horn", "pack": "2 kg", "price": 9.0},
    {"material": "steamed bone meal", "pack": "2 kg", "price": 8.0},
    {"material": "potassium sulfate", "pack": "2 kg", "price": 7.0},
    {"material": "kelp meal", "pack": "2 kg", "price": 14.0},
]


def whole_sheet(side_m: float, materials: int) -> float:
    """Seconds to reckon the soil sheet of a square bed with so many materials."""
    brief = read_brief(
        {
            "place": {"latitude": 53.3, "longitude": -9.0},
            "bed": {"shape": "rectangle", "length": f"{side_m} m", "width": f"{side_m} m"},
            "ground": {"raise_by": "3 cm", "test": {"phosphorus": "low", "potassium": "low"}},
            "materials": MATERIALS[:materials],
        }
    )
    outline, (packs, _) = outline_of(brief.bed), packs_of(brief.materials)
    return best(lambda: make_ground(outline, brief, packs, date(2027, 3, 1)), 3)


def every_number_of_packs(wanted: float, sizes: list[float], prices: list[float]) -> float:
    """Seconds to find the cheapest fill by trying every number of every pack."""
    begun = time.perf_counter()
    cheapest = np.inf
    for counts in product(*(range(int(np.ceil(wanted / size)) + 1) for size in sizes)):
        if np.dot(counts, sizes) >= wanted:
            cheapest = min(cheapest, float(np.dot(counts, prices)))
    return time.perf_counter() - begun


def blends(count: int) -> tuple[float, float]:
    """Seconds for a thousand blends of so many products, ours and SLSQP's."""
    rng = np.random.default_rng(3)
    gives = rng.uniform(0.0, 0.3, (3, count))
    cost, most, target = rng.uniform(0.5, 3.0, count), np.full(count, 400.0), (5.0, 8.0, 6.0)
    none = np.zeros(count)
    products = Products(gives, none, most, none, np.full(count, np.inf), cost, np.arange(count))
    wanted = Wanted(target, 10.0, np.inf)
    ours = best(lambda: solve_blend(products, wanted), 20)
    rules = [LinearConstraint(gives, target, np.inf), LinearConstraint(gives[0], -np.inf, 10.0)]

    def other() -> None:
        minimize(lambda x: cost @ x, np.full(count, 20.0), jac=lambda x: cost,
                 bounds=[(0.0, 400.0)] * count, constraints=rules, method="SLSQP")  # fmt: skip

    return ours * 1000, best(other, 20) * 1000


def rows() -> Iterator[Row]:
    beds = ((1.5, 2), (3.0, 2), (3.0, 8), (8.0, 8), (20.0, 8))
    for side, materials in beds[: 2 if SHORT else None]:
        size = f"{side * side:g} m², {materials} materials"
        yield Row("soil sheet", size, whole_sheet(side, materials) * 1000, "ms")
    wanted, sizes, prices = (0.1 if SHORT else 0.6), [0.0375, 0.01875, 0.042], [6.0, 4.0, 7.0]
    tried = every_number_of_packs(wanted, sizes, prices)
    sheet = whole_sheet(3.0, 3)
    yield Row("fill in whole packs, ours with the whole sheet", f"3 materials, {wanted:g} m³",
              sheet * 1000, "ms", tried * 1000, "every number of packs")  # fmt: skip
    for count in (3, 8):
        ours, other = blends(count)
        yield Row("a thousand blends", f"{count} products", ours, "s", other, "SLSQP")


if __name__ == "__main__":
    show(rows())
