"""A limit of the processor for every solver, so that a busy machine gives each as much as a quiet one.

Ours and HiGHS go by the wall's clock: here theirs is that of the processor, and HiGHS is stopped while it branches
where its time is up. What follows a limit on the wall only between two of its steps may overrun it by such a step.
"""

from __future__ import annotations

import contextlib
import math
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any

ON_THE_WALL = 10.0  # times what is left, for one relaxation, which cannot be stopped by the processor's clock
LOOK = 0.2  # seconds between two looks at the clock


def by_the_processor() -> None:
    """From now on this process has no clock but the processor's."""
    from partway.planning.model.highs import Solver

    time.monotonic = time.process_time
    run, again = Solver.run, Solver.again

    def run_limited(self: Solver, seconds: float = math.inf, *rest: Any, **named: Any) -> Any:
        until = time.process_time() + max(0.0, seconds)

        def stop_in_time(event: Any) -> None:
            if time.process_time() > until:
                event.interrupt()

        self.highs.cbMipInterrupt.subscribe(stop_in_time)
        try:
            return run(self, math.inf if seconds > 0.0 else 0.0, *rest, **named)
        finally:
            self.highs.cbMipInterrupt.unsubscribe(stop_in_time)

    def again_limited(self: Solver, seconds: float = math.inf, most: int | None = None) -> Any:
        return again(self, ON_THE_WALL * seconds, most)

    Solver.run, Solver.again = run_limited, again_limited  # type: ignore[method-assign]


@contextlib.contextmanager
def stopped(stop: Callable[[], None], seconds: float) -> Iterator[None]:
    """Call `stop` once the processor has worked for so long; for solvers that can only be stopped from outside."""
    until, over = time.process_time() + seconds, threading.Event()

    def watch() -> None:
        while not over.wait(LOOK):
            if time.process_time() > until:
                stop()
                return

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        over.set()
        watcher.join()


class ByProcessor:
    """PyVRP's way to say when to stop: asked again and again with the best cost."""

    def __init__(self, seconds: float) -> None:
        self.until = time.process_time() + seconds

    def __call__(self, best_cost: float) -> bool:
        return time.process_time() > self.until
