from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from bedwright.brief import BriefError, Paced, load_brief, read_brief, with_year
from bedwright.brief.values import parse_skyline, parse_slope, parse_spot
from bedwright.catalogue import load_catalogue
from bedwright.checks import checks
from bedwright.rim import gather
from conftest import EXAMPLES, brief_of


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
        wishes={"scheme": "hott", "grow": ["cosmoss"]},
    )
    assert (
        set(found)
        == {
            "bed.length",
            "ground.test.ph",
            "season.frost_risk",
            "wishes.scheme",
        }
        or len(found) == 5
    )
    assert "given '4 fot'; accepted: a length" in found["bed.length"]
    assert "given 70; accepted: a number from 3 to 10" in found["ground.test.ph"]
    assert "a risk from '1%' to '50%'" in found["season.frost_risk"]
    assert "did you mean 'hot'?" in found["wishes.scheme"]


def test_faults_of_the_catalogue_and_the_outline_join_the_others() -> None:
    found = faults(
        wishes={"grow": ["cosmos"], "leave_out": ["pansy", "Solanacea"], "colours": ["teal"]},
        goods=[{"material": "compst", "pack": "40 lb"}, {"material": "compost", "pack": "40"}],
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
    assert "compost" in found["goods[1].material"]
    assert "with its unit" in found["goods[2].pack"]
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
            {"goods": [{"material": "dried blood", "pack": "1 kg", "analysis": "60-50-0"}]},
            "goods[1].analysis",
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
            {"goods": [{"material": "compost", "pack": "40 L", "count": -2}]},
            "goods[1].count",
            "given -2; .* from 0",
        ),
        (
            {"goods": [{"material": "urea", "pack": "1 kg", "weighs": "8 oz"}]},
            "goods[1].weighs",
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
        (without(OAK, crown="round"), "(oak).crown", "did you mean 'rounded'"),
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
        goods=[{"material": "compost", "pack": "40 L", "count": -2},
               {"material": "urea", "pack": "1 kg", "analysis": "60-50-0"}],
    )  # fmt: skip
    assert set(found) == {"ground.texture", "ground.test.ph", "ground.test.method",
                          "goods[1].count", "goods[2].analysis"}  # fmt: skip


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
