"""The command line: ``bedwright plan``, ``check``, ``season``, ``light``, ``ground``,
``planting``, ``kinds``.

Exit codes: 0 done; 2 the brief is at fault; 1 anything else.
"""

from __future__ import annotations

import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer
from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, Progress, TextColumn

import bedwright
from bedwright.brief import Brief, BriefError, Fault
from bedwright.catalogue import Catalogue, Kind, load_catalogue
from bedwright.cautions import ground_cautions
from bedwright.geometry import GeometryError, outline_of
from bedwright.ground import packs_of, reckon_ground
from bedwright.light import EXPOSURES, sun_on
from bedwright.plan import Plan, make_courses, make_plan
from bedwright.planting import COLOUR_WORDS, NothingFitsError, make_schemes
from bedwright.rim import catalogue_of, gather, gather_season, own_catalogue
from bedwright.season import (
    FORTNIGHTS,
    RISKS,
    Outlook,
    Season,
    SeasonError,
    Weather,
    make_season,
    outlook_of,
    soil_temperature,
)
from bedwright.units import LENGTH, System, UnitError, parse, say_area

if TYPE_CHECKING:
    from bedwright.sheets import KindSun, SunMonth
    from bedwright.sheets.words import Part

FAULT, FAILED = 2, 1
STAGES = ("season", "light", "kinds", "ground", "planting", "calendar")

app = typer.Typer(
    name="bedwright",
    help="Reckons a bed of annual flowers: what to plant where and when, and how much of it all.",
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)
out = Console(highlight=False, soft_wrap=True)
err = Console(stderr=True, highlight=False, soft_wrap=True)

BriefArgument = Annotated[
    Path, typer.Argument(metavar="BRIEF.toml", help="The brief, a TOML file.")
]


def _version(asked: bool) -> None:
    if asked:
        out.print(f"bedwright {bedwright.__version__}")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    pass


@app.command()
def check(brief: BriefArgument) -> None:
    """Read a brief and report every fault in it; writes nothing."""
    with _faults(brief):
        read, weather = gather(brief, catalogue_of(brief), date.today())
        assert read.season.year is not None  # gather settles it
        season = make_season(weather, read.season.year, read.place.frost, 0)
        out.print(
            f"{escape(brief.name)} is sound: {escape(weather.site.label)},"
            f" growing year {read.season.year}, weather from {season.basis}."
        )
        if read.surroundings:
            from bedwright.sheets import thing_words

            outline = outline_of(read.bed)
            for thing in read.surroundings:
                out.print(f"  around   {escape(thing_words(outline, thing, read.units))}")
        for words in season.notes:
            out.print(f"  note     {escape(words)}")


@app.command()
def plan(
    brief: BriefArgument,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the sheets; made if missing.")
    ] = Path("out"),
    seed: Annotated[
        int, typer.Option(min=0, max=2**31 - 1, help="Another seed gives another layout.")
    ] = 0,
    open_pack: Annotated[
        bool, typer.Option("--open", help="Open the PDF pack when it is done.")
    ] = False,
) -> None:
    """Reckon the plan of a brief and write its sheets."""
    with _faults(brief):
        catalogue = catalogue_of(brief)
        read, weather = gather(brief, catalogue, date.today())
        made = _write(read, weather, catalogue, seed, out_folder)
        _summary(made, out_folder, weather.notes)
        if open_pack:
            webbrowser.open((out_folder / "pack.pdf").resolve().as_uri())


@app.command()
def light(
    brief: BriefArgument,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the drawing.")
    ] = Path("light"),
    kinds: Annotated[
        bool, typer.Option("--kinds", help="List every kind, and how much of the bed suits it.")
    ] = False,
) -> None:
    """Hours of direct sun on every patch of a brief's bed, printed and drawn."""
    with _faults(brief):
        catalogue = catalogue_of(brief)
        read, weather = gather(brief, catalogue, date.today())
        assert read.season.year is not None  # gather settles it
        outline = outline_of(read.bed)
        made = make_season(weather, read.season.year, read.place.frost, 0)
        soil_c = soil_temperature(made.tmean_c)
        courses = make_courses(read, catalogue, made, soil_c)
        from bedwright import sheets

        lit = sheets.BedLight(read, outline, made, sun_on(read, outline, made, soil_c))
        out.print(f"[bold]{escape(read.title)}[/bold], {escape(weather.site.label)}\n")
        _sun_by_month(sheets.sun_months(lit))
        suns = sheets.kind_suns(lit.light, catalogue, courses.by_kind)
        _sun_by_kind([s for s in suns if kinds or s.key in read.wishes.grow], made)
        with _progress(len(sheets.LIGHT_FILES)) as step:
            sheets.write_light(lit, _growing(made), out_folder, step)
        folder = escape(str(out_folder))
        out.print(f"Drawn in {folder}/light.svg and light.png.")


def _sun_by_month(months: list[SunMonth]) -> None:
    rows = [
        [
            month.name[:3],
            f"{month.middle:.1f}",
            f"{month.low:.1f}-{month.high:.1f}",
            *(f"{share:.0%}" for share in month.shares.values()),
            f"{month.morning:.0%}" if month.high > 0.05 else "-",
            f"{month.cloudy:.1f}",
            f"{month.beam_mj:.1f}",
        ]
        for month in months
    ]
    heads = ["", "hours", "range", *EXPOSURES, "a.m.", "clouded", "MJ"]
    _table("Hours of direct sun a day, and how much of the bed has what exposure", heads, rows)
    out.print(
        "  Clear sky, about the middle of the month; light through leaves counts in part."
        "\n  Hours: half of the bed has more, half less; range: from the shadiest patch to the"
        "\n  sunniest. Full sun: 6 h and more; part sun 4 to 6; part shade 2 to 4. a.m.: share"
        "\n  before noon. Clouded: hours that clouds leave, from the daily range of temperature."
        "\n  MJ: energy of the beam a day on a square metre.\n"
    )


def _sun_by_kind(suns: list[KindSun], season: Season) -> None:
    if not suns:
        return
    rows = [
        [
            sun.name,
            f"{season.day(sun.first):%-d %b} - {season.day(sun.last):%-d %b}",
            f"{sun.middle:.1f}",
            sun.word,
            f"{sun.wants[0]:g} h +"
            if sun.wants[1] >= 12
            else f"{sun.wants[0]:g}-{sun.wants[1]:g} h",
            f"{sun.suits:.0%}",
        ]
        for sun in suns
    ]
    heads = ["", "its season", "hours", "exposure", "likes", "suits"]
    _table("Sun over each kind's own season, from planting out to the end of bloom", heads, rows)
    out.print(
        "  Hours a day, and what they are called: half of the bed has more. Suits: how much of the"
        "\n  bed does.\n"
    )


@app.command()
def ground(
    brief: BriefArgument,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the sheet.")
    ] = Path("ground"),
) -> None:
    """The soil sheet: marking out, clearing, filling, feeding and liming a brief's bed."""
    with _faults(brief):
        catalogue = catalogue_of(brief)
        read, weather = gather(brief, catalogue, date.today())
        assert read.season.year is not None  # gather settles it
        outline = outline_of(read.bed)
        made = make_season(weather, read.season.year, read.place.frost, 0)
        courses = make_courses(read, catalogue, made, soil_temperature(made.tmean_c))
        packs, _ = packs_of(read.goods)
        work = reckon_ground(outline, read, packs, made.day(courses.dig), read.dates.begin)
        from bedwright import sheets

        cautions = ground_cautions(read, outline, work)
        bed = sheets.BedGround(read, outline, made, courses.dig, courses.ready, work, cautions)
        out.print(f"[bold]{escape(read.title)}[/bold], {escape(weather.site.label)}\n")
        first, *others = cautions
        out.print(f"[bold]{first.title}.[/bold] {escape(first.words)}\n")
        for n, part in enumerate(sheets.soil_parts(bed)):
            _lines(part)
            if n == 0:
                out.print(f"  {escape(sheets.base_line(bed))}")
                _table("Stakes", ["", "along", "out"], [list(r) for r in sheets.stake_rows(bed)])
                if offsets := sheets.offset_rows(bed):
                    _table("Or by offsets", ["along", "near", "far"], [list(r) for r in offsets])
                out.print()
        for caution in others:
            out.print(f"[bold]{caution.title}.[/bold] {escape(caution.words)}")
        with _progress(len(sheets.GROUND_FILES)) as step:
            sheets.write_ground(bed, out_folder, step)
        out.print(f"\nPrinted in {escape(str(out_folder))}/ground.pdf.")


@app.command()
def planting(
    brief: BriefArgument,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the drawings.")
    ] = Path("planting"),
    schemes: Annotated[
        int,
        typer.Option(min=1, max=9, help="So many differing schemes, side by side."),
    ] = 1,
    seed: Annotated[
        int, typer.Option(min=0, max=2**31 - 1, help="Another seed gives another layout.")
    ] = 0,
    seconds: Annotated[
        float,
        typer.Option(min=0, help="Time for proving how good each arrangement is; 0 for none."),
    ] = 10.0,
    why: Annotated[
        list[str] | None,
        typer.Option(metavar="KIND", help="Why a kind stands where it does, or not; or: all."),
    ] = None,
) -> None:
    """Which plants stand where in a brief's bed, drawn, compared and accounted for."""
    with _faults(brief):
        catalogue = catalogue_of(brief)
        asked = [_kind_named(name, catalogue) for name in why or () if name != "all"]
        read, weather = gather(brief, catalogue, date.today())
        from bedwright import sheets

        with _progress(len(STAGES)) as step:
            first = make_plan(read, catalogue=catalogue, weather=weather, seed=seed, progress=step)
        laid = make_schemes(
            read, first.outline, catalogue, first.courses, first.light, seed,
            max(schemes, read.wishes.variant), seconds,
        )  # fmt: skip
        numbers = list(range(1, schemes + 1)) if schemes > 1 else [read.wishes.variant]
        plans = [replace(first, planting=laid[n - 1]) for n in numbers]
        out.print(f"[bold]{escape(read.title)}[/bold], {escape(weather.site.label)}\n")
        for n, made in zip(numbers, plans, strict=True):
            heads = ["", "", "plants, spares", "drifts", "high", "apart"]
            _table(f"Scheme {n}", heads, sheets.item_rows(made.planting, read.units))
            for words in (sheets.proof_words(made.planting), *made.planting.notes):
                if words:
                    out.print(f"  {escape(words)}")
            out.print()
            if "all" in (why or ()):
                out.print("[bold]Why, drift by drift[/bold]")
                for letter, spot, words in sheets.why_rows(made.planting, read.units):
                    out.print(f"  {letter:<2} at {escape(spot)}: {escape(words)}")
                out.print()
            for kind in asked:
                for words in sheets.why_kind(made.planting, kind.key, kind.name, read.units):
                    out.print(f"  {escape(words)}")
        if len(plans) > 1:
            measures = [sheets.scheme_measures(made) for made in plans]
            rows = [[name, *(m[name] for m in measures)] for name in measures[0]]
            _table("Side by side", ["", *(f"scheme {n}" for n in numbers)], rows)
            out.print("  The one to plan with: wishes.variant in the brief.\n")
        with _progress(2 * len(plans)) as step:
            sheets.write_schemes(plans, out_folder, step)
        out.print(f"Drawn in {escape(str(out_folder))}/.")


def _kind_named(name: str, catalogue: Catalogue) -> Kind:
    """A kind by any of its names."""
    kind = catalogue.find(name)
    if kind is None:
        near = catalogue.like(name)
        hint = f"; near it: {', '.join(near)}" if near else ""
        raise BriefError([Fault("--why", f"'{name}'", f"a kind of the catalogue, or all{hint}")])
    return kind


def _lines(part: Part) -> None:
    """A part of the soil sheet or of a card: label, value, and its working or source below."""
    out.print(f"[bold]{escape(part.heading)}[/bold]")
    wide = max(len(line.label) for line in part.lines)
    for line in part.lines:
        out.print(f"  {escape(line.label.ljust(wide))}  {escape(line.value)}")
        if line.working:
            out.print(f"  {' ' * wide}    [dim]{escape(line.working)}[/dim]")
    out.print()


@app.command()
def kinds(
    name: Annotated[
        str | None, typer.Argument(metavar="KIND", help="One kind, by any of its names.")
    ] = None,
    tender: Annotated[bool, typer.Option("--tender", help="Tender kinds.")] = False,
    half_hardy: Annotated[bool, typer.Option("--half-hardy", help="Half-hardy kinds.")] = False,
    hardy: Annotated[bool, typer.Option("--hardy", help="Hardy kinds.")] = False,
    shade: Annotated[
        bool, typer.Option("--shade", help="Kinds that bear less than four hours of sun.")
    ] = False,
    dry: Annotated[bool, typer.Option("--dry", help="Kinds for dry ground.")] = False,
    colour: Annotated[
        list[str] | None, typer.Option(metavar="WORD", help="A colour; may be said again.")
    ] = None,
    vase: Annotated[bool, typer.Option("--vase", help="For cutting.")] = False,
    drying: Annotated[bool, typer.Option("--drying", help="For drying.")] = False,
    scent: Annotated[bool, typer.Option("--scent", help="For scent.")] = False,
    edging: Annotated[bool, typer.Option("--edging", help="For the edge.")] = False,
    climbing: Annotated[bool, typer.Option("--climbing", help="Climbers.")] = False,
    pollinators: Annotated[bool, typer.Option("--pollinators", help="For pollinators.")] = False,
    edible: Annotated[bool, typer.Option("--edible", help="With edible flowers.")] = False,
    pets: Annotated[
        bool, typer.Option("--pets", help="Without known poison to dogs and cats.")
    ] = False,
    height: Annotated[
        str | None, typer.Option(metavar="HEIGHT", help="Tallest, such as '50 cm' or '2 ft'.")
    ] = None,
    own: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own file of kinds, a TOML file.")
    ] = None,
    sources: Annotated[
        bool, typer.Option("--sources", help="How much of the catalogue has a named source.")
    ] = False,
    units: Annotated[Literal["metric", "us"], typer.Option(help="Units to print.")] = "metric",
) -> None:
    """List the kinds of the catalogue, or show one as a card."""
    from bedwright import sheets

    with _faults(own or Path("kinds")):
        catalogue = load_catalogue() if own is None else own_catalogue(load_catalogue(), own)
        if sources:
            heads = ["", "named source", "memory", "estimate"]
            _table(f"Where the figures of {len(catalogue)} kinds come from", heads,
                   sheets.source_rows(catalogue))  # fmt: skip
            return
        if name is not None:
            kind = catalogue.find(name)
            if kind is None:
                near = ", ".join(catalogue.like(name)) or "see bedwright kinds"
                raise BriefError([Fault("KIND", f"'{name}'", near)])
            out.print(f"[bold]{escape(kind.name)}[/bold] ({kind.key})\n")
            for part in sheets.kind_card(kind, catalogue, units):
                _lines(part)
            return
        classes = {"tender": tender, "half_hardy": half_hardy, "hardy": hardy}
        uses = {"vase": vase, "drying": drying, "scent": scent, "edging": edging,
                "climbing": climbing, "pollinators": pollinators}  # fmt: skip
        for word in colour or ():
            if word not in COLOUR_WORDS:
                raise BriefError([Fault("--colour", f"'{word}'", ", ".join(COLOUR_WORDS))])
        sieve = sheets.Sieve(
            hardiness=tuple(key for key, asked in classes.items() if asked),
            shade=shade,
            dry=dry,
            colours=tuple(colour or ()),
            uses=tuple(key for key, asked in uses.items() if asked),
            edible=edible,
            pets=pets,
            tallest_m=None if height is None else _height(height),
        )
        found = [kind for kind in catalogue if sieve.lets_through(kind)]
        heads = ["kind", "key", "class", "height", "sun", "colours"]
        _table(f"{len(found)} of {len(catalogue)} kinds", heads, sheets.kind_rows(found, units),
               left={1, 5})  # fmt: skip
        for asked, words in ((pets, sheets.POISON_NOTE), (edible, sheets.EATING_NOTE)):
            if asked:
                out.print(f"\n[yellow]{escape(words)}[/yellow]")


def _height(text: str) -> float:
    try:
        return parse(text, LENGTH)
    except UnitError as error:
        raise BriefError([Fault("--height", f"'{text}'", error.accepted)]) from None


def _growing(season: Season) -> slice:
    """Fortnights from the last freeze to the first at even odds; all where there is none."""
    last, first = (season.freeze(side).day_at(0.5) for side in (True, False))
    start = 0 if last is None else min(int(last) // 14, FORTNIGHTS - 1)
    stop = FORTNIGHTS if first is None else min(int(first) // 14 + 1, FORTNIGHTS)
    return slice(start, max(stop, start + 1))


# Southern latitudes begin with a minus, which is no option's.
@app.command(context_settings={"ignore_unknown_options": True})
def season(
    where: Annotated[
        str,
        typer.Argument(
            metavar="PLACE_OR_RECORD",
            help="A town, latitude,longitude, or a daily weather record (see --at).",
        ),
    ],
    at: Annotated[
        str | None,
        typer.Option("--at", metavar="PLACE", help="Where a record was kept."),
    ] = None,
    altitude: Annotated[
        str | None,
        typer.Option(metavar="HEIGHT", help="Height above the sea, such as '240 m'."),
    ] = None,
    last_spring: Annotated[
        list[str] | None,
        typer.Option(metavar="ODDS=MM-DD", help="A stated last freeze, such as 10%=05-14."),
    ] = None,
    first_autumn: Annotated[
        list[str] | None,
        typer.Option(metavar="ODDS=MM-DD", help="A stated first freeze, such as 10%=10-12."),
    ] = None,
    year: Annotated[int | None, typer.Option(min=1900, max=2200, help="Growing year.")] = None,
    units: Annotated[Literal["metric", "us"], typer.Option(help="Units to print.")] = "metric",
    record_unit: Annotated[
        Literal["C", "F"] | None, typer.Option(help="Unit of the record's temperatures.")
    ] = None,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the sheet and its drawing.")
    ] = Path("season"),
    seed: Annotated[int, typer.Option(min=0, max=2**31 - 1, help="Of the simulated seasons.")] = 0,
) -> None:
    """Print and draw the season of a place: freezes, safe days, warmth, rain, daylight."""
    place: dict[str, object] = {"record": {"unit": record_unit} if record_unit else {}}
    if altitude is not None:
        place["altitude"] = altitude
    more = {"place": place, "season": {"year": year} if year else {}}
    with _faults(Path(where)):
        if last_spring or first_autumn:
            place["frost"] = {
                "last_spring": _stated("--last-spring", last_spring or []),
                "first_autumn": _stated("--first-autumn", first_autumn or []),
                "source": "as stated",
            }
        read, weather = gather_season(where, at, more, date.today())
        assert read.season.year is not None  # gather_season settles it
        made = make_season(weather, read.season.year, read.place.frost, seed)
        outlook = outlook_of(made, seed)
        _print_season(outlook, units)
        from bedwright.sheets import SEASON_FILES, write_season

        with _progress(len(SEASON_FILES)) as step:
            write_season(outlook, units, out_folder, step)
        folder = escape(str(out_folder))
        out.print(f"\nDrawn in {folder}/season.pdf, with season.svg, season.png and season.json.")


def _stated(option: str, pairs: list[str]) -> dict[str, str]:
    """``10%=05-14`` and so on as a table of the brief.  Raises BriefError for what is none."""
    table = {}
    for pair in pairs:
        odds, mark, day = pair.partition("=")
        if not mark or odds in table:
            given = f"'{pair}'" + (" once more" if odds in table else "")
            raise BriefError([Fault(option, given, "odds and a day each time, such as 10%=05-14")])
        table[odds] = day
    if not table:
        accepted = "odds and a day, such as 10%=05-14: spring and autumn are stated together"
        raise BriefError([Fault(option, "nothing", accepted)])
    return table


def _print_season(outlook: Outlook, units: System) -> None:
    """The outlook as tables."""
    from bedwright import sheets

    risks = [f"{risk:.0%}" for risk in RISKS]
    out.print(f"[bold]{escape(outlook.season.site.label)}[/bold]\n  {sheets.heading(outlook)}")
    out.print(f"  weather from {escape(outlook.season.basis)}")
    for words in outlook.season.notes:
        out.print(f"  note: {escape(words)}")
    out.print(f"  {sheets.certainty_words(outlook)}\n")
    freezes = [*sheets.freeze_table(outlook, units), sheets.fitted_row(outlook, units)]
    _table(
        "Last freeze of spring, and first of autumn: odds of a later, and of an earlier one",
        ["at or below", *risks, *risks],
        freezes,
    )
    out.print(f"  {sheets.length_words(outlook)}")
    workable = sheets.short_day(outlook.season, outlook.workable)
    out.print(f"  Ground can be worked from about {workable}.\n")
    _table(
        "Young plants outdoors from, at the odds given of a night that loses them",
        ["", "the night", *risks],
        sheets.safe_table(outlook, units),
    )
    out.print("  * the soil decides, not the frost. Kinds differ; a plan goes by each one's own.\n")
    _table(
        "Month by month",
        ["", "night", "day", "soil", "rain", "dry-wet", "heat", "day h:min"],
        sheets.month_table(outlook, units),
    )
    out.print(f"  {sheets.legend(units)}")


def _table(
    title: str, heads: list[str], rows: list[list[str]], left: set[int] | None = None
) -> None:
    """Columns as wide as what they hold; the first and those named to the left, the others to the
    right."""
    out.print(f"[bold]{escape(title)}[/bold]")
    wide = [max(len(row[n]) for row in [heads, *rows]) for n in range(len(heads))]
    for row in [heads, *rows]:
        cells = [
            row[0].ljust(wide[0]),
            *(
                row[n].ljust(wide[n]) if n in (left or ()) else row[n].rjust(wide[n])
                for n in range(1, len(row))
            ),
        ]
        out.print("  " + escape("  ".join(cells)).rstrip())


def _write(read: Brief, weather: Weather, catalogue: Catalogue, seed: int, folder: Path) -> Plan:
    from bedwright.sheets import FILES, write_sheets

    with _progress(len(STAGES) + len(FILES)) as step:
        made = make_plan(read, catalogue=catalogue, weather=weather, seed=seed, progress=step)
        write_sheets(made, folder, step)
    return made


@contextmanager
def _progress(steps: int) -> Iterator[Callable[[str], None]]:
    """A bar on standard error when that is a terminal."""
    with Progress(
        TextColumn("{task.description:<14}"),
        BarColumn(),
        TextColumn("{task.percentage:>3.0f}%"),
        console=err,
        transient=True,
        disable=not err.is_terminal,
    ) as bar:
        task = bar.add_task("", total=steps)

        def step(name: str) -> None:
            bar.update(task, description=name, advance=1)

        yield step


@contextmanager
def _faults(path: Path) -> Iterator[None]:
    """Turn a user's mistakes into words and exit codes."""
    try:
        yield
    except BriefError as error:
        count = len(error.faults)
        err.print(f"[bold]{escape(path.name)}: {count} fault{'s' if count > 1 else ''}[/bold]")
        for fault in error.faults:
            err.print(
                f"  [bold]{escape(fault.field)}[/bold]: given {escape(fault.given)}\n"
                f"    accepted: {escape(fault.accepted)}"
            )
        raise typer.Exit(FAULT) from None
    except (SeasonError, GeometryError, NothingFitsError) as error:
        err.print(f"[bold]{escape(path.name)}[/bold]: {escape(str(error))}")
        raise typer.Exit(FAULT) from None
    except OSError as error:
        what = error.strerror or str(error)
        err.print(f"{escape(str(error.filename or path))}: {escape(what)}")
        raise typer.Exit(FAILED) from None


def _summary(made: Plan, folder: Path, notes: tuple[str, ...]) -> None:
    """The plan in a few lines."""
    day, planting = made.season.day, made.planting
    plants = sum(i.plants for i in planting.items)
    brief = made.brief
    out.print(f"[bold]{escape(brief.title)}[/bold], {escape(made.season.site.label)}")
    out.print(
        f"  bed      {say_area(made.outline.area_m2, brief.units)}, dug {day(made.dig):%-d %b %Y},"
        f" planted from {day(made.ready):%-d %b %Y}"
    )
    out.print(
        f"  plants   {plants} in {len(planting.drifts)} drifts, {len(planting.items)} colours of"
        f" {len({i.candidate.kind.key for i in planting.items})} kinds"
    )
    last = made.season.freeze(True).day_at(brief.season.frost_risk)
    if last is not None:
        out.print(
            f"  frost    {brief.season.frost_risk:.0%} odds of a freeze after {day(last):%-d %b},"
            f" from {_source(made)}"
        )
    else:
        out.print(
            f"  frost    less than {brief.season.frost_risk:.0%} odds of any, from {_source(made)}"
        )
    cost = made.supplies
    if cost.cost or cost.unpriced:
        more = f", {cost.unpriced} lines without a price" if cost.unpriced else ""
        out.print(f"  cost     {escape(brief.currency)}{cost.cost:,.2f}{more}")
    for words in (*notes, *made.notes):
        out.print(f"  note     {escape(words)}")
    out.print("  first    have buried pipes and cables marked before you dig")
    out.print(f"  sheets   {escape(str(folder / 'pack.pdf'))} and {escape(str(folder))}/")


def _source(made: Plan) -> str:
    doubt = round(made.season.doubt_days)
    return {
        "record": "the weather record",
        "dates": "the dates stated",
        "normals": (
            f"world normals alone (uncertain by about {doubt} days; ask locally)"
            if doubt
            else "world normals alone (ask locally)"
        ),
    }[made.season.source]


def main() -> None:
    """Entry point."""
    app()


if __name__ == "__main__":
    main()
