"""The colours chosen together, against every choice there is."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

import numpy as np
import pytest

from bedwright.plan import Plan
from bedwright.planting.arrange.objective import pair_parts, sites_of
from bedwright.planting.arrange.recolour import in_place
from bedwright.planting.palette.harmony import recoloured


@pytest.mark.parametrize("seed", range(10))
def test_recoloured_meets_full_enumeration(seed: int) -> None:
    rng = np.random.default_rng(seed)
    kinds, each = 5, 4
    choices = [list(range(k * each, (k + 1) * each)) for k in range(kinds)]
    loss, clash = rng.random(kinds * each), rng.random((kinds * each, kinds * each))
    beside = rng.integers(0, 3, (kinds, kinds)).astype(float)
    clash, beside = clash + clash.T, beside + beside.T
    np.fill_diagonal(beside, 0.0)

    def allowed(forms: Sequence[int]) -> bool:
        return sum(form % each == 0 for form in forms) <= 2

    def cost(forms: Sequence[int]) -> float:
        own = sum(loss[form] for form in forms)
        pairs = sum(
            beside[a, b] * clash[forms[a], forms[b]] for a in range(kinds) for b in range(a)
        )
        return float(own + pairs)

    least = min(cost(forms) for forms in product(*choices) if allowed(forms))
    got = recoloured(choices, loss, clash, beside, allowed)
    assert allowed(got)
    assert all(form in own for form, own in zip(got, choices, strict=True))
    assert cost(got) == pytest.approx(least)


def test_in_place_neighbours_clash_no_more_than_before(example: Plan) -> None:
    body = [drift for drift in example.planting.drifts if not drift.ribbon]
    items = [item.candidate for item in example.planting.items]
    owners = np.array([drift.item for drift in body])
    sites = sites_of(example.outline, example.light, [drift.polygon for drift in body])
    # Each kind in every colour that it has, whatever the wishes.
    offered = [
        type(item)(item.kind, colour, item.course, item.sunny, item.terms)
        for item in items
        for colour in item.kind.colours
    ]
    new = in_place(items, offered, owners, sites, example.brief.wishes)

    def clash(some: Sequence[object]) -> float:
        table = pair_parts(list(some))["colour"]  # type: ignore[arg-type]
        return float(sum(table[owners[a], owners[b]] for a, b in sites.touching))

    assert [c.kind.key for c in new] == [c.kind.key for c in items]
    assert clash(new) <= clash(items) + 1e-9
