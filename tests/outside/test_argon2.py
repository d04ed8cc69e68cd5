"""Passwords are hashed as RFC 9106 says (Argon2, September 2021; read in copies of its text).

The library is asked for the RFC's own example, section 5.3, and what is kept of a password for the
parameters that the RFC recommends; OWASP's Password Storage Cheat Sheet asks for less.
"""

from __future__ import annotations

from pathlib import Path

import argon2
from argon2.low_level import ARGON2_VERSION, Type, core, ffi, hash_secret_raw, lib

from bedwright.web.password import keep_password
from page import PASSWORD

TAG = bytes.fromhex("0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659")


def test_the_example_of_the_rfc() -> None:
    """Section 5.3: 32 KiB, 3 passes, 4 lanes, a secret of 8 bytes and 12 bytes of other data."""
    given = {"pwd": b"\x01" * 32, "salt": b"\x02" * 16, "secret": b"\x03" * 8, "ad": b"\x04" * 12}
    held = {name: ffi.new("uint8_t[]", value) for name, value in given.items()}
    out = ffi.new("uint8_t[]", 32)
    context = ffi.new("argon2_context *", {
        "out": out, "outlen": 32, "version": ARGON2_VERSION, "t_cost": 3, "m_cost": 32,
        "lanes": 4, "threads": 4, "allocate_cbk": ffi.NULL, "free_cbk": ffi.NULL,
        "flags": lib.ARGON2_DEFAULT_FLAGS, **held,
        **{f"{name}len": len(value) for name, value in given.items()},
    })  # fmt: skip
    assert core(context, Type.ID.value) == lib.ARGON2_OK
    assert bytes(ffi.buffer(out)) == TAG


def test_what_is_kept_has_the_parameters_that_the_rfc_recommends(tmp_path: Path) -> None:
    """Section 4, second option: Argon2id, 3 passes, 4 lanes, 64 MiB, a salt of 128 bits and a tag
    of 256.  OWASP: at least 19 MiB with 2 passes and 1 lane."""
    hashed = keep_password(tmp_path, PASSWORD).hashed
    kept = argon2.extract_parameters(hashed)
    assert (kept.type, kept.version) == (Type.ID, 0x13)
    assert (kept.time_cost, kept.parallelism, kept.memory_cost) == (3, 4, 64 * 1024)
    assert (kept.salt_len, kept.hash_len) == (16, 32)
    assert kept.memory_cost >= 19 * 1024
    assert kept.time_cost >= 2


def test_what_is_kept_is_worked_out_again_from_its_parts(tmp_path: Path) -> None:
    """The PHC string names parameters, salt and tag; the tag follows from the others."""
    from base64 import b64decode

    hashed = keep_password(tmp_path, PASSWORD).hashed
    kind, version, parameters, salt, tag = hashed.strip("$").split("$")
    assert (kind, version, parameters) == ("argon2id", "v=19", "m=65536,t=3,p=4")
    again = hash_secret_raw(PASSWORD.encode(), b64decode(salt + "=="), 3, 65536, 4, 32, Type.ID)
    assert again == b64decode(tag + "=")
