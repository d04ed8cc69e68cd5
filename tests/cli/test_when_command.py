"""``bedwright when`` as its users run it."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

import bedwright
from bedwright.cli import app
from bedwright.inputs import gather_when
from conftest import CLEMSON, TODAY

runner = CliRunner()
AT = ("--at", "34.68,-82.84")


def run(*words: str) -> Result:
    return runner.invoke(app, ["when", *words])


def told(*words: str) -> str:
    """The output on one line."""
    result = run(*words)
    assert result.exit_code == 0, result.output
    return " ".join(result.stdout.split())


def record(*words: str) -> dict:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_the_answer_comes_first_then_the_odds_then_the_notes() -> None:
    output = told("tall_zinnia", "Edinburgh", "--sown", "04-15", "--year", "2027")
    parts = (
        "Tall zinnia in Edinburgh, United Kingdom sown indoors on 15 April 2027, set out on",
        "It usually flowers from about",
        "in eight seasons of ten.",
        "It usually goes on until about",
        "% of seasons; in the others",
        "Odds of being in flower, in the",
        "(1,000 likely seasons)",
        "█",
        "Notes",
        "Taken as raised indoors and set out on",
        "(--in-place)",
        "Risk of a frost that kills it from setting out",
        "Weather from monthly normals",
    )
    places = [output.index(part) for part in parts]
    assert places == sorted(places)
    assert "Rain" not in output


def test_bars_are_as_long_as_their_odds() -> None:
    result = run("pot_marigold", "Galway, Ireland", "--sown", "04-01", "--in-place")
    rows = re.findall(r"^ +\d+ \w{3} +(\d+)%  ?(█*)$", result.output, re.MULTILINE)
    assert len(rows) > 8
    for odds, bar in rows:
        assert abs(len(bar) - int(odds) / 4) < 1


def test_a_long_bloom_goes_by_fortnights() -> None:
    assert "in the fortnight from" in told("wax_begonia", "Singapore", "--sown", "01-05")
    assert "in the week from" in told("cornflower", "Edinburgh", "--sown", "04-01")


def test_json_alone_and_whole() -> None:
    words = ("larkspur", "Atlanta", "--sown", "10-01", "--in-place", "--year", "2027")
    found = record(*words)
    assert list(found) == [
        "kind", "name", "place", "sown", "set_out", "in_place", "first_flower", "last_flower",
        "share_of_seasons", "weekly", "notes",
    ]  # fmt: skip
    assert found["kind"] == "larkspur"
    assert found["place"] == "Atlanta, Georgia, United States"
    assert (found["sown"], found["set_out"], found["in_place"]) == ("2027-10-01", None, True)
    days = [date.fromisoformat(found["first_flower"][key]) for key in ("early", "median", "late")]
    assert days == sorted(days)
    assert days[0].year == 2028
    assert date.fromisoformat(found["last_flower"]) > days[1]
    assert 0.5 <= found["share_of_seasons"] <= 1
    assert len(found["weekly"]) == 52
    assert found["weekly"][0]["from"] == "2028-01-01"
    assert all(0 <= week["odds"] <= 1 for week in found["weekly"])
    assert any("poisonous if eaten" in note for note in found["notes"])
    assert all(note.endswith(".") and ".." not in note for note in found["notes"])
    assert run(*words, "--json").stdout.isascii()


def test_json_of_what_does_not_flower_has_no_days() -> None:
    words = ("tall_zinnia", "Edinburgh", "--sown", "10-15", "--in-place")
    found = record(*words)
    assert found["first_flower"] == {"early": None, "median": None, "late": None}
    assert found["last_flower"] is None
    assert found["share_of_seasons"] == 0
    output = told(*words)
    assert "It does not flower: its seed lies in cold ground too long and rots" in output
    assert "█" not in output


def test_what_seldom_flowers_says_when_it_does() -> None:
    words = ("tall_zinnia", "Edinburgh", "--sown", "03-15", "--set-out", "04-12")
    assert 0 < record(*words)["share_of_seasons"] < 0.5
    output = told(*words)
    assert re.search(r"It seldom flowers: in \d+% of seasons, then from about \d+ \w+ 20", output)
    assert "frost kills it before it flowers" in output
    assert re.search(r"Set out after \d+ (May|June), that risk is 10% or less", output)


def test_the_south() -> None:
    found = record("tall_zinnia", "-37.81,144.96", "--sown", "11-20", "--in-place", "--year",
                   "2027")  # fmt: skip
    assert found["sown"] == "2027-11-20"
    assert found["weekly"][0]["from"] == "2027-07-01"
    assert "2027-12-15" < found["first_flower"]["median"] < "2028-03-01"
    assert "at 37.81° S, 144.96° E" in told("tall_zinnia", "-37.81,144.96", "--sown", "11-20")


def test_autumn_in_the_north_flowers_the_year_after() -> None:
    output = told("larkspur", "Atlanta", "--sown", "10-01", "--year", "2027")
    assert "sown where it is to flower on 1 October 2027" in output
    assert "It does not flower in the growing year in which it is sown" in output
    assert "these are its flowers from 1 January 2028 on" in output
    assert "taken as sown where it is to flower" in output.lower()


def test_a_record_and_its_units() -> None:
    words = ("French marigold", str(CLEMSON), *AT, "--sown", "04-20", "--in-place")
    output = told(*words, "--units", "us", "--year", "2027")
    assert "(29 likely seasons)" in output
    assert "32 °F" in output
    assert "clemson.csv" in output
    assert "°C" in told(*words)
    higher = record("French marigold", "34.68,-82.84", "--sown", "04-20", "--altitude", "1500 m")
    lower = record("French marigold", "34.68,-82.84", "--sown", "04-20", "--altitude", "200 m")
    assert higher["first_flower"]["median"] > lower["first_flower"]["median"]


def test_the_next_such_day_is_meant_where_no_year_is_named() -> None:
    def sown(place: str, day: str, today: date) -> int:
        asked = gather_when("larkspur", place, day, today=today)
        return asked.answer().sown.year

    assert sown("Galway, Ireland", "04-01", date(2026, 11, 25)) == 2027
    assert sown("Galway, Ireland", "12-01", date(2026, 11, 25)) == 2026
    assert sown("Galway, Ireland", "11-25", date(2026, 11, 25)) == 2026
    assert sown("Christchurch, New Zealand", "04-01", date(2026, 11, 25)) == 2027
    assert sown("Christchurch, New Zealand", "12-01", date(2026, 11, 25)) == 2026


def test_own_kinds_are_asked_for_like_others(tmp_path: Path) -> None:
    own = tmp_path / "mine.toml"
    own.write_text('[kind.lime_zinnia]\nlike = "tall_zinnia"\nname = "lime zinnia"\n')
    words = ("Galway, Ireland", "--sown", "05-01")
    assert "Lime zinnia in Galway" in told("lime zinnia", *words, "--own", str(own))
    assert run("lime zinnia", *words).exit_code == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["zinia", "Galway", "--sown", "04-01"], "KIND: given 'zinia'"),
        (["impatien", "Galway", "--sown", "04-01"], "near it: impatiens"),
        (["zinnia", "Galway", "--sown", "04-01"], "near it: dwarf_zinnia"),
        (["", "Galway", "--sown", "04-01"], "KIND: given ''"),
        (["larkspur", "Gallway", "--sown", "04-01"], "perhaps Galway, Ireland"),
        (["larkspur", "95,0", "--sown", "04-01"], "a number from -66 to 72"),
        (["larkspur", "-40,-120", "--sown", "04-01"], "no land"),
        (["larkspur", "Galway", "--sown", "13-40"], "--sown: given '13-40' accepted: a day as"),
        (["larkspur", "Galway", "--sown", "2027-04-01"], "--sown: given '2027-04-01'"),
        (["larkspur", "Galway", "--sown", "april"], "such as '04-20' for 20 April"),
        (["larkspur", "Galway", "--sown", "04-01", "--set-out", "x"], "--set-out: given 'x'"),
        (
            ["larkspur", "Galway", "--sown", "04-01", "--set-out", "05-01", "--in-place"],
            "--set-out: given '05-01', with --in-place accepted: one of the two",
        ),
        (
            ["larkspur", "Galway", "--sown", "04-15", "--set-out", "03-01"],
            "--set-out: given '03-01', sown on 04-15 accepted: a day after 04-15",
        ),
        (["larkspur", "Galway", "--sown", "09-15", "--set-out", "09-15"], "a day after 09-15"),
        (["larkspur", "Galway", "--sown", "04-01", "--altitude", "tall"], "place.altitude"),
        (["larkspur", str(CLEMSON), "--sown", "04-01"], "where the record was kept"),
        (["larkspur", "Galway", "--at", "Cork", "--sown", "04-01"], "--at: given 'Cork'"),
        (["larkspur", str(CLEMSON), *AT, "--record-unit", "C", "--sown", "04-01"],
         "cannot be °C"),
        (["larkspur", "Galway", "--sown", "04-01", "--own", "nowhere.toml"], "nowhere.toml"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("more", [[], ["--json"]])
def test_mistakes_name_the_field_and_what_is_accepted(
    words: list[str], said: str, more: list[str]
) -> None:
    result = run(*words, *more)
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())
    assert result.stdout == ""


def test_all_mistakes_come_at_once() -> None:
    result = run("zinia", "Edinbrugh", "--sown", "13-40", "--set-out", "05-32", "--in-place")
    assert "5 faults" in result.stderr
    for field in ("KIND", "--sown", "--set-out", "--in-place", "place.town"):
        assert field in result.stderr


def test_a_missing_record_is_told(tmp_path: Path) -> None:
    result = run("larkspur", str(tmp_path / "none.csv"), *AT, "--sown", "04-01")
    assert result.exit_code == 1
    assert "No such file" in result.stderr


def test_what_is_typed_cannot_steer_the_terminal() -> None:
    result = run("\x1b[31mzinnia", "Gal\x9bway", "--sown", "\x1b]0;x")
    assert result.exit_code == 2
    assert not {c for c in result.output if c in "\x1b\x9b\x07"}
    assert r"\x1b[31mzinnia" in result.output


def test_python_gives_what_the_command_does() -> None:
    answer = bedwright.when(
        "tall_zinnia", "Edinburgh", "04-15", set_out="06-01", year=2027, today=TODAY
    )
    found = record(
        "tall_zinnia", "Edinburgh", "--sown", "04-15", "--set-out", "06-01", "--year", "2027"
    )
    assert isinstance(answer, bedwright.When)
    assert answer.first_flower.median.isoformat() == found["first_flower"]["median"]
    assert answer.last_flower.isoformat() == found["last_flower"]
    assert answer.share_of_seasons == pytest.approx(found["share_of_seasons"], abs=5e-4)
    with pytest.raises(bedwright.BriefError, match="--sown"):
        bedwright.when("tall_zinnia", "Edinburgh", "soon", today=TODAY)


def test_another_sample_is_other_seasons() -> None:
    words = ("tall_zinnia", "Edinburgh", "--sown", "05-01", "--year", "2027")
    first, again, other = (
        record(*words), record(*words), record(*words, "--sample", "7")
    )  # fmt: skip
    assert first == again
    assert first["weekly"] != other["weekly"]
