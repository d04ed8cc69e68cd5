"""What comes into the journal from files, in a real browser: photographs, also out of reach."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from bedwright.store import Bed, grow, history_of
from browsing import Server, check
from page import SMALL
from pictures import heic, photograph

pytestmark = pytest.mark.parametrize("size", ["desk", "phone"], indirect=True)


@pytest.fixture
def bed(server: Server) -> Bed:
    made = server.beds.new({**SMALL, "title": "Bed with photographs"}, "begun")
    items = [{"kind": kind, "method": "indoors", "bloom_odds_by_week": []}
             for kind in ("tall_zinnia", "garden_cosmos")]  # fmt: skip
    grow(made, 2026, 1, json.dumps({"season": {"start": "2027-01-01"}, "items": items}))
    return made


def picture(folder: Path, name: str, body: bytes) -> Path:
    path = folder / name
    path.write_bytes(body)
    return path


def test_a_photograph_goes_with_a_line(
    window: Page, server: Server, bed: Bed, tmp_path: Path, size: str
) -> None:
    window.goto(server.sheet(bed, "journal"))
    by_touch = window.get_by_role("button", name="Take a photograph")
    expect(by_touch).to_be_visible(visible=size == "phone")
    assert window.locator("#photo-now").get_attribute("capture") == "environment"
    with window.expect_file_chooser() as asked:
        window.get_by_role("button", name="Add a photograph").click()
    asked.value.set_files(
        picture(tmp_path, "a.jpg", photograph(date(2026, 5, 20), size=(900, 600)))
    )
    expect(window.locator("#picked img")).to_be_visible()
    check(window)
    window.get_by_role("button", name="leave it out").click()
    expect(window.locator("#picked")).to_be_hidden()
    window.set_input_files("#photo-had", tmp_path / "a.jpg")
    window.get_by_label("What happened").fill("first flower cosmos")
    with window.expect_navigation():
        window.get_by_role("button", name="Write it down").click()
    expect(window.locator("#noted")).to_contain_text("the photograph's own date, 20 May 2026")
    (made,) = history_of(bed.store, bed.key)
    assert (made.entry.what, made.entry.day) == ("first_flower", date(2026, 5, 20))
    small = window.locator("a.photo img")
    expect(small).to_have_attribute("loading", "lazy")
    small.scroll_into_view_if_needed()
    expect(small).to_have_js_property("naturalWidth", 320)
    window.locator("a.photo").click()
    large = window.get_by_role("dialog")
    expect(large).to_contain_text("First flower: tall garden cosmos")
    expect(large.locator("img")).to_have_js_property("naturalWidth", 900)
    expect(large.get_by_role("button", name="close")).to_be_in_viewport()
    check(window)
    window.keyboard.press("Escape")
    expect(large).to_have_count(0)
    expect(window.locator("a.photo")).to_be_focused()


def test_a_photograph_alone_and_one_that_the_browser_cannot_show(
    window: Page, server: Server, bed: Bed, tmp_path: Path
) -> None:
    window.goto(server.sheet(bed, "journal"))
    window.set_input_files("#photo-had", picture(tmp_path, "b.heic", heic(date(2026, 5, 2))))
    expect(window.locator("#picked")).to_contain_text("b.heic")
    with window.expect_navigation():
        window.get_by_role("button", name="Write it down").click()
    expect(window.locator("#noted")).to_contain_text("Written: Photograph, on 2 May 2026")
    link = window.locator("a.photo")
    link.scroll_into_view_if_needed()
    expect(link).to_have_text("photograph")
    link.click()
    expect(window.get_by_role("dialog")).to_contain_text("cannot show the photograph")
    expect(window.get_by_role("link", name="the file as it is")).to_be_visible()


def test_what_is_no_photograph_is_said_beside_the_line_that_stays(
    window: Page, server: Server, bed: Bed, tmp_path: Path
) -> None:
    window.goto(server.sheet(bed, "journal"))
    window.set_input_files("#photo-had", picture(tmp_path, "c.jpg", b"<svg/>"))
    line = window.get_by_label("What happened")
    line.fill("over cosmos")
    window.get_by_role("button", name="Write it down").click()
    expect(window.locator(".note-line .fault")).to_contain_text("accepted: a JPEG, PNG, WebP")
    expect(line).to_have_value("over cosmos")
    expect(window.locator("#picked")).to_contain_text("c.jpg")
    with (tmp_path / "large.jpg").open("wb") as large:
        large.truncate(25_000_001)
    window.set_input_files("#photo-had", tmp_path / "large.jpg")
    expect(window.locator(".taps .fault")).to_contain_text("accepted: up to 25 MB")
    assert history_of(bed.store, bed.key) == []


def test_a_photograph_made_out_of_reach_is_kept_and_sent_once(
    window: Page, server: Server, bed: Bed, tmp_path: Path
) -> None:
    window.goto(server.sheet(bed, "journal"))
    write = window.get_by_role("button", name="Write it down")
    out_of_reach = re.compile("/(entries|photos)$")
    window.route(out_of_reach, lambda route: route.abort())
    body = photograph(date(2026, 5, 20), size=(900, 600))
    window.set_input_files("#photo-had", picture(tmp_path, "d.jpg", body))
    window.get_by_label("What happened").fill("cosmos in full flower")
    write.click()
    expect(window.locator("#unsent li")).to_contain_text("cosmos in full flower")
    expect(window.locator("#unsent img")).to_be_visible()
    expect(window.locator("#picked")).to_be_hidden()
    window.set_input_files("#photo-had", picture(tmp_path, "e.jpg", photograph(colour=(9, 9, 9))))
    write.click()
    expect(window.locator("#unsent li")).to_have_count(2)
    check(window)
    window.reload()  # the browser may be shut meanwhile
    expect(window.locator("#unsent img")).to_have_count(2)
    assert history_of(bed.store, bed.key) == []
    # Back for a moment: both are received, but for the first no answer comes.
    window.unroute(out_of_reach)
    answers: list[int] = []

    def without_answer(route: object) -> None:
        answers.append(route.fetch().status)  # type: ignore[attr-defined]
        route.abort()  # type: ignore[attr-defined]

    window.route(re.compile("/entries$"), without_answer, times=1)
    window.evaluate("dispatchEvent(new Event('online'))")
    window.wait_for_timeout(200)
    expect(window.locator("#unsent li")).to_have_count(2)
    with window.expect_navigation():
        window.evaluate("dispatchEvent(new Event('online'))")
    expect(window.locator(".entries li")).to_have_count(2)
    expect(window.locator("#unsent")).to_be_hidden()
    assert answers == [201]
    made = [one.entry for one in history_of(bed.store, bed.key)]
    assert [(one.what, one.text) for one in made] == [
        ("full_flower", "cosmos in full flower"), ("photo", "")]  # fmt: skip
    assert made[0].day == date(2026, 5, 20)
    assert made[0].photo != made[1].photo
    left = window.evaluate("""() => new Promise((done) => {
      const asked = indexedDB.open('bedwright-unsent');
      asked.onsuccess = () => {
        const name = 'photographs';
        const keys = asked.result.transaction(name).objectStore(name).getAllKeys();
        keys.onsuccess = () => { asked.result.close(); done(keys.result); };
      };
    })""")
    assert left == []


def test_a_photograph_that_waits_can_be_let_go(
    window: Page, server: Server, bed: Bed, tmp_path: Path
) -> None:
    window.goto(server.sheet(bed, "journal"))
    window.route(re.compile("/(entries|photos)$"), lambda route: route.abort())
    window.set_input_files("#photo-had", picture(tmp_path, "d.jpg", photograph()))
    window.get_by_role("button", name="Write it down").click()
    expect(window.locator("#unsent li")).to_contain_text("a photograph")
    window.get_by_role("button", name="let it go").click()
    expect(window.locator("#unsent")).to_be_hidden()
    window.reload()
    expect(window.locator("#unsent")).to_be_hidden()


def test_a_weather_record_is_added_and_its_readings_taken_when_asked(
    window: Page, server: Server, bed: Bed, tmp_path: Path
) -> None:
    window.goto(server.sheet(bed, "journal"))
    path = tmp_path / "station.csv"
    path.write_text("date,tmin,tmax\n2026-05-01,4,12\n2026-05-02,5,13\n")
    file, add = (
        window.get_by_label("A weather record"),
        window.get_by_role("button", name="Add its"),
    )
    file.set_input_files(path)
    with window.expect_navigation():
        add.click()
    told = window.locator("#recorded")
    expect(told).to_contain_text("2 days added, from 1 May 2026 to 2 May 2026.")
    expect(window.get_by_text("Weather of 2 days from records")).to_be_visible()
    path.write_text("date,tmin,tmax\n2026-05-01,4,12\n2026-05-02,-1,13\n")
    file.set_input_files(path)
    add.click()
    expect(told.get_by_role("listitem")).to_have_text(
        ["2 May 2026: minimum −1 °C in the record, 5 °C in the journal"]
    )
    check(window)
    assert len(history_of(bed.store, bed.key)) == 2
    with window.expect_navigation():
        window.get_by_role("button", name="Take the record's readings for this day").click()
    expect(told).to_contain_text("1 day was corrected")
    assert len(history_of(bed.store, bed.key)) == 3
    path.write_text("no record")
    file.set_input_files(path)
    add.click()
    expect(window.locator("#record .fault")).to_contain_text("needed: date, tmin, tmax")
    check(window)
