"""The page's addresses, asked without a network: the sheets, and the actions behind them."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
import tomllib
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import html5lib
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from bedwright import store
from bedwright.catalogue import load_catalogue
from bedwright.store import Bed
from bedwright.web import sheets
from bedwright.web.fields import label_of
from bedwright.web.guard import TOKEN_HEADER
from bedwright.web.private import private_folder
from bedwright.web.sheets import SHEETS, STAGE_WORDS, inline
from bedwright.web.starters import STARTERS
from bedwright.web.worker import FILES, Told
from conftest import EXAMPLES, ROOT, examples
from page import SCRIPT, SMALL, TITLE, Page, page_in, with_plan

STATIC = ROOT / "src/bedwright/web/static"


def elements(text: str) -> ElementTree.Element:
    """A page's elements; it must be HTML without a fault."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    return parser.parse(text)


def check_html(text: str) -> ElementTree.Element:
    """A sound page: parsed without a fault, no name twice, nothing inline that would run, every
    reference to an element of the page answered."""
    tree = elements(text)
    every = list(tree.iter())
    names = [one.get("id") for one in every if one.get("id") is not None]
    assert [name for name in names if names.count(name) > 1] == []
    for one in every:
        assert not any(name.lower().startswith("on") for name in one.attrib), one.attrib
        for name in ("aria-describedby", "aria-labelledby", "aria-controls", "for", "list"):
            assert set((one.get(name) or "").split()) <= set(names), one.attrib
        if one.tag == "script":
            assert one.get("src", "").startswith("/static/")
            assert not (one.text or "").strip()
        for name in ("src", "href", "action", "{http://www.w3.org/1999/xlink}href"):
            assert re.match(r"(/(?!/)|#|$)", one.get(name) or ""), one.attrib
        assert one.tag != "style" or "url(" not in (one.text or "")
        assert one.tag not in ("iframe", "object", "embed", "base")
    return tree


def text_of(tree: ElementTree.Element) -> str:
    return " ".join("".join(tree.itertext()).split())


# --- the sheets


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_without_a_plan(page: Page, sheet: str) -> None:
    bed = page.new()
    answer = page.ask.get(f"/beds/{bed.key}/{sheet}")
    assert answer.status_code == 200
    words = text_of(check_html(answer.text))
    assert TITLE in words
    assert SHEETS[sheet].title in words
    assert "not worked out yet" in words


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_with_its_plan(page: Page, planned: Bed, sheet: str) -> None:
    answer = page.ask.get(f"/beds/{planned.key}/{sheet}")
    assert answer.status_code == 200
    tree = check_html(answer.text)
    words = text_of(tree)
    assert "up to date" in words
    assert "sheet is filled once" not in words
    assert SCRIPT not in answer.text
    if sheet in ("site", "planting", "year"):
        assert tree.find(".//figure//{http://www.w3.org/2000/svg}svg") is not None


def test_what_may_hurt_stands_by_the_plants(page: Page, planned: Bed) -> None:
    cautions = json.loads((planned.plan_folder(1) / "sheets.json").read_text())["cautions"]
    of_plants = [one for one in cautions if one["letters"]]
    assert of_plants
    words = text_of(check_html(page.ask.get(f"/beds/{planned.key}/planting").text))
    for one in of_plants:
        assert f"{one['title']} ({one['letters']})" in words
        assert one["words"] in words


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_with_the_plan_of_an_earlier_revision(page: Page, planned: Bed, sheet: str) -> None:
    planned.change(1, {**SMALL, "title": "Another"}, "named again")
    words = text_of(check_html(page.ask.get(f"/beds/{planned.key}/{sheet}").text))
    assert "of revision 1, before the latest change" in words
    assert "Another" in words


BRIEFS = {
    "tapes": {**SMALL, "bed": {"shape": "curve", "base": "3 m", "tapes": [
        ["1 m", "2.5 m"], ["2 m", "2 m"], ["3 m", "1 m"], ["2 m", "2 m", "right"]]},
        "place": {**SMALL["place"], "horizon": [["S", 12], ["W", "8°"]]}},
    "placed": {**SMALL, "surroundings": [
        {"kind": "tree", "at": ["-3 m", "2 m"], "spread": "3 m", "height": "5 m"},
        {"kind": "wall", "corners": [["0 m", "3 m"], ["4 m", "3 m"]], "height": "2 m"},
        {"kind": "building", "bearing": "N", "distance": "8 m", "width": "10 m", "depth": "7 m",
         "height": "3 m", "faces": "SW"}]},
    "bare": {"place": {"latitude": 53.27, "longitude": -9.05},
             "bed": {"shape": "circle", "diameter": "2 m"}},
    "feet": {**SMALL, "units": "us", "bed": {"shape": "ellipse", "length": "13 ft",
                                             "width": "8 ft"}},
    "corners": {**SMALL, "bed": {"shape": "polygon",
                                 "corners": [["0 m", "0 m"], ["3 m", "0 m"], ["0 m", "3 m"]]}},
    "offsets": {**SMALL, "bed": {"shape": "offsets", "offsets": [["0 m", "1 m"], ["1 m", "2 m"],
                                                                 ["2 m", "1 m"]]}},
    "things": {**SMALL, "surroundings": [
        {"kind": "building", "bearing": "N", "distance": "8 m", "width": "10 m", "depth": "7 m",
         "height": "3 m", "name": SCRIPT},
        {"kind": "hedge", "bearing": "E", "distance": "3 m", "length": "8 m", "height": "1.5 m"}]},
}  # fmt: skip


@pytest.mark.parametrize("name", BRIEFS)
def test_the_site_of_any_sort_of_brief(page: Page, name: str) -> None:
    bed = page.beds.new(BRIEFS[name], "begun")
    answer = page.ask.get(f"/beds/{bed.key}/site")
    assert answer.status_code == 200
    check_html(answer.text)
    assert SCRIPT not in answer.text
    found = page.ask.get(f"/api/beds/{bed.key}")
    assert found.status_code == 200, found.text
    assert len(found.json()["measured"]["things"]) == len(BRIEFS[name].get("surroundings", []))
    lit = page.ask.post(f"/api/beds/{bed.key}/sun", json={})
    assert lit.status_code == 200, lit.text
    assert lit.json()["month"] == "June"


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_example_is_taken_in_and_shown(page: Page, path: Path) -> None:
    shutil.copytree(EXAMPLES / "weather", page.beds.folder / "weather")
    made = page.ask.post("/api/briefs", json={"toml": path.read_text(encoding="utf-8")})
    assert made.status_code == 201, made.text
    for sheet in SHEETS:
        check_html(page.ask.get(f"/beds/{made.json()['bed']}/{sheet}").text)


def test_the_shelf(page: Page) -> None:
    check_html(page.ask.get("/").text)
    bed = page.new()
    answer = page.ask.get("/")
    tree = check_html(answer.text)
    assert SCRIPT not in answer.text
    links = [one.get("href") for one in tree.iter("a")]
    assert f"/beds/{bed.key}/site" in links


def test_the_first_sheet_of_a_bed(page: Page) -> None:
    bed = page.new()
    answer = page.ask.get(f"/beds/{bed.key}")
    assert (answer.status_code, answer.headers["location"]) == (303, f"/beds/{bed.key}/site")


@pytest.mark.parametrize("told", [
    Told("", 1, "stage", "waiting"), Told("", 1, "stage", "season"), Told("", 1, "done"),
    Told("", 1, "cannot", "<i>nothing fits"), Told("", 1, "cannot", "stopped"),
    Told("", 2, "cannot", "<i>nothing fits"),
    Told("", 1, "faults", [("bed", "x", "y")]),
])  # fmt: skip
def test_a_sheet_while_its_plan_is_worked_out(page: Page, told: Told) -> None:
    bed = page.new()
    context = SHEETS["site"].context(bed, told)
    text = sheets.render("site.html", token="", logged_in=False, **context).body
    words = text_of(check_html(bytes(text).decode()))
    assert ("working: " in words) == (told.what == "stage")
    assert ("<i>nothing fits" in words) == (told == Told("", 1, "cannot", "<i>nothing fits"))
    assert "stopped" not in words
    assert ("The bed's outline: given x; accepted: y" in words) == (told.what == "faults")


def test_every_stage_that_is_told_has_its_words() -> None:
    told = set()
    for path in ("plan.py", "web/worker.py"):
        text = (ROOT / "src/bedwright" / path).read_text(encoding="utf-8")
        told |= set(re.findall(r'(?:progress\(|tell\("stage", )"(\w+)"', text))
    assert told | {"waiting"} == set(STAGE_WORDS)


def test_a_drawing_is_put_into_a_page_without_its_heading() -> None:
    svg = "<?xml version='1.0'?>\n<svg xmlns='s' viewBox='0 0 1 1' width=\"5.5mm\" height=\"4mm\"/>"
    assert inline(svg) == "<svg xmlns='s' viewBox='0 0 1 1'/>"


def test_the_files_of_the_page_ask_for_nothing_from_elsewhere() -> None:
    for path in STATIC.iterdir():
        text = path.read_text(encoding="utf-8")
        found = set(re.findall(r"https?://[^\s\"')]+", text)) - {"http://www.w3.org/2000/svg"}
        assert found == set(), path.name
        assert not re.search(r"\b(eval|innerHTML|outerHTML|insertAdjacentHTML)\b", text), path.name


# --- what is text stays text


@pytest.mark.parametrize("text", [SCRIPT, "{{71*73}}", "{% raw %}", "javascript:alert(1)",
                                  '"><img src=x onerror=alert(1)>', "' onfocus=alert(1) '",
                                  "</template></script>", "&lt;b&gt;", "\u202eabc"])  # fmt: skip
def test_what_the_gardener_typed_is_shown_as_typed(page: Page, text: str) -> None:
    bed = page.beds.new({**SMALL, "title": text, "place": {**SMALL["place"], "town": text},
                         "surroundings": [{"kind": "tree", "name": text}]}, text)  # fmt: skip
    for address in ("/", f"/beds/{bed.key}/site"):
        tree = check_html(page.ask.get(address).text)
        assert " ".join(text.split()) in text_of(tree)
        assert tree.find(".//img") is None
        assert "5183" not in text_of(tree)
    fields = {one.get("data-path"): one for one in tree.iter("button")}
    assert fields["place.town"].get("data-now") == text
    assert fields["surroundings.0.name"].get("data-now") == text


def test_faults_show_what_was_given_as_text(page: Page) -> None:
    answer = page.ask.post("/api/beds", json={"town": SCRIPT})
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "application/json"
    ((fault),) = answer.json()["detail"]
    assert fault["field"] == "place.town"
    assert SCRIPT in fault["given"]


# --- no way out of the folder


WAYS_OUT = ["../../../../etc/passwd", "..%2f..%2f..%2fetc%2fpasswd", "%2e%2e/%2e%2e/etc/passwd",
            "/etc/passwd", "%2fetc%2fpasswd", "..%5c..%5cetc%5cpasswd", "....//etc/passwd",
            "%252e%252e%252fetc%252fpasswd", "planting.svg%00",
            "..;/now", "../../now", "..%2f..%2fnow", "sheets.json", "drifts.json",
            "files/sheets.pdf", ".bedwright"]  # fmt: skip


@pytest.mark.parametrize("way", WAYS_OUT)
def test_no_address_leads_out_of_a_folder(page: Page, planned: Bed, way: str) -> None:
    for before in (f"/beds/{planned.key}/plans/1/", f"/beds/{planned.key}/plans/", "/beds/",
                   f"/beds/{planned.key}/", "/static/", "/api/beds/", "/"):  # fmt: skip
        answer = page.ask.get(before + way)
        assert answer.status_code in (303, 307, 404, 405, 422), (before, answer.text[:200])
        assert "root:" not in answer.text
        if "location" in answer.headers:
            assert page.ask.get(answer.headers["location"]).status_code in (404, 422)


@pytest.mark.parametrize("number", ["0", "-1", "10000", "1.5", "x", "١", "0x1"])
def test_a_plan_has_a_number(page: Page, planned: Bed, number: str) -> None:
    answer = page.ask.get(f"/beds/{planned.key}/plans/{number}/planting.svg")
    assert answer.status_code in (404, 422)


def test_a_link_in_a_plan_s_folder_is_not_followed_out_of_it(
    page: Page, planned: Bed, tmp_path: Path
) -> None:
    secret = tmp_path / "secret"
    secret.write_text("root:")
    plan = planned.plan_folder(1)
    (plan / "files/sheets.pdf").unlink()
    (plan / "files/sheets.pdf").symlink_to(secret)
    (plan / "more.svg").symlink_to(secret)
    for name in ("sheets.pdf", "more.svg"):
        assert page.ask.get(f"/beds/{planned.key}/plans/1/{name}").status_code == 404


def test_what_can_be_taken_away(page: Page, planned: Bed) -> None:
    tree = check_html(page.ask.get(f"/beds/{planned.key}/site").text)
    links = [one.get("href") or "" for one in tree.iter("a") if one.get("download") is not None]
    assert {link.rpartition("/")[2] for link in links} == {*FILES, "brief.toml"} - {"plan.json"}
    for link in links:
        answer = page.ask.get(link)
        assert answer.status_code == 200
        assert "attachment" in answer.headers["content-disposition"]
    assert page.ask.get(links[1]).content.startswith(b"%PDF")
    assert tomllib.loads(page.ask.get(links[0]).text)["title"] == TITLE


# --- beginning a bed


@pytest.mark.parametrize("shape", STARTERS)
def test_a_bed_is_begun_with_each_shape(page: Page, shape: str) -> None:
    answer = page.ask.post("/api/beds", json={"town": "Galway, Ireland", "shape": shape})
    assert answer.status_code == 201
    made = answer.json()
    assert made["on"] == 1
    assert page.ask.get(f"/beds/{made['bed']}/site").status_code == 200


def test_a_bed_of_no_shape_or_no_town_is_refused_in_words(page: Page) -> None:
    shape = page.ask.post("/api/beds", json={"town": "Galway, Ireland", "shape": "heart"})
    assert (shape.status_code, "oval island" in shape.json()["detail"]) == (422, True)
    town = page.ask.post("/api/beds", json={"town": "Nowhere at all"})
    assert town.status_code == 422
    (fault,) = town.json()["detail"]
    assert set(fault) == {"field", "given", "accepted", "path", "label"}
    assert all(fault.values())
    assert page.beds.all() == []


def test_a_store_in_use_by_another_program_is_said_so(
    page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    bed = page.new()
    other = sqlite3.connect(page.beds.folder / store.FILE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    page.ask.app.state.beds.store.engine.dispose()  # type: ignore[attr-defined]
    monkeypatch.setattr("bedwright.store.opening.PATIENCE_S", 0.05)
    answer = page.change(bed, 1, "title", text="New")
    assert (answer.status_code, "in use by another program" in answer.json()["detail"]) == (
        503,
        True,
    )
    other.close()
    assert page.change(bed, 1, "title", text="New").status_code == 200


def test_a_full_shelf_is_said_so(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bedwright.store.beds.MOST_BEDS", 0)
    for answer in (page.ask.post("/api/beds", json={"town": "Galway, Ireland"}),
                   page.ask.post("/api/briefs", json={"toml": "place.town = 'Galway, Ireland'\n"
                                 "bed = {shape = 'circle', diameter = '1 m'}"})):  # fmt: skip
        assert answer.status_code == 507, answer.text
        assert "beds" in answer.json()["detail"]


@pytest.mark.parametrize(
    "toml", ["", "nonsense", "a = ", "bed = 3", "\x00", "[" * 1000, "\ufeff", "[place]\nx = 1",
             "place = [1]\nbed = 'x'", "a." * 200 + "b = 1", "\ud800", "x = 1\n" * 3000,
             "place.town = 'Galway, Ireland'\nbed = {shape='circle', diameter='1 m'}\nd = 1e999",
             "place.record = '/etc/passwd'\nbed = {shape = 'circle', diameter = '1 m'}"],
)  # fmt: skip
def test_nonsense_is_not_taken_in(page: Page, toml: str) -> None:
    answer = page.ask.post("/api/briefs", content=json.dumps({"toml": toml}))
    assert answer.status_code == 422, answer.text
    assert answer.json()["detail"]
    assert page.beds.all() == []


def test_a_brief_taken_in_comes_back_as_it_was(page: Page) -> None:
    text = (EXAMPLES / "under-the-maple.toml").read_text(encoding="utf-8")
    made = page.ask.post("/api/briefs", json={"toml": text}).json()
    back = page.ask.get(f"/api/beds/{made['bed']}/brief.toml")
    assert store.plain(tomllib.loads(back.text)) == store.plain(tomllib.loads(text))
    assert page.ask.post("/api/briefs", json={"toml": back.text}).status_code == 201


# --- changes


def test_a_change_is_a_revision_said_in_words(page: Page) -> None:
    bed = page.new()
    assert page.change(bed, 1, "ground.dig_depth", text="25 cm").json() == {
        "on": 2, "planned": False}  # fmt: skip
    assert page.change(bed, 2, "ground.dig_depth", text="30 cm").json()["on"] == 3
    assert page.change(bed, 3, "ground.dig_depth", text="").json()["on"] == 4
    assert page.change(bed, 4, "bed", value=BRIEFS["bare"]["bed"]).json()["on"] == 5
    said = [one["said"] for one in page.ask.get(f"/api/beds/{bed.key}/revisions").json()]
    assert said[1:4] == [
        "Dug to: 25 cm",
        "Dug to: 30 cm, not 25 cm",
        "Dug to: taken out, not 30 cm",
    ]
    brief = page.ask.get(f"/api/beds/{bed.key}").json()
    assert brief["brief"]["bed"] == {"shape": "circle", "diameter": "2 m"}
    assert "ground" not in brief["brief"]
    words = text_of(check_html(page.ask.get(f"/beds/{bed.key}/site").text))
    assert "Dug to: 30 cm, not 25 cm" in words


def test_more_changes_at_once_are_summed_up(page: Page) -> None:
    bed = page.new()
    settings_ = [{"path": "ground.dig_depth", "text": "25 cm"}, {"path": "title", "text": "A"},
                 {"path": "wishes.edging", "text": "no"}, {"path": "wishes.kinds", "text": "3"},
                 {"path": "surroundings.0.evergreen", "text": "no"}]  # fmt: skip
    body = {"on": 1, "settings": settings_}
    assert page.ask.post(f"/api/beds/{bed.key}/changes", json=body).status_code == 200
    values = bed.values()
    assert (values["wishes"], values["title"]) == ({"edging": False, "kinds": 3}, "A")
    assert values["surroundings"][0]["evergreen"] is False
    assert bed.revisions[-1].said.endswith("; and 2 more")


def test_a_fault_is_told_by_field_and_changes_nothing(page: Page) -> None:
    bed = page.new()
    answer = page.change(bed, 1, "bed.length", text="two apples")
    assert answer.status_code == 422
    (fault,) = answer.json()["detail"]
    assert (fault["field"], fault["given"].strip("'\"")) == ("bed.length", "two apples")
    assert "m" in fault["accepted"]
    assert (bed.now, len(bed.revisions)) == (1, 1)


@pytest.mark.parametrize("path", ["", "x y", "bed.length.x", "../x", "a" * 200, "surroundings.9.a"])
def test_a_path_that_is_none_is_refused(page: Page, path: str) -> None:
    bed = page.new()
    answer = page.change(bed, 1, path, text="1")
    assert answer.status_code == 422
    assert bed.now == 1


ODD = [None, [None], {"x": None}, True, 1e300, -0.0, 10**30, "\ud800", "\0", "a\u2028b", [], {},
       [[[[]]]], {"shape": None}, {"": ""}, "x" * 1900, float("nan"), float("inf")]  # fmt: skip


@pytest.mark.parametrize("path", ["title", "bed", "bed.length", "surroundings", "surroundings.0",
                                  "changes.0", "changes", "wishes.grow", "place.record", "place",
                                  "ground.test.ph", "wishes.budget", "unknown"])  # fmt: skip
def test_odd_values_are_refused_or_kept_as_they_are(page: Page, path: str) -> None:
    bed = page.new()
    for value in ODD:
        body = {"on": bed.now, "settings": [{"path": path, "value": value}]}
        answer = page.ask.post(f"/api/beds/{bed.key}/changes", content=json.dumps(body))
        assert answer.status_code in (200, 422), (value, answer.text)
        assert json.loads(answer.text)
        bed.values()
        assert page.ask.get(f"/beds/{bed.key}/site").status_code == 200, value


@pytest.mark.parametrize("said", ["a\u2028b\x85c", "\ud800", "\0", SCRIPT])
def test_anything_may_be_said_of_a_change(page: Page, said: str) -> None:
    bed = page.new()
    body = {"on": 1, "settings": [{"path": "title", "text": "A"}], "said": said}
    answer = page.ask.post(f"/api/beds/{bed.key}/changes", content=json.dumps(body))
    assert answer.status_code in (200, 422)
    check_html(page.ask.get(f"/beds/{bed.key}/site").text)


def test_two_tabs_one_is_told(page: Page) -> None:
    """A tab that shows what is no longer in force changes nothing, and says what came between."""
    bed = page.new()
    page.change(bed, 1, "title", text="First tab")
    late = page.change(bed, 1, "title", text="Second tab")
    assert late.status_code == 409
    words = late.json()["detail"]["said"]
    assert "changed meanwhile" in words
    assert "First tab" in words
    for way in ("undo", "redo"):
        assert page.ask.post(f"/api/beds/{bed.key}/{way}", json={"on": 1}).status_code == 409
    assert bed.values()["title"] == "First tab"
    assert len(bed.revisions) == 2


def test_undo_and_redo_and_what_the_page_offers(page: Page) -> None:
    bed = page.new()

    def offered() -> dict[str, bool]:
        tree = check_html(page.ask.get(f"/beds/{bed.key}/site").text)
        return {one.get("id") or "": one.get("disabled") is None for one in tree.iter("button")}

    assert not offered()["undo"]
    assert not offered()["redo"]
    page.change(bed, 1, "title", text="New")
    assert offered()["undo"]
    assert page.ask.post(f"/api/beds/{bed.key}/undo", json={"on": 2}).json()["on"] == 1
    assert offered()["redo"]
    assert bed.values()["title"] == TITLE
    assert page.ask.post(f"/api/beds/{bed.key}/redo", json={"on": 1}).json()["on"] == 2
    assert bed.values()["title"] == "New"
    assert len(bed.revisions) == 2


def test_no_more_revisions_are_kept_than_there_is_room_for(
    page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    bed = page.new()
    monkeypatch.setattr("bedwright.store.beds.MOST_REVISIONS", 1)
    assert page.change(bed, 1, "title", text="New").status_code == 507
    assert bed.now == 1


def test_rows_are_added_changed_and_taken_out(page: Page) -> None:
    bed = page.new()
    rows = {"material": "compost", "pack": "40 L", "price": "6,5"}
    settings = [{"path": f"materials.0.{name}", "text": text} for name, text in rows.items()]
    made = page.ask.post(f"/api/beds/{bed.key}/changes", json={"on": 1, "settings": settings})
    assert made.json()["on"] == 2
    assert bed.values()["materials"] == [{"material": "compost", "pack": "40 L", "price": 6.5}]
    assert page.change(bed, 2, "materials.0.count", text="3").json()["on"] == 3
    assert bed.values()["materials"][0]["count"] == 3
    assert "40 L" in page.ask.get(f"/beds/{bed.key}/materials").text
    fault = page.change(bed, 3, "materials.0.pack", text="big")
    assert fault.status_code == 422
    (told,) = fault.json()["detail"]
    assert (told["field"], told["path"]) == ("materials[1].pack", "materials.0.pack")
    assert told["label"] == "material 1: In packs of"
    page.change(bed, 3, "existing.0", value={"name": "rose", "at": ["1 m", "0.5 m"],
                                             "spread": "40 cm"})  # fmt: skip
    assert page.change(bed, 4, "existing.0.at", text="0.5 m, 0.4 m").json()["on"] == 5
    assert bed.values()["existing"][0]["at"] == ["0.5 m", "0.4 m"]
    assert page.change(bed, 5, "materials.0", value=None).json()["on"] == 6
    assert "materials" not in bed.values()


def test_going_back_to_a_revision_is_a_revision_of_its_own(page: Page) -> None:
    bed = page.new()
    page.change(bed, 1, "bed.length", text="3 m")
    page.change(bed, 2, "bed.length", text="4 m")
    made = page.ask.post(f"/api/beds/{bed.key}/revisions/1", json={"on": 3})
    assert made.json()["on"] == 4
    assert bed.values() == bed.values(1)
    assert bed.revisions[-1].said == "As revision 1 again"
    assert page.ask.post(f"/api/beds/{bed.key}/revisions/9", json={"on": 4}).status_code == 404
    assert page.ask.post(f"/api/beds/{bed.key}/revisions/2", json={"on": 2}).status_code == 409
    # What is wished for is in force already, whoever put it there.
    again = page.ask.post(f"/api/beds/{bed.key}/revisions/1", json={"on": 2})
    assert (again.status_code, again.json()["on"], bed.now) == (200, 4, 4)


def test_why_a_kind_is_not_there(page: Page, planned: Bed) -> None:
    asked = f"/api/beds/{planned.key}/why-not"
    assert "no kind called 'moon flour'" in page.ask.get(asked, params={"kind": "moon flour"}).text
    words = page.ask.get(asked, params={"kind": "foxglove"}).json()["words"]
    assert words.startswith("foxglove: ")
    assert "not worked out" in page.ask.get(
        f"/api/beds/{page.new().key}/why-not", params={"kind": "foxglove"}
    ).text  # fmt: skip


def test_a_drift_is_argued_with(page: Page, planned: Bed) -> None:
    """What is asked lies in the first cut of the drift, and is one change however often asked."""
    drifts = json.loads((planned.plan_folder(1) / "drifts.json").read_text())
    body = next(one for one in drifts if not one["edging"])
    address = f"/api/beds/{planned.key}/drifts/{body['number']}"
    made = page.ask.post(address, json={"on": 1, "act": "more"})
    assert made.json() == {"on": 2, "planned": False}
    held = {"grow": body["kind"], "colour": body["colour"], "size": 1.3}
    assert planned.values()["changes"] == [{"at": body["spot"], **held}]
    assert planned.revisions[-1].said == f"More {body['letter']} {body['name']}"
    rival = body["rivals"][0]
    wish = {"on": 2, "act": "plant", "kind": rival["kind"], "colour": rival["colour"]}
    assert page.ask.post(address, json=wish).json()["on"] == 3
    # Though no plan was made in between, both are asked of one drift.
    wished = {"size": 1.3, "grow": rival["kind"], "colour": rival["colour"]}
    assert planned.values()["changes"] == [{"at": body["spot"], **wished}]
    assert page.ask.post(address, json={"on": 3, "act": "plant", "kind": "moon"}).status_code == 422
    assert page.ask.post(address, json={"on": 3, "act": "swap"}).status_code == 409
    assert page.ask.post(address, json={"on": 1, "act": "keep"}).status_code == 409
    page.change(planned, 3, "bed.length", text="2.1 m")
    early = page.ask.post(address, json={"on": 4, "act": "keep"})
    assert (early.status_code, "wait" in early.json()["detail"]) == (409, True)
    none = f"/api/beds/{planned.key}/drifts/999"
    assert page.ask.post(none, json={"on": 4, "act": "keep"}).status_code == 404


def test_every_kind_that_would_go_there_next_has_its_picture_and_words(
    page: Page, planned: Bed
) -> None:
    words = text_of(tree := check_html(page.ask.get(f"/beds/{planned.key}/planting").text))
    drifts = json.loads((planned.plan_folder(1) / "drifts.json").read_text())
    rivals = [one for drift in drifts for one in drift["rivals"]]
    assert rivals
    pictures = {one.get("src") for one in tree.iter("img")}
    for one in rivals:
        told = one["words"]
        assert f"{told['name']}: {told['points']}." in words
        assert told["against"] in words
        assert told["gains"] in words
        address = f"/beds/{planned.key}/plans/1/{one['symbol']}"
        assert address in pictures
        assert page.ask.get(address).headers["content-type"] == "image/svg+xml"


def test_pegs_are_set_and_taken_out(page: Page) -> None:
    bed = page.beds.new(BRIEFS["corners"], "begun")
    address = f"/api/beds/{bed.key}/pegs"
    assert page.ask.post(address, json={"on": 1}).json()["on"] == 2
    assert len(bed.values()["bed"]["corners"]) == 4
    tapes = {"pegs": [1, 2], "lengths": ["1 m", "1 m"], "left": True}
    short = page.ask.post(address, json={"on": 2, "tapes": tapes})
    assert (short.status_code, "too short" in short.json()["detail"]) == (422, True)
    wrong = page.ask.post(address, json={"on": 2, "tapes": {**tapes, "lengths": ["1 m", "x"]}})
    assert (wrong.status_code, wrong.json()["detail"][0]["given"]) == (422, "'x'")
    assert page.ask.delete(f"{address}/3?on=2").json()["on"] == 3
    assert page.ask.delete(f"{address}/9?on=3").status_code == 404
    least = page.ask.delete(f"{address}/1?on=3")
    assert least.status_code == 422, "two pegs enclose nothing"
    other = page.new()
    assert page.ask.post(f"/api/beds/{other.key}/pegs", json={"on": 1}).status_code == 409
    assert page.ask.delete(f"/api/beds/{other.key}/pegs/1?on=1").status_code == 409
    shaped = page.ask.post(f"/api/beds/{other.key}/outline", json={"on": 1, "smooth": True})
    assert (shaped.status_code, other.values()["bed"]["shape"]) == (200, "curve")


def test_the_distance_of_two_pegs_is_typed(page: Page) -> None:
    bed = page.beds.new(BRIEFS["corners"], "begun")
    address = f"/api/beds/{bed.key}/pegs"
    had = bed.values()["bed"]["corners"]
    assert page.ask.post(f"{address}/1/distance", json={"on": 1, "length": "2 m"}).json()["on"] == 2
    now = bed.values()["bed"]["corners"]
    assert (now[0], now[2:]) == (had[0], had[2:])
    assert bed.revisions[-1].said == "From peg 1 to peg 2: 2 m"
    wrong = page.ask.post(f"{address}/1/distance", json={"on": 2, "length": "x"})
    assert (wrong.status_code, wrong.json()["detail"][0]["given"]) == (422, "'x'")
    none = page.ask.post(f"{address}/1/distance", json={"on": 2, "length": "0 m"})
    assert (none.status_code, "more than nothing" in none.json()["detail"]) == (422, True)
    assert (
        page.ask.post(f"{address}/9/distance", json={"on": 2, "length": "1 m"}).status_code == 404
    )
    other = page.ask.post(f"/api/beds/{page.new().key}/pegs/1/distance",
                          json={"on": 1, "length": "1 m"})  # fmt: skip
    assert other.status_code == 409
    assert bed.now == 2


def test_a_bed_is_put_away_and_back(page: Page) -> None:
    bed = page.new()
    assert page.ask.delete(f"/api/beds/{bed.key}").json() == {"bed": bed.key}
    assert page.ask.get(f"/beds/{bed.key}/site").status_code == 404
    assert page.ask.delete(f"/api/beds/{bed.key}").status_code == 404
    assert "Put away: 1" in text_of(check_html(page.ask.get("/").text))
    assert page.ask.post(f"/api/away/{bed.key}").json() == {"bed": bed.key, "on": 1}
    assert page.ask.get(f"/beds/{bed.key}/site").status_code == 200
    assert page.ask.post(f"/api/away/{bed.key}").status_code == 404


@pytest.mark.parametrize("kind", ["building", "wall", "fence", "hedge", "tree", "shrub"])
def test_a_thing_is_put_clear_of_any_bed(page: Page, kind: str) -> None:
    long = {"shape": "rectangle", "length": "40 m", "width": "2 m"}
    bed = page.beds.new({**SMALL, "bed": long, "surroundings": []}, "begun")
    for on in (1, 2, 3, 4):
        made = page.ask.post(f"/api/beds/{bed.key}/things", json={"on": on, "kind": kind})
        assert made.status_code == 200, made.text
    assert len(bed.values()["surroundings"]) == 4
    none = page.ask.post(f"/api/beds/{bed.key}/things", json={"on": 5, "kind": "x"})
    assert none.status_code == 422


def test_the_sun_on_a_bed_as_it_would_be(page: Page) -> None:
    """A wall close by on the south takes sun from the cells that lie nearest to it."""
    bed = page.beds.new({**SMALL, "surroundings": []}, "begun")
    address = f"/api/beds/{bed.key}/sun"
    wall = {"kind": "wall", "bearing": "S", "distance": "1 m", "length": "20 m", "height": "2 m"}
    open_ = page.ask.post(address, json={"month": 3}).json()
    assert {cell[2] for cell in open_["cells"]} == {open_["open"]}
    shaded = page.ask.post(
        address, json={"month": 3, "settings": [{"path": "surroundings.0", "value": wall}]}
    ).json()
    assert shaded["month"] == "March"
    by_row: dict[float, list[float]] = {}
    for _, y, hours in shaded["cells"]:
        by_row.setdefault(y, []).append(hours)
    near, far = (max(by_row[y]) for y in (min(by_row), max(by_row)))
    assert near < far <= open_["open"]
    assert bed.now == 1
    bow = [["0 m", "0 m"], ["2 m", "2 m"], ["2 m", "0 m"], ["0 m", "2 m"]]
    crossing = {"shape": "polygon", "corners": bow}
    answer = page.ask.post(address, json={"settings": [{"path": "bed", "value": crossing}]})
    assert (answer.status_code, "cross" in answer.text) == (422, True)


@pytest.mark.parametrize(
    ("text", "units", "metres"),
    [
        ("3 m", "metric", 3.0),
        ("3", "metric", 3.0),
        ("3", "us", 0.9144),
        ("4 ft 6 in", "us", 1.3716),
    ],
)
def test_a_length_is_read_as_in_a_brief(page: Page, text: str, units: str, metres: float) -> None:
    answer = page.ask.get("/api/length", params={"text": text, "units": units})
    assert answer.json()["m"] == pytest.approx(metres)
    assert page.ask.get("/api/length", params={"text": "x"}).status_code == 422


def test_an_earlier_planting_is_laid_over_the_present_one(page: Page, planned: Bed) -> None:
    planned.change(1, {**SMALL, "title": "Another"}, "named again")
    shutil.copytree(planned.plan_folder(1), planned.plan_folder(2))
    drifts = json.loads((planned.plan_folder(1) / "drifts.json").read_text())
    since = {"revision": 1, "came": [], "went": [], "changed": [drifts[0]["number"]]}
    (planned.plan_folder(2) / "since.json").write_text(json.dumps(since))
    address = f"/beds/{planned.key}/planting"
    svg = "{http://www.w3.org/2000/svg}path"

    def lines(text: str) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for one in check_html(text).iter(svg):
            found.setdefault(one.get("class") or one.get("id") or "", []).append(one.get("d") or "")
        return found

    plain = lines(page.ask.get(address).text)
    # The mark of what has changed lies on the drift itself, in the drawing's own measure.
    ends = [re.findall(r"[-\d.]+", plain[name][0])[:2] for name in ("changed", "drift-0")]
    for marked, drawn in zip(*ends, strict=True):
        assert float(marked) == pytest.approx(float(drawn), abs=0.05)
    assert "before" not in plain
    over = lines(page.ask.get(address, params={"over": 1}).text)
    assert len(over["before"]) == len(drifts)
    assert "before" not in lines(page.ask.get(address, params={"over": 9}).text)
    assert page.ask.get(address, params={"over": "x"}).status_code == 422


# --- plans


def test_after_its_first_plan_each_change_asks_for_the_next(page: Page, planned: Bed) -> None:
    solver = page.ask.app.state.solver  # type: ignore[attr-defined]
    page.change(planned, 1, "title", text="New")
    assert solver.how_far(planned.key).revision == 2
    assert page.ask.post(f"/api/beds/{planned.key}/undo", json={"on": 2}).json() == {
        "on": 1, "planned": True}  # fmt: skip
    assert not solver.busy(planned.key), "the plan of what is undone is stopped"
    page.ask.post(f"/api/beds/{planned.key}/redo", json={"on": 1})
    assert solver.how_far(planned.key).revision == 2
    page.ask.post(f"/api/beds/{planned.key}/revisions/1", json={"on": 2})
    assert solver.how_far(planned.key).revision == 3
    bed = page.new()
    page.change(bed, 1, "title", text="New")
    assert solver.how_far(bed.key) is None


def test_files_that_are_missing_are_made_again_once(
    page: Page, planned: Bed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As when the program was ended between a plan's sheets and its files."""
    solver = page.ask.app.state.solver  # type: ignore[attr-defined]
    (planned.plan_folder(1) / "files/sheets.pdf").unlink()
    asked: list[Any] = []

    def ask(task: Any) -> None:
        asked.append(task)
        (planned.plan_folder(1) / "files/sheets.pdf").write_bytes(b"%PDF")

    monkeypatch.setattr(solver, "ask", ask)
    assert page.ask.get(f"/beds/{planned.key}/plans/1/sheets.pdf").content == b"%PDF"
    assert [(task.files, task.revision) for task in asked] == [(True, 1)]
    (planned.plan_folder(1) / "files/calendar.ics").unlink()
    assert page.ask.get(f"/beds/{planned.key}/plans/1/calendar.ics").status_code == 404
    assert len(asked) == 2


def test_the_pictures_of_the_year_follow_its_sheets(page: Page, planned: Bed) -> None:
    views = page.ask.get(f"/api/beds/{planned.key}/views").json()
    assert len(views) == 26
    assert all((planned.plan_folder(1) / one["file"]).is_file() for one in views)
    year = f"/beds/{planned.key}/year"
    assert "being drawn" not in page.ask.get(year).text
    (planned.plan_folder(1) / "views.json").unlink()
    assert "being drawn" in text_of(check_html(page.ask.get(year).text))
    assert page.ask.get(f"/api/beds/{page.new().key}/views").status_code == 409


def test_a_plan_that_is_there_is_not_made_again(page: Page, planned: Bed) -> None:
    answer = page.ask.post(f"/api/beds/{planned.key}/plan", json={"on": 1})
    assert (answer.status_code, answer.json()) == (202, {"on": 1, "planned": True})


def test_a_plan_is_asked_for_and_stopped(page: Page) -> None:
    bed = page.new()
    address = f"/api/beds/{bed.key}/plan"
    assert page.ask.post(address, json={"on": 1}).json() == {"on": 1, "planned": False}
    assert "working: waiting" in text_of(check_html(page.ask.get(f"/beds/{bed.key}/year").text))
    assert page.ask.delete(address).json() == {"on": 1}
    assert "not worked out yet" in page.ask.get(f"/beds/{bed.key}/year").text
    assert page.ask.post(address, json={"on": 7}).status_code == 404


def test_too_many_plans_at_once_are_refused_in_words(
    page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bedwright.web.solver.MOST_WAITING", 1)
    one, two = page.new(), page.new()
    page.ask.post(f"/api/beds/{one.key}/plan", json={"on": 1})
    late = page.ask.post(f"/api/beds/{two.key}/plan", json={"on": 1})
    assert (late.status_code, "waiting" in late.json()["detail"]) == (429, True)


def test_towns_are_found_by_how_they_begin(page: Page) -> None:
    assert page.ask.get("/api/towns?q=galw").json()[0] == "Galway, Ireland"
    for q in ("", "%", SCRIPT, "x" * 120, "\u0130", "%00"):
        assert page.ask.get("/api/towns", params={"q": q}).status_code == 200
    assert page.ask.get("/api/towns", params={"q": "x" * 121}).status_code == 422


# --- the API as a whole


def test_the_description_of_the_api_is_sound(page: Page) -> None:
    described = page.ask.get("/openapi.json").json()
    schemathesis.openapi.from_dict(described).validate()
    for operations in described["paths"].values():
        for operation in operations.values():
            assert operation["description"], operation


OPERATIONS = ["POST /api/beds", "POST /api/briefs", "GET /api/beds/{bed}", "GET /api/towns",
              "GET /api/beds/{bed}/kinds", "GET /api/length", "GET /api/beds/{bed}/views",
              "POST /api/beds/{bed}/sun", "DELETE /api/beds/{bed}", "POST /api/away/{bed}",
              "GET /api/beds/{bed}/learned", "POST /api/beds/{bed}/learned",
              "GET /api/beds/{bed}/week", "POST /api/beds/{bed}/week",
              "GET /api/beds/{bed}/tonight", "GET /api/beds/{bed}/years",
              "POST /api/beds/{bed}/next-year", "POST /api/beds/{bed}/grown",
              "GET /api/beds/{bed}/entries", "POST /api/beds/{bed}/entries",
              "POST /api/beds/{bed}/record", "POST /api/beds/{bed}/photos",
              "GET /api/beds/{bed}/photos/{sha256}",
              "POST /api/beds/{bed}/entries/{entry}", "DELETE /api/beds/{bed}/entries/{entry}",
              "POST /api/beds/{bed}/pegs/{number}/distance",
              "POST /api/beds/{bed}/pegs", "DELETE /api/beds/{bed}/pegs/{number}",
              "POST /api/beds/{bed}/things", "POST /api/beds/{bed}/drifts/{number}",
              "GET /api/beds/{bed}/brief.toml", "GET /api/beds/{bed}/revisions",
              "POST /api/beds/{bed}/changes", "POST /api/beds/{bed}/undo",
              "POST /api/beds/{bed}/redo", "POST /api/beds/{bed}/plan",
              "DELETE /api/beds/{bed}/plan", "POST /api/beds/{bed}/variants",
              "GET /api/beds/{bed}/why-not", "POST /api/beds/{bed}/outline",
              "POST /api/beds/{bed}/revisions/{number}", "POST /api/beds/{bed}/merge"]  # fmt: skip


def test_a_town_is_kept_under_its_whole_name(page: Page) -> None:
    asked = {"town": "Galway", "shape": "corner", "units": "metric"}
    answer = page.ask.post("/api/beds", json=asked)
    assert answer.status_code == 201, answer.text
    (bed,) = page.beds.all()
    assert bed.values()["place"]["town"] == "Galway, Ireland"


OWN = """[kind.my_marigold]
name = "my own marigold"
like = "french_marigold"
"""


def test_every_kind_of_the_catalogue_is_offered_and_the_gardener_s_own(page: Page) -> None:
    bed = page.new()
    names = page.ask.get(f"/api/beds/{bed.key}/kinds").json()
    assert set(names) == {kind.name for kind in load_catalogue()}
    (page.beds.folder / "mine.toml").write_text(OWN, encoding="utf-8")
    assert page.change(bed, 1, "own_kinds", value="mine.toml").json()["on"] == 2
    named = page.ask.get(f"/api/beds/{bed.key}/kinds").json()
    assert set(named) - set(names) == {"my own marigold"}
    assert page.change(bed, 2, "wishes.grow", text="my own marigold").json()["on"] == 3


@pytest.mark.parametrize("path", ["place.record.file", "own_kinds"])
@pytest.mark.parametrize("name", ["/etc/passwd", "../secret.toml", "a/../../secret.toml",
                                  ".share/password", "a/../.share/sessions.json"])  # fmt: skip
def test_a_brief_s_files_lie_in_the_folder_of_beds(page: Page, path: str, name: str) -> None:
    (page.beds.folder.parent / "secret.toml").write_text("secret = 1", encoding="utf-8")
    (private_folder(page.beds.folder) / "password").write_text("secret = 1", encoding="utf-8")
    bed = page.new()
    answer = page.change(bed, 1, path, value=name)
    assert answer.status_code == 422
    (fault,) = answer.json()["detail"]
    assert (fault["field"], "folder of your beds" in fault["accepted"]) == (path, True)
    assert "secret = 1" not in answer.text
    sketch = {"settings": [{"path": path, "value": name}]}
    sun = page.ask.post(f"/api/beds/{bed.key}/sun", json=sketch)
    assert (sun.status_code, sun.json()["detail"][0]["field"]) == (422, path)


@pytest.mark.parametrize(
    ("path", "label"),
    [("surroundings.0.width", "the house: Width of the side near the bed"),
     ("surroundings.1.spread_now", "tree: spread now"), ("surroundings.2", "What stands around"),
     ("surroundings.1", "tree"), ("bed.pegs.2.0", "Peg 3"), ("bed.tapes.0", "Spot 1"),
     ("materials.1.pack", "material 2: In packs of"), ("dates.away", "Days away"),
     ("ground.dig_depth", "Dug to"), ("bed", "The bed's outline"),
     ("bed.pegs.x", "Pegs"), ("wishes.variant", "wishes: variant")],
)  # fmt: skip
def test_a_change_says_what_it_changes(path: str, label: str) -> None:
    house = {"kind": "building", "name": "the house", "width": "9 m"}
    brief = {"surroundings": [house, {"kind": "tree"}]}
    assert label_of(brief, path) == label


def test_every_operation_is_tried(page: Page) -> None:
    described = page.ask.get("/openapi.json").json()["paths"]
    found = {
        f"{method.upper()} {path}" for path, methods in described.items() for method in methods
    }
    # What is told of a plan has no end: it is heard in test_solver.py.
    assert found == {*OPERATIONS, "GET /api/beds/{bed}/progress"}


@pytest.mark.parametrize("label", OPERATIONS)
def test_nothing_asked_is_a_fault_of_the_program(page: Page, small_plan: Path, label: str) -> None:
    """Of requests that the description allows, and others; half are for a bed there is."""
    bed = with_plan(page.beds, small_plan)
    described = page.ask.get("/openapi.json").json()
    schema = schemathesis.openapi.from_dict(described)
    operation = schema.find_operation_by_label(label)
    assert operation is not None
    wanted = st.one_of(
        operation.as_strategy(),
        operation.as_strategy(generation_mode=schemathesis.GenerationMode.NEGATIVE),
    )

    @settings(max_examples=examples(12), phases=[Phase.generate],
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(case=wanted, real=st.booleans())
    def ask(case: Any, real: bool) -> None:
        if real and "bed" in case.path_parameters:
            case.path_parameters["bed"] = bed.key
        kept = {**case.as_transport_kwargs(base_url=str(page.ask.base_url))}
        kept.pop("cookies", None)
        if "data" in kept:
            kept["content"] = kept.pop("data")
        headers = {**dict(kept.pop("headers", None) or {}), TOKEN_HEADER: page.keys.token}
        answer = page.ask.request(**kept, headers=headers)
        assert answer.status_code < 500, (answer.text, kept)
        if answer.status_code == 422:
            assert answer.json()["detail"]

    ask()


def test_a_page_opens_on_the_beds_of_its_folder(tmp_path: Path) -> None:
    first = page_in(tmp_path)
    bed = first.new()
    first.change(bed, 1, "title", text="New")
    again = page_in(tmp_path)
    assert again.ask.get(f"/api/beds/{bed.key}").json()["brief"]["title"] == "New"
