"""Write a store of the newest schema as SQL into ``tests/store/older``, one file for each schema.

Run it once a migration is added; ``tests/store/test_older.py`` opens each of these files ever
after.  What is in the store is invented.
"""

from __future__ import annotations

import sqlite3
import tempfile
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

from PIL import Image

from bedwright.journal import Entry
from bedwright.store import (
    FILE,
    VERSION,
    Beds,
    correct_entry,
    grow,
    keep_photo,
    withdraw_entry,
    write_entry,
)

FOLDER = Path(__file__).parent.parent / "tests" / "store" / "older"


def fill(folder: Path) -> None:
    """Make a store with rows in each table, one entry corrected and one taken back."""
    beds = Beds(folder)
    bed = beds.new({"title": "Oval"}, "begun")
    bed.change(1, {"title": "Oval by the gate"}, "title")
    grow(bed, 2027, 2, '{"items": []}')
    body = BytesIO()
    Image.new("RGB", (4, 3), "tomato").save(body, "PNG")
    photo = keep_photo(beds.store, body.getvalue())
    day = date(2027, 5, 20)
    sown = Entry(day, "sown", kind="larkspur", count=24, text="sowed larkspur 24")
    first = write_entry(beds.store, bed.key, sown)
    correct_entry(beds.store, bed.key, first.id, replace(sown, count=30))
    wrong = write_entry(beds.store, bed.key, Entry(day, "frost", tmin_c=-1.5, text="frost"))
    withdraw_entry(beds.store, bed.key, wrong.id)
    write_entry(beds.store, bed.key, Entry(day, "photo", photo=photo.sha256, text="Ä 花 'quoted'"))
    beds.close()


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as folder,
        (FOLDER / f"{VERSION}.sql").open("x") as file,  # one that is there stays as it is
    ):
        fill(Path(folder))
        with sqlite3.connect(Path(folder) / FILE) as made:
            lines = [*made.iterdump(), f"PRAGMA user_version = {VERSION};", ""]
        made.close()
        file.write("\n".join(lines))


if __name__ == "__main__":
    main()
