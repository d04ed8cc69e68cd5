"""The page in the house's own network: at which addresses, and to whom.

A page is shared at private addresses alone, which nothing outside the network can reach unless the
router forwards it there; and only at the address by which this machine reaches its network, so that
it is not offered to a virtual machine's network or a company's besides.
"""

from __future__ import annotations

import asyncio
import ipaddress
import re
import socket
from dataclasses import dataclass, field

from bedwright.web.guard import HOST, hosts_of
from bedwright.web.lockout import Lockout
from bedwright.web.password import Password
from bedwright.web.sessions import Sessions

PRIVATE = tuple(
    ipaddress.ip_network(one)
    for one in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "fc00::/7")
)
"""Private networks (RFC 1918), link-local (RFC 3927) and unique local addresses (RFC 4193).  IPv6's
link-local addresses are left out: a browser cannot name the interface that they need."""

LOOPBACK = tuple(ipaddress.ip_network(one) for one in ("127.0.0.0/8", "::1/128"))
"""Accepted where one is named, to try it out on this machine alone (RFC 1122, RFC 4291)."""

ELSEWHERE = (
    (socket.AF_INET, "192.0.2.1"),
    (socket.AF_INET6, "fdff:ffff:ffff:ffff::1"),
    (socket.AF_INET6, "2001:db8::1"),
)
"""Addresses for documentation (RFC 5737, RFC 3849) and one that is hardly in use: the system is
asked by which address of its own it would reach them, and nothing is sent."""


class NoAddressError(OSError):
    """There is no address at which the page may be shared."""


def is_private(address: str) -> bool:
    """Whether an address belongs to a house's own network."""
    return _in(address, PRIVATE)


def _in(address: str, networks: tuple[ipaddress.IPv4Network | ipaddress.IPv6Network, ...]) -> bool:
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return False
    return any(found in network for network in networks)


def own_addresses() -> tuple[str, ...]:
    """The addresses by which this machine reaches networks, the one of IPv4 first."""
    found = []
    for family, there in ELSEWHERE:
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as asking:
                asking.connect((there, 9))
                found.append(str(asking.getsockname()[0]))
        except OSError:
            continue  # no way there
    return tuple(dict.fromkeys(found))


def addresses_for(named: str | None, own: tuple[str, ...]) -> tuple[str, ...]:
    """The addresses at which to share: the one ``named``, else those of ``own`` that are private.
    Raises NoAddressError."""
    ranges = ", ".join(str(network) for network in PRIVATE)
    if named is None:
        found = tuple(address for address in own if is_private(address))
        if not found:
            has = f"the addresses found are {', '.join(own)}" if own else "no address was found"
            raise NoAddressError(
                "--share: the page is shared in a house's own network only, at an address in one of"
                f" {ranges}; {has}. Join the house's network, or name another address of this"
                " machine with --address."
            )
        return found
    if named == HOST or not (is_private(named) or _in(named, LOOPBACK)):
        raise NoAddressError(
            f"--address: given {named!r}; accepted: an address of this machine in one of {ranges};"
            f" to try it on this machine alone, one of 127.0.0.0/8 but {HOST}, or ::1."
        )
    return (str(ipaddress.ip_address(named)),)


def own_names() -> tuple[str, ...]:
    """What this machine is called in the house's network: its name, and that name with ``.local``
    (multicast DNS, RFC 6762).  No name that the world's DNS could give to another address."""
    name = socket.gethostname().partition(".")[0].lower()
    plain = re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", name) and not name.isdigit()
    return (f"{name}.local", name) if plain and name != "localhost" else ()


@dataclass
class Share:
    """A page that is shared: where, by which password, who is logged in, and who has to wait.

    ``checking``: held while a password is checked, one at a time, since each takes 64 MiB.
    """

    addresses: tuple[str, ...]
    names: tuple[str, ...]
    port: int
    password: Password
    sessions: Sessions
    lockout: Lockout = field(default_factory=Lockout)
    checking: asyncio.Lock = field(default_factory=asyncio.Lock)

    @property
    def hosts(self) -> frozenset[str]:
        """What a browser may call the server."""
        return hosts_of([*self.addresses, *self.names], self.port)

    @property
    def url(self) -> str:
        """What to open on a phone; it holds neither the password nor the key."""
        return self._url(self.addresses[0])

    @property
    def other_urls(self) -> tuple[str, ...]:
        """More ways to write it, which not every phone or router knows."""
        return tuple(self._url(name) for name in (*self.addresses[1:], *self.names[:1]))

    def _url(self, name: str) -> str:
        (host,) = hosts_of([name], self.port)
        return f"http://{host}/"
