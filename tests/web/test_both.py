"""Two who change a bed at once: the second is shown both and chooses, and nothing is lost."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.store import Bed
from bedwright.web.both import both
from conftest import examples
from page import SMALL, Page, page_in


def late(page: Page, bed: Bed, path: str, **given: Any) -> dict[str, Any]:
    """What is answered to a change that was made on the first revision."""
    answer = page.change(bed, 1, path, **given)
    assert answer.status_code == 409, answer.text
    detail: dict[str, Any] = answer.json()["detail"]
    return detail


def choose(page: Page, bed: Bed, told: dict[str, Any], take: str) -> Any:
    body = {"base": told["base"]["on"], "on": told["theirs"]["on"], "take": take,
            "brief": told["mine"]["brief"], "said": told["mine"]["said"]}  # fmt: skip
    return page.ask.post(f"/api/beds/{bed.key}/merge", json=body)


def test_the_second_is_shown_both_in_words(page: Page) -> None:
    bed = page.new(ground={"dig_depth": "20 cm"})
    page.change(bed, 1, "ground.dig_depth", text="25 cm")
    page.change(bed, 2, "title", text="Theirs")
    told = late(page, bed, "ground.dig_depth", text="30 cm")
    assert told["said"] == (
        "The bed was changed meanwhile (Dug to: 25 cm, not 20 cm; Name of the bed: Theirs, not"
        f" {SMALL['title']})."
    )
    assert told["mine"]["said"] == "Dug to: 30 cm, not 20 cm"
    assert told["base"] == {"on": 1, "brief": bed.values(1)}
    assert told["theirs"]["brief"] == bed.values(3)
    assert told["rows"] == [
        {"label": "Dug to", "before": "20 cm", "theirs": "25 cm", "mine": "30 cm", "clash": True},
        {"label": "Name of the bed", "before": SMALL["title"], "theirs": "Theirs",
         "mine": "as before", "clash": False},
    ]  # fmt: skip
    assert told["clashes"] == 1
    assert bed.now == 3


@pytest.mark.parametrize(
    ("take", "title", "depth", "said"),
    [
        ("both", "Theirs", "30 cm", "Dug to: 30 cm, on top of revision 2"),
        ("mine", SMALL["title"], "30 cm", "Dug to: 30 cm, instead of revision 2"),
    ],
)
def test_mine_is_put_on_top_or_taken_instead(
    page: Page, take: str, title: str, depth: str, said: str
) -> None:
    bed = page.new()
    page.change(bed, 1, "title", text="Theirs")
    told = late(page, bed, "ground.dig_depth", text="30 cm")
    assert told["clashes"] == 0
    made = choose(page, bed, told, take)
    assert made.json()["on"] == 3, made.text
    assert (bed.values()["title"], bed.values()["ground"]["dig_depth"]) == (title, depth)
    assert (bed.revisions[-1].said, bed.revisions[-1].parent) == (said, 2)
    assert bed.values(2)["title"] == "Theirs", "theirs is in the history"


def test_where_both_changed_the_same_mine_stands_and_theirs_is_in_the_history(page: Page) -> None:
    bed = page.new()
    page.change(bed, 1, "title", text="Theirs")
    told = late(page, bed, "title", text="Mine")
    assert choose(page, bed, told, "both").json()["on"] == 3
    assert (bed.values()["title"], bed.values(2)["title"]) == ("Mine", "Theirs")


def test_a_third_who_comes_between_is_shown_too(page: Page) -> None:
    bed = page.new()
    page.change(bed, 1, "title", text="Theirs")
    told = late(page, bed, "ground.dig_depth", text="30 cm")
    page.change(bed, 2, "ground.dig_depth", text="15 cm")
    again = choose(page, bed, told, "both")
    assert again.status_code == 409
    more = again.json()["detail"]
    assert [(row["label"], row["theirs"], row["mine"]) for row in more["rows"]] == [
        ("Dug to", "15 cm", "30 cm")]  # fmt: skip
    assert choose(page, bed, more, "both").json()["on"] == 4
    assert (bed.values()["title"], bed.values()["ground"]["dig_depth"]) == ("Theirs", "30 cm")


def test_what_is_the_same_is_not_asked(page: Page) -> None:
    """Both changed it alike; or what came between was undone."""
    bed = page.new()
    page.change(bed, 1, "title", text="Alike")
    assert page.change(bed, 1, "title", text="Alike").json()["on"] == 2
    page.ask.post(f"/api/beds/{bed.key}/revisions/1", json={"on": 2})
    assert bed.now == 3
    made = page.change(bed, 1, "ground.dig_depth", text="30 cm")
    assert (made.status_code, made.json()["on"], bed.revisions[-1].parent) == (200, 4, 3)


def test_what_does_not_go_together_is_said_and_changes_nothing(page: Page) -> None:
    """Theirs made the bed narrow, mine put something into it that stays."""
    bed = page.new(bed={"shape": "rectangle", "length": "4 m", "width": "3 m"})
    page.change(bed, 1, "bed.width", text="50 cm")
    rose = [{"name": "rose", "at": ["2 m", "2.5 m"], "spread": "60 cm"}]
    told = late(page, bed, "existing", value=rose)
    assert told["clashes"] == 0
    wrong = choose(page, bed, told, "both")
    assert (wrong.status_code, wrong.json()["detail"][0]["field"][:8]) == (422, "existing")
    assert bed.now == 2
    assert choose(page, bed, told, "mine").json()["on"] == 3


@pytest.mark.parametrize("way", ["undo", "redo"])
def test_undo_by_another_is_told_and_undoes_nothing(page: Page, way: str) -> None:
    bed = page.new()
    page.change(bed, 1, "title", text="Theirs")
    answer = page.ask.post(f"/api/beds/{bed.key}/{way}", json={"on": 1})
    assert (answer.status_code, "load the page again" in answer.json()["detail"]) == (409, True)


def test_an_undo_that_came_between_is_named(page: Page) -> None:
    bed = page.new()
    page.change(bed, 1, "title", text="Second")
    page.change(bed, 2, "ground.dig_depth", text="30 cm")
    page.ask.post(f"/api/beds/{bed.key}/undo", json={"on": 3})
    answer = page.change(bed, 3, "season.year", text="2028")
    told = answer.json()["detail"]
    assert told["theirs"]["said"] == ["back to revision 2: Name of the bed: Second, not "
                                      + SMALL["title"]]  # fmt: skip
    assert choose(page, bed, told, "both").json()["on"] == 4
    assert "ground" not in bed.values()
    assert bed.values()["season"]["year"] == 2028


@pytest.mark.parametrize(
    ("path", "theirs", "mine", "label", "words"),
    [
        ("wishes.grow", ["tall_zinnia"], ["coleus"], "Kinds to grow",
         ("not there", "tall zinnia", "as before")),
        ("surroundings", [{"kind": "fence", "bearing": "S", "distance": "2 m", "length": "3 m",
                           "height": "1 m"}], [], "fence",
         ("not there", "kind fence; bearing S; distance 2 m; length 3 m; height 1 m",
          "as before")),
        ("changes", [{"at": ["1 m", "0.5 m"], "plant": "tall_zinnia"}],
         [{"never": "coleus"}], "Asked of a drift",
         ("not there", "at 1 m, 0.5 m; plant tall zinnia", "as before")),
        ("dates.away", [{"start": "2027-06-03", "end": "2027-06-14"}],
         [{"start": "2027-07-03", "end": "2027-07-14"}], "Time away 1",
         ("not there", "start 2027-06-03; end 2027-06-14", "as before")),
        ("season.frost_risk", "20%", None, "Risk of frost accepted",
         ("not stated (10%)", "20%", "as before")),
    ],
)  # fmt: skip
def test_what_differs_is_called_as_on_the_sheets(
    page: Page, path: str, theirs: Any, mine: Any, label: str, words: tuple[str, str, str]
) -> None:
    base = {**SMALL, "surroundings": []}
    bed = page.beds.new(base, "begun")
    parts = path.split(".")

    def put(value: Any) -> dict[str, Any]:
        made: dict[str, Any] = deepcopy(base)
        table = made
        for part in parts[:-1]:
            table = table.setdefault(part, {})
        if value is not None:
            table[parts[-1]] = value
        return made

    bed.change(1, put(theirs), "Theirs")
    told = both(bed, 1, 2, {**put(mine), "title": "Mine"}, "Mine")
    found = {row["label"]: (row["before"], row["theirs"], row["mine"]) for row in told["rows"]
             if row["theirs"] != "as before"}  # fmt: skip
    assert found[label[0].upper() + label[1:]] == words


def test_a_long_value_is_cut(page: Page) -> None:
    bed = page.new()
    bed.change(1, {**SMALL, "title": "x" * 5000}, "Theirs")
    (row,) = both(bed, 1, 2, SMALL | {"units": "us"}, "")["rows"][:1]
    assert len(row["theirs"]) < 300


def test_a_choice_about_revisions_that_are_not_there(page: Page) -> None:
    bed = page.new()
    for base, on in ((9, 1), (1, 9)):
        body = {"base": base, "on": on, "brief": SMALL, "take": "both"}
        assert page.ask.post(f"/api/beds/{bed.key}/merge", json=body).status_code == 404
    body = {"base": 1, "on": 1, "brief": {"title": None, "place": [None]}, "take": "mine"}
    assert page.ask.post(f"/api/beds/{bed.key}/merge", json=body).status_code == 422
    assert bed.now == 1


changes = st.sampled_from(
    [("title", "A"), ("title", "B"), ("ground.dig_depth", "25 cm"), ("ground.dig_depth", "30 cm"),
     ("bed.length", "3 m"), ("bed.length", "4 m"), ("season.frost_risk", "20%"),
     ("wishes.grow", "coleus"), ("wishes.grow", "viola"), ("units", "us")]
)  # fmt: skip


def test_whatever_two_change_all_of_it_is_there_in_the_end(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """A wish of either is in force, or in the history, whoever was first."""
    page = page_in(tmp_path_factory.mktemp("beds"))

    @settings(max_examples=examples(25))
    @given(st.lists(changes, min_size=1, max_size=3), st.lists(changes, min_size=1, max_size=3))
    def play(theirs: list[tuple[str, str]], mine: list[tuple[str, str]]) -> None:
        bed = page.new()
        for settings_ in (theirs, mine):
            body = {"on": 1, "settings": [{"path": path, "text": text} for path, text in settings_]}
            answer = page.ask.post(f"/api/beds/{bed.key}/changes", json=body)
            if answer.status_code == 409:
                answer = choose(page, bed, answer.json()["detail"], "both")
            assert answer.status_code == 200, answer.text
        now = bed.values()
        for path, text in dict(mine).items():
            value = now
            for part in path.split("."):
                value = value[part]
            assert text in value if isinstance(value, list) else value == text
        every = [str(bed.values(one.number)) for one in bed.revisions]
        assert all(any(text in brief for brief in every) for text in dict(theirs).values())

    play()
    page.ask.close()
