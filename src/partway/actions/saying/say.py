"""What somebody says, read back as what would be recorded, then saved whole or not at all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any
from uuid import UUID

from partway.actions.recording.context import STEP, Context, Recorded, decides, record, when
from partway.actions.recording.describe import Say
from partway.actions.recording.heard import hearing
from partway.actions.recording.questions import Asked
from partway.actions.saying.acts import bench, binning, fees, finding, spending, taken, tickets, trade
from partway.actions.saying.loosely import chosen, instead, unclear, undone
from partway.actions.saying.meant import Meaning
from partway.actions.saying.remarks import noted_beside, remarks_kept
from partway.actions.saying.results import SayLine, SayReading, SayResult
from partway.actions.saying.steps import SayStep
from partway.actions.saying.told import digest_of, more_of, one_day, said_of
from partway.actions.saying.vocabulary import Vocabulary
from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Set
from partway.ledger.fold.standing import settings
from partway.reports.called import Called
from partway.saying.amounts import Ear
from partway.saying.attempts import UNCLEAR
from partway.saying.clauses import Clause
from partway.saying.corrections import UNDO
from partway.saying.grammar import clauses_of
from partway.saying.lexicon import DEFAULT, LANGUAGE, lexicon_named
from partway.saying.loose.gaps import PASSED

CHANGED = "What was shown is no longer what would be recorded."

ACTS: dict[str, Callable[[Meaning, Clause], Iterator[SayStep]]] = {
    "found": finding.found,
    "took": taken.took,
    "ticketed": tickets.ticketed,
    "tested": bench.tested,
    "weighed": bench.weighed,
    "opened": bench.opened,
    "sold": bench.sold,
    "listed": bench.listed,
    "discarded": bench.discarded,
    "quoted": trade.quoted,
    "pays": trade.quoted,
    "takes": trade.takes,
    "charges": fees.charges,
    "spent": spending.spent,
    "paid": trade.paid,
    "worked": trade.worked,
    "hauled": trade.hauled,
    "back": trade.back,
    "new_bin": trade.new_bin,
    "binned": binning.binned,
    "noted": bench.note_down,
    UNCLEAR: unclear,
    UNDO: undone,
}


def read_said(
    book: Book, context: Context, text: str, answers: Mapping[str, str] | None = None, language: str = ""
) -> SayReading:
    """What a text says, line by line, with what would be recorded. Nothing is. Raises Refused where it says no act.

    `answers` are those to the questions of its lines, by the lines' `option`. `language` is that of the workspace where
    none is said.
    """
    shipped()
    with book.deciding(), book.trying():
        return _Saying(book, replace(context, exact=True), answers or {}).read(text, language)


@decides(shipped)
def say(
    book: Book,
    context: Context,
    text: str,
    answers: Mapping[str, str] | None = None,
    language: str = "",
    shown: str = "",
) -> Recorded[SayResult]:
    """Record all that a text says. Raises Asked for the first question that is open, and Refused for what cannot be
    recorded, or where that is not what was `shown`.
    """
    saying = _Saying(book, replace(context, exact=True), answers or {})
    reading = saying.read(text, language)
    for line in reading.lines:
        _check(line)
    if shown and shown != reading.shown:
        raise Refused("what was shown before", "a look at it as it is now", "say", says=CHANGED)
    saying.remember()
    result = SayResult(tuple(one for line in reading.lines for one in line.told), reading.cautions)
    return Recorded(tuple(saying.events), result, tuple(saying.undo), saying.clock)


def _check(line: SayLine) -> None:
    if line.asked:
        raise replace(line.asked, where=f"line {line.number}", option=line.option, choices=line.choices)
    if line.refused:
        raise line.refused


@dataclass
class _Said:
    """What is said of one act that was tried; `find` is the last find it was about."""

    told: list[str] = field(default_factory=list)
    more: list[str] = field(default_factory=list)
    cards: list[CautionCard] = field(default_factory=list)
    find: str = ""


@dataclass
class _Saying:
    """One text on its way through the ledger, act by act, each on what the ones before left."""

    book: Book
    context: Context
    answers: Mapping[str, str]
    events: list[Any] = field(default_factory=list)
    undo: list[UUID] = field(default_factory=list)
    learned: list[Set] = field(default_factory=list)
    clock: Any = None
    last: str = ""
    open: bool = False
    beside: bool = False  # several acts were said
    time: dt.datetime = field(init=False)

    def __post_init__(self) -> None:
        now = self.context.clock()
        self.time, self.context = now, replace(self.context, clock=lambda: now)

    def read(self, text: str, language: str) -> SayReading:
        """Every line; one that asks or cannot be recorded leaves nothing behind."""
        chosen = language or settings(self.book).get(LANGUAGE, DEFAULT)
        names = self._names()
        clauses = clauses_of(text, lexicon_named(chosen), names.known, self._ear(), names.near_words)
        lines: list[SayLine] = []
        self.beside = sum(clause.does != "when" for clause in clauses) > 1
        for clause in clauses:
            lines.append((self._from_then if clause.does == "when" else self._line)(len(lines) + 1, clause))
        if all(clause.does == "when" for clause in clauses):
            raise Refused(f'"{text[:60]}"', "what happened, besides the day", "say")
        if not self.events and all(line.settled for line in lines):
            raise Refused(f'"{text[:60]}"', "something to record, and not all of it left out", "say")
        return SayReading(text, tuple(lines), digest_of(lines, self.events))

    def remember(self) -> None:
        """Record what answers taught of words."""
        if self.learned:
            self._keep(record(self.book, self._next(replace(self.context, happened=None)), self.learned, None))

    def _from_then(self, number: int, clause: Clause) -> SayLine:
        """The day of what comes after it."""
        meaning = self._meaning(number)
        try:
            day, self.context = self._day(meaning, clause)
        except Refused as refused:
            return self._not_yet(number, clause, meaning, refused)
        return SayLine(number, said_of(clause), (f"{day}:",))

    def _meaning(self, number: int) -> Meaning:
        start = f"{number}."
        answers = {key.removeprefix(start): one for key, one in self.answers.items() if key.startswith(start)}
        return Meaning(self.book, self.context, self._names(), answers, ear=self._ear())

    def _line(self, number: int, clause: Clause) -> SayLine:
        meaning = self._meaning(number)
        said, before = _Said(), len(self.events)
        try:
            act = chosen(meaning, clause) if clause.ways else clause
            if act is not None:
                self._act(meaning, act, said)
        except Refused as refused:
            if isinstance(refused, Asked) or len(self.events) > before or self.open or not self.beside:
                return self._not_yet(number, clause, meaning, refused)
            meaning = self._meaning(number)  # without what was thought of the act
            try:
                self._otherwise(meaning, clause, said)
            except Asked as asked:
                return replace(self._not_yet(number, clause, meaning, asked), refused=refused)
        self.learned += meaning.learned
        doubts = tuple(meaning.doubts)
        return SayLine(number, said_of(clause), tuple(said.told), tuple(said.more), doubts, tuple(said.cards))

    def _otherwise(self, meaning: Meaning, clause: Clause, said: _Said) -> None:
        """An act that cannot be recorded, beside others that can: left out or kept in its words, as somebody says."""
        for step in instead(meaning, clause):
            self._run(step, meaning, said)

    def _act(self, meaning: Meaning, clause: Clause, said: _Said) -> None:
        """Try an act on its day, with what is to be kept of it as notes."""
        if part := one_day(clause):
            day, meaning.context = self._day(meaning, part)
            said.more.append(f"{day}.")
        kept = remarks_kept(meaning, clause)
        for step in list(ACTS[clause.does](meaning, clause)):
            self._run(step, meaning, said)
        for step in noted_beside(meaning, clause, kept, said.find):
            self._run(step, meaning, said)
        meaning.doubts += [f"passed over: “{one.said}”" for one in clause.all(PASSED)]

    def _run(self, step: SayStep, meaning: Meaning, said: _Said) -> None:
        done = step.run(self.book, self._next(meaning.context), meaning.answers)
        self._keep(done)
        cards = getattr(done.result, "cautions", ())
        said.told.append(done.result.said(self._say(), self._called()))
        said.cards += cards
        said.more += more_of(done.result, self._say(), self._called(), len(cards))
        said.find = getattr(done.result, "find", "") or said.find
        self.last = said.find or self.last

    def _not_yet(self, number: int, clause: Clause, meaning: Meaning, refused: Refused) -> SayLine:
        """A line that asks, cannot be recorded, or waits for one before it that does either."""
        asked = refused if isinstance(refused, Asked) and (refused.choices or refused.entry) else None
        waits, self.open = self.open and asked is None, True
        doubts = tuple(meaning.doubts) if isinstance(refused, Asked) else ()
        wrong = None if asked or waits else refused
        return SayLine(number, said_of(clause), doubts=doubts, asked=asked, refused=wrong, waits=waits)

    def _next(self, context: Context) -> Context:
        """The context of the next record: by a `STEP` after the one before, so that one undo finds all of them."""
        at, self.time = self.time, self.time + STEP
        return replace(context, clock=lambda: at)

    def _keep(self, done: Recorded[Any]) -> None:
        self.events += done.events
        self.undo += done.undo
        self.clock = self.clock or done.clock

    def _names(self) -> Vocabulary:
        return Vocabulary.of(self.book, self.context, self.last)

    def _say(self) -> Say:
        return Say.of(self.book)

    def _called(self) -> Called:
        now = self.context.clock()
        return Called(self.book, now.date(), now.tzinfo)

    def _ear(self) -> Ear:
        heard, now = hearing(self.book), self.context.clock().replace(second=0, microsecond=0)
        return Ear(now.date(), heard.currency, heard.unit, heard.comma, heard.distance, now.time())

    def _day(self, meaning: Meaning, clause: Clause) -> tuple[str, Context]:
        """The day a clause names, in words, and the context of then: without a time at the present time of day."""
        slot = clause.slot("day")
        assert slot is not None  # noqa: S101  the patterns have it
        said = meaning.day(slot)
        happened = when(said, self.context.clock(), "day", meaning.answers.get("on", ""))
        return meaning.moment_name(said), replace(self.context, happened=happened)
