"""The tables, as a spreadsheet opens them: RFC 4180, and OWASP on cells taken for formulas."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from bedwright.export.tables import plants_csv, supplies_csv
from bedwright.plan import Plan
from bedwright.work.things import Product

TABLES = (supplies_csv, plants_csv)


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.encode().decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize("table", TABLES)
def test_tables_are_marked_as_utf_8_and_their_lines_end_as_the_standard_says(
    table: Callable[[Plan], str], oval: Plan
) -> None:
    raw = table(oval).encode()
    assert raw.startswith(b"\xef\xbb\xbf")
    assert raw.endswith(b"\r\n")
    assert raw.count(b"\n") == raw.count(b"\r\n") == len(rows_of(table(oval))) + 1


@pytest.mark.parametrize(
    "start", ["=1+1", "+1 of these", "-2-3", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "＝1"]
)
def test_text_is_never_taken_for_a_formula(start: str, oval: Plan) -> None:
    first, *others = oval.supplies.lines
    line = replace(first, thing=Product(start), pack=start)
    currency = oval.brief.model_copy(update={"currency": start})
    plan = replace(oval, brief=currency, supplies=replace(oval.supplies, lines=(line, *others)))
    row = rows_of(supplies_csv(plan))[0]
    assert row["name"] == row["pack"] == row["currency"] == f"'{start}"
    items = list(oval.planting.items)
    kind = replace(items[0].candidate.kind, name=start)
    items[0] = replace(items[0], candidate=replace(items[0].candidate, kind=kind))
    renamed = replace(oval, planting=replace(oval.planting, items=tuple(items)))
    assert f"'{start}" in {row["kind"] for row in rows_of(plants_csv(renamed))}


def test_numbers_stay_numbers(oval: Plan) -> None:
    drifts = [replace(d, places=np.asarray(d.places) - 50.0) for d in oval.planting.drifts]
    moved = replace(oval, planting=replace(oval.planting, drifts=tuple(drifts)))
    for row in rows_of(plants_csv(moved)):
        assert float(row["x_m"]) < 0
        assert float(row["y_m"]) < 0
    first = replace(oval.supplies.lines[0], quantity=-2.5, from_hand=1e-7, to_buy=-math.pi)
    supplies = replace(oval.supplies, lines=(first, *oval.supplies.lines[1:]))
    row = rows_of(supplies_csv(replace(oval, supplies=supplies)))[0]
    assert [float(row[n]) for n in ("quantity", "at_hand", "to_buy")] == [-2.5, 1e-7, -3.142]
