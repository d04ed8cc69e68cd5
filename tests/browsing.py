"""A page that is served, and windows of a real browser in which it is opened."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from bedwright.store import Bed, Beds
from chromium import FLAGS, chromium

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ROOT = Path(__file__).parents[1]
SIZES = {"desk": (1440, 900), "tablet": (820, 1100), "phone": (390, 844)}
PLAN_MS = 120_000


@dataclass(frozen=True)
class Server:
    """A page that is served: its address with the key, and its beds."""

    address: str
    beds: Beds

    @property
    def root(self) -> str:
        return self.address.partition("/?")[0]

    def sheet(self, bed: Bed, name: str) -> str:
        return f"{self.root}/beds/{bed.key}/{name}"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """``bedwright page``, in a process of its own, as a gardener starts it."""
    folder = tmp_path_factory.mktemp("beds")
    command = [sys.executable, "-m", "bedwright.cli", "page", str(folder), "--port", "0",
               "--no-open"]  # fmt: skip
    known = {**os.environ, "COLUMNS": "300", "PYTHONPATH": str(ROOT / "src")}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=known) as process:
        assert process.stdout is not None
        found = re.search(r"http://\S+", process.stdout.readline())
        assert found is not None
        try:
            yield Server(found[0], Beds(folder))
        finally:
            process.terminate()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    from playwright.sync_api import expect, sync_playwright  # which takes a while

    expect.set_options(timeout=20_000)
    with sync_playwright() as playwright:
        program = chromium(playwright.chromium.executable_path)
        browser = playwright.chromium.launch(executable_path=program, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture(params=SIZES)
def size(request: pytest.FixtureRequest) -> str:
    name: str = request.param
    return name


@pytest.fixture
def window(browser: Browser, server: Server, size: str) -> Iterator[Page]:
    """A window with the key.  Nothing may be asked of anyone but the server, and no error said."""
    width, height = SIZES[size]
    touch = size != "desk"
    context = browser.new_context(
        viewport={"width": width, "height": height}, has_touch=touch, is_mobile=touch
    )
    page = context.new_page()
    errors: list[str] = []
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
    page.goto(server.address)
    yield page
    context.close()
    allowed = (f"{server.root}/", "data:", "blob:")
    assert [url for url in asked if not url.startswith(allowed)] == []
    # A fault in what was typed is answered by 422, and a tab that is late by 409: a browser writes
    # both down.
    allowed_errors = r"\b(422|409) \(|net::ERR_FAILED"
    assert [said for said in errors if not re.search(allowed_errors, said)] == []


def check_width(page: Page) -> None:
    """Nothing lies beyond the window's edge."""
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


@cache
def _axe() -> str:
    found = find_spec("axe_playwright_python")
    assert found is not None
    assert found.origin is not None
    return (Path(found.origin).parent / "axe.min.js").read_text(encoding="utf-8")


def check(page: Page) -> None:
    """Anyone can read and use what is shown."""
    check_width(page)
    found = page.evaluate(f"{_axe()}; axe.run({{resultTypes: ['violations']}})")
    assert [(one["id"], [node["html"][:200] for node in one["nodes"]])
            for one in found["violations"]] == []  # fmt: skip
