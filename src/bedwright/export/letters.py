"""Letters that the sheets cannot print, said before anyone wonders at the boxes."""

from __future__ import annotations

from bedwright.brief import Brief
from bedwright.catalogue import Kind
from bedwright.export.press import boxed
from bedwright.plan import Plan


def letters_note(brief: Brief, place: str, kinds: tuple[Kind, ...] = ()) -> str:
    """Which letters print as boxes, and where they stand; nothing where all can be printed."""
    named = [
        *(thing.name for thing in brief.surroundings),
        *(plant.name for plant in brief.existing),
        *(materials.name for materials in brief.materials),
        *(f"{kind.name}{''.join(form.name for form in kind.colours)}" for kind in kinds),
    ]
    texts = {
        "title": brief.title,
        "place": place,
        "currency": brief.currency,
        "names": "".join(named),
    }
    found = {where: boxed(text) for where, text in texts.items()}
    said = "; ".join(f"of the {where} {' '.join(some)}" for where, some in found.items() if some)
    if not said:
        return ""
    return (
        "the typefaces of the sheets lack some letters, which print as boxes in the PDF and PNG:"
        f" {said}"
    )


def plan_letters(plan: Plan) -> str:
    """The note of a whole plan."""
    kinds = {i.candidate.kind.key: i.candidate.kind for i in plan.planting.items}
    return letters_note(plan.brief, plan.season.site.label, tuple(kinds.values()))


def note_of(words: str) -> tuple[str, ...]:
    """A note, or none."""
    return (words,) if words else ()
