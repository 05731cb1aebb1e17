"""https as it is served: the certificate of now, looked at again every hour while the app runs."""

from __future__ import annotations

import asyncio
import hashlib
import logging
import ssl
from dataclasses import dataclass, field

from partway.errors import Refused
from partway.web.secure.sources import CertificateSource, Shown
from partway.web.serving.setup import HERE, Setup

EACH = 3600  # seconds
log = logging.getLogger("partway.web")


def new_context() -> ssl.SSLContext:
    """TLS 1.2 or newer, with the choices of ciphers that Python's own list leaves."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.set_alpn_protocols(["http/1.1"])
    return context


@dataclass
class Tls:
    """The certificate of a running app. What changes with it, the names and the address, is told to `setup`."""

    setup: Setup
    source: CertificateSource
    port: int
    context: ssl.SSLContext = field(default_factory=new_context)
    _loaded: str = ""

    def look(self) -> None:
        """Serve the certificate of now. New connections get it, those that are open keep theirs. Raises Refused."""
        shown = self.source.current(self.setup.clock())
        content = _digest(shown)
        if content != self._loaded:
            self.context.load_cert_chain(shown.certificate, shown.key)
            self._loaded = content
        address = f"https://{shown.best}:{self.port}"
        if self.setup.address and address != self.setup.address:
            log.warning("this machine is reached by %s now", address)
        self.setup.hosts = tuple(dict.fromkeys((*HERE, *shown.names.in_address_bar)))
        self.setup.address = address

    async def look_again(self) -> None:
        """The same while the app runs: what is refused then is said in the log, and the certificate stays."""
        try:
            await asyncio.to_thread(self.look)
        except (Refused, ssl.SSLError) as error:
            log.warning("the certificate stays as it was: %s", error)


def _digest(shown: Shown) -> str:
    files = [file.read_bytes() for file in (shown.certificate, shown.key) if file is not None]
    return hashlib.sha256(b"".join(files)).hexdigest()
