"""The season in words and figures, as the terminal and the sheets print it."""

from __future__ import annotations

from bedwright.brief import USUAL_RISK
from bedwright.climate import DAYS, Season
from bedwright.growth import RISKS, Freezes, Outlook
from bedwright.report.words import MONTHS, certainty
from bedwright.units import INCH_MM, System, say_temperature, trim

CLASS_NAMES = {"hardy": "hardy", "half_hardy": "half-hardy", "tender": "tender"}


def short_day(season: Season, day: float | None) -> str:
    """``14 May``; a dash where there is no such day."""
    if day is None:
        return "—"
    found = season.day(day)
    return f"{found.day} {found:%b}"


def freeze_table(outlook: Outlook, units: System) -> list[list[str]]:
    """Threshold, then spring and autumn days at each of RISKS."""
    return [
        [
            f"{say_temperature(row.threshold_c, units)} {row.name}",
            *(short_day(outlook.season, day) for day in row.spring),
            *(short_day(outlook.season, day) for day in row.autumn),
        ]
        for row in outlook.freezes
    ]


def freeze_heads(season: Season) -> tuple[str, str]:
    """What the days of the freeze table are, for its left four columns and its right."""
    if season.winter_amid:
        return "last in winter: odds of a later one", "first in winter: odds of an earlier one"
    return "last in spring: odds of a later one", "first in autumn: odds of an earlier one"


def freeze_title(season: Season) -> str:
    """The freeze table's heading, where it has one for both."""
    if season.winter_amid:
        return "Last freeze of winter, and first: odds of a later, and of an earlier one"
    return "Last freeze of spring, and first of autumn: odds of a later, and of an earlier one"


def heat_table(outlook: Outlook, units: System) -> list[list[str]]:
    """Heat that stops flowers, and the day on which it is past, at each of RISKS."""
    return [
        [
            f"days above {say_temperature(row.limit_c, units)}",
            *("never" if day is None else short_day(outlook.season, day) for day in row.days),
        ]
        for row in outlook.heat
    ]


def fitted_row(outlook: Outlook, units: System) -> list[str]:
    """The freeze days once more, from a normal curve through the years."""
    freeze: Freezes = outlook.freezes[1]
    return [
        f"{say_temperature(freeze.threshold_c, units)} fitted curve",
        *(short_day(outlook.season, day) for day in freeze.fitted_spring),
        *(short_day(outlook.season, day) for day in freeze.fitted_autumn),
    ]


def safe_table(outlook: Outlook, units: System) -> list[list[str]]:
    """Class, the night and soil that it needs, and its first safe day at each of RISKS; a star
    where the soil decides."""
    return [
        [
            CLASS_NAMES[row.hardiness],
            f"{say_temperature(row.night_c, units)}, soil {_half(row.soil_c, units)}",
            *(
                short_day(outlook.season, day) + (" *" if why == "soil" else "")
                for day, why in zip(row.days, row.decided_by, strict=True)
            ),
        ]
        for row in outlook.safe
    ]


def _half(celsius: float, units: System) -> str:
    return f"{trim(celsius)} °C" if units == "metric" else say_temperature(celsius, units)


def month_table(outlook: Outlook, units: System) -> list[list[str]]:
    """Month, night, day, soil, rain (usual, dry to wet), heat, day length."""
    rows = []
    for month in outlook.months:
        usual, dry, wet = (_rain(v, units) for v in month.rain_mm)
        hours, minutes = divmod(round(month.day_h * 60), 60)
        rows.append(
            [
                MONTHS[month.number - 1],
                say_temperature(month.tmin_c, units),
                say_temperature(month.tmax_c, units),
                say_temperature(month.soil_c, units),
                usual,
                f"{dry}-{wet}",
                f"{month.heat * (1.8 if units == 'us' else 1.0):.0f}",
                f"{hours}:{minutes:02d}",
            ]
        )
    return rows


def _rain(mm: float, units: System) -> str:
    return f"{mm / INCH_MM:.1f}" if units == "us" else f"{mm:.0f}"


def length_words(outlook: Outlook) -> str:
    """How long the season free of freezes lasts, with its odds."""
    half, four, nine, most = outlook.lengths
    if half >= (DAYS if outlook.season.winter_amid else DAYS - 1):
        return "Most years have no freeze."
    return (
        f"Free of freezes for {half} days or more in half of all years, {four} in four of five,"
        f" {nine} in nine of ten, {most} in nineteen of twenty."
    )


SURER = {
    "normals": " Surer: the local extension office's dates, or a daily record kept nearby.",
    "joined": " Surer: the local extension office's dates, or more years of the record.",
    "dates": " Surer: a daily record kept nearby.",
    "record": "",
}


def answer_words(outlook: Outlook) -> str:
    """When tender plants are safe, how sure that is, and what would make it surer."""
    season = outlook.season
    surer = "" if season.spring_past else SURER[season.source]
    safe = next(row for row in outlook.safe if row.hardiness == "tender")
    at = RISKS.index(USUAL_RISK)
    day, why = safe.days[at], safe.decided_by[at]
    if outlook.cool is not None:
        return _answer_about_winter(outlook, day if why == "frost" else None)
    if day is None:
        return f"No day before midsummer is safe for tender plants.{surer}"
    doubt = round(season.doubt_days)
    if why == "nothing":
        start = short_day(season, day)
        return (
            f"Tender plants may go out at any time of the growing year, from {start} on: frost"
            f" hardly comes.{surer}"
        )
    if why == "soil":
        later = season.freeze(True).odds_at(day)
        frost = "frost in one year of ten at most comes later" if later else "no frost comes later"
        how = f"the soil is warm enough then, and {frost}"
    else:
        how = "in one year of ten a night comes later that kills them"
    sure = f", uncertain by {doubt} days either way" if doubt and why != "soil" else ""
    return f"Tender plants go out from {short_day(season, day)}: {how}{sure}.{surer}"


def _answer_about_winter(outlook: Outlook, after_frost: int | None) -> str:
    """The same where the winter lies in the middle of the growing year; ``after_frost``: the day
    from which its frost is past, where it has any."""
    season = outlook.season
    start, cool = short_day(season, 0), short_day(season, outlook.cool)
    frost = " Frost hardly comes."
    if after_frost is not None:
        frost = (
            f" Frost may come in winter: tender plants that go out after it wait until"
            f" {short_day(season, after_frost)}, when in one year of ten a night still comes that"
            " kills them."
        )
    return (
        f"Summer is hot here and winter mild, so the growing year begins in summer: kinds that heat"
        f" does not stop go out from {start} on, cool-season kinds from about {cool}, when the"
        f" hottest weeks are over.{frost}{SURER[season.source]}"
    )


def certainty_words(outlook: Outlook, units: System) -> str:
    """How far the dates can be trusted; for a record, the range that its few years leave open."""
    season, parts = outlook.season, []
    for name, found in zip(("last", "first"), outlook.sampling, strict=True):
        if found is not None:
            first, last = (short_day(season, day) for day in found)
            parts.append(f"the {name} freeze at even odds lies between {first} and {last}")
    if not parts or season.spring_past:
        return certainty(season, units)
    part = "winters" if season.winter_amid else "springs"
    return (
        f"From {season.freeze(True).years} {part} on record: with nine chances in ten"
        f" {' and '.join(parts)}."
    )


def legend(units: System) -> str:
    """What the columns of the month table mean."""
    base, rain = ("50 °F", "inches") if units == "us" else ("10 °C", "mm")
    return (
        "Night and day: means of the daily minimum and maximum; soil: its top 10 cm. Rain in"
        f" {rain} in a usual month, and from the driest to the wettest of ten. Heat: degree-days"
        f" above {base}. Day: sunrise to sunset at mid-month, as almanacs give it."
    )


def heading(outlook: Outlook) -> str:
    """Where on earth, and for which growing year."""
    season = outlook.season
    site = season.site
    year = f"{season.start:%Y}"
    if season.start.month != 1:
        year = f"{year}-{season.start.year + 1}"
    ns, ew = ("N" if site.north else "S"), ("E" if site.longitude >= 0 else "W")
    spot = f"{abs(site.latitude):.2f}° {ns}, {abs(site.longitude):.2f}° {ew}"
    where = "" if site.label == spot else f"{spot}, "
    height = f"{site.altitude_m + 0.0:.0f} m above the sea"
    if site.height_from == "grid":
        height += " by the climate grid (state yours if it differs)"
    elif site.height_from == "town":
        height += ", the town's height"
    return f"{where}{height} · growing year {year}"
