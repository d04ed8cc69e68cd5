"""What gardeners say of frost, as a brief reads it."""

from __future__ import annotations

from typing import Any

import pytest

from bedwright.brief import BriefError, FreezeDays, MonthDay, Place, read_brief

BED = {"shape": "rectangle", "length": "3 m", "width": "1 m"}


def place(**fields: Any) -> Place:
    return read_brief({"place": {"town": "Cork, Ireland", **fields}, "bed": BED}).place


def fault(**fields: Any) -> str:
    with pytest.raises(BriefError) as caught:
        place(**fields)
    return str(caught.value)


@pytest.mark.parametrize(
    ("words", "fields"),
    [
        ("none", {"never": True}),
        ("Frost-free", {"never": True}),
        ("light frost in June and July", {"light": True, "months": (6, 7)}),
        ("frost from November to March", {"months": (11, 12, 1, 2, 3)}),
        ("freezes Dec-Feb", {"months": (12, 1, 2)}),
        ("frost in July", {"months": (7,)}),
        ("frost one year in five", {"share": 0.2}),
        ("light frosts in Dec. and Jan., 2 years out of 3",
         {"light": True, "months": (12, 1), "share": 2 / 3}),
        ("frost in three winters of ten", {"share": 0.3}),
    ],
)  # fmt: skip
def test_words_are_a_table(words: str, fields: dict[str, Any]) -> None:
    said, table = place(frost=words).frost, place(frost=fields).frost
    assert said == table
    assert said is not None
    assert {name: getattr(said, name) for name in fields} == fields


@pytest.mark.parametrize(
    "words",
    ["maybe", "frost", "in June", "frost in Juneish", "frost one year in one", "frost to May",
     "frost nine years in five", "light"],
)  # fmt: skip
def test_what_is_not_understood_is_answered_with_examples(words: str) -> None:
    text = fault(frost=words)
    assert f"place.frost: given '{words}'" in text
    assert "'light frost in June and July'" in text


@pytest.mark.parametrize(
    ("given", "days", "taken"),
    [
        ("05-14", {0.5: MonthDay(5, 14)}, "day"),
        ("14 May", {0.5: MonthDay(5, 14)}, "day"),
        ("May 14th", {0.5: MonthDay(5, 14)}, "day"),
        ("mid-May", {0.5: MonthDay(5, 15)}, "day"),
        ("late April", {0.5: MonthDay(4, 25)}, "day"),
        ("end of Sept.", {0.5: MonthDay(9, 25)}, "day"),
        ("May", {0.5: MonthDay(5, 15), 0.1: MonthDay(5, 31)}, "month"),
        ({"10%": "05-14"}, {0.1: MonthDay(5, 14)}, "odds"),
    ],
)
def test_a_day_alone_is_the_usual_year_s(
    given: object, days: dict[float, MonthDay], taken: str
) -> None:
    frost = place(frost={"last_spring": given}).frost
    assert frost is not None
    assert isinstance(frost.last_spring, FreezeDays)
    assert (dict(frost.last_spring.odds), frost.last_spring.taken) == (days, taken)
    assert frost.first_autumn is None


def test_a_month_of_autumn_has_its_first_day_at_one_in_ten() -> None:
    frost = place(frost={"first_autumn": "October"}).frost
    assert frost is not None
    assert frost.first_autumn is not None
    assert frost.first_autumn.odds[0.1] == MonthDay(10, 1)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"frost": {}}, "place.frost: given what the table holds; accepted: a table"),
        ({"frost": {"never": True, "light": True}}, "place.frost.never: given True beside light"),
        ({"frost": {"months": ["June", "August"]}}, "months that follow each other"),
        ({"frost": {"months": ["June"], "last_spring": "May"}}, "beside last_spring"),
        ({"frost": {"months": ["Juno"]}}, "place.frost.months[1]: given 'Juno'"),
        ({"frost": {"last_spring": "soon"}}, "'mid-May'"),
        ({"frost": {"last_spring": "31 February"}}, "'mid-May'"),
        ({"frost": {"last_spring": {"50%": "13-14"}}}, "place.frost.last_spring.50%"),
        ({"situation": ["hollow", "hill"]}, "place.situation: given ['hollow', 'hill']"),
        ({"situation": "town", "nights": "1 °C milder"}, "place.nights"),
        ({"nights": "-2 °C colder"}, "'2 °C colder'"),
        ({"nights": "20 °C"}, "up to 8 °C"),
    ],
)
def test_faults_name_the_field(fields: dict[str, Any], words: str) -> None:
    assert words in fault(**fields)


@pytest.mark.parametrize(
    ("given", "celsius"),
    [("2 °C colder", -2.0), ("-2 C", -2.0), ("9 °F milder", 5.0), ("+1,5 °C", 1.5)],
)
def test_nights_are_degrees_celsius(given: str, celsius: float) -> None:
    assert place(nights=given).nights == pytest.approx(celsius)


def test_a_situation_alone_is_a_list_of_one() -> None:
    assert place(situation="frost pocket").situation == ("hollow",)
