"""A kind's course through the growing year: when it is sown, goes out, flowers and ends."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, fields, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Learned, Room
from bedwright.catalogue import Hardiness, Kind
from bedwright.climate import DAYS, FORTNIGHTS, Season
from bedwright.growth.bloom import Bloom, Way, blooms_of, followed_by, winter_kill_c
from bedwright.growth.outdoors import AUTUMN_SLACK_DAYS, LATE, ROOTING_C, DecidedBy, Outdoors
from bedwright.growth.rates import shared
from bedwright.growth.warmth import seed_of

HARDENING_DAYS = 10
"""Days of hardening off before setting out: 7 to 14 (from memory)."""

LEAST_GAIN_WEEKS = 3.0
"""Weeks of bloom by which raising indoors must win for a kind that resents moving, bought plants
over seed, and autumn over spring (estimate)."""

AGAIN_AFTER_DAYS = (0, 28, 56)
"""Days after the first bloom at which a second sowing is looked at (estimate)."""

LEAST_AGAIN_DAYS, LEAST_AGAIN_SHARE, LEAST_WAIT_WEEKS = 60, 0.8, 1.0
"""Days that a second sowing needs before frost at least, the share of seasons in which it must
flower, and weeks of bloom by which waiting must win over sowing at once (estimates)."""

COOL_DAY_C, HOT_DAY_C, LONGEST_SUN_H = 21.0, 29.0, 18.0
"""Daily maxima between which the sun that a shade plant stands falls from the longest day's to the
catalogue's (estimates)."""

HEAT_MARGIN_C: dict[Hardiness, float] = {"hardy": 8.0, "half_hardy": 7.0, "tender": 3.0}
COLD_MARGIN_C, LEAST_COMFORT, HEAT_PROOF_C = 4.0, 0.3, 45.0
"""How far below its limit the usual daily maximum must stay for a kind's flowers to be at their
best (the limits are those of days with cool nights, and a season that is hot where no winter is
cold has warm ones), and above the least soil for young plants the mean; what a week at a limit
counts for (estimates); and the limit that stands for none in the catalogue."""

LEAST_LEFT_DAYS = 42
"""Days of the growing year that must be left for a later day of setting out to be tried
(estimate)."""

BIENNIAL_WEEKS = (12.0, 18.0)
"""Weeks from sowing a biennial about midsummer to planting it in autumn (common practice, no
source)."""

LEAST_WINTER_RISK = 0.1
"""Odds of loss in winter that are accepted at least: seed is cheap (estimate)."""

ROOM_C: dict[Room, float] = {
    "window sill": 0.0,
    "cold greenhouse": -2.0,
    "heated greenhouse": 2.0,
    "lit shelf": 4.0,
}
"""How much more the warmth of a room amounts to than the fitted one, °C: warmth and light together
(estimates)."""

NOTHING_LEARNED = Learned()

Method = Literal["indoors", "in_place", "bought"]


@dataclass(frozen=True)
class Dated:
    """One kind's dates as indices into the growing year (below 0: before it begins).

    ``out``: set out, or sown in place; ``sow``: sown; ``risk``: odds of a killing night after
    ``out`` (at or below ``kill_c``), of seed after it has come up, and of what is out before the
    growing year through its whole winter; ``decided_by``: what decided ``out``; ``killed``: day of
    autumn's killing frost at even odds; ``heat_odds``: where the winter lies in the middle of the
    growing year, odds of a fortnight after ``out``, before the coolest, in which heat stops its
    flowers.  A kind ``bought`` as young plants has the dates of one
    raised indoors; its ``sow`` is the nursery's, and it goes out in bud but for autumn.
    """

    kind: Kind
    method: Method
    sow: int
    out: int
    risk: float
    kill_c: float
    decided_by: DecidedBy
    killed: int
    heat_odds: float | None = None

    @property
    def way(self) -> Way:
        """How it is raised, as its bloom is worked out from it."""
        return Way(
            self.kind,
            self.sow,
            self.out,
            in_place=self.method == "in_place",
            in_bud=self.method == "bought" and self.out >= 0,
        )

    @property
    def too_late(self) -> bool:
        """Whether no day of spring is safe or warm enough for it."""
        return self.decided_by in LATE


@dataclass(frozen=True, kw_only=True)
class Course(Dated):
    """One kind's course: its dates, and its bloom in every season.

    ``days_max_c``: (26,) usual daily maximum of each fortnight, °C; ``comfort``: what its weeks of
    bloom count for where it could flower in a cool or a hot season; ``again``: day on which its
    ground is cleared and sown again, in place, where a second bloom is worth that; ``bloom`` holds
    both.
    """

    bloom: Bloom
    days_max_c: NDArray[np.float64] = field(repr=False)
    comfort: float = 1.0
    again: int | None = None

    @cached_property
    def window(self) -> slice:
        """Fortnights from setting out to the end of bloom."""
        typical = self.bloom.typical
        last = typical[1] if typical else min(self.out + 120, DAYS)
        start = min(max(self.out, 0) // 14, FORTNIGHTS - 1)
        return slice(start, max(min(last // 14 + 1, FORTNIGHTS), start + 1))

    @cached_property
    def day_max_c(self) -> float:
        """Usual daily maximum over its season, °C."""
        return float(self.days_max_c[self.window].mean())

    @cached_property
    def most_sun_h(self) -> float:
        """Hours of sun that it stands in such heat: the catalogue's where days are hot; a whole
        day's where summers are cool, in which shade plants are bedded out in full sun (common
        practice, no source)."""
        hot = (self.day_max_c - COOL_DAY_C) / (HOT_DAY_C - COOL_DAY_C)
        most = self.kind.liking.sun_max_h
        return float(most + (LONGEST_SUN_H - most) * (1.0 - np.clip(hot, 0.0, 1.0)))

    @cached_property
    def gone(self) -> NDArray[np.float64]:
        """(26,) share of its room that it covered before and leaves bare in each fortnight."""
        cover = self.bloom.cover.reshape(FORTNIGHTS, 2).mean(axis=1)
        return np.asarray(np.maximum.accumulate(cover) - cover)

    @cached_property
    def stays(self) -> float:
        """Share of its room that it keeps, from setting out to the frost that would kill it, or
        where the winter lies in the middle of the growing year, for the half year of its season."""
        start = min(max(self.out, 0) // 14, FORTNIGHTS - 1)
        end = min(max(self.killed // 14, start + 1), FORTNIGHTS)
        if self.heat_odds is not None:
            end = min(end, start + FORTNIGHTS // 2)
        return float(1.0 - self.gone[start:end].mean())

    @property
    def weeks_out(self) -> float:
        """Weeks from setting out to the day after which frost kills it in half of all years."""
        return max(self.killed - self.out, 0) / 7


def courses_of(
    kinds: Iterable[Kind],
    season: Season,
    soil_c: NDArray[np.floating],
    ready: int,
    risk: float,
    indoors: bool,
    sow_from: int,
    *,
    room: Room = "window sill",
    autumn_from: int | None = None,
    learned: Learned = NOTHING_LEARNED,
) -> dict[str, Course]:
    """The better of each kind's ways of raising, the one with the longer bloom, by key.

    ``ready``: day the bed is dug and settled; ``risk``: frost risk accepted; ``indoors``: whether
    plants can be raised indoors, in which ``room``; ``sow_from``: first day on which anything can
    be sown; ``autumn_from``: day before the growing year on which the bed can be ready, where that
    is possible; ``learned``: what the garden's journal taught of first flowers.
    """
    dates = _Dates(Outdoors(season, soil_c, risk), ready, sow_from, autumn_from)
    dated = [each for kind in kinds for each in dates.of(kind, indoors)]
    indoor_c = room_warmth_c(room)
    ways = [_here(replace(each.way, indoor_c=indoor_c), learned) for each in dated]
    hottest, mean = _by_fortnight(season.tmax_c), _by_fortnight(season.tmean_c)
    mild = dates.outdoors.mild
    best: dict[str, Course] = {}
    for each, bloom in zip(dated, blooms_of(ways, season), strict=True):
        values = {one.name: getattr(each, one.name) for one in fields(Dated)}
        course = Course(**values, bloom=bloom, days_max_c=hottest)
        if season.winter_amid:
            course = replace(course, comfort=_comfort(course, mean))
        known = best.get(course.kind.key)
        if known is None or _worth(course, mild) > _worth(known, mild):
            best[course.kind.key] = course
    return best


def _here(way: Way, learned: Learned) -> Way:
    """A way of raising as it comes out in a garden that was learned of."""
    key = way.kind.key
    return replace(way, late_days=learned.late_days_of(key), error=learned.error_of(key))


def _by_fortnight(values: NDArray[np.floating]) -> NDArray[np.float64]:
    """(26,) mean of each fortnight over all seasons, of (n, 365)."""
    usual = values[:, : FORTNIGHTS * 14].mean(axis=0, dtype=float)
    return np.asarray(usual.reshape(FORTNIGHTS, 14).mean(axis=1))


def _comfort(course: Course, mean_c: NDArray[np.float64]) -> float:
    """What a course's weeks of bloom count for: those near the kind's limits of heat and cold, in
    part.  ``mean_c``: (26,) usual mean of each fortnight."""
    kind, odds = course.kind, course.bloom.odds
    if not odds.any():
        return 1.0
    limit, least = kind.liking.heat_max_c, kind.sowing.soil_min_c - ROOTING_C
    cool = (limit - course.days_max_c) / HEAT_MARGIN_C[kind.hardiness]
    warm = (mean_c - least) / COLD_MARGIN_C
    to_spare = warm if limit >= HEAT_PROOF_C else np.minimum(cool, warm)
    counts = LEAST_COMFORT + (1.0 - LEAST_COMFORT) * np.clip(to_spare, 0.0, 1.0)
    return float((odds * counts).sum() / odds.sum())


def sown_again(
    courses: Iterable[Course], season: Season, learned: Learned = NOTHING_LEARNED
) -> dict[str, Course]:
    """Those courses, by key, whose bloom ends early enough for a second, of seed sown in place once
    the first is over, or some weeks later where the heat must pass.

    Kinds are not chosen for it: for some weeks between the two their ground is bare.
    """
    tries = [
        (course, course.bloom.typical[1] + wait)
        for course in courses
        if _can_follow(course) and course.bloom.typical is not None
        for wait in AGAIN_AFTER_DAYS
        if course.bloom.typical[1] + wait + LEAST_AGAIN_DAYS < min(course.killed, DAYS)
    ]
    ways = [_here(Way(course.kind, day, day, in_place=True), learned) for course, day in tries]
    best: dict[str, tuple[float, Course]] = {}
    for (course, day), bloom in zip(tries, blooms_of(ways, season), strict=True):
        gain, known = bloom.weeks, best.get(course.kind.key)
        sure = bloom.share >= LEAST_AGAIN_SHARE
        if (
            sure
            and gain >= LEAST_GAIN_WEEKS
            and (known is None or gain > known[0] + LEAST_WAIT_WEEKS)
        ):
            both = followed_by(course.bloom, bloom, day)
            best[course.kind.key] = gain, replace(course, bloom=both, again=day)
    return {key: course for key, (_, course) in best.items()}


def _can_follow(course: Course) -> bool:
    """Whether a kind may be sown once more: it is sown in place, and grown for flowers of one
    year."""
    kind = course.kind
    flowers = not kind.is_foliage and not kind.needs_winter
    return flowers and kind.sowing.method != "indoors" and not course.too_late


class _Dates:
    """Dates of every way of raising a kind."""

    def __init__(
        self, outdoors: Outdoors, ready: int, sow_from: int, autumn_from: int | None
    ) -> None:
        """As for ``courses_of``."""
        self.outdoors, self.season = outdoors, outdoors.season
        self.ready, self.sow_from, self.autumn_from = ready, sow_from, autumn_from

    def of(self, kind: Kind, indoors: bool) -> list[Dated]:
        """All that can be done here; young plants are bought where nothing else can."""
        if self.season.winter_amid:
            methods = _methods(kind, indoors)
            if "indoors" in methods and self.sow_from + _raising_days(kind) > self.ready:
                methods.append("bought")  # It is late to raise them for this bed.
            return [each for method in methods for each in self._about_winter(kind, method)]
        autumn = self._in_autumn(kind, indoors)
        if kind.needs_winter and autumn:
            return autumn
        return [*(self._in_spring(kind, method) for method in _methods(kind, indoors)), *autumn]

    def _in_spring(self, kind: Kind, method: Method) -> Dated:
        """A kind's dates by one way of raising."""
        in_place, season = method == "in_place", self.season
        kill_c = kind.kill_c
        find = self.outdoors.sowing_day if in_place else self.outdoors.plant_day
        out, risk, decided_by = find(kind)
        lead = 0 if in_place else _raising_days(kind)
        raised = self.sow_from + lead if method != "bought" else self.ready
        if max(self.ready, raised) > out:
            out = max(self.ready, raised)
            decided_by = "bed" if self.ready >= raised else "sowing"
            up = self.outdoors.emergence(seed_of(kind), out) if in_place else out
            risk = season.freeze(True, kill_c).odds_at(min(up, DAYS - 1))
        if out >= season.split:
            # Spring has no odds any more; those of the coming weeks count.
            risk = season.odds_of_night(kill_c, out)
        return self._dated(kind, method, out - lead, out, risk, kill_c, decided_by)

    def _about_winter(self, kind: Kind, method: Method) -> list[Dated]:
        """A kind's dates where the winter lies in the middle of the growing year: set out, or sown,
        as soon as the bed is ready, when the heat that stops it is past, when the cool season
        begins, or after winter; those within the risk, if any is."""
        kill_c, heat_max_c, sowing = kind.kill_c, kind.liking.heat_max_c, kind.sowing
        in_place, lead = method == "in_place", 0 if method == "in_place" else _raising_days(kind)
        raised = self.sow_from + lead if method != "bought" else self.ready
        first = max(self.ready, raised, 0)
        why: DecidedBy = "bed" if self.ready >= raised else "sowing"
        soil = sowing.soil_min_c if in_place else max(sowing.soil_min_c - ROOTING_C, 0.0)
        outdoors = self.outdoors
        heat = outdoors.heat_day(heat_max_c)
        days: dict[int, DecidedBy] = {}
        after = outdoors.after_winter(kill_c, soil)
        tries: list[tuple[int, DecidedBy]] = [
            (0, "nothing"),
            (heat, "heat"),
            (outdoors.cool_day, "cool"),
            *([] if after is None else [(after.day, after.decided_by)]),
        ]
        for day, reason in tries:
            if first < day < DAYS - LEAST_LEFT_DAYS and day >= heat:
                days.setdefault(day, reason)
            elif day <= first and first >= heat:
                days.setdefault(first, why if day < first else reason)
        found = []
        for out, reason in (days or {max(first, heat): why}).items():
            risk = self.season.odds_of_night(kill_c, out)
            dated = self._dated(kind, method, out - lead, out, risk, kill_c, reason)
            later = self.season.freeze(True, kill_c).odds_at(out)
            killed = dated.killed if later >= 0.5 and dated.killed > out else DAYS
            odds = outdoors.heat_odds(heat_max_c, out)
            found.append(replace(dated, killed=killed, heat_odds=odds))
        least = max(outdoors.risk, min(each.risk for each in found))
        return [each for each in found if each.risk <= least]

    def _in_autumn(self, kind: Kind, indoors: bool) -> list[Dated]:
        """A hardy kind's dates where it is sown or planted in the autumn before, as long as winter
        kills it with odds within the risk."""
        day = self.outdoors.autumn_day
        if day is None or self.autumn_from is None or kind.hardiness == "tender":
            return []
        out = max(day, self.autumn_from)
        if out >= (0 if self.outdoors.mild else min(day + AUTUMN_SLACK_DAYS, 0)):
            return []
        found = []
        raised: Method = "indoors" if indoors else "bought"
        for method in [raised] if kind.needs_winter else _methods(kind, indoors):
            in_place = method == "in_place"
            lead = 0 if in_place else _raising_days(kind)
            if out - lead < self.sow_from and method == "indoors":
                method = "bought"
            up = self.outdoors.emergence(seed_of(kind), out) if in_place else out
            loss = self.outdoors.winter_loss(kind, up)
            if up < 0 and loss <= max(self.outdoors.risk, LEAST_WINTER_RISK):
                kill_c = winter_kill_c(kind)
                found.append(self._dated(kind, method, out - lead, out, loss, kill_c, "autumn"))
        return found

    def _dated(
        self,
        kind: Kind,
        method: Method,
        sow: int,
        out: int,
        risk: float,
        kill_c: float,
        decided_by: DecidedBy,
    ) -> Dated:
        """Those dates with the day that frost ends the kind."""
        killed = self.outdoors.frost_day(kind.kill_c)
        return Dated(kind, method, sow, out, risk, kill_c, decided_by, killed)


def room_warmth_c(room: Room) -> float:
    """What the warmth of a room amounts to for growth, °C."""
    return shared().indoor_c + ROOM_C[room]


def weeks_indoors(kind: Kind) -> tuple[float, float]:
    """Fewest and most weeks from sowing indoors, or in a nursery bed, to setting out."""
    return BIENNIAL_WEEKS if kind.needs_winter else (kind.sowing.weeks_min, kind.sowing.weeks_max)


def _raising_days(kind: Kind) -> int:
    """Days from sowing indoors to setting out."""
    return round(sum(weeks_indoors(kind)) / 2 * 7)


def _methods(kind: Kind, indoors: bool) -> list[Method]:
    """The ways a kind can be raised here."""
    ways: list[Method] = []
    if kind.sowing.method in ("indoors", "both"):
        ways.append("indoors" if indoors else "bought")
    if kind.sowing.method in ("in_place", "both"):
        ways.append("in_place")
    return ways


def _worth(course: Course, mild: bool) -> tuple[bool, float, bool]:
    """A safe day to begin; weeks of bloom, less what moving costs a kind that resents it, what a
    plant costs beside a seed, what it takes to have the bed made in autumn, and what it costs to
    wait for the cool season with a kind that no heat stops; where winters are ``mild``, bloom
    before the growing year counts too, of kinds that do not go on until frost and as far as there
    is as much in it.  Ties go to sowing in place."""
    handicaps = (
        course.method != "in_place" and course.kind.sowing.resents_moving,
        course.method == "bought"
        and (course.kind.sowing.method == "both" or course.heat_odds is not None),
        course.out < 0,
        course.decided_by == "cool" and course.kind.liking.heat_max_c >= HEAT_PROOF_C,
    )
    bloom = course.bloom.weeks * course.comfort
    if mild and course.kind.growth.bloom_end != "frost":
        bloom += min(course.bloom.weeks_before, course.bloom.weeks)
    weeks = round(bloom - LEAST_GAIN_WEEKS * sum(handicaps), 1)
    return not course.too_late, weeks, course.method == "in_place"
