"""A process of one's own for what would hold up everything else: started anew, so that it inherits no open ledger and
no lock.
"""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess


def spawned(serve: Callable[[Connection], None], name: str) -> tuple[Connection, BaseProcess]:
    """Start it; the near end of the pipe whose other end it was given, and the process, which ends with this one.

    A terminal sends Ctrl-C to every process: this one does not hear it from its first moment on, before it could say so
    itself, or it would end with a trace on the screen instead of with whoever started it.
    """
    context = multiprocessing.get_context("spawn")
    near, far = context.Pipe()
    process = context.Process(target=serve, args=(far,), daemon=True, name=name)
    with _deaf():
        process.start()
    far.close()
    return near, process


@contextmanager
def _deaf() -> Iterator[None]:
    """What is started in here does not hear Ctrl-C; a process keeps the signals that its maker's thread held back."""
    if not hasattr(signal, "pthread_sigmask"):  # not on every system
        yield
        return
    resource_tracker.ensure_running()  # its start would let the signal through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGINT])
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
