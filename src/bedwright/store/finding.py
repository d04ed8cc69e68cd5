"""Which bed of the store a path means, on the command line and from Python."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

from sqlalchemy import insert, select

from bedwright.store.beds import Bed, Beds, NoSuchBedError, Values, plain, slug
from bedwright.store.opening import FILE, now
from bedwright.store.schema import GROWN


def bed_at(path: Path) -> Bed:
    """The bed of a brief's file, or of a folder of beds.

    ``garden/oval.toml``: the bed whose journal lies beside that brief, in ``garden/garden.db``;
    begun by asking for it, and brought up to the brief as it now stands.  ``beds/oval-1a2b3c``: a
    bed of the page.  ``beds``: the only bed there.  Raises NoSuchBedError, which names those that
    there are; StoreError; OSError and tomllib.TOMLDecodeError of a file that cannot be read.
    """
    if path.suffix == ".toml" or path.is_file():
        return _of_brief(path)
    for folder, key in ((path, None), (path.parent, path.name)):
        if (folder / FILE).is_file():
            beds = Beds(folder)
            every = beds.all()
            found = [bed for bed in every if key is None or bed.key == key]
            if len(found) == 1:
                return found[0]
            names = ", ".join(str(folder / bed.key) for bed in every) or "none yet"
            raise NoSuchBedError(f"{path}: one of the beds there: {names}")
    raise NoSuchBedError(f"{path}: neither a brief's file nor a folder in which beds are kept")


def _of_brief(path: Path) -> Bed:
    values: Values = plain(tomllib.loads(path.read_text(encoding="utf-8")))
    beds, key = Beds(path.parent), slug(path.stem) or "bed"
    try:
        bed = beds.one(key)
    except NoSuchBedError:
        return beds.new(values, f"From {path.name}", key)
    bed.change(bed.now, values, f"From {path.name}")
    return bed


def grow(bed: Bed, year: int, revision: int, plan: str) -> None:
    """Keep the plan (as plan.json has it) by which a bed is grown in a year.  Raises StoreError."""
    row = {"bed": bed.key, "year": year, "revision": revision, "plan": plan, "made_at": now()}
    with bed.store.writing() as connection:
        connection.execute(insert(GROWN).values(row))


def grown(bed: Bed) -> dict[int, str]:
    """The plan, as plan.json, by which a bed was grown, by year, the earliest first."""
    query = select(GROWN.c.year, GROWN.c.plan).where(GROWN.c.bed == bed.key)
    query = query.order_by(GROWN.c.year, GROWN.c.made_at)
    with bed.store.reading() as connection:
        return {int(year): str(plan) for year, plan in connection.execute(query)}


def grown_from(bed: Bed) -> dict[int, int]:
    """The revision whose plan a bed was grown by, by year, the earliest first."""
    query = select(GROWN.c.year, GROWN.c.revision).where(GROWN.c.bed == bed.key)
    query = query.order_by(GROWN.c.year, GROWN.c.made_at)
    with bed.store.reading() as connection:
        return {int(year): int(revision) for year, revision in connection.execute(query)}


def planted_in(bed: Bed) -> tuple[str, ...]:
    """The kinds of a bed, by key: of the plan by which it was grown last, else of the latest plan
    worked out; none where there is neither."""
    plans = grown(bed)
    if plans:
        items = json.loads(plans[max(plans)])["items"]
    else:
        planned = bed.planned
        if not planned:
            return ()
        path = bed.plan_folder(max(planned)) / "drifts.json"
        items = json.loads(path.read_text(encoding="utf-8"))
    return tuple(dict.fromkeys(str(item["kind"]) for item in items))
