"""``bedwright note`` and ``journal``, and what keeps them."""

from __future__ import annotations

import json
import tomllib
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from bedwright.cli import app
from bedwright.store import Beds, bed_at, entries_of, grow, history_of
from pictures import photograph

BRIEF = """
units = "metric"
[place]
town = "Galway, Ireland"
[bed]
shape = "circle"
diameter = "2 m"
"""


@pytest.fixture
def bed(tmp_path: Path) -> Path:
    path = tmp_path / "oval.toml"
    path.write_text(BRIEF, encoding="utf-8")
    items = [{"kind": kind, "method": "indoors", "bloom_odds_by_week": []}
             for kind in ("tall_zinnia", "garden_cosmos")]  # fmt: skip
    grow(bed_at(path), 2027, 1, json.dumps({"season": {"start": "2027-01-01"}, "items": items}))
    return path


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def test_a_line_is_written_and_read_back(bed: Path) -> None:
    done = run("note", bed, "sowed 24 zinnias on 12 April")
    assert done.exit_code == 0, done.output
    assert "1  Sown: 24 tall zinnia, on 12 April" in done.output
    (one,) = entries_of(bed_at(bed).store, "oval")
    assert (one.entry.what, one.entry.kind, one.entry.count) == ("sown", "tall_zinnia", 24)
    assert one.entry.text == "sowed 24 zinnias on 12 April"
    assert "Sown: 24 tall zinnia" in run("journal", bed).output


def test_an_entry_is_corrected_and_taken_back_and_nothing_is_lost(bed: Path) -> None:
    run("note", bed, "frost last night -2")
    assert "−3 °C" in run("note", bed, "frost last night -3", "--correct", 1).output
    listed = run("journal", bed).output
    assert "−3 °C" in listed
    assert "−2 °C" not in listed
    again = run("note", bed, "frost last night -4", "--correct", 1)
    assert (again.exit_code, "Entry 2 stands in its place" in again.output) == (2, True)
    assert run("note", bed, "--take-back", 2).exit_code == 0
    assert "Nothing is written yet" in run("journal", bed).output
    whole = run("journal", bed, "--all").output
    assert "corrected" in whole
    assert "taken back" in whole
    assert len(history_of(bed_at(bed).store, "oval")) == 3


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["sowed 24 zinias"], "zinias"),
        (["18 of 12 zinnias came up"], "12"),
        ([], "Say what happened"),
        (["frost", "--take-back", "1"], "Say what happened"),
        (["frost", "--correct", "9"], "There is no entry 9"),
    ],
)
def test_what_cannot_be_written_is_said_and_nothing_is(
    bed: Path, words: list[str], said: str
) -> None:
    done = run("note", bed, *words)
    assert done.exit_code == 2
    assert said in done.output
    assert history_of(bed_at(bed).store, "oval") == []


def test_a_photograph_is_kept_with_a_line_or_alone(bed: Path, tmp_path: Path) -> None:
    path = tmp_path / "cosmos.jpg"
    path.write_bytes(photograph(date(2026, 5, 20)))
    done = run("note", bed, "first flower cosmos", "--photo", path)
    assert done.exit_code == 0, done.output
    assert "on 20 May 2026, with a photograph" in done.output
    assert "The day is the photograph's own date, 20 May 2026." in done.output
    assert "Photograph, on 20 May 2026" in run("note", bed, "--photo", path).output
    assert "with a photograph" in run("note", bed, "over cosmos", "--correct", 1).output
    assert len(list(tmp_path.glob("photos/*/*.jpg"))) == 1
    for wrong, code, said in ((bed, 2, "accepted: a JPEG, PNG, WebP or HEIC photograph"),
                              (tmp_path, 2, "a folder, a device or a pipe"),
                              (tmp_path / "none.jpg", 1, "No such file")):  # fmt: skip
        done = run("note", bed, "first flower cosmos", "--photo", wrong)
        assert (done.exit_code, said in done.output) == (code, True), done.output
    done = run("note", bed, "--take-back", 2, "--photo", path)
    assert (done.exit_code, "Say what happened" in done.output) == (2, True)


def test_photographs_go_with_a_backup_and_a_lost_one_is_told(bed: Path, tmp_path: Path) -> None:
    (tmp_path / "one.jpg").write_bytes(photograph())
    run("note", bed, "--photo", tmp_path / "one.jpg")
    run("backup", tmp_path, tmp_path / "b.zip")
    (kept,) = tmp_path.glob("photos/*/*.jpg")
    kept.unlink()
    told = f"The photograph {kept.stem} is missing, or not what it was"
    assert told in run("backup", tmp_path, tmp_path / "c.zip").output
    assert told in run("export", tmp_path, tmp_path / "out").output
    done = run("take-in", tmp_path / "out/garden.json", tmp_path / "other")
    assert told in done.output
    assert "1 photographs" in done.output
    assert told not in run("restore", tmp_path / "b.zip", tmp_path).output
    assert kept.is_file()
    assert told in run("restore", tmp_path / "c.zip", tmp_path / "third").output


def test_a_weather_record_is_added_and_what_differs_is_told(bed: Path, tmp_path: Path) -> None:
    path = tmp_path / "station.csv"
    path.write_text("date,tmin,tmax\n2026-05-01,4,12\n2026-05-02,5,13\n2026-05-03,6,14\n")
    done = run("note", bed, "--record", path, "--since", "2026-05-02")
    assert (done.exit_code, "2 days added, from 2 May 2026 to 3 May 2026." in done.output) == (
        0,
        True,
    )
    path.write_text("date,tmin,tmax\n2026-05-02,5,13\n2026-05-03,-2,14\n")
    done = run("note", bed, "--record", path)
    assert "No day was added; 1 day was there already; 1 day was there with other" in done.output
    assert "3 May 2026: minimum −2 °C in the record, 6 °C in the journal" in done.output
    assert "--replace takes the record's readings" in done.output
    assert "1 day was corrected" in run("note", bed, "--record", path, "--replace").output
    listed = run("journal", bed).output
    assert listed.startswith("Weather of 2 days from records, 2 May 2026 to 3 May 2026; --all")
    assert run("journal", bed, "--all").output.count("Weather: minimum") == 3


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--record", "none.csv"], 1, "none.csv: No such file"),
        (["--record", "oval.toml"], 2, "needed: date, tmin, tmax"),
        (["frost", "--record", "oval.toml"], 2, "A record is added by itself"),
        (["--record", "oval.toml", "--since", "May"], 2, "'May' does not match"),
        (["frost", "--replace"], 2, "--since and --replace are of a weather record"),
        (["frost", "--since", "2026-05-01"], 2, "--since and --replace are of a weather record"),
    ],
)
def test_a_record_at_fault_is_told(
    bed: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], code: int, said: str
) -> None:
    monkeypatch.chdir(bed.parent)
    done = run("note", bed, *words)
    assert (done.exit_code, said in done.output) == (code, True), done.output
    assert history_of(bed_at(bed).store, "oval") == []


def test_a_bed_that_is_none_is_said_so(tmp_path: Path) -> None:
    for words in (["note", tmp_path / "none", "frost"], ["journal", tmp_path / "none"]):
        done = run(*words)
        assert (done.exit_code, "neither a brief's file nor" in done.output) == (2, True)
    assert run("note", tmp_path / "none.toml", "frost").exit_code == 1


def test_a_garden_is_kept_and_brought_back(bed: Path, tmp_path: Path) -> None:
    run("note", bed, "frost last night -2")
    assert run("backup", tmp_path, tmp_path / "b.zip").exit_code == 0
    run("note", bed, "frost last night -3")
    done = run("restore", tmp_path / "b.zip", tmp_path)
    assert (done.exit_code, "What was there before is" in done.output) == (0, True)
    assert len(history_of(bed_at(bed).store, "oval")) == 1
    assert run("export", tmp_path, tmp_path / "out").exit_code == 0
    done = run("take-in", tmp_path / "out/garden.json", tmp_path / "other")
    assert "New: 1 beds, 1 revisions, 1 entries" in done.output
    assert len(Beds(tmp_path / "other").all()) == 1
    again = run("export", tmp_path, tmp_path / "out")
    assert (again.exit_code, "is not empty" in again.output) == (1, True)
    for words in (["backup", tmp_path / "none", tmp_path / "c.zip"],
                  ["export", tmp_path / "none", tmp_path / "d"]):  # fmt: skip
        assert run(*words).exit_code == 2
    assert run("restore", tmp_path / "none.zip", tmp_path).exit_code == 1


def test_next_year_s_brief_is_written_once(bed: Path, tmp_path: Path) -> None:
    run("note", bed, "sowed 40 zinnias on 1 April 2026")
    run("note", bed, "2 of 40 zinnias came up on 20 May 2026")
    run("note", bed, "sowed 40 zinnias on 1 June 2026")
    run("note", bed, "0 of 40 zinnias came up on 20 July 2026")
    out = tmp_path / "next.toml"
    done = run("next-year", bed, "--out", out, "--keep", "triffid", "--keep", "viola")
    assert done.exit_code == 2
    assert "triffid" in done.output
    done = run("next-year", bed, "--out", out, "--keep", "viola")
    assert done.exit_code == 0, done.output
    assert "so few seeds of tall zinnia came up" in done.output.replace("\n", " ")
    made = tomllib.loads(out.read_text(encoding="utf-8"))
    assert made["season"]["year"] == 2028
    assert made["wishes"]["leave_out"] == ["tall_zinnia"]
    assert made["wishes"]["last_year"] == ["tall_zinnia", "garden_cosmos"]
    assert made["wishes"]["grow"] == ["viola"]
    assert run("check", out).exit_code == 0
    before = out.read_bytes()
    assert run("next-year", bed, "--out", out).exit_code == 1
    assert out.read_bytes() == before


def test_the_plan_a_bed_is_grown_by_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "small.toml"
    path.write_text(BRIEF.replace("2 m", "1.2 m") + f"[season]\nyear = {date.today().year + 1}\n")
    done = run("plan", path, "--out", tmp_path / "out", "--grow")
    assert done.exit_code == 0, done.output
    assert "by this plan in" in done.output
    kinds = json.loads((tmp_path / "out/plan.json").read_text())["items"]
    name = kinds[0]["name"]
    assert f"Sown: 12 {name}" in run("note", path, f"sowed 12 {name}").output
