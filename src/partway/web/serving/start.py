"""The key of one start, for the browser of the machine itself: its address opens for a day, as that of a device."""

from __future__ import annotations

import datetime as dt
import secrets
from dataclasses import dataclass, field

from partway.storage.writing.device_keys import BYTES, key_digest
from partway.storage.writing.sessions import LINK_FOR


@dataclass
class StartKey:
    """What stands in the address that was printed, and what browsers got for it. Both end with the process."""

    key: str
    since: dt.datetime
    _given: set[str] = field(default_factory=set)

    def open_link(self, shown: str, now: dt.datetime, before: str = "") -> str:
        """A key for a browser that shows the one of the address; empty where that opens nothing."""
        same = secrets.compare_digest(shown.encode("utf-8", "replace"), self.key.encode())
        if not self.key or not same or now - self.since > LINK_FOR:
            return ""
        made = secrets.token_urlsafe(BYTES)
        self.end(before)
        self._given.add(key_digest(made))
        return made

    def opens(self, key: str) -> bool:
        """Whether a browser got this one."""
        return key_digest(key) in self._given

    def end(self, key: str) -> None:
        """From now on it opens nothing."""
        self._given.discard(key_digest(key))
