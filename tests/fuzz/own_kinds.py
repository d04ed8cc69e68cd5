"""Files of own kinds at random, sound or with a few things wrong."""

from __future__ import annotations

import copy
import random
from typing import Any

from fuzz.briefs import mutate, odd
from fuzz.toml import dumps

SOUND: dict[str, Any] = {
    "kind": {
        "lime_zinnia": {
            "like": "tall_zinnia",
            "name": "lime zinnia",
            "botanical": "Zinnia elegans",
            "other_names": ["green zinnia"],
            "height_max_cm": 90,
            "soils": ["light", "loam"],
            "poor_soil": False,
            "colours": [["lime", "#c8d860"], ["white", "#f8f8f0"]],
        },
        "impatiens": {"germination": 0.7, "edible_note": "none known", "people": "none_known"},
        "white_petunia": {
            "like": "petunia",
            "name": "white petunia",
            "colours": [["white", "#ffffff"]],
            "spacing_cm": 28.5,
            "invasive": [],
        },
    }
}
"""A sound file: two new kinds and one changed."""


def mutated_own_kinds(seed: int) -> str:
    """The TOML of a file of own kinds; the same for the same seed."""
    dice = random.Random(seed)
    tree = copy.deepcopy(SOUND)
    for _ in range(dice.choice((0, 1, 1, 2, 3, 4))):
        if dice.random() < 0.15:
            tree[dice.choice(("kind", "kinds", "like", "\u202e"))] = odd(dice)
        else:
            mutate(tree, dice)
    return dumps(tree)
