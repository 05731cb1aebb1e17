"""An opening that was recorded, as the form that puts it right has it: filled in, on the find as it was before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass

from partway.actions.bench import benching
from partway.actions.bench.answering import AnswerGiven
from partway.actions.bench.opening import scale_steps
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bench.runs import loss_share
from partway.actions.books.corrections import without
from partway.actions.books.opening_anew import opening_named
from partway.errors import Refused
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Opened, PieceOut
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.quantities import mg_text
from partway.reports.bench.find import FindAtBench
from partway.things.anatomy import Anatomy
from partway.valuing.finds.waiting import Unvalued
from partway.valuing.left import Before, before
from partway.web.bench.find import fresh_opening
from partway.web.bench.forms import FREE_ROWS, OpeningForm
from partway.web.context import RequestContext
from partway.web.forms import ChoiceField, Typed
from partway.web.serving.failures import NotHere


@dataclass(frozen=True)
class PutRight:
    """An opening that is put right: its event, and the find as it was before."""

    event: Event
    what: Opened
    now: FindNow
    here: FindAtBench | None

    def seen(self, pieces: Sequence[PieceGiven]) -> tuple[AnswerGiven, ...]:
        """What was seen of pieces that are in it still, where neither name nor place of theirs says so."""
        silent = {given.piece for given in pieces if not given.answer}
        return tuple(AnswerGiven(one.piece, one.answer, one.count) for one in self.what.answers if one.piece in silent)


def anew_of(ctx: RequestContext, find_id: str, given: str) -> PutRight:
    """The opening that an id names, with its find as it was. Raises Refused where it can be put right no more."""
    event = opening_named(ctx.book, ctx.context(), given)
    what = event.what
    if not isinstance(what, Opened) or what.find != find_id:
        raise NotHere(f'"{given[:80]}"', f"an opening of {find_id}", "instead")
    with without(ctx.book, ctx.context(), event):
        now = standing.find(ctx.book, find_id)
        past = before(ctx.book, now)
    return PutRight(event, what, now, _here(ctx, now, past))


def _here(ctx: RequestContext, now: FindNow, past: Before) -> FindAtBench | None:
    try:
        found = benching.at_bench(ctx.book, ctx.prices, now, None, past)
    except Refused:  # no currency
        return None
    return None if isinstance(found, Unvalued) else found


def as_it_was(ctx: RequestContext, anew: PutRight | None) -> AbstractContextManager[None]:
    """The ledger as it was before an opening that is put right; as it is where none is."""
    return nullcontext() if anew is None else without(ctx.book, ctx.context(), anew.event)


def opening_anew(ctx: RequestContext, anew: PutRight, typed: Typed | None = None) -> OpeningForm:
    """The form of the opening as it was recorded, or as it was typed since."""
    opening = fresh_opening(ctx, anew.now, anew.here, typed or recorded_text(ctx, anew))
    recorded = {piece.piece: _place(piece) for piece in anew.what.pieces}
    for row in opening.rows:
        _offer(row.place, recorded.get(row.row.piece, ""))
    for free in opening.free:
        _offer(free.place, recorded.get(free.name.text, ""))
    return opening


def _offer(place: ChoiceField, recorded: str) -> None:
    """The bin that a piece went into can be chosen, also one that nobody would propose."""
    if recorded and not recorded.startswith(RESIDUE) and recorded not in {value for value, _ in place.choices}:
        place.choices = [*place.choices, (recorded, f"bin {recorded.partition('@')[2]}")]


def too_many(anatomy: Anatomy, what: Opened) -> bool:
    """Whether the form has no room for an opening: one piece in two bins, or more pieces of one's own than rows."""
    known = {piece.id for piece in anatomy.pieces}
    counts = Counter(piece.piece for piece in what.pieces if piece.piece != RESIDUE)
    return max(counts.values(), default=0) > 1 or len(counts.keys() - known) > FREE_ROWS


def recorded_text(ctx: RequestContext, anew: PutRight) -> Typed:
    """What would have to be typed to record the opening again."""
    return Typed([(f"open-{name}", text) for name, text in _texts(ctx, anew)])


def _texts(ctx: RequestContext, anew: PutRight) -> Iterator[tuple[str, str]]:
    what, anatomy = anew.what, ctx.catalogue.anatomy(anew.now.kind)
    unit = ctx.settings.get("unit", "kg")
    known = {piece.id for piece in anatomy.pieces}
    pieces = [piece for piece in what.pieces if piece.piece != RESIDUE]
    yield from (("done." + run.operation, "y") for run in what.runs)
    for piece in (one for one in pieces if one.piece in known):
        yield f"mass.{piece.piece}", _mass(piece.mass_mg, unit)
        yield f"count.{piece.piece}", str(piece.count)
        yield f"into.{piece.piece}", _place(piece)
    for n, piece in enumerate((one for one in pieces if one.piece not in known), 1):
        yield f"own.{n}", piece.piece
        yield f"own-mass.{n}", _mass(piece.mass_mg, unit)
        yield f"own-count.{n}", str(piece.count)
        yield f"own-into.{n}", _place(piece)
    residue = what.residue_mg + sum(piece.mass_mg for piece in what.pieces if piece.piece == RESIDUE)
    yield "residue", _mass(residue, unit) if residue else ""
    allowed = int(loss_share(anatomy, what.runs) * what.was_mg) + scale_steps(ctx.book, 1 + len(what.pieces))
    yield "loss", _mass(what.loss_mg, unit) if what.loss_mg > allowed else ""  # within that it follows from the masses
    yield "minutes", str(what.minutes) if what.minutes else ""
    if anew.now.count > 1:
        whole = anatomy.whole.id
        done = sum(run.times for run in what.runs if run.piece == whole)
        yield "count", str(done + sum(piece.count for piece in pieces if piece.piece == whole) or "")


def _place(piece: PieceOut) -> str:
    return RESIDUE if piece.grade == RESIDUE else f"{piece.grade}@{piece.bin}"


def _mass(mg: int, unit: str) -> str:
    """A mass as it is typed: the number alone, in the unit of the workspace."""
    return mg_text(mg, unit).removesuffix(f" {unit}")
