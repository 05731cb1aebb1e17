"""A find is opened: operations, minutes, pieces weighed into bins, and a mass balance that closes or is asked about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from partway.actions.bench.answering import AnswerGiven, answers_seen
from partway.actions.bench.counts import counted
from partway.actions.bench.finds import open_find
from partway.actions.bench.how_many import Out, how_many
from partway.actions.bench.pieces import PieceGiven, Placing, piece_named
from partway.actions.bench.results import OpenResult, Unasked
from partway.actions.bench.runs import loss_share, removed, runs_of, yields
from partway.actions.bench.slips import OnScale, check_slips
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.questions import Asked
from partway.actions.recording.words import mass
from partway.catalogue import shipped
from partway.catalogue.cards import shipped_cards
from partway.catalogue.named import hazards_of, hazards_of_opening
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.kinds import Opened, Payload, PieceOut, Run, Weighed
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.quantities import to_mg
from partway.things.anatomy import Anatomy
from partway.valuing.finds.seen import is_new_kind
from partway.valuing.known import anatomy_of_find, catalogue_of, estimates_of
from partway.valuing.left import Before, before

GAPS = {
    "loss": "gone: dust, drips, what fell through the grate",
    "residue": "what nobody takes, not weighed",
    "left": "still in the find, which stays open",
    "scale": "the pieces are right and the find was weighed wrong",
}
ALL_OF_IT = ("loss", "residue", "scale")  # said of all that was in a find


@decides(shipped)
def open_up(
    book: Book,
    context: Context,
    find: str,
    pieces: Sequence[PieceGiven] = (),
    operations: Sequence[str] = (),
    minutes: str | int = 0,
    residue: reading.Mass | None = None,
    loss: reading.Mass | None = None,
    gap: str | None = None,
    count: int | str | None = None,
    sure: bool | str | None = None,
    answers: Sequence[AnswerGiven] = (),
) -> Recorded[OpenResult]:
    """Open a find, or `count` of several alike: the others are left. Without a count, as many as the masses fit.

    `gap` says what the difference is between what was in a weighed find and what came out of it: loss, residue, left
    or scale. Within what the operations and the scale allow it counts as loss; beyond, Asked is raised with
    the balance. A piece far from what others weighed is asked about too, unless somebody is `sure`. `answers` say what
    pieces turned out to be that are asked about.
    """
    now = open_find(book, context, find)
    anatomy = anatomy_of_find(book, now)
    past = before(book, now)
    times = _times(past, _count(count) or _count_told(book, now, pieces, operations, residue, loss, gap))
    runs = runs_of(anatomy, operations, times, past.runs)
    if times < past.whole and gap is None:
        gap = "left"
    placing = Placing(book, anatomy, standing.bins(book), removed(anatomy, [*past.runs, *runs]), exact=context.exact)
    placed = placing.place(pieces)
    _check_counts(anatomy, placed, [*past.runs, *runs], now)
    each = now.mg / 1e6 / past.whole if now.mg and past.whole and not past.runs else None
    on_scale = [OnScale(one.piece, one.mass_mg, one.count, each) for one in placed]
    check_slips(book, estimates_of(book), now.kind, on_scale, sure)
    waste = 0 if residue is None else reading.mass_mg(book, residue, "residue")
    lost = 0 if loss is None else reading.mass_mg(book, loss, "loss")
    if not placed and not waste and not lost and not runs:
        raise Refused("nothing that came out", "at least one piece with its mass, or an operation", "open")
    seen = answers_seen(anatomy, answers, pieces, runs, past.answers, now.count)
    opened = Opened(now.id, placed, now.mg, runs, reading.minutes(minutes, "minutes"), waste, lost, answers=seen)
    weighings = 1 + len(pieces) + (residue is not None)
    allowed = int(loss_share(anatomy, runs) * now.mg) + scale_steps(book, weighings)
    closed = Balance(book, opened, gap, allowed).closed()
    told_of = replace(closed, opened=into_bins(closed.opened, placing))
    result = _tell(anatomy, told_of, tuple(b.bin for b in placing.made), placing.unasked)
    done = record(book, context, [*placing.made, *told_of.first, told_of.opened], result)
    return replace(done, result=replace(result, new_kind=is_new_kind(book, standing.find(book, now.id))))


def into_bins(opened: Opened, placing: Placing) -> Opened:
    """An opening whose residue goes into the bin of residue, from where a tip takes it. Older openings keep theirs in
    a place of its own.
    """
    return replace(opened, pieces=(*opened.pieces, *placing.residue(opened.residue_mg)), residue_mg=0)


def _count(count: int | str | None) -> int | None:
    """A count as it is said, or as a question was answered."""
    return counted(count, "count") if isinstance(count, str) else count


def _count_told(book: Book, now: FindNow, pieces: Sequence[PieceGiven], operations: Sequence[str], *rest: Any) -> int:
    """As many as were put away whole, else as the masses tell."""
    whole = None if operations else _put_away_whole(estimates_of(book).anatomy(now.kind), pieces)
    return whole or counted_by_mass(book, now, pieces, operations, *rest)


def counted_by_mass(
    book: Book,
    now: FindNow,
    pieces: Sequence[PieceGiven],
    operations: Sequence[str] = (),
    residue: reading.Mass | None = None,
    loss: reading.Mass | None = None,
    gap: str | None = None,
) -> int:
    """How many of several alike were opened where nobody said. Raises Asked where the masses do not tell."""
    past = before(book, now)
    if past.whole <= 1 or gap in ALL_OF_IT or (gap == "left" and not operations):
        return max(1, past.whole)
    anatomy = catalogue_of(book).anatomy(now.kind)  # as learned: masses decide
    read = tuple((given.piece, reading.mass_mg(book, given.mass, given.piece)) for given in pieces)
    rest = [(given, name) for given, name in ((residue, "residue"), (loss, "loss")) if given is not None]
    weighed = sum(mg for _, mg in read) + sum(reading.mass_mg(book, given, name) for given, name in rest)
    named = runs_of(anatomy, operations, past.whole, past.runs)
    allowed = int(loss_share(anatomy, named) * now.mg) + scale_steps(book, 1 + len(pieces) + (residue is not None))
    out = Out(_by_id(anatomy, read), weighed, tuple(run.operation for run in named), allowed)
    return how_many(book, now, past, anatomy, out)


def _by_id(anatomy: Anatomy, read: Sequence[tuple[str, int]]) -> tuple[tuple[str, int], ...]:
    return tuple((anatomy.in_hand(piece_named(anatomy, name).id).id, mg) for name, mg in read)


def _put_away_whole(anatomy: Anatomy, pieces: Sequence[PieceGiven]) -> int | None:
    """Number of finds binned unopened, or None."""
    whole = anatomy.whole.id
    return sum(given.count for given in pieces if given.piece.strip().lower() == whole) or None


def _times(past: Before, count: int) -> int:
    """How many are opened, at most as many as are whole; one where none is whole any more."""
    if not 1 <= count <= max(1, past.whole):
        raise Refused(str(count), f"from 1 to {max(1, past.whole)}, as many as are whole", "count")
    return count


def _all_answers(anatomy: Anatomy, placed: Sequence[PieceOut]) -> Iterator[PieceOut]:
    """Pieces that are asked about, whatever each turned out to be, as one."""
    for asked in dict.fromkeys(piece.piece for piece in placed if piece.grade != RESIDUE):
        alike = [piece for piece in placed if piece.piece == asked and piece.grade != RESIDUE]
        if asked in {op.on for op in anatomy.operations if op.asks}:
            yield replace(alike[0], count=sum(piece.count for piece in alike))


def _check_counts(anatomy: Anatomy, placed: Sequence[PieceOut], runs: Sequence[Run], now: FindNow) -> None:
    """Where operations were named, no more of a piece than they give, its answers together."""
    if not runs:
        return
    given = {anatomy.whole.id: now.count, **yields(anatomy, runs)}
    known = {piece.id for piece in anatomy.pieces}  # a piece of its own is counted by nobody
    placed = [*placed, *_all_answers(anatomy, placed)]
    for piece in placed:
        if piece.piece in known and piece.grade != RESIDUE and piece.count > given.get(piece.piece, 0):
            expected = f"at most {given.get(piece.piece, 0)} from the operations named, on {now.count} of them"
            raise Refused(f"{piece.count} × {piece.piece}", expected, f"piece {piece.piece}")


def scale_steps(book: Book, weighings: int) -> int:
    """What the scale's division explains: half of it a weighing."""
    division = standing.settings(book).get("division")
    return weighings * to_mg(division, "division") // 2 if division else 0


@dataclass(frozen=True)
class Closed:
    """An opening accounted for, and what is to be recorded before it."""

    first: tuple[Payload, ...]
    opened: Opened
    left_mg: int


@dataclass(frozen=True)
class Balance:
    """Mass in against mass out of one opening."""

    book: Book
    opened: Opened
    gap: str | None
    allowed: int

    def closed(self) -> Closed:
        """The opening with its gap accounted for. Raises Asked where nobody has said what it is."""
        opened, out = self.opened, self._out
        if self.gap is not None and self.gap not in GAPS:
            raise Refused(f'"{self.gap}"', f"one of {', '.join(GAPS)}", "gap")
        gap = opened.was_mg - out
        if opened.was_mg == 0 or gap == 0:
            return Closed((), replace(opened, closes=self.gap != "left" or opened.was_mg > 0), 0)
        if self.gap is None and 0 < gap <= self.allowed:
            return Closed((), replace(opened, loss_mg=opened.loss_mg + gap), 0)
        if self.gap is None or (gap < 0 and self.gap != "scale"):
            raise self._question(gap)
        return self._as_told(gap, out)

    @property
    def _out(self) -> int:
        return sum(p.mass_mg for p in self.opened.pieces) + self.opened.residue_mg + self.opened.loss_mg

    def _as_told(self, gap: int, out: int) -> Closed:
        opened = self.opened
        if self.gap == "loss":
            return Closed((), replace(opened, loss_mg=opened.loss_mg + gap), 0)
        if self.gap == "residue":
            return Closed((), replace(opened, residue_mg=opened.residue_mg + gap), 0)
        if self.gap == "left":
            return Closed((), replace(opened, closes=False), gap)
        return Closed((Weighed(opened.find, out, opened.was_mg),), replace(opened, was_mg=out), 0)

    def _question(self, gap: int) -> Asked:
        opened, book = self.opened, self.book
        names = ", ".join(f"{p.piece} {mass(book, p.mass_mg)}" for p in opened.pieces)
        rest = [f"{n} {mass(book, mg)}" for n, mg in (("residue", opened.residue_mg), ("loss", opened.loss_mg)) if mg]
        out = f"{mass(book, self._out)} out ({', '.join([n for n in (names, *rest) if n])})"
        given = f"{mass(book, opened.was_mg)} in, {out}, {mass(book, abs(gap))} {'missing' if gap > 0 else 'too much'}"
        ways = GAPS if gap > 0 else {"scale": GAPS["scale"]}
        allowed = f"a gap of at most {mass(book, self.allowed)}"
        expected = allowed if gap > 0 else "no more than was in it"
        likely = "left" if gap > 0 else ""  # of all that it may be, the one that writes nothing off
        return Asked(given, expected, f"open {opened.find}", "gap", tuple(ways.items()), likely)


def _tell(anatomy: Anatomy, closed: Closed, new_bins: tuple[str, ...], unasked: Sequence[str]) -> OpenResult:
    opened = closed.opened
    used = {run.operation for run in opened.runs}
    bins = {piece.grade for piece in opened.pieces}
    hazards = (
        hazards_of_opening(anatomy, used, bins, shipped().grades) if used else hazards_of(anatomy, shipped().grades)
    )
    return OpenResult(
        find=opened.find,
        was_mg=opened.was_mg,
        pieces=tuple((p.piece, p.count, p.bin, p.mass_mg) for p in opened.pieces if p.grade != RESIDUE),
        residue_mg=opened.residue_mg + sum(p.mass_mg for p in opened.pieces if p.grade == RESIDUE),
        loss_mg=opened.loss_mg,
        left_mg=closed.left_mg,
        minutes=opened.minutes,
        closed=opened.closes,
        reweighed=bool(closed.first),
        new_bins=new_bins,
        cautions=shipped_cards(hazards),
        answers=tuple((one.piece, one.answer, one.count) for one in opened.answers),
        unasked=tuple(_unasked(anatomy, piece) for piece in unasked),
    )


def _unasked(anatomy: Anatomy, piece: str) -> Unasked:
    ask = next(op.name for op in anatomy.operations_on(piece) if op.asks)
    return Unasked(piece, ask, tuple((answer.id, answer.answer) for answer in anatomy.answers_to(piece)))
