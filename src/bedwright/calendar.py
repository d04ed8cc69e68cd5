"""The year's work as dated tasks, each with an earliest, best and latest day and the reason."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from bedwright.brief import Brief, Dates, Span
from bedwright.ground import SIDE_DRESS_WEEKS, Dose, Ground
from bedwright.planting import Item, Planting
from bedwright.raising import IndoorRow, InPlaceRow, Raising
from bedwright.season import DAYS, MULCH_DAYS, Season
from bedwright.units import System, say_temperature, say_weight

Where = Literal["desk", "bed", "indoors"]

LOCATE_DAYS = 10
"""Ask for buried services this long before digging; notice is usually 2 to 3 working days (from
memory), set by each state or country."""

ORDER_DAYS = 28
TEST_DAYS = 42
SMOTHER_DAYS = 365
"""Ground is smothered in about a year (common practice, no source)."""


@dataclass(frozen=True)
class Task:
    """One piece of work, or something to watch for (``watch``).

    ``weekly_until``: the last day of work that comes again every week from ``best`` on.
    """

    key: str
    title: str
    where: Where
    earliest: date
    best: date
    latest: date
    reason: str
    letters: tuple[str, ...] = ()
    watch: bool = False
    weekly_until: date | None = None


@dataclass(frozen=True)
class Diary:
    """All tasks in order of their best day, and those that no day at home could be found for."""

    tasks: tuple[Task, ...]
    clashes: tuple[str, ...]

    def index_of(self, key: str, index: int, season: Season) -> int:
        """Index of the day a task is put on that was worked out for day ``index``."""
        best = next((task.best for task in self.tasks if task.key == key), season.day(index))
        return index if best == season.day(index) else season.index(best)


def with_days_of(diary: Diary, raising: Raising, season: Season) -> Raising:
    """The raising on the days that the diary has, where it moved tasks to days at home."""

    def on(key: str, index: int) -> int:
        return diary.index_of(key, index, season)

    def indoors(row: IndoorRow) -> IndoorRow:
        letter = row.letter
        sow = on(f"sow-{letter}", row.sow)
        return replace(
            row,
            sow=sow,
            up_first=row.up_first + sow - row.sow,
            up_last=row.up_last + sow - row.sow,
            prick_out=None if row.prick_out is None else on(f"prick-{letter}", row.prick_out),
            pot_on=None if row.pot_on is None else on(f"pot-{letter}", row.pot_on),
            harden=on(f"harden-{row.harden}", row.harden),
            out=on(f"set-out-{row.out}", row.out),
        )

    def in_place(row: InPlaceRow) -> InPlaceRow:
        letter = row.letter
        sow = on(f"place-{letter}", row.sow)
        return replace(
            row,
            sow=sow,
            up_first=row.up_first + sow - row.sow,
            up_last=row.up_last + sow - row.sow,
            thin_first=on(f"thin-{letter}", row.thin_first),
            thin_last=None if row.thin_last is None else on(f"thin2-{letter}", row.thin_last),
        )

    return replace(
        raising,
        indoor=tuple(indoors(row) for row in raising.indoor),
        in_place=tuple(in_place(row) for row in raising.in_place),
    )


def make_diary(
    brief: Brief,
    season: Season,
    dig: int,
    ready: int,
    ground: Ground,
    planting: Planting,
    raising: Raising,
) -> Diary:
    """Tasks of the whole year.  ``dig``, ``ready``: days the bed is dug and settled."""
    dates, units = brief.dates, brief.units
    tasks = [
        *_ground_tasks(season, dig, ready, ground, planting),
        *_raising_tasks(season, planting, raising, brief),
        *_bed_tasks(season, planting, raising, ground.feed.side_dress, units),
        *_late_tasks(season, planting, dates),
    ]
    moved, clashes = [], []
    for task in tasks:
        at_home, clash = _at_home(task, dates.away)
        moved.append(at_home)
        if clash:
            clashes.append(clash)
    moved.sort(key=lambda t: (t.best, t.where, t.key))
    return Diary(tuple(moved), tuple(clashes))


def _ground_tasks(
    season: Season, dig: int, ready: int, ground: Ground, planting: Planting
) -> Iterable[Task]:
    day = season.day
    if ground.ph.found is None:
        yield Task(
            "soil-test",
            "Send a soil sample to a laboratory",
            "desk",
            day(dig - 2 * TEST_DAYS),
            day(dig - TEST_DAYS),
            day(dig - 14),
            "Its pH decides on lime, and its phosphorus and potassium on the feed.",
        )
    yield Task(
        "order",
        "Order soil materials and fertiliser",
        "desk",
        day(dig - 2 * ORDER_DAYS),
        day(dig - ORDER_DAYS),
        day(dig - 3),
        "They must lie ready when the bed is dug.",
    )
    yield Task(
        "locate",
        "Have buried pipes and cables marked",
        "desk",
        day(dig - 30),
        day(dig - LOCATE_DAYS),
        day(dig - 3),
        "Nothing may be dug before they are marked; local rules set the notice.",
    )
    ways = ground.clearing
    if ways is not None and ways.chosen.key == "herbicide":
        lead = ways.chosen.lead_days
        yield Task(
            "spray",
            "Kill the grass with a weedkiller, by its label only",
            "bed",
            day(dig - 2 * lead),
            day(dig - lead),
            day(dig - lead // 2),
            "It works on growing grass and takes some weeks; the label says how long.",
        )
    if ways is not None and ways.covers:
        cover = "wet paper and mulch" if ways.chosen.key == "smother" else "black plastic"
        yield Task(
            "smother",
            f"Mow the grass close and cover it: {cover}",
            "bed",
            day(dig - 400),
            day(dig - SMOTHER_DAYS),
            day(dig - 270),
            "Grass takes about a year to die and rot. Where that is past, lift the sod instead.",
        )
    yield Task(
        "mark-out",
        "Stake, string and edge the bed",
        "bed",
        day(dig - 7),
        day(dig - 1),
        day(dig + 7),
        "The day before digging.",
    )
    work = "Lift the sod, fill, feed and dig" if ground.sod else "Fill, feed and dig the bed"
    care = ""
    if planting.gaps is not None:
        work = "Fork over the gaps, with compost and feed"
        care = " Keep a hand's breadth away from the shoots of what stays."
    yield Task(
        "dig",
        work,
        "bed",
        day(dig),
        day(dig),
        day(max(dig + 14, ready)),
        "The day named, or the first on which the ground can be worked in half of all years. Not"
        f" when it is wet: a handful, squeezed, must crumble again.{care}",
    )
    yield Task(
        "water-in",
        "Soak the bed and let it settle",
        "bed",
        day(dig + 1),
        day(dig + 1),
        day(dig + 4),
        f"It sinks for {ground.settle_days} days; planted sooner, roots hang in holes. Skip the"
        " soak if rain has done it.",
    )
    dose = ground.ph.dose
    for n in range(1, dose.doses if dose else 1):
        assert dose is not None
        after = dig + round(30.4 * dose.months_apart * n)
        yield Task(
            f"ph-{n + 1}",
            f"Spread {dose.label} again, number {n + 1} of {dose.doses}",
            "bed",
            day(after - 14),
            day(after),
            day(after + 30),
            "A large dose is split.",
        )


def _raising_tasks(
    season: Season, planting: Planting, raising: Raising, brief: Brief
) -> Iterable[Task]:
    day = season.day
    holder = "block" if brief.indoors.container == "soil block" else "cell"
    courses = {item.letter: item.candidate.course for item in planting.items}
    starts = [row.sow for row in raising.indoor] + [row.sow for row in raising.in_place]
    if starts:
        first = min(starts)
        yield Task(
            "seed-order",
            "Order seed",
            "desk",
            day(first - 90),
            day(first - ORDER_DAYS),
            day(first - 7),
            "Before the first sowing.",
        )
    for row in raising.indoor:
        yield Task(
            f"sow-{row.letter}",
            f"Sow indoors: {row.name}",
            "indoors",
            day(row.sow_first),
            day(row.sow),
            day(row.sow_last),
            f"{(row.out - row.sow) / 7:.0f} weeks before setting out.",
            (row.letter,),
        )
        if row.prick_out is not None:
            yield Task(
                f"prick-{row.letter}",
                f"Prick out: {row.name}",
                "indoors",
                day(row.prick_out - 4),
                day(row.prick_out),
                day(row.prick_out + 7),
                "When the first true leaves show.",
                (row.letter,),
            )
        if row.pot_on is not None:
            yield Task(
                f"pot-{row.letter}",
                f"Pot on: {row.name}",
                "indoors",
                day(row.pot_on - 5),
                day(row.pot_on),
                day(row.pot_on + 10),
                f"When roots show at the edge of the {holder}.",
                (row.letter,),
            )
    for start in sorted({row.harden for row in raising.indoor}):
        rows = [row for row in raising.indoor if row.harden == start]
        yield Task(
            f"harden-{start}",
            "Harden off: " + "; ".join(r.name for r in rows),
            "indoors",
            day(start - 4),
            day(start),
            day(start + 3),
            "Out by day, in on cold nights, for a week or two.",
            tuple(r.letter for r in rows),
        )
    for place in raising.in_place:
        course = courses[place.letter]
        yield Task(
            f"place-{place.letter}",
            f"Sow in place: {place.name}",
            "bed",
            day(place.sow),
            day(place.sow),
            day(place.sow + 14),
            f"Decided by {course.decided_by}. A night of"
            f" {say_temperature(course.kill_c, brief.units)} or colder, which kills seedlings,"
            f" still comes with odds of {course.risk:.0%}.",
            (place.letter,),
        )
        yield Task(
            f"thin-{place.letter}",
            f"Thin: {place.name}",
            "bed",
            day(place.up_last + 7),
            day(place.thin_first),
            day(place.thin_first + 10),
            "To the strongest one or two at each plant's place.",
            (place.letter,),
        )
        if place.thin_last is not None:
            yield Task(
                f"thin2-{place.letter}",
                f"Thin to one: {place.name}",
                "bed",
                day(place.thin_last - 4),
                day(place.thin_last),
                day(place.thin_last + 10),
                "One plant to each place.",
                (place.letter,),
            )


def _bed_tasks(
    season: Season, planting: Planting, raising: Raising, side: Dose, units: System
) -> Iterable[Task]:
    day = season.day
    outs = sorted(
        {i.candidate.course.out for i in planting.items if i.candidate.course.method != "in_place"}
    )
    for out in outs:
        items = [
            i
            for i in planting.items
            if i.candidate.course.out == out and i.candidate.course.method != "in_place"
        ]
        worst = max((i.candidate.course for i in items), key=lambda c: c.kill_c)
        names = "; ".join(f"{i.letter} {i.label}" for i in items)
        word = "Buy and set out" if items[0].letter in raising.bought else "Set out"
        yield Task(
            f"set-out-{out}",
            f"{word}: {names}",
            "bed",
            day(out),
            day(out),
            day(out + 21),
            f"Decided by {worst.decided_by}. A night of {say_temperature(worst.kill_c, units)} or"
            f" colder, which kills them, still comes with odds of {worst.risk:.0%}: keep a cover"
            " ready.",
            tuple(i.letter for i in items),
        )
    pinched = [i for i in planting.items if i.candidate.kind.growth.pinch]
    for item in pinched:
        at = item.candidate.course.out + (45 if item.candidate.course.method == "in_place" else 21)
        yield Task(
            f"pinch-{item.letter}",
            f"Pinch out the tips: {item.label}",
            "bed",
            day(at - 7),
            day(at),
            day(at + 7),
            "For bushier plants with more stems.",
            (item.letter,),
        )
    staked = [i for i in planting.items if i.candidate.kind.growth.stake == "yes"]
    if staked:
        at = max(i.candidate.course.out for i in staked) + 28
        yield Task(
            "stake",
            "Stake: " + "; ".join(i.label for i in staked),
            "bed",
            day(at - 10),
            day(at),
            day(at + 10),
            "Before they lean.",
            tuple(i.letter for i in staked),
        )
    last_out = max(i.candidate.course.out for i in planting.items)
    hungry = [i for i in planting.items if i.candidate.kind.growth.appetite != "low"]
    if hungry:
        first, last = (last_out + 7 * weeks for weeks in SIDE_DRESS_WEEKS)
        yield Task(
            "side-dress",
            "Feed the hungry kinds again, lightly: " + " ".join(i.letter for i in hungry),
            "bed",
            day(first),
            day((first + last) // 2),
            day(last),
            f"Four to six weeks after planting, {say_weight(side.weight_kg, units)} of"
            f" {side.label} over the whole bed at most: much nitrogen gives leaf for flower.",
            tuple(i.letter for i in hungry),
        )
    first_out = min(i.candidate.course.out for i in planting.items)
    ends = [i.candidate.course.bloom.typical for i in planting.items]
    last = min(max((end[1] for end in ends if end), default=DAYS - 1), DAYS - 1)
    yield Task(
        "water",
        "Water where the soil is dry a finger deep",
        "bed",
        day(first_out),
        day(first_out),
        day(max(last, first_out)),
        "Every few days until the young plants have taken, then weekly by the water table.",
        weekly_until=day(max(last, first_out)),
    )
    mulch = last_out + MULCH_DAYS
    yield Task(
        "mulch",
        "Weed, then mulch between the plants",
        "bed",
        day(mulch - 7),
        day(mulch),
        day(mulch + 14),
        "Once the soil is warm: it saves water and weeding.",
    )


def _late_tasks(season: Season, planting: Planting, dates: Dates) -> Iterable[Task]:
    day = season.day
    for item in planting.items:
        bloom = item.candidate.course.bloom
        if bloom.typical is None or item.candidate.kind.is_foliage:
            continue
        low, high = bloom.spread
        yield Task(
            f"bloom-{item.letter}",
            f"First flowers: {item.label}",
            "bed",
            day(low),
            day(bloom.typical[0]),
            day(min(high, 364)),
            "In eight years of ten they open within these days.",
            (item.letter,),
            watch=True,
        )
    dead = [
        (item.letter, item.candidate.course.bloom.typical)
        for item in planting.items
        if item.candidate.kind.growth.deadhead == "yes"
    ]
    spans = [span for _, span in dead if span is not None]
    if spans:
        start, end = min(span[0] for span in spans) + 10, max(span[1] for span in spans)
        yield Task(
            "deadhead",
            "Pick or deadhead every week from now on",
            "bed",
            day(start),
            day(start),
            day(max(end, start)),
            "Picking keeps the flowers coming.",
            tuple(letter for letter, span in dead if span is not None),
            weekly_until=day(max(end, start)),
        )
    autumn = season.freeze(False)
    first, usual = autumn.day_at(0.1), autumn.day_at(0.5)
    if first is not None:
        middle = usual if usual is not None else first
        yield Task(
            "frost-watch",
            "Watch for frost; cover tender kinds on clear, still nights",
            "bed",
            day(first),
            day(first),
            day(middle),
            "From the first day, one year in ten has had its first freeze; by the last,"
            " five in ten.",
            watch=True,
        )
    ends = [
        i.candidate.course.bloom.typical[1]
        for i in planting.items
        if i.candidate.course.bloom.typical
    ]
    if ends:
        end = min(max(ends), DAYS - 30)
        yield Task(
            "clear",
            "Clear the bed; compost what is healthy",
            "bed",
            day(end),
            day(end + 10),
            day(end + 45),
            "When frost or age has ended the flowers.",
        )
        yield Task(
            "review",
            "Note what did well, and draw next year's scheme",
            "desk",
            day(end + 14),
            day(end + 30),
            day(end + 90),
            "While the bed is fresh in mind; move each plant family to new ground.",
        )
    if dates.show is not None:
        open_then = [i.letter for i in planting.items if _in_bloom(season, i, dates.show)]
        yield Task(
            "show",
            f"The day itself: {len(open_then)} of {len(planting.items)} kinds likely in flower",
            "bed",
            dates.show,
            dates.show,
            dates.show,
            "As the brief fixes.",
            tuple(open_then),
            watch=True,
        )


def _in_bloom(season: Season, item: Item, on: date) -> bool:
    fortnight = season.index(on) // 14
    odds = item.candidate.course.bloom.odds
    return 0 <= fortnight < len(odds) and bool(odds[fortnight] >= 0.5)


def _at_home(task: Task, away: tuple[Span, ...]) -> tuple[Task, str | None]:
    """Move a task's best day within its window to when the gardener is at home."""

    def gone(day: date) -> bool:
        return any(span.start <= day <= span.end for span in away)

    if task.watch or not gone(task.best):
        return task, None
    days = [
        task.earliest + timedelta(days=n) for n in range((task.latest - task.earliest).days + 1)
    ]
    free = [d for d in days if not gone(d)]
    if not free:
        return task, f"{task.title}: its whole window falls while you are away"
    near = min(free, key=lambda d: abs((d - task.best).days))
    return replace(task, best=near, reason=task.reason + " Moved to a day you are at home."), None
