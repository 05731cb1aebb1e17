"""Which collecting round somebody is on, and which one a text names."""

from __future__ import annotations

from partway.actions.recording.context import Context
from partway.actions.recording.naming import tell_round, thing_named
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Round
from partway.valuing.trips.rounds import RoundMade, rounds_made


def rounds_going(book: Book) -> dict[str, RoundMade]:
    """Rounds that somebody is on, by id. Quick where nobody is."""
    going = [s[6:] for (s, _), status in book.facts("round:", "status").items() if status == "started"]
    return {one.round: one for one in rounds_made(book) if one.round in going} if going else {}


def round_named(book: Book, context: Context, given: str) -> str:
    """The round that a text names, over or not. Raises Refused."""
    known = [s[6:] for (s, _) in book.facts("round:", "status")]
    return thing_named(given, known, "round", "round", lambda key: tell_round(book, key), context.exact)


def round_of_find(book: Book, context: Context, given: str | None) -> str | None:
    """The round that a find is of: the one named, or the last that whoever says so set out on and is on still.

    One that began after the find was found is not it.
    """
    if given:
        return round_named(book, context, given)
    mine = [
        event
        for name in _started(book)
        for event in book.newest(1, kinds=("round",), subject=f"round:{name}")
        if event.who == context.who and event.happened <= context.time
    ]
    last = max(mine, key=lambda event: event.position, default=None)
    return last.what.round if last is not None and isinstance(last.what, Round) else None


def _started(book: Book) -> list[str]:
    return [s[6:] for (s, _), status in book.facts("round:", "status").items() if status == "started"]


def under_way(book: Book, context: Context, given: str | None) -> RoundMade:
    """The round that a text names, or the only one under way. Raises Refused."""
    going = rounds_going(book)
    if given:
        name = round_named(book, context, given)
        if name not in going:
            raise Refused(f"{name}, which is over", "a round that is under way", "round")
        return going[name]
    mine = [one for one in going.values() if one.who == context.who] or list(going.values())
    if len(mine) != 1:
        expected = f"one of {', '.join(one.round for one in mine)}" if mine else "one that is under way"
        raise Refused(f"{len(mine)} rounds under way", expected, "round", hint=None if mine else Hint("start-round"))
    return mine[0]
