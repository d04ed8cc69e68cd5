"""The plan that a bed is grown by, read from plan.json: what was planted where it says, and on
which days each piece of work was to be done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from bedwright.brief import Learned
from bedwright.catalogue import Catalogue, Kind


@dataclass(frozen=True)
class Planted:
    """One colour of a kind, under its letter; days as the plan has them.

    ``spares``: plants raised beside those of the bed; ``seeds``: that were to be sown;
    ``first``, ``last``: of its flowers, None where it seldom flowers.
    """

    letter: str
    kind: Kind
    name: str
    colour: str
    plants: int
    spares: int
    seeds: int
    area_m2: float
    method: str
    sow: date
    out: date
    decided_by: str
    first: date | None
    last: date | None

    @property
    def in_place(self) -> bool:
        """Whether it is sown where it flowers."""
        return self.method == "in_place"


@dataclass(frozen=True)
class Work:
    """One piece of work of the plan's calendar, or something to watch for; ``code``: what sort of
    work; ``words``: what is done."""

    key: str
    code: str
    words: str
    reason: str
    where: str
    earliest: date
    best: date
    latest: date
    letters: tuple[str, ...]
    waits_for: tuple[str, ...]
    watch: bool
    weekly_until: date | None


@dataclass(frozen=True)
class PlannedBed:
    """What a plan says that its year is held against; ``indoor``: by letter the rows of the raising
    sheet, as plan.json has them; ``bench_m2``: room by the first day of each week; ``frost_risk``:
    odds of a killing night after planting that are accepted; ``watch_frost``: the day from which
    autumn's frosts are watched for; ``title``: the bed's."""

    title: str
    year: int
    start: date
    ready: date
    frost_risk: float
    learned: Learned
    items: tuple[Planted, ...]
    work: tuple[Work, ...]
    indoor: Mapping[str, Mapping[str, Any]]
    bench_m2: Mapping[date, float]
    water_mm: Mapping[date, float]

    def item(self, letter: str) -> Planted:
        """The item of a letter.  Raises KeyError."""
        return next(item for item in self.items if item.letter == letter)


def planned_bed(plan: Mapping[str, Any], catalogue: Catalogue) -> PlannedBed:
    """A plan as plan.json has it; kinds that the catalogue no longer has are left out."""
    season, raising = plan["season"], plan["raising"]
    seeds = {row["letter"]: row["seeds"] for row in raising["indoor"]}
    seeds |= {row["letter"]: row["seeds"] for row in raising["in_place"] if not row["again"]}
    given = plan.get("learned") or {}
    learned = Learned(
        germination=given.get("germination", {}),
        survival=given.get("survival", {}),
        flowering=given.get("flowering", {}),
        flowering_error=given.get("flowering_error", {}),
    )
    return PlannedBed(
        title=plan["title"],
        year=int(season["year"]),
        start=_day(season["start"]),
        ready=_day(season["ready"]),
        frost_risk=float(season["frost_risk"]),
        learned=learned,
        items=tuple(_items(plan["items"], seeds, catalogue)),
        work=tuple(_work(task) for task in plan["tasks"]),
        indoor={row["letter"]: row for row in raising["indoor"]},
        bench_m2={_day(row["week"]): float(row["area_m2"]) for row in raising["bench"]},
        water_mm={_day(row["week"]): float(row["usual_mm"]) for row in plan["water"]},
    )


def _items(
    rows: Iterable[Mapping[str, Any]], seeds: Mapping[str, int], catalogue: Catalogue
) -> Iterable[Planted]:
    for row in rows:
        kind = catalogue.kinds.get(row["kind"])
        if kind is None:
            continue
        out = _day(row["out"])
        yield Planted(
            letter=row["letter"],
            kind=kind,
            name=row["name"],
            colour=row["colour"],
            plants=int(row["plants"]),
            spares=int(row["spares"]),
            seeds=int(seeds.get(row["letter"], 0)),
            area_m2=float(row["area_m2"]),
            method=row["method"],
            sow=_day(row["sow"]) if row["sow"] else out,
            out=out,
            decided_by=row["out_decided_by"],
            first=_day(row["bloom_first"]) if row["bloom_first"] else None,
            last=_day(row["bloom_last"]) if row["bloom_last"] else None,
        )


def _work(task: Mapping[str, Any]) -> Work:
    until = task["weekly_until"]
    return Work(
        key=task["key"],
        code=task["job"]["code"],
        words=task["job"]["text"],
        reason=task["reason"],
        where=task["where"],
        earliest=_day(task["earliest"]),
        best=_day(task["best"]),
        latest=_day(task["latest"]),
        letters=tuple(task["letters"]),
        waits_for=tuple(task["waits_for"]),
        watch=bool(task["watch"]),
        weekly_until=_day(until) if until else None,
    )


def _day(text: str) -> date:
    return date.fromisoformat(text)
