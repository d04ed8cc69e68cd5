"""Where a page is shared, and what is kept for that: addresses, the password, sessions, waits."""

from __future__ import annotations

import hashlib
import ipaddress
import json
import math
import stat
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.store import Beds, back_up, export_to
from bedwright.web import lockout, sessions
from bedwright.web.guard import hosts_of
from bedwright.web.lockout import Lockout, origin_of, wait_after
from bedwright.web.password import (
    DamagedError,
    NotAPasswordError,
    Password,
    accepted,
    keep_password,
    kept_password,
    password_file,
)
from bedwright.web.private import FOLDER, private_folder
from bedwright.web.sessions import DAY_S, Sessions
from bedwright.web.share import (
    PRIVATE,
    NoAddressError,
    addresses_for,
    is_private,
    own_addresses,
    own_names,
)
from page import PASSWORD, SMALL, Clock

# --- addresses


@pytest.mark.parametrize("address", ["10.0.0.1", "172.16.0.1", "172.31.255.254", "192.168.1.20",
                                     "169.254.10.1", "fd00::2", "fdff:1:2:3::4"])  # fmt: skip
def test_private_addresses(address: str) -> None:
    assert is_private(address)
    assert addresses_for(None, ("203.0.113.5", address)) == (address,)
    assert addresses_for(address, ()) == (address,)


@pytest.mark.parametrize("address", ["8.8.8.8", "172.15.255.255", "172.32.0.1", "192.167.1.1",
                                     "11.0.0.1", "100.64.0.1", "192.0.2.2", "0.0.0.0", "::",
                                     "2001:db8::1", "fe80::1", "fe80::1%eth0", "::ffff:10.0.0.1",
                                     "garden.local", "", "10.0.0.1/8", "10.0.0", "127.0.0.1"]
)  # fmt: skip
def test_other_addresses_are_refused_in_words(address: str) -> None:
    assert not is_private(address)
    with pytest.raises(NoAddressError, match=r"--address: given .*; accepted: .*192.168.0.0/16"):
        addresses_for(address, ("10.0.0.1",))


def test_a_machine_with_a_public_address_alone_is_not_shared() -> None:
    with pytest.raises(NoAddressError, match=r"the addresses found are 203.0.113.5\. Join"):
        addresses_for(None, ("203.0.113.5",))
    with pytest.raises(NoAddressError, match="no address was found"):
        addresses_for(None, ())


def test_the_loopback_range_is_for_trying_it_out_where_it_is_named() -> None:
    assert addresses_for("127.0.0.2", ()) == ("127.0.0.2",)
    assert addresses_for("::1", ()) == ("::1",)
    with pytest.raises(NoAddressError):
        addresses_for(None, ("127.0.0.2", "::1"))


@given(st.ip_addresses())
def test_no_address_of_the_internet_is_private(
    address: ipaddress.IPv4Address | ipaddress.IPv6Address,
) -> None:
    """Python's ipaddress, after IANA's registries of special addresses, says which are global."""
    if is_private(str(address)):
        assert address.is_private
        assert not address.is_global
        assert not address.is_multicast
        assert not address.is_unspecified
        assert not address.is_loopback


def test_every_private_range_is_one_to_ipaddress() -> None:
    for network in PRIVATE:
        assert network.is_private
        assert not network.is_global


def test_this_machine_s_own_addresses_and_names_are_sound() -> None:
    for address in own_addresses():
        assert not ipaddress.ip_address(address).is_unspecified
    for name in own_names():
        assert name.removesuffix(".local").partition(".")[1] == ""


@pytest.mark.parametrize(
    ("name", "names"),
    [("Shed", ("shed.local", "shed")), ("shed.example.com", ("shed.local", "shed")),
     ("localhost", ()), ("", ()), ("a_b", ()), ("10", ()), ("10.0.0.1", ()), ("-x", ())],
)  # fmt: skip
def test_only_names_of_the_house_are_answered(
    monkeypatch: pytest.MonkeyPatch, name: str, names: tuple[str, ...]
) -> None:
    """A name with a domain is one that the world's DNS could give to another address."""
    monkeypatch.setattr("socket.gethostname", lambda: name)
    assert own_names() == names


def test_what_a_browser_calls_a_server() -> None:
    assert hosts_of(["10.0.0.1", "fd00::2"], 8137) == {"10.0.0.1:8137", "[fd00::2]:8137"}
    assert hosts_of(["10.0.0.1", "fd00::2"], 80) == {"10.0.0.1", "[fd00::2]"}


# --- the password


@pytest.mark.parametrize(
    "given", [PASSWORD, "eight ch", "Garten-Tür 12", "五つの花と六つの種", "x-1 y" * 40]
)
def test_a_password_that_will_do(given: str) -> None:
    assert accepted(given)


@pytest.mark.parametrize("given", ["", "sevench", "x1-y2" * 41, "aaaaaaaa", "abababab", "12345678",
                                   "87654321", "abcdefgh", "qwertyuiop", "Password1!", "sunshine",
                                   "bedwright2027", "tab\there it is", "half \udc80 a letter"]
)  # fmt: skip
def test_a_password_that_will_not_do_is_refused_in_words(given: str, tmp_path: Path) -> None:
    with pytest.raises(NotAPasswordError, match=r"password: given .*; accepted: ") as raised:
        keep_password(tmp_path, given)
    assert not given or given not in str(raised.value)
    assert not password_file(tmp_path).exists()


def test_the_hash_is_kept_for_its_owner_alone(tmp_path: Path) -> None:
    made = keep_password(tmp_path, PASSWORD)
    path = password_file(tmp_path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert PASSWORD not in path.read_text()
    assert "argon2" not in repr(made)
    path.chmod(0o644)
    assert kept_password(tmp_path) == made
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [one.name for one in path.parent.iterdir() if one.name.startswith(".")] == [".gitignore"]


def test_a_password_fits_in_whatever_form_a_keyboard_writes_it(tmp_path: Path) -> None:
    made = keep_password(tmp_path, "Garten-T\u00fcr 12")
    assert made.fits("Garten-Tu\u0308r 12")
    for wrong in ("Garten-Tur 12", "garten-t\u00fcr 12", "", "x" * 100_000, "half \udc80 a letter"):
        assert not made.fits(wrong)


def test_the_same_password_is_kept_otherwise_each_time(tmp_path: Path) -> None:
    one, other = (keep_password(tmp_path / name, PASSWORD) for name in "ab")
    assert one.hashed != other.hashed
    assert one.fits(PASSWORD)
    assert other.fits(PASSWORD)


@pytest.mark.parametrize(
    "text", ["", "secret", "$argon2id$v=19$m=65536", "$2b$12$abcdefghijklmnop"]
)
def test_a_file_that_holds_no_hash_is_said_so(tmp_path: Path, text: str) -> None:
    password_file(tmp_path).write_text(text)
    with pytest.raises(DamagedError, match="--new-password"):
        kept_password(tmp_path)


def test_no_password_was_chosen_yet(tmp_path: Path) -> None:
    assert kept_password(tmp_path) is None


def test_neither_backup_nor_export_takes_it_along(tmp_path: Path, password: Password) -> None:
    beds = Beds(tmp_path / "beds")
    beds.new(SMALL, "begun")
    hashed = keep_password(beds.folder, PASSWORD).hashed
    secret = Sessions(beds.folder).begin()
    back_up(beds.store, tmp_path / "backup.zip")
    export_to(beds.store, tmp_path / "out")
    with zipfile.ZipFile(tmp_path / "backup.zip") as whole:
        taken = {name: whole.read(name) for name in whole.namelist()}
    taken |= {one.name: one.read_bytes() for one in (tmp_path / "out").iterdir()}
    taken |= {one.name: one.read_bytes() for one in beds.folder.glob("garden.db*")}
    assert {"garden.json", "garden.db"} <= set(taken)
    for name, body in taken.items():
        assert FOLDER not in name
        for kept in (hashed, secret, hashlib.sha256(secret.encode()).hexdigest()):
            assert kept.encode() not in body, name


def test_what_only_a_shared_page_needs_is_not_loaded_by_others() -> None:
    code = (
        "import sys, bedwright.cli.page, bedwright.web.serve;"
        "print(*{'argon2', 'segno', '_cffi_backend'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []


# --- sessions


def test_a_session_outlasts_the_process_and_only_its_hash_is_kept(tmp_path: Path) -> None:
    clock = Clock()
    first = Sessions(tmp_path, clock)
    secret, other = first.begin(), first.begin()
    assert secret != other
    assert len(secret) >= 256 / 6
    path = private_folder(tmp_path) / "sessions.json"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert secret not in path.read_text()
    again = Sessions(tmp_path, clock)
    assert again.alive(secret)
    again.end(secret)
    assert not again.alive(secret)
    assert Sessions(tmp_path, clock).alive(other)
    assert not Sessions(tmp_path, clock).alive(secret)
    again.end_all()
    assert not Sessions(tmp_path, clock).alive(other)


def test_a_session_ends_after_a_month_and_after_a_fortnight_unused(tmp_path: Path) -> None:
    clock = Clock()
    held = Sessions(tmp_path, clock)
    used, unused = held.begin(), held.begin()
    for _ in range(13):
        clock.at += DAY_S
        assert held.alive(used)
    clock.at += DAY_S - 1
    assert Sessions(tmp_path, clock).alive(unused)  # it does not count who looks on elsewhere
    clock.at += 1
    assert not held.alive(unused)
    for _ in range(15):
        clock.at += DAY_S
        assert held.alive(used)
    clock.at += DAY_S
    assert not held.alive(used)
    assert (sessions.MOST_LIFE_S, sessions.MOST_IDLE_S) == (30 * DAY_S, 14 * DAY_S)


def test_when_a_session_was_used_is_known_after_a_restart(tmp_path: Path) -> None:
    clock = Clock()
    secret = Sessions(tmp_path, clock).begin()
    for _ in range(2):
        clock.at += 10 * DAY_S
        assert Sessions(tmp_path, clock).alive(secret)


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"x": 1}', '{"x": {"begun": "now"}}'])
def test_a_damaged_file_logs_everyone_out(tmp_path: Path, text: str) -> None:
    (private_folder(tmp_path) / "sessions.json").write_text(text)
    held = Sessions(tmp_path)
    assert not held.alive("x")
    assert held.alive(held.begin())


def test_no_more_sessions_are_kept_than_there_is_room_for(tmp_path: Path) -> None:
    clock = Clock()
    held = Sessions(tmp_path, clock)
    first = held.begin()
    for _ in range(sessions.MOST_SESSIONS):
        clock.at += 1
        last = held.begin()
    assert not held.alive(first)
    assert held.alive(last)
    kept = json.loads((private_folder(tmp_path) / "sessions.json").read_text())
    assert len(kept) == sessions.MOST_SESSIONS


# --- waits


def test_the_wait_grows_from_half_a_minute_to_an_hour() -> None:
    """NIST SP 800-63B-4, section 3.2.2: "30 seconds up to an hour" (read)."""
    waits = [wait_after(n, 5) for n in range(15)]
    assert waits == [0, 0, 0, 0, 0, 30, 60, 120, 240, 480, 960, 1920, 3600, 3600, 3600]
    assert wait_after(10**9, 5) == 3600


def test_after_five_wrong_passwords_an_address_waits_and_others_do_not() -> None:
    clock = Clock()
    held = Lockout(clock)
    for _ in range(4):
        held.wrong("192.168.1.31")
        assert held.wait_s("192.168.1.31") == 0
    held.wrong("192.168.1.31")
    assert held.wait_s("192.168.1.31") == 30
    assert held.wait_s("192.168.1.32") == 0
    clock.at += 29.5
    assert held.wait_s("192.168.1.31") == 0.5
    clock.at += 0.5
    assert held.wait_s("192.168.1.31") == 0
    held.wrong("192.168.1.31")
    assert held.wait_s("192.168.1.31") == 60
    clock.at += 10**7
    held.wrong("192.168.1.31")
    assert held.wait_s("192.168.1.31") == 120


def test_the_right_password_forgets_the_wrong_ones_of_its_own_address_alone() -> None:
    clock = Clock()
    held = Lockout(clock)
    for address in ("192.168.1.31", "192.168.1.32"):
        for _ in range(4):
            held.wrong(address)
    held.right("192.168.1.31")
    for address, wait in (("192.168.1.31", 0), ("192.168.1.32", 30)):
        held.wrong(address)
        assert held.wait_s(address) == wait


def test_many_addresses_together_get_no_more_tries() -> None:
    """A hundred wrong ones in a row at most: NIST SP 800-63B-4, section 3.2.2 (read)."""
    clock = Clock()
    held = Lockout(clock)
    tries = 0
    for day in range(30):
        for n in range(250):
            address = f"192.168.{day}.{n}"
            if held.wait_s(address) == 0:
                held.wrong(address)
                tries += 1
            clock.at += 345.6
    assert tries == lockout.MOST_WRONG
    assert held.wait_s("10.0.0.1") == math.inf


def test_all_wait_after_twenty_wrong_ones() -> None:
    held = Lockout(Clock())
    for n in range(lockout.FREE_FOR_ALL):
        assert held.wait_s("10.0.0.1") == 0
        held.wrong(f"192.168.1.{n}")
    assert held.wait_s("10.0.0.1") == 30


def test_a_device_with_many_addresses_is_one() -> None:
    assert origin_of("fd00::1") == origin_of("fd00::ffff:2%eth0") == "fd00::/64"
    assert origin_of("fd00::1") != origin_of("fd00:0:0:1::1")
    assert origin_of("192.168.1.31") != origin_of("192.168.1.32")
    assert origin_of("testclient") == "testclient"
