"""Who may ask the page, and what every answer carries."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from bedwright.store import MOST_PHOTO, Bed
from bedwright.web.guard import HEADERS, MOST_BODY, TOKEN_HEADER, Keys, cookie_of
from bedwright.web.serve import FolderInUseError, held
from page import HOST, PORT, Page, page_in

UNDO = {"on": 1}


@pytest.mark.parametrize(
    "host", ["", "evil.example", f"evil.example:{PORT}", "127.0.0.1", "127.0.0.1:80", "[::1]:8137",
             f"{HOST}.evil.example", f"{HOST} ", f"x@{HOST}"],
)  # fmt: skip
def test_another_host_is_refused(page: Page, host: str) -> None:
    assert page.ask.get("/", headers={"host": host}).status_code == 421


def test_the_key_is_taken_once_and_kept_from_scripts(page: Page) -> None:
    page.ask.cookies.clear()
    first = page.ask.get(f"/?key={page.keys.key}")
    assert (first.status_code, first.headers["location"]) == (303, "/")
    kept = first.headers["set-cookie"].lower()
    assert all(word in kept for word in ("httponly", "samesite=strict", "path=/"))
    assert first.headers["cache-control"] == "no-store"
    assert page.ask.get("/").status_code == 200


@pytest.mark.parametrize("address", ["/", "/?key=", "/?key=wrong", "/static/page.css",
                                     "/openapi.json", "/api/towns?q=Gal", "/nowhere"])  # fmt: skip
def test_nothing_is_shown_without_the_key(page: Page, address: str) -> None:
    page.ask.cookies.clear()
    answer = page.ask.get(address)
    assert answer.status_code == 403
    assert "bedwright page" in answer.text
    assert page.keys.key not in answer.text


def test_the_key_in_another_address_is_not_taken(page: Page) -> None:
    page.ask.cookies.clear()
    assert page.ask.get(f"/static/page.css?key={page.keys.key}").status_code == 403
    assert page.ask.post(f"/?key={page.keys.key}").status_code == 403


@pytest.mark.parametrize("others", ["a[b]=c; {}", '{}; theme={{"dark":1}}', 'theme={{"x":1}}; {}'])
def test_cookies_of_other_programs_do_not_hide_ours(page: Page, others: str) -> None:
    """Cookies are shared by all ports of an address."""
    page.ask.cookies.clear()
    cookie = others.format(f"{cookie_of(HOST)}={page.keys.key}")
    assert page.ask.get("/", headers={"cookie": cookie}).status_code == 200


def test_the_key_and_the_token_of_another_run_are_refused(page: Page) -> None:
    bed, other = page.new(), Keys()
    wrong = {TOKEN_HEADER: other.token}
    assert page.ask.post(f"/api/beds/{bed.key}/undo", json=UNDO, headers=wrong).status_code == 403
    page.ask.cookies.clear()
    assert (
        page.ask.get("/", headers={"cookie": f"{cookie_of(HOST)}={other.key}"}).status_code == 403
    )


@pytest.mark.parametrize("origin", ["http://evil.example", "null", f"https://{HOST}",
                                    "http://127.0.0.1:9999", "http://localhost", ""])  # fmt: skip
def test_a_change_from_another_page_is_refused(page: Page, origin: str) -> None:
    bed = page.new()
    path = f"/api/beds/{bed.key}/undo"
    assert page.ask.post(path, json=UNDO, headers={"origin": origin}).status_code == 403
    assert page.ask.post(path, json=UNDO, headers={"origin": f"http://{HOST}"}).status_code == 200


@pytest.mark.parametrize("token", ["", "0" * 64, "x", "\xff"])
@pytest.mark.parametrize("method", ["POST", "DELETE", "PUT", "PATCH", "OPTIONS", "QUERY"])
def test_a_change_without_the_token_of_the_page_is_refused(
    page: Page, method: str, token: str
) -> None:
    bed = page.new()
    headers = {TOKEN_HEADER: token.encode("latin-1")}
    answer = page.ask.request(method, f"/api/beds/{bed.key}/plan", json=UNDO, headers=headers)  # type: ignore[arg-type]
    assert answer.status_code == 403
    assert "load it again" in answer.text


def test_the_token_does_not_give_the_key_away(page: Page) -> None:
    shown = page.ask.get("/").text
    assert page.keys.token in shown
    assert page.keys.key not in shown
    assert page.keys.key not in repr(page.keys)


@pytest.mark.parametrize("length", ["400001", "99999999999999999999", "9" * 5000, "-1", "x", "1_0"])
def test_a_body_announced_too_long_is_refused_unread(page: Page, length: str) -> None:
    answer = page.ask.post("/api/briefs", content=b"{}", headers={"content-length": length})
    assert answer.status_code == 413


def parts(size: int) -> Iterator[bytes]:
    """A body in parts, whose length is not announced."""
    yield b'{"toml": "'
    for _ in range(size // 10_000 + 1):
        yield b"x" * 10_000
    yield b'"}'


def test_a_body_longer_than_it_announced_is_refused(page: Page) -> None:
    assert page.ask.post("/api/briefs", content=parts(MOST_BODY)).status_code == 413
    lying = {"content-length": "20"}
    answer = page.ask.post("/api/briefs", content=parts(MOST_BODY), headers=lying)
    assert answer.status_code == 413
    assert page.beds.all() == []


def test_a_long_body_is_not_read_to_its_end(page: Page) -> None:
    """No more is taken in than may be sent, however much comes."""
    taken = 0

    async def receive() -> dict[str, Any]:
        nonlocal taken
        taken += 100_000
        return {"type": "http.request", "body": b"x" * 100_000, "more_body": True}

    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    headers = [(b"host", HOST.encode()), (b"cookie", f"{cookie_of(HOST)}={page.keys.key}".encode()),
               (TOKEN_HEADER.encode(), page.keys.token.encode())]  # fmt: skip
    scope = {"type": "http", "method": "POST", "path": "/api/briefs", "raw_path": b"/api/briefs",
             "query_string": b"", "headers": headers, "http_version": "1.1", "scheme": "http",
             "server": ("127.0.0.1", PORT), "root_path": ""}  # fmt: skip
    asyncio.run(page.ask.app(scope, receive, send))  # type: ignore[arg-type]
    assert sent[0]["status"] == 413
    assert taken <= MOST_BODY + 100_000


def test_a_photograph_may_be_larger_than_other_bodies(page: Page) -> None:
    """At its own address alone, and no larger than a photograph may be."""
    bed = page.new()
    body = b"\xff\xd8\xff" + bytes(MOST_BODY)
    assert page.ask.post(f"/api/beds/{bed.key}/photos", content=body).status_code == 201
    for path in ("photos/x", "entries", "photos/", "../photos"):
        answer = page.ask.post(f"/api/beds/{bed.key}/{path}", content=body)
        assert answer.status_code == 413, path
    most = {"content-length": str(MOST_PHOTO + 1)}
    answer = page.ask.post(f"/api/beds/{bed.key}/photos", content=b"x", headers=most)
    assert (answer.status_code, "25 MB" in answer.text) == (413, True)
    assert page.ask.post("/api/beds/none/photos", content=body).status_code == 404


def test_every_answer_carries_the_headers(page: Page, planned: Bed) -> None:
    bed = f"/beds/{planned.key}"
    answers = [
        page.ask.get(address)
        for address in ("/", f"{bed}", f"{bed}/site", f"{bed}/nowhere", "/nowhere",
                        f"{bed}/plans/1/planting.svg", f"{bed}/plans/1/sheets.pdf",
                        "/static/page.css", "/static/none.css", "/openapi.json", "/?key=wrong",
                        f"/?key={page.keys.key}", f"/api/beds/{planned.key}/brief.toml")
    ]  # fmt: skip
    answers.append(page.ask.post(f"/api{bed}/undo", json={}))
    answers.append(page.ask.put("/"))
    answers.append(page.ask.get("/", headers={"host": "evil.example"}))
    assert {answer.status_code for answer in answers} == {200, 303, 403, 404, 405, 421, 422}
    for answer in answers:
        for name, value in HEADERS.items():
            cached = name == "cache-control" and "/plans/" in str(answer.url)
            assert cached or answer.headers[name] == value, (answer.url, name)
    policy = HEADERS["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


def test_a_fault_of_the_program_carries_them_too(
    page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    bed = page.new()
    monkeypatch.setattr(Bed, "values", lambda bed: 1 / 0)
    answer = page.ask.get(f"/api/beds/{bed.key}")
    assert answer.status_code == 500
    assert "Traceback" not in answer.text
    assert {name: answer.headers[name] for name in HEADERS} == HEADERS


def test_the_answers_of_two_runs_differ_in_key_and_token(tmp_path: Any) -> None:
    one, other = page_in(tmp_path / "a"), page_in(tmp_path / "b")
    assert one.keys.key != other.keys.key
    assert one.keys.token != other.keys.token
    assert len(one.keys.key) >= 32


def test_a_key_for_once_opens_the_page_one_time(page: Page) -> None:
    """A browser is started with its address as an argument, which other users may read."""
    key = page.keys.new_once()
    first = page.ask.get("/", params={"key": key}, headers={"cookie": ""})
    assert (first.status_code, page.keys.key in first.headers["set-cookie"]) == (303, True)
    again = page.ask.get("/", params={"key": key}, headers={"cookie": ""})
    assert again.status_code == 403


def test_a_folder_is_served_once_at_a_time(tmp_path: Path) -> None:
    """Two servers of one folder would overwrite each other's revisions."""
    with held(tmp_path):
        again = held(tmp_path)
        with pytest.raises(FolderInUseError, match="has this folder open"):
            again.__enter__()
    with held(tmp_path):
        pass
