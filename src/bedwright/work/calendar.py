"""The year's work as dated tasks, each with an earliest, best and latest day and what it waits
for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from bedwright.brief import Brief, Dates, Span
from bedwright.climate import DAYS, Season
from bedwright.ground import SIDE_DRESS_WEEKS, Dose, Ground
from bedwright.growth import MULCH_DAYS, Course
from bedwright.planting import Item, Planting
from bedwright.work import jobs
from bedwright.work.jobs import FrostRisk, Job, Named, NoDayAtHome
from bedwright.work.raising import IndoorRow, InPlaceRow, Raising
from bedwright.work.rates import rates, windows

Where = Literal["paperwork", "bed", "indoors"]

MONTH_DAYS = 30.4


@dataclass(frozen=True)
class Task:
    """One piece of work, or something to watch for (``watch``).

    ``key``: one of its own; ``job``: what is done and why then; ``letters``: of the items it is
    about; ``waits_for``: keys of the tasks that come first; ``weekly_until``: the last day of work
    that comes again every week from ``best`` on; ``moved``: to a day at home.
    """

    key: str
    job: Job
    where: Where
    earliest: date
    best: date
    latest: date
    letters: tuple[str, ...] = ()
    waits_for: tuple[str, ...] = ()
    watch: bool = False
    weekly_until: date | None = None
    moved: bool = False


@dataclass(frozen=True)
class Diary:
    """All tasks in order of their best day, and those that no day at home could be found for."""

    tasks: tuple[Task, ...]
    clashes: tuple[NoDayAtHome, ...]

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
        letter = _row_key(row)
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
    tasks = [
        *_ground_tasks(season, dig, ready, ground, planting),
        *_raising_tasks(season, planting, raising, brief),
        *_bed_tasks(season, planting, raising, ground.feed.side_dress),
        *_late_tasks(season, planting, brief.dates),
    ]
    known = {task.key for task in tasks}
    moved, clashes = [], []
    for task in tasks:
        waits = tuple(key for key in task.waits_for if key in known)
        at_home = _at_home(replace(task, waits_for=waits), brief.dates.away)
        if at_home is None:
            clashes.append(NoDayAtHome(task.job))
        moved.append(at_home or replace(task, waits_for=waits))
    moved.sort(key=lambda t: (t.best, t.where, t.key))
    return Diary(tuple(moved), tuple(clashes))


def _task(
    season: Season,
    key: str,
    job: Job,
    where: Where,
    index: int,
    letters: tuple[str, ...] = (),
    waits_for: tuple[str, ...] = (),
    window: str = "",
) -> Task:
    """A task in the window of its job (or of the name given) about a day."""
    days = windows()[window or job.code].after(index, season.day)
    return Task(key, job, where, *days, letters, waits_for)


def _ground_tasks(
    season: Season, dig: int, ready: int, ground: Ground, planting: Planting
) -> Iterator[Task]:
    day = season.day
    if ground.ph.found is None:
        yield _task(season, "soil-test", jobs.SoilTest(), "paperwork", dig)
    yield _task(season, "order", jobs.OrderMaterials(), "paperwork", dig, waits_for=("soil-test",))
    yield _task(season, "locate", jobs.MarkServices(), "paperwork", dig)
    ways = ground.clearing
    if ways is not None and ways.chosen.key == "herbicide":
        lead = ways.chosen.lead_days
        days = day(dig - 2 * lead), day(dig - lead), day(dig - lead // 2)
        yield Task("spray", jobs.SprayGrass(), "bed", *days)
    if ways is not None and ways.covers:
        cover: Literal["smother", "black plastic"] = (
            "smother" if ways.chosen.key == "smother" else "black plastic"
        )
        yield _task(season, "smother", jobs.CoverGrass(cover), "bed", dig)
    yield _task(season, "mark-out", jobs.MarkOut(), "bed", dig, waits_for=("spray", "smother"))
    kind: Literal["sod", "open", "gaps"] = "sod" if ground.sod else "open"
    made = _task(
        season,
        "dig",
        jobs.Dig("gaps" if planting.gaps is not None else kind),
        "bed",
        dig,
        waits_for=("locate", "order", "mark-out"),
    )
    yield replace(made, latest=max(made.latest, day(ready)))
    settled = jobs.WaterIn(ground.settle_days)
    yield _task(season, "water-in", settled, "bed", dig, waits_for=("dig",))
    dose = ground.ph.dose
    for n in range(1, dose.doses if dose else 1):
        assert dose is not None
        after = dig + round(MONTH_DAYS * dose.months_apart * n)
        again = jobs.SpreadAgain(dose.label, n + 1, dose.doses)
        before = "dig" if n == 1 else f"ph-{n}"
        yield _task(season, f"ph-{n + 1}", again, "bed", after, waits_for=(before,))


def _raising_tasks(
    season: Season, planting: Planting, raising: Raising, brief: Brief
) -> Iterator[Task]:
    courses = {item.letter: item.candidate.course for item in planting.items}
    starts = [row.sow for row in raising.indoor] + [row.sow for row in raising.in_place]
    if starts:
        yield _task(season, "seed-order", jobs.OrderSeed(), "paperwork", min(starts))
    for row in raising.indoor:
        yield from _indoors(season, row, brief)
    for start in sorted({row.harden for row in raising.indoor}):
        rows = [row for row in raising.indoor if row.harden == start]
        yield _task(
            season,
            f"harden-{start}",
            jobs.HardenOff(tuple(Named(row.letter, row.name) for row in rows)),
            "indoors",
            start,
            tuple(row.letter for row in rows),
            tuple(_last_indoors(row) for row in rows),
        )
    for place in raising.in_place:
        yield from _in_place(season, place, courses[place.letter])


def _indoors(season: Season, row: IndoorRow, brief: Brief) -> Iterator[Task]:
    """Sowing, pricking out and potting on of one item."""
    item, letters = Named(row.letter, row.name), (row.letter,)
    sow, prick, pot = f"sow-{row.letter}", f"prick-{row.letter}", f"pot-{row.letter}"
    job = jobs.SowIndoors(item, (row.out - row.sow) / 7)
    first, best, last = map(season.day, (row.sow_first, row.sow, row.sow_last))
    yield Task(sow, job, "indoors", first, best, last, letters, ("seed-order",))
    if row.prick_out is not None:
        out = jobs.PrickOut(item)
        yield _task(season, prick, out, "indoors", row.prick_out, letters, (sow,))
    if row.pot_on is not None:
        before = sow if row.prick_out is None else prick
        on = jobs.PotOn(item, brief.indoors.container)
        yield _task(season, pot, on, "indoors", row.pot_on, letters, (before,))


def _last_indoors(row: IndoorRow) -> str:
    """Key of the last task of an item before it is hardened off."""
    if row.pot_on is not None:
        return f"pot-{row.letter}"
    return f"sow-{row.letter}" if row.prick_out is None else f"prick-{row.letter}"


def _in_place(season: Season, row: InPlaceRow, course: Course) -> Iterator[Task]:
    """Sowing in place and thinning of one item."""
    item, letters, key = Named(row.letter, row.name), (row.letter,), _row_key(row)
    sow, thin, last = f"place-{key}", f"thin-{key}", f"thin2-{key}"
    if row.again:
        once_more = jobs.SowAgain(item) if course.heat_odds is None else jobs.SowOnceMore(item)
        before = (_key_of(row, course),)
        yield _task(season, sow, once_more, "bed", row.sow, letters, before, "sow_again")
    else:
        sown = jobs.SowInPlace(item, _risk_of(course))
        yield _task(season, sow, sown, "bed", row.sow, letters, ("seed-order", "water-in"))
    yield _task(season, thin, jobs.Thin(item), "bed", row.thin_first, letters, (sow,))
    if row.thin_last is not None:
        yield _task(season, last, jobs.ThinToOne(item), "bed", row.thin_last, letters, (thin,))


def _row_key(row: InPlaceRow) -> str:
    """What the keys of a sowing in place end with."""
    return f"{row.letter}-again" if row.again else row.letter


def _key_of(row: InPlaceRow, course: Course) -> str:
    """Key of the task by which the first plants of a row's item came into the bed."""
    return f"place-{row.letter}" if course.method == "in_place" else f"set-out-{course.out}"


def _risk_of(course: Course) -> FrostRisk:
    why, kill_c, risk = course.decided_by, course.kill_c, course.risk
    if course.heat_odds is None:
        return FrostRisk(why, kill_c, risk)
    return jobs.HeatRisk(why, kill_c, risk, course.kind.liking.heat_max_c, course.heat_odds)


def _named(items: Iterable[Item]) -> tuple[Named, ...]:
    return tuple(Named(item.letter, item.label) for item in items)


def _planted(item: Item) -> str:
    """Key of the task by which an item comes into the bed."""
    course = item.candidate.course
    return f"place-{item.letter}" if course.method == "in_place" else f"set-out-{course.out}"


def _bed_tasks(season: Season, planting: Planting, raising: Raising, side: Dose) -> Iterator[Task]:
    yield from _set_out(season, planting, raising)
    for item in planting.items:
        if item.candidate.kind.growth.pinch:
            course = item.candidate.course
            yield _task(
                season,
                f"pinch-{item.letter}",
                jobs.PinchOut(Named(item.letter, item.label)),
                "bed",
                course.out,
                (item.letter,),
                (_planted(item),),
                "pinch_sown" if course.method == "in_place" else "pinch_set_out",
            )
    staked = [i for i in planting.items if i.candidate.kind.growth.stake == "yes"]
    if staked:
        at = max(i.candidate.course.out for i in staked)
        letters, waits = tuple(i.letter for i in staked), tuple(map(_planted, staked))
        yield _task(season, "stake", jobs.Stake(_named(staked)), "bed", at, letters, waits)
    last_out = max(i.candidate.course.out for i in planting.items)
    fed = [i for i in planting.items if i.candidate.kind.growth.appetite != "low"]
    if fed:
        job = jobs.FeedAgain(_named(fed), side.label, side.weight_kg, SIDE_DRESS_WEEKS)
        letters, waits = tuple(i.letter for i in fed), tuple(map(_planted, fed))
        yield _task(season, "side-dress", job, "bed", last_out, letters, waits)
    yield _watering(season, planting)
    yield _task(season, "mulch", jobs.Mulch(), "bed", last_out + MULCH_DAYS)


def _set_out(season: Season, planting: Planting, raising: Raising) -> Iterator[Task]:
    """Planting out, all items of a day together."""
    hardened = {row.letter: f"harden-{row.harden}" for row in raising.indoor}
    raised = [i for i in planting.items if i.candidate.course.method != "in_place"]
    for out in sorted({i.candidate.course.out for i in raised}):
        items = [i for i in raised if i.candidate.course.out == out]
        worst = max((i.candidate.course for i in items), key=lambda c: c.kill_c)
        bought = all(i.letter in raising.bought for i in items)
        waits = {hardened[i.letter]: None for i in items if i.letter in hardened}
        yield _task(
            season,
            f"set-out-{out}",
            jobs.SetOut(_named(items), bought, _risk_of(worst)),
            "bed",
            out,
            tuple(i.letter for i in items),
            ("water-in", *waits),
        )


def _watering(season: Season, planting: Planting) -> Task:
    """Water from the first plant out to the end of the last bloom; in winter nobody does."""
    outs = [i.candidate.course.out for i in planting.items]
    first = min([out for out in outs if out >= 0] or outs)
    ends = [i.candidate.course.bloom.typical for i in planting.items]
    last = min(max((end[1] for end in ends if end), default=DAYS - 1), DAYS - 1)
    start, end = season.day(first), season.day(max(last, first))
    return Task("water", jobs.WaterBed(), "bed", start, start, end, weekly_until=end)


def _late_tasks(season: Season, planting: Planting, dates: Dates) -> Iterator[Task]:
    yield from _flowers(season, planting)
    autumn = season.freeze(False)
    first, usual = autumn.day_at(0.1), autumn.day_at(0.5)
    if first is not None:
        start, middle = season.day(first), season.day(first if usual is None else usual)
        yield Task("frost-watch", jobs.WatchForFrost(), "bed", start, start, middle, watch=True)
    ends = [
        i.candidate.course.bloom.typical[1]
        for i in planting.items
        if i.candidate.course.bloom.typical
    ]
    if ends:
        end = min(max(ends), DAYS - int(rates()["harvest_end"]))
        yield _task(season, "clear", jobs.ClearBed(), "bed", end)
        yield _task(season, "review", jobs.Review(), "paperwork", end, waits_for=("clear",))
    if dates.show is not None:
        open_then = tuple(i.letter for i in planting.items if _in_bloom(season, i, dates.show))
        job = jobs.ShowDay(len(open_then), len(planting.items))
        on = dates.show
        yield Task("show", job, "bed", on, on, on, open_then, watch=True)


def _flowers(season: Season, planting: Planting) -> Iterator[Task]:
    """First flowers to watch for, and picking or deadheading from then on."""
    day = season.day
    spent: list[tuple[str, tuple[int, int]]] = []
    for item in planting.items:
        kind, bloom = item.candidate.kind, item.candidate.course.bloom
        if bloom.typical is None:
            continue
        if kind.growth.deadhead == "yes":
            spent.append((item.letter, bloom.typical))
        if not kind.is_foliage:
            low, high = bloom.spread
            days = day(low), day(bloom.typical[0]), day(min(high, DAYS - 1))
            job = jobs.FirstFlowers(Named(item.letter, item.label))
            yield Task(f"bloom-{item.letter}", job, "bed", *days, (item.letter,), watch=True)
    if spent:
        first, last = min(span[0] for _, span in spent), max(span[1] for _, span in spent)
        letters = tuple(letter for letter, _ in spent)
        made = _task(season, "deadhead", jobs.Deadhead(), "bed", first, letters)
        end = max(day(last), made.best)
        yield replace(made, latest=end, weekly_until=end)


def _in_bloom(season: Season, item: Item, on: date) -> bool:
    fortnight = season.index(on) // 14
    odds = item.candidate.course.bloom.odds
    return 0 <= fortnight < len(odds) and bool(odds[fortnight] >= 0.5)


def _at_home(task: Task, away: tuple[Span, ...]) -> Task | None:
    """A task whose best day is moved within its window to when the gardener is at home; None where
    there is no such day."""

    def gone(day: date) -> bool:
        return any(span.start <= day <= span.end for span in away)

    if task.watch or not gone(task.best):
        return task
    window = (task.latest - task.earliest).days + 1
    free = [d for n in range(window) if not gone(d := task.earliest + timedelta(days=n))]
    if not free:
        return None
    near = min(free, key=lambda d: abs((d - task.best).days))
    return replace(task, best=near, moved=True)
