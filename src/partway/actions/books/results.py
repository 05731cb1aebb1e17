"""What is told of money, hours and corrections."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from uuid import UUID

from partway.actions.books.consequences import Consequences
from partway.actions.recording.describe import Say, the
from partway.display import length_of_time
from partway.reports.called import Called

SHORT_WORDS = ("closed", "count", "works", "grade", "status", "value")  # fields whose words can be read as they are


@dataclass(frozen=True, slots=True)
class MoneyResult:
    """Money in (above 0) or out (below). `rounding` is what coins were less than a ticket that they paid in full."""

    what: str
    amount: Decimal
    of: str = ""
    open: Decimal | None = None
    rounding: Decimal = Decimal(0)

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        left = "" if self.open is None else f", {say.money(self.open)} open" if self.open else ", paid in full"
        cents = f", {say.money(self.rounding)} booked as rounding" if self.rounding else ""
        yield f"{say.money(abs(self.amount))} {self.what}{f' for {self.of}' if self.of else ''}{left}{cents}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Paid: $160.00 for the ticket of 12 March, ridge yard, in full"."""
        amount = say.money(abs(self.amount))
        if self.what == "spent":
            return f"Spent {amount}{f' on {self.of}' if self.of else ''}"
        left = "" if self.open is None else f", {say.money(self.open)} open" if self.open else ", in full"
        return f"Paid: {amount}{f' for {the(called.payer(self.of))}' if self.of else ''}{left}"


@dataclass(frozen=True, slots=True)
class HoursResult:
    """Minutes worked."""

    activity: str
    minutes: int
    find: str = ""

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        yield f"{length_of_time(self.minutes)} {self.activity}{f' on {self.find}' if self.find else ''}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "15 min at the bench, on the microwave"."""
        where = {"collect": "collecting", "bench": "at the bench", "haul": "on a haul", "list": "listing"}
        on = f", on {the(called.find(self.find))}" if self.find else ""
        return f"{length_of_time(self.minutes)} {where.get(self.activity, 'of other work')}{on}"


@dataclass(frozen=True, slots=True)
class NoteResult:
    """A note, and what it is about, empty where it is not about that."""

    text: str
    find: str = ""
    buyer: str = ""
    bin: str = ""

    def words(self, say: Say) -> Iterator[str]:
        """Its line."""
        about = " and ".join(one for one in (self.find, self.buyer, self.bin) if one)
        yield f"noted{f' of {about}' if about else ''}: {self.text}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Noted of the microwave: the turntable is missing"."""
        names = ((called.find, self.find), (called.buyer, self.buyer), (called.bin, self.bin))
        about = " and ".join(the(name(one)) for name, one in names if one)
        return f"Noted{f' of {about}' if about else ''}: {self.text}"


@dataclass(frozen=True, slots=True)
class CorrectResult:
    """What no longer counts, what counts instead, and the masses that stand because they were weighed later.

    `preview`: nothing was recorded, this is what would follow. `also` are how many others were taken back with it.
    """

    event: str
    kind: str
    what: str
    instead: str
    stands: tuple[tuple[str, int], ...] = ()
    follows: Consequences | None = None
    preview: bool = False
    also: int = 0

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        what = f"{self.kind} {self.what}".strip()
        yield f"{'would no longer count' if self.preview else 'no longer counts'}: {what}"
        if self.instead and not self.preview:
            yield f"  instead: {self.instead[-8:]}"
        for place, mg in self.stands:
            yield f"  {place.replace(':', ' ')} stays at {say.mass(mg)}: it was weighed later"
        if self.follows is not None:
            yield from (f"  {line}" for line in follows(self.follows, say))

    def named(self, called: Called) -> CorrectResult:
        """With what people call things in place of their ids; what follows stands on the page of the event."""
        event = called.book.event(UUID(self.event))
        what = called.act(event.what) if event else ""
        stands = tuple((called.place(place), mg) for place, mg in self.stands)
        return replace(self, kind="", what=what, instead="", stands=stands, follows=None)

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Taken back: the opening of the microwave"."""
        event = called.book.event(UUID(self.event))
        act = called.act(event.what) if event else "what was recorded"
        if self.preview:
            return f"This would no longer count: {act}"
        also = f", and {self.also} more" if self.also else ""
        return f"{'Put right' if self.instead else 'Taken back'}: {act}{also}"


def follows(given: Consequences, say: Say) -> Iterator[str]:
    """What a correction changes, a line each, what it rests on last."""
    for mass in given.masses:
        grade = f" ({mass.grade})" if mass.grade and mass.grade != mass.place.partition(":")[2] else ""
        yield f"{mass.place.replace(':', ' ')}{grade}: {say.mass(mass.before)}, then {say.mass(mass.after)}"
    for sum_ in given.sums:
        name, amount = sum_.account.replace(":", " "), say.money
        if sum_.account.startswith("minutes:"):
            yield f"{name}: {length_of_time(float(sum_.before))}, then {length_of_time(float(sum_.after))}"
        else:
            yield f"{name}: {amount(sum_.before)}, then {amount(sum_.after)}"
    for word in given.words:
        if word.name in SHORT_WORDS:
            before, after = word.before or "nothing", word.after or "nothing"
            yield f"{word.subject.replace(':', ' ')} {word.name}: {before}, then {after}"
    for find in given.left_over:
        yield f"{find} is closed and would hold something all the same: correct its opening next"
    for event in given.rests:
        yield f"rests on it: {event.id} {event.kind} {event.words}"
