"""A panel of design rules judges the planting beside two others, without knowing which is which.

On each of so many beds stand three plantings in the same drifts: ours; one at random from the
kinds that fit the place; and a greedy one, which gives each drift, from the tallest wanted down,
the kind that suits it best of those that no neighbour has.  Each rule scores a planting from 0 to 1
by what is drawn (polygons, heights, hues, bloom, light), not by the sums that the planting was made
with, and votes for the higher of two scores.  A planting is preferred that gets more votes.

Rules, and where they were read:

- heights: the tallest at the back, or in the middle of an island, lower toward the edge
  (westtexasgardening.org, Garden Design; 98905.com, flower beds).
- masses: groups of three and more, not single plants (WVU Extension, J. Jett, Gardening with
  Flowers: five to seven; westtexasgardening.org: three at least).
- odd: small groups in odd numbers (Texas A&M AgriLife, easttexasgardening.tamu.edu, Planting
  Annuals; WVU).
- rhythm: masses of the same flowers repeated (98905.com).
- harmony: hues alike, opposite or a third of the circle apart get on, and white with all
  (flowers-for-men.blogspot.com, Designing your flower garden, 2012); of neighbours that bloom
  together.
- season: a third of the planting in bloom at any time (the same).
- light: full sun or shade as each kind wants (Cornell, Flower Garden Design Basics: break this rule
  at your own peril).
- contrast: forms of flower that differ side by side (howstuffworks.com, Annuals garden design;
  coffeeforroses.com, Flower size and shape).

Usage: ``python benchmarks/panel.py`` (in the development environment)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.catalogue import load_catalogue
from bedwright.planting import Candidate, Planting, make_planting
from bedwright.planting.arrange.objective import local_parts, sites_of
from bedwright.planting.beds import height_limit
from bedwright.planting.palette.candidates import candidate_of
from bedwright.planting.palette.colour import tone_of
from bedwright.planting.place.places import Part, place_all
from bedwright.planting.place.view import distances
from planting import Case
from timing import SHORT, Row, show

FIRST_SEED = 11000
"""Of the beds; weights were tried on beds from 1000, 2000 and 4000 on, and those from 7000 and from
9000 on were looked at now and then."""

STEP_M = 0.05
"""Difference of height that the eye makes out (estimate)."""


@dataclass(frozen=True)
class Drawn:
    """One planting as the panel sees it: drift by drift, what grows there and how much of it."""

    polygons: list[BaseGeometry]
    items: list[Candidate]
    plants: list[int]


def drawn(planting: Planting) -> Drawn:
    """The body of a planting, without its edging, which all three share."""
    body = [drift for drift in planting.drifts if not drift.ribbon]
    items = [planting.items[drift.item].candidate for drift in body]
    return Drawn([d.polygon for d in body], items, [len(d.places) for d in body])


def planted(case: Case, ours: Planting, items: list[Candidate]) -> Drawn:
    """Items in our drifts beside our edging, their plants set out as ours are."""
    body = [drift for drift in ours.drifts if not drift.ribbon]
    parts = [Part(d.polygon, item, False) for d, item in zip(body, items, strict=True)]
    for drift in ours.drifts:
        if drift.ribbon:
            parts.append(Part(drift.polygon, ours.items[drift.item].candidate, True))
    chosen = [part.item for part in parts]
    placed = place_all(case.outline.polygon, case.outline, case.light, parts, chosen)
    rows = [drift for drift in placed if not drift.ribbon]
    return Drawn(
        [drift.polygon for drift in rows],
        [chosen[drift.item] for drift in rows],
        [len(drift.places) for drift in rows],
    )


def others(case: Case, ours: Planting, rng: np.random.Generator) -> tuple[Drawn, Drawn]:
    """The random planting and the greedy one."""
    polygons = [drift.polygon for drift in ours.drifts if not drift.ribbon]
    limit = height_limit(case.outline, None)
    fit = [
        candidate_of(case.offer, kind.key)
        for kind in case.catalogue
        if case.offer.rules_out(kind, limit) is None
    ]
    chance = [fit[k] for k in rng.integers(0, len(fit), len(polygons))]
    sites = sites_of(case.outline, case.light, polygons)
    own = np.asarray(sum(local_parts(sites, fit).values()))
    near = {d: set[int]() for d in range(len(polygons))}
    for a, b in sites.touching:
        near[a].add(b)
        near[b].add(a)
    greedy: dict[int, int] = {}
    for d in np.argsort(-sites.depth):
        taken = {greedy[e] for e in near[int(d)] if e in greedy}
        greedy[int(d)] = next(int(i) for i in np.argsort(own[d]) if int(i) not in taken)
    best = [fit[greedy[d]] for d in range(len(polygons))]
    return planted(case, ours, chance), planted(case, ours, best)


def judged(case: Case, one: Drawn) -> dict[str, float]:
    """The score of each rule."""
    sites = sites_of(case.outline, case.light, one.polygons)
    pairs = sites.touching
    heights = np.array([item.kind.form.height_m for item in one.items])
    middles = np.array([p.representative_point().coords[0] for p in one.polygons])
    away = distances(case.outline, middles)
    area = np.array([p.area for p in one.polygons])
    small = [n for n in one.plants if n < 8]
    keys = [item.kind.key for item in one.items]
    order = [
        float(heights[b] >= heights[a] - STEP_M)
        for a, b in (pair if away[pair[0]] <= away[pair[1]] else pair[::-1] for pair in pairs)
        if abs(away[a] - away[b]) > 0.15
    ]
    odds = np.array([item.course.bloom.odds for item in one.items])
    # A fortnight belongs to the season where half of all kinds that fit could bloom.
    alive = np.array([c.bloom.odds for c in case.courses.values()])
    season = np.flatnonzero((alive > 0.5).mean(axis=0) > 0.1)
    blooming = (odds * area[:, None]).sum(axis=0)[season] / area.sum()
    light = []
    for cells, item in zip(sites.cells, one.items, strict=True):
        hours = case.light.over(item.course.window)[cells]
        liking = item.kind.liking
        light.append(float(((hours >= liking.sun_min_h) & (hours <= liking.sun_max_h)).mean()))
    forms = [item.kind.form.flower_form for item in one.items]
    return {
        "heights": mean(order),
        "masses": float(np.mean(np.array(one.plants) >= 3)),
        "odd": mean([float(n % 2) for n in small]),
        "rhythm": float(len(set(keys)) < len(keys)),
        "harmony": mean([harmony(one.items[a], one.items[b]) for a, b in pairs]),
        "season": mean([float(share >= 1 / 3) for share in blooming]),
        "light": float(np.average(light, weights=area)),
        "contrast": mean([float(forms[a] != forms[b]) for a, b in pairs]),
    }


def mean(values: list[float]) -> float:
    """Mean, or 1 where a rule finds nothing to judge."""
    return float(np.mean(values)) if values else 1.0


def harmony(one: Candidate, two: Candidate) -> float:
    """Whether two colours get on."""
    both = float(np.minimum(one.course.bloom.odds, two.course.bloom.odds).max())
    tones = tone_of(one.colour.srgb), tone_of(two.colour.srgb)
    if both < 0.3 or any(tone.neutral for tone in tones):
        return 1.0
    apart = abs((tones[0].hue - tones[1].hue + 180) % 360 - 180)
    return float(apart <= 40 or 100 <= apart <= 140 or apart >= 150)


def rows() -> Iterator[Row]:
    count, least, most = (1, 2.0, 3.0) if SHORT else (100, 5.0, 40.0)
    catalogue = load_catalogue()
    wins: dict[str, NDArray[np.int64]] = {"random": np.zeros(3, int), "greedy": np.zeros(3, int)}
    votes: dict[str, list[list[float]]] = {}
    for seed in range(count):
        rng = np.random.default_rng(FIRST_SEED + seed)
        case = Case(
            catalogue, FIRST_SEED + seed, float(rng.uniform(least, most)), shaded=seed % 2 == 1
        )
        planting = make_planting(
            case.brief, case.outline, catalogue, case.courses, case.light, seed
        )
        ours = drawn(planting)
        chance, greedy = others(case, planting, rng)
        scores = [judged(case, one) for one in (ours, chance, greedy)]
        for rule in scores[0]:
            votes.setdefault(rule, []).append([score[rule] for score in scores])
        for name, theirs in (("random", scores[1]), ("greedy", scores[2])):
            lead = sum(np.sign(round(scores[0][r] - theirs[r], 6)) for r in theirs)
            wins[name][int(1 - np.sign(lead))] += 1
    size = f"{count} beds of {least:g} to {most:g} m²"
    for name, (won, level, lost) in wins.items():
        yield Row(f"beds preferred, ours or the {name} planting, {level} level", size, float(won),
                  "beds", float(lost), name)  # fmt: skip
    for rule, scores_ in votes.items():
        ours_, random_, greedy_ = np.mean(scores_, axis=0)
        yield Row(f"score of the rule: {rule}", size, ours_, "of 1", random_, "random")
        yield Row(f"score of the rule: {rule}", size, ours_, "of 1", greedy_, "greedy")


if __name__ == "__main__":
    show(rows())
