"""``bedwright season`` as its users run it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner, Result

from bedwright.brief import BriefError
from bedwright.cli import app
from bedwright.export import MANIFEST, SEASON_FILES
from bedwright.inputs.gather import gather_season
from conftest import CLEMSON, TODAY

runner = CliRunner()


def run(tmp_path: Path, *arguments: str) -> Result:
    return runner.invoke(app, ["season", *arguments, "--out", str(tmp_path / "season")])


def test_a_town(tmp_path: Path) -> None:
    result = run(tmp_path, "Galway, Ireland", "--year", "2027")
    assert result.exit_code == 0, result.output
    for words in (
        "Galway, Ireland",
        "growing year 2027",
        "uncertain by about",
        "Tender plants go out from",
        "Surer: the local extension office's dates",
        "Ask the local weather service, extension office",
        "0 °C freeze",
        "half-hardy",
        "Free of freezes for",
        "Ground can be worked from about",
    ):
        assert words in result.output
    # No line of a table is cut short.
    assert "…" not in result.output
    assert sorted(p.name for p in (tmp_path / "season").iterdir()) == sorted(
        [*SEASON_FILES, MANIFEST]
    )


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_sheet_is_one_page_and_the_drawing_sound(tmp_path: Path, units: str) -> None:
    place = ("--at", "34.68,-82.84", "--altitude", "220 m", "--units", units)
    result = run(tmp_path, str(CLEMSON), *place)
    assert result.exit_code == 0, result.output
    assert "From 30 springs on record" in result.output
    assert "only the last 30 years are used" in result.output
    pages = PdfReader(BytesIO((tmp_path / "season/season.pdf").read_bytes())).pages
    assert len(pages) == 1
    text = pages[0].extract_text()
    assert "How sure?" in text
    assert "Contains modified Copernicus" in text
    root = ElementTree.parse(tmp_path / "season/season.svg").getroot()
    assert root.tag.endswith("svg")
    assert "nan" not in (tmp_path / "season/season.svg").read_text()


def test_the_same_numbers_in_json(tmp_path: Path) -> None:
    run(tmp_path, str(CLEMSON), "--at", "34.68,-82.84", "--year", "2027")
    body = json.loads((tmp_path / "season/season.json").read_text())
    freeze = next(row for row in body["freezes"] if row["threshold_c"] == 0.0)
    assert freeze["last_spring"] == ["2027-03-29", "2027-04-11", "2027-04-17", "2027-04-18"]
    assert freeze["last_spring_fitted"][0] == "2027-03-29"
    assert body["risks"] == [0.5, 0.2, 0.1, 0.05]
    assert [row["class"] for row in body["safe"]] == ["hardy", "half_hardy", "tender"]
    assert len(body["months"]) == 12


def test_stated_dates(tmp_path: Path) -> None:
    result = run(
        tmp_path, "Galway, Ireland", "--year", "2027",
        "--last-spring", "50%=04-21", "--last-spring", "10%=05-14",
        "--first-autumn", "10%=10-12", "--first-autumn", "50%=11-04",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    assert "As sure as the stated dates." in result.output
    body = json.loads((tmp_path / "season/season.json").read_text())
    freeze = next(row for row in body["freezes"] if row["threshold_c"] == 0.0)
    assert freeze["last_spring"][0] == "2027-04-21"
    assert freeze["last_spring"][2] == "2027-05-14"


def test_the_south(tmp_path: Path) -> None:
    result = run(tmp_path, "Christchurch, New Zealand", "--year", "2027")
    assert "growing year 2027-2028" in result.output
    assert result.output.index("  Jul") < result.output.index("  Jan")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["Nowhereton"], "'Nowhereton'"),
        (["95,0"], "a number from -66 to 72"),
        (["-40,-120"], "no land"),
        ([str(CLEMSON)], "where the record was kept"),
        (["Galway, Ireland", "--altitude", "tall"], "place.altitude"),
        (["Galway, Ireland", "--frost", "maybe"], "'light frost in June and July'"),
        (["Galway, Ireland", "--frost", "none", "--last-spring", "May"], "not both"),
        (["Galway, Ireland", "--frost", "frost in July"], "midsummer at this latitude"),
        (["Galway, Ireland", "--last-spring", "October"], "a day of spring at this latitude"),
        (["Galway, Ireland", "--situation", "roof"], "'hollow', 'slope', 'town'"),
        (["Galway, Ireland", "--nights", "cold"], "'2 °C colder'"),
        ([str(CLEMSON), "--at", "34.68,-82.84", "--record-altitude", "250 m"], "place.altitude"),
        (["Galway, Ireland", "--last-spring", "soon", "--first-autumn", "10%=10-12"], "'soon'"),
        (["Galway", "--last-spring", "10%=05-14", "--last-spring", "10%=05-20"], "once more"),
        (["Gallway"], "perhaps Galway, Ireland"),
        (["53.27N 9.05W"], "53.27,-9.05 on the command line"),
        ([str(CLEMSON), "--at", "Christchurch, New Zealand"], "warm months are the cold ones"),
        ([str(CLEMSON), "--at", "34.68,-82.84", "--record-unit", "C"], "cannot be °C"),
        (["Galway, Ireland", "--at", "Cork, Ireland"], "--at: given 'Cork, Ireland'"),
    ],
)
def test_mistakes_name_the_field_and_what_is_accepted(
    tmp_path: Path, arguments: list[str], words: str
) -> None:
    result = run(tmp_path, *arguments)
    assert result.exit_code == 2, result.output
    assert words in " ".join(result.output.split())
    assert "Traceback" not in result.output
    assert not (tmp_path / "season").exists()


def test_a_missing_record_is_told(tmp_path: Path) -> None:
    result = run(tmp_path, str(tmp_path / "none.csv"), "--at", "Galway, Ireland")
    assert result.exit_code == 1
    assert "No such file" in result.output


def test_a_short_record_gives_way_and_this_years_days_are_held(tmp_path: Path) -> None:
    days = [f"2027-{m:02d}-{d:02d},-3.5,6.0" for m in (1, 2, 3) for d in range(1, 29)]
    (tmp_path / "mine.csv").write_text("date,tmin_c,tmax_c\n" + "\n".join(days))
    result = run(tmp_path, str(tmp_path / "mine.csv"), "--at", "Galway, Ireland", "--year", "2027")
    assert result.exit_code == 0, result.output
    assert "the odds come from world normals instead" in result.output
    assert "the weather up to 28 March 2027 is as it was seen" in result.output


def test_a_name_that_fits_many_towns_says_which_is_taken(tmp_path: Path) -> None:
    result = run(tmp_path, "Springfield")
    assert "Springfield, Missouri, United States is taken; others of that name:" in result.output
    assert "Springfield, Massachusetts" in run(tmp_path, "Springfield, MA").output
    assert "Portland, Maine" in run(tmp_path, "Portland Maine").output


def test_a_record_of_another_climate_is_doubted(tmp_path: Path) -> None:
    result = run(tmp_path, str(CLEMSON), "--at", "Winnipeg, Canada")
    assert result.exit_code == 0
    assert "check that the place is right" in " ".join(result.output.split())


def test_the_tropics_and_the_hills_are_told_apart(tmp_path: Path) -> None:
    assert "no station in the tropics" in run(tmp_path, "Bogotá, Colombia").output
    assert "hollows and on valley floors" in run(tmp_path, "39.33,-120.18").output
    assert "hollows" not in run(tmp_path, "Winnipeg, Canada").output


EACH = """
import json, sys
from typer.testing import CliRunner
from bedwright.cli import app
runs = [CliRunner().invoke(app, ["season", path, "--at", "Galway"]) for path in sys.argv[1:]]
print(json.dumps([(run.exit_code, run.stderr) for run in runs]))
"""


def test_what_is_no_file_ends_at_once_with_words(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    os.mkfifo(tmp_path / "pipe.csv")
    expected = {
        "/dev/zero": "a device or a pipe",
        str(tmp_path / "pipe"): "a device or a pipe",
        str(tmp_path / "pipe.csv"): "a device or a pipe",
        str(tmp_path): "a folder",
    }
    # A process of its own, which can be ended if one of them is read all the same.
    command = [sys.executable, "-c", EACH, *expected]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300)
    answers = json.loads(done.stdout)
    for (code, answer), words in zip(answers, expected.values(), strict=True):
        assert code == 2, answer
        assert words in " ".join(answer.split())
        assert "a daily record of up to 40 MB" in " ".join(answer.split())


def test_a_records_name_is_shown_without_control_characters(tmp_path: Path) -> None:
    path = tmp_path / "bad\x1b[2J.csv"
    path.write_text("date,tmin,tmax\n")
    with pytest.raises(BriefError) as caught:
        gather_season(str(path), "Galway, Ireland", {}, TODAY)
    assert str(caught.value).isprintable()
    (fault,) = caught.value.faults
    assert fault.field == "place.record.file"
    assert "control characters" in fault.accepted
