"""What a word meant when it was asked about: remembered for whoever said it, at the buyer it was said of."""

from __future__ import annotations

from partway.ledger.book import Book
from partway.ledger.events.kinds import Set
from partway.ledger.fold.standing import settings
from partway.reports.curb.names import name_key

START = "word"
LONGEST = 80  # characters of a setting's name


def meant_before(book: Book, who: str, said: str, sort: str, buyer: str = "") -> str:
    """What the word was answered to mean; "" where it was not asked."""
    return settings(book).get(_name(who, said, sort, buyer), "")


def remembering(who: str, said: str, sort: str, meant: str, buyer: str = "") -> list[Set]:
    """What is recorded so that the word need not be asked about again; nothing of a name that is too long."""
    name = _name(who, said, sort, buyer)
    return [Set(name, meant)] if len(name) <= LONGEST else []


def _name(who: str, said: str, sort: str, buyer: str) -> str:
    """For whom, at whom and of what sort a word stands, without what may not stand in a name."""
    parts = (START, sort, *([buyer] if buyer else []), name_key(said), who)
    return " ".join(" ".join(parts).replace(":", " ").split())
