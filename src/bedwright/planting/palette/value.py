"""How good kinds are together as a palette, by the measure and the rules of ``programme``."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Wishes
from bedwright.planting.palette.candidates import SEASON_ODDS, Candidate
from bedwright.planting.palette.colour import tone_of
from bedwright.planting.palette.programme import (
    LIT,
    MOST_OF_FAMILY,
    MOST_OF_FOLIAGE,
    MOST_OF_FORM,
    MOST_WHITE,
    SUCCESSION,
    VARIETY,
    levels_of,
    most_passing,
    passes,
    room_of,
)
from bedwright.planting.palette.purse import Purse


class PaletteValue:
    """Of some of the candidates, by their numbers, beside ``fixed`` ones that stay.

    ``parts``: cells of each part of the bed whose light is looked after; ``total``: kinds of the
    palette; ``purse``: that it is held to.
    """

    def __init__(
        self,
        candidates: Sequence[Candidate],
        fixed: Sequence[Candidate],
        wishes: Wishes,
        parts: Sequence[NDArray[np.intp]],
        total: int,
        purse: Purse | None = None,
    ) -> None:
        every = [*candidates, *fixed]
        self._every, self._purse = every, purse
        self._fixed = list(range(len(candidates), len(every)))
        self._score = np.array([c.score for c in every])
        odds = np.array([c.course.bloom.odds * (not c.kind.is_foliage) for c in every])
        self._odds = odds[:, odds.max(axis=0) > SEASON_ODDS]
        self._levels = levels_of(total)
        self._fits = np.array([[c.sunny[part].mean() for part in parts] for c in every])
        self._room = np.array(room_of(parts, total))
        forms = [c.kind.form.flower_form for c in every]
        self._forms = np.array(forms)
        pale = [tone_of(c.colour.srgb).neutral for c in every]
        free = wishes.colour_scheme == "white" or bool(wishes.colours)
        self._rules = [
            (np.array([c.kind.family for c in every]), np.ceil(MOST_OF_FAMILY * total)),
            (self._forms, np.ceil(MOST_OF_FORM * total)),
            (_only([c.kind.is_foliage for c in every]), np.ceil(MOST_OF_FOLIAGE * total)),
            (_only([passes(c) for c in every]), np.ceil(most_passing(every, total) * total)),
            (_only([not free and one for one in pale]), np.ceil(MOST_WHITE * total)),
        ]

    def of(self, some: Sequence[int]) -> float:
        """The programme's sum of these candidates."""
        own = [*some, *self._fixed]
        bloom, upto = self._odds[own].sum(axis=0), 0.0
        gain = float(self._score[own].sum()) + VARIETY * len(set(self._forms[own].tolist()))
        for level, (_, reward) in zip(self._levels, SUCCESSION, strict=True):
            gain += reward * float(np.clip(bloom - upto, 0.0, level).sum())
            upto += level
        return gain + LIT * float(np.minimum(self._fits[own].sum(axis=0), self._room).sum())

    def allows(self, some: Sequence[int]) -> bool:
        """Whether the rules on families, forms of flower, foliage and whites allow them, and the
        purse."""
        own = [*some, *self._fixed]
        for names, most in self._rules:
            counts = Counter(names[own].tolist())
            del counts[""]
            if max(counts.values(), default=0) > most:
                return False
        purse = self._purse
        return purse is None or purse.over([self._every[k] for k in own]) == 0.0


def _only(flags: Sequence[bool]) -> NDArray[np.str_]:
    """Names of which only those flagged count."""
    return np.where(np.array(flags, bool), "one", "")
