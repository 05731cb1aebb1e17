"""What is said at the curb and the bench: found, tested, weighed, opened, sold, put on offer, given up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

from partway.actions.bench import finds, listing, opening, selling
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books import notes
from partway.actions.recording.questions import Asked
from partway.actions.saying.acts.pieces import piece_meant, steps_meant
from partway.actions.saying.meant import Meaning, whole
from partway.actions.saying.steps import SayStep
from partway.ledger.fold import standing
from partway.saying.clauses import Clause, SaidSlot


def tested(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Whether a find works, or two of them."""
    slots = [slot for slot in clause.slots if slot.name == "find"]
    if clause.value("all"):
        named = list(meaning.names.finds(slots[0].words))
    else:
        named = [meaning.find(slot) for slot in slots] or [find_said(meaning, clause)]
    yield from (SayStep(finds.test, (find, clause.value("works"))) for find in dict.fromkeys(named))


def weighed(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find or a bin on the scale."""
    empty = bool(clause.value("empty"))
    mass = 0 if empty else meaning.mass(clause.slot("mass") or meaning.typed("mass", clause.said, "how much it weighs"))
    box, thing = clause.slot("bin"), clause.slot("thing")
    if thing is None and box is None:
        sort, name = "find", find_said(meaning, clause)
    else:
        sort, name = ("bin", meaning.bin(box)) if box else meaning.thing(slot_of(clause, "thing"))
    yield SayStep(bins.recount if sort == "bin" else finds.weigh, (name, mass))
    for at, part in enumerate(clause.all("also"), 1):
        mg = meaning.mass(slot_of(part, "mass"), f"mass-{at}")
        yield SayStep(bins.recount, (meaning.bin(slot_of(part, "bin")), mg))


def opened(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find opened: minutes, pieces with their masses, what is left."""
    if clause.value("unsure"):
        meaning.sure(clause.said, "opened", "it was opened")
    find, *also = [meaning.find(slot) for slot in clause.slots if slot.name == "find"] or [find_said(meaning, clause)]
    if also:
        yield from _opened_both(meaning, clause, (find, *also))
        return
    pieces = tuple(_piece(meaning, find, part, at) for at, part in enumerate(clause.all("piece"), 1))
    rest = clause.part("rest")
    named: dict[str, Any] = {"minutes": minutes_said(meaning, clause) or 0}
    for name in ("residue", "loss"):
        part = clause.part(name)
        named[name] = meaning.mass(slot_of(part, "mass"), name) if part else None
    if rest:
        named["gap"] = rest.value("gap")
    if not pieces and not rest and not named["residue"] and not named["loss"]:  # then it is a step that was done
        named |= {"operations": steps, "gap": "left"} if (steps := steps_meant(meaning, find)) else {}
    if count := clause.slot("count"):
        named["count"] = whole([count], 1)
    yield SayStep(opening.open_up, (find, pieces), named)


def _opened_both(meaning: Meaning, clause: Clause, both: tuple[str, ...]) -> Iterator[SayStep]:
    """Two finds opened in one go: the minutes are of both, as much for each."""
    minutes = minutes_said(meaning, clause) or 0
    if minutes:
        meaning.sure(
            f"{minutes} minutes for {len(both)}",
            "minutes-each",
            f"it is {minutes} minutes for all of them, as many for each",
        )
    for at, find in enumerate(both):
        share = minutes * (at + 1) // len(both) - minutes * at // len(both)
        steps = steps_meant(meaning, find, f"op-{at + 1}")
        yield SayStep(
            opening.open_up,
            (find, ()),
            {"minutes": share, "gap": "left", "operations": steps} if steps else {"minutes": share},
        )


def _piece(meaning: Meaning, find: str, part: Clause, at: int) -> PieceGiven:
    mass, count = slot_of(part, "mass"), whole([part.slot("count")], 1)
    mg = meaning.mass(mass, f"mass-{at}")
    box = part.slot("bin")
    into = meaning.bin(replace(box, name=f"bin-{at}")) if box else ""
    return PieceGiven(piece_meant(meaning, find, slot_of(part, "piece"), mg, count, at), mg, count, bin=into)


def sold(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find or a piece of it sold by the unit; "both" of two that are two finds is each of them."""
    count = whole([clause.slot("count")], 1)
    them = _several(meaning, clause, count)
    find = them[0] if them else find_said(meaning, clause)
    each = Decimal(0) if clause.value("free") else _each(meaning, clause, count)
    named: dict[str, Any] = {"count": 1 if them else count, "what": _what(meaning, find, clause)}
    for name in ("postage", "fee"):
        if part := clause.part(name):
            named[name] = meaning.money(_renamed(slot_of(part, "money"), name), each * count)
    named["minutes"] = minutes_said(meaning, clause) or 0
    if part := clause.part("mass"):
        named["mass"] = meaning.mass(slot_of(part, "mass"))
    meaning.doubts += [f"not kept: “{one.said}”" for name in ("whom", "on") for one in clause.all(name)]
    if clause.value("free"):
        meaning.doubts.append("left for nothing: recorded as sold at 0")
    yield SayStep(selling.sell, (find, each), named)
    # what was paid to post or to sell them, and the minutes, are of all, and stand with the first
    yield from (SayStep(selling.sell, (one, each), {"count": 1, "what": ""}) for one in them[1:])


def _several(meaning: Meaning, clause: Clause, count: int) -> tuple[str, ...]:
    """The finds of which so many were sold, where there are exactly as many, each one thing."""
    slot = clause.slot("find")
    if slot is None or count < 2 or clause.slot("piece"):
        return ()
    found, there = meaning.names.finds(slot.words), standing.finds(meaning.book)
    return found if len(found) == count and all(there[one].count == 1 for one in found) else ()


def listed(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find or a piece of it put on offer."""
    find, count = find_said(meaning, clause), whole([clause.slot("count")], 1)
    where = clause.part("on")
    named: dict[str, Any] = {"count": count, "what": _what(meaning, find, clause)}
    text = where.slot("text") if where else None
    named["where"] = text.said if text else where.said if where else ""
    named["minutes"] = minutes_said(meaning, clause) or 0
    named |= noted(clause)
    yield SayStep(listing.put_on_offer, (find, _each(meaning, clause, count)), named)


def discarded(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find given up."""
    yield SayStep(selling.discard, (find_said(meaning, clause),))


def _each(meaning: Meaning, clause: Clause, count: int) -> Decimal:
    """The price of one; of several it is asked whether it was that, or of all."""
    money = meaning.money(clause.slot("money") or meaning.typed("money", clause.said, "for how much"))
    if count == 1 or clause.part("each"):
        return money
    share = money / count
    even = share == round(share, 2)
    if even and (clause.part("all") or clause.value("all")):
        return share
    choices = (("each", f"{money} for each"), *([("all", f"{money} for all, {share:f} each")] if even else []))
    answer = meaning.answers.get("each", "")
    if answer not in [key for key, _ in choices]:
        raise Asked(f"{money} for {count}", "whether that is for each", "each", "each", choices)
    return money if answer == "each" else share


def _what(meaning: Meaning, find: str, clause: Clause) -> str:
    piece = clause.slot("piece")
    return piece_meant(meaning, find, piece, 0, 1, 1) if piece else ""


def find_said(meaning: Meaning, clause: Clause) -> str:
    """The find that an act is of; where none was said, the last ones found are offered."""
    slot = clause.slot("find")
    if slot is not None:
        return meaning.find(slot)
    last = sorted(standing.finds(meaning.book).values(), key=lambda now: (now.found, now.id), reverse=True)
    return meaning.which("find", clause.said, [now.id for now in last], meaning.names.called.find)


def slot_of(clause: Clause, name: str) -> SaidSlot:
    """A slot that every way of saying the act has."""
    slot = clause.slot(name)
    assert slot is not None, name  # noqa: S101  the patterns have it
    return slot


def _renamed(slot: SaidSlot, name: str) -> SaidSlot:
    return replace(slot, name=name)


def minutes_said(meaning: Meaning, clause: Clause) -> int | None:
    """The minutes that a part says, or the act itself; None where neither does."""
    slot = amount_slot(clause, "minutes")
    return None if slot is None else meaning.minutes(slot)


def amount_slot(clause: Clause, name: str) -> SaidSlot | None:
    """The slot of a part of that name, or of the act itself."""
    slots = [clause.slot(name), *(part.slot(name) for part in clause.all(name))]
    return next((slot for slot in slots if slot is not None), None)


def noted(clause: Clause) -> dict[str, str]:
    """The note that a part says, as an action takes it."""
    part = clause.part("note")
    return {"note": slot_of(part, "words").said} if part else {}


def note_down(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A note by itself, about what it names."""
    find, buyer, box = (clause.slot(name) for name in ("find", "buyer", "bin"))
    about = {
        "find": meaning.find(find) if find else None,
        "buyer": meaning.buyer(buyer) if buyer else None,
        "bin_id": meaning.bin(box) if box else None,
    }
    yield SayStep(notes.note, (slot_of(clause, "sentence").said,), about)
