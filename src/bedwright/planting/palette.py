"""Which kinds and colours: fit to the spot, wishes, bloom in every fortnight, by integer
programming.

First each kind is tried against what it cannot do without (sun somewhere in the bed, season,
wishes); one that fails is left out with the reason.  The rest are scored, and HiGHS (through scipy)
picks colour forms: one of a kind (two where kinds are few), enough of each height, not too many of
a family, not too many whites, little foliage, and in every fortnight of the season as much in bloom
as can be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from bedwright.brief import GroundFound, Wishes
from bedwright.catalogue import Catalogue, ColourForm, Kind
from bedwright.light import Light, exposure_index
from bedwright.planting.colour import ANCHORS, discord, shows, suits, tone_of
from bedwright.planting.recolour import recoloured
from bedwright.season import Course

SOIL_CLASS = {
    "sand": "light",
    "sandy loam": "light",
    "loam": "loam",
    "silt loam": "loam",
    "clay loam": "heavy",
    "clay": "heavy",
}
TENDING = {"little": 1.0, "some": 2.0, "much": 3.0}
WEIGHTS = {"light": 1.0, "soil": 0.6, "bloom": 1.2, "uses": 1.0, "colour": 1.2, "asked": 4.0,
           "again": 2.0, "shows": 0.8}  # fmt: skip
"""Weight of each term of a candidate's score (common practice, no source)."""

LACKS = {"light": "sun", "soil": "soil", "bloom": "weeks of bloom", "uses": "the uses wished",
         "colour": "colour in the scheme", "again": "being new beside other schemes",
         "shows": "colour that stands out from leaves and soil"}  # fmt: skip
"""What a candidate that scores low is short of, by term."""

SUCCESSION = ((1 / 3, 0.8), (0.6, 0.35))
"""Reward for one kind's worth of bloom in a fortnight, up to each share of the kinds: the first
third counts most, so that no fortnight is left bare for another's sake."""

VARIETY = 0.8
"""Reward for one more form of flower."""

MOST_OF_FAMILY, MOST_WHITE, MOST_FOLIAGE = 0.45, 0.34, 0.15
"""Largest shares of the palette from one family, white or grey, and grown for leaves alone
(estimate)."""

FOLIAGE_BLOOM = 0.5
"""What a foliage plant's steady looks count for beside bloom."""

SUN_SLACK_H = 1.0
LEAST_SUN_FIT = 0.25
"""Mean fit over the bed below which a kind is left out; over a drift below which it is kept out."""

LIT = 1.5
"""Reward for one kind's worth of fit to the sun of a part of the bed, up to the part's share of the
kinds; the parts are those of one exposure."""

LEAST_PART = 0.1
"""Share of the bed below which a part's light is not looked after by itself."""

LEAST_WEEKS = 4.0
"""Weeks of bloom (or of leaf) below which a kind is not worth its place (estimate)."""

MOST_OF_TIER = 40
"""Candidates of each tier that go into the programme, best first."""

EDGING_CM, FRONT_CM, MIDDLE_CM = 25.0, 45.0, 75.0
"""Grown heights that part edging, front, middle and back (common practice, no source)."""

TIERS = ("edging", "front", "middle", "back")


@dataclass(frozen=True)
class Candidate:
    """A colour form of a kind that could be grown: sun fit by cell, score by terms."""

    kind: Kind
    colour: ColourForm
    course: Course
    sunny: NDArray[np.float64]
    terms: dict[str, float]

    @property
    def score(self) -> float:
        """Weighted sum of the terms."""
        return sum(WEIGHTS[name] * value for name, value in self.terms.items())

    @property
    def tier(self) -> str:
        """Where its height puts it."""
        return tier_of(self.kind)


@dataclass(frozen=True)
class Palette:
    """The chosen colour forms, why others were left out (those that could have been chosen come
    last, best first), and doubts about those asked for."""

    chosen: tuple[Candidate, ...]
    left_out: dict[str, str]
    notes: tuple[str, ...]


class NothingFitsError(ValueError):
    """No kind fits; ``reasons`` counts what ruled them out, most first; ``relaxed``: how many would
    fit were one wish alone let go, most first."""

    def __init__(
        self, reasons: list[tuple[str, int]], relaxed: Sequence[tuple[str, int]] | None = None
    ) -> None:
        self.reasons, self.relaxed = reasons, relaxed
        said = "; ".join(f"{reason} ({count})" for reason, count in reasons[:4])
        if relaxed:
            said += ". To relax: " + ", or ".join(
                f"{field}, without which {count} would fit" for field, count in relaxed[:3]
            )
        elif relaxed is not None:
            said += ". No one wish stands in the way by itself"
        super().__init__(f"no kind in the catalogue fits: {said}")


def tier_of(kind: Kind) -> str:
    """edging, front, middle or back, by grown height."""
    height = kind.form.height_m * 100
    if height <= EDGING_CM and kind.form.spacing_cm <= 30 and kind.form.habit != "climbing":
        return "edging"
    return "front" if height <= FRONT_CM else "middle" if height <= MIDDLE_CM else "back"


def ruled_out(
    kind: Kind, course: Course, light: Light, wishes: Wishes, height_limit_m: float
) -> str | None:
    """Why a kind cannot be used here, or None."""
    checks = (
        (kind.key in wishes.leave_out or kind.family in wishes.leave_out, "left out as wished"),
        (kind.form.habit == "climbing", "a climber; this bed has nothing to climb"),
        (
            kind.form.height_m > height_limit_m,
            f"too tall: {kind.form.height_m * 100:.0f} cm where {height_limit_m * 100:.0f} suits",
        ),
        (kind.growth.tending > TENDING[wishes.tending], "more tending than wished"),
        ("toxic to people" in wishes.avoid and kind.safety.people == "toxic", "toxic to people"),
        ("toxic to dogs" in wishes.avoid and kind.safety.dogs != "none_known", "may harm dogs"),
        ("toxic to cats" in wishes.avoid and kind.safety.cats != "none_known", "may harm cats"),
        ("skin irritants" in wishes.avoid and kind.safety.skin == "irritant", "irritates skin"),
        ("invasive anywhere" in wishes.avoid and bool(kind.safety.invasive), "invasive somewhere"),
        (
            "freely self-sowing" in wishes.avoid and kind.safety.self_sows == "freely",
            "self-sows freely",
        ),
        (
            kind.is_foliage and course.weeks_out < LEAST_WEEKS,
            "too short a season left for its leaves",
        ),
        (
            course.bloom.weeks < LEAST_WEEKS and not kind.is_foliage,
            f"too little bloom in this season: {course.bloom.weeks:.0f} weeks",
        ),
        (
            sun_fit(kind, course, light).mean() < LEAST_SUN_FIT,
            _light_reason(kind, course, light),
        ),
    )
    return next((reason for failed, reason in checks if failed), None)


def sun_fit(kind: Kind, course: Course, light: Light) -> NDArray[np.float64]:
    """(cells,) 1 where the sun over its season suits the kind, falling to 0 at an hour off."""
    hours = light.over(course.window)
    off = np.maximum(kind.liking.sun_min_h - hours, hours - kind.liking.sun_max_h)
    return np.asarray(np.clip(1.0 - np.maximum(off, 0.0) / SUN_SLACK_H, 0.0, 1.0))


def _light_reason(kind: Kind, course: Course, light: Light) -> str:
    hours = float(np.median(light.over(course.window)))
    if hours < kind.liking.sun_min_h:
        return f"too shady: {hours:.1f} h of sun where it wants {kind.liking.sun_min_h:g}"
    return f"too sunny: {hours:.1f} h of sun where it bears {kind.liking.sun_max_h:g}"


def choose_palette(
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    ground: GroundFound,
    wishes: Wishes,
    height_limit_m: float,
    wanted: dict[str, int],
    used: frozenset[tuple[str, str]] = frozenset(),
) -> Palette:
    """Pick the colour forms.

    ``wanted``: how many of each tier; ``courses``: by kind's key; ``used``: kinds and colours of
    schemes drawn before, which are passed over for others as good.  Raises NothingFitsError.
    """
    left_out: dict[str, str] = {}
    notes: list[str] = []
    candidates: list[Candidate] = []
    anchor = _anchor(catalogue, wishes)
    for kind in catalogue:
        reason = ruled_out(kind, courses[kind.key], light, wishes, height_limit_m)
        if reason is not None and kind.key in wishes.grow:
            notes.append(f"{kind.name}: planted as asked, though {reason}")
        elif reason is not None:
            left_out[kind.key] = reason
            continue
        for colour in kind.colours:
            seen = (kind.key, colour.name) in used
            got = _candidate(kind, colour, courses[kind.key], light, ground, wishes, anchor, seen)
            if got.terms["colour"] > 0 or kind.key in wishes.grow:
                candidates.append(got)
    keys = {c.kind.key for c in candidates}
    for kind in catalogue:
        if kind.key not in keys and kind.key not in left_out:
            left_out[kind.key] = "no colour that suits the scheme"
    if not candidates:
        counts: dict[str, int] = {}
        for reason in left_out.values():
            word = reason.split(":")[0]
            counts[word] = counts.get(word, 0) + 1
        raise NothingFitsError(
            sorted(counts.items(), key=lambda item: -item[1]),
            _relaxed(catalogue, courses, light, wishes, height_limit_m),
        )
    offered = candidates
    candidates = sorted(candidates, key=lambda c: (-c.score, c.kind.key, c.colour.name))
    candidates = [c for tier in TIERS for c in candidates if c.tier == tier]
    candidates = _best_of_each_tier(candidates, wishes)
    chosen = _solve(candidates, wishes, wanted, _parts(candidates, light))
    chosen = _in_harmony(chosen, offered, wishes)
    taken = {c.kind.key for c in chosen}
    by_kind: dict[str, list[Candidate]] = {}
    for candidate in sorted(offered, key=lambda c: -c.score):
        by_kind.setdefault(candidate.kind.key, []).append(candidate)
    for key, own in by_kind.items():
        if key not in taken and key not in left_out:
            left_out[key] = _why_not(own, chosen)
    return Palette(tuple(chosen), left_out, tuple(notes))


def _relaxed(
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    wishes: Wishes,
    height_limit_m: float,
) -> list[tuple[str, int]]:
    """Wishes which, let go one at a time, would let kinds in, and how many."""
    free: dict[str, tuple[Wishes, float]] = {
        "wishes.height" if wishes.height is not None else "the bed's width": (wishes, np.inf)
    }
    for fields in (("tending",), ("avoid",), ("leave_out",), ("scheme", "colours")):
        update = {field: Wishes.model_fields[field].default for field in fields}
        update |= {"tending": "much"} if fields == ("tending",) else {}
        changed = [f for f in fields if getattr(wishes, f) != update[f]]
        if changed:
            free[f"wishes.{changed[0]}"] = wishes.model_copy(update=update), height_limit_m
    counts = {
        field: sum(
            ruled_out(kind, courses[kind.key], light, some, limit) is None
            and _has_colour(kind, some, _anchor(catalogue, some))
            for kind in catalogue
        )
        for field, (some, limit) in free.items()
    }
    return sorted(((f, n) for f, n in counts.items() if n), key=lambda pair: -pair[1])


def _has_colour(kind: Kind, wishes: Wishes, anchor: float) -> bool:
    """Whether a kind has a colour that is wished."""
    return any(_colourful(form, wishes, anchor) > 0 for form in kind.colours)


def _in_harmony(
    chosen: list[Candidate], offered: list[Candidate], wishes: Wishes
) -> list[Candidate]:
    """The chosen kinds in colours that get on with one another."""
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
    odds = np.array([c.course.bloom.odds for c in forms])
    both = np.minimum(odds[:, None], odds[None]).max(axis=2)
    clash = np.array([[discord(a.colour.srgb, b.colour.srgb) for b in forms] for a in forms])
    np.fill_diagonal(clash, 0.0)
    pale = np.array([tone_of(c.colour.srgb).neutral for c in forms])
    # As many whites as the programme let in, and no form twice.
    most = len(forms) if wishes.scheme == "white" or wishes.colours else pale[: len(chosen)].sum()

    def allowed(some: Sequence[int]) -> bool:
        return len(set(some)) == len(some) and bool(pale[list(some)].sum() <= most)

    score = np.array([c.score for c in forms])
    return [forms[k] for k in recoloured(choices, score, clash * both, allowed)]


def _why_not(own: list[Candidate], chosen: list[Candidate]) -> str:
    """Why a kind that could grow here was not chosen."""
    best = max(own, key=lambda c: c.score)
    rivals = [c for c in chosen if c.tier == best.tier]
    if not rivals:
        return "nothing of its height is wanted in this bed"
    better = "others suit this bed and its wishes better"
    least = min(rivals, key=lambda c: c.score)
    if best.score >= least.score:
        return f"{better}: as good as they ({best.score:.1f}), but they mix families and forms"
    short = {name: WEIGHTS[name] * (least.terms[name] - best.terms[name]) for name in LACKS}
    lacks = [LACKS[n] for n in sorted(short, key=lambda n: -short[n]) if short[n] > 0.05][:2]
    words = f", for want of {' and '.join(lacks)}" if lacks else ""
    return f"{better}: it scores {best.score:.1f}, they {least.score:.1f} and more{words}"


def candidate_of(
    catalogue: Catalogue,
    key: str,
    colour: str | None,
    courses: dict[str, Course],
    light: Light,
    ground: GroundFound,
    wishes: Wishes,
) -> Candidate:
    """A kind in the colour named, or in that which suits best, as a candidate."""
    kind, anchor = catalogue.kinds[key], _anchor(catalogue, wishes)
    forms = [
        _candidate(kind, form, courses[key], light, ground, wishes, anchor)
        for form in kind.colours
        if colour in (None, form.name)
    ]
    return max(forms, key=lambda c: c.score)


def _within_reach(
    wanted: dict[str, int], candidates: list[Candidate]
) -> tuple[dict[str, int], set[str]]:
    """The counts of each tier that can be had, and tiers so poor in kinds that two colours are let
    in.

    What one tier cannot give is asked of the tiers of the bed's body that have kinds to spare.
    """
    kinds = {t: {c.kind.key for c in candidates if c.tier == t} for t in TIERS}
    forms = {t: sum(c.tier == t for c in candidates) for t in TIERS}
    most = {t: min(forms[t], 2 * len(kinds[t])) for t in TIERS}
    got = {tier: min(count, most[tier]) for tier, count in wanted.items()}
    lacking = sum(count - got[tier] for tier, count in wanted.items() if tier != "edging")
    for room in ({t: len(kinds[t]) for t in TIERS}, most):
        for tier in ("front", "middle", "back", "edging"):
            if tier in wanted or tier == "edging":
                more = int(np.clip(room[tier] - got.get(tier, 0), 0, lacking))
                got[tier] = got.get(tier, 0) + more
                lacking -= more
    got = {tier: count for tier, count in got.items() if count}
    return got, {tier for tier, count in got.items() if count > len(kinds[tier])}


def _best_of_each_tier(candidates: list[Candidate], wishes: Wishes) -> list[Candidate]:
    """The best scored of each tier, and whatever was asked for."""
    kept: list[Candidate] = []
    counts = dict.fromkeys(TIERS, 0)
    for candidate in candidates:
        if counts[candidate.tier] < MOST_OF_TIER or candidate.kind.key in wishes.grow:
            counts[candidate.tier] += 1
            kept.append(candidate)
    return kept


def _anchor(catalogue: Catalogue, wishes: Wishes) -> float:
    """The hue that gives the most to choose from."""
    tones = [tone_of(c.srgb) for kind in catalogue for c in kind.colours]
    return max(ANCHORS, key=lambda a: sum(suits(t, wishes.scheme, a) for t in tones))


def _candidate(
    kind: Kind,
    colour: ColourForm,
    course: Course,
    light: Light,
    ground: GroundFound,
    wishes: Wishes,
    anchor: float,
    seen: bool = False,
) -> Candidate:
    sunny = sun_fit(kind, course, light)
    likes = kind.liking
    ph = ground.test.ph
    soil = 0.6 * (SOIL_CLASS[ground.texture] in likes.soils)
    soil += 0.4 * (ph is None or likes.ph_min - 0.3 <= ph <= likes.ph_max + 0.3)
    offered = set(kind.uses.uses)
    uses = len(offered & set(wishes.uses)) / len(wishes.uses) if wishes.uses else 0.5
    terms = {
        "light": float(sunny.mean()),
        "soil": soil,
        "bloom": FOLIAGE_BLOOM if kind.is_foliage else min(course.bloom.weeks / 16.0, 1.0),
        "uses": uses,
        "colour": _colourful(colour, wishes, anchor),
        "asked": float(kind.key in wishes.grow),
        "again": -float(seen),
        "shows": shows(colour.srgb),
    }
    return Candidate(kind, colour, course, sunny, terms)


def _parts(candidates: list[Candidate], light: Light) -> list[NDArray[np.intp]]:
    """The cells of each part of the bed that differs by its exposure while plants stand in it."""
    hours = np.mean([light.over(c.course.window) for c in candidates], axis=0)
    exposure = exposure_index(hours)
    parts = [np.flatnonzero(exposure == k) for k in np.unique(exposure)]
    large = [part for part in parts if len(part) >= LEAST_PART * len(exposure)]
    return large if len(large) > 1 else []


def _steps(total: int) -> list[float]:
    """Kinds' worth of bloom in a fortnight that each reward of ``SUCCESSION`` is paid for."""
    upto = [max(share * total, 1.0) for share, _ in SUCCESSION]
    return [upto[0], *np.diff(upto)]


def _colourful(form: ColourForm, wishes: Wishes, anchor: float) -> float:
    """How well a colour suits the colours named or the scheme, 0 to 1."""
    tone = tone_of(form.srgb)
    if wishes.colours:
        return float(any(word in form.name or word == tone.name for word in wishes.colours))
    return suits(tone, wishes.scheme, anchor)


def _solve(
    candidates: list[Candidate],
    wishes: Wishes,
    wanted: dict[str, int],
    parts: list[NDArray[np.intp]],
) -> list[Candidate]:
    """The integer programme: which candidates, to the greatest total.  ``parts``: cells that differ
    by their sun, where they do."""
    n = len(candidates)
    odds = np.array([c.course.bloom.odds * (not c.kind.is_foliage) for c in candidates])
    season = np.flatnonzero(odds.max(axis=0) > 0.3)
    forms = sorted({c.kind.form.flower_form for c in candidates})
    total = sum(wanted.values())
    fits = np.array([[c.sunny[part].mean() for part in parts] for c in candidates])
    # Variables: n choices, two levels of bloom for each fortnight, one flag for each flower form,
    # one level of fit for each part of the bed.
    at_forms = n + len(SUCCESSION) * len(season)
    size = at_forms + len(forms) + len(parts)
    gain = np.concatenate(
        [
            [c.score for c in candidates],
            *(np.full(len(season), reward) for _, reward in SUCCESSION),
            np.full(len(forms), VARIETY),
            np.full(len(parts), LIT),
        ]
    )
    rows, low, high = [], [], []

    def rule(
        at: NDArray[np.intp] | list[int], weight: float | list[float], lo: float, hi: float
    ) -> None:
        row = np.zeros(size)
        row[at] = weight
        rows.append(row)
        low.append(lo)
        high.append(hi)

    wanted, few = _within_reach(wanted, candidates)
    for tier in TIERS:
        members = [i for i, c in enumerate(candidates) if c.tier == tier]
        asked = sum(key in wishes.grow for key in {candidates[i].kind.key for i in members})
        count = wanted.get(tier, 0)
        rule(members, 1.0, count, max(count, asked))
    for key in sorted({c.kind.key for c in candidates}):
        members = [i for i, c in enumerate(candidates) if c.kind.key == key]
        rule(
            members,
            1.0,
            float(key in wishes.grow),
            2.0 if candidates[members[0]].tier in few else 1.0,
        )

    def at_most(share: float, members: list[int]) -> None:
        asked = sum(candidates[i].kind.key in wishes.grow for i in members)
        rule(members, 1.0, 0.0, max(np.ceil(share * total), asked))

    for family in sorted({c.kind.family for c in candidates}):
        at_most(MOST_OF_FAMILY, [i for i, c in enumerate(candidates) if c.kind.family == family])
    at_most(MOST_FOLIAGE, [i for i, c in enumerate(candidates) if c.kind.is_foliage])
    if wishes.scheme != "white" and not wishes.colours:
        at_most(MOST_WHITE, [i for i, c in enumerate(candidates) if tone_of(c.colour.srgb).neutral])
    for j, fortnight in enumerate(season):
        levels = [n + k * len(season) + j for k in range(len(SUCCESSION))]
        rule([*range(n), *levels], [*odds[:, fortnight], *np.full(len(levels), -1.0)], 0.0, np.inf)
    for j, form in enumerate(forms):
        at = [i for i, c in enumerate(candidates) if c.kind.form.flower_form == form]
        rule([*at, at_forms + j], [*np.ones(len(at)), -1.0], 0.0, np.inf)
    for j in range(len(parts)):
        at = [*range(n), size - len(parts) + j]
        rule(at, [*fits[:, j], -1.0], 0.0, np.inf)
    cells = sum(len(part) for part in parts)
    upper = np.concatenate(
        [
            np.ones(n),
            *(np.full(len(season), step) for step in _steps(total)),
            np.ones(len(forms)),
            [max(total * len(part) / cells, 1.0) for part in parts],
        ]
    )
    whole = np.concatenate([np.ones(n), np.zeros(size - n)])
    for loose in (False, True):
        # Once more without least counts, should the rules not allow them all together.
        lower = np.array(low) if not loose else np.minimum(low, 0.0)
        got = milp(
            -gain,
            constraints=LinearConstraint(np.array(rows), lower, high),
            integrality=whole,
            bounds=Bounds(np.zeros(size), upper),
            options={"mip_rel_gap": 0.002},
        )
        if got.x is not None:
            picked = [c for c, x in zip(candidates, got.x, strict=False) if x > 0.5]
            if picked:
                return picked
    best: dict[str, Candidate] = {}
    for candidate in sorted(candidates, key=lambda c: (c.kind.key not in wishes.grow, -c.score)):
        best.setdefault(candidate.kind.key, candidate)
    return list(best.values())[: max(total, 1)]
