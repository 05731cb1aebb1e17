"""What a ledger has seen of finds: their masses, what came out of them and the minutes that took, find by find."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from partway.lazily import lazily
from partway.ledger.book import Book, Unread
from partway.ledger.events.effects import RESIDUE
from partway.things.traits import Traits
from partway.valuing.learned.log import Log, read_on

KINDS = ("found", "weighed", "opened", "sold", "worked")
KG = 1e-6  # of a milligram
MOST_FINDS = 100  # of one kind that count, the newest


@dataclass(frozen=True, slots=True)
class PieceSeen:
    """Pieces of one sort weighed together, what one of them weighed on average in kg; `find_kg` is what the find it
    came out of weighed, None where that was not weighed.
    """

    piece: str
    kg: float
    find_kg: float | None


@dataclass(frozen=True, slots=True)
class WorkSeen:
    """Minutes that some operations took together: (operation, times)."""

    runs: tuple[tuple[str, int], ...]
    minutes: float


@dataclass(frozen=True, slots=True)
class KindSeen:
    """All that was seen of one kind, in an order of its own: whole finds in kg each, pieces, work, and how often a
    piece that is asked about turned out to be what: (piece, answer, times).
    """

    wholes: tuple[float, ...] = ()
    pieces: tuple[PieceSeen, ...] = ()
    work: tuple[WorkSeen, ...] = ()
    answers: tuple[tuple[str, str, int], ...] = ()

    def __hash__(self) -> int:
        return hash(
            (self.wholes, len(self.pieces), len(self.work), self.answers)
        )  # of thousands of pieces it would take long


NOTHING = KindSeen()


@dataclass(frozen=True, eq=False)
class Seen:
    """What can be learned from these events. Equal where it is the same."""

    log: Log
    _before: Mapping[str, tuple[tuple[str, ...], KindSeen]] = field(default_factory=dict, repr=False)
    _by_kind: dict[str, tuple[tuple[str, ...], KindSeen]] = field(default_factory=dict, repr=False)

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Seen) and self._all == other._all)

    def __hash__(self) -> int:
        return hash(Seen)  # a key is compared, and seldom

    def of(self, kind: str) -> KindSeen:
        """What was seen of a kind."""
        if kind not in self._by_kind:
            finds = self._finds.get(kind, ())
            ids = tuple(event.id for events in finds for event in events)
            before = self._before.get(kind)
            self._by_kind[kind] = before if before and before[0] == ids else (ids, _kind_seen(finds))
        return self._by_kind[kind][1]

    def after(self, log: Log) -> Seen:
        """What can be learned from a later log; of kinds of which nothing came in it is the same."""
        return Seen(log, {**self._before, **self._by_kind})

    @property
    def kinds(self) -> tuple[str, ...]:
        """Every kind of which a find is among these events."""
        return tuple(sorted(self._finds))

    @lazily
    def _all(self) -> Mapping[str, KindSeen]:
        return {kind: seen for kind in self.kinds if (seen := self.of(kind)) != NOTHING}

    @lazily
    def _finds(self) -> Mapping[str, Sequence[Sequence[Unread]]]:
        """The events of each find, as they happened, by its kind."""
        by_find: dict[str, list[Unread]] = {}
        for event in self.log.counting:
            if event.find:
                by_find.setdefault(event.find, []).append(event)
        found: dict[str, list[Sequence[Unread]]] = {}
        for events in by_find.values():
            events.sort(key=lambda event: event.position)
            start = next((event.data for event in events if event.kind == "found"), None)
            if start is not None:
                found.setdefault(_kind_of(start), []).append(events)
        return {
            kind: sorted(finds, key=lambda events: events[0].position)[-MOST_FINDS:] for kind, finds in found.items()
        }


def seen_in(book: Book) -> Seen:
    """What a ledger has seen."""
    return book.onward(_read)


def _read(book: Book, before: Seen | None) -> Seen:
    """With what is known from before, if nothing but new events came in since."""
    now = read_on(book, before.log if before else None, KINDS)
    if before is None:
        return Seen(now)
    return before if now is before.log else before.after(now)


def _kind_of(found: Mapping[str, Any]) -> str:
    """The kind by which a find is looked up: as `Found.kind_here` has it."""
    if not found.get("mostly"):
        return str(found["kind"])
    said = (found.get(name, "") for name in ("mostly", "cord", "motor", "battery", "size"))
    return Traits(*said).kind(found["kind"])


def _kind_seen(finds: Iterable[Sequence[Unread]]) -> KindSeen:
    wholes: list[float] = []
    pieces: list[PieceSeen] = []
    work: list[WorkSeen] = []
    answers: Counter[tuple[str, str]] = Counter()
    for events in finds:
        each = _whole_kg(events)
        wholes += [each] if each else []
        pieces += _pieces(events, each)
        work += _work(events)
        for event in events:
            for one in event.data.get("answers", ()) if event.kind == "opened" else ():
                answers[one["piece"], one["answer"]] += one.get("count", 1)
    pieces.sort(key=lambda one: (one.piece, one.kg, one.find_kg or 0.0))
    work.sort(key=lambda one: (one.runs, one.minutes))
    counted = tuple((piece, answer, n) for (piece, answer), n in sorted(answers.items()))
    return KindSeen(tuple(sorted(wholes)), tuple(pieces), tuple(work), counted)


def _whole_kg(events: Sequence[Unread]) -> float | None:
    """What one of a find weighed while it was whole, in kg; None where nobody weighed it."""
    mg, count = 0, 1
    for event in events:
        if event.kind in ("opened", "sold"):
            break
        if event.kind == "found":
            mg, count = event.data["mass_mg"] or mg, event.data["count"]
        elif event.kind == "weighed":
            mg = event.data["mass_mg"]
    return mg * KG / count if mg else None


def _pieces(events: Sequence[Unread], each: float | None) -> Iterable[PieceSeen]:
    for event in events:
        if event.kind == "opened" and event.data["runs"]:
            for out in event.data["pieces"]:
                if out["mass_mg"] and out["piece"] != RESIDUE:
                    yield PieceSeen(out["piece"], out["mass_mg"] * KG / out["count"], each)


def _work(events: Sequence[Unread]) -> Iterable[WorkSeen]:
    """Openings with their minutes; where none has any, all of them with the minutes at the bench on the find."""
    opened = [event.data for event in events if event.kind == "opened" and event.data["runs"]]
    timed = [one for one in opened if one["minutes"]]
    for one in timed:
        yield WorkSeen(_runs([one]), float(one["minutes"]))
    at_bench = (e.data["minutes"] for e in events if e.kind == "worked" and e.data["activity"] == "bench")
    minutes = sum(at_bench) if not timed else 0
    if opened and minutes:
        yield WorkSeen(_runs(opened), float(minutes))


def _runs(opened: Iterable[Mapping[str, Any]]) -> tuple[tuple[str, int], ...]:
    times: dict[str, int] = {}
    for one in opened:
        for run in one["runs"]:
            times[run["operation"]] = times.get(run["operation"], 0) + run["times"]
    return tuple(sorted(times.items()))
