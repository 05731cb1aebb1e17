"""Where the certificate comes from: from the authority beside the workspace, or from two files that the user names."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from cryptography.hazmat.primitives import serialization

from partway.web.secure.authority import authority_in
from partway.web.secure.brought import names_brought
from partway.web.secure.certificate import server_file
from partway.web.secure.names import HostNames, only_local, own_address, own_names


@dataclass(frozen=True)
class Shown:
    """A certificate to serve, the names in it, and the one by which a phone is told to come."""

    certificate: Path
    key: Path | None
    names: HostNames
    best: str


class CertificateSource(Protocol):
    """What is asked at the start, and again every hour. Raises Refused."""

    def current(self, now: dt.datetime) -> Shown:
        """The certificate to serve now."""

    def authority(self, now: dt.datetime) -> bytes:
        """The certificate (DER) of the authority that phones have to be told of; empty where they know it."""


@dataclass(frozen=True)
class OwnAuthority:
    """The authority beside a workspace, whose files lie in `folder`."""

    folder: Path

    def current(self, now: dt.datetime) -> Shown:
        """Made anew where the machine has another address, or the certificate is about to end."""
        address = only_local(own_address())
        names = own_names(address)
        file, _ = server_file(self.folder, authority_in(self.folder, names, now), names, now)
        return Shown(file, None, names, address)

    def authority(self, now: dt.datetime) -> bytes:
        """Its public part."""
        known = authority_in(self.folder, own_names(own_address()), now)
        return known.certificate.public_bytes(serialization.Encoding.DER)


@dataclass(frozen=True)
class BroughtFiles:
    """Two files that the user named; whatever renews them may do so while the app runs."""

    certificate: Path
    key: Path

    def current(self, now: dt.datetime) -> Shown:
        """As the files are now."""
        names = names_brought(self.certificate, self.key, now)
        return Shown(self.certificate, self.key, names, names.in_address_bar[0])

    def authority(self, now: dt.datetime) -> bytes:
        """None to be told of: whoever signed it is known, or the user's to tell."""
        del now
        return b""
