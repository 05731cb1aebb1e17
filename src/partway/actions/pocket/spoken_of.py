"""Which find or ticket an entry of a phone speaks of: one of the ledger by its name, or one that the phone noted."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any
from uuid import UUID

from partway.actions.recording.naming import tell_find
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.quantities import shown

NOTED = "@"  # before the id of the intent by which the find or ticket was noted
NOTABLE = ("find", "ticket")  # fields of a body that may name what another entry made
NEAR = 5  # names that are offered


def named_by_ledger(book: Book, body: Mapping[str, Any]) -> Mapping[str, Any]:
    """A body with its find and ticket by the names that the ledger has for them. Raises Refused where the entry of one
    was not taken.
    """
    noted = {
        field: _noted(book, given[len(NOTED) :], field)
        for field in NOTABLE
        if isinstance(given := body.get(field), str) and given.startswith(NOTED)
    }
    return {**body, **noted} if noted else body


def _noted(book: Book, text: str, field: str) -> str:
    try:
        intent = UUID(text)
    except ValueError:
        raise Refused(shown(NOTED + text), "the id of an entry behind @", field) from None
    for event in book.asked_for([intent]).get(intent, ()):
        if field == event.what.MAKES:
            return str(getattr(event.what, field))
    says = f"The {field} that this is about was not recorded: its own entry comes first."
    raise Refused("an entry that was not taken", "one that was", field, says=says)


@contextmanager
def known_find(book: Book, body: Mapping[str, Any]) -> Iterator[None]:
    """A refusal of a find that the ledger does not know becomes a question, with the open finds of near names."""
    try:
        yield
    except Asked:
        raise
    except Refused as refused:
        given = body.get("find")
        if refused.field != "find" or not isinstance(given, str) or book.makers([f"find:{given}"]):
            raise
        choices = _near(book, given)
        if not choices:
            raise
        listed = ", ".join(name for name, _ in choices)
        raise Asked(shown(given), f"a find that is there, such as {listed}", "find", "find", choices) from None


def _near(book: Book, given: str) -> tuple[tuple[str, str], ...]:
    finds = standing.finds(book)
    kind = given.strip().lower().rstrip("0123456789").rstrip("-")
    alike = [name for name in finds if kind and name.startswith(kind)]
    close = difflib.get_close_matches(given.strip().lower(), finds, n=NEAR, cutoff=0.5)
    names = list(dict.fromkeys([*close, *alike]))[:NEAR]
    return tuple((name, tell_find(book, finds[name])) for name in names)
