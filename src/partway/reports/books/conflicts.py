"""Conflicts as lines to read: what cannot all be true, who said what where, and how to settle it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from partway.ledger.balance.conflicts import TAKEN_BACK, Code, Conflict, Side
from partway.ledger.book import Book
from partway.ledger.days import local
from partway.ledger.events.codec import payload_from
from partway.ledger.events.kinds import Described
from partway.quantities import format_mass_in
from partway.reports.books.ledger import TAIL, words
from partway.reports.called import Called, the
from partway.things.units import ShownUnits

TWO_DEVICES = "two devices disagree"
MORE_OUT = "more went out than was in it"
BELOW_ZERO: tuple[Code, ...] = ("find-below-zero", "bin-below-zero")
SORTS = {
    "find": "",
    "bin": "bin ",
    "buyer": "",
    "haul": "",
    "ticket": "",
    "round": "",
    "setting": "setting ",
    "rule": "rule ",
    "kind": "kind ",
    "listing": "listing ",
}


@dataclass(frozen=True, slots=True)
class SideLine:
    """One event of a conflict. `id` is what `partway correct` takes, `event` the whole id; `here` says that it was
    recorded on this device.
    """

    id: str
    event: str
    who: str
    happened: str
    device: str
    here: bool
    says: str


@dataclass(frozen=True, slots=True)
class ConflictLine:
    """One conflict. `words` say what cannot be true; correcting one of `sides` settles it, or `instead`, where that
    is not empty: recount or say-again.
    """

    code: Code
    mark: str
    subjects: tuple[str, ...]
    words: str
    sides: tuple[SideLine, ...]
    instead: str


def report_conflicts(
    book: Book, units: ShownUnits, zone: dt.tzinfo | None, subject: str | None = None, called: Called | None = None
) -> tuple[ConflictLine, ...]:
    """All conflicts of a book, or those that touch one subject; masses and distances in `units`, times in `zone`.

    Things and days go by what people call them where `called` is there to say it, else to the letter.
    """
    found = book.conflicts()
    chosen = [one for one in found if subject is None or subject in one.subjects]
    return conflict_lines(chosen, units, zone, book.head().device, called) if chosen else ()


def conflict_lines(
    found: Iterable[Conflict], units: ShownUnits, zone: dt.tzinfo | None, device: str = "", called: Called | None = None
) -> tuple[ConflictLine, ...]:
    """Conflicts as lines; `device` is this one's own mark."""
    write = _Writer(units, zone, device, called)
    return tuple(write.line(one) for one in found)


def mark_of(codes: Sequence[str]) -> str:
    """The mark that a figure carries because of conflicts, in words; "" for none."""
    if not codes:
        return ""
    return MORE_OUT if all(code in BELOW_ZERO for code in codes) else TWO_DEVICES


def in_doubt(lines: Iterable[ConflictLine | Conflict]) -> tuple[Code, ...]:
    """Why masses over the whole ledger are in doubt: whatever find or bin is in conflict is in them."""
    return tuple({one.code: None for one in lines if any(s.startswith(("find:", "bin:")) for s in one.subjects)})


@dataclass(frozen=True)
class _Writer:
    units: ShownUnits
    zone: dt.tzinfo | None
    device: str
    called: Called | None = None

    def mass(self, mg: int | str) -> str:
        return format_mass_in(int(mg) / 1e6, self.units.mass)

    def moment(self, happened: dt.datetime) -> str:
        here = local(happened, self.zone)
        return self.called.moment(here) if self.called else here.strftime("%Y-%m-%d %H:%M")

    def day(self, day: str) -> str:
        return self.called.day(dt.date.fromisoformat(day)) if self.called else day

    def name(self, subject: str) -> str:
        sort, _, key = subject.partition(":")
        if self.called is None or sort in ("setting", "rule"):
            return f"{SORTS.get(sort, '')}{key}"
        name: str = getattr(self.called, sort)(key)
        return f"the bin {name}" if sort == "bin" else the(name)

    def line(self, one: Conflict) -> ConflictLine:
        instead = INSTEAD.get(one.code, "")
        return ConflictLine(
            one.code, mark_of((one.code,)), one.subjects, WORDS[one.code](self, one), self.sides(one), instead
        )

    def sides(self, one: Conflict) -> tuple[SideLine, ...]:
        return tuple(
            SideLine(
                str(side.event)[-TAIL:],
                str(side.event),
                side.who,
                self.moment(side.happened),
                side.device,
                bool(self.device) and side.device == self.device,
                SAYS[one.code](self, one, side),
            )
            for side in one.sides
        )


def _ended(write: _Writer, one: Conflict) -> str:
    said = " and ".join(dict.fromkeys(ENDED.get(side.says, side.says) for side in one.sides))
    return f"{write.name(one.subjects[0])} was {said} on different devices; only one of these can have happened"


def _below(write: _Writer, one: Conflict) -> str:
    return f"{write.mass(-one.mg)} more came out of {write.name(one.subjects[0])} than was in it"


def _counts(write: _Writer, one: Conflict) -> str:
    early, late = one.sides
    first, second = write.mass(early.says), write.mass(late.says)
    return (
        f"{write.name(one.subjects[0])} was counted on two devices: {first}, then {second} "
        f"by somebody who did not know of the first count; the second is taken as right"
    )


def _corrections(_: _Writer, one: Conflict) -> str:
    event = one.subjects[0][-TAIL:]
    if any(side.says == TAKEN_BACK for side in one.sides):
        return f"event {event} was taken back on one device and put right on another; what was put right counts"
    return f"event {event} was put right on two devices in two ways; both count, so it counts twice"


def _prices(write: _Writer, one: Conflict) -> str:
    buyer, grade = one.subjects[1].split(":")[1:3]
    if write.called is not None:
        buyer, grade = write.called.buyer(buyer), write.called.grade(grade)
    said = " and ".join(side.says for side in one.sides)
    return f"{buyer} said two prices for {grade} on {write.day(one.name)}: {said}; the later one is taken"


def _oversold(write: _Writer, one: Conflict) -> str:
    return f"{write.name(one.subjects[0])} was sold or taken down on different devices more often than it was on offer"


def _words(write: _Writer, one: Conflict) -> str:
    said = " and ".join(dict.fromkeys(_word_says(write, one, side) for side in one.sides))
    return f"{write.name(one.subjects[0])}, {one.name}: two devices say {said} at the same time"


WHOLE = {
    "terms": "traded",
    "heard": "quoted",
    "printed": "ticketed",
    "here": "ruled",
}  # fields that hold a whole payload
SOLD_OR_DOWN = {"sold": "sold", "taken-down": "taken down"}
ENDED = {"opened": "opened", "sold": "sold", "discarded": "given up"}
WORDS: Mapping[Code, Callable[[_Writer, Conflict], str]] = {
    "ended-twice": _ended,
    "find-below-zero": _below,
    "bin-below-zero": _below,
    "recounts-differ": _counts,
    "corrections-differ": _corrections,
    "prices-differ": _prices,
    "words-differ": _words,
    "listing-oversold": _oversold,
}


def _mass_says(write: _Writer, _: Conflict, side: Side) -> str:
    return write.mass(side.says)


def _out_says(write: _Writer, _: Conflict, side: Side) -> str:
    return f"{write.mass(side.says)} out"


def _word_says(write: _Writer, one: Conflict, side: Side) -> str:
    """A word on a field; where it is a whole payload, that in words."""
    kind = WHOLE.get(one.name)
    if one.name == "anatomy":
        return words(Described(one.subjects[0].partition(":")[2], side.says), write.units, write.called)
    if kind is None:
        return side.says or "nothing"
    return words(payload_from(kind, side.says), write.units, write.called)


def _ids_says(_: _Writer, __: Conflict, side: Side) -> str:
    if side.says == TAKEN_BACK:
        return TAKEN_BACK
    return ", ".join(f"{text[-TAIL:]} instead" for text in side.says.split())


SAYS: Mapping[Code, Callable[[_Writer, Conflict, Side], str]] = {
    "ended-twice": lambda _, __, side: ENDED.get(side.says, side.says),
    "find-below-zero": _out_says,
    "bin-below-zero": _out_says,
    "recounts-differ": _mass_says,
    "corrections-differ": _ids_says,
    "prices-differ": lambda _, __, side: side.says,
    "words-differ": _word_says,
    "listing-oversold": lambda _, __, side: SOLD_OR_DOWN.get(side.says, side.says),
}
INSTEAD: Mapping[Code, str] = {"bin-below-zero": "recount", "recounts-differ": "recount", "words-differ": "say-again"}
