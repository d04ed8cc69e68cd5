"""What is kept: beds with every revision of their briefs, and the journal."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand

if TYPE_CHECKING:
    from bedwright.store.backup import (
        back_up,
        export_to,
        restore,
        take_in,
    )
    from bedwright.store.beds import (
        MADE,
        MOST_REVISIONS,
        Bed,
        Beds,
        ChangedSinceError,
        FullError,
        NoSuchBedError,
        Revision,
        Values,
        every_bed,
        plain,
        put,
        slug,
    )
    from bedwright.store.entries import (
        CorrectedSinceError,
        NoSuchEntryError,
        OtherEntryError,
        Written,
        correct_entry,
        entries_of,
        entry_of,
        history_of,
        last_number,
        mark_of,
        tasks_done,
        withdraw_entry,
        write_entry,
        written_since,
    )
    from bedwright.store.finding import (
        bed_at,
        grow,
        grown,
        grown_from,
        planted_in,
    )
    from bedwright.store.opening import (
        FILE,
        Store,
        StoreError,
        copy_to,
        open_store,
    )
    from bedwright.store.schema import (
        VERSION,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "FILE",
    "MADE",
    "MOST_REVISIONS",
    "VERSION",
    "Bed",
    "Beds",
    "ChangedSinceError",
    "CorrectedSinceError",
    "FullError",
    "NoSuchBedError",
    "NoSuchEntryError",
    "OtherEntryError",
    "Revision",
    "Store",
    "StoreError",
    "Values",
    "Written",
    "back_up",
    "bed_at",
    "copy_to",
    "correct_entry",
    "entries_of",
    "entry_of",
    "every_bed",
    "export_to",
    "grow",
    "grown",
    "grown_from",
    "history_of",
    "last_number",
    "mark_of",
    "open_store",
    "plain",
    "planted_in",
    "put",
    "restore",
    "slug",
    "take_in",
    "tasks_done",
    "withdraw_entry",
    "write_entry",
    "written_since",
]
