"""A find is opened: operations, minutes, pieces weighed into bins, and a mass balance that closes or is asked about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from partway.actions.ledger import reading
from partway.actions.ledger.asked import Asked
from partway.actions.ledger.context import Context, Recorded, record
from partway.actions.ledger.finds import open_find
from partway.actions.ledger.pieces import PieceGiven, Placing
from partway.actions.ledger.runs import Before, before, loss_share, removed, runs_of, yields
from partway.actions.ledger.told import OpenTold
from partway.actions.ledger.words import mass
from partway.catalogue import shipped
from partway.catalogue.named import hazards_of, hazards_of_opening
from partway.errors import Refused
from partway.ledger import standing
from partway.ledger.book import Book
from partway.ledger.payloads import Opened, Payload, PieceOut, Run, Weighed
from partway.ledger.standing import FindNow
from partway.quantities import to_mg
from partway.reports.cards import cards
from partway.things.anatomy import Anatomy

GAPS = {
    "loss": "gone: dust, drips, what fell through the grate",
    "residue": "what nobody takes, not weighed",
    "left": "still in the find, which stays open",
    "scale": "the pieces are right and the find was weighed wrong",
}


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
    count: int | None = None,
) -> Recorded[OpenTold]:
    """Open a find, or `count` of several alike: the others are left.

    `gap` says what the difference is between what was in a weighed find and what came out of it: loss, residue, left
    or scale. Within what the operations and the scale allow it counts as loss; beyond, Asked is raised with
    the balance.
    """
    now = open_find(book, context, find)
    anatomy = shipped().anatomy(now.kind)
    past = before(book, now)
    times = _times(past, count or (None if operations else _put_away_whole(anatomy, pieces)))
    runs = runs_of(anatomy, operations, times, past.runs)
    if times < past.whole and gap is None:
        gap = "left"
    placing = Placing(book, anatomy, standing.bins(book), removed(anatomy, [*past.runs, *runs]), exact=context.exact)
    placed = placing.place(pieces)
    _check_counts(anatomy, placed, [*past.runs, *runs], now)
    waste = placing.residue_mg + (0 if residue is None else reading.mass_mg(book, residue, "residue"))
    lost = 0 if loss is None else reading.mass_mg(book, loss, "loss")
    if not placed and not waste and not lost and not runs:
        raise Refused("nothing that came out", "at least one piece with its mass, or an operation", "open")
    opened = Opened(now.id, placed, now.mg, runs, reading.minutes(minutes, "minutes"), waste, lost)
    weighings = 1 + len(pieces) + (residue is not None)
    allowed = int(loss_share(anatomy, runs) * now.mg) + scale_steps(book, weighings)
    closed = _Balance(book, opened, gap, allowed).closed()
    told = _tell(anatomy, closed, tuple(b.bin for b in placing.made))
    return record(book, context, [*placing.made, *closed.first, closed.opened], told)


def _put_away_whole(anatomy: Anatomy, pieces: Sequence[PieceGiven]) -> int | None:
    """How many go into a bin as they are; None for none."""
    whole = anatomy.whole.id
    return sum(given.count for given in pieces if given.piece.strip().lower() == whole) or None


def _times(past: Before, count: int | None) -> int:
    """How many are opened: all that are whole, or as many as were said; one where none is whole any more."""
    if count is not None and not 1 <= count <= max(1, past.whole):
        raise Refused(str(count), f"from 1 to {max(1, past.whole)}, as many as are whole", "count")
    return count or max(1, past.whole)


def _check_counts(anatomy: Anatomy, placed: Sequence[PieceOut], runs: Sequence[Run], now: FindNow) -> None:
    """Where operations were named, no more of a piece than they give."""
    if not runs:
        return
    given = {anatomy.whole.id: now.count, **yields(anatomy, runs)}
    for piece in placed:
        if piece.count > given.get(piece.piece, 0):
            expected = f"at most {given.get(piece.piece, 0)} from the operations named, on {now.count} of them"
            raise Refused(f"{piece.count} × {piece.piece}", expected, f"piece {piece.piece}")


def scale_steps(book: Book, weighings: int) -> int:
    """What the scale's division explains: half of it a weighing."""
    division = standing.settings(book).get("division")
    return weighings * to_mg(division, "division") // 2 if division else 0


@dataclass(frozen=True)
class _Closed:
    first: tuple[Payload, ...]
    opened: Opened
    left_mg: int


@dataclass(frozen=True)
class _Balance:
    """Mass in against mass out of one opening."""

    book: Book
    opened: Opened
    gap: str | None
    allowed: int

    def closed(self) -> _Closed:
        """The opening with its gap accounted for. Raises Asked where nobody has said what it is."""
        opened, out = self.opened, self._out
        if self.gap is not None and self.gap not in GAPS:
            raise Refused(f'"{self.gap}"', f"one of {', '.join(GAPS)}", "gap")
        gap = opened.was_mg - out
        if opened.was_mg == 0 or gap == 0:
            return _Closed((), replace(opened, closes=self.gap != "left" or opened.was_mg > 0), 0)
        if self.gap is None and 0 < gap <= self.allowed:
            return _Closed((), replace(opened, loss_mg=opened.loss_mg + gap), 0)
        if self.gap is None or (gap < 0 and self.gap != "scale"):
            raise self._question(gap)
        return self._as_told(gap, out)

    @property
    def _out(self) -> int:
        return sum(p.mass_mg for p in self.opened.pieces) + self.opened.residue_mg + self.opened.loss_mg

    def _as_told(self, gap: int, out: int) -> _Closed:
        opened = self.opened
        if self.gap == "loss":
            return _Closed((), replace(opened, loss_mg=opened.loss_mg + gap), 0)
        if self.gap == "residue":
            return _Closed((), replace(opened, residue_mg=opened.residue_mg + gap), 0)
        if self.gap == "left":
            return _Closed((), replace(opened, closes=False), gap)
        return _Closed((Weighed(opened.find, out, opened.was_mg),), replace(opened, was_mg=out), 0)

    def _question(self, gap: int) -> Asked:
        opened, book = self.opened, self.book
        names = ", ".join(f"{p.piece} {mass(book, p.mass_mg)}" for p in opened.pieces)
        rest = [f"{n} {mass(book, mg)}" for n, mg in (("residue", opened.residue_mg), ("loss", opened.loss_mg)) if mg]
        out = f"{mass(book, self._out)} out ({', '.join([n for n in (names, *rest) if n])})"
        given = f"{mass(book, opened.was_mg)} in, {out}, {mass(book, abs(gap))} {'missing' if gap > 0 else 'too much'}"
        ways = GAPS if gap > 0 else {"scale": GAPS["scale"]}
        told = " | ".join(ways)
        allowed = f"a gap of at most {mass(book, self.allowed)}, or --gap {told}"
        expected = allowed if gap > 0 else f"no more than was in it, or --gap {told}"
        return Asked(given, expected, f"open {opened.find}", "gap", tuple(ways.items()))


def _tell(anatomy: Anatomy, closed: _Closed, new_bins: tuple[str, ...]) -> OpenTold:
    opened = closed.opened
    used = {run.operation for run in opened.runs}
    bins = {piece.grade for piece in opened.pieces}
    hazards = (
        hazards_of_opening(anatomy, used, bins, shipped().grades) if used else hazards_of(anatomy, shipped().grades)
    )
    return OpenTold(
        find=opened.find,
        was_mg=opened.was_mg,
        pieces=tuple((p.piece, p.count, p.bin, p.mass_mg) for p in opened.pieces),
        residue_mg=opened.residue_mg,
        loss_mg=opened.loss_mg,
        left_mg=closed.left_mg,
        minutes=opened.minutes,
        closed=opened.closes,
        reweighed=bool(closed.first),
        new_bins=new_bins,
        cautions=cards(hazards),
    )
