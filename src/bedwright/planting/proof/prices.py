"""The most that prices on agreement bound an arrangement's cost by, from below.

The dual of the local polytope (M. J. Wainwright and M. I. Jordan, Graphical Models, Exponential
Families and Variational Inference, 2008, section 4).  Drifts, pairs of drifts that touch and
triples that all touch each choose their items apart, as cheaply as they can; prices move cost
between them until their choices agree.  Whatever the prices, the sum of the least costs is no more
than that of any arrangement, so the bound holds however far the search for the best prices has
come.

Triples are there because pairs alone bound poorly: of three drifts that all touch, choices by pairs
can agree that no three items make (D. Sontag and others, Tightening LP Relaxations for MAP Using
Message Passing, Uncertainty in Artificial Intelligence, 2008).  What bloom lacks is convex in sums:
at a price for every drift and fortnight it falls apart into costs of drifts and of pairs.  The
price may differ by the item of the drift, so that no mixture of items in it makes an even season
which none of them makes alone (E. Balas, Disjunctive Programming, Discrete Applied Mathematics 89,
1998).

The prices climb by the gradient of the least costs made smooth, which get sharper as they climb
(B. Savchynskyy and others, Efficient MRF Energy Minimization via Adaptive Diminishing Smoothing,
Uncertainty in Artificial Intelligence, 2012), in steps scaled by the gradient's own size (D. P.
Kingma and J. Ba, Adam, International Conference on Learning Representations, 2015).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy import sparse

from bedwright.planting.arrange import Floats, Ints, Terms, link_table, pairs_of, triples_of

STEPS = 1200
"""Steps of the climb that come near the best prices (``benchmarks/planting.py``)."""

BLUNT, SHARP = 0.03, 0.0003
"""How far, in cost, choices are mixed at the beginning and at the end."""

LONG, SHORT = 0.1, 0.0003
"""Length of a step, in cost, at the beginning and at the end."""

SPEED, SIZE = 0.95, 0.99
"""How much of the means of the gradient and of its square is kept from step to step."""

HALVES = np.array([1.0, 0.5])
"""Parts of the wanted bloom below each of which what is lacking has its price (``energy.lack``)."""

MOST_CHOICES = 4_000_000
"""Choices of triples beyond which they are left out, for the memory they would take."""


class Prices(NamedTuple):
    """What moves between choices made apart, each added to one and taken from another.

    ``one``: (2, pairs, items) to each drift of a pair from the pair; ``two``: (3, triples, items,
    items) to each pair of a triple from it; ``bloom``: (2, drifts, items, fortnights) of what is
    lacking, by ``HALVES``; ``none``: (items,) of no use; ``over``: (items,) of a use too many.
    """

    one: Floats
    two: Floats
    bloom: Floats
    none: Floats
    over: Floats


def bound_by_prices(terms: Terms, steps: int = STEPS, enough: float = np.inf) -> float:
    """A cost that no arrangement goes below, in so many steps, 1 at least; the search ends early
    where it comes to ``enough``."""
    choices = _Choices(terms)
    prices, least, most = choices.limits()
    slope, square = (Prices(*(np.zeros_like(part) for part in prices)) for _ in range(2))
    best = -np.inf
    for step in range(1, steps + 1):
        past = (step - 1) / steps
        bound, gradient = choices.bound(prices, BLUNT * (SHARP / BLUNT) ** past)
        best = max(best, bound)
        if best >= enough:
            break
        length = LONG * (SHORT / LONG) ** past
        for part, up, mean, spread, low, high in zip(
            prices, gradient, slope, square, least, most, strict=True
        ):
            mean += (1.0 - SPEED) * (up - mean)
            spread += (1.0 - SIZE) * (up**2 - spread)
            scale = np.sqrt(spread / (1.0 - SIZE**step)) + 1e-8
            part += length / (1.0 - SPEED**step) * mean / scale
            np.clip(part, low, high, out=part)
    return best


class _Choices:
    """Drifts, pairs and triples that choose apart, and what is fixed of their costs."""

    def __init__(self, terms: Terms) -> None:
        self.terms = terms
        self.pairs, links = pairs_of(terms)
        self.triples = triples_of(terms)
        items = len(terms.height)
        if len(self.triples) * items**3 > MOST_CHOICES:
            self.triples = self.triples[:0]
        tables = [link_table(terms, link) for link in links]
        self.tables = np.array(tables).reshape(-1, items, items)
        self.share = terms.share[links], terms.share[terms.back[links]]
        number = {(int(d), int(e)): k for k, (d, e) in enumerate(self.pairs)}
        sides = ((0, 1), (0, 2), (1, 2))
        within = [[number[int(t[a]), int(t[b])] for t in self.triples] for a, b in sides]
        self.within = np.array(within, np.intp).reshape(3, -1)
        self.to_drifts = _sums(self.pairs.T, len(terms.local))
        self.to_pairs = _sums(self.within, len(self.pairs))

    def limits(self) -> tuple[Prices, Prices, Prices]:
        """Prices of nothing, and the least and the most that each may be."""
        terms = self.terms
        drifts, items = terms.local.shape
        zero = Prices(
            np.zeros((2, len(self.pairs), items)),
            np.zeros((3, len(self.triples), items, items)),
            np.zeros((2, drifts, items, len(terms.want))),
            np.zeros(items),
            np.zeros(items),
        )
        price = terms.price[:, None, None]
        free = np.array(np.inf)
        most = Prices(free, free, price, terms.unused, np.array(terms.over))
        none = np.zeros(())
        return zero, Prices(-free, -free, none, none, none), most

    def bound(self, prices: Prices, blunt: float) -> tuple[float, Prices]:
        """The sum of the least costs, and the gradient of the smooth ones by the prices."""
        terms, (drifts, items) = self.terms, self.terms.local.shape
        d, e = self.pairs.T
        toward, back = self.share[0][:, None, None], self.share[1][:, None, None]
        price = prices.bloom.sum(axis=0)
        lacks = HALVES[:, None] * terms.want  # (2, fortnights)

        one = terms.local + prices.over - prices.none
        one = one + np.einsum("hdit,ht->di", prices.bloom, lacks)
        one -= terms.own[:, None] * (price * terms.odds).sum(axis=2)
        one += (self.to_drifts @ prices.one.reshape(-1, items)).reshape(drifts, items)
        two = self.tables - prices.one[0][:, :, None] - prices.one[1][:, None, :]
        two -= toward * (price[d] @ terms.odds.T)
        two -= back * np.swapaxes(price[e] @ terms.odds.T, 1, 2)
        two += (self.to_pairs @ prices.two.reshape(-1, items**2)).reshape(two.shape)
        three = prices.two[0][:, :, :, None] + prices.two[1][:, :, None, :]
        three = -(three + prices.two[2][:, None, :, :])

        fixed = float(prices.none.sum() - terms.most * prices.over.sum())
        least_one, of_one = _least(one, blunt)
        least_two, of_two = _least(two, blunt)
        least_three, of_three = _least(three, blunt)

        uses = of_one.sum(axis=0)
        bloom = of_one[None, :, :, None] * lacks[:, None, None, :]
        got = terms.own[:, None, None] * of_one[:, :, None] * terms.odds
        near = [toward * (of_two @ terms.odds), back * (np.swapaxes(of_two, 1, 2) @ terms.odds)]
        beside = np.concatenate(near).reshape(2 * len(d), items * len(terms.want))
        got += (self.to_drifts @ beside).reshape(got.shape)
        gradient = Prices(
            np.stack([of_one[d] - of_two.sum(axis=2), of_one[e] - of_two.sum(axis=1)]),
            np.stack([of_two[k] - of_three.sum(axis=3 - n) for n, k in enumerate(self.within)]),
            bloom - got,
            1.0 - uses,
            uses - terms.most,
        )
        return fixed + least_one + least_two + least_three, gradient


def _sums(to: Ints, size: int) -> sparse.csr_matrix:
    """The matrix that adds rows, in the order of ``to`` raveled, to the ``size`` they belong to."""
    to = to.ravel()
    return sparse.csr_matrix((np.ones(len(to)), (to, np.arange(len(to)))), shape=(size, len(to)))


def _least(costs: Floats, blunt: float) -> tuple[float, Floats]:
    """The least cost of each that chooses, summed, and the shares of its choices when mixed: those
    that the smooth least cost, ``-blunt * log(sum(exp(-cost / blunt)))``, has for its gradient."""
    flat = costs.reshape(len(costs), -1) if len(costs) else costs.reshape(0, 1)
    least = flat.min(axis=1, keepdims=True)
    shares = np.exp((least - flat) / blunt)
    shares /= shares.sum(axis=1, keepdims=True)
    return float(least.sum()), shares.reshape(costs.shape)
