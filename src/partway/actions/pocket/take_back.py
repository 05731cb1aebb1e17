"""The desk takes what phones noted without signal: each entry is decided by itself, once, in the order of the list.

Identity goes by the id of the intent, which each event that it led to carries (`Event.intent`): in exports and merges,
too, and whether the event still counts or not. The order of effects goes by the time of noting, as if a day had been
stated; only where the phone's clock stands ahead is it now. docs/decisions/0012-pocket.md says why.
"""

from __future__ import annotations

import datetime as dt
import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from partway.actions.pocket.intents import Act, HandedBack, Intent
from partway.actions.pocket.spoken_of import known_find, named_by_ledger
from partway.actions.recording.context import SLACK, Context, Recorded, still_taken_back
from partway.actions.recording.describe import Say, Told, capital, span, tell
from partway.catalogue import shipped
from partway.errors import LedgerRefuses, PartwayError, Refused
from partway.ledger.book import Book
from partway.ledger.days import local
from partway.ledger.events.event import Event
from partway.ledger.events.stamp import NEXT
from partway.ledger.workspaces import begun, is_of, workspace_id
from partway.reports.books.ledger import words
from partway.reports.called import Called

log = logging.getLogger(__name__)
MADE = ("find", "ticket", "haul", "listing")  # fields of results that name what was made
ABOUT = ("find", "bin", "ticket")  # fields of a body that name what an entry speaks of


class OtherWorkspace(Refused):
    """Entries that were noted for another workspace than this one."""


def take_back(
    book: Book, context: Context, workspace: str, intents: Sequence[Intent], acts: Mapping[str, Act]
) -> tuple[HandedBack, ...]:
    """Carry out what was noted for a workspace. Raises OtherWorkspace, before anything is recorded, and LedgerRefuses
    where the ledger cannot be written: what was answered until then is kept, and known when it comes again.
    """
    shipped()  # slow the first time: not while others wait
    _check_workspace(book, context, workspace, intents)
    return tuple(_taken(book, context, intent, acts) for intent in intents)


def _check_workspace(book: Book, context: Context, workspace: str, intents: Sequence[Intent]) -> None:
    if all(is_of(book, workspace, intent.id) for intent in intents) or _all_known(book, intents):
        return
    zone = context.clock().tzinfo
    ours = workspace_id(book)
    raise OtherWorkspace(
        f"entries of {begun(workspace, zone)}",
        f"entries of this one, {begun(ours, zone)}",
        "workspace",
        says="These entries were noted for another workspace; nothing was recorded and nothing is lost.",
    )


def _all_known(book: Book, intents: Sequence[Intent]) -> bool:
    """Noted before the workspace began, and taken since: the answer was lost on the way."""
    return len(book.asked_for([intent.id for intent in intents])) == len({intent.id for intent in intents})


def _taken(book: Book, context: Context, intent: Intent, acts: Mapping[str, Act]) -> HandedBack:
    """One intent in a transaction of its own: all of it, or nothing. What breaks one does not keep those behind it."""
    try:
        with book.deciding():
            before = book.asked_for([intent.id]).get(intent.id)
            return _decided(book, context, intent, acts) if before is None else _already(book, context, intent, before)
    except LedgerRefuses:
        raise
    except Refused as refused:
        return HandedBack.of(intent, refused)
    except PartwayError:
        raise
    except Exception:
        log.exception("what a phone noted could not be carried out: %s %s", intent.what, intent.id)
        return HandedBack.broken(intent)


def _decided(book: Book, context: Context, intent: Intent, acts: Mapping[str, Act]) -> HandedBack:
    act = acts.get(intent.what)
    if act is None:
        raise Refused(f'"{intent.what[:60]}"', f"one of {', '.join(sorted(acts))}", "what")
    body = named_by_ledger(book, intent.body)
    when = _When.of(book, context, intent, body)
    with known_find(book, body):
        done = act(book, when.context, body)
    told = tell(done.result, Say.of(book), _called(book, context))
    if when.ahead > SLACK:
        told = replace(told, more=(*told.more, _clock_ahead(when.ahead)))
    return HandedBack(intent.id, "done", told, _name(done), done.undo)


@dataclass(frozen=True, slots=True)
class _When:
    """The context in which an intent is decided, and how many seconds the phone's clock stands ahead."""

    context: Context
    ahead: int

    @classmethod
    def of(cls, book: Book, context: Context, intent: Intent, body: Mapping[str, Any]) -> _When:
        """At the time of noting; not before what it speaks of was made, and now where that is still to come."""
        now = context.clock()
        typed = max([local(intent.typed, now.tzinfo), *_made(book, body, now)], key=_moment)
        ahead = round((intent.typed - now).total_seconds())
        known = replace(context, exact=True, intent=intent.id)
        if typed.astimezone(dt.UTC) >= now.astimezone(dt.UTC):
            return cls(replace(known, clock=lambda: now, happened=None), max(0, ahead))
        return cls(replace(known, clock=lambda: typed, happened=typed), 0)


def _moment(time: dt.datetime) -> dt.datetime:
    return time.astimezone(dt.UTC)  # two times of one zone would be compared by what the clock shows


def _made(book: Book, body: Mapping[str, Any], now: dt.datetime) -> list[dt.datetime]:
    """When what an intent speaks of was made, by the order of the ledger: a phone's clock may stand behind it."""
    spoken = [f"{field}:{name}" for field in ABOUT if isinstance(name := body.get(field), str) and name]
    makers = [maker for maker in book.makers(spoken).values() if maker] if spoken else []
    made = [event for maker in makers if (event := book.event(maker)) is not None]
    return [local(event.position[0] + NEXT, now.tzinfo) for event in made]


def _name(done: Recorded[Any]) -> str:
    return next((name for field in MADE if (name := getattr(done.result, field, ""))), "")


def _already(book: Book, context: Context, intent: Intent, events: Sequence[Event]) -> HandedBack:
    """What the intent led to before, whatever became of it since."""
    voided = book.voided()
    counts = any(event.id not in voided for event in events)
    last = events[-1]
    called = _called(book, context)
    said = capital(words(last.what, Say.of(book).units, called))
    since = "" if counts else ", and was taken back or put right since"
    name = next((getattr(e.what, field) for e in events for field in MADE if getattr(e.what, field, "")), "")
    undo = tuple(event.id for event in still_taken_back(events, voided))
    return HandedBack(intent.id, "already", Told(f"Was recorded before{since}: {said}"), name, undo)


def _called(book: Book, context: Context) -> Called:
    now = context.clock()
    return Called(book, now.date(), now.tzinfo)


def _clock_ahead(seconds: int) -> str:
    return f"The phone's clock stands {span(seconds)} ahead; this was recorded as of now."
