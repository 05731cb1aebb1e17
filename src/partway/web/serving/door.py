"""Whose key opens the app: asked of the ledger with every request, so that an ended key opens nothing at once."""

from __future__ import annotations

import datetime as dt
import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass, field

from partway.storage.refusals import BadLedger
from partway.storage.store import SqlBook
from partway.storage.writing.device_keys import KeyHolder, key_digest
from partway.storage.writing.sessions import key_holder, open_link, saw_keys
from partway.web.serving.tries import Tries

log = logging.getLogger("partway.web")
AGAIN = dt.timedelta(hours=1)  # "last seen" is noted no more often: a note is a write to the ledger


class Slowed(Exception):
    """Too many wrong keys came from where this one comes from: it was not looked at."""

    def __init__(self, seconds: float) -> None:
        super().__init__(seconds)
        self.seconds = seconds


@dataclass
class Door:
    """The keys of devices, and what is remembered of them since the app was started."""

    book: SqlBook
    clock: Callable[[], dt.datetime]
    tries: Tries = field(default_factory=Tries)
    _noted: dict[str, dt.datetime] = field(default_factory=dict)
    _due: set[str] = field(default_factory=set)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def who(self, key: str, address: str) -> KeyHolder | None:
        """Whose the device is that shows its key, None for a wrong one. Raises Slowed, and BadLedger.

        A key that opened before is looked at however many wrong ones come from the same place, so that nobody can lock
        out a device by guessing beside it.
        """
        digest = key_digest(key)
        wait = self.tries.wait(address)
        if wait and digest not in self._noted:
            raise Slowed(wait)
        holder = key_holder(self.book, key, self.clock())
        if holder is None:
            self._noted.pop(digest, None)
            self.tries.wrong(address)
            return None
        self._used(digest)
        return holder

    def open(self, shown: str, address: str, before: str) -> tuple[str, KeyHolder] | None:
        """A key for the device that shows that of its address; None for a wrong one. Raises Slowed, and BadLedger."""
        wait = self.tries.wait(address)
        if wait:
            raise Slowed(wait)
        opened = open_link(self.book, shown, self.clock(), before)
        if opened is None:
            self.tries.wrong(address)
            return None
        log.info("let in %s of %s from %s", ascii(opened[1].device), ascii(opened[1].person), address)
        self._noted[key_digest(opened[0])] = self.clock()
        return opened

    def _used(self, digest: str) -> None:
        now = self.clock()
        with self._lock:
            before = self._noted.get(digest)
            if before is None or now - before >= AGAIN:
                self._noted[digest] = now
                self._due.add(digest)

    @property
    def has_to_note(self) -> bool:
        """Whether some key was used of which that is not noted yet."""
        return bool(self._due)

    def note(self) -> None:
        """Note which keys were used: once for all that came meanwhile, and after they were answered, as a note waits
        for its turn to write.
        """
        with self._lock:
            due, self._due = self._due, set()
        try:
            if due and self.book.refusal is None:
                saw_keys(self.book, due, self.clock())
        except BadLedger:  # busy, or full: when it was seen matters less than what it asks for
            return
