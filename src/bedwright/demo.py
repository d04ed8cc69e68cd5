"""An invented garden of three years, kept line by line as a gardener keeps it, and the bed of the
fourth year that comes of it.  Nothing in it was seen by anyone."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from errno import EEXIST
from pathlib import Path
from random import Random
from typing import Any

from bedwright.brief import OTHERS
from bedwright.climate import Season
from bedwright.export import plan_json
from bedwright.garden import catalogue_here
from bedwright.inputs import gather_values
from bedwright.noted import notebook
from bedwright.plan import make_plan
from bedwright.report import sentence
from bedwright.store import Bed, Beds, Values, every_bed, grow

YEARS = 3
COLDER_C, LATER_DAYS = 1.5, 6
"""What is invented of the garden: how much colder its nights are than about the place, and how
much later its flowers come than by the model."""

UP_SHARE, LIVE_SHARE = 0.71, 0.9
"""The share of its seed that comes up, of every kind, and that of its plants that live."""

FIRST: Values = {
    "title": "By the shed (invented)",
    "units": "metric",
    "currency": "€",
    "place": {"town": "Utrecht, The Netherlands"},
    "bed": {"shape": "rectangle", "length": "2.4 m", "width": "1.2 m", "bearing": "E"},
    "ground": {"texture": "sandy loam"},
    "wishes": {"colour_scheme": "hot", "kinds": 5},
    "prices": {"seed_packet": 3.0, "plant": 2.5},
}
SAID = "An invented garden, to try things out with"


class NotEmptyError(OSError):
    """The folder holds beds already."""


@dataclass(frozen=True)
class Demo:
    """What was made: the keys of the beds of the three years, the key of the fourth's, how many
    lines were written, and why its brief differs."""

    kept: tuple[str, ...]
    next: str
    lines: int
    remarks: tuple[str, ...]


def demo_years(today: date) -> range:
    """The last three growing years that are over, or nearly."""
    last = today.year if today >= date(today.year, 11, 15) else today.year - 1
    return range(last - YEARS + 1, last + 1)


def demo_garden(
    folder: Path,
    today: date,
    step: Callable[[str], None] = lambda words: None,
    write: Callable[[Bed, str], object] | None = None,
) -> Demo:
    """Invent a garden in a folder.

    ``step``: told what is being done; ``write``: writes a line into a bed's journal, by itself
    where it is not given.  Raises NotEmptyError where beds are kept in the folder already,
    StoreError and OSError.
    """
    beds = Beds(folder)
    if every_bed(beds.store):
        beds.close()
        raise NotEmptyError(EEXIST, "beds are kept there already: name a new folder", str(folder))
    values, kept, lines = dict(FIRST), list[str](), 0
    remarks: tuple[str, ...] = ()
    for number, year in enumerate(demo_years(today)):
        step(f"The year {year}: its plan, and what came of it")
        values = {**values, "season": {"year": year}}
        bed = beds.new(values, SAID, f"by-the-shed-{year}")
        plan, season = _planned(bed, values, folder, today)
        grow(bed, year, 1, json.dumps(plan))
        book = notebook(bed, today)
        for line in sorted_lines(year_lines(plan, season, number, today)):
            (book.note(line) if write is None else write(bed, line))
            lines += 1
        kept.append(bed.key)
        made = book.next_year()
        values, remarks = made.values, made.remarks
        step(f"The year after {year}:")
        for remark in remarks:
            step(f"   {sentence(remark)}")
    after = beds.new(values, SAID, f"by-the-shed-{values['season']['year']}")
    beds.close()
    return Demo(tuple(kept), after.key, lines, remarks)


def _planned(bed: Bed, values: Values, folder: Path, today: date) -> tuple[dict[str, Any], Season]:
    catalogue = catalogue_here(values, folder)
    brief, weather = gather_values(bed.values(), folder, catalogue, today)
    plan = make_plan(brief, catalogue=catalogue, weather=weather)
    found: dict[str, Any] = json.loads(plan_json(plan))
    return found, plan.season


Dated = tuple[date, str]


def sorted_lines(lines: Iterator[Dated]) -> list[str]:
    """Lines with their days, in the order of these."""
    return [f"{line}, {day.day} {day:%B %Y}" for day, line in sorted(lines)]


def year_lines(plan: dict[str, Any], season: Season, number: int, today: date) -> Iterator[Dated]:
    """What is invented of a year: one of the ensemble's seasons is its weather; in the second year
    a sowing fails; in the first and the third a late frost takes some plants."""
    dice = Random(40 + number)
    weather = dice.randrange(season.size)
    for line in (*_weather(season, weather, dice), *_plants(plan, season, number, dice)):
        if line[0] <= today:
            yield line
    start = date.fromisoformat(plan["season"]["start"])
    for week in range(18, 40, 3):
        yield start + timedelta(days=7 * week), f"weeded {dice.choice((20, 30, 40))} min"


def _weather(season: Season, weather: int, dice: Random) -> Iterator[Dated]:
    """Every fourth night of spring and autumn, read off a thermometer in the garden."""
    for index in (*range(60, 160, 4), *range(250, 310, 4)):
        low = float(season.tmin_c[weather, index]) - COLDER_C + dice.gauss(0.0, 0.6)
        yield season.day(index), f"min {low:.1f}"


def _plants(plan: dict[str, Any], season: Season, number: int, dice: Random) -> Iterator[Dated]:
    frosty = number in (0, 2)
    frost = date.fromisoformat(plan["season"]["start"]) + timedelta(days=138 + number)
    if frosty:
        yield frost, f"frost -{1 + number}"
    fails = next(
        (item["letter"] for item in plan["items"] if number == 1 and item["method"] != "bought"),
        None,
    )
    hit = False
    learned = plan["learned"]["flowering"]
    names = [item["name"].split(",")[0] for item in plan["items"]]
    for item, name in zip(plan["items"], names, strict=True):
        if names.count(name) > 1:
            name = f"{item['colour']} {name}"
        sow, out = (date.fromisoformat(item[part] or item["out"]) for part in ("sow", "out"))
        wanted = item["plants"] + item["spares"]
        seeds = 2 * wanted
        up = sum(dice.random() < UP_SHARE for _ in range(seeds))
        if item["method"] != "bought":
            yield sow, f"sowed {seeds} {name}"
            if item["letter"] == fails:
                yield sow + timedelta(days=24), f"0 of {seeds} {name} came up"
                sow += timedelta(days=26)
                yield sow, f"sowed {seeds} {name}"
                out = max(out, sow + timedelta(days=45))
                up = max(seeds // 12, 1)
            yield sow + timedelta(days=24), f"{up} of {seeds} {name} came up"
        stand = min(up, item["plants"]) if item["method"] != "bought" else item["plants"]
        if item["method"] != "in_place":
            yield out, f"set out {stand} {name}"
        lost = sum(dice.random() > LIVE_SHARE for _ in range(stand))
        if frosty and out < frost and not hit and stand > 3:
            hit = True
            yield frost + timedelta(days=1), f"lost 3 {name} to frost"
        elif lost:
            yield out + timedelta(days=20), f"lost {lost} {name} to slugs"
        if item["bloom_first"] is None:
            continue
        late = LATER_DAYS + round(dice.gauss(0.0, 3.0)) + (26 if item["letter"] == fails else 0)
        late -= round(learned.get(item["kind"], learned.get(OTHERS, 0.0)))  # by the model alone
        first = date.fromisoformat(item["bloom_first"]) + timedelta(days=late)
        last = date.fromisoformat(item["bloom_last"]) - timedelta(days=dice.randrange(10))
        if first + timedelta(days=20) > last:
            continue
        yield first, f"first flower {name}"
        for weeks in (3, 6):
            day = first + timedelta(weeks=weeks)
            if day < last:
                yield day, f"picked {dice.randrange(4, 15)} stems of {name}"
        yield last, f"{name} over"
