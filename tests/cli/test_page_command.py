"""``bedwright page --share`` as a gardener starts it: in a process of its own, at a terminal."""

from __future__ import annotations

import os
import pty
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx2
import numpy as np
import pytest
import zxingcpp
from typer.testing import CliRunner

from bedwright.cli import app
from bedwright.store import Beds
from bedwright.web.guard import TOKEN_HEADER
from bedwright.web.password import keep_password, kept_password, password_file
from conftest import ROOT
from page import PASSWORD, SMALL

AT = "127.0.0.2"
"""An address of the loopback range, at which sharing is tried without a network."""

COMMAND = [sys.executable, "-m", "bedwright.cli", "page"]
OPTIONS = ["--share", "--address", AT, "--port", "0", "--no-open"]
HANG_S = 60


def environment(**more: str) -> dict[str, str]:
    known = {key: value for key, value in os.environ.items() if key != "BEDWRIGHT_PASSWORD"}
    return {**known, "COLUMNS": "200", "PYTHONPATH": str(ROOT / "src"), **more}


def run(folder: Path, *options: str, **more: str) -> subprocess.CompletedProcess[str]:
    """A command that ends by itself, without a terminal."""
    return subprocess.run(
        [*COMMAND, str(folder), *options], env=environment(**more), stdin=subprocess.DEVNULL,
        capture_output=True, text=True, timeout=HANG_S,
    )  # fmt: skip


@contextmanager
def serving(folder: Path, *options: str, **more: str) -> Iterator[tuple[str, str]]:
    """A page that is shared; its address with the key, and the one for phones."""
    with subprocess.Popen(
        [*COMMAND, str(folder), *OPTIONS, *options], env=environment(**more), text=True,
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        said = ""
        while "Ctrl-C" not in said:
            line = process.stdout.readline()
            assert line, said
            said += line
        here, phone = re.findall(r"http://\S+(?<!\.local)", said)[:2]
        assert "not encrypted" in said
        assert "█" not in said  # a picture is for a terminal
        try:
            yield here, phone
        finally:
            process.terminate()


@pytest.mark.parametrize(
    ("options", "named"),
    [(["--new-password"], "--new-password"), (["--address", "10.0.0.1"], "--address")],
)
def test_options_of_sharing_go_with_it(tmp_path: Path, options: list[str], named: str) -> None:
    done = CliRunner().invoke(app, ["page", str(tmp_path / "beds"), "--no-open", *options])
    assert (done.exit_code, done.stderr) == (2, f"{named} goes with --share.\n")
    assert not (tmp_path / "beds").exists()


def test_without_a_terminal_it_says_how_to_choose_a_password(tmp_path: Path) -> None:
    done = run(tmp_path, *OPTIONS)
    assert done.returncode == 1
    assert "Run bedwright page --share in a terminal once" in done.stderr
    assert "BEDWRIGHT_PASSWORD" in done.stderr
    assert done.stdout == ""


def test_a_password_of_the_environment_that_will_not_do_is_refused(tmp_path: Path) -> None:
    done = run(tmp_path, *OPTIONS, BEDWRIGHT_PASSWORD="garden1")
    assert done.returncode == 2
    assert done.stderr.startswith("BEDWRIGHT_PASSWORD: password: given 7 characters; accepted: 8")
    assert "garden1" not in done.stderr
    assert not password_file(tmp_path).exists()


@pytest.mark.parametrize(
    ("address", "words"),
    [("203.0.113.5", "--address: given '203.0.113.5'; accepted: an address of this machine in one"),
     ("192.168.250.251", "192.168.250.251 is no address of this machine"),
     ("127.0.0.1", "--address: given '127.0.0.1'")],
)  # fmt: skip
def test_an_address_that_will_not_do_is_refused(tmp_path: Path, address: str, words: str) -> None:
    keep_password(tmp_path, PASSWORD)
    done = run(tmp_path, "--share", "--port", "0", "--no-open", "--address", address)
    assert (done.returncode, done.stdout) == (1, "")
    assert words in done.stderr


def test_a_phone_logs_in_changes_something_and_logs_out(tmp_path: Path) -> None:
    bed = Beds(tmp_path).new(SMALL, "begun")
    path, secret = f"/api/beds/{bed.key}/entries", {"BEDWRIGHT_PASSWORD": PASSWORD}
    with (
        serving(tmp_path, **secret) as (here, url),
        httpx2.Client(base_url=url, timeout=60) as phone,
    ):
        assert url.startswith(f"http://{AT}:")
        port = url.rstrip("/").rpartition(":")[2]
        key = here.partition("key=")[2]
        assert phone.get("/", params={"key": key}).status_code == 403
        with pytest.raises(httpx2.ConnectError):
            httpx2.get(f"http://127.0.0.3:{port}/")
        wrong = phone.post("/log-in", data={"password": "four slow wet slugs"})
        assert (wrong.status_code, "That is not the password" in wrong.text) == (403, True)
        right = phone.post("/log-in", data={"password": PASSWORD}, headers={"origin": url[:-1]})
        assert right.status_code == 303
        found = re.search(r'name="token" content="(\w+)"', phone.get("/").text)
        assert found is not None
        headers = {TOKEN_HEADER: found[1], "origin": url[:-1]}
        made = phone.post(path, json={"line": "frost last night -2"}, headers=headers)
        assert made.status_code == 201
        assert phone.post("/log-out", headers=headers).status_code == 200
        assert phone.post(path, json={"line": "rain 2 mm"}, headers=headers).status_code == 403
        assert phone.get("/").status_code == 403
        # On the machine itself the key opens it, and the password does not.
        with httpx2.Client(base_url=f"http://127.0.0.1:{port}", follow_redirects=True) as own:
            assert own.post("/log-in", data={"password": PASSWORD}).status_code == 403
            assert own.get("/", params={"key": key}).status_code == 200
            assert len(own.get(path).json()) == 1
            assert url in own.get("/phone").text


def test_a_restart_logs_nobody_out_and_a_new_password_does(tmp_path: Path) -> None:
    with serving(tmp_path, BEDWRIGHT_PASSWORD=PASSWORD) as (_, url):
        answer = httpx2.post(f"{url}log-in", data={"password": PASSWORD})
        (cookie,) = answer.cookies.values()
    for options, password, status in (
        ([], PASSWORD, 200),
        ([], "", 200),  # the kept one
        (["--new-password"], PASSWORD, 403),
        ([], "five slow wet snails", 403),
    ):
        with serving(tmp_path, *options, BEDWRIGHT_PASSWORD=password) as (_, url):
            port = url.rstrip("/").rpartition(":")[2]
            cookies = {"cookie": f"bedwright-{port}={cookie}"}
            assert httpx2.get(url, headers=cookies).status_code == status
    kept = kept_password(tmp_path)
    assert kept is not None
    assert kept.fits("five slow wet snails")


def test_a_password_is_asked_for_twice_unseen_and_the_address_is_shown_as_a_picture(
    tmp_path: Path,
) -> None:
    main, sub = pty.openpty()
    process = subprocess.Popen(
        [*COMMAND, str(tmp_path), *OPTIONS], env=environment(TERM="xterm-256color"), stdin=sub,
        stdout=sub, stderr=sub, start_new_session=True,
    )  # fmt: skip
    os.close(sub)
    said = ""

    def until(words: str) -> None:
        nonlocal said
        while words not in said:
            said += os.read(main, 100_000).decode("utf-8", "replace")

    def answer(question: str, given: str) -> None:
        nonlocal said
        until(question)
        said = said.partition(question)[2]
        os.write(main, f"{given}\n".encode())

    try:
        until("A password for the page: 8 characters or more")
        answer("Password: ", "short")
        until("given 5 characters; accepted: 8 to 200")
        answer("Password: ", PASSWORD)
        answer("The same again: ", "four slow wet slugs")
        until("The two are not the same.")
        answer("Password: ", PASSWORD)
        answer("The same again: ", PASSWORD)
        until("Ctrl-C ends it.")
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(HANG_S)
        os.close(main)
    assert PASSWORD not in said
    kept = kept_password(tmp_path)
    assert kept is not None
    assert kept.fits(PASSWORD)
    url = re.findall(r"On a phone in the same network: (http://\S+)", said)
    plain = re.sub(r"\x1b\[[0-9;]*m", "", said)
    lines = [line.strip("\r")[2:] for line in plain.split("\n") if re.search("[▀▄█]", line)]
    wide = max(len(line) for line in lines)
    modules = [[one in dark for one in line.ljust(wide)] for line in lines for dark in ("▀█", "▄█")]
    seen = np.where(np.kron(np.pad(modules, 4), np.ones((8, 8))) > 0, 0, 255).astype(np.uint8)
    assert [found.text for found in zxingcpp.read_barcodes(seen)] == url
    assert re.search(r"\x1b\[38;5;16;48;5;231m", said)  # black on white, whatever the terminal's
