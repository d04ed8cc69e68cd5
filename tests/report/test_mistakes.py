"""Mistakes in words, in the units of the brief."""

from __future__ import annotations

from pathlib import Path

import pytest
import typer

from bedwright.cli.console import faults
from bedwright.climate import MonthsUnlike, SeasonError
from bedwright.geometry import AreaOutOfBounds, GeometryError
from bedwright.report import words_of_mistake

SMALL = GeometryError(AreaOutOfBounds("length", 0.01, 0.05, 2500.0))


def test_an_outline_at_fault_is_told_in_the_briefs_units() -> None:
    assert "given an area of 0.01 m²" in words_of_mistake(SMALL)
    assert "0.05 to 2500 m²" in words_of_mistake(SMALL)
    us = words_of_mistake(SMALL, "us")
    assert "given an area of 0.108 sq ft" in us
    assert "0.538 to 26900 sq ft" in us


@pytest.mark.parametrize(
    ("error", "words"),
    [(SMALL, "0.108 sq ft"), (SeasonError(MonthsUnlike("a.csv", "Winnipeg", 10.0)), "18 °F")],
)
def test_the_terminal_tells_mistakes_in_the_briefs_units(
    error: ValueError, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    def command() -> None:
        with faults(Path("bed.toml")) as told:
            told.units = "us"
            raise error

    with pytest.raises(typer.Exit):
        command()
    assert words in " ".join(capsys.readouterr().err.split())
