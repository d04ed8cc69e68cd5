"""supplies.csv and plants.csv, for a spreadsheet."""

from __future__ import annotations

import csv
import io
import re

from bedwright.plan import Plan
from bedwright.report import pack_words, say


def supplies_csv(plan: Plan) -> str:
    """One row a line of the supply list; quantities in the unit named."""
    rows: list[list[object]] = [
        [
            "sort",
            "name",
            "quantity",
            "unit",
            "pack",
            "at_hand",
            "to_buy",
            "cost",
            "currency",
            "note",
        ]
    ]
    units = plan.brief.units
    for line in plan.supplies.lines:
        cost = "" if line.cost is None else f"{line.cost:.2f}"
        rows.append(
            [
                line.sort,
                say(line.thing, units),
                f"{line.quantity:.4g}",
                line.unit,
                pack_words(line),
                f"{line.from_hand:.4g}",
                f"{line.to_buy:.4g}",
                cost,
                plan.brief.currency,
                say(line.note, units),
            ]
        )
    return _text(rows)


def plants_csv(plan: Plan) -> str:
    """One row a plant: its number, letter, kind, place from the base line, and dates."""
    rows: list[list[object]] = [
        [
            "number",
            "letter",
            "drift",
            "kind",
            "botanical",
            "colour",
            "x_m",
            "y_m",
            "method",
            "sow",
            "out",
        ]
    ]
    number = 0
    for drift in plan.planting.drifts:
        item = plan.planting.items[drift.item]
        course = item.candidate.course
        sown, out = plan.days_of(item)
        for x, y in drift.places:
            number += 1
            rows.append(
                [
                    number,
                    item.letter,
                    drift.number,
                    item.candidate.kind.name,
                    item.candidate.kind.botanical,
                    item.candidate.colour.name,
                    f"{x:.3f}",
                    f"{y:.3f}",
                    course.method,
                    "" if course.method == "bought" else plan.season.day(sown).isoformat(),
                    plan.season.day(out).isoformat(),
                ]
            )
    return _text(rows)


FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""How a cell begins that a spreadsheet takes for a formula (OWASP, "CSV Injection"; the wide forms
are read as the narrow ones where Chinese or Japanese is typed)."""


def _text(rows: list[list[object]]) -> str:
    """Rows as a spreadsheet opens them: marked as UTF-8, lines ended as in RFC 4180, and no text
    taken for a formula."""
    out = io.StringIO()
    out.write("\ufeff")
    csv.writer(out, lineterminator="\r\n").writerows([_harmless(v) for v in row] for row in rows)
    return out.getvalue()


def _harmless(value: object) -> object:
    """A cell with an apostrophe before what would be a formula; numbers stay numbers."""
    if not isinstance(value, str) or not value.lstrip(" ").startswith(FORMULA_STARTS):
        return value
    return value if _is_number(value) else f"'{value}"


def _is_number(text: str) -> bool:
    return re.fullmatch(r"[+-]?\d+(\.\d+)?(e[+-]?\d+)?", text, re.ASCII) is not None
