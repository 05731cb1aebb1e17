"""What is told of work at the bench: a find, an opening, a sale."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from partway.actions.recording.describe import Say, careful, counted, the
from partway.catalogue.cards import CautionCard
from partway.display import length_of_time
from partway.reports.books.ledger import WORKS
from partway.reports.called import Called, running


@dataclass(frozen=True, slots=True)
class FindResult:
    """A find after something was said of it; `mass_mg` is 0 where nobody weighed it. `note` says that it is a guess.

    `round` is the collecting round that it was found on.
    """

    what: str
    find: str
    kind: str
    name: str
    count: int
    works: str
    mass_mg: int
    cautions: tuple[CautionCard, ...] = ()
    note: str = ""
    round: str = ""

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        if self.note:
            yield self.note
        count = f"{self.count} × " if self.count > 1 else ""
        mass = f", {say.mass(self.mass_mg)}" if self.mass_mg else ", not weighed"
        on = f", on {self.round}" if self.round else ""
        yield f"{self.find} {self.what}: {count}{self.name.lower()}{mass}, {WORKS[self.works]}{on}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Found: microwave, 30.2 lb, works"."""
        name = running(self.name) if self.what == "found" else called.just(self.find)
        what = f"{self.count} × {name}" if self.count > 1 else name
        mass = f", {say.mass(self.mass_mg)}" if self.mass_mg else ""
        done = {"found": "Found", "weighed": "Weighed", "tested": "Tested", "discarded": "Given up"}
        works = "" if self.what in ("weighed", "discarded") else f", {WORKS[self.works]}"
        on = f", on {called.round(self.round)}" if self.round else ""
        return f"{done.get(self.what, 'Kept')}: {what}{mass}{works}{on}"


@dataclass(frozen=True, slots=True)
class Unasked:
    """A piece that went as it goes while nobody looked: the question, and each answer by id and in words."""

    piece: str
    ask: str
    answers: tuple[tuple[str, str], ...]

    def words(self) -> str:
        """The question with the names by which its answers are given."""
        answers = ", ".join(f"{answer} ({said})" for answer, said in self.answers)
        return f"{self.piece} went as one nobody looked at; {self.ask} Then it is one of {answers}"


@dataclass(frozen=True, slots=True)
class OpenResult:
    """The mass balance of an opening: was = pieces + residue + loss + left; `answers` is what pieces turned out to be
    that are asked about, `unasked` are questions left open.

    `new_kind`: no catalogue knew what it is, and what came out can be made a kind of one's own. `put_right`: it
    stands in the place of an opening that no longer counts.
    """

    find: str
    was_mg: int
    pieces: tuple[tuple[str, int, str, int], ...]  # piece, count, bin, mg
    residue_mg: int
    loss_mg: int
    left_mg: int
    minutes: int
    closed: bool
    reweighed: bool
    new_bins: tuple[str, ...]
    cautions: tuple[CautionCard, ...]
    unasked: tuple[Unasked, ...] = ()
    new_kind: bool = False
    answers: tuple[tuple[str, str, int], ...] = ()  # piece, answer, count
    put_right: bool = False

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        parts = [f"{f'{n} × ' if n > 1 else ''}{piece} {say.mass(mg)} into {b}" for piece, n, b, mg in self.pieces]
        minutes = f" in {length_of_time(self.minutes)}" if self.minutes else ""
        minutes += ", put right" if self.put_right else ""
        yield f"{self.find} opened{minutes}: {', '.join(parts) or 'nothing weighed'}"
        out = sum(mg for *_, mg in self.pieces)
        rest = [(self.residue_mg, "residue"), (self.loss_mg, "loss"), (self.left_mg, "left in it")]
        sums = " + ".join([f"{say.mass(out)} in bins", *(f"{say.mass(mg)} {name}" for mg, name in rest if mg)])
        was = self.was_mg or out + self.residue_mg + self.loss_mg
        how = " (weighed wrong before)" if self.reweighed else "" if self.was_mg else " (not weighed before)"
        yield f"  mass balance: {say.mass(was)}{how} = {sums}; {'closed' if self.closed else 'still open'}"
        if self.new_bins:
            yield f"  new bins: {', '.join(self.new_bins)}"
        if self.answers:
            seen = (f"{f'{n} × ' if n > 1 else ''}{piece} {answer}" for piece, answer, n in self.answers)
            yield f"  seen: {', '.join(seen)}"
        yield from (f"  {one.words()}" for one in self.unasked)
        if self.new_kind:
            yield "  what is in one is known now: it can be made a kind of your own"

    def named(self, called: Called) -> OpenResult:
        """With what people call things in place of their ids."""
        whole = called.just(self.find)
        pieces = tuple((called.part(self.find, p) or whole, n, called.bin(b), mg) for p, n, b, mg in self.pieces)
        new_bins = tuple(map(called.bin, self.new_bins))
        return replace(self, find=whole, pieces=pieces, new_bins=new_bins)

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Opened the microwave: 8 pieces, 27.9 lb, 15 min"."""
        count = sum(n for _, n, _, _ in self.pieces)
        out = sum(mg for *_, mg in self.pieces)
        told = [counted(count, "piece"), say.mass(out)] if count else ["nothing weighed"]
        told += [f"{length_of_time(self.minutes)}"] if self.minutes else []
        told += [] if self.closed else ["not yet all"]
        if self.pieces and not any(called.part(self.find, piece) for piece, *_ in self.pieces):
            into = " and ".join(dict.fromkeys(called.bin(bin_) for _, _, bin_, _ in self.pieces))
            whole = f"into the bin {into}: {count} × {called.just(self.find)}, {say.mass(out)}"
            return f"Put right, {whole}" if self.put_right else f"Put whole {whole}"
        find = the(called.just(self.find))
        return f"{f'Put right, {find}' if self.put_right else f'Opened {find}'}: {', '.join(told)}"


@dataclass(frozen=True, slots=True)
class SoldResult:
    """A part or a whole find sold; `net` is price times count less fee and postage."""

    find: str
    what: str
    count: int
    net: Decimal
    left_mg: int
    closed: bool
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        left = (
            "" if self.closed else f"; {say.mass(self.left_mg)} left" if self.left_mg else "; the rest is still there"
        )
        count = f"{self.count} × " if self.count > 1 else ""
        yield f"{self.find}: {count}{self.what} sold, {say.money(self.net)} after fee and postage{left}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Sold 2 × motor of the microwave: $12.00 after fee and postage"."""
        what = called.piece(self.find, self.what)
        what = what if self.count == 1 else f"{self.count} × {what}"
        return f"Sold {what}: {say.money(self.net)} after fee and postage"
