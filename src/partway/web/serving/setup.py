"""How the app was started: whose book it is, who types, and where it may be reached from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field

from partway.actions.recording.zones import now_of
from partway.storage.store import SqlBook

HERE = ("localhost", "127.0.0.1", "[::1]")


def _now() -> dt.datetime:
    return now_of(None)


@dataclass(frozen=True, slots=True)
class Setup:
    """`hosts` are the names under which the app answers, `key` what a phone has to show once (empty: nothing),
    `address` how that phone reaches the app, for QR codes; empty where it was not opened to others. `workspace` is what
    was chosen as the ledger's folder or server, None for the usual one. `zone` is the machine's: the workspace's once
    something is recorded in one that has none.
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
