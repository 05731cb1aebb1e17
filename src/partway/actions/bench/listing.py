"""Things put on offer by the unit: listed, asked less for, taken down, and back after a sale."""

from __future__ import annotations

from collections.abc import Callable

from partway.actions.bench.finds import cautions, open_find
from partway.actions.bench.offer_results import BackResult, OfferResult
from partway.actions.bins.bins import bin_named
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.naming import next_name, tell_find, thing_named
from partway.catalogue import shipped
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import AskedAnew, Listed, Returned, TakenDown
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.ledger.fold.things import MARK
from partway.ledger.offers import Listing, Resale, UnitSale, resale
from partway.things.traits import said_kind
from partway.valuing.known import anatomy_of_find, catalogue_of
from partway.valuing.left import before

TAIL = 8  # characters of an id that people are shown


@decides(shipped)
def put_on_offer(
    book: Book,
    context: Context,
    find: str,
    asking: reading.Money,
    what: str = "",
    count: int = 1,
    where: str = "",
    part: str = "",
    bin_id: str = "",
    minutes: str | int = 0,
    note: str = "",
) -> Recorded[OfferResult]:
    """Put `count` of a find on offer whole, or of a piece of it (`what`), at `asking` each. `part` is by which name of
    the catalogue; `bin_id` where a piece lies that was taken out before.
    """
    now = _find(book, context, find) if bin_id else open_find(book, context, find)
    anatomy = anatomy_of_find(book, now)
    known = [piece.id for piece in anatomy.pieces]
    piece = anatomy.whole.id if not what else reading.one_of(what, known, f"piece of {said_kind(now.kind)}", "part")
    piece = anatomy.in_hand(piece).id
    names = [one.name for one in anatomy.piece(piece).parts if one.name]
    named = reading.one_of(part, names, f"name that {piece} sells by", "named") if part else ""
    listed = Listed(
        listing=next_name(book, "listing", f"{now.id.partition(MARK)[0]}-offer-{context.mark}"),
        find=now.id,
        what=piece,
        count=reading.count(count, "count"),
        asking=reading.money(book, asking, "asking"),
        where=reading.text(where, "where"),
        part=named,
        bin=bin_named(book, bin_id, "bin", exact=context.exact).id if bin_id else None,
        minutes=reading.minutes(minutes, "minutes"),
        note=reading.text(note, "note"),
    )
    if piece == anatomy.whole.id and not bin_id:
        _check_count(book, now, listed.count)
    told = listed.listing, now.id, piece, listed.count, listed.asking, listed.asking, cautions(anatomy)
    result = OfferResult("listed", *told)
    return record(book, context, [listed], result)


def _find(book: Book, context: Context, given: str) -> FindNow:
    """A find, also one of which nothing is left: a piece of it lies in a bin."""
    ids = standing.find_ids(book)
    key = thing_named(given, ids, "find", "find", lambda one: tell_find(book, standing.find(book, one)), context.exact)
    return standing.find(book, key)


def _check_count(book: Book, now: FindNow, count: int) -> None:
    """No more are put on offer whole than are whole and not on offer yet."""
    whole = anatomy_of_find(book, now).whole.id
    offered = sum(one.left for one in resale(book).on_offer() if (one.find, one.what, one.bin) == (now.id, whole, None))
    free = max(0, before(book, now).whole - offered)
    if count > free:
        there = f", as {offered} {'is' if offered == 1 else 'are'} on offer already" if offered else ""
        raise Refused(f"{count} whole", f"at most {free}{there}", "count")


@decides(shipped)
def reprice(book: Book, context: Context, listing: str, asking: reading.Money) -> Recorded[OfferResult]:
    """Ask another price from now on, each."""
    offer = offer_named(book, context, listing)
    price = reading.money(book, asking, "asking")
    result = OfferResult("repriced", offer.id, offer.find, offer.what, offer.left, price, offer.asked)
    return record(book, context, [AskedAnew(offer.id, price)], result)


@decides(shipped)
def take_down(
    book: Book, context: Context, listing: str, count: int | None = None, note: str = ""
) -> Recorded[OfferResult]:
    """Take down what is left of a listing, or `count` of it, unsold."""
    offer = offer_named(book, context, listing)
    units = offer.left if count is None else reading.count(count, "count")
    if units > offer.left:
        raise Refused(f"{units} taken down", f"at most the {offer.left} still on offer", "count")
    down = TakenDown(offer.id, units, reading.text(note, "note"))
    result = OfferResult("taken-down", offer.id, offer.find, offer.what, offer.left - units, offer.asking, offer.asked)
    return record(book, context, [down], result)


def offer_named(book: Book, context: Context, given: str, where: str = "listing") -> Listing:
    """The listing that a text names, or the only one of a find, with something left. Raises Refused, or Asked."""
    on_offer = {offer.id: offer for offer in resale(book).on_offer()}
    of_find = [offer for offer in on_offer.values() if offer.find == given.strip().lower()]
    if given not in on_offer and len(of_find) == 1:
        return of_find[0]
    if not on_offer:
        raise Refused(f'"{given}"', "a listing, and nothing is on offer", where, hint=Hint("finds"))
    return on_offer[thing_named(given, on_offer, "listing", where, _tell(on_offer), context.exact)]


def _tell(offers: dict[str, Listing]) -> Callable[[str], str]:
    return lambda key: f"{offers[key].what} of {offers[key].find}, asked {offers[key].asking}"


@decides(shipped)
def take_back(
    book: Book,
    context: Context,
    sale: str,
    refund: reading.Money | None = None,
    count: int | None = None,
    postage: reading.Money = "0",
    bin_id: str = "",
    again: bool = False,
) -> Recorded[BackResult]:
    """Units of a sale come back: `sale` names it by its listing, its find or the id of its entry.

    `refund` is all the money that went back, by default what they were sold for. They lie in their find, or in
    `bin_id`; `again` puts them back on their listing.
    """
    sold = _sale_named(resale(book), sale)
    units = sold.stays if count is None else reading.count(count, "count")
    if units > sold.stays:
        raise Refused(f"{units} back", f"at most the {sold.stays} that were sold and are not back yet", "count")
    if again and sold.listing is None:
        raise Refused("on offer again", "a sale by a listing; put it on offer anew", "again")
    into = bin_named(book, bin_id, "bin", exact=context.exact) if bin_id else None
    money = sold.price * units if refund is None else reading.money(book, refund, "refund")
    back = Returned(
        sale=sold.event,
        find=sold.find,
        what=sold.what,
        count=units,
        mass_mg=_mass(book, sold, units),
        refund=money,
        postage=reading.money(book, postage, "postage"),
        bin=into.id if into else None,
        grade=into.grade if into else None,
        listing=sold.listing if again else None,
    )
    known, kind = catalogue_of(book), standing.find(book, sold.find).kind
    cards = cautions(known.anatomy(kind)) if known.knows(kind) else ()
    result = BackResult(sold.find, sold.what, units, money, back.mass_mg, back.bin or "", back.listing or "", cards)
    return record(book, context, [back], result)


def _mass(book: Book, sold: UnitSale, units: int) -> int:
    """The share of a sale's mass that comes back, the last units all that is left of it."""
    event = book.event(sold.event)
    whole = int(getattr(event.what, "mass_mg", 0)) if event else 0
    before_now = whole * sold.back // sold.count
    return whole * (sold.back + units) // sold.count - before_now


def _sale_named(known: Resale, given: str) -> UnitSale:
    """The sale that a text names, the last of them where several go by it. Raises Refused."""
    wanted = given.strip().lower()
    sales = [sale for sale in known.sales if sale.stays]
    found = [sale for sale in sales if wanted in (sale.listing, sale.find, str(sale.event)) or _ends(sale, wanted)]
    if not found:
        raise Refused(f'"{given}"', "a sale that is not back yet: its listing, its find or its entry", "sale")
    return found[-1]


def _ends(sale: UnitSale, wanted: str) -> bool:
    return len(wanted) == TAIL and str(sale.event).endswith(wanted)
