"""The rim's reading: a brief's file, its place and its weather, gathered for make_plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bedwright.brief import (
    FIRST_YEAR,
    LAST_YEAR,
    MONTH_NAMES,
    MOST_BYTES,
    Brief,
    BriefError,
    Check,
    Fault,
    Place,
    load_brief,
    read_brief,
    toml_of,
    with_year,
)
from bedwright.climate import (
    HeightFrom,
    Namesakes,
    NoClimateError,
    Record,
    Site,
    TownNotFoundError,
    Unit,
    Weather,
    YearPast,
    find_town,
    growing_year_start,
    normals_at,
    split_day,
    turn_in_heat,
)
from bedwright.dates import day_month, day_month_year
from bedwright.inputs.lines import RecordError, shown
from bedwright.textfile import TextFileError, read_text_file

if TYPE_CHECKING:
    from bedwright.catalogue import Catalogue


def catalogue_of(path: Path, today: date | None = None) -> Catalogue:
    """The catalogue, with the gardener's own kinds where a brief names a file of them.

    Raises BriefError with every fault of that file, and with those of the brief that show without
    it; a brief that cannot be read is left to ``gather``.
    """
    from bedwright.catalogue import load_catalogue

    base = load_catalogue()
    try:
        name = toml_of(path, path.name).get("own_kinds")
    except (OSError, BriefError):
        return base
    if not isinstance(name, str):
        return base
    try:
        return own_catalogue(base, path.parent / name)
    except BriefError as error:
        faults = list(error.faults)
    try:
        load_brief(path, _checks_of(_reader(path.parent), None, today or date.today()))
    except BriefError as error:
        faults += error.faults
    raise BriefError(faults)


def own_catalogue(base: Catalogue, path: Path) -> Catalogue:
    """A catalogue with the kinds of a gardener's file.  Raises BriefError with every fault."""
    from bedwright.catalogue import with_own

    try:
        return with_own(base, read_text_file(path, MOST_BYTES))
    except (OSError, TextFileError) as error:
        said = getattr(error, "strerror", None) or getattr(error, "given", None) or str(error)
        accepted = getattr(error, "accepted", f"a text file of up to {MOST_BYTES / 1e6:g} MB")
        accepted = f"a TOML file of own kinds beside the brief: {accepted}"
        raise BriefError([Fault("own_kinds", f"{path}: {said}", accepted)]) from None
    except BriefError as error:
        faults = [Fault(f"{path.name} {f.field}", f.given, f.accepted) for f in error.faults]
        raise BriefError(faults) from None


def gather(path: Path, catalogue: Catalogue, today: date) -> tuple[Brief, Weather]:
    """Read and check a brief, find its place, read its weather.

    Raises BriefError with every fault found in all three; OSError if the brief cannot be read.
    """
    return gather_values(toml_of(path, path.name), path.parent, catalogue, today)


def gather_values(
    values: dict[str, Any], folder: Path, catalogue: Catalogue, today: date
) -> tuple[Brief, Weather]:
    """As ``gather``, of a brief's tables as plain values; the files it names are in ``folder``."""
    from bedwright.inputs.checks import brief_by_key  # geometry, ground and planting

    read = _reader(folder)
    brief = brief_by_key(read_brief(values, _checks_of(read, catalogue, today)), catalogue)
    site = site_of(brief)
    brief = with_year(brief, today, site.latitude, site.heat_turn)
    return brief, _dated(weather_of(brief, site, read), brief, today)


Reader = Callable[[str, Unit | None], Record]
"""Reads the record of a file's name, in a unit."""


def _reader(folder: Path) -> Reader:
    """Reads each record in a folder once."""

    @cache
    def read(file: str, unit: Unit | None) -> Record:
        from bedwright.inputs.records import read_record  # of a place without one never wanted

        return read_record(folder / file, unit)

    return read


def _checks_of(read: Reader, catalogue: Catalogue | None, today: date) -> tuple[Check, ...]:
    """Everything that a brief is held against; without a catalogue all but its kinds."""
    from bedwright.inputs.checks import checks

    return (*checks(catalogue), _check_place(read), _check_dates(today))


def _dated(weather: Weather, brief: Brief, today: date) -> Weather:
    """The weather, with a note where the growing year lies behind."""
    assert brief.season.year is not None
    last = growing_year_start(weather.site, brief.season.year) + timedelta(days=364)
    if last >= today:
        return weather
    return replace(weather, notes=(*weather.notes, YearPast(brief.season.year, last)))


def _check_dates(today: date) -> Check:
    """Faults of dates that the growing year shows, once the place says when it begins."""

    def check(values: dict[str, Any]) -> list[Fault]:
        place = values.get("place")
        if place is None or not _is_somewhere(place):
            return []
        try:
            site = site_of(Brief.model_construct(place=place))
        except BriefError:
            return []
        parts = {name: values[name] for name in ("season", "dates", "ground") if name in values}
        brief = Brief.model_construct(place=place, **parts)
        return _date_faults(with_year(brief, today, site.latitude, site.heat_turn), site)

    return check


def _is_somewhere(place: Place) -> bool:
    """Whether a place that may be at fault says where it is."""
    return place.town is not None or None not in (place.latitude, place.longitude)


EARLIEST_DAYS, LATEST_DAYS = 550, 300
"""How long before the growing year, and into it, work on the bed may begin: smothering a lawn takes
a year."""


def _date_faults(brief: Brief, site: Site) -> list[Fault]:
    """Dates that lie outside the growing year the brief is for."""
    assert brief.season.year is not None
    start = growing_year_start(site, brief.season.year)
    if not FIRST_YEAR <= brief.season.year <= LAST_YEAR:
        field = "begin" if brief.dates.show is None else "show"
        accepted = f"a date in one of the growing years {FIRST_YEAR} to {LAST_YEAR}"
        return [Fault(f"dates.{field}", f"{getattr(brief.dates, field)}", accepted)]
    first, last = start - timedelta(days=EARLIEST_DAYS), start + timedelta(days=LATEST_DAYS)
    end = start + timedelta(days=364)
    year = f"the growing year that begins on {day_month_year(start)}"
    faults = []
    begin, show = brief.dates.begin, brief.dates.show
    if begin is not None and not first <= begin <= last:
        faults.append(Fault("dates.begin", f"{begin}", f"{first} to {last}, for {year}"))
    if show is not None and not start <= show <= end:
        faults.append(Fault("dates.show", f"{show}", f"{start} to {end}, in {year}"))
    from_day = start if begin is None else min(max(begin, start), last)
    days = [from_day + timedelta(days=n) for n in range((last - from_day).days + 1)]
    away = brief.dates.away
    if all(any(span.start <= day <= span.end for span in away) for day in days):
        given = f"away on every day from {from_day} to {last}"
        faults.append(Fault("dates.away", given, f"a day at home among them, to dig, in {year}"))
    limed = brief.ground.limed
    if limed is not None and limed > last:
        faults.append(Fault("ground.limed", f"{limed}", "a day in the past, before digging"))
    return faults


def _check_place(read: Reader) -> Check:
    """Faults of the place that only the town index, the grid or the record's file can show."""

    def check(values: dict[str, Any]) -> list[Fault]:
        place = values.get("place")
        if place is None:
            return []
        faults = _spot_faults(place) if _is_somewhere(place) else []
        record = getattr(place, "record", None)
        if record is not None:
            try:
                read(record.file, record.unit)
            except OSError as error:
                faults.append(
                    Fault(
                        "place.record.file",
                        f"'{shown(record.file, 200)}'",
                        f"a file that can be read, beside the brief ({error.strerror or error})",
                    )
                )
            except RecordError as error:
                given = f"'{shown(record.file, 200)}'"
                faults.append(Fault("place.record.file", given, str(error)))
        return faults

    return check


def _spot_faults(place: Place) -> list[Fault]:
    """Faults of the spot on earth and of the frost dates stated for it."""
    probe = Brief.model_construct(place=place)
    try:
        site = site_of(probe)
    except BriefError as error:
        return list(error.faults)
    faults = _frost_faults(place, site)
    record = getattr(place, "record", None)
    if getattr(record, "altitude", None) is not None and site.height_from == "grid":
        accepted = "the height of the garden, where that of its record is stated"
        faults.append(Fault("place.altitude", "nothing", accepted))
    try:
        weather_of(probe, site, None)
    except BriefError as error:
        faults += error.faults
    return faults


def _frost_faults(place: Place, site: Site) -> list[Fault]:
    """Stated frost dates in the wrong half of the year, or out of order; months without a
    summer."""
    known = place.frost
    if known is None:
        return []
    start = growing_year_start(site, 2027)
    split = split_day(site, 2027)
    faults = []
    if split.month in known.months:
        given = ", ".join(MONTH_NAMES[month - 1] for month in known.months)
        accepted = (
            f"months without {split:%B}, which is midsummer at this latitude; last_spring and"
            " first_autumn say when freezes end and begin where even that has them"
        )
        faults.append(Fault("place.frost.months", given, accepted))
    for name, stated, spring in (
        ("last_spring", known.last_spring, True),
        ("first_autumn", known.first_autumn, False),
    ):
        if stated is None:
            continue
        half = (start, split) if spring else (split, None)
        index = {}
        for risk, day in stated.odds.items():
            found = next(d for y in (0, 1) if (d := day.in_year(start.year + y)) >= start)
            index[risk] = found
            if found < half[0] or (half[1] is not None and found >= half[1]):
                side = "spring" if spring else "autumn"
                faults.append(
                    Fault(
                        f"place.frost.{name}" + (f".{risk:.0%}" if stated.taken == "odds" else ""),
                        f"{day_month(found)}",
                        f"a day of {side} at this latitude: from {day_month(half[0])}"
                        f" and before {day_month(half[1] or start)}",
                    )
                )
        days = [index[risk] for risk in sorted(index, reverse=spring)]
        if days != sorted(set(days)):
            later = "later" if spring else "earlier"
            faults.append(
                Fault(
                    f"place.frost.{name}",
                    ", ".join(
                        f"{risk:.0%} {day_month(day)}" for risk, day in sorted(index.items())
                    ),
                    f"days on which a smaller risk stands at the {later} day",
                )
            )
    return faults


def site_of(brief: Brief) -> Site:
    """The spot on earth that a brief's place names.  Raises BriefError."""
    place = brief.place
    if place.latitude is not None and place.longitude is not None:
        label = (
            place.town
            or f"{_degrees(place.latitude, 'N', 'S')}, {_degrees(place.longitude, 'E', 'W')}"
        )
        height, known = _height(place, place.latitude, place.longitude)
        return Site(
            label,
            place.latitude,
            place.longitude,
            height,
            height_from=known,
            heat_turn=_heat_turn(place, place.latitude, place.longitude, None),
        )
    assert place.town is not None
    try:
        towns = find_town(place.town)
    except TownNotFoundError as error:
        near = f"; perhaps {'; '.join(error.fact.near)}" if error.fact.near else ""
        raise BriefError(
            [
                Fault(
                    "place.town",
                    f"'{place.town}'",
                    "a town of 5,000 people or more, as 'Name, Country' or"
                    f" 'Name, State' (US){near}; or latitude and longitude in degrees"
                    " (53.27,-9.05 on the command line)",
                )
            ]
        ) from None
    town = towns[0]
    height, known = _height(place, town.latitude, town.longitude, town.altitude_m)
    turn = _heat_turn(place, town.latitude, town.longitude, town.altitude_m)
    return Site(town.label, town.latitude, town.longitude, height, town.timezone, known, turn)


def _heat_turn(
    place: Place, latitude: float, longitude: float, of_town: float | None
) -> int | None:
    """Month with which the growing year begins where it turns over in the hot season: settled by
    the normals and what is said of frost; never where its dates or months are stated, which part
    spring from autumn."""
    known = place.frost
    if known is not None and (known.months or known.last_spring or known.first_autumn):
        return None
    mild = known is not None and (known.never or known.light or (known.share or 1.0) <= RARE_SHARE)
    height = of_town if place.altitude is None else place.altitude
    try:
        return turn_in_heat(latitude, normals_at(latitude, longitude, height), mild)
    except NoClimateError:
        return None


RARE_SHARE = 0.05
"""Share of years that are said to have a freeze up to which hard ones are taken to be rare."""


def _height(
    place: Place, latitude: float, longitude: float, of_town: float | None = None
) -> tuple[float, HeightFrom]:
    """Height of a place, and who gives it."""
    if place.altitude is not None:
        return place.altitude, "stated"
    if of_town is not None:
        return of_town, "town"
    return _grid_height(latitude, longitude), "grid"


def _namesakes(place: Place) -> tuple[Namesakes, ...]:
    """What to say where a town's name fits others too."""
    if place.town is None or place.latitude is not None:
        return ()
    first, *others = find_town(place.town)
    others = [town for town in others if town.label != first.label]
    if not others:
        return ()
    some = tuple(town.label for town in others[:3])
    return (Namesakes(first.label, some, len(others) - len(some)),)


def _people(place: Place) -> int | None:
    """People of the town that a place is named for; None where it is a spot of its own."""
    if place.town is None or place.latitude is not None:
        return None
    return find_town(place.town)[0].population


RECORD_SUFFIXES = (".csv", ".dly", ".txt")


def gather_season(
    where: str, at: str | None, more: dict[str, Any], today: date
) -> tuple[Brief, Weather]:
    """The place and weather of ``bedwright season``, as a brief that says no more than its place.

    ``where``: a town, ``latitude,longitude``, or a record's file that was kept ``at`` one.
    ``more``: other values of the brief's tables ``place`` and ``season``.  Raises BriefError where
    a place or a record is at fault, OSError where the record cannot be opened.
    """
    path = Path(where)
    there = path.exists() if at is not None else path.is_file()
    is_record = path.suffix.lower() in RECORD_SUFFIXES or there
    if is_record and at is None:
        raise BriefError(
            [Fault("--at", "nothing", "where the record was kept: a town, or latitude,longitude")]
        )
    if at is not None and not is_record:
        accepted = "where a record was kept, beside a record's file; a place is named once"
        raise BriefError([Fault("--at", f"'{at}'", accepted)])
    place: dict[str, Any] = {**_spot(at if is_record and at is not None else where)}
    place |= more.get("place", {})
    if is_record:
        path.stat()  # a missing file is no fault of the place
        place["record"] = {**place.get("record", {}), "file": str(path.resolve())}
    else:
        place.pop("record", None)
    values = {
        "place": place,
        "season": more.get("season", {}),
        "bed": {"shape": "rectangle", "length": "1 m", "width": "1 m"},
    }
    read = _reader(Path("/"))
    brief = read_brief(values, (_check_place(read),))
    site = site_of(brief)
    brief = with_year(brief, today, site.latitude, site.heat_turn)
    return brief, _dated(weather_of(brief, site, read), brief, today)


def _spot(text: str) -> dict[str, Any]:
    """``53.27,-9.05`` as latitude and longitude; anything else as a town."""
    try:
        latitude, longitude = (float(part) for part in text.split(","))
    except ValueError:
        return {"town": text}
    return {"latitude": latitude, "longitude": longitude}


def _grid_height(latitude: float, longitude: float) -> float:
    try:
        return normals_at(latitude, longitude).altitude_m
    except NoClimateError:
        return 0.0


def _degrees(value: float, positive: str, negative: str) -> str:
    return f"{abs(value):.2f}° {positive if value >= 0 else negative}"


def weather_of(brief: Brief, site: Site, read: Reader | None) -> Weather:
    """Normals of a site, and the brief's record where ``read`` can read it."""
    place, learned = brief.place, brief.learned
    try:
        # A height that is known moves the grid's temperatures.
        known = None if site.height_from == "grid" else site.altitude_m
        normals = normals_at(site.latitude, site.longitude, known)
    except NoClimateError as error:
        from bedwright.report import say  # all of the report, and seldom wanted

        raise BriefError(
            [Fault("place", say(error.fact, brief.units), "a place on land, or near its coast")]
        ) from None
    record: Record | None = None
    years: tuple[int | None, int | None] = (None, None)
    kept_at: float | None = None
    if place.record is not None and read is not None:
        record = read(place.record.file, place.record.unit)
        years = (place.record.from_year, place.record.to_year)
        kept_at = place.record.altitude
    return Weather(
        site,
        normals,
        record,
        years,
        record_altitude_m=kept_at,
        situation=place.situation,
        nights_c=place.nights,
        learned_nights_c=learned.nights or 0.0,
        learned_error_c=learned.nights_error if learned.nights is not None else None,
        people=_people(place),
        notes=_namesakes(place),
    )
