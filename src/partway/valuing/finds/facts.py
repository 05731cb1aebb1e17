"""What is said of a find in figures, apart from how it is worked out: so that whoever names it needs no arrays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from partway.planning.depth.breakeven import PriceFlip
    from partway.things.anatomy import Anatomy, Piece

CENT = 0.005  # less than that is nothing


@dataclass(frozen=True, slots=True)
class Use:
    """What is done with a piece. `way`: keep, grade (sold as `grade`), part (`name`), open (by operation `name`).

    `asks` where that operation is a question; `note` is what the catalogue says about it.
    """

    way: str
    name: str = ""
    grade: str = ""
    asks: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class OnlyIf:
    """What only some finds have: those of which a question is answered so, `share` of them."""

    answer: str
    share: float


@dataclass(frozen=True, slots=True)
class PossibleAnswer:
    """What a piece in hand may turn out to be, `chance` of them.

    `value` is what one brings then, hours paid; `grade` is the bin it goes into, empty where it goes into none.
    """

    piece: str
    answer: str
    chance: float
    grade: str
    value: float


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked about a piece in hand before it goes into a bin, `count` of them.

    `worth` is what asking gains on each at today's prices: the value with the answer known less that of the piece as
    it goes while nobody looked, the minutes of looking paid.
    """

    piece: str
    operation: str
    ask: str
    minutes: float
    worth: float
    answers: tuple[PossibleAnswer, ...]
    unasked: Use
    count: int = 1

    @property
    def pays(self) -> bool:
        """Whether asking gains a cent."""
        return self.worth >= CENT


@dataclass(frozen=True, slots=True)
class FlipPrice:
    """The best quote per kg of `grade` today, and the quote nearest to it at which the answer turns over.

    `flip` is null where no price does it. `includes_postage` is true where the best buyer is a mail-in that charges
    postage: both prices are what it quotes, and postage (a kilogram's share of the cheapest full parcel) has to be paid
    out of them.
    """

    grade: str
    today: float
    flip: float | None
    includes_postage: bool = False

    @classmethod
    def of(cls, flip: PriceFlip) -> FlipPrice:
        """As it would be typed in: what the buyer quotes, postage not yet taken off."""
        return cls(flip.grade, flip.quoted_today, flip.quoted_flip, flip.postage > 0.0)


@dataclass(frozen=True, slots=True)
class Span:
    """An expected value; 8 of 10 seeded draws lie from `low` to `high`.

    The mean may lie outside: a part that seldom sells brings its mean only now and then.
    """

    low: float
    expected: float
    high: float

    @property
    def nothing(self) -> bool:
        """Whether it is money that comes to less than a cent."""
        return max(self.expected, self.high) < CENT

    @property
    def varies(self) -> bool:
        """Whether there is a range to speak of."""
        return self.high - self.low >= CENT


@dataclass(frozen=True, slots=True)
class Chances:
    """Seeded draws with the choice held fixed: 10, 50 and 90 of 100, and how often opening wins."""

    low: float
    middle: float
    high: float
    opening_wins: float | None
    draws: int
    seed: int


@dataclass(frozen=True, slots=True)
class WorthALook:
    """A sign to look for before deciding: what knowing it gains on average, its seconds paid, and the chance after.

    `ask` is the question; `if_seen` and `if_not` are how likely it is to work then.
    """

    sign: str
    ask: str
    seconds: float
    gain: float
    if_seen: float
    if_not: float


@dataclass(frozen=True, slots=True)
class TestFirst:
    """For an unknown condition: the worth of knowing before deciding, the test's minutes paid.

    The values have their hours paid.
    """

    chance_works: float
    minutes: float
    value_if_works: float
    value_if_not: float
    value_untested: float
    gain: float
    worth_it: bool


def bin_of(answer: Piece) -> str:
    """The grade of the bin: the first the answer sells as; empty where it goes into none."""
    return answer.sells[0].grade if answer.sells else ""


def condition_of(anatomy: Anatomy, piece: str) -> OnlyIf | None:
    """The answer that a piece is or comes out of, with its share of all finds; None where every find has the piece."""
    answer = anatomy.answer_of(piece)
    return None if answer is None else OnlyIf(answer.answer, answer.share)
