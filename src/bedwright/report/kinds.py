"""Kinds of the catalogue told: a list to choose from, a kind as a card, how well sourced."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.catalogue import (
    Catalogue,
    ColourForm,
    Kind,
    column_shares,
    driving_shares,
    provenance,
)
from bedwright.planting import tone_of
from bedwright.report.parts import Line, Part
from bedwright.units import System, say_depth, say_length, say_temperature, trim

HARDINESS = {"hardy": "hardy", "half_hardy": "half-hardy", "tender": "tender"}
SHADE_H = 4.0
"""Kinds that make do with fewer hours of sun than this bear shade."""


@dataclass(frozen=True)
class KindFilter:
    """What kinds are looked for; None or empty lets all through.

    ``hardiness``: any of these; ``shade``: whether it bears less than four hours of sun;
    ``colours``: plain colour words; ``uses``: all of these; ``tallest_m``: grown height at most.
    """

    hardiness: tuple[str, ...] = ()
    shade: bool = False
    dry: bool = False
    colours: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    edible: bool = False
    pets: bool = False
    tallest_m: float | None = None

    def matches(self, kind: Kind) -> bool:
        """Whether a kind is one of those looked for."""
        return all(
            (
                not self.hardiness or kind.hardiness in self.hardiness,
                not self.shade or kind.liking.sun_min_h < SHADE_H,
                not self.dry or kind.liking.moisture == "dry",
                not self.colours or any(_is_of(form, self.colours) for form in kind.colours),
                set(self.uses) <= {*kind.uses.uses, kind.form.habit},
                not self.edible or kind.uses.edible != "no",
                not self.pets or {kind.safety.dogs, kind.safety.cats} == {"none_known"},
                self.tallest_m is None or kind.form.height_m <= self.tallest_m,
            )
        )


def _is_of(form: ColourForm, words: tuple[str, ...]) -> bool:
    return any(word in form.name or word == tone_of(form.srgb).name for word in words)


def kind_rows(kinds: list[Kind], units: System) -> list[list[str]]:
    """Name, key, class, height, sun, colours and uses of each."""
    return [
        [
            kind.name,
            kind.key,
            HARDINESS[kind.hardiness],
            say_length(kind.form.height_m, units),
            _sun(kind),
            ", ".join(form.name for form in kind.colours),
        ]
        for kind in sorted(kinds, key=lambda kind: kind.name.casefold())
    ]


def _sun(kind: Kind) -> str:
    least, most = kind.liking.sun_min_h, kind.liking.sun_max_h
    return f"{least:g} h +" if most >= 12 else f"{least:g}-{most:g} h"


UNCITED = {
    "memory": "written from memory, not yet held against a page",
    "estimate": "an estimate, by rule or by likeness to other kinds",
    "own": "your own file",
}
POISON_NOTE = (
    "None known is not none: keep plants away from children and animals that chew, and ask a poison"
    " centre or a vet."
)
EATING_NOTE = (
    "Eat only what you can name with certainty, grown without sprays and not bought from a florist,"
    " in small amounts at first; hay fever sufferers should take care."
)


def kind_card(kind: Kind, catalogue: Catalogue, units: System) -> list[Part]:
    """All that is known of a kind, by heading; the working column says where it comes from, the
    last part what those sources are."""
    from bedwright.light import EXPOSURES, LEAST_H

    form, like, sow, grow = kind.form, kind.liking, kind.sowing, kind.growth
    from_ = dict(kind.sources)

    def line(label: str, value: str, *columns: str) -> Line:
        joined = (from_[column] for column in columns if column in from_)
        return Line(label, value, ", ".join(dict.fromkeys(k for j in joined for k in j.split("+"))))

    def span(low: float, high: float) -> str:
        ends = say_length(low / 100, units), say_length(high / 100, units)
        return _span(*ends)

    warm = _span(*(say_temperature(c, units) for c in (sow.germ_min_c, sow.germ_max_c)))
    days = _span(f"{sow.germ_days_min:g}", f"{sow.germ_days_max:g}")
    weeks = _span(f"{sow.weeks_min:g}", f"{sow.weeks_max:g}")
    raised = f"; indoors {weeks} weeks before it goes out" if sow.method != "in_place" else ""
    ways = {
        "indoors": "indoors",
        "in_place": "where it is to flower",
        "both": "indoors or in place",
    }
    least = next(
        name for name, hours in zip(EXPOSURES, LEAST_H, strict=True) if hours <= like.sun_min_h
    )
    light = {"light": "on the surface, in light", "dark": "covered, in the dark",
             "either": "in light or dark"}  # fmt: skip
    flower = say_length(form.flower_cm / 100, units)
    field = "over a winter" if kind.needs_winter else "outdoors"
    harm = {"none_known": "none known", "mild": "mild", "toxic": "poisonous"}
    safe = kind.safety
    return [
        Part("Plant", (
            line("Botanical", f"{kind.botanical} ({kind.family})", "kinds.botanical"),
            line("Also called", "; ".join((*kind.other_names, *kind.synonyms)) or "-",
                 "kinds.other_names"),
            line("Lives as", f"{kind.life_form}, from {_places(kind.native)}", "kinds.life_form",
                 "kinds.native"),
            line("Class", f"{HARDINESS[kind.hardiness]}, outlives"
                 f" {say_temperature(kind.frost_c, units)}", "kinds.hardiness", "kinds.frost_c"),
            line("Height", span(form.height_min_cm, form.height_max_cm), "form.height_min_cm"),
            line("Spread", span(form.spread_min_cm, form.spread_max_cm), "form.spread_min_cm"),
            line("Apart", say_length(form.spacing_m, units), "form.spacing_cm"),
            line("Habit", f"{form.habit}, {form.flower_form} of {flower},"
                 f" {form.foliage_texture} {form.foliage_colour.replace('_', ' ')} leaves",
                 "form.habit", "form.flower_form"),
            line("Colours", ", ".join(c.name for c in kind.colours), "colours.name"),
        )),
        Part("Spot", (
            line("Sun", f"{_sun(kind)} a day ({least} at least)", "site.sun_min_h",
                 "site.sun_max_h"),
            line("Soil", f"{', '.join(like.soils)}; pH {like.ph_min:g} to {like.ph_max:g};"
                 f" {like.moisture}{'; poor soil will do' if like.poor_soil else ''}",
                 "site.soils", "site.ph_min", "site.moisture"),
            line("Heat", f"flags above {say_temperature(like.heat_max_c, units)}",
                 "site.heat_max_c"),
        )),
        Part("Raising", (
            line("Sow", f"{ways[sow.method]}{raised}", "sowing.method", "sowing.weeks_min"),
            line("How", f"{say_depth(sow.depth_mm / 1000, units) if sow.depth_mm else 'uncovered'},"
                 f" {light[sow.light]}, {warm}", "sowing.light", "sowing.germ_min_c"),
            line("Up in", f"{days} days, {sow.germination:.0%} of the seeds; "
                 f"{trim(sow.seeds_per_g)} to a gram", "sowing.germ_days_min", "sowing.germination",
                 "sowing.seeds_per_g"),
            line("Moving", "resents it" if sow.resents_moving else "bears it",
                 "sowing.resents_moving"),
            line("In flower", f"{grow.days_to_bloom:g} days from sowing {field}, for about"
                 f" {grow.bloom_weeks:g} weeks, until {_end(grow.bloom_end)}",
                 "growth.days_to_bloom", "growth.bloom_weeks"),
            line("Maintenance", _tending(kind), "growth.pinch", "growth.stake", "growth.deadhead"),
        )),
        Part("Uses and cautions", (
            line("Good for", ", ".join(kind.uses.uses), "uses.uses"),
            line("To be had", _TRADE[kind.uses.trade], "uses.trade"),
            line("Eating", _eating(kind), "uses.edible"),
            line("Poison", f"people {harm[safe.people]}, dogs {harm[safe.dogs]}, cats"
                 f" {harm[safe.cats]}; skin {safe.skin.replace('_', ' ')}", "safety.people",
                 "safety.dogs", "safety.cats"),
            line("Spreading", f"self-sows: {safe.self_sows}; listed as a weed in"
                 f" {', '.join(safe.weed_in) or 'no place on record'}; check your local list",
                 "safety.invasive"),
            *((Line("Mind", safe.note),) if safe.note else ()),
            Line("Children, pets", POISON_NOTE),
        )),
        _sources(kind, catalogue),
    ]  # fmt: skip


_TRADE = {
    "leading": "among the best-selling",
    "staple": "in every garden shop",
    "common": "in seed racks and nurseries",
    "specialist": "from specialist seed houses",
}


def _span(low: str, high: str) -> str:
    return low if low == high else f"{low} to {high}"


def _eating(kind: Kind) -> str:
    part = kind.uses.edible
    if part == "no":
        return "not for the table"
    note = f" ({kind.uses.edible_note})" if kind.uses.edible_note else ""
    return f"{part}{note}. {EATING_NOTE}"


def _sources(kind: Kind, catalogue: Catalogue) -> Part:
    single = {key for _, joined in kind.sources for key in joined.split("+")}
    keys = sorted(single, key=lambda key: (key in UNCITED, key))
    cited = {key: ", ".join(catalogue.bibliography[key][:3]) for key in keys if key not in UNCITED}
    return Part("Sources", tuple(Line(key, (cited | UNCITED)[key]) for key in keys))


def _places(native: tuple[str, ...]) -> str:
    return ", ".join(place.replace("_", " ").title() for place in native).replace(
        "Garden", "gardens"
    )


def _end(word: str) -> str:
    return {"frost": "frost", "heat": "heat stops it", "span": "it is spent"}[word]


def _tending(kind: Kind) -> str:
    grow = kind.growth
    parts = ["pinch" if grow.pinch else "", {"yes": "stake", "tall_only": "stake the tall",
             "no": ""}[grow.stake], {"yes": "deadhead", "helps": "deadheading helps",
             "no": ""}[grow.deadhead]]  # fmt: skip
    said = ", ".join(part for part in parts if part) or "none"
    return f"{said}; {grow.appetite} appetite, {grow.water} thirst"


def source_rows(catalogue: Catalogue) -> list[list[str]]:
    """Share of figures with a named source, from memory and estimated: all, those that drive dates,
    spacing and safety, then column by column."""
    rows = [("all figures", provenance(catalogue)),
            ("dates, spacing, safety", driving_shares(catalogue))]  # fmt: skip
    rows += sorted(column_shares(catalogue).items(), key=lambda row: -row[1]["sourced"])
    return [[name, *(f"{share:.0%}" for share in shares.values())] for name, shares in rows]
