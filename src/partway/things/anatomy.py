"""How a kind comes apart: an AND/OR graph of pieces and operations (docs/model.md)."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from partway.things.estimate import Estimate
from partway.things.learned import Figure, Learned

Known = Literal["yes", "no"]  # whether a find works, where that is known
LOSS = 0.02  # share of the piece opened that may go missing in an operation, where nobody said
AFTER = ".after-"  # before the steps that were done, in the id of what they leave and of a step that is done to it


def step_of(operation: str) -> str:
    """The step that an operation is, whatever steps were done before it: the same work, done to what those left."""
    return operation.partition(AFTER)[0]


@dataclass(frozen=True, slots=True)
class SaleAs:
    """A grade a piece may be sold as; `share` of its mass reaches the grade, the rest is residue.

    `before_required` marks the few sales that may go ahead of a required removal, such as an
    appliance handed over untouched for licensed recovery. `spread` is the range of a share that is a guess: `share` is
    its PERT mean then, what is counted on.
    """

    grade: str
    share: float = 1.0
    before_required: bool = False
    spread: Estimate | None = None

    @classmethod
    def of(cls, grade: str, share: Estimate, before_required: bool = False) -> SaleAs:
        """With a share as it is said: one number, or a range where it is a guess."""
        if share.is_exact:
            return cls(grade, share.likely, before_required)
        return cls(grade, min(1.0, share.mean), before_required, share)


@dataclass(frozen=True, slots=True)
class Part:
    """A piece sold by the unit.

    Brings chance * (price * (1 - fee) - postage) a unit. `minutes` (to list and pack) is bench time.
    `most` is the largest number of units one plan may count on, whatever the number of finds.
    `in_copper`: price and postage are kilograms of No. 2 copper at the scenario's best quote, the
    form the shipped catalogue uses because it ships no prices.
    """

    price: Estimate
    chance: float
    minutes: Estimate
    name: str = ""
    days: float = 30.0
    fee: float = 0.0
    postage: float = 0.0
    needs: Literal["works"] | None = None
    most: int | None = None
    in_copper: bool = False

    @property
    def brings(self) -> float:
        """What one unit brings on average, in the unit of its price."""
        return self.chance * self.if_sold

    @property
    def if_sold(self) -> float:
        """What one unit that sells brings, in the unit of its price."""
        return self.price.mean * (1.0 - self.fee) - self.postage


@dataclass(frozen=True, slots=True)
class Piece:
    """A node of the anatomy. `mass` is in kg; `stop` names the caution that says why it stays shut.

    `note` says what decides, to whoever has the piece in hand. A piece with `answer_to` is what another one is if the
    question about it is answered so (`Operation.asks`), and `answer` says so in words; `share` is how many of many
    finds have the piece: 1, but for answers and what comes out of them. One behind a test of the find is `like` a piece
    of its kind, of a find that `works` or does not.
    """

    id: str
    name: str
    mass: Estimate
    sells: tuple[SaleAs, ...] = ()
    parts: tuple[Part, ...] = ()
    stop: str | None = None
    note: str = ""
    answer_to: str | None = None
    share: float = 1.0
    answer: str = ""
    like: str = ""
    works: Known | None = None

    @property
    def of_kind(self) -> str:
        """The id that the kind itself has for it."""
        return self.like or self.id


@dataclass(frozen=True, slots=True)
class Gives:
    """`count` of a piece that one run of an operation yields."""

    piece: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class Operation:
    """One way to open a piece into all that it gives.

    `loss` is the largest share of the opened mass that may go missing (dust, drips). A `required`
    operation comes before any sale of its piece by grade and before its other operations.

    One that `asks` takes nothing apart: its name is a question that is answered by looking ("scratch the winding"). It
    gives every answer, of which the piece in hand is one, whole; of many finds each answer is its share. The question
    that `tests` is whether the find works.
    """

    id: str
    name: str
    on: str
    minutes: Estimate
    gives: tuple[Gives, ...]
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    cost: float = 0.0
    loss: float = LOSS
    required: bool = False
    note: str = ""
    asks: bool = False
    tests: bool = False


@dataclass(frozen=True, slots=True)
class PublishedMass:
    """A mean mass (kg) somebody published for this kind, and why ours differs where it does."""

    source: str
    mean_kg: float
    of: str = ""
    why: str = ""


@dataclass(frozen=True)
class Anatomy:
    """One kind. `pieces[0]` is the whole find; operations join the pieces into an AND/OR graph.

    `names` are what people call it besides its name; one with a question mark behind it may as well mean another thing.
    A kind that was split says which kinds it `became`: finds of it stay what they are, no new one is of it.
    One that is `guessed` was never opened: it follows from what somebody said of a thing that no catalogue has.
    `learned` names the figures that the ledger has put in place of estimates.
    """

    kind: str
    name: str
    pieces: tuple[Piece, ...]
    operations: tuple[Operation, ...] = ()
    family: str = ""
    cautions: tuple[str, ...] = ()
    works: float | None = None
    test_minutes: Estimate | None = None
    published: tuple[PublishedMass, ...] = ()
    source: str = "memory"
    on: dt.date | None = None
    note: str = ""
    names: tuple[str, ...] = ()
    became: tuple[str, ...] = ()
    guessed: bool = False
    learned: tuple[Learned, ...] = field(default=(), compare=False)

    @property
    def whole(self) -> Piece:
        """The find as it was picked up."""
        return self.pieces[0]

    def piece(self, piece_id: str) -> Piece:
        """The piece of that id; KeyError if there is none."""
        return self._by_id[piece_id]

    @cached_property
    def _by_id(self) -> Mapping[str, Piece]:
        return {piece.id: piece for piece in reversed(self.pieces)}  # the first of an id that comes twice

    def learned_of(self, what: Figure, of: str = "") -> Learned | None:
        """What was learned about one figure of a piece, an operation or the kind; None where nothing was."""
        return next((one for one in self.learned if (one.what, one.of) == (what, of)), None)

    def operations_on(self, piece_id: str) -> tuple[Operation, ...]:
        """The alternative ways to open a piece, in the order they were written."""
        return self._by_piece.get(piece_id, ())

    @cached_property
    def _by_piece(self) -> Mapping[str, tuple[Operation, ...]]:
        found: dict[str, list[Operation]] = defaultdict(list)
        for op in self.operations:
            found[op.on].append(op)
        return {piece: tuple(operations) for piece, operations in found.items()}

    @cached_property
    def most_of_one(self) -> Mapping[str, int]:
        """The most of each piece that one find can yield, whichever way it is opened; without those it never yields."""
        return self._yields(self.whole.id, {})

    def _yields(self, piece: str, known: dict[str, Mapping[str, int]]) -> Mapping[str, int]:
        if piece not in known:
            most: Counter[str] = Counter({piece: 1})
            for op in self.operations_on(piece):
                here: Counter[str] = Counter()
                for give in op.gives:
                    for child, n in self._yields(give.piece, known).items():
                        here[child] += n * give.count
                most |= here
            known[piece] = most
        return known[piece]

    def inside(self, piece_id: str) -> frozenset[str]:
        """Ids of all that may come out of a piece, whichever way it is opened; of a cycle, the piece itself too."""
        if piece_id not in self._inside:
            found: set[str] = set()
            waiting = [piece_id]
            while waiting:
                for op in self.operations_on(waiting.pop()):
                    new = {give.piece for give in op.gives} - found
                    found |= new
                    waiting.extend(new)
            self._inside[piece_id] = frozenset(found)
        return self._inside[piece_id]

    @cached_property
    def _inside(self) -> dict[str, frozenset[str]]:
        return {}

    @cached_property
    def tested_at(self) -> dict[float, Anatomy]:
        """The same with the test of its whole, by the chance that one works: kept here by whoever makes it."""
        return {}

    def answers_to(self, piece_id: str) -> tuple[Piece, ...]:
        """What a piece may turn out to be when its question is answered; nothing where none is asked."""
        return tuple(piece for piece in self.pieces if piece.answer_to == piece_id)

    def in_hand(self, piece_id: str) -> Piece:
        """The piece that lies in the hand: of an answer, the one that was asked about. KeyError if there is none."""
        piece = self.piece(piece_id)
        return piece if piece.answer_to is None else self.in_hand(piece.answer_to)

    def answer_of(self, piece_id: str) -> Piece | None:
        """The answer that a piece is, or comes out of; None where every find has the piece."""
        piece = self.piece(piece_id)
        if piece.answer_to is not None or piece.share == 1.0:
            return piece if piece.answer_to is not None else None
        maker = next(op.on for op in self.operations for give in op.gives if give.piece == piece_id)
        return self.answer_of(maker)
