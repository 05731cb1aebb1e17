"""The text of a listing, asked for by name."""

from __future__ import annotations

import datetime as dt

from partway.actions.pictures.pieces import piece_of_kind
from partway.actions.recording import reading
from partway.actions.recording.describe import Say
from partway.actions.recording.naming import tell_find, thing_named
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.reports.selling.listing_text import ListingText, Offered, listing_text
from partway.valuing.known import catalogue_of


def text_of_listing(
    book: Book,
    now: dt.datetime,
    find: str,
    piece: str = "",
    packed: str = "",
    postage: str = "",
    *,
    exact: bool = False,
) -> ListingText:
    """What may be written of a find, or of a `piece` of it; `packed` and `postage` as typed. Raises Refused."""
    ids = standing.find_ids(book)
    key = thing_named(find, ids, "find", "find", lambda one: tell_find(book, standing.find(book, one)), exact)
    there, known = standing.find(book, key), catalogue_of(book)
    offered = Offered(
        there,
        _piece(book, there.kind, piece) if piece.strip() else "",
        reading.mass_mg(book, packed, "packed", positive=True) if packed.strip() else None,
        reading.money(book, postage, "postage") if postage.strip() else None,
    )
    return listing_text(book, known, offered, Say.of(book), now.date(), now.tzinfo)


def _piece(book: Book, kind: str, given: str) -> str:
    """A piece of a kind; nothing for the whole of it."""
    piece, anatomy = piece_of_kind(catalogue_of(book), kind, given, "part")
    return "" if piece == anatomy.whole.id else piece
