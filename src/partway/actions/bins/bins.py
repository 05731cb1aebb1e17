"""Bins: named, put on the scale, moved and merged."""

from __future__ import annotations

from partway.actions.bins.results import BinResult
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.naming import key_or_slug, tell_bin, thing_named
from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard, shipped_cards
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Binned, Moved, Payload, Recounted
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.ledger.fold.things import MARK


@decides(shipped)
def add_bin(
    book: Book,
    context: Context,
    grade: str,
    bin_id: str = "",
    name: str = "",
    capacity: str | None = None,
    holds: reading.Mass | None = None,
) -> Recorded[BinResult]:
    """A bin for a grade, by default of the grade's own name. A bin that holds something keeps its grade.

    `holds` is what was in it before the ledger began.
    """
    of = reading.grade(grade, "grade")
    bins = standing.bins(book)
    bin_id = key_or_slug(bin_id or of, bins, "bin")
    now = bins.get(bin_id)
    if now and now.mg and now.grade != of:
        raise Refused(
            f"{of} for the bin {bin_id}", f"{now.grade}, which is in it, or another name for a new bin", "grade"
        )
    litres = reading.litres(book, capacity, "capacity") if capacity is not None else now.capacity_l if now else None
    binned = Binned(bin_id, of, reading.text(name, "name") or (now.name if now else ""), litres)
    was = now.mg if now else 0
    mg = was if holds is None else reading.mass_mg(book, holds, "holds", positive=False)
    counted = [] if holds is None else [Recounted(bin_id, of, mg, was, opening=True)]
    result = BinResult("changed" if now else "added", bin_id, of, mg, mg - was, "", hazards(of))
    return record(book, context, [binned, *counted], result)


def bin_to_show(book: Book, given: str) -> str:
    """The bin that goes by a name, or by the grade of that name; "" where it is still to be made."""
    bins = standing.bins(book)
    plain = key_or_slug(given, bins, "bin") if given.isprintable() else ""
    if plain in bins:
        return plain
    try:
        of = reading.grade(given, "grade")
    except Refused:
        return ""
    return of if of in bins else ""


def bin_named(book: Book, given: str, where: str = "bin", *, exact: bool = False, option: str = "bin_id") -> BinNow:
    """The bin that a text names. Raises Refused, or Asked where several go by it."""
    bins = standing.bins(book)
    return bins[thing_named(given, bins, "bin", where, lambda key: tell_bin(book, bins[key]), exact, option)]


def hazards(grade: str) -> tuple[CautionCard, ...]:
    """Cards of what can hurt about a grade."""
    return shipped_cards(shipped().grades[grade].hazards)


@decides(shipped)
def recount(book: Book, context: Context, bin_id: str, mass: reading.Mass) -> Recorded[BinResult]:
    """What a bin holds by the scale, less the bin itself."""
    now = bin_named(book, bin_id, exact=context.exact)
    mg = reading.mass_mg(book, mass, "mass", positive=False)
    result = BinResult("recounted", now.id, now.grade, mg, mg - now.mg, "", hazards(now.grade))
    return record(book, context, [Recounted(now.id, now.grade, mg, now.mg)], result)


@decides(shipped)
def move(
    book: Book,
    context: Context,
    bin_id: str,
    to_bin: str,
    mass: reading.Mass | None = None,
    regrade: bool | None = None,
) -> Recorded[BinResult]:
    """Some or all (`mass` None) of a bin into another; into one of another grade only where `regrade` says so."""
    source = bin_named(book, bin_id, exact=context.exact)
    target, payloads = _target(book, source, to_bin, context.exact)
    mg = source.mg if mass is None else reading.mass_mg(book, mass, "mass")
    if not 0 < mg <= source.mg:
        raise Refused(f"{mg / 1e6:g} kg out of {source.id}", f"at most the {source.mg / 1e6:g} kg in it", "mass")
    if source.grade != target.grade:
        _check_regrade(source, target, regrade)
    moved = Moved(source.id, target.id, source.grade, target.grade, mg)
    result = BinResult("moved", target.id, target.grade, target.mg + mg, mg, source.id, hazards(target.grade))
    return record(book, context, [*payloads, moved], result)


def _target(book: Book, source: BinNow, given: str, exact: bool) -> tuple[BinNow, list[Payload]]:
    """The bin to move to; the name of a grade makes a bin for it."""
    bins = standing.bins(book)
    plain = key_or_slug(given.removesuffix(MARK), bins, "to")
    if plain not in bins and plain in shipped().grades:
        return BinNow(plain, plain, 0), [Binned(plain, plain)]
    target = bin_named(book, given, "to", exact=exact, option="to_bin")
    if target.id == source.id:
        raise Refused(f"{target.id} into itself", "another bin", "to")
    return target, []


def _check_regrade(source: BinNow, target: BinNow, regrade: bool | None) -> None:
    missing = set(shipped().grades[source.grade].hazards) - set(shipped().grades[target.grade].hazards)
    if missing:
        given = f"{source.grade} into {target.id}, a bin of {target.grade}"
        raise Refused(given, f"a bin whose grade names the hazard: {', '.join(sorted(missing))}", "to")
    if not regrade:
        given = f"{source.grade} into {target.id}, a bin of {target.grade}"
        choices = (("yes", f"what is moved counts as {target.grade} from now on"),)
        raise Asked(given, f"a bin of {source.grade}", "to", "regrade", choices)
