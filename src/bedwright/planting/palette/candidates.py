"""Colour forms that could be grown: what rules a kind out here, and how well a form suits the spot
and the wishes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import GroundFound, Wishes
from bedwright.catalogue import Catalogue, ColourForm, Kind
from bedwright.growth import Course
from bedwright.light import Light
from bedwright.planting.palette.colour import ANCHORS, Tone, shows, suits, tone_of
from bedwright.planting.palette.left_out import (
    Invasive,
    IrritatesSkin,
    LeftOut,
    LeftOutAsWished,
    NoSafeDay,
    NothingToClimb,
    SelfSowsFreely,
    SoilTooCold,
    TooLittleBloom,
    TooMuchMaintenance,
    TooShady,
    TooShortForLeaves,
    TooSunny,
    TooTall,
    Toxic,
)
from bedwright.planting.palette.purse import Purse

SOIL_CLASS = {
    "sand": "light",
    "sandy loam": "light",
    "loam": "loam",
    "silt loam": "loam",
    "clay loam": "heavy",
    "clay": "heavy",
}
TOXIC_TO = "toxic to"
"""Begins a wish to avoid what harms people, dogs or cats."""

TENDING = {"little": 1.0, "some": 2.0, "much": 3.0}
WEIGHTS = {"light": 1.0, "soil": 0.6, "bloom": 1.2, "uses": 1.0, "colour": 1.2, "asked": 6.0,
           "again": 2.0, "shows": 0.8, "stays": 1.0, "ease": 0.4, "thrift": 1.5,
           "trade": 4.0}  # fmt: skip
"""Weight of each term of a candidate's score (common practice, no source)."""

TRADE = {"leading": 1.0, "staple": 0.7, "common": 0.35, "specialist": 0.0}
"""What being easy to come by counts for (common practice, no source)."""

FOLIAGE_BLOOM = 0.5
"""What a foliage plant's steady looks count for beside bloom."""

PH_SLACK = 0.3
"""How far a soil's pH may lie outside what a kind likes (estimate)."""

HEIGHT_SLACK = 0.15
"""How much higher than suits the bed's width a kind may grow, where the brief names no height:
grown heights are no nearer than that (estimate)."""

SUN_SLACK_H = 1.0
LEAST_SUN_FIT = 0.25
"""Mean fit over the bed below which a kind is left out; over a drift below which it is kept out."""

SEASON_ODDS = 0.3
"""Odds of bloom of the readiest kind, above which a fortnight belongs to the season."""

LEAST_WEEKS = 2.5
"""Weeks of bloom (or of leaf) below which a kind is left out (estimate)."""

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

    @cached_property
    def score(self) -> float:
        """Weighted sum of the terms."""
        return sum(WEIGHTS[name] * value for name, value in self.terms.items())

    @cached_property
    def tier(self) -> str:
        """Where its height puts it."""
        return tier_of(self.kind)


def tier_of(kind: Kind) -> str:
    """edging, front, middle or back, by grown height."""
    height = kind.form.height_m * 100
    if height <= EDGING_CM and kind.form.spacing_cm <= 30 and kind.form.habit != "climbing":
        return "edging"
    return "front" if height <= FRONT_CM else "middle" if height <= MIDDLE_CM else "back"


def ruled_out(
    kind: Kind, course: Course, light: Light, wishes: Wishes, height_limit_m: float
) -> LeftOut | None:
    """Why a kind cannot be used here, or None."""
    return (
        _against_wishes(kind, wishes, height_limit_m)
        or _harmful(kind, wishes)
        or _no_start(kind, course)
        or _short_season(kind, course)
        or _wrong_light(kind, course, light)
    )


def _against_wishes(kind: Kind, wishes: Wishes, height_limit_m: float) -> LeftOut | None:
    """A kind left out by name, a climber, too tall, or too much maintenance."""
    most = np.inf if wishes.maintenance is None else TENDING[wishes.maintenance]
    limit = height_limit_m * (1.0 if wishes.height is not None else 1.0 + HEIGHT_SLACK)
    if kind.key in wishes.leave_out or kind.family in wishes.leave_out:
        return LeftOutAsWished()
    if kind.form.habit == "climbing":
        return NothingToClimb()
    if kind.form.height_m > limit:
        return TooTall(kind.form.height_m, limit)
    if kind.growth.maintenance > most:
        return TooMuchMaintenance(kind.growth.maintenance, most)
    return None


def _harmful(kind: Kind, wishes: Wishes) -> LeftOut | None:
    """A harm that the brief wishes to avoid."""
    safety = kind.safety
    checks: tuple[tuple[str, bool, LeftOut], ...] = (
        (f"{TOXIC_TO} people", safety.people == "toxic", Toxic("people")),
        (f"{TOXIC_TO} dogs", safety.dogs != "none_known", Toxic("dogs")),
        (f"{TOXIC_TO} cats", safety.cats != "none_known", Toxic("cats")),
        ("skin irritants", safety.skin == "irritant", IrritatesSkin()),
        ("invasive anywhere", bool(safety.invasive), Invasive(safety.weed_in)),
        ("freely self-sowing", safety.self_sows == "freely", SelfSowsFreely()),
    )
    return next((fact for wish, harm, fact in checks if wish in wishes.avoid and harm), None)


def _no_start(kind: Kind, course: Course) -> LeftOut | None:
    """No day of spring on which it may go outside."""
    if course.decided_by == "midsummer":
        return NoSafeDay(course.risk, course.kill_c)
    if course.decided_by == "cold_soil":
        return SoilTooCold(kind.sowing.soil_min_c)
    return None


def _short_season(kind: Kind, course: Course) -> LeftOut | None:
    """Too few weeks of bloom, or of leaves where they are what the kind is grown for."""
    if kind.is_foliage:
        weeks = float(course.weeks_out)
        return TooShortForLeaves(weeks, LEAST_WEEKS) if weeks < LEAST_WEEKS else None
    weeks = float(course.bloom.weeks)
    return TooLittleBloom(weeks, LEAST_WEEKS) if weeks < LEAST_WEEKS else None


def _wrong_light(kind: Kind, course: Course, light: Light) -> LeftOut | None:
    """Too much or too little sun over most of the bed."""
    if sun_fit(kind, course, light).mean() >= LEAST_SUN_FIT:
        return None
    hours = float(np.median(light.over(course.window)))
    if hours < kind.liking.sun_min_h:
        return TooShady(hours, kind.liking.sun_min_h)
    return TooSunny(hours, course.most_sun_h, course.day_max_c)


def sun_fit(kind: Kind, course: Course, light: Light) -> NDArray[np.float64]:
    """(cells,) 1 where the sun over its season suits the kind, falling to 0 at an hour off."""
    hours = light.over(course.window)
    off = np.maximum(kind.liking.sun_min_h - hours, hours - course.most_sun_h)
    return np.asarray(np.clip(1.0 - np.maximum(off, 0.0) / SUN_SLACK_H, 0.0, 1.0))


class Offer(NamedTuple):
    """What colour forms are chosen from, and for what: kinds, the course of each by its key, the
    bed's light, its ground, and the wishes."""

    catalogue: Catalogue
    courses: dict[str, Course]
    light: Light
    ground: GroundFound
    wishes: Wishes

    def rules_out(self, kind: Kind, height_limit_m: float) -> LeftOut | None:
        """Why a kind cannot be used here, or None."""
        return ruled_out(kind, self.courses[kind.key], self.light, self.wishes, height_limit_m)


def candidate_of(offer: Offer, key: str, colour: str | None = None) -> Candidate:
    """A kind in the colour named, or in that which suits best, as a candidate."""
    kind, anchor = offer.catalogue.kinds[key], anchor_of(offer.catalogue, offer.wishes)
    forms = [
        make_candidate(offer, kind, form, anchor)
        for form in kind.colours
        if colour in (None, form.name)
    ]
    return max(forms, key=lambda c: c.score)


def anchor_of(catalogue: Catalogue, wishes: Wishes) -> float:
    """The hue that gives the most to choose from."""
    tones = tuple(tone_of(c.srgb) for kind in catalogue for c in kind.colours)
    return _anchor(tones, wishes.colour_scheme)


@lru_cache(maxsize=64)
def _anchor(tones: tuple[Tone, ...], scheme: str) -> float:
    """The hue that suits the most of these colours."""
    return max(ANCHORS, key=lambda a: sum(suits(t, scheme, a) for t in tones))


def make_candidate(
    offer: Offer,
    kind: Kind,
    colour: ColourForm,
    anchor: float,
    seen: bool = False,
    purse: Purse | None = None,
) -> Candidate:
    """A colour form with its fit and score; ``seen``: in a scheme drawn before; ``purse``: where
    there is a budget."""
    course, ground, wishes = offer.courses[kind.key], offer.ground, offer.wishes
    sunny = sun_fit(kind, course, offer.light)
    soil = 0.6 * likes_texture(kind, ground) + 0.4 * likes_ph(kind, ground)
    offered = set(kind.uses.uses)
    uses = len(offered & set(wishes.uses)) / len(wishes.uses) if wishes.uses else 0.5
    terms = {
        "light": float(sunny.mean()),
        "soil": soil,
        "bloom": FOLIAGE_BLOOM if kind.is_foliage else min(course.bloom.weeks / 16.0, 1.0),
        "uses": uses,
        "colour": colourful(colour, wishes, anchor),
        "asked": float(kind.key in wishes.grow),
        "again": -float(seen),
        "shows": shows(colour.srgb),
        "stays": course.stays,
        "ease": ease(kind, wishes),
        "trade": TRADE[kind.uses.trade],
        "thrift": 0.0 if purse is None else purse.thrift(kind, course),
    }
    return Candidate(kind, colour, course, sunny, terms)


def likes_texture(kind: Kind, ground: GroundFound) -> bool:
    """Whether a kind likes a soil of that texture."""
    return SOIL_CLASS[ground.texture] in kind.liking.soils


def likes_ph(kind: Kind, ground: GroundFound) -> bool:
    """Whether a soil's pH, where it is known, is what a kind likes, or near it."""
    ph, likes = ground.test.ph, kind.liking
    return ph is None or likes.ph_min - PH_SLACK <= ph <= likes.ph_max + PH_SLACK


def ease(kind: Kind, wishes: Wishes) -> float:
    """1 for a kind that wants little maintenance, or where the gardener likes much of it; 0 for one
    that wants much."""
    return 1.0 if wishes.maintenance == "much" else (3.0 - kind.growth.maintenance) / 2.0


def colourful(form: ColourForm, wishes: Wishes, anchor: float) -> float:
    """How well a colour suits the colours named or the scheme, 0 to 1."""
    tone = tone_of(form.srgb)
    if wishes.colours:
        return float(any(word in form.name or word == tone.name for word in wishes.colours))
    return suits(tone, wishes.colour_scheme, anchor)


def has_colour(kind: Kind, wishes: Wishes, anchor: float) -> bool:
    """Whether a kind has a colour that is wished."""
    return any(colourful(form, wishes, anchor) > 0 for form in kind.colours)
