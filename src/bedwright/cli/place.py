"""What the commands that take a place or a record may be told of it besides."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import typer

At = Annotated[str | None, typer.Option("--at", metavar="PLACE", help="Where a record was kept.")]
Altitude = Annotated[
    str | None,
    typer.Option(metavar="HEIGHT", help="Height above the sea, such as '240 m'."),
]
Frost = Annotated[
    str | None,
    typer.Option(
        metavar="WORDS",
        help="What is known of frost: 'none', 'light frost in June and July', 'frost from November"
        " to March', 'frost one year in five'.",
    ),
]
LastSpring = Annotated[
    list[str] | None,
    typer.Option(
        metavar="DAY", help="Last freeze: 'mid-May', 'May', or with odds, such as 10%=05-14."
    ),
]
FirstAutumn = Annotated[
    list[str] | None,
    typer.Option(
        metavar="DAY", help="First freeze: '10 October', or with odds, such as 10%=10-12."
    ),
]
Situation = Annotated[
    list[str] | None,
    typer.Option(
        metavar="WORD",
        help="The garden's spot: hollow, slope, town, wall or 'sea front'; may be given again.",
    ),
]
Nights = Annotated[
    str | None,
    typer.Option(
        metavar="DIFFERENCE", help="Its cold nights, measured against the place's: '2 °C colder'."
    ),
]
RecordUnit = Annotated[
    Literal["C", "F"] | None, typer.Option(help="Unit of the record's temperatures.")
]
RecordAltitude = Annotated[
    str | None,
    typer.Option(metavar="HEIGHT", help="Height at which the record was kept, if not the same."),
]


def place_of(
    *,
    altitude: str | None,
    frost: str | None,
    situation: list[str] | None,
    nights: str | None,
    record_unit: str | None,
    record_altitude: str | None,
    last_spring: list[str] | None = None,
    first_autumn: list[str] | None = None,
) -> dict[str, Any]:
    """The options as fields of the table ``[place]``.  Raises BriefError where they clash."""
    from bedwright.brief import BriefError, Fault

    record = {"unit": record_unit, "altitude": record_altitude}
    place: dict[str, Any] = {
        "altitude": altitude,
        "frost": frost,
        "situation": situation or None,
        "nights": nights,
    }
    place = {name: value for name, value in place.items() if value is not None}
    place["record"] = {name: value for name, value in record.items() if value is not None}
    dates = {
        "last_spring": _stated("--last-spring", last_spring or []),
        "first_autumn": _stated("--first-autumn", first_autumn or []),
    }
    dates = {name: value for name, value in dates.items() if value is not None}
    if dates and frost is not None:
        accepted = "words, or --last-spring and --first-autumn; not both"
        raise BriefError([Fault("--frost", f"'{frost}', beside dates", accepted)])
    if dates:
        place["frost"] = dates
    return place


def _stated(option: str, given: list[str]) -> dict[str, str] | str | None:
    """``10%=05-14`` and so on as a table of the brief; a day alone as it is.

    Raises BriefError for what is neither.
    """
    from bedwright.brief import BriefError, Fault

    if not given:
        return None
    if len(given) == 1 and "=" not in given[0]:
        return given[0]
    table: dict[str, str] = {}
    for pair in given:
        odds, mark, day = pair.partition("=")
        if not mark or odds in table:
            said = f"'{pair}'" + (" once more" if odds in table else "")
            accepted = "odds and a day each time, such as 10%=05-14; or one day alone"
            raise BriefError([Fault(option, said, accepted)])
        table[odds] = day
    return table
