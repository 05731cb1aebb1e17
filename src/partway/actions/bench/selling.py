"""Parts and whole finds sold by the unit, and finds given up."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from partway.actions.bench.finds import cautions, open_find, tell
from partway.actions.bench.listing import offer_named
from partway.actions.bench.pieces import Placing
from partway.actions.bench.results import FindResult, SoldResult
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.questions import Asked
from partway.actions.recording.words import mass as mass_said
from partway.catalogue import hazards_in, shipped
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.ledger.events.kinds import Discarded, Opened, Parted, Weighed
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.ledger.offers import Listing, resale
from partway.things.anatomy import Anatomy
from partway.things.traits import said_kind
from partway.valuing.known import anatomy_of_find, estimates_of
from partway.valuing.left import Before, before


@decides(shipped)
def sell(
    book: Book,
    context: Context,
    find: str,
    price: reading.Money,
    what: str = "",
    count: int = 1,
    mass: reading.Mass | None = None,
    fee: reading.Money = Decimal(0),
    postage: reading.Money = Decimal(0),
    minutes: str | int = 0,
    listing: str = "",
) -> Recorded[SoldResult]:
    """Sell `count` of a find whole, or of a piece of it (`what`), at `price` each; `fee` and `postage` are of all.

    `listing` is the offer it was sold by; where none is named, that of the same find and piece that is oldest, if one
    is on offer.
    """
    reading.count(count, "count")
    offer = offer_named(book, context, listing or find) if listing or is_offer(book, find) else None
    if offer is not None:
        _check_offer(offer, what, count)
        what = offer.what
        if offer.bin is not None:
            said = SoldSaid(price, count, mass, fee, postage, minutes)
            return _sell_from_bin(book, context, offer, said)
    now = open_find(book, context, offer.find if offer else find)
    anatomy = anatomy_of_find(book, now)
    whole = anatomy.whole.id
    piece = _piece(book, now, what) if what else whole
    offer = offer or _on_offer(book, now, piece, count)
    left = before(book, now).whole
    if piece == whole and count > left:
        raise Refused(f"{count} whole", f"at most {left}, as many as are whole", "count")
    last = piece == whole and count == left
    mg = _mass(book, now, mass, last)
    parted = Parted(
        now.id,
        piece,
        count,
        mg,
        now.mg,
        reading.money(book, price, "price"),
        reading.money(book, fee, "fee"),
        reading.money(book, postage, "postage"),
        reading.minutes(minutes, "minutes"),
        closes=last or 0 < now.mg == mg,
        listing=offer.id if offer else None,
    )
    net = parted.price * count - parted.fee - parted.postage
    result = SoldResult(now.id, piece, count, net, max(0, now.mg - mg), parted.closes, cautions(anatomy))
    return record(book, context, [parted], result)


def is_offer(book: Book, given: str) -> bool:
    """Whether a text is the name of a listing."""
    return f"listing:{given.strip().lower()}" in book.keys("listing:")


def _check_offer(offer: Listing, what: str, count: int) -> None:
    if what and what != offer.what:
        raise Refused(f"{what} by {offer.id}", f"{offer.what}, which is what it offers", "part")
    if count > offer.left:
        raise Refused(f"{count} by {offer.id}", f"at most the {offer.left} still on offer", "count")


def _on_offer(book: Book, now: FindNow, piece: str, count: int) -> Listing | None:
    """The oldest listing of a piece of a find that offers so many."""
    there = (offer for offer in resale(book).on_offer() if (offer.find, offer.what, offer.bin) == (now.id, piece, None))
    return next((offer for offer in there if offer.left >= count), None)


@dataclass(frozen=True, slots=True)
class SoldSaid:
    """A sale as it was typed."""

    price: reading.Money
    count: int
    mass: reading.Mass | None
    fee: reading.Money
    postage: reading.Money
    minutes: str | int


def _sell_from_bin(book: Book, context: Context, offer: Listing, said: SoldSaid) -> Recorded[SoldResult]:
    """What was taken out before and lies in a bin: the bin gives up what it weighs."""
    there = standing.bins(book)[offer.bin or ""]
    if said.mass is None:
        raise Asked(f"no mass for what leaves the bin {there.id}", "what it weighs", "mass", "mass")
    mg = reading.mass_mg(book, said.mass, "mass")
    if mg > there.mg:
        raise Refused(mass_said(book, mg), f"at most the {mass_said(book, there.mg)} in the bin {there.id}", "mass")
    sold = Parted(
        find=offer.find,
        what=offer.what,
        count=said.count,
        mass_mg=mg,
        was_mg=there.mg,
        price=reading.money(book, said.price, "price"),
        fee=reading.money(book, said.fee, "fee"),
        postage=reading.money(book, said.postage, "postage"),
        minutes=reading.minutes(said.minutes, "minutes"),
        listing=offer.id,
        bin=there.id,
        grade=there.grade,
    )
    net = sold.price * said.count - sold.fee - sold.postage
    return record(book, context, [sold], SoldResult(offer.find, offer.what, said.count, net, there.mg - mg, False))


def _piece(book: Book, now: FindNow, what: str) -> str:
    anatomy = estimates_of(book).anatomy(now.kind)
    named = reading.one_of(what, [piece.id for piece in anatomy.pieces], f"piece of {said_kind(now.kind)}", "part")
    return anatomy.in_hand(named).id


def _mass(book: Book, now: FindNow, mass: reading.Mass | None, last: bool) -> int:
    """All that is left for the last whole one; else what was weighed, which is no more than there is."""
    if mass is None:
        if last or now.mg == 0:
            return now.mg
        raise Asked(
            f"no mass for what leaves {now.id}, which holds {mass_said(book, now.mg)}",
            "what it weighs",
            "mass",
            "mass",
        )
    mg = reading.mass_mg(book, mass, "mass")
    if now.mg and mg > now.mg:
        expected = f"at most the {mass_said(book, now.mg)} left of {now.id}"
        raise Refused(mass_said(book, mg), expected, "mass", hint=Hint("weigh", now.id))
    return mg


@decides(shipped)
def discard(book: Book, context: Context, find: str, mass: reading.Mass | None = None) -> Recorded[FindResult]:
    """Give up what is left of a find: it goes into the bin of residue, `mass` where it was not weighed before.

    What can still hurt goes into no bin (nor does what was never weighed): it is set down as residue apart.
    """
    now = open_find(book, context, find)
    mg = now.mg if mass is None else reading.mass_mg(book, mass, "mass")
    result = tell(book, "discarded", now, mass_mg=mg)
    if not estimates_of(book).knows(now.kind):  # nobody can say that it holds nothing that can hurt
        return record(book, context, [Discarded(now.id, mg, now.mg)], result)
    anatomy = anatomy_of_find(book, now)
    past = before(book, now)
    if mg == 0 or _hides(anatomy, past):
        return record(book, context, [Discarded(now.id, mg, now.mg)], result)
    placing = Placing(book, anatomy, standing.bins(book), frozenset())
    weighed = [Weighed(now.id, mg, now.mg)] if now.mg > 0 and mg != now.mg else []
    opened = Opened(now.id, placing.residue(mg, *_rest(anatomy, past)), mg if weighed else now.mg)
    return record(book, context, [*placing.made, *weighed, opened], result)


def _hides(anatomy: Anatomy, past: Before) -> bool:
    """Whether something in it can hurt that has to come out first."""
    catalogue, run = shipped(), {done.operation for done in past.runs}
    carried = hazards_in(anatomy, catalogue.grades, catalogue.cautions)[anatomy.whole.id]
    return bool(carried) or any(op.required and op.id not in run for op in anatomy.operations)


def _rest(anatomy: Anatomy, past: Before) -> tuple[str, int]:
    """What is given up, and how many: whole finds, or the rest of one."""
    touched = past.runs or past.gone or not past.whole
    return (RESIDUE, 1) if touched else (anatomy.whole.id, past.whole)
