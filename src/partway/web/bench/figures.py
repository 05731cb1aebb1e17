"""What the bench's pages and JSON ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.actions.bench import benching
from partway.ledger.fold.standing import FindNow
from partway.reports.bench.find import FindAtBench
from partway.reports.bench.queue import Queue
from partway.valuing.finds.waiting import Unvalued
from partway.web.cache import cached
from partway.web.desk import Desk


@cached
def queue(desk: Desk, hours: float | None) -> Queue:
    """The waiting finds by money per bench hour, and how many fit the hours. Raises Refused."""
    return benching.queue(desk.book, desk.prices, desk.finds, hours)


@cached
def find(desk: Desk, now: FindNow, works: str | None) -> FindAtBench | Unvalued:
    """One find at the bench, as if it were in another condition where `works` says so. Raises Refused."""
    return benching.at_bench(desk.book, desk.prices, now, works)


@cached
def bins_by_grade(desk: Desk) -> dict[str, tuple[str, ...]]:
    """Ids of the bins that hold each grade."""
    return benching.bins_by_grade(desk.book)
