"""Kinds of one's own: said, said anew, given up. What is unsound is refused, and nothing is recorded."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace as replaced

from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.questions import Asked
from partway.actions.what.results import KindSaid, KindsResult
from partway.catalogue import shipped
from partway.catalogue.cards import card, shipped_cards
from partway.catalogue.named import hazards_of
from partway.catalogue.plain import PlainKind, anatomy_of
from partway.catalogue.seen import kind_seen
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.fields import LONGEST_ANATOMY
from partway.ledger.events.kinds import Described
from partway.ledger.fold import standing
from partway.quantities import shown
from partway.things.anatomy import Anatomy
from partway.things.traits import plain_name, said_kind, shown_name
from partway.valuing.finds.seen import opening_of, openings_of
from partway.valuing.known import estimates_of
from partway.valuing.own_kinds import texts_of

KIND, TEXT, INSTEAD = "kind", "anatomy", "replace"


@decides(shipped)
def add_kinds(
    book: Book, context: Context, text: str, replace: bool | None = None, where: str = TEXT
) -> Recorded[KindsResult]:
    """Make the anatomies of a TOML text kinds of one's own, all or none; `where` is the file it stands in.

    A kind that is one's own already is said anew. One that ships gives way only where that was meant (`replace`), and
    then keeps all that it warns of.
    """
    from partway.catalogue.own import anatomies_in  # the forms of files are slow to make

    return _say(book, context, anatomies_in(text, where), replace)


def _say(book: Book, context: Context, anatomies: Sequence[Anatomy], replace: bool | None) -> Recorded[KindsResult]:
    from partway.catalogue.writing import anatomy_text

    before = texts_of(book)
    said = {anatomy.kind: (anatomy, anatomy_text(anatomy)) for anatomy in anatomies}
    new = {kind: one for kind, one in said.items() if before.get(kind) != one[1]}
    if not new:
        raise Refused(f"{', '.join(said)} as in the ledger already", "an anatomy in which something changed", TEXT)
    for kind, (anatomy, text) in new.items():
        _check(anatomy, text, replace or kind in before)
    told = tuple(_told(book, anatomy, kind in before) for kind, (anatomy, _) in new.items())
    hazards = (hazard for anatomy, _ in new.values() for hazard in hazards_of(anatomy, shipped().grades))
    events = [Described(kind, text) for kind, (_, text) in new.items()]
    return record(book, context, events, KindsResult(told, shipped_cards(hazards)))


@decides(shipped)
def kind_from(
    book: Book,
    context: Context,
    find: str,
    hazards: str | None = None,
    name: str = "",
    names: str = "",
    kind: str = "",
    replace: bool | None = None,
) -> Recorded[KindsResult]:
    """Make what came out of a find, and of others called so, a kind of one's own. `hazards` are the cards of what can
    hurt when one is opened, or none: nobody but who opened it can say.
    """
    if hazards is None:
        expected = "what can hurt when it is opened, such as mains,sharp-edges; or none"
        raise Refused("no word on what can hurt", expected, "hazards")
    plain = seen_kind(book, find)
    said = replaced(
        plain,
        kind=plain_name(kind) or plain.kind,
        name=reading.text(name, "name") or plain.name,
        names=listed(names, "names"),
        hazards=hazards_said(hazards),
    )
    return _say_plain(book, context, said, replace)


@decides(shipped)
def say_plain(book: Book, context: Context, plain: PlainKind, replace: bool | None = None) -> Recorded[KindsResult]:
    """Make a kind of one operation one's own, as it was filled in."""
    return _say_plain(book, context, plain, replace)


def _say_plain(book: Book, context: Context, plain: PlainKind, replace: bool | None) -> Recorded[KindsResult]:
    from partway.catalogue.own import anatomies_in
    from partway.catalogue.writing import anatomy_text

    if not plain.pieces:
        raise Refused("no piece", "at least one piece with its mass", "pieces")
    anatomy = anatomy_of(plain, shipped().grades, shipped().cautions)
    return _say(book, context, anatomies_in(anatomy_text(anatomy), TEXT), replace)


def seen_kind(book: Book, find: str) -> PlainKind:
    """The kind that the openings of a find, and of others called so, make. Raises Refused where none was weighed."""
    named = reading.one_of(find, standing.find_ids(book), "find", "find")
    now, known = standing.find(book, named), estimates_of(book)
    seen = openings_of(book, now.kind)
    if opening_of(book, named) is None:
        raise Refused(f"{named}, of which no piece was weighed", "a find that was opened, its pieces weighed", "find")
    anatomy = known.anatomy(now.kind) if known.knows(now.kind) else None
    called = said_kind(now.kind)
    name = anatomy.name if anatomy else shown_name(called)
    hazards, sells = (anatomy.cautions, anatomy.whole.sells) if anatomy else ((), ())
    return kind_seen(called, name, seen, hazards, (), sells)


def hazards_said(text: str) -> tuple[str, ...]:
    """Cards by their ids, joined by commas; none for "none". Raises Refused."""
    given = [one for one in re.split(r"[,;]", text) if one.strip()]
    if [one.strip().lower() for one in given] in ([], ["none"]):
        return ()
    return tuple(dict.fromkeys(reading.one_of(one, shipped().cautions, "caution", "hazards") for one in given))


def listed(text: str, where: str) -> tuple[str, ...]:
    """Names joined by commas. Raises Refused."""
    return tuple(dict.fromkeys(name for one in text.split(",") if (name := reading.text(one, where))))


@decides(shipped)
def give_up_kind(book: Book, context: Context, kind: str) -> Recorded[KindsResult]:
    """A kind is one's own no more. Finds of it stay; one that ships counts again."""
    named = own_kind_named(book, kind)
    finds = _finds(book, named)
    result = KindsResult((KindSaid(named, named, "given up", finds, named in shipped().kinds),))
    return record(book, context, [Described(named)], result)


def own_kind_named(book: Book, given: str) -> str:
    """The kind of one's own that a text names, also one that cannot be used. Raises Refused."""
    known = texts_of(book)
    if not known:
        raise Refused(shown(given), "a kind of your own; there is none yet", KIND, hint=Hint("kinds"))
    return reading.one_of(given, known, "kind of your own", KIND)


def _check(anatomy: Anatomy, text: str, meant: bool) -> None:
    """Raises Refused for an id that is none, and for one that ships and was not meant; Asked where it may be."""
    kind = anatomy.kind
    if kind != plain_name(kind) and reading.slug(kind, KIND) != kind:
        raise Refused(shown(kind), f"an id such as {plain_name(kind)}", KIND)
    if len(text) > LONGEST_ANATOMY:
        raise Refused(f"{len(text):,} characters, components written out", f"at most {LONGEST_ANATOMY:,}", TEXT)
    if kind not in shipped().kinds:
        return
    ours = shipped().anatomy(kind)
    if not meant:
        means = ((("yes", f"it takes the place of the {ours.name.lower()} that ships, in this ledger")),)
        expected = "another id, or to say that it takes that one's place"
        raise Asked(f"{shown(kind)}, a kind that ships with partway", expected, KIND, INSTEAD, means)
    if missing := [hazard for hazard in ours.cautions if hazard not in anatomy.cautions]:
        names = ", ".join(f"{card(shipped().cautions, hazard).name} ({hazard})" for hazard in missing)
        raise Refused(f"{shown(kind)} without a caution", f"all that the kind that ships warns of: {names}", KIND)


def _told(book: Book, anatomy: Anatomy, known: bool) -> KindSaid:
    ships = anatomy.kind in shipped().kinds
    return KindSaid(anatomy.kind, anatomy.name, "changed" if known else "new", _finds(book, anatomy.kind), ships)


def _finds(book: Book, kind: str) -> int:
    return sum(now.kind == kind for now in standing.finds(book).values())
