"""``bedwright kinds``: the catalogue, listed and looked up."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedwright.cli.console import Units, escape, faults, out, part_lines, table
from bedwright.units import LENGTH, UnitError, parse

if TYPE_CHECKING:
    from bedwright.catalogue import Catalogue, Kind


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
    vase: Annotated[bool, typer.Option("--cutting", help="For cutting.")] = False,
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
    units: Units = "metric",
) -> None:
    """List the kinds of the catalogue, or show one as a card."""
    from bedwright.planting import COLOUR_WORDS
    from bedwright.report import (
        EATING_NOTE,
        POISON_NOTE,
        KindFilter,
        kind_card,
        kind_rows,
        source_rows,
    )

    with faults(own or Path("kinds"), units):
        catalogue = _catalogue(own)
        if sources:
            heads = ["", "named source", "memory", "estimate"]
            table(f"Where the figures of {len(catalogue)} kinds come from", heads,
                   source_rows(catalogue))  # fmt: skip
            return
        if name is not None:
            kind = _kind_named(name, catalogue)
            out.print(f"[bold]{escape(kind.name)}[/bold] ({kind.key})\n")
            for part in kind_card(kind, catalogue, units):
                part_lines(part)
            return
        classes = {"tender": tender, "half_hardy": half_hardy, "hardy": hardy}
        uses = {"cutting": vase, "drying": drying, "scent": scent, "edging": edging,
                "climbing": climbing, "pollinators": pollinators}  # fmt: skip
        for word in colour or ():
            if word not in COLOUR_WORDS:
                raise _fault("--colour", word, ", ".join(COLOUR_WORDS))
        wanted = KindFilter(
            hardiness=tuple(key for key, asked in classes.items() if asked),
            shade=shade,
            dry=dry,
            colours=tuple(colour or ()),
            uses=tuple(key for key, asked in uses.items() if asked),
            edible=edible,
            pets=pets,
            tallest_m=None if height is None else _height(height),
        )
        found = [kind for kind in catalogue if wanted.matches(kind)]
        heads = ["kind", "key", "class", "height", "sun", "colours"]
        table(f"{len(found)} of {len(catalogue)} kinds", heads, kind_rows(found, units),
               left={1, 5})  # fmt: skip
        for asked, words in ((pets, POISON_NOTE), (edible, EATING_NOTE)):
            if asked:
                out.print(f"\n[yellow]{escape(words)}[/yellow]")


def _catalogue(own: Path | None) -> Catalogue:
    """The catalogue, with the gardener's own kinds where they are in a file."""
    from bedwright.catalogue import load_catalogue

    if own is None:
        return load_catalogue()
    from bedwright.inputs import own_catalogue

    return own_catalogue(load_catalogue(), own)


def _kind_named(name: str, catalogue: Catalogue) -> Kind:
    """A kind by any of its names.  Raises BriefError where there is none."""
    kind = catalogue.find(name)
    if kind is None:
        from bedwright.brief import BriefError
        from bedwright.inputs import unknown_kind

        accepted = "a kind that bedwright kinds lists"
        raise BriefError([unknown_kind("KIND", name, catalogue, accepted)])
    return kind


def _height(text: str) -> float:
    """A height in metres.  Raises BriefError."""
    try:
        return parse(text, LENGTH)
    except UnitError as error:
        raise _fault("--height", text, error.accepted) from None


def _fault(option: str, given: str, accepted: str) -> Exception:
    """The error of a value that an option does not take."""
    from bedwright.brief import BriefError, Fault

    return BriefError([Fault(option, f"'{given}'", accepted)])
