"""The colours of chosen kinds, so that they get on with one another.

The palette's programme takes each form by its own merits.  Given the kinds, their forms are then
chosen together: the least of what the forms lose of their own score and of the discord of those
that stand side by side, by descent from many starts, one form at a time.  That is done twice:
before the kinds have their places, when any two may meet (here), and then by those that do
(``recolour``).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Wishes
from bedwright.planting.palette.candidates import Candidate
from bedwright.planting.palette.colour import discord, tone_of

W_DISCORD = 12.0
"""Price of the worst discord of a form with all others together, beside a score (estimate)."""

STARTS = 24


def in_harmony(
    chosen: Sequence[Candidate], offered: Sequence[Candidate], wishes: Wishes
) -> list[Candidate]:
    """The chosen kinds in such of the offered colours that any two of them get on."""
    forms, choices = choices_of(chosen, offered)
    odds = np.array([c.course.bloom.odds for c in forms])
    both = np.minimum(odds[:, None], odds[None]).max(axis=2)
    clash = np.array([[discord(a.colour.srgb, b.colour.srgb) for b in forms] for a in forms])
    loss = -np.array([c.score for c in forms])
    size = len(chosen)
    beside = (1.0 - np.eye(size)) * W_DISCORD / max(size - 1, 1)
    allowed = rules_of(forms, size, wishes)
    return [forms[k] for k in recoloured(choices, loss, clash * both, beside, allowed)]


def choices_of(
    chosen: Sequence[Candidate], offered: Sequence[Candidate]
) -> tuple[list[Candidate], list[list[int]]]:
    """All forms, the chosen first, and for each chosen the numbers of those it may take."""
    taken = [(c.kind.key, c.colour.name) for c in chosen]
    forms = list(chosen)
    choices: list[list[int]] = []
    for number, own in enumerate(chosen):
        others = [
            c
            for c in offered
            if c.kind.key == own.kind.key and (c.kind.key, c.colour.name) not in taken
        ]
        choices.append([number, *range(len(forms), len(forms) + len(others))])
        forms += others
    return forms, choices


def rules_of(
    forms: Sequence[Candidate], size: int, wishes: Wishes
) -> Callable[[Sequence[int]], bool]:
    """Whether a set of forms has no more whites than were chosen first, and no form twice."""
    pale = np.array([tone_of(c.colour.srgb).neutral for c in forms])
    most = len(forms) if wishes.colour_scheme == "white" or wishes.colours else pale[:size].sum()

    def allowed(some: Sequence[int]) -> bool:
        return len(set(some)) == len(some) and bool(pale[list(some)].sum() <= most)

    return allowed


def recoloured(
    choices: Sequence[Sequence[int]],
    loss: NDArray[np.float64],
    clash: NDArray[np.float64],
    beside: NDArray[np.float64],
    allowed: Callable[[Sequence[int]], bool],
    seed: int = 0,
) -> list[int]:
    """One form for every kind.

    ``choices``: for each kind, the numbers of its forms, that chosen before first; ``loss``:
    (forms,) by itself; ``clash``: (forms, forms) of two side by side; ``beside``: (kinds, kinds)
    how much two kinds stand side by side; ``allowed``: whether a set of forms keeps the rules.
    What is given back never costs more than what was chosen before.
    """
    rng = np.random.default_rng(seed)

    def cost(forms: Sequence[int]) -> float:
        some = np.array(forms)
        pairs = (beside * clash[some[:, None], some]).sum() / 2
        return float(pairs + loss[some].sum())

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
                    if form == forms[place]:
                        continue
                    tried = [*forms[:place], form, *forms[place + 1 :]]
                    then = cost(tried)
                    if then < now - 1e-9 and allowed(tried):
                        forms, now, better = tried, then, True
        if now < least - 1e-9:
            best, least = forms, now
    return best
