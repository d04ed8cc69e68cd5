"""Two people with a page each who change the same bed at once, in a real browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from bedwright.noted import notebook
from bedwright.store import Bed, history_of
from browsing import SIZES, Server, check
from page import SMALL

pytestmark = pytest.mark.parametrize("size", ["desk", "phone"], indirect=True)


@pytest.fixture
def bed(server: Server) -> Bed:
    return server.beds.new({**SMALL, "title": "Oval", "ground": {"dig_depth": "20 cm"}}, "begun")


@pytest.fixture
def other(browser: Browser, server: Server, size: str) -> Iterator[Page]:
    """The page of somebody else, in a browser of their own."""
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    page.goto(server.address)
    yield page
    context.close()


def save(page: Page, path: str, label: str, text: str) -> Locator:
    """Type into a field and save it; the field."""
    page.locator(f"button.field[data-path='{path}']").click()
    typed = page.get_by_label(label, exact=True)
    typed.fill(text)
    typed.press("Enter")
    return typed


def both_open(server: Server, bed: Bed, window: Page, other: Page, sheet: str = "ground") -> None:
    for page in (window, other):
        page.goto(server.sheet(bed, sheet))


def shown(box: Locator) -> list[tuple[str | None, ...]]:
    """What differs: what it is called, before, theirs, and mine."""
    expect(box).to_be_visible()
    return [
        (one.locator("h3").text_content(), *one.locator("dd").all_text_contents())
        for one in box.locator(".differs").all()
    ]


def saved_by_other(other: Page, path: str, label: str, text: str) -> None:
    with other.expect_navigation():
        save(other, path, label, text)


def of_different_things(server: Server, bed: Bed, window: Page, other: Page) -> Locator:
    """The box that the second sees of two changes to different things."""
    both_open(server, bed, window, other)
    saved_by_other(other, "ground.dig_depth", "Dug to", "25 cm")
    save(window, "ground.raise_by", "Raised by", "10 cm")
    box = window.get_by_role("dialog")
    expect(box).to_contain_text("both can be kept")
    return box


def choose(window: Page, name: str) -> None:
    with window.expect_navigation():
        window.get_by_role("dialog").get_by_role("button", name=name).click()


def test_different_things_are_put_together(
    window: Page, other: Page, server: Server, bed: Bed
) -> None:
    box = of_different_things(server, bed, window, other)
    assert shown(box) == [
        ("Dug to", "20 cm", "25 cm", "as before"),
        ("Raised by", "not stated (nothing)", "as before", "10 cm"),
    ]
    check(window)
    choose(window, "Put mine on top of theirs")
    expect(window.locator(".since")).to_contain_text("Both are kept: theirs (Dug to: 25 cm")
    assert bed.values()["ground"] == {"dig_depth": "25 cm", "raise_by": "10 cm"}
    assert [one.number for one in bed.revisions] == [1, 2, 3]


@pytest.mark.parametrize(
    ("name", "depth", "title", "said"),
    [
        ("Put mine on top of theirs", "30 cm", "Theirs", "was put on top of theirs"),
        ("Keep theirs", "25 cm", "Theirs", "you wanted: Dug to: 30 cm, not 20 cm"),
        ("Take mine instead", "30 cm", "Oval", "is revision 3"),
    ],
)
def test_where_both_changed_the_same_the_second_chooses(
    window: Page,
    other: Page,
    server: Server,
    bed: Bed,
    name: str,
    depth: str,
    title: str,
    said: str,
) -> None:
    both_open(server, bed, window, other)
    saved_by_other(other, "ground.dig_depth", "Dug to", "25 cm")
    bed.change(2, {**bed.values(), "title": "Theirs"}, "Name of the bed: Theirs, not Oval")
    typed = save(window, "ground.dig_depth", "Dug to", "30 cm")
    box = window.get_by_role("dialog")
    assert shown(box) == [
        ("Dug to both changed it", "20 cm", "25 cm", "30 cm"),
        ("Name of the bed", "Oval", "Theirs", "as before"),
    ]
    check(window)
    # Nothing is chosen by the key that saved, and what was typed stays until something is.
    expect(box.get_by_role("heading", level=2)).to_be_focused()
    box.get_by_role("button", name="Go on typing").click()
    expect(typed).to_have_value("30 cm")
    assert bed.now == 3
    typed.press("Enter")
    choose(window, name)
    expect(window.locator(".since")).to_contain_text(said)
    assert (bed.values()["ground"]["dig_depth"], bed.values()["title"]) == (depth, title)
    assert bed.values(3)["ground"]["dig_depth"] == "25 cm", "theirs is in the history"


def test_a_peg_and_another_peg(window: Page, other: Page, server: Server) -> None:
    corners = [["0 m", "0 m"], ["3 m", "0 m"], ["3 m", "2 m"], ["0 m", "2 m"]]
    bed = server.beds.new({**SMALL, "bed": {"shape": "polygon", "corners": corners}}, "begun")
    both_open(server, bed, window, other, "site")
    for page, peg, measure in ((other, 3, "3.5 m"), (window, 2, "2.5 m")):
        cell = page.get_by_label(f"Peg {peg}, along")
        cell.fill(measure)
        if page is other:
            with page.expect_navigation():
                cell.press("Tab")
        else:
            cell.press("Tab")
    assert shown(window.get_by_role("dialog")) == [
        ("Peg 2", "3 m, 0 m", "as before", "2.5 m, 0 m"),
        ("Peg 3", "3 m, 2 m", "3.5 m, 2 m", "as before"),
    ]
    choose(window, "Put mine on top of theirs")
    assert [spot[0] for spot in bed.values()["bed"]["corners"]] == ["0 m", "2.5 m", "3.5 m", "0 m"]


def test_changed_again_while_it_was_read(
    window: Page, other: Page, server: Server, bed: Bed
) -> None:
    box = of_different_things(server, bed, window, other)
    saved_by_other(other, "ground.raise_by", "Raised by", "5 cm")
    box.get_by_role("button", name="Put mine on top of theirs").click()
    expect(box).to_contain_text("One thing was changed by both.")
    assert shown(box)[0] == ("Raised by both changed it", "not stated (nothing)", "5 cm", "10 cm")
    choose(window, "Put mine on top of theirs")
    assert bed.values()["ground"] == {"dig_depth": "25 cm", "raise_by": "10 cm"}


def test_what_does_not_go_together_is_said_in_the_box(window: Page, server: Server) -> None:
    """Theirs made the bed narrow, mine moves what stays in it to where the bed is no more."""
    wide: dict[str, Any] = {"shape": "rectangle", "length": "4 m", "width": "3 m"}
    rose = {"name": "rose", "at": ["2 m", "0.25 m"], "spread": "30 cm"}
    bed = server.beds.new({**SMALL, "bed": wide, "existing": [rose]}, "begun")
    window.goto(server.sheet(bed, "planting"))
    bed.change(1, {**bed.values(), "bed": {**wide, "width": "50 cm"}}, "Width: 50 cm, not 3 m")
    save(window, "existing.0.at", "Along the base line, and left of it, plant 1", "2 m, 2.5 m")
    box = window.get_by_role("dialog")
    box.get_by_role("button", name="Put mine on top of theirs").click()
    expect(box.get_by_role("alert")).to_contain_text("given")
    expect(box.get_by_role("button", name="Put mine on top of theirs")).to_be_enabled()
    check(window)
    assert bed.now == 2
    choose(window, "Take mine instead")
    assert bed.values()["bed"]["width"] == "3 m"


def test_two_who_correct_an_entry(window: Page, other: Page, server: Server, bed: Bed) -> None:
    book = notebook(bed, date.today())
    book.note("frost last night -2")
    both_open(server, bed, window, other, "journal")

    def correct(page: Page, line: str) -> None:
        page.get_by_role("button", name=re.compile("^Correct: ")).click()
        page.get_by_label("The line in its place").fill(line)
        page.get_by_role("button", name="save").click()

    with other.expect_navigation():
        correct(other, "frost last night -3")
    correct(window, "frost last night -4")
    box = window.get_by_role("dialog")
    ((label, before, theirs, mine),) = shown(box)
    assert label == "The entry both changed it"
    for words, degrees in ((before, "−2 °C"), (theirs, "−3 °C"), (mine, "−4 °C")):
        assert f"Frost: {degrees}" in (words or "")
    check(window)
    box.get_by_role("button", name="Go on typing").click()
    expect(window.get_by_label("The line in its place")).to_have_value("frost last night -4")
    window.get_by_role("button", name="save").click()
    choose(window, "Take mine instead")
    expect(window.locator(".words-of")).to_contain_text("Frost: −4 °C")
    assert [one.entry.tmin_c for one in history_of(bed.store, bed.key)] == [-2.0, -3.0, -4.0]


def test_a_line_in_the_place_of_what_another_took_back(
    window: Page, other: Page, server: Server, bed: Bed
) -> None:
    notebook(bed, date.today()).note("frost last night -2")
    both_open(server, bed, window, other, "journal")
    with other.expect_navigation():
        other.get_by_role("button", name=re.compile("^Take back: ")).click()
    window.get_by_role("button", name=re.compile("^Correct: ")).click()
    window.get_by_label("The line in its place").fill("frost last night -4")
    window.get_by_role("button", name="save").click()
    expect(window.get_by_role("dialog")).to_contain_text("It was taken back.")
    choose(window, "Take mine instead")
    expect(window.locator(".words-of")).to_contain_text("Frost: −4 °C")
    assert len(history_of(bed.store, bed.key)) == 3


def test_who_takes_back_what_another_corrected_is_shown_that(
    window: Page, other: Page, server: Server, bed: Bed
) -> None:
    book = notebook(bed, date.today())
    one = book.note("frost last night -2").written
    window.goto(server.sheet(bed, "journal"))
    book.correct(one.id, "frost last night -3")
    window.get_by_role("button", name=re.compile("^Take back: ")).click()
    expect(window.get_by_role("dialog")).to_contain_text("Frost: −3 °C")
    choose(window, "Keep theirs")
    expect(window.locator(".words-of")).to_contain_text("Frost: −3 °C")
    assert len(history_of(bed.store, bed.key)) == 2
