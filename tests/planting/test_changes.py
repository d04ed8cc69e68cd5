"""What a gardener changes in a first planting, the schemes to choose from, and why."""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest

from bedwright.brief import Brief, BriefError
from bedwright.catalogue import Catalogue
from bedwright.climate import Season
from bedwright.geometry import Outline, outline_of
from bedwright.growth import Course
from bedwright.light import Light, bodies_of, sun_hours
from bedwright.planting import (
    ChangeError,
    Drift,
    LeftOutAsWished,
    NothingInstead,
    NothingToSwap,
    Planting,
    SpotInNoDrift,
    SuitsDrift,
    TwoKindsAsked,
    TwoSizesAsked,
    first_planting,
    make_planting,
    make_variants,
)
from bedwright.planting.palette.candidates import tier_of
from bedwright.report import say
from conftest import brief_of

BED = {"shape": "ellipse", "length": "5 m", "width": "3 m"}


@pytest.fixture(scope="module")
def ground(galway: Season) -> tuple[Outline, Light]:
    outline = outline_of(brief_of(bed=BED).bed)
    return outline, sun_hours(outline, bodies_of(outline, ()), galway, (100, 300))


class Bed:
    """A bed that can be planted again with changes."""

    def __init__(
        self, catalogue: Catalogue, courses: dict[str, Course], ground: tuple[Outline, Light]
    ) -> None:
        self.known = catalogue, courses, *ground

    def planted(self, changes: list[dict[str, object]], **wishes: object) -> Planting:
        return self.of(brief_of(bed=BED, changes=changes, wishes=wishes))

    def of(self, brief: Brief) -> Planting:
        catalogue, courses, outline, light = self.known
        return make_planting(brief, outline, catalogue, courses, light, 0)


@pytest.fixture(scope="module")
def bed(catalogue: Catalogue, courses: dict[str, Course], ground: tuple[Outline, Light]) -> Bed:
    return Bed(catalogue, courses, ground)


@pytest.fixture(scope="module")
def first(bed: Bed) -> Planting:
    return bed.planted([])


def spot(drift: Drift) -> list[str]:
    x, y = drift.polygon.representative_point().coords[0]
    return [f"{x:.4f} m", f"{y:.4f} m"]


def body(planting: Planting) -> list[Drift]:
    return [drift for drift in planting.drifts if not drift.ribbon]


def labels(planting: Planting) -> list[str]:
    return [planting.items[drift.item].label for drift in body(planting)]


def test_a_kind_asked_for_at_a_spot_grows_there_and_little_else_moves(
    bed: Bed, first: Planting
) -> None:
    asked = {"at": spot(body(first)[2]), "grow": "tall_zinnia", "colour": "scarlet"}
    made = bed.planted([asked])
    before, after = labels(first), labels(made)
    assert after[2] == "tall zinnia, scarlet"
    assert sum(a != b for a, b in zip(before, after, strict=True)) <= 3
    assert [d.polygon.wkb for d in body(first)] == [d.polygon.wkb for d in body(made)]


def test_what_stood_there_before_keeps_its_letter(bed: Bed, first: Planting) -> None:
    had = {item.label: item.letter for item in first.items}
    drifts = body(first)
    made = bed.planted([
        {"at": spot(drifts[2]), "grow": "tall_zinnia", "colour": "scarlet"},
        {"at": spot(drifts[0]), "grow": "hybrid_zinnia"},
    ])  # fmt: skip
    now = {item.label: item.letter for item in made.items}
    assert len(set(now.values())) == len(now)
    assert sorted(now.values()) == list(now.values()), "items stand in the order of their letters"
    kept = [label for label in now if label in had]
    assert kept
    assert [now[label] for label in kept] == [had[label] for label in kept]
    new = [letter for label, letter in now.items() if label not in had]
    assert min(new) > max(had.values())


def test_a_drift_kept_as_it_is_changes_nothing_else(bed: Bed, first: Planting) -> None:
    """Where the first planting was arranged again for drifts too small to fill, too."""
    catalogue, courses, outline, light = bed.known
    plain = brief_of(bed=BED, changes=[])
    begun = first_planting(plain, outline, catalogue, courses, light, 0)
    for drift in body(first):
        item = first.items[drift.item].candidate
        kept = {"at": spot(drift), "grow": item.kind.key, "colour": item.colour.name}
        asked = brief_of(bed=BED, changes=[kept])
        made = make_planting(asked, outline, catalogue, courses, light, 0, first=begun)
        assert labels(made) == labels(first)
        assert [d.places.tolist() for d in made.drifts] == [d.places.tolist() for d in first.drifts]


def test_two_drifts_change_places(bed: Bed, first: Planting) -> None:
    before = labels(first)
    one, two = next((a, b) for a in range(len(before)) for b in range(a) if before[a] != before[b])
    drifts = body(first)
    after = labels(bed.planted([{"at": spot(drifts[one]), "swap": spot(drifts[two])}]))
    assert (after[one], after[two]) == (before[two], before[one])


def test_a_drift_grows_and_the_others_give_way(bed: Bed, first: Planting) -> None:
    drifts = body(first)
    made = body(bed.planted([{"at": spot(drifts[1]), "size": 1.7}]))
    ratio = np.array([new.polygon.area / old.polygon.area
                      for old, new in zip(drifts, made, strict=True)])  # fmt: skip
    whole = sum(d.polygon.area for d in drifts)
    wanted = 1.7 * whole / (whole + 0.7 * drifts[1].polygon.area)
    assert ratio[1] == pytest.approx(wanted, rel=0.04)
    assert (np.delete(ratio, 1) < 1.0).all()


def test_changes_at_odds_or_out_of_the_bed_are_stated(bed: Bed, first: Planting) -> None:
    here = spot(body(first)[0])
    with pytest.raises(ChangeError) as caught:
        bed.planted([{"at": here, "grow": "tall_zinnia"}, {"at": here, "grow": "coleus"}])
    fact = caught.value.fact
    assert isinstance(fact, TwoKindsAsked)
    assert (fact.change, fact.name, fact.earlier) == (2, "coleus", 1)
    words = rf"changes\[2\]: given coleus, {fact.colour}, where changes\[1\] asks for tall zinnia;"
    assert re.match(words + " accepted: one kind for each drift", say(fact, "us"))
    with pytest.raises(BriefError, match=r"changes\[1\]\.at: given 9 m, 9 m"):
        bed.planted([{"at": ["9 m", "9 m"], "size": 1.5}])
    with pytest.raises(BriefError, match=r"changes\[1\]\.swap: given 9 m, 9 m"):
        bed.planted([{"at": here, "swap": ["9 m", "9 m"]}])


def test_a_drift_sized_twice_is_stated_with_both_changes(bed: Bed, first: Planting) -> None:
    here = {"at": spot(body(first)[1]), "size": 0.4}
    with pytest.raises(ChangeError) as caught:
        bed.planted([here] * 9)
    assert caught.value.fact == TwoSizesAsked(2, 0.4, 1)
    assert say(caught.value.fact, "us").startswith("changes[2].size: given 0.4 for the drift that")


def test_every_drift_may_have_a_size(bed: Bed, first: Planting) -> None:
    sizes = [0.4, 2.5] * 20
    made = bed.planted([{"at": spot(d), "size": s}
                        for d, s in zip(body(first), sizes, strict=False)])  # fmt: skip
    areas = np.array([d.polygon.area for d in body(made)])
    before = np.array([d.polygon.area for d in body(first)])
    wanted = before * sizes[: len(before)]
    assert areas / areas.sum() == pytest.approx(wanted / wanted.sum(), rel=0.05)


def test_a_swap_that_changes_nothing_is_stated(bed: Bed, first: Planting) -> None:
    here = spot(body(first)[0])
    with pytest.raises(ChangeError) as caught:
        bed.planted([{"at": here, "swap": here}])
    item = first.items[body(first)[0].item].candidate
    assert caught.value.fact == NothingToSwap(1, item.kind.name, item.colour.name, True)
    assert say(caught.value.fact, "us").startswith("changes[1].swap: given the drift itself")


def test_swaps_in_a_chain_are_stated(bed: Bed, first: Planting) -> None:
    names = labels(first)
    by_name = dict(zip(names, body(first), strict=True))
    a, b, c = (spot(drift) for drift in list(by_name.values())[:3])
    with pytest.raises(ChangeError) as caught:
        bed.planted([{"at": a, "swap": b}, {"at": b, "swap": c}])
    assert isinstance(caught.value.fact, TwoKindsAsked)
    assert (caught.value.fact.change, caught.value.fact.earlier) == (2, 1)


def test_a_kind_that_is_never_to_grow_gives_way_and_little_else_moves(
    bed: Bed, first: Planting
) -> None:
    """Fewer drifts change than where the bed is planted again with the kind left out."""
    before, moved, again = labels(first), [], []
    kinds = {item.candidate.kind.key: item.label for item in first.items}
    for key, label in kinds.items():
        made = bed.planted([{"never": key}])
        assert key not in {item.candidate.kind.key for item in made.items}
        assert made.left_out[key] == LeftOutAsWished()
        now = {item.label for item in made.items}
        assert len(now - set(kinds.values())) <= 1, "those that stay keep their colours"
        stays = [(a, b) for a, b in zip(before, labels(made), strict=True) if a != label]
        moved.append(sum(a != b for a, b in stays))
        other = labels(bed.planted([], leave_out=[key]))
        again.append(sum(a not in other for a in before if a != label))
    assert np.median(moved) <= 1
    assert np.mean(moved) < 0.5 * np.mean(again)


def test_an_edging_that_is_never_to_grow_gives_way_to_another(bed: Bed, first: Planting) -> None:
    edging = {first.items[d.item].candidate.kind.key for d in first.drifts if d.ribbon}
    made = bed.planted([{"never": key} for key in edging])
    now = [made.items[d.item].candidate for d in made.drifts if d.ribbon]
    assert now
    assert not {one.kind.key for one in now} & edging
    assert all(one.tier == "edging" for one in now)
    rows = [[d.polygon.wkb for d in planting.drifts if d.ribbon] for planting in (first, made)]
    assert rows[0] == rows[1]


def test_a_kind_in_whose_place_no_other_can_stand_is_stated(bed: Bed) -> None:
    """Here: all that can edge a bed."""
    every = [kind.key for kind in bed.known[0] if tier_of(kind) == "edging"]
    with pytest.raises(ChangeError) as caught:
        bed.planted([{"never": key} for key in every])
    assert isinstance(caught.value.fact, NothingInstead)
    assert caught.value.fact.key in every
    assert say(caught.value.fact, "us").startswith("changes: given never '")


def test_a_spot_in_the_edging_is_stated(bed: Bed, first: Planting) -> None:
    edge = next(drift for drift in first.drifts if drift.ribbon)
    x, y = edge.places[0]
    with pytest.raises(ChangeError) as caught:
        bed.planted([{"at": [f"{x:.4f} m", f"{y:.4f} m"], "grow": "tall_zinnia"}])
    fact = caught.value.fact
    assert isinstance(fact, SpotInNoDrift)
    assert (fact.field, fact.x_m) == ("changes[1].at", pytest.approx(x, abs=1e-4))
    assert "edge_with" in say(fact, "us")


def test_a_spot_on_a_plant_that_stays_is_stated(
    catalogue: Catalogue, courses: dict[str, Course], ground: tuple[Outline, Light]
) -> None:
    stays = [{"name": "rose", "at": ["2.5 m", "0 m"], "spread": "80 cm"}]
    change = {"at": ["2.5 m", "0 m"], "grow": "tall_zinnia"}
    brief = brief_of(bed=BED, existing=stays, changes=[change])
    with pytest.raises(ChangeError) as caught:
        make_planting(brief, ground[0], catalogue, courses, ground[1], 0)
    assert caught.value.fact == SpotInNoDrift("changes[1].at", 2.5, 0.0)


def test_a_bed_of_one_drift_may_be_asked_to_size_it(
    catalogue: Catalogue, courses: dict[str, Course], galway: Season
) -> None:
    """It has nowhere to grow, wherever the bed lies in its frame."""
    corners = [["60 m", "60 m"], ["60.8 m", "60 m"], ["60.8 m", "60.8 m"], ["60 m", "60.8 m"]]
    bed = {"shape": "polygon", "corners": corners}
    outline = outline_of(brief_of(bed=bed).bed)
    light = sun_hours(outline, bodies_of(outline, ()), galway, (100, 300))
    brief = brief_of(
        bed=bed, changes=[{"at": ["60.4 m", "60.4 m"], "size": 2}], wishes={"edging": False}
    )
    made = make_planting(brief, outline, catalogue, courses, light, 0)
    assert len(made.drifts) == 1
    assert made.drifts[0].polygon.area == pytest.approx(0.64)


def test_changes_where_only_gaps_are_planted_are_a_fault() -> None:
    stays = [{"name": "rose", "at": ["2.5 m", "0 m"], "spread": "80 cm"}]
    change = {"at": ["1 m", "0 m"], "size": 2}
    with pytest.raises(BriefError, match=r"changes: given changes of drifts"):
        brief_of(bed=BED, existing=stays, changes=[change], wishes={"gaps_only": True})


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"at": ["1 m", "1 m"]}, "a spot with grow, size or swap beside it"),
        ({"at": ["1 m", "1 m"], "size": 9}, "a number from 0.4 to 2.5"),
        ({"size": 2}, "a spot in a drift; or never, with a kind"),
        ({"at": ["1 m", "1 m"], "never": "coleus"}, "by itself: it is for the whole bed"),
        ({"never": "triffid"}, r"changes\[1\].never: given 'triffid'; accepted: a key of the"),
        ({"at": ["1 m", "1 m"], "size": 1.2, "colour": "red"}, "the kind named by grow"),
        ({"at": ["1 m", "1 m"], "grow": "triffid"}, "a key of the catalogue"),
        ({"at": ["1 m", "1 m"], "grow": "coleus", "colour": "puce"}, "one of deep red"),
    ],
)
def test_a_change_that_cannot_be_read_is_a_fault(change: dict[str, object], words: str) -> None:
    with pytest.raises(BriefError, match=words):
        brief_of(bed=BED, changes=[change])


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"wishes": {"grow": ["coleus"]}}, r"changes\[1\].never: given 'Coleus'; accepted: a kind"),
        ({"changes": [{"never": "Coleus"}, {"at": ["1 m", "1 m"], "grow": "coleus"}]},
         r"changes\[2\].grow: given 'coleus'; accepted: a kind that no other change says"),
    ],
)  # fmt: skip
def test_a_kind_both_wanted_and_never_is_a_fault(more: dict[str, object], words: str) -> None:
    with pytest.raises(BriefError, match=words):
        brief_of(bed=BED, **{"changes": [{"never": "Coleus"}], **more})


def test_schemes_differ_and_the_variant_chooses_among_them(
    bed: Bed, ground: tuple[Outline, Light]
) -> None:
    catalogue, courses, outline, light = bed.known
    three = make_variants(brief_of(bed=BED), outline, catalogue, courses, light, 0, 3)
    forms = [{i.label for i in made.items} for made in three]
    for a, b in ((0, 1), (0, 2), (1, 2)):
        assert len(forms[a] & forms[b]) <= 0.4 * len(forms[a])
    plain = brief_of(bed=BED, wishes={"variant": 2})
    begun = first_planting(plain, outline, catalogue, courses, light, 0)
    again = make_variants(plain, outline, catalogue, courses, light, 0, 3, first=begun)
    assert [[i.label for i in made.items] for made in again] == [
        [i.label for i in made.items] for made in three
    ]
    with pytest.raises(ValueError, match="first planting"):
        make_variants(brief_of(bed=BED), outline, catalogue, courses, light, 0, 3, first=begun)
    second = bed.planted([], variant=2)
    assert [i.label for i in second.items] == [i.label for i in three[1].items]
    assert all(
        np.array_equal(a.places, b.places)
        for a, b in zip(second.drifts, three[1].drifts, strict=True)
    )


def test_every_drift_and_every_kind_left_out_has_its_reason(
    catalogue: Catalogue, first: Planting
) -> None:
    for drift in body(first):
        why, form = drift.why, first.items[drift.item].candidate.kind.form
        assert isinstance(why, SuitsDrift)
        assert why.height_m == form.height_m
        assert why.next_best is why.rivals[0]
        for rival in why.rivals:
            assert rival.points == pytest.approx(sum(t.points for t in rival.terms))
        assert "penalty points" in say(why, "metric")
    planted = {item.candidate.kind.key for item in first.items}
    assert set(first.left_out) == set(catalogue.kinds) - planted
    assert all(say(reason, "us") for reason in first.left_out.values())


def test_the_edging_asked_for_is_planted_in_turns(bed: Bed) -> None:
    wished = ["sweet_alyssum: purple", "french_marigold"]
    planting = bed.planted([], edge_with=wished)
    edge = [planting.items[drift.item].candidate for drift in planting.drifts if drift.ribbon]
    assert {c.kind.key for c in edge} == {"sweet_alyssum", "french_marigold"}
    assert {c.colour.name for c in edge if c.kind.key == "sweet_alyssum"} == {"purple"}
    assert all(one is not two for one, two in itertools.pairwise(edge))


@pytest.mark.parametrize(
    ("wishes", "field"),
    [
        ({"edge_with": ["sweet_allysum"]}, "wishes.edge_with[1]"),
        ({"edge_with": ["sweet_alyssum: tartan"]}, "wishes.edge_with[1]"),
        ({"edge_with": ["sweet_alyssum"], "edging": False}, "wishes.edge_with"),
    ],
)
def test_an_edging_that_cannot_be_is_a_fault(wishes: dict[str, object], field: str) -> None:
    with pytest.raises(BriefError) as caught:
        brief_of(wishes=wishes)
    assert [fault.field for fault in caught.value.faults] == [field]


def test_what_grew_last_year_keeps_its_diseases_kin_away(bed: Bed, first: Planting) -> None:
    """Over the kinds that share diseases: one that has little room may keep it."""
    groups = {item.candidate.kind.safety.rotation: item.candidate.kind for item in first.items}
    groups.pop("none", None)
    assert len(groups) >= 3

    def share(planting: Planting, rotation: str) -> float:
        drifts = body(planting)
        kinds = [item.candidate.kind for item in planting.items]
        kin = [d for d in drifts if kinds[d.item].safety.rotation == rotation]
        return sum(d.polygon.area for d in kin) / sum(d.polygon.area for d in drifts)

    before = [share(first, rotation) for rotation in groups]
    after = [
        share(bed.planted([], last_year=[kind.key]), rotation) for rotation, kind in groups.items()
    ]
    assert np.mean(after) < 0.6 * np.mean(before)


def test_a_kind_of_the_edging_may_be_asked_for_within(bed: Bed) -> None:
    """One colour form, once chosen for the edging and once named by a change."""
    planting = bed.planted(
        [{"at": ["2.5 m", "0 m"], "grow": "petunia"}],
        edge_with=["petunia", "french_marigold"],
        grow=["petunia"],
    )
    keys = [planting.items[drift.item].candidate.kind.key for drift in planting.drifts]
    where = {drift.ribbon for key, drift in zip(keys, planting.drifts, strict=True)
             if key == "petunia"}  # fmt: skip
    assert where == {True, False}
