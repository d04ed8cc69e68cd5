"""The colours of an arrangement's kinds chosen again, by which of them touch (see ``harmony``)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Wishes
from bedwright.planting.arrange.objective import Sites, local_parts, pair_parts
from bedwright.planting.palette import Candidate, choices_of, recoloured, rules_of


def in_place(
    items: Sequence[Candidate],
    offered: Sequence[Candidate],
    owners: NDArray[np.int64],
    sites: Sites,
    wishes: Wishes,
) -> list[Candidate]:
    """The items of an arrangement in such of the offered colours that those that touch get on.

    ``owners``: (drifts,) numbers of items.
    """
    forms, choices = choices_of(items, offered)
    merit = local_parts(sites, forms)["merit"]
    loss = np.zeros(len(forms))
    for item, own in enumerate(choices):
        loss[own] = merit[np.ix_(owners == item, own)].sum(axis=0)
    beside = np.zeros((len(items), len(items)))
    for a, b in owners[np.array(sites.touching, np.intp).reshape(-1, 2)]:
        if a != b:
            beside[a, b] += 1.0
            beside[b, a] += 1.0
    allowed = rules_of(forms, len(items), wishes)
    return [
        forms[k] for k in recoloured(choices, loss, pair_parts(forms)["colour"], beside, allowed)
    ]
