"""Briefs at random: sound ones of many shapes, and ones with a few things wrong.

``mutated_brief(seed)`` gives the same TOML for the same seed.  Three in four start from a rich
brief that fills every table, the others from a random sound bed; none to four mutations follow.
"""

from __future__ import annotations

import copy
import math
import random
from datetime import date, datetime, time
from typing import Any

from fuzz.toml import Raw, dumps

RICH: dict[str, Any] = {
    "title": "A bed by the gate",
    "units": "metric",
    "paper": "a4",
    "currency": "€",
    "place": {
        "town": "Galway, Ireland",
        "altitude": "20 m",
        "frost": {
            "last_spring": {"50%": "04-10", "10%": "05-05"},
            "first_autumn": {"50%": "11-05", "10%": "10-15"},
            "source": "the local office (invented)",
        },
        "situation": ["hollow", "town"],
        "horizon": [["E", 8], ["S", "14°"], [270, 2]],
    },
    "season": {"year": 2027, "frost_risk": "10%"},
    "bed": {
        "shape": "polygon",
        "corners": [["0 m", "0 m"], ["5 m", "0 m"], ["5 m", "3 m"], ["3 m", "3 m"],
                    ["3 m", "1.6 m"], ["0 m", "1.6 m"]],
        "bearing": "ENE",
        "viewed_from": ["S", "W"],
        "slope": "4%",
        "aspect": "S",
    },
    "surroundings": [
        {"kind": "building", "name": "house", "bearing": "N", "distance": "9 m", "width": "10 m",
         "depth": "7 m", "height": "4 m", "roof": "hip", "ridge": "6 m"},
        {"kind": "building", "name": "barn", "height": "3 m", "ridge": "5 m",
         "corners": [["12 m", "0 m"], ["18 m", "0 m"], ["18 m", "8 m"], ["15 m", "8 m"],
                     ["15 m", "4 m"], ["12 m", "4 m"]]},
        {"kind": "tree", "name": "ash", "bearing": "SW", "distance": "10 m", "height": "11 m",
         "spread": "7 m", "leaf_out": "05-10", "leaf_fall": "10-20", "trunk": "30 cm"},
        {"kind": "shrub", "at": ["-3 m", "4 m"], "height": "1.5 m", "spread": "1 m",
         "evergreen": True},
        {"kind": "hedge", "height": "1.8 m", "openness": "5%", "base_height": "-20 cm",
         "corners": [["SE", "8 m"], ["E", "9 m"], ["8 m", "6 m"]]},
        {"kind": "fence", "bearing": 275, "distance": "7 m", "length": "12 m", "height": "6 ft"},
    ],
    "ground": {
        "found": "old bed",
        "texture": "clay loam",
        "dig_depth": "20 cm",
        "raise_by": "5 cm",
        "organic_matter_wanted": "6%",
        "limed": date(2025, 10, 3),
        "scoop": "100 mL",
        "test": {"ph": 5.9, "phosphorus": "34 ppm", "potassium": "medium", "method": "Olsen",
                 "buffer_ph": 6.6, "buffer_method": "SMP", "organic_matter": "3%",
                 "laboratory": "a laboratory (invented)"},
    },
    "materials": [
        {"material": "compost", "pack": "40 L", "count": 4, "price": 6.5},
        {"material": "peat moss", "name": "old bale", "pack": "100 L", "count": 1,
         "compressed": 2.0},
        {"material": "10-10-10", "pack": "5 kg", "price": 11, "analysis": "10-8-12",
         "weighs": "950 g/L", "release": "90%"},
        {"material": "ground limestone", "pack": "20 kg", "price": 5.0},
    ],
    "wishes": {
        "colour_scheme": "hot",
        "uses": ["cutting", "pollinators"],
        "height": "90 cm",
        "maintenance": "some",
        "budget": 150,
        "kinds": 6,
        "grow": ["french_marigold"],
        "leave_out": ["Solanaceae"],
        "last_year": ["tall_zinnia"],
        "avoid": ["toxic to people"],
        "edging": True,
        "edge_with": ["sweet_alyssum: white", "french_marigold"],
        "variant": 2,
    },
    "existing": [
        {"name": "rose", "at": ["1 m", "0.8 m"], "spread": "60 cm"},
        {"name": "peony", "at": ["4 m", "2 m"], "spread": "70 cm", "spread_now": "20 cm"},
    ],
    "changes": [{"at": ["2 m", "1 m"], "size": 1.3}],
    "dates": {
        "begin": date(2027, 2, 20),
        "show": date(2027, 7, 24),
        "away": [{"start": date(2027, 6, 3), "end": date(2027, 6, 14)}],
    },
    "indoors": {"possible": True, "container": "tray", "block": "4 cm", "warmth": True},
    "prices": {"seed_packet": 3.2, "plant": 1.1, "cutter_hire": 80},
}  # fmt: skip
"""A sound brief that fills every table."""

ODD_TEXT = (
    "", " ", "0", "-1", "4", "4 lb", "4 fot", "1e999 m", "9" * 400, "9" * 400 + " m",
    "5" * 400 + "%", "1/0 m", "-3 m", "0 m", "0.0001 mm", "499 m", "1 in 0", "nan", "inf m", "400%",
    "13-45", "02-29", "9999999999999999999-01", "2027-04-20", "0227-03-01", "9999-12-31", "x" * 300,
    "y" * 9000, "tall_zinnia", "marigold", "compost", "N", "all", "NNNW", "true", "a\tb", "a\nb",
    "a\x00b", "a\x1bb", "a\u202eb", "a\ufffeb", "\ufeffa", "a\u2028b", "\ue000", "Zürich", "北京",
    "🌼", "e\u0301", "[bold]a[/bold]", "$x^2$ #let", "<b>&amp;</b>", "../x", "/dev/zero",
    ".", "∞ m", "½ m", "٣ m", "4' 6\"", "none", "frost in May", "frost May to", "mid-May", "May",
    "light frost June to August, one year in 0", "2 °C colder", "hollow", "9 °F",
)  # fmt: skip
ODD_KEY = ("colour", "", "titel", "a b", "\u202e", "kind", "from", "😀")
ODD_NUMBER = (
    0, 1, -1, 2, 7, 45, 360, 361, 10**9, 10**400, -(10**400), 0.0, -0.0, 0.5, 1e-320, 1e308, -1e308,
    math.nan, math.inf, -math.inf, 2026, 1989, 1990, 2200, 2201,
)  # fmt: skip
ODD_OTHER: tuple[Any, ...] = (
    True, False, [], {}, [[]], [[1, 2, 3]], [{}], ["N"], [1], {"a": 1}, {"50%": "04-10"},
    ["1 m", "1 m"], ["1 m", "1 m", "1 m"], [["1 m"]], date(1, 1, 1), date(9999, 12, 31),
    date(227, 3, 1), date(2027, 5, 1), datetime(2027, 5, 1, 12, 30), time(7, 32),
    Raw("2027-05-01T07:32:00Z"), Raw("9" * 5000), Raw("0x" + "f" * 5000), Raw("1e999999"),
    Raw("-inf"), Raw("[" * 900 + "]" * 900), Raw("[" * 4000), Raw("'''a\nb'''"), Raw('"\\ud800"'),
)  # fmt: skip


def mutated_brief(seed: int) -> str:
    """The TOML of a brief, sound or with up to four things wrong; the same for the same seed."""
    dice = random.Random(seed)
    brief = copy.deepcopy(RICH) if dice.random() < 0.75 else random_brief(dice)
    for _ in range(dice.choice((0, 1, 1, 2, 3, 4))):
        mutate(brief, dice)
    return dumps(brief)


def mutate(tree: dict[str, Any], dice: random.Random) -> None:
    """Change one thing in tables within tables: a value, a key gone, one too many, one twice."""
    holder, key = dice.choice(list(_places(tree)))
    way = dice.random()
    if way < 0.12:
        del holder[key]
    elif way < 0.2 and isinstance(holder, dict):
        holder[dice.choice(ODD_KEY)] = odd(dice)
    elif way < 0.26 and isinstance(holder, list):
        holder += [copy.deepcopy(holder[key])] * dice.choice((1, 3, 300))
    elif way < 0.55:
        holder[key] = _near(holder[key], dice)
    else:
        holder[key] = odd(dice)


def odd(dice: random.Random) -> Any:
    """A value that hardly any field takes."""
    options: tuple[Any, ...] = dice.choice((ODD_TEXT, ODD_TEXT, ODD_NUMBER, ODD_OTHER))
    return copy.deepcopy(dice.choice(options))


def _near(value: Any, dice: random.Random) -> Any:
    """A value of the same sort as one that is sound."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return value * dice.choice((-1, 0, 2, 10, 10**6))
    if isinstance(value, str) and value[:1].isdigit():
        number, _, unit = value.partition(" ")
        return f"{dice.choice(('0', '-', '1/3', '1,5', '1000', '0.01', number))} {unit}".strip()
    if isinstance(value, str) and value:
        at = dice.randrange(len(value))
        return value[:at] + dice.choice(("", "x", value[at] * 2, " ")) + value[at + 1 :]
    if isinstance(value, date):
        return value.replace(year=min(max(value.year + dice.choice((-30, -1, 1, 40)), 1), 9999))
    if isinstance(value, list):
        return value[::-1] if dice.random() < 0.5 else value[:-1]
    return odd(dice)


def _places(tree: Any) -> list[tuple[Any, Any]]:
    """Every (table or list, key or index) in a tree."""
    pairs = list(tree.items() if isinstance(tree, dict) else enumerate(tree))
    found = [(tree, key) for key, _ in pairs]
    for _, value in pairs:
        if isinstance(value, dict | list):
            found += _places(value)
    return found or [({"": ""}, "")]


def random_brief(dice: random.Random) -> dict[str, Any]:
    """A sound brief of a random bed somewhere in the temperate world."""
    latitude, longitude = dice.choice(
        ((53.27, -9.05), (34.68, -82.84), (-43.53, 172.63), (60.17, 24.94), (-34.6, -58.4),
         (45.5, -73.6), (35.7, 139.7), (51.5, 0.1))
    )  # fmt: skip
    place: dict[str, Any] = {"latitude": latitude, "longitude": longitude}
    if dice.random() < 0.3:
        winter = ("June", "August") if latitude < 0 else ("December", "February")
        place["frost"] = dice.choice(
            ("none", "frost one year in three", f"light frost from {winter[0]} to {winter[1]}")
        )
    if dice.random() < 0.3:
        place["nights"] = f"{dice.randint(-8, 8)} °C"
    brief: dict[str, Any] = {
        "place": place,
        "season": {"year": dice.randint(2026, 2030), "frost_risk": f"{dice.randint(1, 50)}%"},
        "bed": random_bed(dice),
        "units": dice.choice(("metric", "us")),
        "wishes": {
            "colour_scheme": dice.choice(("any", "hot", "cool", "pastel", "white", "single colour",
                                   "analogous", "complementary", "triadic")),
            "maintenance": dice.choice(("little", "some", "much")),
            "edging": dice.random() < 0.6,
        },
        "ground": {
            "found": dice.choice(("lawn", "old bed", "bare")),
            "texture": dice.choice(("sand", "loam", "silt loam", "clay")),
            "dig_depth": f"{dice.randint(5, 60)} cm",
        },
        "surroundings": [
            {"kind": "tree", "bearing": dice.uniform(0, 360), "height": f"{dice.randint(2, 30)} m",
             "distance": f"{dice.randint(90, 400)} m", "spread": f"{dice.randint(1, 20)} m"}
            for _ in range(dice.randint(0, 4))
        ],
    }  # fmt: skip
    if dice.random() < 0.3:
        brief["wishes"]["kinds"] = dice.randint(1, 30)
    return brief


def random_bed(dice: random.Random) -> dict[str, Any]:
    """An outline of any shape, from less than a square metre to a few hundred."""
    long = math.exp(dice.uniform(math.log(0.8), math.log(25)))
    wide = max(long * dice.uniform(0.08, 1.0), 0.4)
    turn = {"bearing": round(dice.uniform(0, 360), 1)}
    if dice.random() < 0.5:
        sides = dice.sample(["N", "E", "S", "W", "SW"], dice.randint(1, 3))
        turn["viewed_from"] = sides  # type: ignore[assignment]
    shape = dice.choice(("rectangle", "circle", "ellipse", "polygon", "offsets", "curve"))
    if shape == "circle":
        return {"shape": shape, "diameter": _metres(long), **turn}
    if shape in ("rectangle", "ellipse"):
        return {"shape": shape, "length": _metres(long), "width": _metres(wide), **turn}
    if shape == "offsets":
        count = dice.randint(3, 12)
        xs = [long * n / (count - 1) for n in range(count)]
        offsets = [[_metres(x), _metres(wide * dice.uniform(0.4, 1.2))] for x in xs]
        return {"shape": shape, "offsets": offsets, **turn}
    count, least = (dice.randint(3, 24), 0.45) if shape == "polygon" else (dice.randint(5, 12), 0.7)
    corners = []
    for n in range(count):  # a star about its middle: never crosses itself, often concave
        angle, reach = 2 * math.pi * n / count, dice.uniform(least, 1.0)
        x, y = long / 2 * (1 + reach * math.cos(angle)), wide / 2 * (1 + reach * math.sin(angle))
        corners.append([_metres(x), _metres(y)])
    if shape == "polygon":
        return {"shape": shape, "corners": corners, **turn}
    sharp = sorted(dice.sample(range(1, count + 1), dice.randint(0, 2)))
    return {"shape": shape, "pegs": corners, "sharp": sharp, **turn}


def _metres(value: float) -> str:
    return f"{value:.3f} m"
