"""A photograph of a find, of a piece of it or of its kind, of a bin, or of a ticket."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from partway.actions.bins.bins import bin_named
from partway.actions.pictures.pieces import piece_of_kind
from partway.actions.pictures.results import PictureResult
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.kinds import kind_meant
from partway.actions.recording.naming import tell_find, thing_named
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import Pictured
from partway.ledger.fold import standing
from partway.ledger.pictures import pictures_of
from partway.photographs.photograph import Photograph
from partway.valuing.known import estimates_of


@dataclass(frozen=True, slots=True)
class PictureOf:
    """What a photograph is of: the sort of thing, its name, and the `piece` with its `kind`, empty for none."""

    sort: str
    name: str
    kind: str = ""
    piece: str = ""


@decides(shipped)
def picture(
    book: Book,
    context: Context,
    of: str,
    photograph: Photograph,
    sort: str = "find",
    piece: str = "",
    note: str = "",
) -> Recorded[PictureResult]:
    """Keep a photograph and record what it is of: a find, a bin or a ticket that a text names, or a kind's piece.

    It was read, made small and stripped before (partway.photographs): that takes long, and nobody has to wait for it.
    The file is kept first, so that no event ever names one that is not there. Raises Refused.
    """
    what = picture_of(book, context, of, sort, piece)
    payload = Pictured(
        photograph.digest,
        photograph.width,
        photograph.height,
        **({} if what.sort == "kind" else {what.sort: what.name}),
        kind=what.kind or None,
        piece=what.piece,
        note=reading.text(note, "note"),
    )
    _check_new(book, what, photograph)
    book.photographs.keep(photograph.digest, photograph.content)
    result = PictureResult(what.sort, what.name, what.piece, photograph.digest, photograph.width, photograph.height)
    return record(book, context, [payload], result)


def picture_of(book: Book, context: Context, of: str, sort: str, piece: str) -> PictureOf:
    """What a text names that is photographed. Raises Refused, or Asked where several things go by it."""
    named = NAMED.get(sort)
    if named is None:
        raise Refused(f'"{sort[:40]}"', ", ".join(NAMED), "of")
    return named(book, context, of, piece)


def _find(book: Book, context: Context, of: str, piece: str) -> PictureOf:
    ids = standing.find_ids(book)
    key = thing_named(of, ids, "find", "find", lambda one: tell_find(book, standing.find(book, one)), context.exact)
    if not piece.strip():
        return PictureOf("find", key)
    kind = standing.find(book, key).kind
    return PictureOf("find", key, kind, _piece(book, kind, piece))


def _bin(book: Book, context: Context, of: str, piece: str) -> PictureOf:
    _no_piece(piece)
    return PictureOf("bin", bin_named(book, of, "bin", exact=context.exact).id)


def _ticket(book: Book, context: Context, of: str, piece: str) -> PictureOf:
    _no_piece(piece)
    known = trading.tickets(book)
    numbered = [name for name, ticket in known.items() if ticket.number and ticket.number == of.strip()]
    name = numbered[0] if len(numbered) == 1 else of
    tell: Callable[[str], str] = lambda key: f"total {known[key].total}"  # noqa: E731
    return PictureOf("ticket", thing_named(name, known, "ticket", "ticket", tell, context.exact))


def _kind(book: Book, context: Context, of: str, piece: str) -> PictureOf:
    kind = kind_meant(of, "kind", estimates_of(book))
    if not piece.strip():
        raise Refused("nothing", f"the piece of a {kind} that it is of", "piece")
    return PictureOf("kind", kind, kind, _piece(book, kind, piece))


def _piece(book: Book, kind: str, given: str) -> str:
    return piece_of_kind(estimates_of(book), kind, given, "piece")[0]


def _no_piece(piece: str) -> None:
    if piece.strip():
        raise Refused(f'"{piece[:40]}"', "no piece: it is of a bin or a ticket", "piece")


NAMED: dict[str, Callable[[Book, Context, str, str], PictureOf]] = {
    "find": _find,
    "bin": _bin,
    "ticket": _ticket,
    "kind": _kind,
}


def _check_new(book: Book, what: PictureOf, photograph: Photograph) -> None:
    """Raises Refused for the same photograph of the same thing once more."""
    shown = pictures_of(book, f"{what.sort}:{what.name}")
    there = [one.picture for one in shown if one.piece == what.piece]
    if photograph.digest in there:
        raise Refused("a photograph that is there already", "another one", "file")
