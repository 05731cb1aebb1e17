"""What was worked out from the ledger, kept until the ledger or the day changes."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar, cast

if TYPE_CHECKING:
    from partway.web.context import RequestContext

P = ParamSpec("P")
T = TypeVar("T")


class Cache:
    """Results by what was asked for one state of the ledger. Asking twice at the same time may work something out
    twice, which costs time and nothing else.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._state: object = None
        self._results: dict[Hashable, object] = {}

    def get(self, state: object, asked: Hashable, work_out: Callable[[], T]) -> T:
        """The result of `work_out` for this state of the ledger, or of whatever it hangs on."""
        with self._lock:
            if state != self._state:
                self._state, self._results = state, {}
            else:
                self._state = state  # the same again: from here on as one and the same object, which compares at once
                if asked in self._results:
                    return cast(T, self._results[asked])
        result = work_out()
        with self._lock:
            if state == self._state:
                self._results[asked] = result
        return result

    def forget(self) -> None:
        """Keep nothing, as after a change of the ledger."""
        with self._lock:
            self._state, self._results = None, {}


Ask = Callable[Concatenate["RequestContext", P], T]


def cached(work_out: Ask[P, T]) -> Ask[P, T]:
    """Worked out once for each state of the ledger and each day; told apart by the function and what it is given.

    What else is given has to be hashable. What is decided is decided by the ledger itself, and what is not kept for
    good yet is no state of it: inside its transaction everything is worked out anew.
    """
    return _kept(work_out, lambda ctx: (ctx.app.cache, ctx.state))


def cached_by_prices(work_out: Ask[P, T]) -> Ask[P, T]:
    """The same for what only depends on prices and wage: kept also while finds and bins change."""
    return _kept(work_out, lambda ctx: (ctx.app.by_prices, ctx.only_prices))


def _kept(work_out: Ask[P, T], where: Callable[[RequestContext], tuple[Cache, object]]) -> Ask[P, T]:
    """`work_out`, kept where `where` says: in which cache, and for which state."""

    @wraps(work_out)
    def ask(ctx: RequestContext, /, *given: P.args, **named: P.kwargs) -> T:
        if ctx.book.is_deciding:
            return work_out(ctx, *given, **named)
        cache, state = where(ctx)
        asked = (work_out, given, tuple(sorted(named.items())))
        return cache.get(state, asked, lambda: work_out(ctx, *given, **named))

    return ask
