"""Compile every inner loop once, so that the first plan does not wait for it.

Numba keeps what it compiles in ``__pycache__`` beside the source.  A small bed with a house, a tree
and a neighbour that stays is planned in memory, and bounded, which runs every loop there is;
nothing is written.  ``script/setup`` runs this.

Usage: ``python tools/warm.py``
"""

from __future__ import annotations

from bedwright.brief import read_brief
from bedwright.catalogue import load_catalogue
from bedwright.climate import Site, Weather, normals_at
from bedwright.compiled import on_first_compiling
from bedwright.plan import make_plan

LATITUDE, LONGITUDE = 48.8, 2.3

BRIEF = {
    "place": {"latitude": LATITUDE, "longitude": LONGITUDE},
    "season": {"year": 2027},
    "bed": {"shape": "rectangle", "length": "3 m", "width": "1.5 m"},
    "existing": [{"name": "rose", "at": ["0.5 m", "0.5 m"], "spread": "40 cm"}],
    "surroundings": [
        {"kind": "building", "bearing": "N", "distance": "6 m", "height": "3 m", "width": "5 m",
         "depth": "4 m"},
        {"kind": "tree", "bearing": "E", "distance": "6 m", "height": "7 m", "spread": "4 m"},
    ],
}  # fmt: skip


def warm() -> None:
    """Plan the small bed."""
    on_first_compiling(lambda: print("Compiling inner loops, about half a minute ..."))
    site = Site("here", LATITUDE, LONGITUDE, 60.0)
    weather = Weather(site, normals_at(LATITUDE, LONGITUDE))
    make_plan(read_brief(BRIEF), catalogue=load_catalogue(), weather=weather, proof_steps=60)


if __name__ == "__main__":
    warm()
