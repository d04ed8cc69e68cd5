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
        recorded_in,
        tasks_done,
        withdraw_entry,
        write_entry,
        write_together,
        written_since,
    )
    from bedwright.store.files import put
    from bedwright.store.finding import (
        bed_at,
        grow,
        grown,
        grown_from,
        planted_in,
    )
    from bedwright.store.merging import (
        Difference,
        Merged,
        merge,
    )
    from bedwright.store.opening import (
        FILE,
        Store,
        StoreError,
        copy_to,
        open_store,
    )
    from bedwright.store.photos import (
        MOST_PHOTO,
        LostPhotoError,
        NoSuchPhotoError,
        Photo,
        PhotoError,
        Picture,
        keep_photo,
        kept_photo,
        lost_photos,
        photo_of,
        picture_of,
    )
    from bedwright.store.pictures import (
        small_of,
    )
    from bedwright.store.schema import (
        VERSION,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "FILE",
    "MADE",
    "MOST_PHOTO",
    "MOST_REVISIONS",
    "VERSION",
    "Bed",
    "Beds",
    "ChangedSinceError",
    "CorrectedSinceError",
    "Difference",
    "FullError",
    "LostPhotoError",
    "Merged",
    "NoSuchBedError",
    "NoSuchEntryError",
    "NoSuchPhotoError",
    "OtherEntryError",
    "Photo",
    "PhotoError",
    "Picture",
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
    "keep_photo",
    "kept_photo",
    "last_number",
    "lost_photos",
    "mark_of",
    "merge",
    "open_store",
    "photo_of",
    "picture_of",
    "plain",
    "planted_in",
    "put",
    "recorded_in",
    "restore",
    "slug",
    "small_of",
    "take_in",
    "tasks_done",
    "withdraw_entry",
    "write_entry",
    "write_together",
    "written_since",
]
