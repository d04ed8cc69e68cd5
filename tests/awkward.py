"""Awkward beds and seasons that every stage must bear."""

from __future__ import annotations

BEDS: dict[str, dict[str, object]] = {
    "one plant": {"shape": "circle", "diameter": "35 cm"},
    "narrow border": {"shape": "rectangle", "length": "6 m", "width": "40 cm", "viewed_from": "S"},
    "notch": {
        "shape": "polygon",
        "corners": [
            ["0 m", "0 m"],
            ["4 m", "0 m"],
            ["4 m", "3 m"],
            ["2.2 m", "3 m"],
            ["2 m", "0.4 m"],
            ["1.8 m", "3 m"],
            ["0 m", "3 m"],
        ],
        "viewed_from": ["S", "N"],
    },
    "crescent": {
        "shape": "offsets",
        "offsets": [
            ["0 m", "0 m", "0.3 m"],
            ["1.5 m", "0.9 m", "2 m"],
            ["3 m", "1.1 m", "2.4 m"],
            ["4.5 m", "0.9 m", "2 m"],
            ["6 m", "0 m", "0.3 m"],
        ],
        "viewed_from": "N",
    },
    "kidney": {
        "shape": "curve",
        "pegs": [
            ["0.3 m", "1.3 m"],
            ["1 m", "0.1 m"],
            ["2.5 m", "0.6 m"],
            ["4 m", "0.1 m"],
            ["4.9 m", "1.2 m"],
            ["4 m", "2.4 m"],
            ["1.3 m", "2.5 m"],
        ],
        "viewed_from": "S",
    },
    "large": {"shape": "ellipse", "length": "10 m", "width": "5 m"},
}
"""Outlines; ``hole`` below is the same as an existing plant in the middle."""

HOLE = [{"name": "old rose", "at": ["2 m", "1 m"], "spread": "1.2 m"}]

PLACES: dict[str, tuple[float, float]] = {
    "no frost, on the equator": (1.35, 103.82),
    "frost in every month": (64.84, -147.72),
    "southern winter": (-45.03, 168.66),
    "hot desert": (33.45, -112.07),
    "winter in the middle": (25.76, -80.2),
    "frost in the middle": (-27.47, 153.03),
}
