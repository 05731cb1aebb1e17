"""Remembers which requests were saved, in the transaction of their events: both are on the disk, or neither is.

So a request that is sent twice is saved once, also when the app was restarted in between or another process of the
ledger gets it. The answers are not events: they are in no export. What was saved under a key of the JSON interface is
answered the same for as long as the ledger is; refusals and the tokens of forms are forgotten after a while. That
something was saved under a key the events say themselves (Event.intent), also after a merge.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from sqlalchemy import delete, insert, select
from sqlalchemy.exc import IntegrityError

from partway.errors import Refused
from partway.ledger.events.shapes import time_text
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t

FOR_GOOD = ""  # where the time stands of what may be forgotten
KEPT = dt.timedelta(days=7)  # nobody sends the same again after a week without having looked


class AnsweredBefore(Refused):
    """Another process saved something under this key a moment ago."""


@dataclass(frozen=True, slots=True)
class Answered:
    """What was asked under a key (a digest), and the answer (JSON)."""

    digest: str
    answer: str


def keep_answer(book: SqlBook, key: str, answered: Answered, since: dt.datetime | None) -> None:
    """Keep an answer, inside the transaction that saves what it is about: one statement. `since` when, so that it may
    be forgotten some day; None for good.

    Raises AnsweredBefore where the key is taken; then nothing of the transaction may be kept.
    """
    row = {
        "key": key,
        "digest": answered.digest,
        "answer": answered.answer,
        "at": FOR_GOOD if since is None else time_text(since),
    }
    with book.writing() as connection:
        try:
            connection.execute(insert(t.answered), row)
        except IntegrityError:
            raise AnsweredBefore(f"{key} once more", "a key under which nothing was saved yet", "key") from None


def answered_under(book: SqlBook, key: str) -> Answered | None:
    """The answer kept under a key, if there is one."""
    table = t.answered.c
    with book.asking() as connection:
        row = connection.execute(select(table.digest, table.answer).where(table.key == key)).one_or_none()
    return None if row is None else Answered(*row)


def forget_answers(book: SqlBook, now: dt.datetime) -> int:
    """Delete answers that are old enough; returns how many."""
    at = t.answered.c.at
    old = (at > FOR_GOOD) & (at < time_text(now - KEPT))
    with book.asking() as connection:
        if connection.execute(select(t.answered.c.key).where(old).limit(1)).first() is None:
            return 0
    with book.writing() as connection:
        return connection.execute(delete(t.answered).where(old)).rowcount
