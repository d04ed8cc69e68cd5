from __future__ import annotations

import math
import random
import re
from datetime import date, datetime, time
from pathlib import Path

import pytest

from bedwright.brief import BriefError, Fault, Paced, load_brief, read_brief, with_year
from bedwright.brief.values import parse_bearing, parse_skyline, parse_slope, parse_spot
from bedwright.catalogue import load_catalogue
from bedwright.climate import YearPast, make_season
from bedwright.facts import Fact
from bedwright.inputs.checks import checks
from bedwright.inputs.gather import _check_place, _reader, catalogue_of, gather, gather_season
from bedwright.units import UnitError
from conftest import EXAMPLES, brief_of
from fuzz.briefs import mutated_brief, random_brief
from fuzz.toml import dumps


def faults(**tables: object) -> dict[str, str]:
    with pytest.raises(BriefError) as caught:
        brief_of(**tables)
    return {fault.field: str(fault) for fault in caught.value.faults}


def test_only_place_and_outline_must_be_stated() -> None:
    with pytest.raises(BriefError) as caught:
        read_brief({})
    assert [fault.field for fault in caught.value.faults] == ["place", "bed"]
    assert brief_of().ground.found == "lawn"


def test_five_faults_are_all_reported_with_field_value_and_what_is_accepted() -> None:
    found = faults(
        bed={"shape": "rectangle", "length": "4 fot", "width": "2 m"},
        ground={"test": {"ph": 70}},
        season={"frost_risk": "80%"},
        wishes={"colour_scheme": "hott", "grow": ["cosmoss"]},
    )
    assert (
        set(found)
        == {
            "bed.length",
            "ground.test.ph",
            "season.frost_risk",
            "wishes.colour_scheme",
        }
        or len(found) == 5
    )
    assert "a risk from '1%' to '50%'" in faults(season={"frost_risk": 10})["season.frost_risk"]
    assert "given '4 fot'; accepted: a length" in found["bed.length"]
    assert "given 70; accepted: a number from 3 to 10" in found["ground.test.ph"]
    assert "a risk from '1%' to '50%'" in found["season.frost_risk"]
    assert "did you mean 'hot'?" in found["wishes.colour_scheme"]


def test_faults_of_the_catalogue_and_the_outline_join_the_others() -> None:
    found = faults(
        wishes={"grow": ["cosmos"], "leave_out": ["pansy", "Solanacea"], "colours": ["teal"]},
        materials=[{"material": "compst", "pack": "40 lb"}, {"material": "compost", "pack": "40"}],
        existing=[{"name": "rose", "at": ["9 m", "0 m"], "spread": "1 m"}],
        surroundings=[
            {"kind": "building", "bearing": "N", "distance": "0.5 m", "width": "3 m",
             "depth": "3 m", "height": "3 m", "name": "shed"},
        ],
        season={"year": "soon"},
    )  # fmt: skip
    assert "garden_cosmos" in found["wishes.grow[1]"]
    assert "wishes.leave_out[2]" in found
    assert "one of white, cream" in found["wishes.colours[1]"]
    assert "compost" in found["materials[1].material"]
    assert "with its unit" in found["materials[2].pack"]
    assert "a place in the bed" in found["existing[1].at"]
    assert "keeps shed out of the bed" in found["surroundings[1] (shed).distance"]
    assert "a whole number from 1990 to 2200" in found["season.year"]


def test_an_unknown_field_is_named_with_the_nearest() -> None:
    found = faults(ground={"txture": "loam"}, titel="x")
    assert "did you mean 'texture'?" in found["ground.txture"]
    assert "did you mean 'title'?" in found["titel"]


@pytest.mark.parametrize(
    ("tables", "field", "words"),
    [
        ({"place": {"latitude": 50.0}}, "place", "latitude and longitude go together"),
        ({"place": {"altitude": "20 m"}}, "place", "town = 'Name, Country'"),
        ({"place": {"latitude": 95, "longitude": 0}}, "place.latitude", "from -66 to 72"),
        ({"bed": {"shape": "star"}}, "bed.shape", "one of 'rectangle'"),
        ({"bed": {"length": "2 m"}}, "bed.shape", "given nothing"),
        ({"bed": "round"}, "bed", "a table with shape"),
        (
            {"bed": {"shape": "rectangle", "length": "90 m", "width": "90 m"}},
            "bed.length",
            "0.05 to 2500 m²",
        ),
        (
            {"bed": {"shape": "polygon", "corners": [["0 m", "0 m"], ["2 m", "2 m"],
                                                     ["2 m", "0 m"], ["0 m", "2 m"]]}},
            "bed.corners",
            "does not cross itself",
        ),
        ({"surroundings": {"kind": "tree"}}, "surroundings", r"headed \[\[surroundings"),
        (
            {"surroundings": [{"kind": "tree", "bearing": 400, "distance": "9 m", "height": "8 m",
                               "spread": "4 m"}]},
            "surroundings[1].bearing",
            "degrees from 0 to 360",
        ),
        (
            {"surroundings": [{"kind": "tree", "bearing": 40, "distance": "9 m", "height": "500 m",
                               "spread": "4 m"}]},
            "surroundings[1].height",
            "5 cm to 120 m",
        ),
        (
            {"dates": {"away": [{"start": "2027-07-09", "end": "2027-07-01"}]}},
            "dates.away[1].end",
            "given '2027-07-01'; accepted: not before start",
        ),
        (
            {"materials": [{"material": "dried blood", "pack": "1 kg", "analysis": "60-50-0"}]},
            "materials[1].analysis",
            "100 together at most",
        ),
        ({"wishes": {"budget": -3}}, "wishes.budget", "from 0 to 1,000,000"),
        ({"ground": {"test": {"ph": 70}}}, "ground.test.ph", "given 70; .* from 3 to 10"),
        ({"ground": {"test": {"phosphorus": "34 ppm"}}}, "ground.test.method", "extraction"),
        ({"ground": {"test": {"phosphorus": 34}}}, "ground.test.phosphorus", "'34 ppm'"),
        ({"ground": {"test": {"phosphorus": "hi"}}}, "ground.test.phosphorus", "'low', 'medium'"),
        (
            {"ground": {"test": {"ph": 5.2, "buffer_ph": 6.4}}},
            "ground.test.buffer_method",
            "'Mehlich', 'SMP'",
        ),
        (
            {"ground": {"test": {"buffer_ph": 6.4, "buffer_method": "SMP"}}},
            "ground.test.ph",
            "the soil's own pH",
        ),
        ({"ground": {"clear_by": "plough"}}, "ground.clear_by", "'lift', 'hired cutter'"),
        ({"ground": {"scoop": "9 L"}}, "ground.scoop", "5 mL to 5 L"),
        (
            {"materials": [{"material": "compost", "pack": "40 L", "count": -2}]},
            "materials[1].count",
            "given -2; .* from 0",
        ),
        (
            {"materials": [{"material": "urea", "pack": "1 kg", "weighs": "8 oz"}]},
            "materials[1].weighs",
            "'8 oz/cup'",
        ),
    ],
)  # fmt: skip
def test_single_faults(tables: dict[str, object], field: str, words: str) -> None:
    found = faults(**tables)
    assert field in found, found
    assert re.search(words, found[field]), found[field]


BED = '[bed]\nshape = "circle"\ndiameter = "2 m"\n'


def gathered_faults(tmp_path: Path, text: str) -> str:
    path = tmp_path / "b.toml"
    path.write_text(text + BED)
    with pytest.raises(BriefError) as caught:
        gather(path, load_catalogue(), date(2026, 11, 25))
    return str(caught.value)


def test_frost_dates_in_the_wrong_half_of_the_year_or_out_of_order(tmp_path: Path) -> None:
    def place(latitude: float, spring: str, autumn: str) -> str:
        return (
            f"[place]\nlatitude = {latitude}\nlongitude = 9.0\n[place.frost]\n"
            f"last_spring = {spring}\nfirst_autumn = {autumn}\n"
        )

    northern_habit = place(-42.9, '{ "50%" = "05-01" }', '{ "50%" = "10-15" }').replace(
        "9.0", "147"
    )
    text = gathered_faults(tmp_path, northern_habit)
    assert "place.frost.last_spring.50%: given 1 May; accepted: a day of spring at this" in text
    assert "place.frost.first_autumn.50%" in text
    swapped = place(50, '{ "50%" = "05-10", "10%" = "04-20" }', '{ "50%" = "10-20" }')
    text = gathered_faults(tmp_path, swapped)
    assert "days on which a smaller risk stands at the later day" in text
    # A highland spring in the south may straddle the new year.
    path = tmp_path / "b.toml"
    straddling = place(-42.9, '{ "50%" = "12-20", "10%" = "01-05" }', '{ "50%" = "04-20" }')
    path.write_text(straddling.replace("9.0", "147") + BED)
    gather(path, load_catalogue(), date(2026, 11, 25))


def test_dates_outside_the_growing_year(tmp_path: Path) -> None:
    head = "[place]\nlatitude = 50\nlongitude = 9.0\n[season]\nyear = 2027\n"
    text = gathered_faults(tmp_path, head + "[dates]\nbegin = 2029-03-20\nshow = 2029-07-01\n")
    assert "dates.begin: given 2029-03-20" in text
    assert "the growing year that begins on 1 January 2027" in text
    assert "dates.show" in text
    text = gathered_faults(tmp_path, head + "[ground]\nlimed = 2029-01-01\n")
    assert "a day in the past" in text


def test_a_first_day_or_a_show_settles_the_year() -> None:
    def year(latitude: float, **dates: str) -> int | None:
        brief = read_brief(
            {
                "place": {"latitude": latitude, "longitude": 0},
                "bed": {"shape": "circle", "diameter": "2 m"},
                "dates": dates,
            }
        )
        return with_year(brief, date(2026, 11, 25), latitude).season.year

    assert year(50, begin="2029-03-20") == 2029
    assert year(50, begin="2028-10-20") == 2029
    assert year(-40, show="2030-02-01") == 2029
    assert year(-40, begin="2028-08-01") == 2028


def test_numbers_given_as_text_do_not_pass_for_numbers() -> None:
    assert "a number from 3 to 10" in faults(ground={"test": {"ph": "6"}})["ground.test.ph"]


def test_broken_toml_is_a_fault_not_a_crash(tmp_path: Path) -> None:
    path = tmp_path / "b.toml"
    path.write_text("[bed\nshape=")
    with pytest.raises(BriefError, match="a TOML file in UTF-8"):
        load_brief(path)
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BriefError, match="a TOML file in UTF-8"):
        load_brief(path)


def test_every_example_reads() -> None:
    found = sorted(EXAMPLES.glob("*.toml"))
    assert len(found) >= 3
    for path in found:
        load_brief(path, checks(load_catalogue()))


@pytest.mark.parametrize(
    ("today", "latitude", "year"),
    [
        (date(2027, 2, 1), 50.0, 2027),
        (date(2027, 5, 31), 50.0, 2027),
        (date(2027, 6, 1), 50.0, 2028),
        (date(2027, 8, 1), -40.0, 2027),
        (date(2027, 11, 30), -40.0, 2027),
        (date(2027, 12, 1), -40.0, 2028),
        (date(2028, 2, 1), -40.0, 2028),
    ],
)
def test_the_growing_year_is_the_next_that_can_be_begun(
    today: date, latitude: float, year: int
) -> None:
    brief = read_brief(
        {
            "place": {"latitude": latitude, "longitude": 0},
            "bed": {"shape": "circle", "diameter": "2 m"},
        }
    )
    assert with_year(brief, today, latitude).season.year == year
    assert with_year(brief_of(), today, latitude).season.year == 2027


@pytest.mark.parametrize(
    ("begin", "heat_turn", "year"),
    [
        ("2027-06-30", 7, 2027),
        ("2027-07-01", 7, 2027),
        ("2028-01-31", 7, 2027),
        ("2028-02-01", 7, 2028),
        ("2028-01-01", 1, 2028),
        ("2028-07-31", 1, 2028),
        ("2028-08-01", 1, 2029),
    ],
)
def test_a_growing_year_that_turned_over_in_heat_can_be_begun_until_most_of_winter_is_over(
    begin: str, heat_turn: int, year: int
) -> None:
    latitude = 26.0 if heat_turn == 7 else -26.0
    where = {"latitude": latitude, "longitude": 0}
    bed = {"shape": "circle", "diameter": "2 m"}
    brief = read_brief({"place": where, "bed": bed, "dates": {"begin": begin}})
    assert with_year(brief, date(2026, 11, 25), latitude, heat_turn).season.year == year
    show = read_brief({"place": where, "bed": bed, "dates": {"show": "2028-03-01"}})
    expected = 2027 if heat_turn == 7 else 2028
    assert with_year(show, date(2026, 11, 25), latitude, heat_turn).season.year == expected


HOUSE = {"kind": "building", "name": "barn", "bearing": "N", "distance": "8 m", "width": "9 m",
         "depth": "5 m", "height": "3 m"}  # fmt: skip
OAK = {"kind": "tree", "name": "oak", "bearing": "S", "distance": "9 m", "height": "8 m",
       "spread": "4 m"}  # fmt: skip
FENCE = {"kind": "fence", "name": "pales", "height": "1.8 m",
         "corners": [["-3 m", "-3 m"], ["6 m", "-3 m"], ["6 m", "5 m"]]}  # fmt: skip
BARN_CORNERS = [["0 m", "5 m"], ["6 m", "5 m"], ["6 m", "9 m"], ["0 m", "9 m"]]


def without(thing: dict[str, object], *names: str, **given: object) -> dict[str, object]:
    return {**{k: v for k, v in thing.items() if k not in names}, **given}


CORNERED = without(HOUSE, "bearing", "distance", "width", "depth", corners=BARN_CORNERS)
CROSSED = [BARN_CORNERS[n] for n in (0, 2, 1, 3)]


@pytest.mark.parametrize(
    ("thing", "field", "words"),
    [
        (without(OAK, height="0 m"), "(oak).height", "given '0 m'; .* 5 cm to 120 m"),
        (without(OAK, height="500 m"), "(oak).height", "given '500 m'; .* 5 cm to 120 m"),
        (without(OAK, bearing=400), "(oak).bearing", "given 400; .*0 to 360"),
        (without(OAK, distance="10 cm"), "(oak).distance", "keeps oak out of the bed"),
        (without(OAK, at=["1 m", "1 m"]), "(oak).at", "beside bearing and distance"),
        (without(OAK, "bearing", "distance", at=["1 m", "1 m"]), "(oak).at", "oak out of it"),
        (without(OAK, "bearing"), "(oak).bearing", "given nothing; .*or at ="),
        (without(OAK, "bearing", "distance"), "(oak).bearing", "given nothing"),
        (without(OAK, crown="roundd"), "(oak).crown", "did you mean 'rounded'"),
        (without(OAK, crown_base="8 m"), "(oak).crown_base", "given '8 m'; .*lower than height"),
        (without(OAK, trunk="4.5 m"), "(oak).trunk", "no thicker than"),
        (without(OAK, leaf_out="04-20"), "(oak).leaf_fall", "go together"),
        (
            without(OAK, leaf_out="04-20", leaf_fall="10-30", evergreen=True),
            "(oak).leaf_out",
            "given '04-20' of an evergreen",
        ),
        (without(OAK, leaf_out="04-20", leaf_fall="04-20"), "(oak).leaf_fall", "another day"),
        (without(OAK, leaf_out="04-31", leaf_fall="10-30"), "(oak).leaf_out", "month-day"),
        (without(OAK, openness_bare="30%", evergreen=True), "(oak).openness_bare", "evergreen"),
        (without(HOUSE, distance="50 cm"), "(barn).distance", "keeps barn out of the bed"),
        (without(HOUSE, ridge="2 m"), "(barn).ridge", "given '2 m'; .*at least as high as height"),
        (without(HOUSE, roof="hip"), "(barn).ridge", "given nothing; .*hip roof"),
        (without(HOUSE, roof="flat", ridge="4 m"), "(barn).ridge", "roof = 'gable' or 'hip'"),
        (without(HOUSE, ridge_runs="N"), "(barn).ridge_runs", "of gable roofs"),
        (without(HOUSE, roof="gambrel", ridge="5 m"), "(barn).roof", "'flat', 'gable', 'hip'"),
        (without(HOUSE, "width"), "(barn).width", "given nothing; .*corners"),
        (without(CORNERED, width="3 m"), "(barn).width", "beside corners"),
        (without(CORNERED, faces="S"), "(barn).faces", "beside corners"),
        (without(CORNERED, bearing="N"), "(barn).corners", "beside bearing"),
        (without(CORNERED, corners=CROSSED), "(barn).corners", "walls do not cross"),
        (without(CORNERED, corners=BARN_CORNERS[:2]), "(barn).corners", "at least 3"),
        (
            without(CORNERED, corners=[["0 m", "5 m"], ["6 m", "5 m"], ["9 m", "5 m"]]),
            "(barn).corners",
            "0.01 m² and more",
        ),
        (
            without(CORNERED, corners=[["0 m", "-5 m"], ["6 m", "-5 m"], ["6 m", "9 m"]]),
            "(barn).corners",
            "barn out of it",
        ),
        (
            without(CORNERED, corners=[["SE"], *BARN_CORNERS]),
            "(barn).corners[1]",
            "given .'SE'.; .*a bearing and a distance",
        ),
        (
            without(CORNERED, corners=[["SE", "9"], *BARN_CORNERS]),
            "(barn).corners[1]",
            "given .'SE', '9'.; .*a bearing and a distance",
        ),
        (without(FENCE, length="3 m"), "(pales).length", "beside corners"),
        (without(FENCE, "corners"), "(pales).bearing", "given nothing; .*or corners"),
        (
            without(FENCE, "corners", bearing="S", distance="3 m"),
            "(pales).length",
            "corners that it runs through",
        ),
        (
            without(FENCE, corners=[["-3 m", "-3 m"], ["-3 m", "-3 m"]]),
            "(pales).corners",
            "stands still",
        ),
    ],
)  # fmt: skip
def test_faults_about_the_surroundings_name_the_thing(
    thing: dict[str, object], field: str, words: str
) -> None:
    found = faults(surroundings=[HOUSE, thing] if thing["name"] != "barn" else [OAK, thing])
    assert f"surroundings[2] {field}" in found, found
    assert len(found) <= 3, found
    assert re.search(words, found[f"surroundings[2] {field}"]), found


def test_faults_of_goods_and_of_tables_within_tables_do_not_hide_one_another() -> None:
    found = faults(
        ground={"texture": "lome", "test": {"ph": 70, "potassium": "95 ppm"}},
        materials=[{"material": "compost", "pack": "40 L", "count": -2},
               {"material": "urea", "pack": "1 kg", "analysis": "60-50-0"}],
    )  # fmt: skip
    assert set(found) == {"ground.texture", "ground.test.ph", "ground.test.method",
                          "materials[1].count", "materials[2].analysis"}  # fmt: skip


def test_faults_of_one_thing_are_told_at_once_simple_ones_and_clashes() -> None:
    thing = {"kind": "building", "name": "barn", "bearing": 400, "distance": "8 m", "width": "9",
             "depth": "5 m", "height": "3 m", "roof": "hip", "ridge": "2 m", "faces": "E",
             "corners": BARN_CORNERS, "colour": "red"}  # fmt: skip
    found = {key.split(".")[1] for key in faults(surroundings=[thing])}
    assert found == {"bearing", "width", "colour", "corners", "depth", "faces", "ridge"}


def test_a_clash_is_no_knock_on_of_a_faulty_field() -> None:
    """What could not be read counts as given: a faulty height makes no ridge too low."""
    found = faults(surroundings=[without(HOUSE, height="3", ridge="2 m")])
    assert list(found) == ["surroundings[1] (barn).height"]
    found = faults(surroundings=[without(CORNERED, corners=[["0 m", "5"], ["6 m", "5 m"]])])
    assert list(found) == ["surroundings[1] (barn).corners[1]"]


def test_one_side_viewed_from_stands_beside_a_fault() -> None:
    bed = {"shape": "rectangle", "length": "4", "width": "2 m", "viewed_from": "S"}
    assert list(faults(bed=bed)) == ["bed.length"]


@pytest.mark.parametrize("shape", [["rectangle"], {"a": 1}, 4])
def test_a_shape_that_is_no_word_is_told(shape: object) -> None:
    assert "one of 'rectangle'" in faults(bed={"shape": shape})["bed.shape"]


def test_control_characters_are_refused_where_they_stand() -> None:
    found = faults(title="a\x01b", surroundings=[{**OAK, "name": "o\nk"}])
    assert set(found) == {"title", "surroundings[1].name"}


@pytest.mark.parametrize(
    "corners",
    [
        [["-1 m", "-1 m"], ["5 m", "-1 m"], ["5 m", "3 m"], ["-1 m", "3 m"]],
        [["1 m", "0.5 m"], ["2 m", "0.5 m"], ["2 m", "1 m"]],
    ],
)
def test_a_building_over_or_in_the_bed_is_refused(corners: list[list[str]]) -> None:
    found = faults(surroundings=[without(CORNERED, corners=corners)])
    assert "inside the bed's edge" in found["surroundings[1] (barn).corners"]


@pytest.mark.parametrize(
    ("tables", "field", "words"),
    [
        ({"slope": "5%"}, "bed.aspect", "given nothing"),
        ({"slope": 0.05, "aspect": "S"}, "bed.slope", "'8%', '5°' or '1 in 12'"),
        ({"slope": "150%", "aspect": "S"}, "bed.slope", "up to '100%'"),
        ({"slope": "1 in 0", "aspect": "S"}, "bed.slope", "up to '100%'"),
    ],
)
def test_faults_of_a_slope(tables: dict[str, object], field: str, words: str) -> None:
    found = faults(bed={"shape": "circle", "diameter": "2 m", **tables})
    assert re.search(words, found[field]), found


@pytest.mark.parametrize(
    ("horizon", "field", "words"),
    [
        ([["E", 70]], r"place.horizon[1][2]", "0 to 60"),
        ([["E", 7], [90, 8]], r"place.horizon[2]", "each bearing once"),
        ([["east-ish", 7]], r"place.horizon[1][1]", "a compass point"),
    ],
)
def test_faults_of_a_horizon(horizon: object, field: str, words: str) -> None:
    found = faults(place={"latitude": 53.27, "longitude": -9.05, "horizon": horizon})
    assert re.search(words, found[field]), found


def test_slopes_and_spots_are_read_as_people_write_them() -> None:
    assert parse_slope("8%") == pytest.approx(0.08)
    assert parse_slope("1 in 12") == pytest.approx(1 / 12)
    assert parse_slope("5 deg") == parse_slope("5°") == pytest.approx(0.0874887)
    assert parse_spot(["3 m", "-120 cm"]) == (3.0, pytest.approx(-1.2))
    assert parse_spot(["SE", "6 m"]) == parse_spot([135, "6 m"]) == Paced(135.0, 6.0)
    assert parse_skyline("8°") == parse_skyline(8) == 8.0
    assert parse_skyline("8.5°") == parse_skyline("8,5 deg") == 8.5


def test_faults_count_the_surroundings_as_they_were_written() -> None:
    things = [
        {"kind": "wall", "bearing": 400, "distance": "6 m", "length": "4 m", "height": "2 m"},
        {"kind": "wall", "bearing": "S", "distance": "20 cm", "length": "4 m", "height": "2 m"},
    ]
    with pytest.raises(BriefError) as caught:
        brief_of(surroundings=things)
    assert [fault.field for fault in caught.value.faults] == [
        "surroundings[1].bearing",
        "surroundings[2].distance",
    ]


# --- bounds, and text that can be printed --------------------------------------------------------

HEAD = "[place]\nlatitude = 53.27\nlongitude = -9.05\n"
TODAY = date(2026, 11, 25)


def read(tmp_path: Path, text: str, today: date = TODAY) -> list[Fault]:
    """The faults of a brief in a file; none where it is sound."""
    path = tmp_path / "b.toml"
    path.write_text(text, encoding="utf-8")
    found: tuple[Fault, ...] = ()
    try:
        gather(path, catalogue_of(path, today), today)
    except BriefError as error:
        found = error.faults
    assert all(str(fault).isprintable() for fault in found)
    return list(found)


NINES = "9" * 400


@pytest.mark.parametrize(
    ("tables", "field"),
    [
        ({"bed": {"shape": "circle", "diameter": f"{NINES} m"}}, "bed.diameter"),
        ({"bed": {"shape": "circle", "diameter": "1e999 m"}}, "bed.diameter"),
        ({"bed": {"shape": "circle", "diameter": "2 m", "bearing": 10**400}}, "bed.bearing"),
        ({"bed": {"shape": "circle", "diameter": "2 m", "aspect": "S",
                  "slope": f"{NINES} in {NINES}"}},
         "bed.slope"),
        ({"season": {"frost_risk": f"{NINES}%"}}, "season.frost_risk"),
        ({"season": {"frost_risk": 10**400}}, "season.frost_risk"),
        ({"season": {"frost_risk": math.nan}}, "season.frost_risk"),
        ({"season": {"year": 16**5000}}, "season.year"),
        ({"wishes": {"budget": math.inf}}, "wishes.budget"),
        ({"wishes": {"budget": math.nan}}, "wishes.budget"),
        ({"wishes": {"kinds": math.nan}}, "wishes.kinds"),
        ({"ground": {"test": {"phosphorus": f"{NINES} ppm"}}}, "ground.test.phosphorus"),
        ({"surroundings": [{"kind": "tree", "bearing": "N", "distance": "9 m", "height": "8 m",
                            "spread": "4 m", "leaf_out": f"{NINES}-{NINES}",
                            "leaf_fall": "10-10"}]}, "surroundings[1].leaf_out"),
        ({"materials": [{"material": "compost", "pack": f"{NINES} L"}]}, "materials[1].pack"),
        ({"materials": [{"material": "urea", "pack": "1 kg", "weighs": f"{NINES} g/L"}]},
         "materials[1].weighs"),
        ({"title": "x" * 121}, "title"),
        ({"title": "a\u202eb"}, "title"),
        ({"title": "a\ufffeb"}, "title"),
        ({"title": "a\ud800b"}, "title"),
        ({"title": "a\u2028b"}, "title"),
        ({"place": {"town": "Gal\x1bway"}}, "place.town"),
        ({"place": {"town": "x" * 5000}}, "place.town"),
        ({"place": {"latitude": 50, "longitude": 9, "record": {"file": "a\x00b"}}},
         "place.record.file"),
        ({"place": {"latitude": 50, "longitude": 9, "record": {"file": "x" * 400}}},
         "place.record.file"),
        ({"own_kinds": "a\x00b"}, "own_kinds"),
        ({"materials": [{"material": "com\x00post", "pack": "4 L"}]}, "materials[1].material"),
        ({"materials": [{"material": "compost", "pack": "4 L\u202e"}]}, "materials[1].pack"),
        ({"wishes": {"grow": ["a\x00"]}}, "wishes.grow[1]"),
        ({"dates": {"begin": "9999-01-01"}}, "dates.begin"),
        ({"dates": {"show": date(1, 1, 1)}}, "dates.show"),
        ({"dates": {"begin": date(227, 3, 1)}}, "dates.begin"),
        ({"dates": {"begin": datetime(2027, 3, 1)}}, "dates.begin"),
        ({"dates": {"begin": time(9, 30)}}, "dates.begin"),
        ({"dates": {"away": [{"start": date(2027, 1, 1), "end": date(2201, 1, 1)}]}},
         "dates.away[1].end"),
        ({"ground": {"limed": date(1492, 1, 1)}}, "ground.limed"),
    ],
)  # fmt: skip
def test_what_no_garden_holds_is_a_fault_of_its_field(
    tables: dict[str, object], field: str, tmp_path: Path
) -> None:
    given: dict[str, object] = {
        "place": {"latitude": 53.27, "longitude": -9.05},
        "bed": {"shape": "rectangle", "length": "4 m", "width": "2 m"},
    }
    also = (*checks(load_catalogue()), _check_place(_reader(tmp_path)))
    with pytest.raises(BriefError) as caught:
        read_brief({**given, **tables}, also)
    assert [fault.field for fault in caught.value.faults] == [field]
    assert all(line.isprintable() for line in str(caught.value).split("\n"))
    assert len(str(caught.value)) < 500


@pytest.mark.parametrize(
    ("text", "said", "accepted"),
    [
        (f"a = {'9' * 5000}\n", "thousands of digits", "a TOML file in UTF-8"),
        (f"a = {'[' * 9000}\n", "brackets within brackets", "a TOML file in UTF-8"),
        ("{a = " * 1500, "line 1", "a TOML file in UTF-8"),
        (f"a = {'{a = ' * 1500}\n", "brackets within brackets", "a TOML file in UTF-8"),
        (f"{'a.' * 3000}b = 1\n", "a long dotted key in line 1", "fewer than 50 parts"),
        (f"\n[{'a . ' * 60}b]\n", "a long dotted key in line 2", "fewer than 50 parts"),
        (f"title = '{'x' * 10_001}'\n", "letters in line 1", "lines of up to 10,000 letters"),
        ("# a line of a comment\n" * 12_000, "a file of 264,000 bytes", "up to 0.25 MB"),
    ],
)
def test_toml_that_no_reader_can_take_is_one_fault(
    tmp_path: Path, text: str, said: str, accepted: str
) -> None:
    (fault,) = read(tmp_path, text)
    assert fault.field == "b.toml"
    assert said in fault.given
    assert accepted in fault.accepted


@pytest.mark.parametrize(
    ("field", "tables", "accepted"),
    [
        ("title", {"title": 16**5000}, "text in quotes"),
        ("dates.show", {"dates": {"show": 16**5000}}, "a date as year-month-day"),
        ("bed.diameter", {"bed": {"shape": "circle", "diameter": 16**5000}}, "a length"),
        ("prices.plant", {"prices": {"plant": -(16**5000)}}, "a number from 0 to 1,000,000"),
    ],
)
def test_a_number_of_thousands_of_digits_says_what_is_accepted(
    field: str, tables: dict[str, object], accepted: str
) -> None:
    """TOML writes such a number in few letters: in hexadecimal, Python reads it."""
    (said,) = faults(**tables).values()
    assert said.startswith(f"{field}: given a number of thousands of digits; accepted: {accepted}")


def test_a_key_that_is_no_text_is_an_unknown_field() -> None:
    with pytest.raises(BriefError, match="no such field"):
        read_brief({5: 1})  # type: ignore[dict-item]


def test_a_line_of_dots_is_no_key(tmp_path: Path) -> None:
    assert read(tmp_path, f"# {'. ' * 90}\ntitle = 'wait {'.' * 90}'\n{HEAD}{BED}") == []


def test_a_brief_in_another_coding_names_the_line(tmp_path: Path) -> None:
    path = tmp_path / "b.toml"
    path.write_bytes(f"# garden\ntitle = 'Gärten'\n{HEAD}{BED}".encode("cp1252"))
    with pytest.raises(BriefError, match="in line 2"):
        load_brief(path)
    path.write_text(f"title = 'Gärten'\r\n{HEAD}{BED}", encoding="utf-16")
    assert load_brief(path).title == "Gärten"


def test_a_brief_or_its_own_kinds_where_no_file_can_be(tmp_path: Path) -> None:
    for path in (tmp_path, Path("/dev/zero"), Path("a\0b")):
        with pytest.raises(BriefError, match="a text file of up to"):
            load_brief(path)
    for name in (".", "/dev/zero", "missing.toml", "x" * 400):
        (fault,) = read(tmp_path, f"own_kinds = '{name}'\n{HEAD}{BED}")
        assert fault.field == "own_kinds"
        assert "a TOML file of own kinds beside the brief" in fault.accepted


@pytest.mark.parametrize(
    ("field", "tables", "accepted"),
    [
        ("surroundings", [{}] * 101, "at most 100 tables"),
        ("materials", [{}] * 101, "at most 100 tables"),
        ("existing", [{}] * 101, "at most 100 tables"),
        ("changes", [{}] * 51, "at most 50 tables"),
        ("dates.away", {"away": [{}] * 51}, "at most 50 entries, not 51"),
        ("wishes.grow", {"grow": ["x"] * 251}, "at most 250 entries"),
        ("wishes.uses", {"uses": ["cutting"] * 251}, "at most 250 entries"),
        ("wishes.edge_with", {"edge_with": ["x"] * 13}, "at most 12 entries"),
        ("bed.corners", {"shape": "polygon", "corners": [["1 m", "2 m"]] * 101}, "at most 100"),
        ("bed.offsets", {"shape": "offsets", "offsets": [["1 m", "2"]] * 201}, "at most 200"),
        ("bed.pegs", {"shape": "curve", "pegs": [["1 m", "2 m"]] * 101}, "at most 100"),
        ("bed.tapes", {"shape": "curve", "base": "2 m", "tapes": [["1 m", "2"]] * 101},
         "at most 100"),
        ("bed.viewed_from", {"shape": "circle", "diameter": "2 m", "viewed_from": ["N"] * 17},
         "at most 16"),
        ("place.horizon", {"latitude": 1, "longitude": 9, "horizon": [["N", 1]] * 73},
         "at most 72"),
    ],
)  # fmt: skip
def test_lists_have_a_most(field: str, tables: object, accepted: str) -> None:
    found = faults(**{field.split(".")[0]: tables})
    assert list(found) == [field]
    assert accepted in found[field]


def test_the_most_that_a_brief_takes_is_sound(tmp_path: Path) -> None:
    trees = "".join(
        f'[[surroundings]]\nkind = "tree"\nbearing = {3 * n}\ndistance = "{20 + n} m"\n'
        'height = "9 m"\nspread = "5 m"\n'
        for n in range(100)
    )
    corners = ",\n".join(
        f'["{3 * math.cos(n / 50 * math.pi):.4f} m", "{3 * math.sin(n / 50 * math.pi):.4f} m"]'
        for n in range(100)
    )
    bed = f'[bed]\nshape = "polygon"\ncorners = [{corners}]\n'
    assert read(tmp_path, f"title = '{'x' * 120}'\n{HEAD}{bed}{trees}") == []


def test_thousands_of_unknown_fields_are_counted(tmp_path: Path) -> None:
    text = "".join(f"x{n} = 1\n" for n in range(8000))
    found = read(tmp_path, f"{text}{HEAD}{BED}[ground]\n{text}")
    assert len(found) == 12
    assert found[5].field == "x7999"
    assert "7,994 more of the same sort" in found[5].given
    assert found[11].field == "ground.x7999"


def test_many_faults_are_cut_short() -> None:
    with pytest.raises(BriefError) as caught:
        brief_of(materials=[{"material": f"stuff {n}", "pack": "four"} for n in range(90)],
                 existing=[{"name": n} for n in range(9)])  # fmt: skip
    listed = caught.value.faults
    assert len(listed) < 40
    assert any("more of the same sort" in fault.given for fault in listed)
    assert len({fault.field for fault in listed}) == len(listed)


MANY = """
title = "a\\u202eb"
unitz = "us"
paper = "a5"
[place]
town = "Nowhere at all, Ireland"
altitude = "9 km"
record = { file = "missing.csv", unit = "K" }
horizon = [["E", 8], ["E", 9]]
[season]
frost_risk = "80%"
[bed]
shape = "offsets"
slope = "300%"
offsets = [["0 m", "1 m"], ["1 m", "2 m"], ["2 m", "3"]]
viewed_from = ["S", "sideways"]
[[surroundings]]
kind = "tree"
bearing = "N"
distance = "9 m"
height = "9"
spread = "4 m"
[[surroundings]]
kind = "hedge"
height = "1 m"
[ground]
texture = "lome"
[ground.test]
ph = nan
buffer_ph = 6.6
[[materials]]
material = "compst"
pack = 40
[[materials]]
material = "urea"
pack = "1 kg"
count = inf
analysis = "60-50-0"
[wishes]
colour_scheme = "hott"
grow = ["marigold"]
edge_with = ["sweet_alyssum: teal"]
colours = ["mauvish"]
[[existing]]
name = 5
at = ["1 m", "1 m"]
spread = "1 m"
[[existing]]
name = "rose"
at = ["1 m"]
spread = "1 m"
[[existing]]
name = "lily"
at = ["1 m", "0.5 m"]
spread = "1 m"
spread_now = "2 m"
[[changes]]
at = ["1 m", "1 m"]
size = 9
grow = "cosmoss"
[dates]
begin = 0227-03-01
show = 2027-07-04T10:00:00
away = [{ start = 2027-05-01, end = 2026-05-01 }, { start = 12:00:00, end = "soon" }]
[indoors]
block = "1 m"
warmth = "perhaps"
[prices]
plant = -1
"""


def test_forty_faults_over_all_tables_come_in_one_go(tmp_path: Path) -> None:
    found = {fault.field for fault in read(tmp_path, MANY)}
    assert found == {
        "title", "unitz", "paper", "place.town", "place.altitude", "place.record.unit",
        "place.record.file", "place.horizon[2]", "season.frost_risk", "bed.slope", "bed.aspect",
        "bed.offsets[3][2]", "bed.viewed_from[2]", "surroundings[1].height",
        "surroundings[2].bearing", "surroundings[2].length", "ground.texture", "ground.test.ph",
        "ground.test.buffer_method", "materials[1].material", "materials[1].pack",
        "materials[2].count", "materials[2].analysis", "wishes.colour_scheme",
        "wishes.grow[1]", "wishes.edge_with[1]",
        "wishes.colours[1]", "existing[1].name", "existing[2].at[2]", "existing[3].spread_now",
        "changes[1].size", "changes[1].grow", "dates.begin", "dates.show", "dates.away[1].end",
        "dates.away[2].start", "dates.away[2].end", "indoors.block", "indoors.warmth",
        "prices.plant",
    }  # fmt: skip


def test_what_is_sound_of_a_faulty_table_is_still_checked(tmp_path: Path) -> None:
    text = (
        "[place]\nlatitude = 53.27\nlongitude = -9.05\naltitude = 'high'\n"
        "[place.frost]\nlast_spring = { '50%' = '10-01' }\nfirst_autumn = { '50%' = '11-01' }\n"
        "[season]\nyear = 2027\nfrost_risk = 'none'\n"
        "[dates]\nshow = 2029-07-01\nbegin = 'soon'\n"
        "[bed]\nshape = 'circle'\ndiameter = '2 m'\nslope = 'steep'\n"
        "[[existing]]\nname = 'rose'\nat = ['9 m', '0 m']\nspread = '1 m'\nspread_now = '2'\n"
        "[[surroundings]]\nkind = 'tree'\nbearing = 'N'\ndistance = '20 cm'\nheight = 'tall'\n"
        "spread = '4 m'\n"
    )
    found = {fault.field for fault in read(tmp_path, text)}
    assert found == {
        "place.altitude", "place.frost.last_spring.50%", "season.frost_risk", "dates.show",
        "dates.begin", "bed.slope", "bed.aspect", "existing[1].at", "existing[1].spread_now",
        "surroundings[1].height", "surroundings[1].distance",
    }  # fmt: skip


def test_a_faulty_bearing_of_the_bed_blames_nothing_around_it() -> None:
    bed = {"shape": "rectangle", "length": "9 m", "width": "1 m", "bearing": "up"}
    shed = {"kind": "building", "bearing": "E", "distance": "2 m", "width": "3 m", "depth": "3 m",
            "height": "3 m"}  # fmt: skip
    assert list(faults(bed=bed, surroundings=[shed])) == ["bed.bearing"]


def test_faults_of_own_kinds_come_with_those_of_the_brief(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text("[kind.impatiens]\nspacing_cm = 'wide'\n")
    text = f"own_kinds = 'own.toml'\nunits = 'feet'\n{HEAD}{BED}[wishes]\ngrow = ['lime']\n"
    found = [fault.field for fault in read(tmp_path, text)]
    assert found == ["own.toml kind.impatiens.spacing_cm", "units"]


def test_a_record_that_ends_before_it_begins() -> None:
    record = {"file": "a.csv", "from_year": 2000, "to_year": 1990}
    found = faults(place={"latitude": 50, "longitude": 9, "record": record})
    assert "2000 or later" in found["place.record.to_year"]


def test_a_station_without_unit_is_named_as_such() -> None:
    bed = {"shape": "offsets", "offsets": [["0 m", "1 m"], ["1 m", "0.5 m", "2"], ["2 m"]]}
    found = faults(bed=bed)
    assert list(found) == ["bed.offsets[2][3]", "bed.offsets[3]"]
    assert "a length with its unit" in found["bed.offsets[2][3]"]
    assert "at least 2 entries" in found["bed.offsets[3]"]


@pytest.mark.parametrize("name", ["lime", "manure", "fertiliser", "bone meal", "5-10-10", "-"])
def test_a_name_that_means_several_materials_or_none_is_not(name: str) -> None:
    assert "materials[1].material" in faults(materials=[{"material": name, "pack": "20 kg"}])


def test_a_year_gone_by_is_noted(tmp_path: Path) -> None:
    path = tmp_path / "b.toml"

    def notes(dates: str, today: date = TODAY) -> tuple[Fact, ...]:
        path.write_text(f"{HEAD}{BED}{dates}")
        return gather(path, load_catalogue(), today)[1].notes

    past = (YearPast(2019, date(2019, 12, 31)),)
    assert notes("[season]\nyear = 2019\n") == past
    assert notes("[dates]\nbegin = 2019-03-01\n") == past
    assert notes("[dates]\nshow = 2019-07-01\n") == past
    assert notes("[season]\nyear = 2026\n", date(2026, 12, 31)) == ()
    just = (YearPast(2026, date(2026, 12, 31)),)
    assert notes("[season]\nyear = 2026\n", date(2027, 1, 1)) == just
    assert notes("") == ()


def test_the_note_of_a_year_gone_by_is_on_the_season() -> None:
    brief, weather = gather_season("53.27,-9.05", None, {"season": {"year": 2019}}, TODAY)
    season = make_season(weather, 2019, brief.place.frost, 0)
    assert YearPast(2019, date(2019, 12, 31)) in season.notes


@pytest.mark.parametrize("dates", ["begin = 2200-12-01", "begin = 2200-07-01"])
def test_a_date_that_leads_out_of_the_span_of_years(tmp_path: Path, dates: str) -> None:
    (fault,) = read(tmp_path, f"{HEAD}{BED}[dates]\n{dates}\n")
    assert fault.field == "dates.begin"
    assert "growing years 1990 to 2200" in fault.accepted


def test_random_briefs_are_read_or_answered_with_faults(tmp_path: Path) -> None:
    sound = sum(read(tmp_path, mutated_brief(seed)) == [] for seed in range(150))
    assert 15 < sound < 135


def test_random_beds_are_sound(tmp_path: Path) -> None:
    for seed in range(60):
        assert read(tmp_path, dumps(random_brief(random.Random(seed)))) == [], seed


def test_away_all_year_leaves_no_day_to_dig(tmp_path: Path) -> None:
    text = f"{HEAD}{BED}[season]\nyear = 2027\n[[dates.away]]\nstart = 2026-12-01\n"
    (fault,) = read(tmp_path, f"{text}end = 2027-12-01\n")
    assert fault.field == "dates.away"
    assert "a day at home" in fault.accepted
    assert read(tmp_path, f"{text}end = 2027-10-20\n") == []


PEGS = [["0 m", "0 m"], ["4 m", "0 m"], ["4 m", "3 m"], ["0 m", "3 m"]]
TAPES = [["3 m", "4 m"], ["6 m", "5 m"], ["5 m", "6 m"]]


@pytest.mark.parametrize(
    ("bed", "field", "words"),
    [
        ({"shape": "curve"}, "pegs", "given nothing; accepted: pegs, each ['x', 'y']"),
        ({"shape": "polygon"}, "corners", "accepted: corners, each ['x', 'y'] from the base line"),
        ({"shape": "curve", "pegs": PEGS[:2]}, "pegs", "at least 3 entries"),
        ({"shape": "curve", "pegs": [*PEGS, ["1", "2 m"]]}, "pegs[5][1]", "a length with its unit"),
        ({"shape": "curve", "pegs": PEGS, "tapes": TAPES, "base": "5 m"}, "tapes", "beside pegs"),
        ({"shape": "polygon", "corners": PEGS, "base": "5 m"}, "base", "or tapes beside it"),
        ({"shape": "curve", "tapes": TAPES}, "base", "how far from A, at the start of the base"),
        (
            {"shape": "curve", "tapes": TAPES, "base": "5 m", "fixed": PEGS[:2]},
            "base",
            "given '5 m' beside fixed; accepted: one or the other",
        ),
        ({"shape": "curve", "tapes": [*TAPES, ["3 m"]], "base": "5 m"}, "tapes[4]", "two lengths"),
        ({"shape": "curve", "tapes": [*TAPES, [3, 4]], "base": "5 m"}, "tapes[4]", "two lengths"),
        (
            {"shape": "curve", "tapes": [*TAPES, ["3 m", "4 m", "up"]], "base": "5 m"},
            "tapes[4]",
            "'right' after them",
        ),
        (
            {"shape": "curve", "tapes": [*TAPES, ["3 m", "4 m", 1]], "base": "5 m"},
            "tapes[4]",
            "'right' after them",
        ),
        (
            {"shape": "curve", "tapes": [*TAPES, ["3 m", "-4 m"]], "base": "5 m"},
            "tapes[4]",
            "of 500 m at most",
        ),
        ({"shape": "curve", "tapes": TAPES, "fixed": PEGS}, "fixed", "at most 2 entries"),
        ({"shape": "curve", "pegs": PEGS, "sharp": [5]}, "sharp[1]", "a peg, 1 to 4"),
        ({"shape": "curve", "pegs": PEGS, "sharp": [2, 2]}, "sharp[2]", "peg 2 once more"),
        ({"shape": "curve", "pegs": PEGS, "sharp": [0]}, "sharp[1]", "from 1 to 100"),
        ({"shape": "curve", "corners": PEGS}, "corners", "no such field"),
        ({"shape": "polygon", "pegs": PEGS}, "pegs", "no such field"),
    ],
)
def test_pegs_and_tapes_at_fault(bed: dict[str, object], field: str, words: str) -> None:
    with pytest.raises(BriefError) as caught:
        brief_of(bed=bed)
    said = {fault.field: str(fault) for fault in caught.value.faults}
    assert words in said[f"bed.{field}"]
    assert len(said) == 1 or "no such field" in words


def test_a_curve_of_tapes_reads_in_feet_and_keeps_its_sides() -> None:
    tapes = [["9 ft 10 in", "4 m"], ["3 m", "4 m", " Right"], ["4 m", "3 m", "left"]]
    bed = brief_of(bed={"shape": "Curve", "tapes": tapes, "base": "5 m"}).bed
    assert [tape.left for tape in bed.tapes] == [True, False, True]
    assert bed.tapes[0].from_a == pytest.approx(118 * 0.0254)


@pytest.mark.parametrize("given", [45, 45.0, "45", "45°", "45 degrees", "45,0", "NE", "north-east"])
def test_a_direction_as_people_write_it(given: object) -> None:
    assert parse_bearing(given) == 45.0


@pytest.mark.parametrize("given", ["361", "-5", "45 m", "NEE", "", "°", None, True])
def test_what_is_no_direction(given: object) -> None:
    with pytest.raises(UnitError, match="compass point"):
        parse_bearing(given)
