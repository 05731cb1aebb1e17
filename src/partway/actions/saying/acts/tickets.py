"""A ticket as it is said: "harbour ticket: no. 2 twenty pounds at four ten, light iron forty kilos, total 190"."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from partway.actions.bins import bins
from partway.actions.buyers import price_lists
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.recording.context import Context, Recorded
from partway.actions.recording.questions import Asked
from partway.actions.saying.acts.bench import slot_of
from partway.actions.saying.acts.trade import answered, buyer_said
from partway.actions.saying.meant import Meaning
from partway.actions.saying.steps import SayStep
from partway.errors import Refused
from partway.formulas.ticket_fees import quoted_for
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.ledger.fold.standing import settings
from partway.pricelist.lines import EACH
from partway.quantities import MG_PER_KG, kg_per, plain_text, shown
from partway.saying.clauses import Clause, SaidSlot
from partway.valuing.trips.ticket_sums import is_fee

OWN_MASS = "own-mass"  # the hint of a line whose mass is not that of the bin
OWN = (("yard", "what the yard says came out of my bin"), ("all", "all that was in my bin"))

UNCOUNTED = ("uncounted", "it was in my bin and not counted yet: put the bin right first")


def ticketed(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A ticket with its lines, its total and what it takes off."""
    buyer = _ticket_buyer(meaning, clause)
    lines_said = [*([clause] if clause.slot("grade") else []), *clause.all("line")]
    parts = list(enumerate(lines_said, 1))
    priced = {at: _priced(meaning, buyer, part, at) for at, part in parts if _price_of(part)}
    priced |= {at: _summed(meaning, buyer, part, at) for at, part in parts if part is not clause and _sum_of(part)}
    named: dict[str, Any] = {}
    if part := clause.part("number"):
        named["number"] = slot_of(part, "code").said
    less = tuple(_less(meaning, one, at) for at, one in enumerate(clause.all("less"), 1))
    named["deductions"] = less
    made, bare = _made(list(priced.values())) - sum(sum_ for _, sum_ in less), len(parts) - len(priced)
    if part := clause.part("total") or (clause if clause.slot("money") else None):
        named["total"] = _total(meaning, made if not bare else Decimal(0), part)
    left = _left(meaning, buyer, named["total"], less) - made if bare == 1 and "total" in named else Decimal(0)
    lines = tuple(priced.get(at) or _unpriced(meaning, buyer, part, at, left) for at, part in parts)
    yield from (step for line in lines for step in _counted(meaning, line))
    yield TicketStep(ticket, (buyer, lines), named)


def _ticket_buyer(meaning: Meaning, clause: Clause) -> str:
    """The buyer whose ticket it is; where none was said, the one that an open haul goes to, or it is asked."""
    stops = [buyer for haul in trading.hauls(meaning.book).values() if haul.status == "started" for buyer in haul.stops]
    if clause.slot("buyer") is None and len(set(stops)) == 1:
        meaning.doubts.append(f"{meaning.names.called.buyer(stops[0])}, where the haul under way goes")
        return stops[0]
    return buyer_said(meaning, clause)


def _left(meaning: Meaning, buyer: str, total: Decimal, less: Sequence[tuple[str, Decimal]]) -> Decimal:
    """What a total was before the buyer kept back its fee, where none was said."""
    terms = trading.buyers(meaning.book)[buyer]
    if not (terms.ticket_fee or terms.ticket_share) or any(is_fee(what) for what, _ in less):
        return total
    taken = sum((amount for _, amount in less), Decimal(0))
    gross = quoted_for(total + taken + terms.ticket_fee, terms.ticket_share)
    return round(gross - taken, 2)


def _less(meaning: Meaning, part: Clause, at: int) -> tuple[str, Decimal]:
    """What was taken off, and for what."""
    text = part.slot("text")
    return text.said if text else "deduction", meaning.money(replace(slot_of(part, "money"), name=f"less-{at}"))


def _total(meaning: Meaning, made: Decimal, part: Clause) -> Decimal:
    """The total; of two readings the one that the lines come near to."""
    slot = slot_of(part, "money")
    assert slot.amount is not None  # noqa: S101  the grammar reads it
    near = [one for one in slot.amount.readings if made > 0 and made / 2 <= Decimal(one) <= made * 2]
    if len(near) == 1 and len(slot.amount.readings) > 1:
        meaning.doubts.append(f"“{slot.said}” is {near[0]}, which is near what the lines make")
        slot = replace(slot, amount=replace(slot.amount, readings=tuple(near)))
    return meaning.money(replace(slot, name="total"))


def _made(lines: Sequence[LineGiven]) -> Decimal:
    """What lines make, roughly: enough to tell two readings of a total apart."""
    total = Decimal(0)
    for line in lines:
        price, _, unit = line.price.partition(" /")
        assert isinstance(line.mass, int)  # noqa: S101  as it was read here
        total += round(Decimal(price) * Decimal(line.mass) / MG_PER_KG / kg_per(unit), 2)
    return total


def _price_of(part: Clause) -> SaidSlot | None:
    return part.slot("price") or part.slot("rate")


def _priced(meaning: Meaning, buyer: str, part: Clause, at: int) -> LineGiven:
    """A line: its grade and price are asked about as those of a price list are."""
    price = _price_of(part)
    assert price is not None  # noqa: S101  only lines with a price come here
    said = f"{slot_of(part, 'grade').words} {price.words}"
    lines = answered(meaning, buyer, price_lists.read_list(meaning.book, buyer, said), f"{at}-")
    one = next((line for line in lines if line.grade and line.price is not None), None)
    if one is None or len(lines) != 1 or one.grade is None or one.price is None or one.unit == EACH:
        raise Refused(shown(part.said), "a grade, its mass, and its price for a unit of mass", f"line {at}")
    mg = meaning.mass(slot_of(part, "mass"), f"mass-{at}")
    makes = part.slot("money") or part.slot("cash") if part.does == "line" else None
    amount = meaning.money(replace(makes, name=f"makes-{at}")) if makes else None
    return LineGiven(one.grade, mg, f"{plain_text(one.price)} /{one.unit}", amount, _own(meaning, one.grade))


def _sum_of(part: Clause) -> SaidSlot | None:
    return None if _price_of(part) else part.slot("money")


def _summed(meaning: Meaning, buyer: str, part: Clause, at: int) -> LineGiven:
    """A line "for" some money: whether that is the price or what the line makes is asked."""
    grade = meaning.grade(replace(slot_of(part, "grade"), name=f"grade-{at}"), buyer)
    mg = meaning.mass(slot_of(part, "mass"), f"mass-{at}")
    if mg <= 0:
        raise Refused(shown(part.said), "a mass that is more than nothing", f"line {at}")
    money = meaning.money(replace(slot_of(part, "money"), name=f"sum-{at}"))
    unit = settings(meaning.book).get("unit", "kg")
    by_unit = f"{plain_text(round(money * MG_PER_KG * kg_per(unit) / mg, 4))} /{unit}"
    price = f"{plain_text(money)} /{unit}"
    choices = (("all", f"{money} in all, {by_unit}"), ("each", price))
    option = f"for-{at}"
    if (answer := meaning.answers.get(option, "")) not in ("all", "each"):
        raise Asked(f"“{part.said}”", "whether that is for all of it", option, option, choices)
    own = _own(meaning, grade)
    return LineGiven(grade, mg, by_unit, money, own) if answer == "all" else LineGiven(grade, mg, price, own=own)


def _unpriced(meaning: Meaning, buyer: str, part: Clause, at: int, left: Decimal) -> LineGiven:
    """A line without a price: what the buyer quoted, or what the total leaves for it, where somebody agrees."""
    grade = meaning.grade(replace(slot_of(part, "grade"), name=f"grade-{at}"), buyer)
    mg = meaning.mass(slot_of(part, "mass"), f"mass-{at}")
    ways = dict(_prices(meaning, buyer, grade, mg, left))
    if not ways:
        expected = f"its price as well: {meaning.names.called.buyer(buyer)} has quoted none"
        raise Refused(shown(part.said), expected, "price")
    option = f"price-{grade}"
    if (answer := meaning.answers.get(option, "")) not in ways:
        told = {"quoted": "as it was quoted", "left": f"which is what the total leaves: {left}"}
        choices = tuple((way, f"{price}, {told[way]}") for way, price in ways.items())
        raise Asked(f"“{part.said}” without a price", "its price", option, option, choices)
    return LineGiven(grade, mg, ways[answer], left if answer == "left" else None, _own(meaning, grade))


def _prices(meaning: Meaning, buyer: str, grade: str, mg: int, left: Decimal) -> Iterator[tuple[str, str]]:
    quote = next((one for one in trading.quotes(meaning.book, buyer, grade) if one.price is not None), None)
    if quote is not None and quote.price is not None:
        yield "quoted", f"{plain_text(quote.price)} /{quote.unit}"
    unit = settings(meaning.book).get("unit", "kg")
    if left > 0 and mg > 0:
        yield "left", f"{plain_text(round(left * MG_PER_KG * kg_per(unit) / mg, 4))} /{unit}"


def _own(meaning: Meaning, grade: str) -> str | None:
    answer = meaning.answers.get(f"own-{grade}")
    return None if answer == UNCOUNTED[0] else answer


def _counted(meaning: Meaning, line: LineGiven) -> Iterator[SayStep]:
    """What was in the bin and had not been counted, where somebody says so: the bin is put right first."""
    if meaning.answers.get(f"own-{line.grade}") == UNCOUNTED[0]:
        box = next(name for name, now in meaning.names.bins_now.items() if now.grade == line.grade)
        yield SayStep(bins.recount, (box, line.mass))


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
            held = {now.grade: now.mg for now in standing.bins(book).values()}
            grade = refused.where.removeprefix("line ")
            short = any(one.grade == grade and held.get(grade, 0) < int(one.mass) for one in self.given[1])
            ways = (OWN[0], UNCOUNTED) if short and held.get(grade) else (UNCOUNTED,) if short else OWN
            raise Asked(refused.given, refused.expected, option, option, ways) from None
