"""The colours of chosen kinds, so that they get on with one another.

The palette's programme takes each form by its own merits.  Given the kinds, their forms are then
chosen together: the least of what the forms lose of their own score and of the discord of every two
that may bloom side by side, by descent from many starts, one form at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

W_DISCORD = 6.0
"""Price of the worst discord of a form with all others together, beside a score (estimate)."""

STARTS = 24


def recoloured(
    choices: Sequence[Sequence[int]],
    score: NDArray[np.float64],
    discord: NDArray[np.float64],
    allowed: Callable[[Sequence[int]], bool],
    seed: int = 0,
) -> list[int]:
    """One form for every kind.

    ``choices``: for each kind, the numbers of its forms, that of the palette first; ``score``:
    (forms,); ``discord``: (forms, forms) of two that stand together; ``allowed``: whether a set of
    forms keeps the palette's rules.  What is given back is never worse than the palette's own.
    """
    rng = np.random.default_rng(seed)
    weight = W_DISCORD / max(len(choices) - 1, 1)

    def cost(forms: Sequence[int]) -> float:
        pairs = discord[np.ix_(forms, forms)].sum() / 2
        return float(weight * pairs - score[list(forms)].sum())

    best = [own[0] for own in choices]
    least = cost(best)
    for start in range(STARTS):
        forms = list(best) if start == 0 else [int(rng.choice(list(own))) for own in choices]
        if not allowed(forms):
            continue
        now = cost(forms)
        better = True
        while better:
            better = False
            for place, own in enumerate(choices):
                for form in own:
                    tried = [*forms[:place], form, *forms[place + 1 :]]
                    then = cost(tried)
                    if then < now - 1e-9 and allowed(tried):
                        forms, now, better = tried, then, True
        if now < least - 1e-9:
            best, least = forms, now
    return best
