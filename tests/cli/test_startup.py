"""Commands load what they need, and no more: what is large to import is not there afterwards."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"

PLANNING = {
    "bedwright.draw", "bedwright.export", "bedwright.plan", "coloraide", "contourpy", "icalendar",
    "numba", "pint", "scipy.ndimage", "scipy.optimize", "scipy.sparse", "scipy.spatial",
    "scipy.stats", "typst",
}  # fmt: skip
"""What only a plan or a drawing needs."""

FLOWERING = {*PLANNING, "bedwright.ground", "bedwright.inputs.checks", "shapely"} - {"numba"}
"""What is not needed to work out when one kind flowers."""

SEASONAL = {
    *PLANNING, "bedwright.catalogue.load", "bedwright.export.plan_models",
    "bedwright.export.sheets", "bedwright.geometry", "bedwright.ground", "bedwright.growth.course",
    "bedwright.inputs.records", "bedwright.light", "bedwright.planting", "bedwright.work",
    "rich.progress", "scipy", "shapely",
} - {"bedwright.draw", "bedwright.export", "typst"}  # fmt: skip
"""What a place's season is worked out, drawn and printed without."""

NUMBERS = {"numpy", "scipy", "shapely"}

START = """
import sys
sys.argv = ["bedwright", *sys.argv[1:]]
from bedwright.cli import main
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
print("loaded:", *sys.modules)
"""


def loaded_by(*arguments: str) -> set[str]:
    """Modules that a command has loaded by its end."""
    run = subprocess.run(
        [sys.executable, "-c", START, *arguments],
        capture_output=True, text=True, check=True, timeout=300,
    )  # fmt: skip
    return set(run.stdout.rsplit("loaded:", 1)[1].split())


@pytest.mark.parametrize(
    ("arguments", "large"),
    [
        (["--version"], {*PLANNING, *NUMBERS, "bedwright.brief", "pydantic"}),
        (["kinds"], {*PLANNING, *NUMBERS, "bedwright.brief"}),
        (["kinds", "--tender", "--height", "2 ft"], {*PLANNING, *NUMBERS, "bedwright.brief"}),
        (["check", str(EXAMPLES / "front-walk-oval.toml")], PLANNING),
        (["check", str(EXAMPLES / "under-the-maple.toml")], PLANNING),
        (["when", "larkspur", "Galway, Ireland", "--sown", "04-01"], FLOWERING),
        (["when", "tall_zinnia", "Galway, Ireland", "--sown", "04-01"], FLOWERING),
    ],
    ids=lambda value: " ".join(value[:1]) if isinstance(value, list) else "",
)
def test_a_light_command_loads_nothing_large(arguments: list[str], large: set[str]) -> None:
    loaded = loaded_by(*arguments)
    assert "bedwright.cli.commands" in loaded
    assert loaded & large == set()


@pytest.mark.parametrize("stated", [False, True], ids=["normals", "dates"])
def test_a_season_loads_nothing_of_a_plan(tmp_path: Path, stated: bool) -> None:
    dates = ["--last-spring", "10%=05-14", "--first-autumn", "10%=10-12"] if stated else []
    loaded = loaded_by("season", "Galway, Ireland", "--out", str(tmp_path / "out"), *dates)
    assert {"bedwright.export.season_pdf", "typst"} <= loaded
    assert loaded & SEASONAL == set()


def test_the_names_of_what_is_large_are_right(tmp_path: Path) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text(
        '[place]\nlatitude = 53.27\nlongitude = -9.05\n[bed]\nshape = "circle"\ndiameter = "1 m"\n'
        '[[materials]]\nmaterial = "compost"\npack = "5 gal"\n'
    )
    loaded = loaded_by("plan", str(brief), "--out", str(tmp_path / "out"))
    assert PLANNING - loaded <= {"contourpy", "scipy.ndimage", "scipy.stats"}
    assert SEASONAL - PLANNING - loaded <= {"bedwright.inputs.records", "rich.progress"}
    assert loaded >= NUMBERS
