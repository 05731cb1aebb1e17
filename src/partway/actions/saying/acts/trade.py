"""What is said of buyers and money: prices, what is taken, what was paid and spent, hauls, hours, bins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from partway.actions.bins import bins
from partway.actions.books import money, notes
from partway.actions.buyers import buyers, price_lists
from partway.actions.buyers.buyers import Terms
from partway.actions.haul import hauls
from partway.actions.recording.questions import Asked
from partway.actions.saying.acts.bench import amount_slot, minutes_said, noted, slot_of
from partway.actions.saying.meant import LEFT_OUT, OFFERED, Meaning
from partway.actions.saying.steps import SayStep
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger import trading
from partway.pricelist import PriceLine, answer, preview
from partway.quantities import shown
from partway.saying.clauses import Clause, SaidSlot
from partway.things.buyers import refused_names

ACTIVITIES = {"bench": "at the bench", "collect": "collecting", "haul": "on the road"}  # those most often meant


def quoted(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Prices heard, read as a price list is read, and asked about as its lines are."""
    buyer, listed = buyer_said(meaning, clause), clause.slot("list") or clause.slot("offer")
    if clause.value("unsure"):
        meaning.sure(clause.said, "pays", f"that is what {meaning.names.called.buyer(buyer)} pays")
    price = clause.slot("price") or clause.slot("rate")
    first = listed.words if listed else f"{slot_of(clause, 'grade').words} {price.words if price else ''}"
    more = (f"{slot_of(part, 'grade').words} {slot_of(part, 'price').words}" for part in clause.all("price"))
    lines = answered(meaning, buyer, price_lists.read_list(meaning.book, buyer, ", ".join([first, *more])))
    meaning.doubts += [f"{row.read_as}: {row.piece_by}" for row in preview(lines) if row.piece_by]
    meaning.doubts += [f"{row.read_as}: {row.told_by}" for row in preview(lines) if row.told_by]
    yield SayStep(price_lists.save_list, (buyer, lines))
    yield from _news(meaning, buyer, clause)


def answered(meaning: Meaning, buyer: str, lines: list[PriceLine], at: str = "") -> list[PriceLine]:
    """The lines with their questions answered, now or before. Raises Asked for the first that is open.

    `at` is which of several lists of one act it is.
    """
    now = {line.position for line in lines if meaning.answers.get(f"line-{at}{line.position}-grade")}
    while True:
        lines = _as_before(meaning, buyer, lines, now)
        line = next((one for one in lines if one.question), None)
        if line is None:
            return lines
        option = f"line-{at}{line.position}-{line.asks or 'line'}"
        given = meaning.answers.get(option, "")
        if not given:
            choices = tuple((one.key, one.label) for one in line.choices[:OFFERED])
            raise Asked(line.question, "one of these", option, option, choices)
        lines = answer(lines, line.position, given)


def _as_before(meaning: Meaning, buyer: str, lines: list[PriceLine], now: set[int]) -> list[PriceLine]:
    """The lines with the names that were asked about before, each of which is told; `now` are those answered now."""
    named = {line.position for line in lines if line.item.called}
    lines = price_lists.as_before(meaning.book, meaning.context.who, buyer, lines, now)
    for line in lines:
        if line.item.called and line.grade and line.position not in named:
            name, grade = " ".join(line.item.called), meaning.names.called.grade(line.grade)
            meaning.doubts.append(f"“{name}” is {grade}, as you said before")
    return lines


def takes(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A buyer takes, or no longer takes, all grades that a word names; others may be said to be otherwise beside it."""
    buyer, slot = buyer_said(meaning, clause), slot_of(clause, "grade")
    if clause.value("unsure"):
        meaning.sure(clause.said, "refuses", f"{meaning.names.called.buyer(buyer)} does not take {slot.said}")
    price, yes = clause.part("price"), clause.value("takes") == "yes"
    news = list(_news(meaning, buyer, clause, yes))
    if news:
        yield from news
    elif price is None:
        given = f"{meaning.names.called.buyer(buyer)} and {shown(slot.said)}"
        raise Refused(given, f"news: it {'takes' if yes else 'refuses'} that already", "takes")
    if price is not None:
        heard = price_lists.read_list(meaning.book, buyer, f"{slot.words} {slot_of(price, 'cash').words}")
        yield SayStep(price_lists.save_list, (buyer, answered(meaning, buyer, heard)))


def _news(meaning: Meaning, buyer: str, clause: Clause, yes: bool | None = None) -> Iterator[SayStep]:
    """What a buyer takes from now on and what not, as an act and its parts say; nothing where that is no news."""
    terms = trading.buyers(meaning.book)[buyer]
    kept = terms.refuses
    rows = [] if yes is None else [(clause, yes)]
    rows += [(part, part.does == "accepts") for part in clause.parts if part.does in ("accepts", "refuses")]
    called = meaning.names.called.buyer(buyer)
    rows = [
        (row, taken)
        for at, (row, taken) in enumerate(rows)
        if row is clause
        or not row.value("unsure")
        or meaning.agreed(row.said, f"refuses-{at}", f"{called} does not take {slot_of(row, 'grade').said}")
    ]
    slots = [(slot, taken) for row, taken in rows for slot in row.slots if slot.name == "grade"]
    for at, (slot, taken) in enumerate(slots, 1):
        now = replace(terms, refuses=kept)
        grades = [shipped().grades[one] for one in _taken(meaning, slot, at)]
        if taken:
            why = {name for grade in grades for name in refused_names(now, grade)}
            kept = tuple(name for name in kept if name not in why)
        else:
            why = {grade.id for grade in grades if not refused_names(now, grade)}
            kept = (*kept, *sorted(why))
        if why:
            named = ", ".join(sorted(_name(meaning, one) for one in why))
            meaning.doubts.append(f"{'no longer' if taken else 'now also'} turned away: {named}")
    if kept != terms.refuses:
        yield SayStep(buyers.buyer, (buyer, Terms(refuses=kept)))


def _taken(meaning: Meaning, slot: SaidSlot, at: int) -> tuple[str, ...]:
    """All grades that a word names; where they are of several families, which of them is asked."""
    found = meaning.grades(slot)
    if len({shipped().grades[one].family for one in found}) == 1:
        return found
    option, called = f"grade-{at}", meaning.names.called.grade
    choices = (("all", "all of these"), *((one, called(one)) for one in found))[:OFFERED]
    answer = meaning.answers.get(option, "")
    if answer not in [key for key, _ in choices]:
        listed = ", ".join(map(called, found))
        raise Asked(f"“{slot.said}”: {listed}", "which of these", option, option, choices)
    return found if answer == "all" else (answer,)


def _name(meaning: Meaning, refused: str) -> str:
    """A refused grade, hazard or family by its name."""
    cards = shipped().cautions
    return meaning.names.called.grade(refused) if refused not in cards else cards[refused].name.lower()


def paid(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Money that came in."""
    how = clause.part("how")
    amount = meaning.money(slot_of(clause, "money"))
    yield SayStep(money.paid, (buyer_said(meaning, clause), amount), {"how": how.value("how") if how else ""})


def worked(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Hours worked."""
    span, said = clause.slot("span"), clause.slot("activity")
    activity = clause.value("activity") or (said.words if said else _activity(meaning, clause))
    minutes = minutes_said(meaning, clause) if span is None else meaning.minutes(span)
    yield SayStep(money.hours, (activity, minutes or 0))


def _activity(meaning: Meaning, clause: Clause) -> str:
    return meaning.which("activity", clause.said, list(ACTIVITIES), ACTIVITIES.__getitem__)


def buyer_said(meaning: Meaning, clause: Clause) -> str:
    """The buyer that is meant; where none was said, those there are."""
    slot = clause.slot("buyer")
    if slot is not None:
        return meaning.buyer(slot)
    return meaning.which("buyer", clause.said, list(trading.buyers(meaning.book)), meaning.names.called.buyer)


def hauled(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A haul sets out."""
    stops = [
        buyer_said(meaning, clause),
        *(meaning.buyer(slot_of(one, "buyer")) for one in clause.all("stop")),
    ]
    yield SayStep(hauls.start, (stops,), noted(clause))


def back(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """The haul under way is over; a way that was driven while there is none is asked about."""
    said = {"km": _way(amount_slot(clause, "km")), "minutes": minutes_said(meaning, clause)}
    said |= noted(clause)
    under_way = any(one.status == "started" for one in trading.hauls(meaning.book).values())
    if under_way or said["km"] is None:
        yield SayStep(hauls.finish, (), said)
    else:
        yield from _driven(meaning, clause, said)


def _driven(meaning: Meaning, clause: Clause, said: dict[str, Any]) -> Iterator[SayStep]:
    """A way that was driven with no haul under way: one that is over by now, or nothing that is recorded."""
    to = meaning.buyer(buyer) if (buyer := clause.slot("buyer")) else ""
    over = f"a haul to {meaning.names.called.buyer(to)}, which is over" if to else "a haul, which is over"
    choices = (("haul", over), LEFT_OUT, ("note", "keep it as a note"))
    answer = meaning.answers.get("trip", "")
    if answer not in [key for key, _ in choices]:
        raise Asked(f"“{clause.said}”, and no haul is under way", "what it was", "trip", "trip", choices)
    if answer == "note":
        yield SayStep(notes.note, (clause.said,), {"buyer": to or None})
    elif answer == LEFT_OUT[0]:
        meaning.doubts.append(f"left out: “{clause.said}”")
    else:
        yield SayStep(hauls.start, ((to or _driven_to(meaning, clause),),))
        yield SayStep(hauls.finish, (), said)


def _driven_to(meaning: Meaning, clause: Clause) -> str:
    known = [one for one, terms in trading.buyers(meaning.book).items() if terms.kind != "mail-in"]
    return meaning.which("buyer", clause.said, known, meaning.names.called.buyer)


def _way(slot: SaidSlot | None) -> str | None:
    """A distance as the action reads it; what may be two is left for it to ask about."""
    if slot is None or slot.amount is None:
        return None
    return slot.amount.readings[0] if len(slot.amount.readings) == 1 else slot.words


def new_bin(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A bin for a grade."""
    yield SayStep(bins.add_bin, (meaning.grade(slot_of(clause, "grade")),))
