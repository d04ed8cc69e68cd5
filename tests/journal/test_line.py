"""Lines as gardeners type them: what each is read as, what cannot be read, and reading back."""

from __future__ import annotations

import re
from datetime import date, timedelta
from functools import cache
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import bedwright.journal as journal
from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.facts import Fact
from bedwright.journal import (
    MOST_TEXT,
    OF,
    CannotBe,
    Cause,
    CauseTaken,
    DayOrShare,
    DayTaken,
    Entry,
    KeptAsNote,
    KindMissing,
    Kinds,
    KindTaken,
    LineError,
    NightTaken,
    NoKindOfThatName,
    NoSuchDay,
    NothingTyped,
    NotOfThatColour,
    OnlyKindTaken,
    OtherKindMissing,
    SeveralColours,
    SeveralCounts,
    SeveralDays,
    SeveralKinds,
    SeveralOfThatName,
    SeveralVerbs,
    ShareTaken,
    UnitTaken,
    VerbOfSeveral,
    VerbTaken,
    What,
    entry_faults,
    kinds_of,
    read_line,
)
from bedwright.report import entry_words, say
from bedwright.units import System
from conftest import examples

TODAY = date(2027, 6, 1)  # a Tuesday
YESTERDAY = TODAY - timedelta(days=1)
COSMOS, ZINNIA, SAGE = "garden_cosmos", "tall_zinnia", "mealycup_sage"
BED = (COSMOS, "larkspur", ZINNIA, "petunia", "french_marigold", SAGE, "coleus", "tall_snapdragon")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


@pytest.fixture(scope="module")
def bed(catalogue: Catalogue) -> Kinds:
    return kinds_of(catalogue, BED)


LINES: list[tuple[str, date, What, dict[str, Any]]] = [
    # sown
    ("sowed cosmos 24, 12 April", date(2027, 4, 12), "sown", {"kind": COSMOS, "count": 24}),
    ("sowed 24 cosmos yesterday", YESTERDAY, "sown", {"kind": COSMOS, "count": 24}),
    ("24 larkspur sown 2027-03-12", date(2027, 3, 12), "sown", {"kind": "larkspur", "count": 24}),
    ("SOWED 24 COSMOS!!!", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    ("sow cosmos 24", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    ("Sown: cosmos × 24", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    ("24x cosmos sown on the 3rd of May", date(2027, 5, 3), "sown", {"kind": COSMOS, "count": 24}),
    ("Sowed  about 24 seeds of the  cosmos.", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    ("April 12: sowed 24 cosmos", date(2027, 4, 12), "sown", {"kind": COSMOS, "count": 24}),
    ("sowed 24 cosmos 12 Apr 2026", date(2026, 4, 12), "sown", {"kind": COSMOS, "count": 24}),
    ("12/4 sowed 24 cosmos", date(2027, 4, 12), "sown", {"kind": COSMOS, "count": 24}),
    ("sowed 24 cosmos 12/4/27", date(2027, 4, 12), "sown", {"kind": COSMOS, "count": 24}),
    ("sowed 24 cosmos 12.4.2027", date(2027, 4, 12), "sown", {"kind": COSMOS, "count": 24}),
    ("sowed 24 cosmos on 5 December", date(2026, 12, 5), "sown", {"kind": COSMOS, "count": 24}),
    ("sowed larkspur 29 Feb", date(2024, 2, 29), "sown", {"kind": "larkspur"}),
    ("sowed 1,500 larkspur", TODAY, "sown", {"kind": "larkspur", "count": 1500}),
    ("planted 24 seeds of cosmos", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    ("sowed 20 sweetpeas", TODAY, "sown", {"kind": "sweet_pea", "count": 20}),
    ("sowed Cosmos bipinnatus 24", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    ("Sowed ½ packet of larkspur", TODAY, "sown", {"kind": "larkspur"}),
    ("sowed ２４ cösmos", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    ("𝐬𝐨𝐰𝐞𝐝 24 “cosmos” 🌱", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    ("sowed 24 cosmos, 1 cm deep, 40 min", TODAY, "sown",
     {"kind": COSMOS, "count": 24, "minutes": 40}),
    ("sowed marigold 'Orange' 24", TODAY, "sown",
     {"kind": "french_marigold", "colour": "orange", "count": 24}),
    ("sowed 24 cosmos but must thin them", TODAY, "sown", {"kind": COSMOS, "count": 24}),
    # came up
    ("cosmos up 18 of 24", TODAY, "came_up", {"kind": COSMOS, "count": 18, "of": 24}),
    ("18 of 24 cosmos came up", TODAY, "came_up", {"kind": COSMOS, "count": 18, "of": 24}),
    ("18/24 cosmos germinated", TODAY, "came_up", {"kind": COSMOS, "count": 18, "of": 24}),
    ("18 out of the 24 cosmos are up", TODAY, "came_up", {"kind": COSMOS, "count": 18, "of": 24}),
    ("cosmos: 18 up of 24", TODAY, "came_up", {"kind": COSMOS, "count": 18, "of": 24}),
    ("all 24 cosmos are up", TODAY, "came_up", {"kind": COSMOS, "count": 24, "of": 24}),
    ("none of 24 cosmos came up", TODAY, "came_up", {"kind": COSMOS, "count": 0, "of": 24}),
    ("14 cosmos seedlings up", TODAY, "came_up", {"kind": COSMOS, "count": 14}),
    ("up: cosmos", TODAY, "came_up", {"kind": COSMOS}),
    ("cosmos up 20 May", date(2027, 5, 20), "came_up", {"kind": COSMOS}),
    # moved on
    ("pricked out 20 larkspur", TODAY, "pricked_out", {"kind": "larkspur", "count": 20}),
    ("Pricked off twelve larkspur seedlings", TODAY, "pricked_out",
     {"kind": "larkspur", "count": 12}),
    ("potted on 12 petunias", TODAY, "potted_on", {"kind": "petunia", "count": 12}),
    ("3 coleus repotted", TODAY, "potted_on", {"kind": "coleus", "count": 3}),
    ("planted out 12 cosmos 20 May", date(2027, 5, 20), "set_out", {"kind": COSMOS, "count": 12}),
    ("set out 12 cosmos", TODAY, "set_out", {"kind": COSMOS, "count": 12}),
    ("put 12 cosmos out", TODAY, "set_out", {"kind": COSMOS, "count": 12}),
    ("planted 12 cosmos", TODAY, "set_out", {"kind": COSMOS, "count": 12}),
    ("planted out 12 cosmos behind the larkspur", TODAY, "set_out", {"kind": COSMOS, "count": 12}),
    ("thinned larkspur", TODAY, "thinned", {"kind": "larkspur"}),
    ("thinned larkspur to 12 plants on Monday", YESTERDAY, "thinned",
     {"kind": "larkspur", "count": 12}),
    # lost
    ("lost 3 zinnias to slugs", TODAY, "lost", {"kind": ZINNIA, "count": 3, "cause": "slugs"}),
    ("slugs took 3 zinnias", TODAY, "lost", {"kind": ZINNIA, "count": 3, "cause": "slugs"}),
    ("slugs took 3 zinnias last night", TODAY, "lost",
     {"kind": ZINNIA, "count": 3, "cause": "slugs"}),
    ("the dog dug up 2 cosmos", TODAY, "lost", {"kind": COSMOS, "count": 2, "cause": "animals"}),
    ("2 cosmos died of drought", TODAY, "lost", {"kind": COSMOS, "count": 2, "cause": "drought"}),
    ("lost 3 of 12 zinnias", TODAY, "lost", {"kind": ZINNIA, "count": 3, "of": 12}),
    ("frost killed 3 zinnias", TODAY, "lost", {"kind": ZINNIA, "count": 3, "cause": "frost"}),
    ("3 zinnias eaten by rabbits", TODAY, "lost", {"kind": ZINNIA, "count": 3, "cause": "animals"}),
    ("wind snapped 2 larkspurs", TODAY, "lost", {"kind": "larkspur", "count": 2, "cause": "wind"}),
    ("2 coleus damped off", TODAY, "lost", {"kind": "coleus", "count": 2, "cause": "disease"}),
    ("petunias rotted", TODAY, "lost", {"kind": "petunia", "cause": "wet"}),
    ("aphids killed 1 petunia", TODAY, "lost", {"kind": "petunia", "count": 1, "cause": "insects"}),
    ("4 coleus died in the heat", TODAY, "lost", {"kind": "coleus", "count": 4, "cause": "heat"}),
    ("lost 2 petunias to the neighbour's car", TODAY, "lost",
     {"kind": "petunia", "count": 2, "cause": "other"}),
    ("3 zinnias gone", TODAY, "lost", {"kind": ZINNIA, "count": 3}),
    ("three white cosmos died", TODAY, "lost", {"kind": COSMOS, "count": 3, "colour": "white"}),
    # flower
    ("first flower cosmos", TODAY, "first_flower", {"kind": COSMOS}),
    ("cosmos began to flower", TODAY, "first_flower", {"kind": COSMOS}),
    ("First zinnia bloom 3 days ago", date(2027, 5, 29), "first_flower", {"kind": ZINNIA}),
    ("the first petunia is out", TODAY, "first_flower", {"kind": "petunia"}),
    ("Zinnias flowering", TODAY, "first_flower", {"kind": ZINNIA}),
    ("cosmos in full flower", TODAY, "full_flower", {"kind": COSMOS}),
    ("zinnias at their best", TODAY, "full_flower", {"kind": ZINNIA}),
    ("cosmos over", TODAY, "over", {"kind": COSMOS}),
    ("cosmos finished", TODAY, "over", {"kind": COSMOS}),
    ("petunias have gone to seed", TODAY, "over", {"kind": "petunia"}),
    ("zinnias finished flowering on 28 May", date(2027, 5, 28), "over", {"kind": ZINNIA}),
    # picked
    ("picked 12 stems of zinnia", TODAY, "picked", {"kind": ZINNIA, "count": 12}),
    ("cut 12 zinnia", TODAY, "picked", {"kind": ZINNIA, "count": 12}),
    ("picked a dozen zinnias", TODAY, "picked", {"kind": ZINNIA, "count": 12}),
    ("cut snapdragons", TODAY, "picked", {"kind": "tall_snapdragon"}),
    ("picked 5 white stems of cosmos", TODAY, "picked",
     {"kind": COSMOS, "count": 5, "colour": "white"}),
    ("picked 2 bunches of zinnia", TODAY, "picked", {"kind": ZINNIA}),
    # height
    ("cosmos 120 cm", TODAY, "height", {"kind": COSMOS, "length_m": 1.2}),
    ("cosmos is 4 ft tall", TODAY, "height", {"kind": COSMOS, "length_m": 1.2192}),
    ("cosmos 3′ 6″", TODAY, "height", {"kind": COSMOS, "length_m": 1.0668}),
    ("measured cosmos: 1,2 m", TODAY, "height", {"kind": COSMOS, "length_m": 1.2}),
    ("cosmos 40 in", TODAY, "height", {"kind": COSMOS, "length_m": 1.016}),
    ("cosmos 120 tall", TODAY, "height", {"kind": COSMOS, "length_m": 1.2}),
    # frost and weather
    ("frost", TODAY, "frost", {}),
    ("-1 last night", TODAY, "weather", {"tmin_c": -1.0}),
    ("minus 1.5 overnight", TODAY, "weather", {"tmin_c": -1.5}),
    ("last night: 30 °F", TODAY, "weather", {"tmin_c": pytest.approx(-10 / 9)}),
    ("10 mm overnight", TODAY, "weather", {"rain_mm": 10.0}),
    ("12 mm yesterday.", YESTERDAY, "weather", {"rain_mm": 12.0}),
    ("0.4 in today", TODAY, "weather", {"rain_mm": pytest.approx(10.16)}),
    ("frost last night -2", TODAY, "frost", {"tmin_c": -2.0}),
    ("frost of minus 2 on 3 May", date(2027, 5, 3), "frost", {"tmin_c": -2.0}),
    ("Ground frost, −1.5 °C", TODAY, "frost", {"tmin_c": -1.5}),
    ("frost 23 F", TODAY, "frost", {"tmin_c": -5.0}),
    ("2 degrees of frost", TODAY, "frost", {"tmin_c": -2.0}),
    ("froze, 2 below", TODAY, "frost", {"tmin_c": -2.0}),
    ("first frost 12 October", date(2026, 10, 12), "frost", {}),
    ("rain 12 mm", TODAY, "weather", {"rain_mm": 12.0}),
    ("0.5 in of rain", TODAY, "weather", {"rain_mm": 12.7}),
    ("1½ in rain yesterday", YESTERDAY, "weather", {"rain_mm": 38.1}),
    ("heavy rain, 25 mm since Monday", TODAY, "weather", {"rain_mm": 25.0}),
    ("rained 12,5 mm", TODAY, "weather", {"rain_mm": 12.5}),
    ("min -1 max 14", TODAY, "weather", {"tmin_c": -1.0, "tmax_c": 14.0}),
    ("24 °C max, 9 °C min", TODAY, "weather", {"tmin_c": 9.0, "tmax_c": 24.0}),
    ("5 to 14 °C", TODAY, "weather", {"tmin_c": 5.0, "tmax_c": 14.0}),
    ("low 32 F high 59 F", TODAY, "weather", {"tmin_c": 0.0, "tmax_c": 15.0}),
    ("min 3.5 max 20.1 rain 3 mm", TODAY, "weather",
     {"tmin_c": 3.5, "tmax_c": 20.1, "rain_mm": 3.0}),
    # colours
    ("orange marigold quarrels with pink petunia", TODAY, "colours",
     {"kind": "french_marigold", "colour": "orange", "other": "petunia"}),
    ("colours of cosmos and salvia clash", TODAY, "colours", {"kind": COSMOS, "other": SAGE}),
    ("cosmos doesn’t go with zinnias", TODAY, "colours", {"kind": COSMOS, "other": ZINNIA}),
    # work
    ("weeded 40 min", TODAY, "work", {"minutes": 40}),
    ("watered 1 h", TODAY, "work", {"minutes": 60}),
    ("1 h 20 min deadheading", TODAY, "work", {"minutes": 80}),
    ("dug over the bed 2h30", TODAY, "work", {"minutes": 150}),
    ("hoed half an hour last night", YESTERDAY, "work", {"minutes": 30}),
    ("mulched", TODAY, "work", {}),
    ("staked 6 larkspur 30 min", TODAY, "work", {"kind": "larkspur", "count": 6, "minutes": 30}),
    ("cut back petunia", TODAY, "work", {"kind": "petunia"}),
    ("cut cosmos to 30 cm", TODAY, "work", {"kind": COSMOS}),
    ("fleeced cosmos against frost", TODAY, "work", {"kind": COSMOS}),
    # notes
    ("bees all day", TODAY, "note", {}),
    ("bees on the white cosmos yesterday", YESTERDAY, "note", {"kind": COSMOS, "colour": "white"}),
    ("cosmos not up yet", TODAY, "note", {"kind": COSMOS}),
    ("must sow larkspur tomorrow", TODAY, "note", {"kind": "larkspur"}),
    ("no frost", TODAY, "note", {}),
    ("did I sow cosmos?", TODAY, "note", {"kind": COSMOS}),
    ("the neighbours lost their cat", TODAY, "note", {}),
    ("weeds coming up", TODAY, "note", {}),
    ("slugs on the zinnias", TODAY, "note", {"kind": ZINNIA}),
    ("petunias still in flower", TODAY, "note", {"kind": "petunia"}),
    ("mulch delivered", TODAY, "note", {}),
    ("cosmos fell over", TODAY, "note", {"kind": COSMOS}),
    ("frost damage on zinnias", TODAY, "note", {"kind": ZINNIA}),
    ("note: sowed nothing", TODAY, "note", {}),
    ("cosmos and zinnia look well", TODAY, "note", {}),
    ("Löwenmäulchen blühen", TODAY, "note", {}),
    ("🐝🐝🐝", TODAY, "note", {}),
]  # fmt: skip


@pytest.mark.parametrize(("line", "day", "what", "given"), LINES, ids=[one[0] for one in LINES])
def test_a_line_is_read_as(
    line: str, day: date, what: What, given: dict[str, Any], bed: Kinds
) -> None:
    entry = read_line(line, TODAY, bed, "metric").entry
    said = {name: value for name, value in entry.given.items() if name != "text"}
    assert (entry.day, entry.what) == (day, what)
    assert said == {name: near(value) for name, value in given.items()}
    assert entry.text == line
    assert entry_faults(entry, TODAY) == []


def near(value: Any) -> Any:
    """A number to rounding, a text as it is."""
    return value if isinstance(value, str) else pytest.approx(value)


def test_every_sort_but_a_photo_can_be_typed() -> None:
    assert len(LINES) > 100
    assert {what for _, _, what, _ in LINES} == set(OF) - {"photo"}
    causes = {given["cause"] for _, _, _, given in LINES if "cause" in given}
    assert causes == set(get_args(Cause))


US: list[tuple[str, date, What, dict[str, Any]]] = [
    ("4/12 sowed 24 cosmos", date(2027, 4, 12), "sown", {"kind": COSMOS, "count": 24}),
    ("high of 86, low of 59", TODAY, "weather", {"tmin_c": 15.0, "tmax_c": 30.0}),
    ("frost 23", TODAY, "frost", {"tmin_c": -5.0}),
    ("frost last night minus 2 C", TODAY, "frost", {"tmin_c": -2.0}),
    ("9 degrees of frost", TODAY, "frost", {"tmin_c": -5.0}),
    ("rain 0.5", TODAY, "weather", {"rain_mm": 12.7}),
    ("cosmos 40 tall", TODAY, "height", {"kind": COSMOS, "length_m": 1.016}),
    ("cosmos 120 cm", TODAY, "height", {"kind": COSMOS, "length_m": 1.2}),
]


@pytest.mark.parametrize(("line", "day", "what", "given"), US, ids=[one[0] for one in US])
def test_a_line_in_us_units_is_read_as(
    line: str, day: date, what: What, given: dict[str, Any], bed: Kinds
) -> None:
    entry = read_line(line, TODAY, bed, "us").entry
    assert (entry.day, entry.what) == (day, what)
    for name, value in given.items():
        assert getattr(entry, name) == near(value)


@pytest.mark.parametrize(
    ("line", "day"),
    [
        ("today", TODAY),
        ("this morning", TODAY),
        ("yesterday evening", YESTERDAY),
        ("the day before yesterday", date(2027, 5, 30)),
        ("on Tuesday", TODAY),
        ("last Tuesday", date(2027, 5, 25)),
        ("wednesday", date(2027, 5, 26)),
        ("on Sat", date(2027, 5, 29)),
        ("a week ago", date(2027, 5, 25)),
        ("two weeks ago", date(2027, 5, 18)),
        ("1 June", TODAY),
        ("2 June", date(2026, 6, 2)),
        ("Sept. 3", date(2026, 9, 3)),
        ("May 3rd, 2025", date(2025, 5, 3)),
        ("the 3rd of May", date(2027, 5, 3)),
        ("2027-3-5", date(2027, 3, 5)),
        ("overnight", YESTERDAY),
    ],
)
def test_a_day_is_read_before_and_behind(line: str, day: date, bed: Kinds) -> None:
    for whole in (f"{line} watered the petunias", f"watered the petunias {line}"):
        assert read_line(whole, TODAY, bed, "metric").entry.day == day


# What cannot be read


ERRORS: list[tuple[str, Fact]] = [
    (" \n", NothingTyped()),
    ("x" * (MOST_TEXT + 1), CannotBe("text", "2001 letters", "2000 letters at most")),
    ("lost 3 zinias", NoKindOfThatName("lost", "zinias", ("tall zinnia",))),
    ("sowed larkspurr 24", NoKindOfThatName("sown", "larkspurr", ("rocket larkspur",))),
    ("sowed tomatoes", NoKindOfThatName("sown", "tomatoes", ())),
    ("sowed", KindMissing("sown")),
    ("picked 12 stems", KindMissing("picked")),
    ("sowed cosmos and larkspur", SeveralKinds("sown", ("cosmos", "larkspur"), 1)),
    ("cosmos, petunia and coleus clash",
     SeveralKinds("colours", ("cosmos", "petunia", "coleus"), 2)),
    ("clashes with salvia", OtherKindMissing(("mealycup sage",))),
    ("24 cosmos sown, 18 up", SeveralVerbs(("sown", "came_up"))),
    ("frost -2, lost 3 zinnias", SeveralVerbs(("frost", "lost"))),
    ("frost, max 3 °C", SeveralVerbs(("frost", "weather"))),
    ("frost and 12 mm of rain", SeveralVerbs(("frost", "weather"))),
    ("transplanted 12 cosmos",
     VerbOfSeveral("transplanted", ("pricked_out", "potted_on", "set_out"))),
    ("sowed cosmos 31 February", NoSuchDay("31 February", False)),
    ("sowed cosmos 2027-02-30", NoSuchDay("2027-02-30", False)),
    ("13/14 sowed cosmos", NoSuchDay("13/14", False)),
    ("watered 1 week ago, 2 weeks ago", SeveralDays(("1 week ago", "2 weeks ago"))),
    ("sowed cosmos 12 April, 14 April", SeveralDays(("12 April", "14 April"))),
    ("cosmos up 10/12", DayOrShare("10/12", date(2026, 12, 10), 10, 12)),
    ("picked 3 white cosmos and 4 crimson cosmos", SeveralCounts((3, 4))),
    ("planted out 6 white zinnias and 6 yellow ones", SeveralCounts((6, 6))),
    ("sowed cosmos 12 April 2030",
     CannotBe("day", "2030-04-12", "today (2027-06-01) or earlier")),
    ("30 of 24 cosmos came up", CannotBe("count", "30 of 24", "24 or fewer")),
    ("cosmos 12 m tall", CannotBe("length_m", "12", "0.01 to 10 m")),
    ("sowed 999999999999999999 cosmos", CannotBe("count", "1e+12", "0 to 100000")),
]  # fmt: skip


@pytest.mark.parametrize(("line", "fact"), ERRORS, ids=[one[0][:40] for one in ERRORS])
def test_what_cannot_be_read_is_said(line: str, fact: Fact, bed: Kinds) -> None:
    with pytest.raises(LineError) as error:
        read_line(line, TODAY, bed, "metric")
    assert error.value.fact == fact
    assert len(say(fact, "metric")) > 20


def test_what_cannot_be_read_in_us_units_is_said_in_them(bed: Kinds) -> None:
    with pytest.raises(LineError) as error:
        read_line("13/4 sowed cosmos", TODAY, bed, "us")
    assert error.value.fact == NoSuchDay("13/4", True)
    assert "4/12 (April 12)" in say(error.value.fact, "us")
    assert "12/4 (12 April)" in say(NoSuchDay("13/4", False), "metric")


def test_a_name_that_many_have_names_some_of_them(bed: Kinds) -> None:
    with pytest.raises(LineError) as error:
        read_line("sowed 24 daisies", TODAY, bed, "metric")
    fact = error.value.fact
    assert isinstance(fact, SeveralOfThatName)
    assert (fact.typed, fact.planted, len(fact.names)) == ("daisies", False, 8)
    assert fact.more > 5
    assert f"{fact.more} more" in say(fact, "metric")


def test_two_kinds_of_one_name_in_the_bed_are_told_apart(catalogue: Catalogue) -> None:
    both = kinds_of(catalogue, ("tall_zinnia", "dwarf_zinnia"))
    with pytest.raises(LineError) as error:
        read_line("picked 12 zinnias", TODAY, both, "metric")
    assert error.value.fact == SeveralOfThatName(
        "zinnias", ("dwarf zinnia", "tall zinnia"), 0, True
    )
    read = read_line("picked 12 tall zinnias", TODAY, both, "metric")
    assert read.entry.kind == "tall_zinnia"


def test_a_colour_that_one_of_them_has_tells_which(catalogue: Catalogue) -> None:
    both = kinds_of(catalogue, ("larkspur", "chinese_delphinium"))
    assert "lilac" in both.colours["larkspur"]
    assert "lilac" not in both.colours["chinese_delphinium"]
    entry = read_line("picked 3 lilac larkspurs", TODAY, both, "metric").entry
    assert (entry.kind, entry.colour, entry.count) == ("larkspur", "lilac", 3)


def test_a_note_of_a_kind_that_is_not_clear_is_kept_without_it(catalogue: Catalogue) -> None:
    both = kinds_of(catalogue, ("tall_zinnia", "dwarf_zinnia"))
    entry = read_line("the zinnias look tired", TODAY, both, "metric").entry
    assert (entry.what, entry.kind) == ("note", None)


def test_the_kind_of_the_bed_comes_before_others_of_its_name(catalogue: Catalogue) -> None:
    """Cosmos are two kinds, and orange zinnia is another name of a kind that is not planted."""
    for planted in ("garden_cosmos", "sulphur_cosmos"):
        kinds = kinds_of(catalogue, (planted,))
        assert read_line("sowed cosmos", TODAY, kinds, "metric").entry.kind == planted
    kinds = kinds_of(catalogue, ("tall_zinnia",))
    entry = read_line("sowed 12 orange zinnias", TODAY, kinds, "metric").entry
    assert (entry.kind, entry.colour, entry.count) == ("tall_zinnia", "orange", 12)
    entry = read_line("sowed 12 orange zinnias", TODAY, kinds_of(catalogue), "metric").entry
    assert entry.kind == "mexican_zinnia"


# What is guessed, and what is left


def guesses(line: str, kinds: Kinds, units: System = "metric") -> list[Fact]:
    return list(read_line(line, TODAY, kinds, units).guesses)


@pytest.mark.parametrize(
    ("line", "fact"),
    [
        ("sowed cosmos", KindTaken("cosmos", "tall garden cosmos", ("sulphur cosmos",), True)),
        ("sowed periwinkles", KindTaken("periwinkles", "Madagascar periwinkle", (), False)),
        ("frost -2", UnitTaken("-2", "°C")),
        ("rain 12", UnitTaken("12", "mm")),
        ("cosmos 120 tall", UnitTaken("120", "cm")),
        ("sowed petunia 20 May", DayTaken("20 May", date(2027, 5, 20))),
        ("weeded on Monday", DayTaken("on Monday", YESTERDAY)),
        ("10 mm overnight", VerbTaken("10 mm overnight", "weather")),
        ("frost last night", NightTaken(TODAY)),
        ("watered last night", NightTaken(YESTERDAY)),
        ("bees all day", KeptAsNote("no_verb")),
        ("no frost", KeptAsNote("not_done")),
        ("frost?", KeptAsNote("asked")),
        ("the neighbours lost their cat", KeptAsNote("no_kind")),
        ("sewed 12 petunias", VerbTaken("sewed", "sown")),
        ("planted 12 petunias", VerbTaken("planted", "set_out")),
        ("petunias in flower", VerbTaken("in flower", "first_flower")),
        ("10/12 petunias came up", ShareTaken("10/12", 10, 12)),
        ("picked white & yellow zinnias", SeveralColours(("white", "yellow"))),
        ("lost 3 petunias to slugs and frost", CauseTaken("slugs", ("frost",))),
    ],
)
def test_what_is_guessed_is_said(line: str, fact: Fact, bed: Kinds) -> None:
    found = guesses(line, bed)
    assert fact in found
    assert len(say(fact, "metric")) > 8


def test_a_colour_that_the_kind_has_not_is_said(bed: Kinds) -> None:
    (fact,) = [one for one in guesses("sowed blue cosmos", bed) if isinstance(one, NotOfThatColour)]
    assert fact == NotOfThatColour("blue", "tall garden cosmos", bed.colours[COSMOS])
    assert "white" in say(fact, "metric")


def test_the_only_kind_of_a_bed_need_not_be_named(catalogue: Catalogue) -> None:
    read = read_line("picked 12 stems", TODAY, kinds_of(catalogue, (ZINNIA,)), "metric")
    assert (read.entry.kind, read.entry.count) == (ZINNIA, 12)
    assert read.guesses == (OnlyKindTaken("tall zinnia"),)


@pytest.mark.parametrize(
    "line",
    ["sowed 24 petunias 2027-04-12", "rain 12 mm", "weeded 40 min", "lost 3 petunias to slugs",
     "frost -2 °C", "petunia 30 cm", "petunia over"],
)  # fmt: skip
def test_a_plain_line_is_understood_without_guesses(line: str, bed: Kinds) -> None:
    read = read_line(line, TODAY, bed, "metric")
    assert (read.guesses, read.rest) == ((), "")


@pytest.mark.parametrize(
    ("line", "rest"),
    [
        ("sowed 24 cosmos in trays in the greenhouse", "trays greenhouse"),
        ("picked 2 bunches of zinnia for Aunt", "2 bunches Aunt"),
        ("planted out 12 cosmos behind the larkspur", "behind larkspur"),
        ("sowed 24 cosmos, watered", "watered"),
        ("sowed 24 cosmos but must thin them", "but must thin"),
        ("frost on cosmos", "cosmos"),
        ("orange marigold quarrels with pink petunia", "pink"),
        ("sowed larkspur, 30 cm apart", "30 cm apart"),
        ("1/2 the cosmos came up", "1/2"),
        ("weeded from 3 May to 5 May", "3 May 5 May"),
        ("set out 12 cosmos beside white petunias", "beside white petunias"),
        ("sowed 20-24 cosmos", "20-24"),
        ("cosmos up, Ærö", "Ærö"),
    ],
)
def test_words_that_are_not_understood_are_given_back(line: str, rest: str, bed: Kinds) -> None:
    assert read_line(line, TODAY, bed, "metric").rest == rest


# The catalogue's own names


def plural(name: str) -> str:
    """The plural of a name, by the rules of English, of the word before "of", "in" or "on"."""
    head, *tail = re.split(r"(?=[ -](?:of|in|on)[ -])", name, maxsplit=1)
    if re.search(r"[^aeiou]y$", head):
        many = f"{head[:-1]}ies"
    elif re.search(r"(?:s|x|sh|(?<!ar)ch)$", head):
        many = f"{head}es"
    else:
        many = f"{head}s"
    return many + "".join(tail)


def test_the_plural_is_that_of_english() -> None:
    """Examples of the Oxford English Dictionary's plurals."""
    names = ("cosmos", "pansy", "sweet pea", "phlox", "viola", "monarch of the veld", "lily")
    assert [plural(name) for name in names] == [
        "cosmoses", "pansies", "sweet peas", "phloxes", "violas", "monarchs of the veld", "lilies",
    ]  # fmt: skip


@pytest.mark.parametrize("all_planted", [False, True], ids=["alone", "all"])
def test_every_kind_is_known_by_its_own_name(all_planted: bool, catalogue: Catalogue) -> None:
    """The catalogue's names, which the journal did not write, singular and plural."""
    wrong = []
    every = kinds_of(catalogue, tuple(catalogue.kinds))
    for kind in catalogue:
        kinds = every if all_planted else kinds_of(catalogue, (kind.key,))
        names = [kind.name, plural(kind.name), kind.name.upper()]
        for name in names if all_planted else [*names, kind.key]:
            for line in (f"sowed 24 {name}", f"{name} sown: 24, 12 April"):
                entry = read_line(line, TODAY, kinds, "metric").entry
                if (entry.what, entry.kind, entry.count) != ("sown", kind.key, 24):
                    wrong.append((line, entry))
    assert wrong == []


def test_every_other_name_is_that_of_a_kind_that_has_it(catalogue: Catalogue) -> None:
    """Other common and botanical names, of kinds that are planted alone."""
    wrong = []
    for kind in catalogue:
        kinds = kinds_of(catalogue, (kind.key,))
        for name in (*kind.other_names, kind.botanical, *kind.synonyms, kind.botanical.split()[0]):
            entry = read_line(f"12 {name} came up", TODAY, kinds, "metric").entry
            if (entry.what, entry.kind, entry.count) != ("came_up", kind.key, 12):
                wrong.append((name, entry))
    assert wrong == []


def test_every_colour_of_every_kind_is_known(catalogue: Catalogue) -> None:
    wrong = []
    for kind in catalogue:
        kinds = kinds_of(catalogue, (kind.key,))
        for form in kind.colours:
            entry = read_line(f"set out 12 {form.name} {kind.name}", TODAY, kinds, "metric").entry
            if (entry.kind, entry.colour, entry.count) != (kind.key, form.name, 12):
                wrong.append((kind.name, form.name, entry))
    assert wrong == []


# Any text


WORDS = (
    "sowed cosmos zinnia larkspur 24 12 April 12/4 18/24 of up lost slugs frost -2 rain mm in min"
    " max yesterday white pink quarrels clash weeded 40 h ft ' \" cm tall first flower over , . ?"
    " not note: picked stems 2027-02-30 3 days ago last night K_ D_ 1/0 0 99999999 ½ cut back °F"
    " planted out salvia May on Monday to by 5 °C low high -"
)
SOME_WORDS = st.lists(st.sampled_from(WORDS.split()), max_size=30).map(" ".join)
TEXTS = st.text(max_size=MOST_TEXT) | SOME_WORDS


@given(TEXTS, st.sampled_from(["metric", "us"]), st.dates())
def test_any_text_is_an_entry_or_a_mistake(text: str, units: System, today: date) -> None:
    kinds = _bed()
    try:
        read = read_line(text, today, kinds, units)
    except LineError as error:
        mistake: Fact | None = error.fact
    else:
        mistake = None
    if mistake:
        assert say(mistake, units)
        return
    assert entry_faults(read.entry, today) == []
    assert read.entry.text == text
    assert all(say(fact, units) for fact in read.guesses)
    assert entry_words(read.entry, kinds.names, units)


@given(st.text(max_size=MOST_TEXT).filter(str.strip))
def test_any_text_can_be_kept_as_a_note(text: str) -> None:
    line = f"note: {text}"[:MOST_TEXT]
    read = read_line(line, TODAY, _bed(), "metric")
    assert (read.entry.what, read.entry.text, read.rest) == ("note", line, "")


def _bed(*planted: str) -> Kinds:
    return _kinds(planted or BED)


@cache
def _kinds(planted: tuple[str, ...]) -> Kinds:
    return kinds_of(load_catalogue(), planted)


# Reading back


BACK: tuple[What, ...] = (
    "sown", "came_up", "pricked_out", "potted_on", "set_out", "thinned", "lost", "first_flower",
    "full_flower", "over", "picked", "height", "colours", "frost", "weather",
)  # fmt: skip
"""Sorts whose words are read as the same entry; work, a photo and a note are of free text."""

COUNTS = st.integers(0, 100_000)


@st.composite
def entries(draw: st.DrawFn, units: System) -> Entry:
    """Sound entries of any kind of the catalogue, as precise as they are said."""
    what = draw(st.sampled_from(BACK))
    day = draw(st.dates(date(1900, 1, 1), TODAY))
    given: dict[str, Any] = {}
    fields = OF[what].must | OF[what].may | OF[what].one_of
    if "kind" in fields:
        kind = draw(st.sampled_from(sorted(load_catalogue().kinds)))
        colours = [form.name for form in load_catalogue().kinds[kind].colours]
        given |= {"kind": kind, "colour": draw(st.none() | st.sampled_from(colours))}
    if "other" in fields:
        given["other"] = draw(st.sampled_from(sorted(load_catalogue().kinds)))
    if "count" in fields:
        given["count"] = draw(st.none() | COUNTS)
    if "of" in fields and given["count"] is not None:
        given["of"] = draw(st.none() | st.integers(max(given["count"], 1), 100_000))
    if "cause" in fields:
        given["cause"] = draw(st.none() | st.sampled_from(get_args(Cause)))
    if "minutes" in fields:
        given["minutes"] = draw(st.none() | st.integers(1, 24 * 60))
    if what == "height":
        given["length_m"] = draw(st.integers(10, 390)) * (0.0254 if units == "us" else 0.01)
    low, high = sorted((draw(st.integers(-500, 500)), draw(st.integers(-500, 500))))
    if what == "frost":
        given["tmin_c"] = draw(st.sampled_from([None, _degrees(low, units)]))
    if what == "weather":
        given["tmin_c"] = draw(st.sampled_from([None, _degrees(low, units)]))
        given["tmax_c"] = draw(st.sampled_from([None, _degrees(high, units)]))
        needed = given["tmin_c"] is None and given["tmax_c"] is None
        rain = draw(st.integers(0, 7000))
        millimetres = rain * 0.254 if units == "us" else rain / 10
        given["rain_mm"] = millimetres if needed else draw(st.sampled_from([None, millimetres]))
    return Entry(day, what, **given)


def _degrees(tenths: int, units: System) -> float:
    return (tenths / 10 - 32) / 1.8 if units == "us" else tenths / 10


@pytest.mark.parametrize("units", get_args(System))
@given(data=st.data())
@settings(max_examples=examples(300))
def test_an_entry_is_read_from_its_own_words(units: System, data: st.DataObject) -> None:
    entry = data.draw(entries(units))
    assert entry_faults(entry, TODAY) == []
    kinds = _bed(*sorted(load_catalogue().kinds))
    words = entry_words(entry, kinds.names, units)
    read = read_line(words, TODAY, kinds, units).entry
    assert (read.day, read.what, read.text) == (entry.day, entry.what, words)
    said = {name: near(value) for name, value in entry.given.items()}
    assert {name: value for name, value in read.given.items() if name != "text"} == said


@pytest.mark.parametrize(
    ("entry", "metric", "us"),
    [
        (Entry(date(2027, 4, 12), "sown", COSMOS, count=24),
         "Sown: 24 tall garden cosmos, on 12 April 2027", ""),
        (Entry(TODAY, "came_up", COSMOS, colour="white", count=18, of=24),
         "Came up: 18 of 24 white tall garden cosmos, on 1 June 2027", ""),
        (Entry(TODAY, "lost", ZINNIA, count=3, cause="slugs"),
         "Lost: 3 tall zinnia, to slugs, on 1 June 2027", ""),
        (Entry(TODAY, "picked", ZINNIA, count=1, minutes=80),
         "Picked: 1 stem of tall zinnia, 1 h 20 min, on 1 June 2027", ""),
        (Entry(TODAY, "height", COSMOS, length_m=1.2),
         "Height: tall garden cosmos 120 cm, on 1 June 2027",
         "Height: tall garden cosmos 3 ft 11 in, on 1 June 2027"),
        (Entry(TODAY, "height", COSMOS, length_m=0.0254),
         "Height: tall garden cosmos 2.5 cm, on 1 June 2027",
         "Height: tall garden cosmos 1 in, on 1 June 2027"),
        (Entry(TODAY, "colours", "french_marigold", colour="orange", other="petunia"),
         "Colours that quarrel: orange French marigold and petunia, on 1 June 2027", ""),
        (Entry(TODAY, "frost"), "Frost, on 1 June 2027", ""),
        (Entry(TODAY, "frost", tmin_c=-2.04), "Frost: −2 °C, on 1 June 2027",
         "Frost: 28.3 °F, on 1 June 2027"),
        (Entry(TODAY, "weather", tmin_c=-0.01, tmax_c=14.0, rain_mm=12.7),
         "Weather: minimum 0 °C, maximum 14 °C, rain 12.7 mm, on 1 June 2027",
         "Weather: minimum 32 °F, maximum 57.2 °F, rain 0.5 in, on 1 June 2027"),
        (Entry(TODAY, "work", minutes=40, text="weeded 40 min "),
         "Work: weeded 40 min, on 1 June 2027", ""),
        (Entry(TODAY, "work", minutes=40, text="weeded"),
         "Work: weeded, 40 min, on 1 June 2027", ""),
        (Entry(TODAY, "work", COSMOS, minutes=40, task="stake"),
         "Work: tall garden cosmos, 40 min, on 1 June 2027", ""),
        (Entry(TODAY, "photo", COSMOS, photo="0" * 64),
         "Photograph: tall garden cosmos, on 1 June 2027", ""),
        (Entry(TODAY, "note", text="bees all day"), "Note: bees all day, on 1 June 2027", ""),
        (Entry(TODAY, "sown", "own_kind"), "Sown: own_kind, on 1 June 2027", ""),
    ],
)  # fmt: skip
def test_an_entry_is_said_in_one_sentence(entry: Entry, metric: str, us: str) -> None:
    names = _bed().names
    assert entry_words(entry, names, "metric") == metric
    assert entry_words(entry, names, "us") == (us or metric)


def test_every_fact_has_words() -> None:
    """Of those that the front door names; with its values, in ``ERRORS`` and the guesses."""
    named = [getattr(journal, name) for name in journal.__all__]
    facts = [one for one in named if isinstance(one, type) and issubclass(one, Fact)
             and one.__module__ == "bedwright.journal.line_facts"]  # fmt: skip
    assert len(facts) > 20
    bare = say.dispatch(object)
    assert [one for one in facts if say.dispatch(one) is bare] == []
