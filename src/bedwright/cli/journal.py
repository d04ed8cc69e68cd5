"""``bedwright note`` and ``journal``, and ``backup``, ``restore``, ``export`` and ``take-in``: what
is written down of a bed, and keeping it."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from bedwright.cli.console import err, escape, faults, out, say_so, table
from bedwright.cli.stopping import writing

if TYPE_CHECKING:
    from bedwright.store import Store

FAULT = 2
SHOWN_DIFFERENT = 20
"""Readings that differ, so many of which are listed."""

TOO_EARLY = (
    "Nothing can be said of this garden yet. Counts of what came up and first flowers tell most;"
    " 'bedwright plan BRIEF --grow' keeps the plan that they are held against."
)

BedArgument = Annotated[
    Path,
    typer.Argument(
        metavar="BED",
        help="A brief's file, beside which its journal lies, or a bed of the page: FOLDER/BED.",
    ),
]
FolderArgument = Annotated[Path, typer.Argument(metavar="FOLDER", help="Where your beds are kept.")]


def note(
    bed: BedArgument,
    line: Annotated[
        str,
        typer.Argument(metavar="LINE", help="What happened: 'sowed cosmos 24, 12 April'."),
    ] = "",
    correct: Annotated[
        int | None,
        typer.Option(metavar="NUMBER", min=1, help="In place of the entry of this number."),
    ] = None,
    take_back: Annotated[
        int | None,
        typer.Option(metavar="NUMBER", min=1, help="Take the entry of this number back."),
    ] = None,
    photo: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="A photograph of it; it may stand without a line."),
    ] = None,
    record: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Instead of a line: the days of a weather record."),
    ] = None,
    since: Annotated[
        datetime | None,
        typer.Option(metavar="YYYY-MM-DD", formats=["%Y-%m-%d"], help="Its days from this one on."),
    ] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Correct days of the journal that differ from it.")
    ] = False,
) -> None:
    """Write a line into a bed's journal; what was understood is read back."""
    from bedwright.noted import EntryError, notebook
    from bedwright.store import CorrectedSinceError, NoSuchBedError, bed_at, history_of

    if record is not None:
        if line or photo or correct or take_back:
            refuse("A record is added by itself: --record FILE, with --since and --replace.")
        _add_record(bed, record, replace, None if since is None else since.date())
        return
    if since or replace:
        refuse("--since and --replace are of a weather record: add --record FILE.")
    if (take_back is None) != bool(line or photo):
        refuse("Say what happened, or --take-back with the number of an entry.")
    with faults(bed) as told:
        try:
            book = notebook(bed_at(bed), date.today())
        except NoSuchBedError as error:
            refuse(str(error))
        told.units = book.units
        ids = {one.number: one.id for one in history_of(book.bed.store, book.bed.key)}
        number = correct if take_back is None else take_back
        if number is not None and number not in ids:
            refuse(f"There is no entry {number}; 'bedwright journal' lists them.")
        try:
            if take_back is not None:
                written = book.take_back(ids[take_back])
                out.print(f"Taken back: {escape(book.words(written.entry))}")
                return
            answer = book.answer(line) if correct is None and photo is None else None
            if answer is not None:
                say_so(answer)
                return
            made = (
                book.note(line, photo=photo)
                if correct is None
                else book.correct(ids[correct], line, photo=photo)
            )
        except EntryError as error:
            refuse(str(error))
        except CorrectedSinceError as error:
            now = error.now
            stands = "it is taken back" if now.withdrawn else book.words(now.entry)
            refuse(f"Entry {now.number} stands in its place: {stands}")
        out.print(f"[bold]{made.written.number}[/bold]  {escape(made.understood)}")
        for remark in made.remarks:
            say_so(remark, indent=3)


def _add_record(bed: Path, record: Path, replace: bool, since: date | None) -> None:
    """Put the days of a weather record into a bed's journal, and say what came of it."""
    from bedwright.inputs import RecordError
    from bedwright.noted import notebook
    from bedwright.store import NoSuchBedError, bed_at

    with faults(record):
        try:
            book = notebook(bed_at(bed), date.today())
            added = book.add_record(record, replace, since)
        except (NoSuchBedError, RecordError) as error:
            refuse(str(error))
        say_so(added.understood)
        for remark in added.remarks:
            say_so(remark, indent=3)
        for words in added.differences[:SHOWN_DIFFERENT]:
            out.print(f"   {escape(words)}")
        if len(added.differences) > SHOWN_DIFFERENT:
            out.print(f"   and {len(added.differences) - SHOWN_DIFFERENT} readings more")
        if added.differ and not replace:
            out.print("--replace takes the record's readings; the journal's stay in the history.")


def journal(
    bed: BedArgument,
    every: Annotated[
        bool, typer.Option("--all", help="Also what was corrected or taken back.")
    ] = False,
    learned: Annotated[
        bool, typer.Option("--learned", help="What it says of this garden, instead.")
    ] = False,
) -> None:
    """List what is written in a bed's journal, the latest first."""
    from bedwright.noted import notebook
    from bedwright.store import NoSuchBedError, bed_at, history_of

    with faults(bed) as told:
        try:
            book = notebook(bed_at(bed), date.today())
        except NoSuchBedError as error:
            refuse(str(error))
        told.units = book.units
        if learned:
            lessons = book.lessons()
            for lesson in lessons:
                say_so(lesson)
            if not lessons:
                out.print(TOO_EARLY)
            return
        standing = book.entries()
        rows = book.entries(typed=True)
        if every:
            rows = list(reversed(history_of(book.bed.store, book.bed.key)))
        recorded = book.recorded()
        if not rows and not recorded:
            out.print("Nothing is written yet: bedwright note BED 'sowed cosmos 24, 12 April'")
            return
        stand = {one.id for one in standing}
        marks = {one.id: "" if one.id in stand else "corrected" for one in rows}
        marks |= {one.id: "taken back" for one in rows if one.withdrawn}
        heads = ["No.", "Entry", *(["Now"] if every else [])]
        listed = [
            [str(one.number), book.words(one.entry), marks[one.id]][: len(heads)] for one in rows
        ]
        title = str(book.bed.values().get("title") or book.bed.key)
        if rows:
            table(f"Journal of {title}", heads, listed, {1, 2})
        if recorded and not every:
            out.print(f"{escape(recorded)}; --all lists each day.")


def next_year(
    bed: BedArgument,
    path: Annotated[
        Path,
        typer.Option("--out", metavar="FILE", help="Where next year's brief goes: a new file."),
    ],
    keep: Annotated[
        list[str] | None,
        typer.Option(metavar="KIND", help="A kind to grow again; may be said several times."),
    ] = None,
) -> None:
    """Write next year's brief from a bed and its journal, and say why it differs."""
    import tomli_w

    from bedwright.noted import EntryError, notebook
    from bedwright.store import NoSuchBedError, bed_at

    with faults(bed) as told:
        try:
            book = notebook(bed_at(bed), date.today())
            told.units = book.units
            made = book.next_year(keep or ())
        except (NoSuchBedError, EntryError) as error:
            refuse(str(error))
        with path.open("x", encoding="utf-8") as out_file:
            out_file.write(tomli_w.dumps(made.values))
        out.print(f"{escape(str(path))}: {made.values['season']['year']}")
        for remark in made.remarks:
            say_so(remark, indent=3)


def backup(
    folder: FolderArgument,
    path: Annotated[Path, typer.Argument(metavar="FILE", help="The backup: a ZIP file.")],
) -> None:
    """Copy all beds, their revisions, journals and photographs into one file."""
    from bedwright.store import back_up, open_store

    with faults(folder):
        _check_there(folder)
        store = open_store(folder)
        back_up(store, path)
        _tell_lost(store)
        store.close()
        out.print(f"{escape(str(path))}: {path.stat().st_size / 1e6:.1f} MB")


def restore(
    path: Annotated[Path, typer.Argument(metavar="FILE", help="A backup.")],
    folder: FolderArgument,
) -> None:
    """Put a backup in a folder; what was there before is put aside, not deleted."""
    from bedwright.store import open_store
    from bedwright.store import restore as put_back

    with faults(path):
        aside = put_back(path, folder)
        store = open_store(folder)
        _tell_lost(store)
        store.close()
        out.print(f"{escape(str(folder))} is as it was in {escape(str(path))}.")
        if aside is not None:
            out.print(f"What was there before is {escape(str(aside))}.")


def export(
    folder: FolderArgument,
    into: Annotated[Path, typer.Argument(metavar="DIR", help="A new folder.")],
) -> None:
    """Write everything in open formats: CSV, JSON, TOML and calendars."""
    from bedwright.store import export_to, open_store

    with faults(folder), writing(into):
        _check_there(folder)
        store = open_store(folder)
        export_to(store, into)
        _tell_lost(store)
        store.close()
        out.print(f"{escape(str(into))}: {len(list(into.iterdir()))} files")


def take_in(
    path: Annotated[Path, typer.Argument(metavar="FILE", help="garden.json of an export.")],
    folder: FolderArgument,
) -> None:
    """Add an export's beds and journals to those of a folder; what is there already stays."""
    from bedwright.store import open_store
    from bedwright.store import take_in as put_in

    with faults(path):
        store = open_store(folder)
        new = put_in(store, path)
        _tell_lost(store)
        store.close()
        out.print(
            f"New: {new['bed']} beds, {new['revision']} revisions, {new['entry']} entries,"
            f" {new['photo']} photographs."
        )


def _tell_lost(store: Store) -> None:
    """Say which photographs' files are missing or not what they were."""
    from bedwright.store import lost_photos

    for sha256 in lost_photos(store):
        err.print(f"The photograph {sha256} is missing, or not what it was; its entry is there.")


def _check_there(folder: Path) -> None:
    """Raises typer.Exit where no beds are kept in a folder."""
    import os

    from bedwright.store import FILE

    if not (folder / FILE).exists() and not os.environ.get("BEDWRIGHT_STORE"):
        refuse(f"{folder}: no beds are kept there.")


def refuse(words: str) -> NoReturn:
    """Say what is wrong, and end.  Raises typer.Exit."""
    err.print(escape(words))
    raise typer.Exit(FAULT)
