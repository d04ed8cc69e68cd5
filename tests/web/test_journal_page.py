"""The journal on the page's API: lines written once, corrected, taken back."""

from __future__ import annotations

import hashlib
import io
import json
from datetime import date, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from PIL import Image

from bedwright.inputs.records import MOST_BYTES
from bedwright.store import Bed, grow, grown, history_of, planted_in
from bedwright.web.records import MOST_RECORD
from page import Page, with_plan
from pictures import heic, photograph


@pytest.fixture
def bed(page: Page) -> Bed:
    made = page.new()
    items = [{"kind": kind, "method": "indoors", "bloom_odds_by_week": []}
             for kind in ("tall_zinnia", "garden_cosmos")]  # fmt: skip
    grow(made, 2027, 1, json.dumps({"season": {"start": "2027-01-01"}, "items": items}))
    return made


def test_a_line_is_written_once_and_read_back(page: Page, bed: Bed) -> None:
    address, own = f"/api/beds/{bed.key}/entries", str(uuid4())
    asked = {"line": "sowed 24 zinnias", "id": own}
    first = page.ask.post(address, json=asked)
    assert first.status_code == 201, first.text
    made = first.json()
    assert (made["id"], made["number"], made["line"]) == (own, 1, "sowed 24 zinnias")
    assert made["words"].startswith("Sown: 24 tall zinnia")
    assert any("tall zinnia, which grows in this bed" in remark for remark in made["remarks"])
    again = page.ask.post(address, json=asked).json()
    assert (again["number"], len(history_of(bed.store, bed.key))) == (1, 1)
    other = page.ask.post(address, json={"line": "frost", "id": own})
    assert (other.status_code, other.json()["detail"]) == (409, "Another entry has this id.")
    listed = page.ask.get(address).json()
    assert [(one["id"], one["day"]) for one in listed] == [(own, date.today().isoformat())]


def test_a_photograph_is_sent_once_and_shown(page: Page, bed: Bed) -> None:
    address, body = f"/api/beds/{bed.key}", photograph(date(2026, 5, 20), size=(900, 600))
    sent = [page.ask.post(f"{address}/photos", content=body).json() for _ in range(2)]
    assert sent[0] == sent[1]
    sha256 = hashlib.sha256(body).hexdigest()
    assert sent[0] == {"sha256": sha256, "type": "image/jpeg", "bytes": len(body),
                       "taken": "2026-05-20"}  # fmt: skip
    asked = {"line": "first flower cosmos", "id": str(uuid4()), "photo": sha256}
    for _ in range(2):
        made = page.ask.post(f"{address}/entries", json=asked)
        assert made.status_code == 201, made.text
    assert (made.json()["photo"], made.json()["day"]) == (sha256, "2026-05-20")
    assert "the day is the photograph's own date, 20 May 2026" in made.json()["remarks"]
    assert len(history_of(bed.store, bed.key)) == 1
    alone = page.ask.post(f"{address}/entries", json={"photo": sha256}).json()
    assert alone["words"] == "Photograph, on 20 May 2026"
    shown = page.ask.get(f"{address}/photos/{sha256}")
    assert (shown.content, shown.headers["content-type"]) == (body, "image/jpeg")
    assert shown.headers["x-content-type-options"] == "nosniff"
    assert "immutable" in shown.headers["cache-control"]
    small = page.ask.get(f"{address}/photos/{sha256}?small=true")
    assert small.headers["content-type"] == "image/jpeg"
    assert max(Image.open(io.BytesIO(small.content)).size) == 320
    assert f"/photos/{sha256}?small=true" in page.ask.get(f"/beds/{bed.key}/journal").text


def test_a_photograph_s_type_is_what_was_found_in_it(page: Page, bed: Bed) -> None:
    address = f"/api/beds/{bed.key}/photos"
    for body, kind in ((photograph(form="PNG"), "image/png"), (heic(), "image/heic")):
        told = {"content-type": "image/svg+xml"}
        sha256 = page.ask.post(address, content=body, headers=told).json()["sha256"]
        assert page.ask.get(f"{address}/{sha256}").headers["content-type"] == kind
    # Of HEIC no small one can be made: it is shown as it is.
    assert page.ask.get(f"{address}/{sha256}?small=true").content == heic()


@pytest.mark.parametrize(
    ("body", "given"),
    [(b"<svg onload='alert(1)'/>", "begins with '<svg onl'"), (b"", "an empty file"),
     (b"GIF89a", "begins with 'GIF89a'")],
)  # fmt: skip
def test_what_is_no_photograph_is_said_so(page: Page, bed: Bed, body: bytes, given: str) -> None:
    answer = page.ask.post(f"/api/beds/{bed.key}/photos", content=body)
    (fault,) = answer.json()["detail"]
    assert (answer.status_code, given in fault["given"]) == (422, True), fault
    assert fault["accepted"] == "a JPEG, PNG, WebP or HEIC photograph of up to 25 MB"
    assert not (page.beds.folder / "photos").exists()


def test_a_photograph_that_is_not_there(page: Page, bed: Bed) -> None:
    address, sha256 = f"/api/beds/{bed.key}", "0" * 64
    assert page.ask.get(f"{address}/photos/{sha256}").status_code == 404
    for wrong in ("..%2f..%2fgarden.db", "x" * 64, sha256[:-1], sha256 + "0"):
        assert page.ask.get(f"{address}/photos/{wrong}").status_code in (404, 422)
    answer = page.ask.post(f"{address}/entries", json={"line": "frost", "photo": sha256})
    assert (answer.status_code, answer.json()["detail"][0]["field"]) == (422, "photo")
    body = photograph()
    sent = page.ask.post(f"{address}/photos", content=body).json()["sha256"]
    page.ask.post(f"{address}/entries", json={"photo": sent})
    next(page.beds.folder.glob("photos/*/*")).unlink()
    lost = page.ask.get(f"{address}/photos/{sent}")
    assert (lost.status_code, f"{sent} is missing" in lost.json()["detail"]) == (410, True)
    assert page.ask.get(f"/beds/{bed.key}/journal").status_code == 200


def test_a_line_is_of_the_day_on_which_it_was_typed(page: Page, bed: Bed) -> None:
    """Sent days later from a phone that was out of reach, and again when no answer had come."""
    address = f"/api/beds/{bed.key}/entries"
    asked = {"line": "sowed 24 zinnias yesterday", "typed": "2026-05-20", "id": str(uuid4())}
    for _ in range(2):
        assert page.ask.post(address, json=asked).json()["day"] == "2026-05-19"
    ahead = {"line": "frost", "typed": (date.today() + timedelta(days=2)).isoformat()}
    assert page.ask.post(address, json=ahead).json()["day"] == date.today().isoformat()


RECORD = "date,tmin,tmax\n2026-05-01,4,12\n2026-05-02,5,13\n"


def test_a_weather_record_is_sent_and_its_days_added_once(page: Page, bed: Bed) -> None:
    address = f"/api/beds/{bed.key}/record"
    made = page.ask.post(f"{address}?name=station.csv", content=RECORD.encode("utf-16"))
    assert made.status_code == 201, made.text
    assert made.json()["understood"] == "2 days added, from 1 May 2026 to 2 May 2026"
    other = RECORD.replace(",5,", ",-1,").encode()
    told = page.ask.post(address, content=other).json()
    assert (told["added"], told["same"], told["days_differ"], told["corrected"]) == (0, 1, 1, False)
    assert told["differences"] == ["2 May 2026: minimum −1 °C in the record, 5 °C in the journal"]
    told = page.ask.post(f"{address}?replace=true", content=other).json()
    assert (told["days_differ"], told["corrected"]) == (1, True)
    told = page.ask.post(f"{address}?since=2026-05-02", content=other).json()
    assert (told["same"], told["first"]) == (1, None)
    assert len(history_of(bed.store, bed.key)) == 3
    assert len(page.ask.get(f"/api/beds/{bed.key}/entries").json()) == 2
    sheet = page.ask.get(f"/beds/{bed.key}/journal").text
    assert "Weather of 2 days from records, 1 May 2026 to 2 May 2026" in sheet
    assert "Weather: minimum" not in sheet


@pytest.mark.parametrize(
    ("body", "said"),
    [(b"", "station.csv: it is empty"), (b"\xff\xfe\x00", "no UTF-16"),
     (b"a,b\n1,2\n", "needed: date"),
     (b"date,tmin,tmax\n2999-01-01,1,2\n", "station.csv: its days run from")],
)  # fmt: skip
def test_a_record_at_fault_is_said_and_adds_nothing(
    page: Page, bed: Bed, body: bytes, said: str
) -> None:
    answer = page.ask.post(f"/api/beds/{bed.key}/record?name=station.csv", content=body)
    assert (answer.status_code, said in answer.json()["detail"]) == (422, True), answer.text
    assert history_of(bed.store, bed.key) == []


def test_a_record_may_be_as_large_here_as_on_the_command_line() -> None:
    assert MOST_RECORD == MOST_BYTES


def test_an_entry_is_corrected_and_taken_back(page: Page, bed: Bed) -> None:
    address = f"/api/beds/{bed.key}/entries"
    first = page.ask.post(address, json={"line": "frost last night -2"}).json()["id"]
    second = page.ask.post(f"{address}/{first}", json={"line": "frost last night -3"})
    assert second.status_code == 201
    late = page.ask.post(f"{address}/{first}", json={"line": "frost last night -4"})
    assert late.status_code == 409
    both = late.json()["detail"]
    assert both["said"].startswith("In its place: Frost: −3 °C")
    assert both["theirs"]["words"].startswith("Frost: −3 °C")
    assert both["theirs"]["before"].startswith("Frost: −2 °C")
    assert both["mine"]["line"] == "frost last night -4"
    assert both["mine"]["words"].startswith("Frost: −4 °C")
    assert (both["theirs"]["id"], both["theirs"]["withdrawn"]) == (second.json()["id"], False)
    other = page.ask.delete(f"{address}/{first}").json()["detail"]
    assert (other["theirs"]["id"], other["mine"]) == (second.json()["id"], None)
    there = f"{address}/{second.json()['id']}"
    assert page.ask.delete(there).json()["number"] == 3
    gone = page.ask.delete(there)
    assert (gone.status_code, gone.json()["detail"]["said"]) == (409, "It was taken back.")
    again = page.ask.post(there, json={"line": "frost last night -5"}).json()["detail"]
    assert (again["theirs"]["withdrawn"], again["mine"]["line"]) == (True, "frost last night -5")
    assert page.ask.get(address).json() == []
    assert len(history_of(bed.store, bed.key)) == 3


@pytest.mark.parametrize(
    ("line", "status", "said"),
    [("sowed 24 zinias", 422, "zinias"), ("18 of 12 zinnias came up", 422, "12"),
     ("", 422, ""), ("x" * 2001, 422, "")],
)  # fmt: skip
def test_what_cannot_be_written_is_said_and_nothing_is(
    page: Page, bed: Bed, line: str, status: int, said: str
) -> None:
    answer = page.ask.post(f"/api/beds/{bed.key}/entries", json={"line": line})
    assert answer.status_code == status
    assert said in json.dumps(answer.json()["detail"])
    assert history_of(bed.store, bed.key) == []


def test_an_entry_that_is_not_there(page: Page, bed: Bed) -> None:
    address = f"/api/beds/{bed.key}/entries/{uuid4()}"
    assert page.ask.delete(address).status_code == 404
    assert page.ask.post(address, json={"line": "frost"}).status_code == 404
    assert page.ask.post("/api/beds/nowhere/entries", json={"line": "frost"}).status_code == 404


def test_the_plan_that_a_bed_is_grown_by_is_kept_and_held_against(
    page: Page, small_plan: Path
) -> None:
    bed = with_plan(page.beds, small_plan)
    address = f"/api/beds/{bed.key}"
    assert page.ask.post(f"{address}/grown", json={"on": 2}).status_code == 409
    # In the south a growing year begins in the year before.
    path = bed.plan_folder(1) / "files/plan.json"
    path.write_text(path.read_text().replace('"start": "2027-01-01"', '"start": "2026-07-01"'))
    made = page.ask.post(f"{address}/grown", json={"on": 1})
    assert made.json() == {"year": 2027, "on": 1}
    assert list(grown(bed)) == [2027]
    kinds = {one["kind"] for one in json.loads(grown(bed)[2027])["items"]}
    assert set(planted_in(bed)) == kinds
    assert page.ask.get(f"{address}/learned").json() == []
    kind = json.loads(grown(bed)[2027])["items"][0]["name"]
    for line in (f"sowed 40 {kind} on 1 March 2026", f"4 of 40 {kind} came up on 1 May 2026"):
        assert page.ask.post(f"{address}/entries", json={"line": line}).status_code == 201
    (lesson,) = page.ask.get(f"{address}/learned").json()
    assert lesson.startswith(f"germination of {kind} here")
    assert "What this garden says so far" in page.ask.get(f"/beds/{bed.key}/journal").text


def test_next_year_s_bed_is_begun_from_this_one(page: Page, bed: Bed) -> None:
    address = f"/api/beds/{bed.key}/next-year"
    wrong = page.ask.post(address, json={"keep": ["triffid"]})
    assert (wrong.status_code, wrong.json()["detail"][0]["given"]) == (422, "'triffid'")
    made = page.ask.post(address, json={"keep": ["viola"]})
    assert made.status_code == 201, made.text
    new = page.beds.one(made.json()["bed"])
    wishes = new.values()["wishes"]
    assert new.values()["season"]["year"] == 2028
    assert wishes["last_year"] == ["tall_zinnia", "garden_cosmos"]
    assert wishes["grow"] == ["viola"]
    assert any("which grew here" in remark for remark in made.json()["remarks"])
    assert bed.now == 1
