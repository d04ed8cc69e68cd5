"""What happened in a bed, and what follows from it."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand

if TYPE_CHECKING:
    from bedwright.journal.entry import (
        MOST_TEXT,
        OF,
        SPANS,
        Cause,
        Entry,
        What,
        entry_faults,
    )
    from bedwright.journal.line import Understood, read_line
    from bedwright.journal.line_facts import (
        CannotBe,
        CauseTaken,
        DayOrShare,
        DayTaken,
        KeptAsNote,
        KindMissing,
        KindTaken,
        LineError,
        NightTaken,
        NoKindOfThatName,
        NoSuchDay,
        NothingTyped,
        NotOfThatColour,
        OnlyKindTaken,
        OtherKindMissing,
        SeveralColours,
        SeveralCounts,
        SeveralDays,
        SeveralKinds,
        SeveralOfThatName,
        SeveralVerbs,
        ShareTaken,
        UnitTaken,
        VerbOfSeveral,
        VerbTaken,
    )
    from bedwright.journal.names import Kinds, kinds_of
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "MOST_TEXT",
    "OF",
    "SPANS",
    "CannotBe",
    "Cause",
    "CauseTaken",
    "DayOrShare",
    "DayTaken",
    "Entry",
    "KeptAsNote",
    "KindMissing",
    "KindTaken",
    "Kinds",
    "LineError",
    "NightTaken",
    "NoKindOfThatName",
    "NoSuchDay",
    "NotOfThatColour",
    "NothingTyped",
    "OnlyKindTaken",
    "OtherKindMissing",
    "SeveralColours",
    "SeveralCounts",
    "SeveralDays",
    "SeveralKinds",
    "SeveralOfThatName",
    "SeveralVerbs",
    "ShareTaken",
    "Understood",
    "UnitTaken",
    "VerbOfSeveral",
    "VerbTaken",
    "What",
    "entry_faults",
    "kinds_of",
    "read_line",
]
