"""A book in memory, a clock that moves on, and a town of two yards and a mail-in: all invented."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.buyers import buyers
from partway.actions.home import settings
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.errors import Refused
from partway.ledger.balance.sheet import sheet
from partway.ledger.events.ids import IdMaker
from partway.ledger.memory import MemoryBook

START = dt.datetime(2026, 3, 14, 9, 0, tzinfo=dt.timezone(dt.timedelta(hours=-4)))
KG = 1_000_000  # milligrams


class Day:
    """One person's day: each action a minute after the one before."""

    def __init__(self, *, currency: str | None = "CAD", unit: str | None = None) -> None:
        self.book = MemoryBook()
        self.now = START
        self.ids = IdMaker(lambda: int(self.now.timestamp() * 1000))
        if currency:
            set_(self.book, self.context(), "currency", currency)
        if unit:
            set_(self.book, self.context(), "unit", unit)

    def context(self, happened: dt.datetime | None = None) -> Context:
        self.now += dt.timedelta(minutes=1)
        return Context("me", lambda: self.now, self.ids, happened)

    def do(self, action: Callable[..., Any], *args: Any, **options: Any) -> Any:
        """Run an action; mass adds up after it."""
        recorded = action(self.book, self.context(), *args, **options)
        assert sheet(self.book.balances()).apart_mg == 0
        return recorded

    def refuses(self, action: Callable[..., Any], *args: Any, **options: Any) -> Refused:
        """The refusal of an action that leaves the book as it was."""
        before = self.book.state
        with pytest.raises(Refused) as caught:
            action(self.book, self.context(), *args, **options)
        assert self.book.state == before
        said = caught.value
        assert said.given and said.expected and said.where
        return said

    def mg(self, place: str, grade: str = "") -> int:
        return self.book.balances(place).get((place, grade), 0)

    def payloads(self, *kinds: str) -> list[Any]:
        return [event.what for event in self.book.events(kinds)]


def trading_day(**options: Any) -> Day:
    """A day with buyers."""
    day = Day(**options)
    day.do(buyers.buyer, "harbour", buyers.Terms(kind="yard", km="14", minutes="20", refuses=["li-ion"]))
    day.do(buyers.buyer, "ridge", buyers.Terms(kind="yard", km="21", minutes="25"))
    day.do(buyers.buyer, "boards", buyers.Terms(kind="mail-in", shipping=[("10 lb", "14"), ("40 lb", "22")]))
    return day


def stocked(day: Day, **kilograms: float) -> None:
    """Bins with something in them: found from nothing by recounting, which is a gain."""
    for name, kg in kilograms.items():
        grade = name.replace("_", "-")
        day.do(bins.add_bin, grade)
        day.do(bins.recount, grade, round(kg * KG))


def found(day: Day, kind: str, **options: Any) -> str:
    """A find; what it is called."""
    name: str = day.do(finds.find, kind, **options).result.find
    return name


__all__ = ["KG", "START", "Day", "found", "settings", "stocked", "trading_day"]
