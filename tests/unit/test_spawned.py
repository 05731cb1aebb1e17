"""A process started anew does not hear Ctrl-C, not even before it could say so itself; its maker still does."""

from __future__ import annotations

import os
import signal
from multiprocessing.connection import Connection

from partway.actions.plans.spawned import spawned


def _blocked(pipe: Connection) -> None:
    """What it held back when it came to life: this runs before anything of ours could change it."""
    pipe.send(signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, []))
    pipe.recv()


def test_ctrl_c_does_not_reach_it_and_reaches_us_as_before() -> None:
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [])
    pipe, process = spawned(_blocked, "test")
    try:
        assert process.pid is not None
        os.kill(process.pid, signal.SIGINT)  # while it still begins
        assert pipe.recv() is True
        assert signal.pthread_sigmask(signal.SIG_BLOCK, []) == before
    finally:
        process.kill()
        process.join()
        pipe.close()
