"""What a new workspace still lacks, in the order a person needs it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partway.ledger.book import Book
from partway.ledger.fold.standing import settings

Lacking = Literal["currency", "unit", "find", "buyer", "quote", "wage", "hours"]
Place = Literal["settings", "curb", "buyers"]


@dataclass(frozen=True, slots=True)
class FirstStep:
    """One thing to do: `place` is where, `why` what it is good for, `command` the same at the command line."""

    lacking: Lacking
    name: str
    why: str
    place: Place
    command: str


STEPS = (
    FirstStep(
        "currency",
        "Say which currency you are paid in",
        "Every price and amount is in it. It stays once money is recorded.",
        "settings",
        "partway set currency CAD",
    ),
    FirstStep(
        "unit",
        "Say what your scale shows",
        "A bare number then counts as pounds or kilograms.",
        "settings",
        "partway set unit lb",
    ),
    FirstStep(
        "find",
        "Record the first find",
        "Anything you picked up: its kind is enough, its mass can wait.",
        "curb",
        "partway find microwave",
    ),
    FirstStep(
        "buyer",
        "Add the first buyer",
        "A yard, a mail-in, a drop-off or the tip: how far it is, and what it refuses.",
        "buyers",
        "partway buyer harbour-yard --kind yard --km 9 --minutes 20",
    ),
    FirstStep(
        "quote",
        "Type in what it pays",
        "One price is a start. What nobody quotes stays unknown, which is not nothing.",
        "buyers",
        'partway quotes harbour-yard "no 2 copper 4.10, light iron .09"',
    ),
    FirstStep(
        "wage",
        "Say what an hour of yours is worth at least",
        "Until then your hours count as free, and everything looks worth opening.",
        "settings",
        "partway set wage 15",
    ),
    FirstStep(
        "hours",
        "Say how many hours you have",
        "At the bench and away, for one plan.",
        "settings",
        "partway set bench 6",
    ),
)
FEW = 20  # events looked at together
NEEDED: frozenset[Lacking] = frozenset(["currency", "find", "buyer", "quote"])


@dataclass(frozen=True, slots=True)
class FirstSteps:
    """What is still to do, in order, and what is done. `untouched` says that the ledger holds no event at all."""

    todo: tuple[FirstStep, ...]
    done: tuple[FirstStep, ...]
    untouched: bool

    @property
    def is_new(self) -> bool:
        """Whether there is too little yet for a day to be shown."""
        return any(step.lacking in NEEDED for step in self.todo)


def first_steps(book: Book) -> FirstSteps:
    """Where a workspace stands."""
    there = _there(book)
    return FirstSteps(
        todo=tuple(step for step in STEPS if step.lacking not in there),
        done=tuple(step for step in STEPS if step.lacking in there),
        untouched=not there and next(book.events(), None) is None,
    )


def _there(book: Book) -> frozenset[Lacking]:
    known = settings(book)
    there: dict[Lacking, bool] = {
        "currency": "currency" in known,
        "unit": "unit" in known,
        "find": _any_event(book, "found"),
        "buyer": bool(book.facts("buyer:", "terms")),
        "quote": bool(book.facts("quote:", "heard")),
        "wage": "wage" in known,
        "hours": "bench" in known and "away" in known,
    }
    return frozenset(lacking for lacking, is_there in there.items() if is_there)


def _any_event(book: Book, kind: str) -> bool:
    """Whether one event of a kind counts: looked for from the newest, which most likely does."""
    voided, last = book.voided(), None
    while some := book.newest(FEW, last, (kind,)):
        if any(event.id not in voided for event in some):
            return True
        last = some[-1].id
    return False
