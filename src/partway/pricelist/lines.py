"""One line of a price list: what was heard, what it is read as, and what has to be asked."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from statistics import median
from typing import Literal

from partway.pricelist.layout.ticket_fees import NO_FEE, TicketFee, ticket_fee_in
from partway.pricelist.lexicon import Lexicon
from partway.quantities import MG_PER_KG, kg_per
from partway.spoken.money import Heard
from partway.spoken.tongue import Hearing
from partway.things.material import Grade

Status = Literal[
    "understood", "ambiguous", "unknown", "unlikely", "remark"
]  # a remark says no price: it is passed over
Asks = Literal[
    "", "grade", "price", "unit", "mass", "piece", "twice", "with", "fee", "rest", "yard"
]  # with: with another line
# ticket: it is about the whole ticket; left out: its name is of no grade, or it has no price, and that was answered
PassedOver = Literal["", "no price", "heading", "when asked", "ticket", "left out", "corrected"]
LotField = Literal["from_lot", "minimum", "most", "piece", "below"]
EACH = "each"  # the unit of a price by the piece
IMPLIED_BY = 2  # prices of other grades that are held against one where no copper is
PIECES = "pieces"  # the unit of a maximum that is a number of them


@dataclass(frozen=True, slots=True)
class ListedLot:
    """A mass said with a price, and the units it may be in; none were said if that is empty.

    The most of a grade may be in pieces.
    """

    amount: Decimal
    units: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SaidOver:
    """What a heading says that prices below it are per: of one unit so many (100 of "PER 100 LBS"), a piece, cents.

    `minimum`: the least lot, "PER GROSS TON (5 ton min)". Two units where it has to be asked whether it says one.
    """

    units: tuple[str, ...] = ()
    count: Decimal = Decimal(1)
    each: bool = False
    hundredths: bool = False
    minimum: ListedLot | None = None

    def __bool__(self) -> bool:
        return bool(self.units) or self.each or self.hundredths


@dataclass(frozen=True)
class Item:
    """What was heard about one grade, before it is judged. `start` and `end` are its place in the text.

    `sure`: somebody was asked and stands by the price. `units`: several where "ton" stood alone, none if none was said.
    `called` are the words of a name that was asked about, once it is answered.
    `each`: the price is one by the piece, of which one weighs `piece`. `most` is all that is taken at one visit.
    `below`: the price is for less than that, and `above` for more than what was said of the price before it.
    `per_open`: nobody said what it is per, and it matters ("two bucks to take them"). `shared`: the price also holds
    for the names before it, or after it. `refuses_first`: the refusal came before the name. `cuts` are the places among
    the words where an "and" stood, `gaps` those where words that carry nothing did; `colon` words stand before a
    colon; `row` is its line in the text; a column opened it (`cell`), any break (`fresh`) or the end of a sentence
    (`stopped`). `heads`: it only stands over the rows below. `open_price`: they name a price when asked, "call".
    `term`: it is about the whole ticket; `fee` what was answered, whether that is a fee of each. `drawn`: a colon
    or a dash stands between name and price. `settled`: its name was answered
    together with others. `compound`: a stroke stood close between two of its words. `moved`: by
    how much the price rose since it was last said, below zero where it fell, 0 where it is the same. `payer_known`:
    it was said or asked who pays. `left` are words that a rule put aside, of which the last look
    (asking/leftover.py) asks where they may say something of the price. `headed`: what it is per comes from a heading.
    `over` is, of a name that heads a list ("STEEL per tonne"), what prices below it are per. `corrects`: it takes the
    place of what was said before. `note`: it is a footnote. `columns`: nothing stands between its prices but space.
    """

    words: tuple[str, ...] = ()
    exact: str = ""
    called: tuple[str, ...] = ()
    prices: tuple[Heard, ...] = ()
    units: tuple[str, ...] = ()
    fault: str = ""
    from_lot: ListedLot | None = None
    minimum: ListedLot | None = None
    most: ListedLot | None = None
    piece: ListedLot | None = None
    below: ListedLot | None = None
    above: bool = False
    each: bool = False
    refuses: bool = False
    sure: bool = False
    per_open: bool = False
    shared: Literal["", "before", "after"] = ""
    refuses_first: bool = False
    cuts: tuple[int, ...] = ()
    gaps: tuple[int, ...] = ()
    colon: int = 0
    heads: bool = False
    open_price: bool = False
    term: bool = False
    fee: Literal["", "yes", "no"] = ""
    drawn: bool = False
    compound: bool = False
    settled: Literal["", "together", "left out"] = ""
    headed: bool = False
    moved: Heard | None = None
    payer_known: bool = False
    over: SaidOver = field(default_factory=SaidOver)
    corrects: bool = False
    note: bool = False
    columns: bool = False
    left: tuple[str, ...] = ()
    row: int = 0
    cell: bool = False
    fresh: bool = False
    stopped: bool = False
    start: int = 0
    end: int = 0

    @property
    def named(self) -> bool:
        """Whether there is a name at all."""
        return bool(self.words or self.exact)

    @property
    def bare(self) -> bool:
        """Whether it is a name of which nothing is said."""
        lots = self.from_lot or self.minimum or self.most or self.piece
        return self.named and not (
            self.term or self.prices or self.refuses or lots or self.units or self.each or self.moved
        )


@dataclass(frozen=True, slots=True)
class PieceMass:
    """What one piece of a grade weighs, and in words by whom, where the buyer of the list did not say it."""

    mg: int
    by: str


def nobody_says(grade: str, words: Sequence[str]) -> PieceMass | None:
    """Of no grade does anybody say what one piece weighs."""
    del grade, words
    return None


@dataclass(frozen=True)
class ListSheet:
    """What a list is read against.

    `known` are the buyer's previous prices per kg; `comma`: decimals come after a comma where the writer is. `pieces`
    is what one piece of a grade weighed when the buyer last counted them, in mg, `elsewhere` finds it by grade
    and words where the buyer never said it; `mosts` is the most it took at one visit until now, in mg and in pieces, by
    grade and where the tier begins. What was answered for the whole list: `whole` numbers are cents, of several prices
    in a row that `column` is meant (0/2: the first of two), they or you pay (`pays`) for what is mostly paid to be
    taken, masses without a unit are in that one (`lots`), a bare ton is that one (`tons`), `names` are asked about one
    by one, what is left over (`rest`) is left
    aside, a unit that is only named over a list is `headed_in`, unlikely prices are so many times that and per that
    unit (`scale`), and of a grade that comes `twice` the first or the last counts. `votes` is
    what the list's prices that can be compared say of its whole numbers, `highest` up to where they are whole units,
    `lots_alike` the unit of all masses in it.
    `known_fee` is what the buyer's terms say it keeps back of a ticket, `noted` its note in small letters.
    `columns` head its columns of prices. `yards` is whose each row is where a message has the prices of several, `yard`
    the one that was answered.
    `implying`: what No. 2 copper would be per kg by the price of each grade in the list that is beyond doubt.
    `coppers`: what No. 2 copper would be per kg by the price of each other grade of copper in the list.
    """

    grades: Mapping[str, Grade]
    currency: str
    unit: str
    known: Mapping[str, float]
    comma: bool
    lexicon: Lexicon
    shapes: re.Pattern[str]
    ids: Mapping[str, str]  # exact names and ids in small letters -> id
    pieces: Mapping[str, int] = field(default_factory=dict)
    mosts: Mapping[tuple[str, int], tuple[int, int]] = field(default_factory=dict)
    elsewhere: Callable[[str, Sequence[str]], PieceMass | None] = nobody_says
    whole: str = ""
    votes: str = ""
    highest: Decimal = Decimal(0)
    tons: str = ""
    headed_in: str = ""
    lots_alike: str = ""
    names: str = ""
    rest: str = ""
    column: str = ""
    pays: str = ""
    lots: str = ""
    scale: str = ""
    twice: str = ""
    known_fee: TicketFee = NO_FEE
    noted: str = ""
    columns: tuple[str, ...] = ()
    yards: Mapping[int, str] = field(default_factory=dict)
    yard: str = ""
    implying: tuple[tuple[str, float], ...] = ()
    coppers: Mapping[str, float] = field(default_factory=dict)
    without: dict[str, float | None] = field(default_factory=dict, repr=False, compare=False)  # what was worked out

    def other_copper(self, grade: str) -> float | None:
        """What No. 2 copper would be per kg by the list's other copper than this grade: their middle."""
        found = [price for other, price in self.coppers.items() if other != grade]
        return median(found) if found else None

    @property
    def implied(self) -> float | None:
        """What No. 2 copper would be per kg by all prices of the list that are beyond doubt: their middle."""
        return self.implied_without("")

    def implied_without(self, grade: str) -> float | None:
        """The same by all but those of one grade, which are to be held against it."""
        if grade not in self.without:
            found = [copper for other, copper in self.implying if other != grade]
            self.without[grade] = median(found) if len(found) >= IMPLIED_BY else None
        return self.without[grade]

    @property
    def hearing(self) -> Hearing:
        """What its numbers are heard against."""
        return Hearing(self.currency, self.unit, self.comma)


@dataclass(frozen=True, slots=True)
class GradeChoice:
    """One answer to a line's question: `key` is what is answered, `label` says what it means.

    `becomes` is the line read so; None leaves it out. `also` are more lines that come of it, `settles` what it says for
    the whole list: a field of the sheet and its value; `together` are lines that it settles, by position, each read so.
    """

    key: str
    label: str
    becomes: Item | None = field(default=None, repr=False)
    also: tuple[Item, ...] = field(default=(), repr=False)
    settles: tuple[str, str] = ("", "")
    together: tuple[tuple[int, Item], ...] = field(default=(), repr=False)


@dataclass(frozen=True)
class PriceLine:
    """One line: `price` is money per one `unit`, the unit that was said or else the workspace's.

    `unit` is empty and `price` None while either is open. `from_mg` opens a tier, `minimum_mg` is the smallest lot,
    `most_mg` or `most_pieces` the most at one visit. `unit` is "each" by the piece, of which one weighs `piece_mg`;
    `piece_by` says in words who knows that where neither the line nor the buyer did.
    `question` names what was read and the choices; it is empty when the line is understood, is a remark that says no
    price, or waits for the answer to another line. `ends` are lowest and highest where the price is the middle of a
    range. `nearly`: the name is nearly that of the only candidate. `passed_over` says why a remark is one.
    `offers` are its own answers, the proposed one first, where it is one of several names asked about together.
    """

    text: str
    position: int
    grade: str | None
    candidates: tuple[tuple[str, float], ...]
    price: Decimal | None
    unit: str
    from_mg: int
    minimum_mg: int
    refuses: bool
    status: Status
    question: str
    choices: tuple[GradeChoice, ...] = ()
    asks: Asks = ""
    most_mg: int = 0
    most_pieces: int = 0
    piece_mg: int = 0
    ends: tuple[Decimal, Decimal] | None = None
    nearly: bool = False
    passed_over: PassedOver = ""
    piece_by: str = ""
    offers: tuple[GradeChoice, ...] = ()
    item: Item = field(default_factory=Item, repr=False, compare=False)
    sheet: ListSheet | None = field(default=None, repr=False, compare=False)

    @property
    def shown_as(self) -> str:
        """The grade that it is, or is shown as in the question about several names; "" for none."""
        first = self.offers[0].becomes if self.offers else None
        return self.grade or (first.exact if first is not None else "")

    @property
    def per_kg(self) -> Decimal | None:
        """The price per kg, where it is settled."""
        if self.price is None or not self.unit or (self.unit == EACH and not self.piece_mg):
            return None
        return self.price / (Decimal(self.piece_mg) / MG_PER_KG if self.unit == EACH else kg_per(self.unit))


def fee_of(line: PriceLine) -> TicketFee | None:
    """The fee of each ticket that a line says; None where it says none, or where it was answered that it is none."""
    if line.passed_over != "ticket" or line.sheet is None or line.item.fee == "no":
        return None
    return ticket_fee_in(line.text, line.sheet.hearing)


def all_understood(lines: Sequence[PriceLine]) -> bool:
    """Whether there is something to save and nothing left to ask: a list is saved as a whole or not at all."""
    said = [line for line in lines if line.status != "remark"]
    return bool(said) and all(line.status == "understood" for line in said)
