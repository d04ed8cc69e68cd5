"""A shared page on a phone, in a real browser: by a name of the house, and not encrypted."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect, sync_playwright

from bedwright.store import Beds, history_of
from browsing import SIZES, check
from chromium import FLAGS, chromium
from conftest import ROOT
from page import PASSWORD, SMALL

AT, NAME = "127.0.0.2", "shed"
START = f"""
import socket, sys
socket.gethostname = lambda: "{NAME}"
from bedwright.cli import main
sys.argv[0] = "bedwright"
main()
"""


@dataclass(frozen=True)
class Server:
    """A page that is shared: its address with the key, the one of its name, and its beds."""

    here: str
    shared: str
    named: str
    beds: Beds


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("beds")
    command = [sys.executable, "-c", START, "page", str(folder), "--port", "0", "--no-open",
               "--share", "--address", AT]  # fmt: skip
    known = {**os.environ, "COLUMNS": "300", "PYTHONPATH": str(ROOT / "src"),
             "BEDWRIGHT_PASSWORD": PASSWORD}  # fmt: skip
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=known
    ) as process:
        assert process.stdout is not None
        said = "".join(iter(process.stdout.readline, "Ctrl-C ends it.\n"))
        try:
            yield Server(*re.findall(r"http://\S+", said), Beds(folder))
        finally:
            process.terminate()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A browser that finds the page's name in the house, as a phone does by multicast DNS."""
    rules = f"--host-resolver-rules=MAP {NAME}.local {AT}"
    with sync_playwright() as playwright:
        program = chromium(playwright.chromium.executable_path)
        browser = playwright.chromium.launch(executable_path=program, args=[*FLAGS, rules])
        yield browser
        browser.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    """A phone's browser.  Nothing it runs may fail."""
    width, height = SIZES["phone"]
    context = browser.new_context(
        viewport={"width": width, "height": height}, has_touch=True, is_mobile=True
    )
    errors: list[str] = []
    context.on("weberror", lambda error: errors.append(str(error.error)))
    yield context
    context.close()
    assert errors == []


def log_in(page: Page, password: str = PASSWORD) -> None:
    page.get_by_label("Password", exact=True).fill(password)
    page.get_by_role("button", name="Log in").tap()


def test_the_log_in_sheet(phone: BrowserContext, server: Server, tmp_path: Path) -> None:
    page = phone.new_page()
    page.goto(server.named)
    assert server.named == f"http://{NAME}.local:{server.shared.rpartition(':')[2]}"
    assert page.url == f"{server.named}log-in?to=/"
    assert not page.evaluate("isSecureContext")
    expect(page.get_by_role("heading", level=1)).to_have_text("Log in")
    password = page.get_by_label("Password", exact=True)
    expect(password).to_be_focused()
    check(page)
    password.fill("four slow wet slugs")
    assert password.get_attribute("type") == "password"
    page.get_by_label("show what I type").check()
    assert password.get_attribute("type") == "text"
    expect(password).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("That is not the password")
    assert password.get_attribute("type") == "password"
    check(page)
    page.emulate_media(color_scheme="dark")
    check(page)
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 320, "height": 256})
    check(page)
    log_in(page)
    expect(page.get_by_role("heading", level=1)).to_have_text("Beds")
    assert page.url == server.named


def test_lines_that_wait_outlast_being_logged_out_and_are_written_once(
    phone: BrowserContext, server: Server
) -> None:
    bed = server.beds.new({**SMALL, "title": "Bed out of reach"}, "begun")
    address = f"{server.named}beds/{bed.key}/journal"
    page = phone.new_page()
    page.goto(address)
    log_in(page)
    page.wait_for_url(address)
    line, unsent = page.get_by_label("What happened"), page.locator("#unsent")

    def write(text: str) -> None:
        line.fill(text)
        page.get_by_role("button", name="Write it down").tap()

    with page.expect_navigation():
        write("mulched")
    expect(page.locator(".entries li")).to_have_count(1)
    # Out of reach; the second line reaches the server, whose answer is lost.
    page.route("**/entries", lambda route: route.abort())
    write("weeded 40 min")
    expect(unsent).to_contain_text("out of reach")
    page.unroute("**/entries")

    def lose(route: Route) -> None:
        there = route.request.url.replace(f"{NAME}.local", AT)  # which the browser alone knows
        assert route.fetch(url=there, headers=route.request.all_headers()).status == 201
        route.abort()

    page.route("**/entries", lose)
    write("rain 12 mm")
    expect(unsent.locator("li")).to_have_count(2)
    page.unroute("**/entries")
    assert len(history_of(bed.store, bed.key)) == 2
    # Logged out meanwhile, on another sheet.
    other = phone.new_page()
    other.goto(server.named)
    other.get_by_role("button", name="Log out").tap()
    other.wait_for_url("**/log-in")
    assert other.goto(server.named).url.endswith("/log-in?to=/")  # type: ignore[union-attr]
    write("bees all day")
    expect(unsent).to_contain_text("You are logged out")
    expect(unsent.locator("li")).to_have_count(3)
    expect(line).to_have_value("")
    check(page)
    unsent.get_by_role("link", name="Log in").tap()
    log_in(page)
    page.wait_for_url(address)
    expect(page.locator(".entries li")).to_have_count(4)
    expect(unsent).to_be_hidden()
    assert [one.entry.text for one in history_of(bed.store, bed.key)] == [
        "mulched", "rain 12 mm", "weeded 40 min", "bees all day"]  # fmt: skip


def test_the_picture_of_the_address_on_the_machine_s_own_page(
    browser: Browser, server: Server
) -> None:
    width, height = SIZES["desk"]
    context = browser.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    page.goto(server.here)
    page.get_by_role("link", name="On the phone").click()
    check(page)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        check(page)
        # Drawn by the browser as it shows it, and read by a decoder as a camera would.
        drawn = page.evaluate(
            """async () => {
              const svg = document.querySelector(".qr svg").cloneNode(true);
              svg.setAttribute("xmlns", "http://www.w3.org/2000/svg");
              svg.setAttribute("width", 300);
              svg.setAttribute("height", 300);
              const image = new Image();
              image.src = "data:image/svg+xml," + encodeURIComponent(svg.outerHTML);
              await image.decode();
              const canvas = document.createElement("canvas");
              canvas.width = canvas.height = 300;
              const context = canvas.getContext("2d");
              context.drawImage(image, 0, 0);
              return [...context.getImageData(0, 0, 300, 300).data];
            }"""
        )
        grey = np.array(drawn, np.uint8).reshape(300, 300, 4)[:, :, 0].copy()
        assert [one.text for one in zxingcpp.read_barcodes(grey)] == [server.shared]
    context.close()
