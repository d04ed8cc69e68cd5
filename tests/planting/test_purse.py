"""What a palette costs, and the budget that it is held to."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest
import shapely

from bedwright.brief import Brief, Prices
from bedwright.catalogue import Catalogue
from bedwright.climate import Season, soil_temperature, workable_day
from bedwright.geometry import outline_of
from bedwright.growth import Course, courses_of
from bedwright.light import Light, sun_hours
from bedwright.plan import Plan, make_plan, spent_on_ground
from bedwright.planting import BudgetNotKept, FewerForBudget, Planting, layout, make_planting
from bedwright.planting.arrange import Given
from bedwright.planting.palette.candidates import Candidate, Offer, candidate_of
from bedwright.planting.palette.choose import choose_palette
from bedwright.planting.palette.programme import _Programme, solve, solve_within
from bedwright.planting.palette.purse import CENT, Purse, Room, cost_of_form, spares_for
from bedwright.planting.palette.value import PaletteValue
from bedwright.report import say
from conftest import brief_of, examples, weather_at

PRICES = Prices(seed_packet=4, plant=1.5)


@pytest.fixture(scope="module")
def without_window(catalogue: Catalogue, galway: Season) -> dict[str, Course]:
    """Courses where nothing is raised indoors, so that tender kinds are bought as plants."""
    soil = soil_temperature(galway.tmean_c)
    ready = workable_day(galway, soil) + 14
    return courses_of(catalogue, galway, soil, ready, 0.1, False, -120)


@pytest.fixture(scope="module")
def light(galway: Season) -> Light:
    return sun_hours(outline_of(brief_of().bed), [], galway, (100, 300))


@pytest.fixture(scope="module")
def offered(
    catalogue: Catalogue, without_window: dict[str, Course], light: Light
) -> list[Candidate]:
    """Of every kind that fits its best form."""
    brief = brief_of()
    offer = Offer(catalogue, without_window, light, brief.ground, brief.wishes)
    return [candidate_of(offer, k.key) for k in catalogue if offer.rules_out(k, 1.0) is None]


def purse_with(left: float, fixed: bool = False, edge_m: float = 0.0) -> Purse:
    room = Room(bed_m2=6.0, drifts_m2=2.5, edge_m=edge_m, width_m=2.0)
    return Purse(left, left, 6.0, 4, PRICES, room, fixed, "€")


def some_of(offered: list[Candidate], seed: int) -> list[Candidate]:
    """Eight front kinds and eight middle ones, half of them bought if there are so many."""
    rng = np.random.default_rng(seed)
    chosen: list[Candidate] = []
    for tier in ("front", "middle"):
        own = [c for c in offered if c.tier == tier]
        chosen += [own[k] for k in rng.permutation(len(own))[:8]]
    return chosen


def test_a_form_costs_a_packet_or_its_plants_and_spares(offered: list[Candidate]) -> None:
    assert [spares_for(n) for n in (0, 1, 10, 11)] == [0, 1, 1, 2]
    for candidate in offered:
        bought = candidate.course.method == "bought"
        assert cost_of_form(candidate.course, 11, PRICES) == (13 * 1.5 if bought else 4)
        assert cost_of_form(candidate.course, 11, Prices()) is None


def test_the_most_that_a_palette_costs_by_hand(offered: list[Candidate]) -> None:
    """Plants of two forms that take up 0.85 of 2.5 m² each, the third what is left of 5.4 m²."""
    bought = [c for c in offered if c.course.method == "bought" and c.tier != "edging"][:3]
    sown = next(c for c in offered if c.course.method != "bought")
    rates = sorted((1.1 * 1.5 / c.kind.form.ground_m2 for c in bought), reverse=True)
    plants = sum(r * m2 for r, m2 in zip(rates, (2.125, 2.125, 1.15), strict=True))
    assert purse_with(50).most_cost([*bought, sown]) == pytest.approx(4 + 3 * 1.5 + plants)


@pytest.mark.parametrize("seed", range(5))
def test_the_rows_of_the_programme_cost_what_the_purse_says(
    offered: list[Candidate], light: Light, seed: int
) -> None:
    """By duality: the least that the rows let chosen forms cost is the most that they may cost."""
    some, edging = some_of(offered, seed), [c for c in offered if c.tier == "edging"][:3]
    purse = purse_with(1e6, edge_m=9.0)
    palette = [some[k] for k in np.random.default_rng(seed).choice(16, 5, replace=False)]
    palette += edging[:2]
    wanted = {t: sum(c.tier == t for c in palette) for t in ("edging", "front", "middle")}
    programme = _Programme(palette, brief_of().wishes, wanted, [], purse)
    # The shares of families and the like may not allow a palette drawn at random.
    programme._high = [np.inf] * len(programme._high)
    assert programme.least_cost() == pytest.approx(purse.most_cost(palette))


@pytest.mark.parametrize("seed", range(6))
def test_the_palette_is_the_best_that_the_purse_allows(
    offered: list[Candidate], light: Light, seed: int
) -> None:
    """Of all palettes of two kinds each of two heights, from sixteen drawn at random."""
    some, wishes = some_of(offered, seed), brief_of().wishes
    cells = np.arange(len(light.cells))
    wanted = {"front": 2, "middle": 2}
    free = solve(some, wishes, wanted, [cells])
    purse = purse_with(max(0.6 * purse_with(1.0).most_cost(free), 17.0))
    value = PaletteValue(some, [], wishes, [cells], 4, purse)
    pairs = [list(combinations(range(start, start + 8), 2)) for start in (0, 8)]
    allowed = [[*a, *b] for a, b in product(*pairs) if value.allows([*a, *b])]
    chosen = solve_within(purse, some, wishes, wanted, [cells])
    assert purse.most_cost(chosen) <= purse.left + CENT
    if allowed:
        most = max(value.of(one) for one in allowed)
        numbers = [next(k for k, c in enumerate(some) if c is one) for one in chosen]
        assert len(chosen) == 4
        assert most * 0.998 <= value.of(numbers) <= most + 1e-9


def test_where_the_counts_cost_too_much_fewer_forms_are_chosen(
    offered: list[Candidate], light: Light
) -> None:
    some, wishes, wanted = some_of(offered, 1), brief_of().wishes, {"front": 2, "middle": 2}
    sown = [c for c in some if c.course.method != "bought"]
    assert len(solve_within(purse_with(12), sown, wishes, wanted, [])) == 3
    # Not where the brief counts them, and not below three: then the cheapest are taken.
    assert len(solve_within(purse_with(12, fixed=True), sown, wishes, wanted, [])) == 4
    cheapest = solve_within(purse_with(1), some, wishes, wanted, [])
    assert len(cheapest) == 3
    assert all(c.course.method != "bought" for c in cheapest)


def beds() -> list[tuple[int, dict[str, object]]]:
    """Small beds, of any shape, narrow and long, with and without an edging; some can keep half of
    what they would cost, some with fewer kinds, some not at all."""
    out: list[tuple[int, dict[str, object]]] = []
    for seed in range(examples(3)):
        rng = np.random.default_rng(seed)
        angles = np.linspace(0, 2 * np.pi, 7, endpoint=False)
        corners = np.column_stack([1.5 * np.cos(angles), np.sin(angles)])
        corners *= rng.uniform(0.7, 1.3, 7)[:, None]
        corners *= np.sqrt(rng.uniform(0.8, 4.0) / shapely.Polygon(corners).area)
        bed: dict[str, object] = {
            "shape": "polygon",
            "corners": [[f"{x:.3f} m", f"{y:.3f} m"] for x, y in corners],
            "viewed_from": ("all", "S", "N")[seed % 3],
        }
        out.append((seed, bed))
    for width in ("25 cm", "40 cm", "65 cm"):
        bed = {"shape": "rectangle", "length": "4 m", "width": width, "viewed_from": "S"}
        out.append((100, bed))
    return out


@pytest.mark.parametrize(("seed", "bed"), beds())
def test_a_budget_is_kept_whenever_the_least_palette_allows_it(
    seed: int,
    bed: dict[str, object],
    catalogue: Catalogue,
    without_window: dict[str, Course],
    galway: Season,
) -> None:
    outline = outline_of(brief_of(bed=bed).bed)
    sun = sun_hours(outline, [], galway, (100, 300))
    prices = {"seed_packet": 4, "plant": 1.5}

    def planted(budget: float) -> tuple[Brief, Planting, float]:
        brief = brief_of(bed=bed, prices=prices, wishes={"budget": budget})
        made = make_planting(brief, outline, catalogue, without_window, sun, seed)
        costs = [cost_of_form(i.candidate.course, i.plants, brief.prices) for i in made.items]
        return brief, made, sum(cost for cost in costs if cost is not None)

    brief, free, cost = planted(10_000)
    given = Given(brief, outline, catalogue, without_window, sun, seed)
    at = layout._bed(given, frozenset(), 1)
    purse = layout._purse(at)
    assert purse is not None
    assert cost <= purse.most_cost([item.candidate for item in free.items])
    broke = replace(purse, left=0.0)
    limit = at.layout.height_limit_m
    least = choose_palette(given.offer, limit, at.wanted, frozenset(), broke).chosen
    needed = purse.widened().most_cost(least)
    for budget in (0.8 * cost, 0.5 * cost, needed):
        _, made, now = planted(budget)
        assert now <= max(budget, needed) + CENT
        fewer = [note for note in made.notes if isinstance(note, FewerForBudget)]
        assert all(note.planted < note.usual for note in fewer)


def test_what_is_paid_first_leaves_less(
    catalogue: Catalogue, courses: dict[str, Course], light: Light
) -> None:
    brief = brief_of(wishes={"budget": 60}, prices={"seed_packet": 4})
    outline = outline_of(brief.bed)

    def forms(spent: float) -> int:
        made = make_planting(brief, outline, catalogue, courses, light, 0, spent=spent)
        return len(made.items)

    usual = forms(0.0)
    assert usual >= 5
    assert forms(60.0 - 4 * (usual - 2)) == usual - 2
    assert forms(200.0) == 3


def test_the_planting_and_the_supplies_name_the_same_costs(example: Plan) -> None:
    lines = example.supplies.lines
    ground = [s.cost for s in lines if s.sort in ("soil", "feed") and s.to_buy > 0]
    assert spent_on_ground(example.ground) == pytest.approx(sum(c for c in ground if c is not None))
    plants = [s.cost for s in lines if s.sort in ("seed", "plants")]
    own = [
        cost_of_form(i.candidate.course, i.plants, example.brief.prices)
        for i in example.planting.items
    ]
    assert sum(c for c in plants if c is not None) == pytest.approx(
        sum(c for c in own if c is not None)
    )
    assert sum(c is None for c in plants) == sum(c is None for c in own)


def test_a_budget_that_cannot_be_kept_is_stated(catalogue: Catalogue) -> None:
    brief = brief_of(
        wishes={"budget": 10}, prices={"seed_packet": 4}, currency="€",
        materials=[{"material": "compost", "pack": "50 L", "price": 9}],
    )  # fmt: skip
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    note = BudgetNotKept(plan.supplies.cost - 10, 10, brief.currency)
    assert note in plan.notes
    assert "the budget of €10.00 cannot be kept" in say(note, "metric")
    assert len(plan.planting.items) == 3
