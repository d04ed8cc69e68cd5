"""The way in by the password, asked as a browser in the house's network asks it."""

from __future__ import annotations

import asyncio
import re
import threading
from typing import Any

import pytest
from starlette.testclient import TestClient
from test_app import check_html, text_of

from bedwright.web import login
from bedwright.web.guard import HEADERS, TOKEN_HEADER, cookie_of, token_of
from bedwright.web.lockout import FREE, MOST_WRONG
from bedwright.web.login import LOG_IN_HEADER, page_of, words_of_wait
from bedwright.web.password import Password
from bedwright.web.sessions import DAY_S
from page import HOST, LAN, LAN_HOST, PASSWORD, PHONE, PORT, SMALL, SharedPage

HTML = {"accept": "text/html,*/*"}


def log_in(phone: TestClient, password: str = PASSWORD, to: str = "/", **headers: str) -> Any:
    return phone.post("/log-in", data={"password": password, "to": to}, headers=headers)


def token_in(text: str) -> str:
    found = re.search(r'<meta name="token" content="([0-9a-f]{64})">', text)
    assert found is not None
    return found[1]


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Passwords looked at, each of which took no time."""
    looked_at: list[str] = []

    def fits(self: Password, given: str) -> bool:
        looked_at.append(given)
        return given == PASSWORD

    monkeypatch.setattr(Password, "fits", fits)
    return looked_at


def test_a_phone_logs_in_changes_something_and_logs_out(shared: SharedPage) -> None:
    bed = shared.beds.new(SMALL, "begun")
    phone = shared.phone()
    first = phone.get(f"/beds/{bed.key}/journal", headers=HTML)
    to = f"/log-in?to=/beds/{bed.key}/journal"
    assert (first.status_code, first.headers["location"]) == (303, to)
    sheet = phone.get(to)
    assert 'type="password"' in sheet.text
    assert f'value="/beds/{bed.key}/journal"' in sheet.text
    check_html(sheet.text)
    wrong = log_in(phone, "four slow wet slugs", f"/beds/{bed.key}/journal")
    assert wrong.status_code == 403
    assert "That is not the password" in text_of(check_html(wrong.text))
    assert f'value="/beds/{bed.key}/journal"' in wrong.text
    assert "set-cookie" not in wrong.headers
    made = log_in(phone, to=f"/beds/{bed.key}/journal", origin=f"http://{LAN_HOST}")
    assert (made.status_code, made.headers["location"]) == (303, f"/beds/{bed.key}/journal")
    kept = made.headers["set-cookie"].lower()
    assert all(
        word in kept for word in ("httponly", "samesite=strict", "path=/", "max-age=2592000")
    )
    page = phone.get(f"/beds/{bed.key}/journal", headers=HTML)
    assert page.status_code == 200
    check_html(page.text)
    assert 'id="log-out"' in page.text
    assert "/phone" not in page.text
    headers = {TOKEN_HEADER: token_in(page.text), "origin": f"http://{LAN_HOST}"}
    line = {"line": "frost last night -2"}
    address = f"/api/beds/{bed.key}/entries"
    assert phone.post(address, json=line, headers=headers).status_code == 201
    cookie = phone.cookies[cookie_of(LAN_HOST)]
    out = phone.post("/log-out", headers=headers)
    assert out.status_code == 200
    assert "max-age=0" in out.headers["set-cookie"].lower()
    assert cookie_of(LAN_HOST) not in phone.cookies
    # Neither does the cookie open anything any more, if somebody kept it.
    for held in ({}, {cookie_of(LAN_HOST): cookie}):
        again = shared.phone()
        again.cookies.update(held)
        refused = again.post(address, json=line, headers=headers)
        assert (refused.status_code, refused.headers[LOG_IN_HEADER]) == (403, "/log-in")
        assert "log in" in refused.text


@pytest.mark.parametrize("address", ["/", "/beds/x/site", "/phone", "/openapi.json", "/nowhere",
                                     "/static/page.js", "/static/journal.js", "/api/towns?q=Gal",
                                     "/static/../static/page.js", "/static//page.css"])  # fmt: skip
def test_nothing_is_shown_to_who_is_not_logged_in(shared: SharedPage, address: str) -> None:
    answer = shared.phone().get(address)
    assert (answer.status_code, answer.text) == (403, login.LOGGED_OUT)
    seen = shared.phone().get(address, headers=HTML)
    assert seen.status_code == 303
    assert seen.headers["location"].startswith("/log-in?to=/")
    for method in ("POST", "PUT", "DELETE", "PATCH", "OPTIONS"):
        assert shared.phone().request(method, address).status_code == 403


def test_the_log_in_sheet_has_what_it_is_made_of_and_no_secret(shared: SharedPage) -> None:
    sheet = shared.phone().get("/log-in")
    for path in re.findall(r'(?:href|src)="(/[^"]+)"', sheet.text):
        assert shared.phone().get(path).status_code == 200, path
        assert shared.phone().post(path).status_code == 403
    for secret in (shared.keys.key, shared.keys.token, shared.share.password.hashed, PASSWORD):
        assert secret not in sheet.text
    assert 'name="token"' not in sheet.text


def test_every_answer_carries_the_headers(shared: SharedPage, quick: list[str]) -> None:
    phone = shared.phone()
    answers = [phone.get("/log-in"), phone.get("/"), phone.get("/", headers=HTML),
               log_in(phone, "wrong"), log_in(phone), phone.get("/phone")]  # fmt: skip
    assert [one.status_code for one in answers] == [200, 403, 303, 403, 303, 200]
    for answer in answers:
        sheet = answer.url.path == "/log-in" and answer.status_code != 303
        for name, value in HEADERS.items():
            said = "same-origin" if sheet and name == "referrer-policy" else value
            assert answer.headers.get_list(name) == [said], (answer.url, name)


@pytest.mark.parametrize("host", ["", LAN, "192.168.1.21:8137", HOST, f"localhost:{PORT}",
                                  f"evil.example:{PORT}", f"shed.example.com:{PORT}", "shed.local",
                                  f"{LAN_HOST}.evil.example", f"x@{LAN_HOST}"])  # fmt: skip
def test_another_host_is_refused(shared: SharedPage, quick: list[str], host: str) -> None:
    """A page of another site whose name leads here (DNS rebinding) asks under its own name."""
    phone = shared.phone()
    assert phone.get("/log-in", headers={"host": host}).status_code == 421
    assert log_in(phone, host=host).status_code == 421
    assert quick == []


@pytest.mark.parametrize("host", [f"shed.local:{PORT}", f"shed:{PORT}"])
def test_the_machine_s_names_in_the_house_are_answered(shared: SharedPage, host: str) -> None:
    phone = shared.phone()
    assert phone.get("/log-in", headers={"host": host}).status_code == 200
    assert log_in(phone, host=host, origin=f"http://{host}").status_code == 303


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "", f"https://{LAN_HOST}",
                                    f"http://{LAN}", f"http://{LAN}:80", f"http://{HOST}"]
)  # fmt: skip
def test_another_site_neither_logs_in_nor_changes_anything(
    shared: SharedPage, quick: list[str], origin: str
) -> None:
    phone = shared.phone()
    assert log_in(phone, origin=origin).status_code == 403
    assert quick == []
    assert log_in(phone).status_code == 303
    headers = {TOKEN_HEADER: token_in(phone.get("/").text), "origin": origin}
    assert phone.post("/log-out", headers=headers).status_code == 403
    assert phone.get("/").status_code == 200


def test_a_token_is_bound_to_its_session(shared: SharedPage, quick: list[str]) -> None:
    one, other = shared.phone(), shared.phone()
    for phone in (one, other):
        assert log_in(phone).status_code == 303
    wrong = [token_in(other.get("/").text), shared.keys.token, token_of(""), "", "x"]
    for token in wrong:
        answer = one.post("/log-out", headers={TOKEN_HEADER: token})
        assert (answer.status_code, "load it again" in answer.text) == (403, True)
    own = token_in(one.get("/").text)
    assert one.cookies[cookie_of(LAN_HOST)] not in one.get("/").text
    assert one.post("/log-out", headers={TOKEN_HEADER: own}).status_code == 200
    assert other.get("/").status_code == 200


def test_each_log_in_is_a_session_of_its_own(shared: SharedPage, quick: list[str]) -> None:
    """Whoever planted a cookie before has nothing of it."""
    phone = shared.phone()
    phone.cookies.set(cookie_of(LAN_HOST), "planted", domain=LAN)
    log_in(phone)
    first = phone.cookies.get(cookie_of(LAN_HOST), domain=LAN)
    log_in(phone)
    second = phone.cookies.get(cookie_of(LAN_HOST), domain=LAN)
    assert len({"planted", first, second}) == 3


# --- the key's door and the password's


def test_the_key_is_none_in_the_house_and_the_password_none_here(
    shared: SharedPage, quick: list[str]
) -> None:
    phone = shared.phone()
    key = shared.keys.key
    assert phone.get(f"/?key={key}").status_code == 403
    phone.cookies.set(cookie_of(LAN_HOST), key)
    assert phone.get("/").status_code == 403
    assert phone.get("/", headers={"host": HOST}).status_code == 421
    secret = shared.share.sessions.begin()
    here = TestClient(shared.app, base_url=f"http://{HOST}", cookies={cookie_of(HOST): secret})
    assert here.get("/").status_code == 403
    assert here.get("/log-in").status_code == 403
    assert here.get("/", headers={"host": LAN_HOST}).status_code == 421


def test_the_page_on_its_own_machine_is_as_ever(shared: SharedPage) -> None:
    here = shared.here()
    page = here.get("/")
    assert (page.status_code, token_in(page.text)) == (200, shared.keys.token)
    assert 'id="log-out"' not in page.text
    assert 'href="/phone"' in page.text
    out = here.post("/log-out", headers={TOKEN_HEADER: shared.keys.token})
    assert (out.status_code, "nobody is logged in" in out.text) == (409, True)


def test_the_sheet_for_the_phone_shows_the_address_alone(shared: SharedPage) -> None:
    sheet = shared.here().get("/phone").text
    words = text_of(check_html(sheet))
    assert f"http://{LAN_HOST}/" in words
    assert f"http://shed.local:{PORT}/" in words
    assert "not encrypted" in words
    assert "<svg" in sheet
    assert shared.keys.key not in sheet


def test_without_sharing_the_sheet_says_how_to(page: Any) -> None:
    sheet = page.ask.get("/phone").text
    assert "bedwright page --share" in text_of(check_html(sheet))
    assert "<svg" not in sheet
    assert page.ask.get("/log-in").status_code == 404
    assert page.ask.post("/log-out").status_code == 404


# --- sessions end


def test_a_session_that_was_not_used_for_a_fortnight_is_none(
    shared: SharedPage, quick: list[str]
) -> None:
    phone = shared.phone()
    log_in(phone)
    shared.clock.at += 13 * DAY_S
    assert phone.get("/").status_code == 200
    shared.clock.at += 14 * DAY_S
    assert phone.get("/").status_code == 403


# --- wrong passwords


def test_after_five_wrong_passwords_one_has_to_wait(shared: SharedPage, quick: list[str]) -> None:
    phone = shared.phone()
    for _ in range(FREE - 1):
        assert log_in(phone, "wrong").status_code == 403
    fifth = log_in(phone, "wrong")
    assert (fifth.status_code, fifth.headers["retry-after"]) == (403, "30")
    assert "try again in 30 seconds" in fifth.text
    shared.clock.at += 10
    # Not even the right one is looked at, and asking does not make it longer.
    for _ in range(3):
        held = log_in(phone)
        assert (held.status_code, held.headers["retry-after"]) == (429, "20")
    assert len(quick) == FREE
    assert log_in(shared.phone("192.168.1.32")).status_code == 303
    shared.clock.at += 20
    assert log_in(phone, "wrong").headers["retry-after"] == "60"
    shared.clock.at += 60
    assert log_in(phone).status_code == 303
    assert log_in(phone, "wrong").status_code == 403


def test_who_is_logged_in_stays_so_while_others_guess(shared: SharedPage, quick: list[str]) -> None:
    phone = shared.phone()
    log_in(phone)
    for n in range(MOST_WRONG):
        log_in(shared.phone(f"192.168.2.{n}"), "wrong")
        shared.clock.at += 3600
    last = log_in(shared.phone("192.168.3.1"))
    assert last.status_code == 429
    assert "started again on its own machine" in text_of(check_html(last.text))
    assert "retry-after" not in last.headers
    assert len(quick) == MOST_WRONG + 1
    assert phone.get("/").status_code == 200


def test_what_a_request_says_of_where_it_comes_from_is_not_believed(
    shared: SharedPage, quick: list[str]
) -> None:
    for n in range(FREE):
        log_in(shared.phone(), "wrong", **{"x-forwarded-for": f"10.0.0.{n}"})
    assert log_in(shared.phone()).status_code == 429


@pytest.mark.parametrize(
    ("wait_s", "words"),
    [(0.2, "in 1 second."), (30, "in 30 seconds."), (61, "in 1 minute and 1 second."),
     (120, "in 2 minutes."), (299, "in 4 minutes and 59 seconds."), (3599, "in 59 minutes."),
     (3600, "in 60 minutes.")],
)  # fmt: skip
def test_a_wait_in_words(wait_s: float, words: str) -> None:
    assert words_of_wait(wait_s).endswith(words)


def test_passwords_are_checked_one_at_a_time(
    shared: SharedPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each takes 64 MiB: of a flood one is checked, and the others are sent away at once."""
    at_once, most, begun, go_on = 0, 0, threading.Event(), threading.Event()

    def fits(self: Password, given: str) -> bool:
        nonlocal at_once, most
        at_once += 1
        most = max(most, at_once)
        begun.set()
        go_on.wait(20)
        at_once -= 1
        return True

    monkeypatch.setattr(Password, "fits", fits)
    body = f"password={PASSWORD.replace(' ', '+')}".encode()

    async def ask() -> int:
        sent: list[Any] = []

        async def receive() -> dict[str, Any]:
            return {"type": "http.request", "body": body, "more_body": False}

        async def send(message: Any) -> None:
            sent.append(message)

        scope = {"type": "http", "method": "POST", "path": "/log-in", "raw_path": b"/log-in",
                 "query_string": b"", "headers": [(b"host", LAN_HOST.encode())], "root_path": "",
                 "http_version": "1.1", "scheme": "http", "server": (LAN, PORT),
                 "client": (PHONE, 50_000)}  # fmt: skip
        await shared.app(scope, receive, send)  # type: ignore[arg-type]
        return int(sent[0]["status"])

    async def flood() -> list[int]:
        first = asyncio.create_task(ask())
        while not begun.is_set():
            await asyncio.sleep(0.01)
        others = await asyncio.gather(*[ask() for _ in range(50)])
        go_on.set()
        return [await first, *others]

    assert asyncio.run(flood()) == [303] + 50 * [429]
    assert most == 1


# --- odd forms


@pytest.mark.parametrize("body", [b"", b"password", b"password=", b"=", b"&" * 3000, b"\xff=\xfe",
                                  b"to=/", b"password=%ff%fe", b'{"password": "x"}'])  # fmt: skip
def test_a_form_without_the_password_is_a_wrong_one(
    shared: SharedPage, quick: list[str], body: bytes
) -> None:
    assert shared.phone().post("/log-in", content=body).status_code == 403


@pytest.mark.parametrize("body", [b"password=" + b"x" * 201, b"x" * 5000, b"password=" * 100_000])
def test_a_form_that_is_too_long_is_not_looked_at(
    shared: SharedPage, quick: list[str], body: bytes
) -> None:
    assert shared.phone().post("/log-in", content=body).status_code == 413
    assert quick == []


@pytest.mark.parametrize("to", ["//evil.example", "/\\evil.example", "https://evil.example", "",
                                "/log-in", "/beds/../api", "/beds/x/site?y", "/beds/x/site\n",
                                "/api/beds", "javascript:alert(1)", '"><script>'])  # fmt: skip
def test_logging_in_leads_to_a_page_of_ours(shared: SharedPage, quick: list[str], to: str) -> None:
    assert page_of(to) == "/"
    assert log_in(shared.phone(), to=to).headers["location"] == "/"
    check_html(shared.phone().get("/log-in", params={"to": to}).text)
