"""The names and addresses under which this machine is reached on its own network."""

from __future__ import annotations

import ipaddress
import re
import socket
from dataclasses import dataclass

from partway.errors import Refused

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Network = ipaddress.IPv4Network | ipaddress.IPv6Network
HERE_ADDRESSES = ("127.0.0.1", "::1")
# Addresses that mean something on one's own network alone: RFC 1918 (private), RFC 6890 (loopback, link local),
# RFC 4193 (unique local), RFC 4291 section 2.5 (loopback and link local of IPv6).
LOCAL_NETWORKS: tuple[Network, ...] = tuple(
    ipaddress.ip_network(text)
    for text in (
        *("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8"),
        *("fc00::/7", "fe80::/10", "::1/128"),
    )
)
LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")  # of a host's name (RFC 1123, 2.1)


@dataclass(frozen=True, slots=True)
class HostNames:
    """What a certificate names: hosts by name, and by address."""

    hosts: tuple[str, ...]
    addresses: tuple[str, ...]

    @property
    def in_address_bar(self) -> tuple[str, ...]:
        """As a browser sends them in the Host header."""
        return (*self.hosts, *(f"[{text}]" if ":" in text else text for text in self.addresses))


def own_address() -> str:
    """This machine's address on its network. Connecting a datagram socket sends nothing. Raises Refused."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # a documentation address (RFC 5737): only the way out is looked up
        except OSError:
            raise Refused("a machine without a network", "a network that the phone is on, too", "phone") from None
        return str(probe.getsockname()[0])


def own_names(address: str) -> HostNames:
    """What a phone may call this machine: its address, and its name as the network itself resolves it (RFC 6762).

    Never its name alone: an authority that may vouch for "dev" may vouch for all that ends with ".dev".
    """
    label = socket.gethostname().partition(".")[0].lower()
    named = (f"{label}.local",) if LABEL.fullmatch(label) else ()
    return HostNames(("localhost", *named), tuple(dict.fromkeys((*HERE_ADDRESSES, address))))


def networks_of(addresses: tuple[str, ...]) -> tuple[Network, ...]:
    """Where an authority for these addresses may vouch: in local networks, and for an address outside of those that is
    of no use on the internet either, such as one of a provider's own (RFC 6598), for just that one.
    """
    known = [ipaddress.ip_address(text) for text in addresses]
    alone = [ipaddress.ip_network(address) for address in known if not _is_within(address, LOCAL_NETWORKS)]
    return (*LOCAL_NETWORKS, *alone)


def _is_within(address: Address, networks: tuple[Network, ...]) -> bool:
    return any(address in network for network in networks if network.version == address.version)


def is_permitted(address: str, networks: tuple[Network, ...]) -> bool:
    """Whether an address lies in one of these networks."""
    return _is_within(ipaddress.ip_address(address), networks)


def only_local(address: str) -> str:
    """The address, if an authority of one's own may vouch for it. Raises Refused."""
    if ipaddress.ip_address(address).is_global:
        raise Refused(
            f"{address}, an address of the whole internet",
            "an address of a local network, for which alone the authority made here can vouch; "
            "else a certificate of your own, or a proxy that ends https (docs/hosting.md)",
            "phone",
        )
    return address
