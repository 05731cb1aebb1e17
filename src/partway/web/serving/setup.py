"""How the app was started: whose book it is, who types, and where it may be reached from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field

from partway.actions.recording.zones import now_of
from partway.storage.store import SqlBook
from partway.web.serving.door import Door
from partway.web.serving.start import StartKey

HERE = ("localhost", "127.0.0.1", "[::1]")


def _now() -> dt.datetime:
    return now_of(None)


@dataclass(slots=True)
class Setup:
    """`hosts` are the names under which the app answers, `key` what this start's own browser has to show once (empty:
    nothing), `door` the keys of devices, None where none is asked for; `address` is how a phone reaches the app, for QR
    codes, empty where it was not opened to others. `workspace` is what was chosen as the ledger's folder or server,
    None for the usual one. `zone` is the machine's: the workspace's once something is recorded in one that has none.

    `authority` is the certificate of the authority that a phone is to trust, empty where there is none to tell of.
    `tls_before` says that a proxy ends https before the app, `own_name` that its name, with a certificate that was
    brought, is the app's alone. Hosts and address change while the app runs where the
    machine gets another address.
    """

    book: SqlBook
    who: str = "somebody"
    mark: str = ""
    hosts: tuple[str, ...] = HERE
    key: str = ""
    address: str = ""
    workspace: str | None = None
    zone: str = ""
    clock: Callable[[], dt.datetime] = field(default=_now)
    door: Door | None = None
    authority: bytes = b""
    tls_before: bool = False
    own_name: bool = False
    start: StartKey = field(init=False)

    def __post_init__(self) -> None:
        """The key of this start is one from now on."""
        self.start = StartKey(self.key, self.clock())

    @property
    def asks_for_key(self) -> bool:
        """Whether somebody without a key is turned away."""
        return bool(self.key) or self.door is not None
