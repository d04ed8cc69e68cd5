"""How long one has to wait after wrong passwords, so that nobody tries many.

Each address has some tries free, then waits longer with each; and so do all together, since one
device can have many addresses and one house many devices.  NIST SP 800-63B-4, section 3.2.2, names
waits of 30 seconds up to an hour, and allows no more than 100 wrong ones in a row.
"""

from __future__ import annotations

import ipaddress
import math
import time
from collections import Counter
from collections.abc import Callable

FREE, FREE_FOR_ALL = 5, 20
"""Wrong passwords before there is a wait, from one address and from all: common practice, no
source."""

FIRST_S, LONGEST_S = 30.0, 3600.0
MOST_WRONG = 100


def wait_after(wrong: int, free: int) -> float:
    """Seconds to wait after so many wrong passwords: 30 after those that are free, then twice as
    long each time, an hour at most."""
    return 0.0 if wrong < free else min(LONGEST_S, FIRST_S * 2.0 ** min(wrong - free, 30))


def origin_of(address: str) -> str:
    """Who an address is counted as: in IPv6 a network of 64 bits, as any device has many addresses
    in its own."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if found.version == 6:
        return str(ipaddress.ip_network((found, 64), strict=False))
    return str(found)


class Lockout:
    """Wrong passwords of this run of the server."""

    def __init__(self, now: Callable[[], float] = time.monotonic) -> None:
        """``now``: seconds of a clock that never goes back."""
        self._now = now
        self._wrong: Counter[str] = Counter()
        self._until: dict[str, float] = {}
        self._all_until = 0.0

    def wait_s(self, address: str) -> float:
        """Seconds until an address may try again, 0 where it may now; infinite after 100 wrong
        passwords in a row, until the server is started again."""
        if self._wrong.total() >= MOST_WRONG:
            return math.inf
        until = max(self._until.get(origin_of(address), 0.0), self._all_until)
        return max(0.0, until - self._now())

    def wrong(self, address: str) -> None:
        """Note a wrong password."""
        who, moment = origin_of(address), self._now()
        self._wrong[who] += 1
        wait, for_all = (
            wait_after(self._wrong[who], FREE),
            wait_after(self._wrong.total(), FREE_FOR_ALL),
        )
        self._until[who] = moment + wait
        self._all_until = moment + for_all

    def right(self, address: str) -> None:
        """Forget the wrong passwords of an address that had the right one, and no others: whoever
        tries from elsewhere gains nothing by it."""
        who = origin_of(address)
        self._wrong.pop(who, None)
        self._until.pop(who, None)
