"""Finds come in, are tested and put on the scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, replace
from typing import cast

from partway.actions.bench.results import FindResult
from partway.actions.bench.slips import OnScale, check_slips
from partway.actions.curb.on_round import round_of_find
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.naming import next_name, tell_find, thing_named
from partway.actions.recording.unknown import MadeOf, meant
from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard, shipped_cards
from partway.catalogue.named import hazards_of
from partway.catalogue.signs import looked_for
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.days import day_of
from partway.ledger.events.kinds import Found, Tested, Weighed, Works
from partway.ledger.fold import standing
from partway.ledger.fold.standing import FindNow
from partway.ledger.fold.things import MARK
from partway.spoken.texts import day_text
from partway.things.anatomy import Anatomy
from partway.things.signs import NOT, as_text
from partway.things.traits import said_kind, shown_name
from partway.valuing.known import estimates_of

KG = 1e-6  # of a milligram
CONDITIONS = ("yes", "no", "unknown")


@decides(shipped)
def find(
    book: Book,
    context: Context,
    kind: str,
    count: int = 1,
    mass: reading.Mass | None = None,
    works: str = "unknown",
    source: str = "",
    note: str = "",
    photo: str = "",
    model: str = "",
    mostly: str = "",
    cord: str = "",
    motor: str = "",
    battery: str = "",
    own: bool = False,
    sure: bool | str | None = None,
    signs: str | Sequence[str] = (),
    round: str | None = None,  # noqa: A002 (its name on the command line)
) -> Recorded[FindResult]:
    """Record `count` things of a kind; `mass` is of all of them together, `signs` what shows of whether it works.

    A thing that the catalogue does not know is recorded by what it is `mostly`, and whether it has a cord, a motor or a
    battery (yes, no, unknown); `own` says that it is none of the kinds whose names are near. A mass far from what
    others of the kind weighed is asked about, unless somebody is `sure`. It is of the collecting `round` named, or of
    the one that whoever says so is on.
    """
    known, how_many = estimates_of(book), reading.count(count, "count")
    mg = None if mass is None else reading.mass_mg(book, mass, "mass")
    it = meant(kind, MadeOf(mostly, cord, motor, battery, own), known, mg / how_many * KG if mg else None)
    found = Found(
        find="",
        kind=it.kind,
        count=how_many,
        works=condition(works),
        mass_mg=mg,
        source=reading.text(source, "from"),
        note=reading.text(note, "note"),
        photo=reading.text(photo, "photo"),
        model=reading.text(model, "model"),
        signs=said_signs(known.anatomy(it.here), signs),
        **(asdict(it.traits) if it.traits else {}),
        round=round_of_find(book, context, round),
    )
    anatomy = known.anatomy(it.here)
    check_slips(book, known, it.here, [OnScale(anatomy.whole.id, mg or 0, how_many)], sure)
    named = replace(found, find=next_name(book, "find", f"{found.kind}-{context.mark}"))
    result = FindResult(
        "found",
        named.find,
        it.here,
        anatomy.name,
        named.count,
        named.works,
        named.mass_mg or 0,
        cautions(anatomy),
        anatomy.note if anatomy.guessed else "",
        named.round or "",
    )
    return record(book, context, [named], result)


def said_signs(anatomy: Anatomy, said: str | Sequence[str]) -> str:
    """Signs of a find of a kind as its event has them; one with a hyphen before it is not there. Raises Refused."""
    known = [sign.id for sign in looked_for(shipped().signs, anatomy)]
    words = said.split() if isinstance(said, str) else [word for text in said for word in text.split()]
    seen: dict[str, bool] = {}
    for word in words:
        sign = reading.one_of(word.removeprefix(NOT), known, f"sign of {anatomy.name.lower()}", "sign")
        if seen.setdefault(sign, there := not word.startswith(NOT)) is not there:
            raise Refused(f"{sign}, seen and not seen", "each sign once", "sign")
    return as_text(seen)


def condition(works: str) -> Works:
    """Whether it works. Raises Refused."""
    return cast(Works, reading.one_of(works, CONDITIONS, "condition (yes, no, unknown)", "works"))


def open_find(book: Book, context: Context, given: str, where: str = "find") -> FindNow:
    """The find that a text names, which has to be there still. Raises Refused."""
    wanted = given.strip().lower().replace(" ", "-")
    alike = {subject[5:] for subject, _ in book.facts(f"find:{wanted}", "kind")}
    if wanted not in alike or (not context.exact and any(name.startswith(wanted + MARK) for name in alike)):
        closed = {subject[5:] for (subject, _), said in book.facts("find:", "closed").items() if said == "yes"}
        wanted = thing_named(
            given,
            standing.find_ids(book) - closed,
            "find",
            where,
            lambda key: tell_find(book, standing.find(book, key)),
            context.exact,
        )
    now = standing.find(book, wanted)
    if now.closed:
        raise Refused(f'"{wanted}", of which nothing is left', "a find that is still there", where, hint=Hint("finds"))
    if context.time < now.found:
        first = day_text(day_of(now.found, context.clock().tzinfo), context.clock().date())
        raise Refused(f"a day before {wanted} was found", f"{first} or later", "on")
    return now


@decides(shipped)
def test(book: Book, context: Context, find: str, works: str) -> Recorded[FindResult]:
    """Whether a find works."""
    now = open_find(book, context, find)
    result = condition(works)
    return record(book, context, [Tested(now.id, result)], tell(book, "tested", now, works=result))


@decides(shipped)
def weigh(
    book: Book, context: Context, find: str, mass: reading.Mass, sure: bool | str | None = None
) -> Recorded[FindResult]:
    """What all that is left of a find weighs now. Of a whole one, what is far from others is asked about."""
    now = open_find(book, context, find)
    mg = reading.mass_mg(book, mass, "mass")
    if not any(True for _ in book.events(("opened", "sold"), f"find:{now.id}")):
        known = estimates_of(book)
        whole = known.anatomy(now.kind).whole.id if known.knows(now.kind) else ""
        check_slips(book, known, now.kind, [OnScale(whole, mg, now.count)], sure)
    return record(book, context, [Weighed(now.id, mg, now.mg)], tell(book, "weighed", now, mass_mg=mg))


def tell(book: Book, what: str, now: FindNow, works: str | None = None, mass_mg: int | None = None) -> FindResult:
    """A find in a few words; of a kind that nobody knows here, by what it was called."""
    known = estimates_of(book)
    anatomy = known.anatomy(now.kind) if known.knows(now.kind) else None
    name, cards = (anatomy.name, cautions(anatomy)) if anatomy else (shown_name(said_kind(now.kind)), ())
    mg = now.mg if mass_mg is None else mass_mg
    return FindResult(what, now.id, now.kind, name, now.count, works or now.works, mg, cards)


def cautions(anatomy: Anatomy) -> tuple[CautionCard, ...]:
    """Cards of all that can hurt about a find of a kind."""
    return shipped_cards(hazards_of(anatomy, shipped().grades))
