"""The page in a real browser, at the sizes of a desk, a tablet and a phone."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from playwright.sync_api import Locator, Page, expect

from bedwright.geometry import curve_through
from bedwright.store import grow, history_of
from bedwright.web.sheets import SHEETS
from bedwright.web.starters import STARTERS
from browsing import PLAN_MS, Server, check, check_width
from chromium import MISSING, NoBrowserError, chromium
from conftest import ROOT
from page import SMALL, with_plan


@pytest.mark.parametrize("named", [None, "/nowhere/chromium"])
def test_without_a_browser_the_tests_say_what_to_install(
    monkeypatch: pytest.MonkeyPatch, named: str | None
) -> None:
    monkeypatch.setenv("PATH", "/nowhere")
    monkeypatch.delenv("CHROMIUM", raising=False)
    if named:
        monkeypatch.setenv("CHROMIUM", named)
    with pytest.raises(NoBrowserError, match="apt-get install chromium") as raised:
        chromium("/nowhere/of/playwright")
    assert MISSING in str(raised.value)


def test_every_sheet_can_be_read_by_all(
    window: Page, server: Server, small_plan: Path, size: str
) -> None:
    bed = with_plan(server.beds, small_plan)
    window.goto(server.root)
    check(window)
    for name in SHEETS:
        window.goto(server.sheet(bed, name))
        expect(window.get_by_role("heading", level=1)).to_contain_text(SHEETS[name].title)
        if name == "site":
            expect(window.locator("#bed-drawing svg")).to_be_visible()
        if name == "planting":
            window.locator("[data-drift]").first.click()
            expect(window.locator(".note")).to_be_visible()
        for button in window.locator("button.field").all()[:3]:
            button.click()
        # All of it where there is least room; elsewhere what is laid out otherwise.
        whole = size == "phone" or name in ("site", "planting")
        (check if whole else check_width)(window)
    window.emulate_media(color_scheme="dark")
    for name in ("site", "planting") if size == "desk" else ():
        window.goto(server.sheet(bed, name))
        check(window)


@pytest.mark.parametrize("size", ["phone"], indirect=True)
def test_nothing_is_cut_at_four_hundred_per_cent(
    window: Page, server: Server, small_plan: Path
) -> None:
    """A window of 1280 by 1024 at 400% scrolls one way only: WCAG 2.2, criterion 1.4.10."""
    corners = [["0 m", "0 m"], ["3 m", "0 m"], ["0 m", "3 m"]]
    pegs = server.beds.new({**SMALL, "bed": {"shape": "polygon", "corners": corners}}, "begun")
    bed = with_plan(server.beds, small_plan)
    window.set_viewport_size({"width": 320, "height": 256})
    for address in (server.root, server.sheet(pegs, "site"),
                    *(server.sheet(bed, name) for name in SHEETS)):  # fmt: skip
        window.goto(address)
        check_width(window)


def begin(page: Page, server: Server, shape: str) -> None:
    page.goto(server.root)
    page.get_by_label("Where is the garden?").fill("Galway, Ireland")
    page.get_by_label(shape, exact=True).check()
    page.get_by_role("button", name="Begin the bed").click()


def field(page: Page, path: str) -> Any:
    return page.locator(f'button.field[data-path="{path}"]')


def test_a_bed_is_begun_with_each_shape(window: Page, server: Server, size: str) -> None:
    for shape in STARTERS if size == "desk" else ["corner"]:
        begin(window, server, shape)
        window.wait_for_url("**/site")
        expect(window.locator("#bed-drawing .edge")).to_be_visible()


def test_a_bed_is_begun_from_a_brief(window: Page, server: Server, tmp_path: Path) -> None:
    path = tmp_path / "bed.toml"
    path.write_text("nonsense", encoding="utf-8")
    window.get_by_label("A brief's file").set_input_files(path)
    window.get_by_role("button", name="Open it").click()
    expect(window.get_by_role("alert").filter(has_text="TOML").first).to_be_visible()
    path.write_text("place.town = 'Galway, Ireland'\nbed = {shape = 'circle', diameter = '1 m'}")
    window.get_by_label("A brief's file").set_input_files(path)
    window.get_by_role("button", name="Open it").click()
    window.wait_for_url("**/site")
    expect(field(window, "bed.diameter")).to_contain_text("1 m")


def test_a_field_is_changed_by_click_and_by_keyboard(window: Page, server: Server) -> None:
    bed = server.beds.new(SMALL, "begun")
    window.goto(server.sheet(bed, "site"))
    field(window, "bed.length").click()
    window.get_by_label("Length", exact=True).fill("3 m")
    with window.expect_navigation():
        window.get_by_role("button", name="save").click()
    expect(field(window, "bed.length")).to_have_text("3 m")
    # By keyboard alone: to the field, open it, leave it, open it again, change it.
    for _ in range(60):
        window.keyboard.press("Tab")
        if window.evaluate("document.activeElement.dataset.path") == "bed.width":
            break
    window.keyboard.press("Enter")
    window.keyboard.press("ControlOrMeta+a")
    window.keyboard.type("9 m")
    window.keyboard.press("Escape")
    expect(field(window, "bed.width")).to_be_focused()
    expect(field(window, "bed.width")).to_have_text("1 m")
    window.keyboard.press("Enter")
    window.keyboard.press("ControlOrMeta+a")
    window.keyboard.type("1.5 m")
    with window.expect_navigation():
        window.keyboard.press("Enter")
    expect(field(window, "bed.width")).to_have_text("1.5 m")
    assert (bed.values()["bed"]["length"], bed.values()["bed"]["width"]) == ("3 m", "1.5 m")
    window.keyboard.press("ControlOrMeta+z")
    expect(field(window, "bed.width")).to_have_text("1 m")


def test_a_fault_stands_beside_its_field_and_what_was_typed_stays(
    window: Page, server: Server
) -> None:
    bed = server.beds.new(SMALL, "begun")
    window.goto(server.sheet(bed, "site"))
    field(window, "bed.length").click()
    typed = window.get_by_label("Length", exact=True)
    typed.fill("two apples")
    typed.press("Enter")
    fault = window.locator(".open-field .fault")
    expect(fault).to_contain_text("accepted")
    expect(typed).to_have_value("two apples")
    expect(typed).to_have_attribute("aria-invalid", "true")
    expect(typed).to_have_attribute("aria-describedby", fault.get_attribute("id") or "none")
    check(window)
    assert bed.now == 1
    typed.fill("4 m")
    typed.press("Enter")
    expect(field(window, "bed.length")).to_have_text("4 m")


def test_what_another_tab_changed_is_said(window: Page, server: Server) -> None:
    bed = server.beds.new(SMALL, "begun")
    window.goto(server.sheet(bed, "ground"))
    bed.change(1, {**SMALL, "title": "Named elsewhere"}, "Named elsewhere")
    field(window, "ground.dig_depth").click()
    typed = window.get_by_label("Dug to", exact=True)
    typed.fill("25 cm")
    with window.expect_response(lambda answer: answer.status == 409):
        typed.press("Enter")
    expect(window.locator(".open-field .fault")).to_contain_text("Named elsewhere")
    expect(typed).to_have_value("25 cm")


def test_pegs_are_dragged_and_moved_by_keys(window: Page, server: Server) -> None:
    corners = [["0 m", "0 m"], ["3 m", "0 m"], ["0 m", "3 m"]]
    bed = server.beds.new({**SMALL, "bed": {"shape": "polygon", "corners": corners}}, "begun")
    window.goto(server.sheet(bed, "site"))
    peg = window.locator(".peg").nth(1)
    peg.scroll_into_view_if_needed()
    at = peg.bounding_box()
    zero = window.locator(".peg").nth(0).bounding_box()
    assert at is not None
    assert zero is not None
    metre = (at["x"] - zero["x"]) / 3
    x, y = at["x"] + at["width"] / 2, at["y"] + at["height"] / 2
    window.mouse.move(x, y)
    window.mouse.down()
    window.mouse.move(x - metre / 2, y - metre / 2, steps=4)
    with window.expect_navigation():
        window.mouse.up()
    moved = window.get_by_label("Peg 2, along")
    expect(moved).to_have_value("2.5 m")
    expect(window.get_by_label("Peg 2, left")).to_have_value("0.5 m")
    assert bed.values()["bed"]["corners"][1] == ["2.5 m", "0.5 m"]
    window.locator(".peg").nth(1).focus()
    with window.expect_navigation():
        window.keyboard.press("ArrowRight")
        window.keyboard.press("Shift+ArrowUp")
    expect(moved).to_have_value("2.51 m")
    assert bed.values()["bed"]["corners"][1] == ["2.51 m", "0.6 m"]
    with window.expect_navigation():
        window.get_by_role("button", name="Undo").click()
    expect(moved).to_have_value("2.5 m")
    assert len(bed.revisions) == 3


def test_a_length_of_the_drawing_is_typed(window: Page, server: Server) -> None:
    """A triangle of 3, 4 and 5 m: its long side made 2.5 m brings the third peg half way."""
    corners = [["0 m", "0 m"], ["4 m", "0 m"], ["0 m", "3 m"]]
    bed = server.beds.new({**SMALL, "surroundings": [], "bed": {
        "shape": "polygon", "corners": corners}}, "begun")  # fmt: skip
    window.goto(server.sheet(bed, "site"))
    long = window.locator("[data-length='Peg 2 to peg 3']")
    expect(long).to_have_text("5 m")
    long.click()
    form = window.locator("#length")
    expect(form).to_contain_text("Peg 3 moves")
    form.get_by_role("textbox").fill("far")
    form.get_by_role("button", name="save").click()
    expect(form.locator(".fault")).to_contain_text("accepted")
    expect(form.get_by_role("textbox")).to_have_value("far")
    check(window)
    form.get_by_role("textbox").press("Escape")
    expect(form).to_be_hidden()
    expect(long).to_be_focused()
    window.keyboard.press("Enter")
    form.get_by_role("textbox").fill("2.5")
    with window.expect_navigation():
        window.keyboard.press("Enter")
    expect(long).to_have_text("2.5 m")
    assert bed.values()["bed"]["corners"] == [*corners[:2], ["2 m", "1.5 m"]]
    oval = server.beds.new({**SMALL, "bed": {
        "shape": "ellipse", "length": "4 m", "width": "300 cm"}}, "begun")  # fmt: skip
    window.goto(server.sheet(oval, "site"))
    wide = window.locator("[data-length=Width]")
    expect(wide).to_have_text("300 cm")
    wide.click()
    form.get_by_role("textbox").fill("2 m")
    with window.expect_navigation():
        form.get_by_role("button", name="save").click()
    assert oval.values()["bed"] == {"shape": "ellipse", "length": "4 m", "width": "2 m"}


def test_the_bed_is_turned_by_the_compass(window: Page, server: Server) -> None:
    bed = server.beds.new(SMALL, "begun")
    window.goto(server.sheet(bed, "site"))
    hand = window.locator("#bed-drawing .hand")
    expect(hand).to_have_attribute("aria-valuenow", "90")
    box = hand.locator("circle").bounding_box()
    ring = window.locator("#bed-drawing .ring").bounding_box()
    assert box is not None
    assert ring is not None
    window.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    window.mouse.down()
    window.mouse.move(ring["x"] + ring["width"] / 2, ring["y"] + ring["height"] + 2, steps=4)
    with window.expect_navigation():
        window.mouse.up()
    expect(hand).to_have_attribute("aria-valuenow", "180")
    assert bed.values()["bed"]["bearing"] == 180
    hand.focus()
    with window.expect_navigation():
        window.keyboard.press("ArrowRight")
        window.keyboard.press("ArrowRight")
    assert bed.values()["bed"]["bearing"] == 190


def test_the_sides_it_is_looked_at_from_are_chosen(window: Page, server: Server) -> None:
    bed = server.beds.new({**SMALL, "surroundings": []}, "begun")
    window.goto(server.sheet(bed, "site"))
    sides = window.locator(".onlooker")
    expect(sides).to_have_count(8)
    expect(window.locator(".onlooker.on")).to_have_count(8)
    with window.expect_navigation():
        window.get_by_role("checkbox", name="Looked at from the south", exact=True).click()
    assert bed.values()["bed"]["viewed_from"] == ["S"]
    expect(window.locator(".onlooker.on")).to_have_count(1)
    window.get_by_role("checkbox", name="Looked at from the west", exact=True).focus()
    with window.expect_navigation():
        window.keyboard.press("Space")
    assert bed.values()["bed"]["viewed_from"] == ["S", "W"]
    for name in ("south", "west"):
        with window.expect_navigation():
            window.get_by_role("checkbox", name=f"Looked at from the {name}", exact=True).click()
    assert "viewed_from" not in bed.values()["bed"]


@pytest.mark.parametrize("size", ["desk", "phone"], indirect=True)
def test_what_was_set_by_measures_is_moved_and_typed(window: Page, server: Server) -> None:
    around = [
        {"kind": "tree", "at": ["-2 m", "3 m"], "spread": "2 m", "height": "4 m"},
        {"kind": "fence", "corners": [["0 m", "5 m"], ["3 m", "500 cm"]], "height": "2 m"},
    ]
    bed = server.beds.new({**SMALL, "surroundings": around}, "begun")
    window.goto(server.sheet(bed, "site"))
    window.locator("[data-thing='0']").focus()
    with window.expect_navigation():
        window.keyboard.press("ArrowRight")
        window.keyboard.press("ArrowUp")
    assert bed.values()["surroundings"][0]["at"] == ["-1.95 m", "3.05 m"]
    fence = window.locator("[data-thing='1'] polygon")
    at, metre = fence.bounding_box(), window.locator("#bed-drawing .edge").bounding_box()
    assert at is not None
    assert metre is not None
    long = float(SMALL["bed"]["length"].split()[0])
    window.mouse.move(at["x"] + at["width"] / 2, at["y"] + at["height"] / 2)
    window.mouse.down()
    y = at["y"] + at["height"] / 2 - metre["width"] / long
    window.mouse.move(at["x"] + at["width"] / 2, y, steps=4)
    with window.expect_navigation():
        window.mouse.up()
    moved = bed.values()["surroundings"][1]["corners"]
    assert [corner[0] for corner in moved] == ["0 m", "3 m"]
    assert float(moved[0][1].split()[0]) == pytest.approx(6.0, abs=0.1)
    window.get_by_label("Corner 2, left").fill("7")
    with window.expect_navigation():
        window.get_by_label("Corner 2, left").press("Enter")
    assert bed.values()["surroundings"][1]["corners"][1] == ["3 m", "7 m"]
    check(window)


@pytest.mark.parametrize("size", ["desk"], indirect=True)
def test_a_peg_is_made_to_turn_sharply(window: Page, server: Server) -> None:
    pegs = [["0 m", "0 m"], ["3 m", "0 m"], ["3 m", "3 m"], ["0 m", "3 m"]]
    bed = server.beds.new({**SMALL, "bed": {"shape": "curve", "pegs": pegs}}, "begun")
    window.goto(server.sheet(bed, "site"))
    for n in (3, 1):
        with window.expect_navigation():
            window.get_by_label(f"Peg {n} turns sharply").check()
    assert bed.values()["bed"]["sharp"] == [1, 3]
    for n in (1, 3):
        with window.expect_navigation():
            window.get_by_label(f"Peg {n} turns sharply").uncheck()
    assert bed.values()["bed"] == {"shape": "curve", "pegs": pegs}


@pytest.mark.parametrize("size", ["desk"], indirect=True)
def test_a_bed_is_put_away_and_put_back(window: Page, server: Server) -> None:
    bed = server.beds.new({**SMALL, "title": "Bed to put away"}, "begun")
    window.goto(server.root)
    with window.expect_navigation():
        window.get_by_role("button", name="Put Bed to put away away").click()
    expect(window.get_by_role("link", name="Bed to put away")).to_have_count(0)
    window.locator("details.away summary").click()
    check(window)
    with window.expect_navigation():
        window.get_by_role("button", name="Put Bed to put away back").click()
    expect(window.get_by_role("link", name="Bed to put away")).to_be_visible()
    assert server.beds.one(bed.key).values()["title"] == "Bed to put away"


def test_a_peg_that_is_dragged_leaves_the_others_as_they_were_written(
    window: Page, server: Server
) -> None:
    corners = [["0 m", "0 m"], ["12 feet", "0 m"], ["0 m", "300 cm"]]
    bed = server.beds.new({**SMALL, "bed": {"shape": "polygon", "corners": corners}}, "begun")
    window.goto(server.sheet(bed, "site"))
    window.locator(".peg").nth(0).focus()
    with window.expect_navigation():
        window.keyboard.press("Shift+ArrowLeft")
    expect(window.get_by_label("Peg 1, along")).to_have_value("-0.1 m")
    assert bed.values()["bed"]["corners"] == [
        ["-0.1 m", "0 m"], ["12 feet", "0 m"], ["0 m", "300 cm"]]  # fmt: skip


def test_the_sun_follows_what_is_moved(window: Page, server: Server) -> None:
    """A tree carried by the arrow keys to the south shades the bed before anything is saved."""
    tree = {"kind": "tree", "bearing": "N", "distance": "4 m", "spread": "4 m", "height": "9 m"}
    bed = server.beds.new({**SMALL, "surroundings": [tree]}, "begun")
    window.goto(server.sheet(bed, "site"))
    words = window.locator("#sun-words")
    expect(words).to_contain_text("hours of direct sun on a clear day in June")
    expect(window.locator(".sunlight polygon").first).to_be_attached()
    window.get_by_label("Sun on it in").select_option("March")
    expect(words).to_contain_text("in March")
    before = words.text_content()
    asked: list[str] = []
    window.on("request", lambda request: asked.append(request.url.rpartition("/")[2]))
    with window.expect_navigation():
        window.locator("[data-thing='0']").focus()
        for _ in range(36):
            window.keyboard.press("ArrowRight")
    assert "sun" in asked[: asked.index("changes")]
    expect(window.locator("[data-thing='0']")).to_have_attribute(
        "aria-label", re.compile("180 degrees from north, 4 m away")
    )
    window.get_by_label("Sun on it in").select_option("March")
    expect(words).to_contain_text("in March")
    assert words.text_content() != before
    assert bed.values()["surroundings"][0] == {**tree, "bearing": 180}


@pytest.mark.parametrize("size", ["desk"], indirect=True)
def test_measures_by_tapes_offsets_and_the_skyline_are_typed(window: Page, server: Server) -> None:
    tapes = {"shape": "polygon", "base": "3 m",
             "tapes": [["1 m", "2.5 m"], ["2 m", "2 m"], ["2 m", "2 m", "right"]]}  # fmt: skip
    bed = server.beds.new({**SMALL, "surroundings": [], "bed": tapes}, "begun")
    window.goto(server.sheet(bed, "site"))
    expect(window.locator("#bed-drawing .spot")).to_have_count(3)
    expect(window.locator("#bed-drawing .stake")).to_have_count(2)
    window.get_by_label("Spot 1, from A").fill("1.2")
    with window.expect_navigation():
        window.get_by_label("Spot 1, from A").press("Enter")
    assert bed.values()["bed"]["tapes"][0] == ["1.2 m", "2.5 m"]
    cell = window.get_by_label("Spot 1, from A")
    cell.fill("9 m")
    cell.press("Enter")
    expect(window.locator(".measures .fault")).to_contain_text("accepted")
    expect(cell).to_have_value("9 m")
    cell.fill("1.2 m")
    with window.expect_navigation():
        window.get_by_label("Spot 1, side").select_option("right")
    assert bed.values()["bed"]["tapes"][0] == ["1.2 m", "2.5 m", "right"]
    with window.expect_navigation():
        window.get_by_label("Spot 1, side").select_option("left")
    window.get_by_label("Toward", exact=True).fill("SW")
    window.get_by_label("degrees above level").fill("12")
    with window.expect_navigation():
        window.get_by_role("button", name="Add to the skyline").click()
    assert bed.values()["place"]["horizon"] == [["SW", 12]]
    check(window)
    with window.expect_navigation():
        window.get_by_role("button", name="Take out bearing 1").click()
    assert "horizon" not in bed.values()["place"]
    with window.expect_navigation():
        window.get_by_role("button", name="Set it out by pegs instead").click()
    expect(window.locator("#bed-drawing .peg")).to_have_count(3)


@pytest.mark.parametrize("size", ["desk"], indirect=True)
def test_a_material_is_added_and_a_fault_in_it_told(window: Page, server: Server) -> None:
    bed = server.beds.new(SMALL, "begun")
    window.goto(server.sheet(bed, "materials"))
    window.get_by_label("Material", exact=True).fill("compost")
    window.get_by_label("In packs of").fill("big")
    window.get_by_role("button", name="Add this material").click()
    expect(window.locator(".add-row .fault")).to_contain_text("accepted")
    window.get_by_label("In packs of").fill("40 L")
    with window.expect_navigation():
        window.get_by_role("button", name="Add this material").click()
    assert bed.values()["materials"] == [{"material": "compost", "pack": "40 L"}]


@pytest.mark.parametrize("size", ["desk"], indirect=True)
def test_the_bed_alone_is_drawn_larger_and_stays_so(window: Page, server: Server) -> None:
    bed = server.beds.new(SMALL, "begun")
    window.goto(server.sheet(bed, "site"))
    drawing = window.locator("#bed-drawing svg")
    wide = [float((drawing.get_attribute("viewBox") or "").split()[2])]
    with window.expect_navigation():
        window.get_by_role("button", name="The bed alone, larger").click()
    wide.append(float((drawing.get_attribute("viewBox") or "").split()[2]))
    assert wide[1] < wide[0] / 2
    window.reload()
    expect(window.get_by_role("button", name="What stands around, too")).to_be_visible()


def test_a_sheet_is_printed(window: Page, server: Server) -> None:
    bed = server.beds.new(SMALL, "begun")
    window.goto(server.sheet(bed, "site"))
    window.evaluate("window.print = () => { window.printed = true; }")
    window.get_by_role("button", name="Print this sheet").click()
    assert window.evaluate("window.printed")
    window.emulate_media(media="print")
    for name in ("Print this sheet", "Take out this tree", "a hedge", "Set it out by pegs instead"):
        expect(window.get_by_role("button", name=name)).to_be_hidden()
    expect(window.locator("#bed-drawing svg")).to_be_visible()


def test_a_bed_is_copied(window: Page, server: Server) -> None:
    bed = server.beds.new({**SMALL, "title": "Bed to copy"}, "begun")
    bed.change(1, {**SMALL, "title": "Bed to copy", "season": {"year": 2028}}, "the year after")
    before = {one.key for one in server.beds.all()}
    window.goto(server.root)
    with window.expect_navigation(url="**/site"):
        window.get_by_role("button", name="Copy Bed to copy").first.click()
    (made,) = [one for one in server.beds.all() if one.key not in before]
    assert made.values() == bed.values()
    assert (made.now, bed.now) == (1, 2)


def test_a_tree_is_added_and_taken_out(window: Page, server: Server) -> None:
    bed = server.beds.new({key: SMALL[key] for key in ("place", "bed")}, "begun")
    window.goto(server.sheet(bed, "site"))
    with window.expect_navigation():
        window.get_by_role("button", name="a tree").click()
    expect(field(window, "surroundings.0.height")).to_have_text("8 m")
    expect(window.locator("#bed-drawing .tree")).to_have_count(1)
    window.get_by_role("button", name="Take out this tree").click()
    expect(window.locator(".thing")).to_have_count(0)
    assert "surroundings" not in bed.values()


def test_a_plan_is_stopped(window: Page, server: Server) -> None:
    begin(window, server, "strip along a path")
    window.wait_for_url("**/site")
    state = window.locator("#state")
    window.get_by_role("button", name="Work out the plan").click()
    expect(state).to_contain_text("working")
    with window.expect_navigation():
        window.get_by_role("button", name="Stop").click()
    expect(state).to_have_text("not worked out yet")
    expect(window.get_by_role("button", name="Work out the plan")).to_be_visible()


def test_a_drift_s_note_is_opened_and_closed(
    window: Page, server: Server, small_plan: Path
) -> None:
    bed = with_plan(server.beds, small_plan)
    window.goto(server.sheet(bed, "planting"))
    opener = window.locator("[data-drift]").first
    opener.click()
    note = window.locator(".note")
    expect(note).to_contain_text("hours of sun on a clear day")
    expect(opener).to_have_attribute("aria-expanded", "true")
    note.get_by_role("button", name="close").click()
    expect(note).to_have_count(0)
    expect(opener).to_be_focused()
    window.locator("#planting-drawing path[id^=drift-]").first.click()
    expect(note).to_have_count(1)


@pytest.mark.parametrize("size", ["desk", "phone"], indirect=True)
def test_the_journal_is_kept_by_lines_even_out_of_reach(window: Page, server: Server) -> None:
    bed = server.beds.new({**SMALL, "title": "Bed with a journal"}, "begun")
    items = [{"kind": kind, "method": "indoors", "bloom_odds_by_week": []}
             for kind in ("tall_zinnia", "garden_cosmos")]  # fmt: skip
    grow(bed, 2026, 1, json.dumps({"season": {"start": "2027-01-01"}, "items": items}))
    window.goto(server.sheet(bed, "journal"))
    check(window)
    line = window.get_by_label("What happened")
    write = window.get_by_role("button", name="Write it down")
    window.get_by_role("button", name="sowed").click()
    window.get_by_role("button", name="tall zinnia").click()
    expect(line).to_have_value("sowed tall zinnia ")
    line.press_sequentially("24 yesterday")
    with window.expect_navigation():
        write.click()
    expect(window.locator("#noted")).to_contain_text("Written: Sown: 24 tall zinnia")
    expect(window.locator(".entries li")).to_have_count(1)
    line.fill("sowed 12 zinias")
    write.click()
    expect(window.locator(".note-line .fault")).to_contain_text("those like it are tall zinnia")
    expect(line).to_have_value("sowed 12 zinias")
    window.get_by_role("button", name=re.compile("^Correct: ")).click()
    window.get_by_label("The line in its place").fill("sowed 30 zinnias")
    check(window)
    with window.expect_navigation():
        window.get_by_role("button", name="save").click()
    expect(window.locator(".entries .words-of")).to_contain_text("Sown: 30 tall zinnia")
    # Out of reach: the server is asked in vain, and the line waits, also when the page is loaded.
    window.route("**/entries", lambda route: route.abort())
    for text in ("picked 12 zinnias", "bees all day"):
        line.fill(text)
        write.click()
        expect(window.locator("#unsent")).to_contain_text(text)
    assert len(history_of(bed.store, bed.key)) == 2
    window.reload()
    expect(window.locator("#unsent li")).to_have_count(2)
    window.unroute("**/entries")
    with window.expect_navigation():
        window.evaluate("dispatchEvent(new Event('online'))")
    expect(window.locator(".entries li")).to_have_count(3)
    expect(window.locator("#unsent")).to_be_hidden()
    assert [one.entry.text for one in history_of(bed.store, bed.key)[2:]] == [
        "picked 12 zinnias", "bees all day"]  # fmt: skip
    with window.expect_navigation():
        window.get_by_role("button", name=re.compile("^Take back: Note")).click()
    expect(window.locator(".entries li")).to_have_count(2)
    assert len(history_of(bed.store, bed.key)) == 5


class Walk:
    """A bed made from an empty window to its printed sheets, with every click and key counted."""

    def __init__(self, page: Page, by: str) -> None:
        self.page, self.by = page, by
        self.clicks = self.keys = self.typed = 0

    def use(self, found: Locator) -> None:
        """Click or tap something; by keys, go on to it and press Enter or the space bar."""
        if self.by == "keys":
            self.reach(found)
            tick = found.evaluate("one => ['checkbox', 'radio'].includes(one.type)")
            self.page.keyboard.press("Space" if tick else "Enter")
            self.keys += 1
            return
        found.tap() if self.by == "touch" else found.click()
        self.clicks += 1

    def reach(self, found: Locator) -> None:
        """Go on by the Tab key until something is in hand."""
        found.wait_for()
        for _ in range(150):
            if found.evaluate("one => one === document.activeElement"):
                return
            # Of several to choose one from, Tab reaches the one chosen; arrows go on.
            chosen = found.evaluate("one => one.type === 'radio' && document.activeElement.name"
                                    " === one.name")  # fmt: skip
            self.page.keyboard.press("ArrowDown" if chosen else "Tab")
            self.keys += 1
        raise AssertionError(f"the Tab key does not reach {found}")

    def type(self, found: Locator, text: str) -> None:
        """Type into a field."""
        if self.by == "keys":
            self.reach(found)
            self.page.keyboard.press("ControlOrMeta+a")
            self.page.keyboard.type(text)
        else:
            self.use(found)
            found.fill(text)
        self.typed += 1

    def button(self, name: str | re.Pattern[str]) -> None:
        """Use the first button of a name."""
        self.use(self.page.get_by_role("button", name=name).first)


@pytest.mark.parametrize(
    ("size", "by", "most"),
    [("desk", "mouse", 14), ("tablet", "touch", 14), ("phone", "touch", 14), ("desk", "keys", 420)],
    indirect=["size"],
)
def test_the_whole_way(window: Page, server: Server, by: str, most: int) -> None:
    """A kidney bed with a house and a tree, a plan, two changes and its sheets to print."""
    for one in server.beds.all():  # those of other tests
        server.beds.put_away(one.key)
    window.goto(server.root)
    walk = Walk(window, by)
    state = window.locator("#state")
    walk.type(window.get_by_label("Where is the garden?"), "Galway, Ireland")
    walk.use(window.get_by_label("kidney", exact=True))
    walk.button("Begin the bed")
    window.wait_for_url("**/site")
    for name in ("a building", "a tree"):
        with window.expect_navigation():
            walk.button(name)
        expect(window.locator("#bed-drawing .edge")).to_be_visible()
    walk.use(field(window, "surroundings.1.distance"))
    walk.type(window.locator(".open-field input"), "5 m")
    with window.expect_navigation():
        window.keyboard.press("Enter")
    expect(field(window, "surroundings.1.distance")).to_have_text("5 m")
    walk.button("Work out the plan")
    window.wait_for_url("**/planting", timeout=PLAN_MS)
    before = window.locator(".plants tbody th").all_text_contents()
    for n, wish in enumerate((re.compile("plant .* here instead"), "never this kind")):
        walk.use(window.locator("[data-drift]").nth(n))
        named = window.locator(".note").get_attribute("data-name")
        with window.expect_navigation(timeout=PLAN_MS):
            walk.button(wish)
        expect(state).to_have_text("up to date", timeout=PLAN_MS)
        expect(window.locator(".since")).to_contain_text("Since revision")
    assert named is not None
    expect(window.locator(".plants")).not_to_contain_text(f"{named},")
    assert window.locator(".plants tbody th").all_text_contents() != before
    with window.expect_download(timeout=PLAN_MS) as taken:
        walk.use(window.locator("summary", has_text="Download"))
        walk.use(window.get_by_role("link", name="All sheets, to print"))
    assert Path(taken.value.path()).read_bytes().startswith(b"%PDF")
    assert walk.clicks <= most
    assert walk.keys <= most
    assert walk.typed == 2


def test_the_sheets_are_taken_away(window: Page, server: Server, small_plan: Path) -> None:
    bed = with_plan(server.beds, small_plan)
    window.goto(server.sheet(bed, "work"))
    window.get_by_text("Download", exact=True).click()
    with window.expect_download() as taken:
        window.get_by_role("link", name="All sheets, to print").click()
    assert taken.value.suggested_filename == f"{bed.key}-sheets.pdf"
    assert Path(taken.value.path()).read_bytes().startswith(b"%PDF")


def test_a_peg_is_set_by_two_tapes(window: Page, server: Server, size: str) -> None:
    """From the pegs at (0, 0) and (3 m, 0): 3.5 m and 3 m meet at x = (3.5² - 3² + 3²) / 6."""
    begin(window, server, "corner")
    window.wait_for_url("**/site")
    tapes = window.locator("#tapes")
    tapes.locator("[name=first]").fill("1 m")
    tapes.locator("[name=second]").fill("1.5 m")
    tapes.get_by_role("button").click()
    expect(tapes.locator(".fault")).to_contain_text("too short to meet by 0.5 m")
    tapes.locator("[name=first]").fill("3.5 m")
    tapes.locator("[name=second]").fill("3 m")
    with window.expect_navigation():
        tapes.get_by_role("button").click()
    pegs = window.locator("[data-measures] input")
    expect(pegs).to_have_count(8)
    given = [pegs.nth(n).input_value() for n in range(8)]
    assert ["2.04 m", "2.84 m"] in [given[n : n + 2] for n in range(0, 8, 2)]


def test_the_curve_drawn_is_the_plan_s(window: Page, server: Server, size: str) -> None:
    """Area by the shoelace of the drawn line, against scipy's spline by which beds are planned."""
    pegs = [[0.0, 1.2], [0.8, 2.4], [2.5, 2.6], [4.3, 2.3], [5.0, 1.1], [4.0, 0.2], [2.5, 0.9]]
    window.goto(server.address)
    for sharp in ([], [2, 5]):
        drawn = window.evaluate(
            "async ([pegs, sharp]) => (await import('/static/curve.js')).smooth(pegs, sharp, 64)",
            [pegs, sharp],
        )
        planned = curve_through(np.array(pegs), sharp)
        areas = [shapely.Polygon(ring).area for ring in (drawn, planned)]
        assert areas[0] == pytest.approx(areas[1], rel=2e-3)


def test_a_picture_to_trace_is_scaled_by_two_clicks_and_stays_in_the_browser(
    window: Page, server: Server, size: str
) -> None:
    """Two spots a third of the drawing apart, said to be 6 m: the picture is as wide as that
    makes it."""
    begin(window, server, "corner")
    window.wait_for_url("**/site")
    expect(window.locator("#bed-drawing .peg")).to_have_count(3)
    tracing = window.locator("#tracing")
    tracing.locator("[type=file]").set_input_files(
        {"name": "no.png", "mimeType": "image/png", "buffer": b"no picture"}
    )
    expect(tracing.locator("output")).to_have_text("That file is no picture that this browser can"
                                                   " show.")  # fmt: skip
    tracing.locator("[type=file]").set_input_files(ROOT / "docs/images/planting.png")
    image = window.locator("#bed-drawing image")
    expect(image).to_have_count(1)
    wide = float(image.get_attribute("width") or 0)
    drawing = window.locator("#bed-drawing svg")
    drawing.scroll_into_view_if_needed()
    box = drawing.bounding_box()
    assert box is not None
    view = [float(v) for v in (drawing.get_attribute("viewBox") or "").split()]
    shown = min(box["width"] / view[2], box["height"] / view[3])
    middle = box["x"] + box["width"] / 2, box["y"] + 0.08 * box["height"]
    for side in (-1, 1):
        window.mouse.click(middle[0] + side * shown * view[2] / 6, middle[1])
    tracing.locator("[name=known]").fill("6 m")
    tracing.get_by_role("button", name="Scale it").click()
    expect(tracing.locator("output")).to_contain_text("to scale")
    scaled = float(image.get_attribute("width") or 0)
    assert scaled == pytest.approx(wide * 6.0 / (view[2] / 3), rel=0.02)
    window.reload()
    expect(image).to_have_count(1)
    assert float(image.get_attribute("width") or 0) == pytest.approx(scaled)
    tracing.get_by_role("button", name="Take the picture away").click()
    expect(image).to_have_count(0)
