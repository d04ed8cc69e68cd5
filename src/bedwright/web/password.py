"""The password of a shared page: which are accepted, and what is kept of it.

Kept is its hash by Argon2id with the parameters that RFC 9106, section 4, recommends where memory
is scarce (64 MiB, 3 passes, 4 lanes; more than the 19 MiB and 2 passes of OWASP's Password Storage
Cheat Sheet), never the password.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from bedwright.web.private import private_folder, read_private, write_private

if TYPE_CHECKING:
    from argon2 import PasswordHasher

LEAST, ADVISED, MOST = 8, 15, 200
"""Characters.  At least 8, and 15 strongly recommended: OWASP ASVS 5.0.0, 6.2.1.  NIST SP 800-63B
asked for 8, too; its fourth revision asks for 15 where a password is all there is.  At most: ASVS,
6.2.9, wants 64 to be allowed, the rest is common practice."""

LEAST_DIFFERENT = 5
"""Different characters, at least: common practice, no source."""

COMMON = frozenset({
    "password", "passwort", "qwertyuiop", "iloveyou", "sunshine", "princess", "football",
    "baseball", "superman", "trustno1", "welcome", "letmein", "whatever", "computer", "bedwright",
    "garden", "flowers", "gardener",
})  # fmt: skip
"""Words that with or without digits behind them are among the first to be tried: from memory."""

RUNS = ("abcdefghijklmnopqrstuvwxyz", "01234567890", "qwertyuiop", "asdfghjkl", "zxcvbnm")


class NotAPasswordError(ValueError):
    """A password that is not accepted; says what is."""


class DamagedError(OSError):
    """The file of the hash holds none."""


def accepted(given: str) -> str:
    """A password as it is hashed: in one form of Unicode (NFKC), since keyboards write the same
    letter in several.  Raises NotAPasswordError."""
    password = unicodedata.normalize("NFKC", given)
    if not password.isprintable():
        raise NotAPasswordError(
            "password: given characters that cannot be shown; accepted: letters, digits, signs and"
            " spaces."
        )
    if not LEAST <= len(password) <= MOST:
        raise NotAPasswordError(
            f"password: given {len(password)} characters; accepted: {LEAST} to {MOST}, and"
            f" {ADVISED} or more are better, such as four words that have nothing to do with each"
            " other."
        )
    plain = password.casefold()
    word = plain.rstrip("0123456789!.? ")
    both = [run[::way] for run in RUNS for way in (1, -1)]
    common = word in COMMON or any(plain in run for run in both)
    if common or len(set(plain)) < LEAST_DIFFERENT:
        raise NotAPasswordError(
            "password: given one of the first that anyone tries; accepted: one that is no common"
            f" word with digits behind it, no row of keys, and has {LEAST_DIFFERENT} different"
            " characters."
        )
    return password


def _hasher() -> PasswordHasher:
    from argon2 import PasswordHasher, profiles  # only where a page is shared

    return PasswordHasher.from_parameters(profiles.RFC_9106_LOW_MEMORY)


@dataclass(frozen=True)
class Password:
    """The password's hash, in the PHC string format."""

    hashed: str = field(repr=False)

    def fits(self, given: str) -> bool:
        """Whether this is the password; takes 64 MiB and some tenths of a second."""
        from argon2.exceptions import VerifyMismatchError

        if len(given) > MOST:
            return False
        try:
            return _hasher().verify(self.hashed, unicodedata.normalize("NFKC", given))
        except (VerifyMismatchError, UnicodeEncodeError):  # the latter: halves of characters
            return False


def password_file(beds: Path) -> Path:
    """Where the hash is kept."""
    return private_folder(beds) / "password"


def kept_password(beds: Path) -> Password | None:
    """The password of a folder of beds; None where none was chosen yet.  Raises DamagedError."""
    from argon2 import extract_parameters
    from argon2.exceptions import InvalidHashError

    path = password_file(beds)
    text = read_private(path)
    if text is None:
        return None
    try:
        extract_parameters(text.strip())
    except InvalidHashError:
        raise DamagedError(
            f"{path} holds no password's hash: choose the password again with --new-password."
        ) from None
    return Password(text.strip())


def keep_password(beds: Path, given: str) -> Password:
    """Keep a password's hash in the place of the one before.  Raises NotAPasswordError."""
    made = Password(_hasher().hash(accepted(given)))
    write_private(password_file(beds), f"{made.hashed}\n")
    return made
