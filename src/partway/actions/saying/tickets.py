"""A ticket as it is said: "harbour ticket: no. 2 twenty pounds at four ten, light iron forty kilos, total 190"."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from partway.actions.buyers import price_lists
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded
from partway.actions.recording.questions import Asked
from partway.actions.saying.bench import slot_of
from partway.actions.saying.meant import Meaning
from partway.actions.saying.steps import SayStep
from partway.actions.saying.trade import answered
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.quantities import kg_per, plain_text, shown
from partway.saying.grammar import Clause

OWN_MASS = "own-mass"  # the hint of a line whose mass is not that of the bin
OWN = (("yard", "what the yard says came out of my bin"), ("all", "all that was in my bin"))


def ticketed(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A ticket with its lines, its total and what it takes off."""
    buyer = meaning.buyer(slot_of(clause, "buyer"))
    lines = [_line(meaning, buyer, part, at) for at, part in enumerate(clause.all("line"), 1)]
    named: dict[str, Any] = {}
    if part := clause.part("number"):
        named["number"] = slot_of(part, "text").said
    if less := clause.all("less"):
        named["deductions"] = tuple(
            (_what(one), meaning.money(replace(slot_of(one, "money"), name=f"less-{at}")))
            for at, one in enumerate(less, 1)
        )
    if part := clause.part("total"):
        named["total"] = _total(meaning, lines, part)
    yield TicketStep(ticket, (buyer, tuple(lines)), named)


def _what(part: Clause) -> str:
    text = part.slot("text")
    return text.said if text else "deduction"


def _total(meaning: Meaning, lines: list[LineGiven], part: Clause) -> Decimal:
    """The total; of two readings the one that the lines come near to."""
    slot = slot_of(part, "money")
    assert slot.amount is not None  # noqa: S101  the grammar reads it
    made = _made(meaning, lines)
    near = [one for one in slot.amount.readings if made and made / 2 <= abs(Decimal(one)) <= made * 2]
    if len(near) == 1 and len(slot.amount.readings) > 1:
        meaning.doubts.append(f"“{slot.said}” is {near[0]}, which is near what the lines make")
        slot = replace(slot, amount=replace(slot.amount, readings=tuple(near)))
    return meaning.money(replace(slot, name="total"))


def _made(meaning: Meaning, lines: list[LineGiven]) -> Decimal:
    """What the lines make, roughly: enough to tell two readings of a total apart."""
    total = Decimal(0)
    for line in lines:
        price, _, unit = line.price.partition(" /")
        assert isinstance(line.mass, int)  # noqa: S101  as it was read here
        total += Decimal(price) * Decimal(line.mass) / 1_000_000 / kg_per(unit)
    return abs(total)


def _line(meaning: Meaning, buyer: str, part: Clause, at: int) -> LineGiven:
    """A line: its grade and price are asked about as those of a price list are."""
    mg = meaning.mass(slot_of(part, "mass"), f"mass-{at}")
    price = part.slot("price")
    if price is None:
        grade = meaning.grade(replace(slot_of(part, "grade"), name=f"grade-{at}"), buyer)
        return LineGiven(grade, mg, _quoted(meaning, buyer, grade, part), own=meaning.answers.get(f"own-{grade}"))
    said = f"{slot_of(part, 'grade').words} {price.words}"
    lines = answered(meaning, buyer, price_lists.read_list(meaning.book, buyer, said), f"{at}-")
    one = next((line for line in lines if line.grade and line.price is not None), None)
    if one is None or len(lines) != 1 or one.grade is None or one.price is None:
        raise Refused(shown(part.said), "a grade, its mass and its price", f"line {at}")
    own = meaning.answers.get(f"own-{one.grade}")
    return LineGiven(one.grade, mg, f"{plain_text(one.price)} /{one.unit}", own=own)


def _quoted(meaning: Meaning, buyer: str, grade: str, part: Clause) -> str:
    """The price of a line that says none: what the buyer quoted, where somebody agrees."""
    quote = next((one for one in trading.quotes(meaning.book, buyer, grade) if one.price is not None), None)
    if quote is None or quote.price is None:
        raise Refused(
            shown(part.said), f"its price as well: {meaning.names.called.buyer(buyer)} has quoted none", "price"
        )
    option, per = f"price-{grade}", f"{plain_text(quote.price)} /{quote.unit}"
    if meaning.answers.get(option) != "quoted":
        choices = (("quoted", f"at {reading.currency(meaning.book)} {per}, as it was quoted"),)
        raise Asked(f"“{part.said}” without a price", "its price", option, option, choices)
    return per


@dataclass(frozen=True)
class TicketStep(SayStep):
    """A ticket: where a line's mass is not that of its bin, it is asked what came out of that."""

    def run(self, book: Book, context: Context, answers: Mapping[str, str]) -> Recorded[Any]:
        """Record it. Raises Asked and Refused as the action does."""
        try:
            return super().run(book, context, answers)
        except Refused as refused:
            if refused.hint is None or refused.hint.name != OWN_MASS:
                raise
            option = f"own-{refused.where.removeprefix('line ')}"
            raise Asked(refused.given, refused.expected, option, option, OWN) from None
