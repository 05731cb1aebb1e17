"""Keeping the books: money out, hours, corrections, settings."""

from __future__ import annotations

from partway.actions.books import corrections, money, notes
from partway.actions.books.results import CorrectResult, HoursResult, MoneyResult, NoteResult
from partway.actions.home import settings
from partway.actions.home.distances import named_km
from partway.actions.home.results import SettingResult
from partway.actions.recording.saved import Saved
from partway.errors import Refused
from partway.web.api.bodies import agreed
from partway.web.api.writing import record, saving, writing
from partway.web.books.bodies import CorrectBody, HoursBody, NoteBody, SetBody, SpendBody
from partway.web.context import At

router = writing("books")


@router.post("/spend")
def spend(ctx: At, body: SpendBody) -> Saved[MoneyResult]:
    """Record money that went out."""
    return record(ctx, body, money.spend)


@router.post("/hours")
def hours(ctx: At, body: HoursBody) -> Saved[HoursResult]:
    """Record hours worked, besides those of openings, sales and hauls."""
    return record(ctx, body, money.hours)


@router.post("/note")
def note(ctx: At, body: NoteBody) -> Saved[NoteResult]:
    """Note something down, about a find, a buyer, a bin or nothing in particular."""
    return record(ctx, body, notes.note)


@router.post("/correct")
def correct(ctx: At, body: CorrectBody) -> Saved[CorrectResult]:
    """Take back events, or put one right. Nothing is deleted, and a correction can be taken back too."""
    if len(body.events) > 1 and (body.changes or body.preview):
        raise Refused(f"{len(body.events)} events", "one event to put right with changes, or to preview", "events")
    context = ctx.context(body.on)
    if len(body.events) > 1:
        return saving(ctx, lambda: corrections.correct_all(ctx.book, context, body.events, body.why))
    changes, answer = named_km(body.changes) or None, agreed(body.as_printed)
    event = body.events[0]
    return saving(
        ctx,
        lambda: corrections.correct(
            ctx.book, context, event, body.why, changes, body.gap, answer, preview=body.preview
        ),
    )


@router.post("/set")
def set_(ctx: At, body: SetBody) -> Saved[SettingResult]:
    """Change a setting of the workspace."""
    return record(ctx, body, settings.set_)
