"""What came out of a find and which bin each piece goes into."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from partway.actions.recording import reading
from partway.actions.recording.naming import key_or_slug, tell_bin, thing_named
from partway.actions.recording.parts import part_named
from partway.catalogue import hazards_in, shipped
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.kinds import Binned, PieceOut
from partway.ledger.fold.standing import BinNow
from partway.ledger.fold.things import MARK
from partway.quantities import shown
from partway.things.anatomy import Anatomy, Piece
from partway.things.traits import plain_name
from partway.valuing.finds.facts import bin_of

WRITTEN = re.compile(
    r"(?:(?P<count>\d+)\s*[x×]\s*)?(?P<piece>[^=:@]+)=(?P<mass>[^=:@]+)(?::(?P<grade>[^@]+))?(?:@(?P<bin>.+))?"
)


@dataclass(frozen=True, slots=True)
class PieceGiven:
    """Pieces of one sort weighed together; grade and bin where they were said, and the answer to the question about
    them.
    """

    piece: str
    mass: reading.Mass
    count: int = 1
    grade: str = ""
    bin: str = ""
    answer: str = ""


def piece_given(text: str) -> PieceGiven:
    """Read "transformer=3.1 kg", "2x fan-motor=0.7 kg:motors" or "cord=0.3 kg@cords". Raises Refused."""
    match = WRITTEN.fullmatch(text.strip())
    if match is None:
        expected = 'PIECE=MASS, with :GRADE or @BIN where it matters, such as "2x fan-motor=0.7 kg:motors"'
        raise Refused(shown(text), expected, "piece")
    given = {name: (value or "").strip() for name, value in match.groupdict().items()}
    return PieceGiven(given["piece"], given["mass"], int(given["count"] or 1), given["grade"], given["bin"])


def piece_named(anatomy: Anatomy, name: str) -> Piece:
    """The piece that a text is by its id or its printed name, or that alone begins so; it may be an answer. Of a kind
    that is a guess any other is a piece of its own. Raises Refused.
    """
    names = {piece.id: piece.name for piece in anatomy.pieces}
    try:
        return anatomy.piece(part_named(name, names, f"piece of {anatomy.name.lower()}", f"piece {name}"))
    except Refused:
        if anatomy.guessed and plain_name(name):
            return Piece(plain_name(name), " ".join(name.split()), anatomy.whole.mass)
        raise


@dataclass
class Placing:
    """Puts the pieces of one anatomy into bins; bins that are missing are made, named for their grade."""

    book: Book
    anatomy: Anatomy
    bins: dict[str, BinNow]
    removed: frozenset[str]  # pieces on which every required operation has been run
    made: list[Binned] = field(default_factory=list)
    unasked: list[str] = field(default_factory=list)  # pieces that went as they go while nobody looked
    exact: bool = False  # bins are named by their keys

    def place(self, given: Sequence[PieceGiven]) -> tuple[PieceOut, ...]:
        """All pieces with their bins. Raises Refused."""
        return tuple(self._one(piece) for piece in given)

    def residue(self, mg: int, piece: str = RESIDUE, count: int = 1) -> tuple[PieceOut, ...]:
        """What nobody takes, into the bin of residue; weighed together it is of no piece in particular."""
        if mg == 0:
            return ()
        return (PieceOut(piece, count, RESIDUE, self._bin(RESIDUE, "", RESIDUE), mg),)

    def _one(self, given: PieceGiven) -> PieceOut:
        named = piece_named(self.anatomy, given.piece)
        piece = named if named.answer_to is None else self.anatomy.in_hand(named.id)
        where = f"piece {piece.id}"
        mg = reading.mass_mg(self.book, given.mass, where)
        grade = self._grade(named, given, where)
        self._check_hazards(self._answered(named, grade), grade, where)
        if named is piece and self.anatomy.answers_to(piece.id) and not (given.grade or given.bin):
            self.unasked.append(piece.id)
        return PieceOut(piece.id, reading.count(given.count, where), grade, self._bin(grade, given.bin, where), mg)

    def _answered(self, named: Piece, grade: str) -> Piece:
        """What a piece turned out to be by the grade it goes as: itself where that needs no answer."""
        known = [named, *self.anatomy.answers_to(named.id)]
        return next((one for one in known if any(sale.grade == grade for sale in one.sells)), named)

    def _grade(self, piece: Piece, given: PieceGiven, where: str) -> str:
        """What was said; else what the bin holds; else the first grade of an answer; else the only grade it sells as,
        or the only one with a bin.
        """
        held = self._held(given, where)
        if given.grade:
            said = reading.grade(given.grade, where)
            if held and held != said:
                raise Refused(f"{said} into {given.bin}", f"a bin of {said}; this one holds {held}", where)
            return said
        sold = [sale.grade for sale in piece.sells]
        if sold and piece.answer_to is not None and not held:
            return bin_of(piece)
        if held or len(sold) == 1:
            return held or sold[0]
        with_bin = [grade for grade in sold if any(b.grade == grade for b in self.bins.values())]
        if len(with_bin) == 1:
            return with_bin[0]
        if not sold and (asked := self._asked(piece)):
            raise Refused("no answer", asked, where)
        choices = f"one of {', '.join(sold)}" if sold else "any grade, or residue"
        hint = Hint("grade-of-piece" if sold else "grades", piece.id)
        raise Refused("no grade", f"a grade: {choices}", where, hint=hint)

    def _asked(self, piece: Piece) -> str:
        """The question about a piece, with what each answer is called; nothing where none is asked."""
        answers = ", ".join(f"{answer.id} ({answer.answer})" for answer in self.anatomy.answers_to(piece.id))
        asked = [op.name for op in self.anatomy.operations_on(piece.id) if op.asks]
        return f"an answer to {shown(asked[0])}: {answers}" if asked else ""

    def _held(self, given: PieceGiven, where: str) -> str:
        """What the named bin holds; nothing where none is named."""
        if not given.bin:
            return ""
        known = {**self.bins}
        if given.grade and key_or_slug(given.bin.removesuffix(MARK), known, where) not in known:
            return ""  # a new bin, of the grade that was said
        return known[self._known(given.bin, where)].grade

    def _known(self, name: str, where: str) -> str:
        return thing_named(
            name, self.bins, "bin", where, lambda key: tell_bin(self.book, self.bins[key]), exact=self.exact
        )

    def _check_hazards(self, piece: Piece, grade: str, where: str) -> None:
        """What hides a hazard, or comes before a required removal, goes into no bin."""
        catalogue = shipped()
        if piece not in self.anatomy.pieces:
            self._check_free(piece, grade, where)
            return
        required = [op.id for op in self.anatomy.operations_on(piece.id) if op.required]
        before = any(sale.grade == grade and sale.before_required for sale in piece.sells)
        if required and piece.id not in self.removed and not before:
            raise Refused(f"{piece.name} into {grade}", f"{', '.join(required)} before it goes into a bin", where)
        carried = hazards_in(self.anatomy, catalogue.grades, catalogue.cautions)[piece.id]
        hidden = carried - set(catalogue.grades[grade].hazards)
        if hidden and not before and not any(sale.grade == grade for sale in piece.sells):
            names = ", ".join(sorted(hidden))
            raise Refused(f"{piece.name} into {grade}", f"a grade that names what can hurt about it: {names}", where)

    def _check_free(self, piece: Piece, grade: str, where: str) -> None:
        """A piece of its own comes out of nothing that stays shut, and of what may hold a battery after that."""
        whole = self.anatomy.whole
        if whole.stop:
            raise Refused(f"{piece.name} out of {self.anatomy.name.lower()}", "a find that may be opened", where)
        required = [op.id for op in self.anatomy.operations_on(whole.id) if op.required]
        if required and whole.id not in self.removed and not shipped().grades[grade].hazards:
            raise Refused(f"{piece.name} into {grade}", f"{', '.join(required)} before it goes into a bin", where)

    def _bin(self, grade: str, name: str, where: str) -> str:
        if name:
            plain = key_or_slug(name.removesuffix(MARK), self.bins, where)
            return self._known(name, where) if plain in self.bins else self._named(grade, name, plain, where)
        holding = [b.id for b in self.bins.values() if b.grade == grade]
        alike = [bin_id for bin_id in holding if bin_id.partition(MARK)[0] == grade]
        if len(holding) > 1 and (grade not in holding or len(alike) > 1):
            raise Refused(f"{grade} without a bin", f"one of {', '.join(holding)}", where, hint=Hint("name-bin"))
        if holding:
            return grade if grade in holding else holding[0]
        if grade in self.bins:
            given = f"{grade} into {grade}, which holds {self.bins[grade].grade}"
            raise Refused(given, "a bin of another name", where, hint=Hint("name-bin"))
        return self._make(grade, grade)

    def _named(self, grade: str, name: str, plain: str, where: str) -> str:
        starts = [bin_id for bin_id in self.bins if bin_id.startswith(plain)]
        if len(starts) == 1 and self.bins[starts[0]].grade == grade:
            return starts[0]
        if starts:
            return reading.one_of(name, self.bins, "bin", where)
        return self._make(plain, grade)

    def _make(self, bin_id: str, grade: str) -> str:
        self.bins[bin_id] = BinNow(bin_id, grade, 0)
        self.made.append(Binned(bin_id, grade))
        return bin_id
