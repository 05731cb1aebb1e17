"""Prices, stock and settings as pages ask for them: without the finds, which take a while to read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

from partway.actions.haul.scenario import scenario_from_book
from partway.ledger.book import Book
from partway.planning.instance.room import room_of
from partway.things.scenario import Scenario


def prices_from_book(book: Book, on: dt.date, whole: Callable[[], Scenario]) -> Scenario:
    """Buyers, quotes, stock and settings of a day. How full the shed is says what room costs: that alone asks for the
    `whole` scenario, with its finds, and only where it is said how much goes into the shed.
    """
    found = scenario_from_book(book, on, counting=False, waiting={})
    return found if found.storage_l is None else replace(found, room=room_of(whole()))
