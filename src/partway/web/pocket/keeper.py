"""Keeps the pocket as the ledger has it: worked out in the background after a change, never while somebody waits.

The last one is served meanwhile, with the time it was made. Two apps on one ledger both work it out, and each writes
whole files: what the one keeps is as good as what the other does.
"""

from __future__ import annotations

import atexit
import datetime as dt
import logging
import threading
from collections.abc import Callable, Mapping

from partway.errors import PartwayError
from partway.ledger.workspaces import workspace_id
from partway.storage.store import SqlBook
from partway.web.pocket.child import Wanted, WorkedOut
from partway.web.pocket.kept import KEY, KeptFile, keep, pocket_folder, read_kept
from partway.web.pocket.process import PocketProcess, PocketWorker
from partway.web.pocket.state import state_of

LOOK_SECONDS = 5.0  # between two looks at the ledger
QUIET_LOOKS = 2  # so many looks in a row that saw no change, before it is worked out: a round of typing is one change
MOST_LOOKS = 12  # no longer, however busy the ledger is
TRIED = 3  # failures in a row, after which it waits for the next change of the ledger


class PocketKeeper:
    """The pocket of one app. `worker` starts whoever works it out; `clock` says the day in the workspace's zone."""

    def __init__(
        self,
        book: SqlBook,
        clock: Callable[[], dt.datetime],
        worker: Callable[[], PocketWorker] = PocketProcess,
        look: float = LOOK_SECONDS,
    ) -> None:
        self._book, self._clock, self._start, self._look = book, clock, worker, look
        self._lock, self._closed, self._asked = threading.Lock(), threading.Event(), threading.Event()
        self._files: Mapping[str, KeptFile] | None = None
        self._thread: threading.Thread | None = None

    def file(self, name: str) -> KeptFile | None:
        """A file as it was worked out last; None where it never was. Either way it is looked after from now on."""
        with self._lock:
            if self._files is None:
                self._files = read_kept(pocket_folder(self._book), workspace_id(self._book))
            if self._thread is None and not self._closed.is_set():
                self._thread = threading.Thread(target=self._work, daemon=True, name="partway pocket")
                self._thread.start()
                atexit.register(self.close)  # before the machinery of processes ends those that are half begun
            found = self._files.get(name)
        if found is None:
            self._asked.set()  # somebody waits: no quiet is waited for
        return found

    def close(self) -> None:
        """End everything."""
        atexit.unregister(self.close)
        self._closed.set()
        self._asked.set()
        if self._thread is not None:
            self._thread.join()

    # -- the one thread that looks after it ------------------------------------------------------

    def _work(self) -> None:
        looks = Looks()
        while not self._closed.is_set():
            try:
                wanted = looks.due(self._state(), self._made(), waiting=self._asked.is_set())
                if wanted:
                    looks.tried(done=self._renew())
            except PartwayError as refused:  # the ledger cannot be read now: the next look may find it again
                logging.getLogger(__name__).warning("the pocket was not worked out: %s", refused)
            except Exception:  # whatever it is, the pages go on
                logging.getLogger(__name__).exception("the pocket was not worked out")
                looks.tried(done=False)
            self._asked.wait(self._look) if not self._made() else self._closed.wait(self._look)

    def _state(self) -> str:
        return state_of(self._book, self._clock().date())

    def _made(self) -> str:
        return next((file.state for name, file in (self._files or {}).items() if name != KEY), "")

    def _renew(self) -> bool:
        """Work it out; whether that went well."""
        key = (self._files or {}).get(KEY)
        wanted = Wanted(where_of(self._book), self._clock(), (key.state, key.content) if key else None)
        worker = self._start()
        try:
            worker.ask(wanted)
            while (said := worker.hear(0.2)) is None:
                if self._closed.is_set():
                    return False
        finally:
            worker.end()
        return self._take(said)

    def _take(self, said: WorkedOut) -> bool:
        if not said.files:
            logging.getLogger(__name__).error("the pocket was not worked out: %s", said.trouble)
            return False
        files = {name: KeptFile(content, state) for name, (state, content) in said.files.items()}
        with self._lock:
            self._files = files
        self._asked.clear()
        keep(pocket_folder(self._book), files)
        return True


class Looks:
    """What the looks at the ledger saw, and whether it is time."""

    def __init__(self) -> None:
        self._seen, self._same, self._since, self._failed = "", 0, 0, 0

    def due(self, state: str, made: str, *, waiting: bool) -> bool:
        """Whether it is to be worked out after this look."""
        self._same = self._same + 1 if state == self._seen else 0
        if state != self._seen:
            self._seen, self._failed = state, 0
        if state == made or self._failed >= TRIED:
            self._since = 0
            return False
        self._since += 1
        return (waiting and not made) or self._same >= QUIET_LOOKS or self._since >= MOST_LOOKS

    def tried(self, *, done: bool) -> None:
        """What came of it."""
        self._since, self._failed = 0, 0 if done else self._failed + 1


def where_of(book: SqlBook) -> str:
    """The file of a ledger, or the address of its server: the other process opens it for itself."""
    if book.engine.dialect.name == "sqlite":
        return book.where
    return book.engine.url.render_as_string(hide_password=False)
