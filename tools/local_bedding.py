"""Print what is planted or advised at eight places beside what Bedwright says of it there.

Usage: ``python tools/local_bedding.py [PLACE ...]``

For each place (of ``tests/outside/data/local_bedding.csv``; all of them unless some are named):
the rows whose kind is refused, why, with figures and the dates of its course; the kinds that a plan
of the bed plants, marked ``*`` where the list has them; why the others of the list are not planted.
Then the sums.  Takes about 20 s.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
sys.path.insert(0, str(Path(__file__).parents[1] / "src"))
from bedwright.planting import LeftOut
from outside.local_bedding import (
    PLACES,
    UNFIT,
    Row,
    known_at,
    plan_at,
    planted,
    planted_locally,
    refused,
    rows,
    unfit,
)


def main(places: list[str]) -> None:
    strangers = [place for place in places if place not in PLACES]
    if strangers:
        sys.exit(f"no rows of {', '.join(strangers)}; there are {', '.join(PLACES)}")
    for place in places:
        print_place(place)
    print_sums(places)


def print_place(place: str) -> None:
    facts, known, own = refused(place), known_at(place), [r for r in rows() if r.place == place]
    counted = {row for row, _ in unfit(place)}
    print(f"{place}: {len(own)} rows, {len(known)} in the catalogue")
    ours = [row for row in known if row in counted]
    shaded = [row for row in known if isinstance(facts.get(row.kind), UNFIT) and row not in counted]
    other = [row for row in known if row.kind in facts and row not in (*ours, *shaded)]
    for title, some in (
        ("refused as unfit", ours),
        ("refused as too sunny, as their source says", shaded),
        ("refused for the default wishes or the bed's size", other),
    ):
        print(f"  {title}: {len(some)}")
        for row in some:
            print(f"    {refusal(row, facts[row.kind])}")
    kinds, local = planted(place), planted_locally(place)
    marked = ", ".join(f"*{kind}" if kind in local else kind for kind in kinds)
    print(f"  planted: {len(kinds)}, of them {len(local)} on the list: {marked}")
    left_out = plan_at(place).planting.left_out
    fit = [row.kind for row in known if row.kind not in facts and row.kind not in kinds]
    why = Counter(left_out[kind].code for kind in fit)
    print(f"  fit but not planted: {len(fit)}: {tally(why)}")
    lacks = Counter(lack for kind in fit for lack in left_out[kind].values.get("lacks", ()))
    print(f"    what they lack most: {tally(lacks)}\n")


def refusal(row: Row, fact: LeftOut) -> str:
    """A row's kind with the reason and figures, and the dates of its course."""
    plan = plan_at(row.place)
    course, day = plan.courses[row.kind], plan.season.day
    figures = ", ".join(
        f"{name} {value:.1f}" if isinstance(value, float) else f"{name} {value}"
        for name, value in fact.values.items()
    )
    typical = course.bloom.typical
    bloom = f"{day(typical[0])} to {day(typical[1])}" if typical else "in under half of all years"
    dates = f"{course.method}, sow {day(course.sow)}, out {day(course.out)}, bloom {bloom}"
    advice = "; ".join(part for part in (row.season, row.planted) if part)
    return f"{row.kind}: {fact.code} ({figures}); {dates}; source: {advice}"


def tally(counts: Counter[str]) -> str:
    return ", ".join(f"{name} {count}" for name, count in counts.most_common()) or "none"


def print_sums(places: list[str]) -> None:
    known = [row for place in places for row in known_at(place)]
    wrong = [fact.code for place in places for _, fact in unfit(place)]
    every = [refused(row.place)[row.kind].code for row in known if row.kind in refused(row.place)]
    kinds = sum(len(planted(place)) for place in places)
    local = sum(len(planted_locally(place)) for place in places)
    print(f"all: {sum(row.place in places for row in rows())} rows, {len(known)} in the catalogue")
    print(f"  refused: {len(every)}: {tally(Counter(every))}")
    share = len(wrong) / len(known)
    print(f"  of them unfit but for their source's shade: {len(wrong)} ({share:.1%}): ", end="")
    print(tally(Counter(wrong)))
    print(f"  planted: {kinds}, of them {local} on the place's list")


if __name__ == "__main__":
    main(sys.argv[1:] or list(PLACES))
