"""What people call what the ledger has under an id: the microwave of Tuesday, Tuesday's haul, the ticket of 12 March.

The one place that says so, for every page and every sentence after an act. Ids are for programs, and for the ledger's
own page of one event.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from partway.catalogue import Catalogue
from partway.errors import Refused
from partway.lazily import lazily
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.days import day_of, local
from partway.ledger.events.ids import time_of
from partway.ledger.events.payload import Payload
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow, FindNow
from partway.ledger.fold.things import MARK
from partway.things.buyers import buyer_name
from partway.things.traits import said_kind, shown_name
from partway.valuing.known import estimates_of

DOING = {  # what an act was, for "taken back: ..."
    "found": "{kind}",  # the find is not known any more
    "tested": "the test of {find}",
    "weighed": "the weighing of {find}",
    "opened": "the opening of {find}",
    "discarded": "giving up {find}",
    "sold": "the sale of {find}",
    "returned": "what came back of {find}",
    "listed": "the offer of {find}",
    "repriced": "the new price of an offer",
    "taken-down": "the end of an offer",
    "binned": "the bin {bin}",
    "recounted": "the weighing of the bin {bin}",
    "moved": "what went from {bin} to {to_bin}",
    "hauled": "{haul}",
    "round": "{round}",
    "ticketed": "{ticket}",
    "quoted": "the price of {grade} at {buyer}",
    "traded": "what was said of {buyer}",
    "paid": "the payment of {buyer}",
    "spent": "the expense “{what}”",
    "worked": "{minutes} minutes of work",
    "set": "a setting",
    "ruled": "what a place says",
    "noted": "the note “{text}”",
    "identified": "what a piece turned out to be",
    "described": "a kind of your own",
    "corrected": "something taken back",
    "pictured": "a photograph",
}

WORD = re.compile(r"[\w~]+(?:-[\w~]+)+")  # what may be an id
NUMBER = re.compile(r"-[0-9]+(?:~|$)")  # of ids that were counted up: fan-3, haul-2~a1b2c3
NUMBERED = ("find", "haul", "ticket", "round")
TYPED = re.compile(r'("[^"]*"|“[^”]*”)')  # what somebody typed, in a message
UNQUOTED = re.compile(rf"(?<![\"\w~-]){WORD.pattern}(?![\"\w~-])")
SOON = ("today", "yesterday")
AS_TYPED = ("what", "minutes", "text")  # fields that name nothing, shown as they are
LONGEST = 40  # characters of them


def day_said(day: dt.date, today: dt.date) -> str:
    """A day as it is spoken of: today, yesterday, Tuesday, 12 March, 12 March 2024."""
    ago = (today - day).days
    return SOON[ago] if 0 <= ago < len(SOON) else f"{day:%A}" if 1 < ago < 7 else date_said(day, today)


def date_said(day: dt.date, today: dt.date) -> str:
    """A day by its date: "14 March", with the year where it is another."""
    name = f"{day.day} {day:%B}"
    return name if day.year == today.year else f"{name} {day.year}"


def running(name: str) -> str:
    """A name in running text: "Microwave" with a small letter, "LED lamp" as it is."""
    return name if name[1:2].isupper() or name[1:2].isdigit() else name[:1].lower() + name[1:]


def of_day(what: str, day: str) -> str:
    """A thing with its day: "yesterday's haul", "Tuesday's haul", "haul of 12 March"."""
    return f"{what} of {day}" if day[-1].isdigit() or " " in day else f"{day}'s {what}"


@dataclass(frozen=True)
class Called:
    """The names of one ledger, on one day. What has no name of its own is called by what it is and when it was."""

    book: Book
    today: dt.date
    zone: dt.tzinfo | None

    @lazily
    def catalogue(self) -> Catalogue:
        """The kinds and grades that the ledger knows."""
        return estimates_of(self.book)

    @lazily
    def _buyers(self) -> dict[str, str]:
        return {buyer: buyer_name(buyer, terms.name) for buyer, terms in trading.buyers(self.book).items()}

    @lazily
    def _bins(self) -> dict[str, BinNow]:
        return standing.bins(self.book)

    @lazily
    def _finds(self) -> dict[str, FindNow]:
        return standing.finds(self.book)

    @lazily
    def _by_kind(self) -> dict[str, list[FindNow]]:
        """Finds that wait, by what they are called, in the order in which they were found."""
        known: dict[str, list[FindNow]] = {}
        for now in sorted(self._finds.values(), key=lambda now: (now.found, _number(now.id), now.id)):
            known.setdefault(self.kind(now.kind), []).append(now)
        return known

    def kind(self, kind: str) -> str:
        """A kind in running text: "microwave oven"; one that nobody knows by what it was called."""
        try:
            name = self.catalogue.anatomy(kind).name if self.catalogue.knows(kind) else ""
        except Refused:
            name = ""
        return running(name or shown_name(said_kind(kind)))

    def grade(self, grade: str) -> str:
        """A grade by its name."""
        known = self.catalogue.grades.get(grade)
        return known.name if known else shown_name(grade)

    def buyer(self, buyer: str) -> str:
        """A buyer by its name: "harbour yard"."""
        return self._buyers.get(buyer) or buyer_name(buyer, "")

    def bin(self, bin_id: str) -> str:
        """A bin: by the name somebody gave it, else by its grade; by its id where that is what somebody typed."""
        now = self._bins.get(bin_id)
        if now is not None and now.name:
            return now.name
        plain = bin_id.partition(MARK)[0]
        return self.grade(plain) if now is None or plain == now.grade else plain.replace("-", " ")

    def find(self, find: str) -> str:
        """A find by its kind; with the day it was found where it is gone, or another of its kind waits as well."""
        now = self._finds.get(find)
        if now is None:
            return self._gone(find)
        alike = self._by_kind[self.kind(now.kind)]
        if len(alike) == 1:
            return self.kind(now.kind)
        of_day = [one for one in alike if self._found(one) == self._found(now)]
        nth = of_day.index(now)
        return f"{self._with_day(now)}{f', the {_ordinal(nth + 1)}' if nth else ''}"

    def piece(self, find: str, piece: str) -> str:
        """A piece of a find: "motor of the microwave"; the find itself where the piece is the whole of it."""
        part, of = self.part(find, piece), self.just(find)
        return f"{part} of {the(of)}" if part else of

    def part(self, find: str, piece: str) -> str:
        """A piece by its name; "" for the whole of the find."""
        try:
            kind = (self._finds.get(find) or standing.find(self.book, find)).kind
        except KeyError:
            return shown_name(piece)
        known = self.catalogue.anatomy(kind).pieces if self.catalogue.knows(kind) else ()
        if piece in ("", kind, known[0].id if known else ""):
            return ""
        return running(next((one.name for one in known if one.id == piece), piece.replace("-", " ")))

    def place(self, place: str) -> str:
        """Where something lies or goes: "find:...", "bin:...", "buyer:...", or a word such as loss."""
        sort, _, name = place.partition(":")
        known = {"find": self.find, "bin": self.bin, "buyer": self.buyer, "ticket": self.ticket}
        return known[sort](name) if sort in known else (name or sort).replace("-", " ")

    def in_text(self, text: str) -> str:
        """A text with what has no name of its own called as people call it, where it stands there by its id."""
        return WORD.sub(lambda word: self._of_id(word[0]) or self._of_trade(word[0]) or word[0], text)

    def to_type(self, text: str) -> str:
        """A text with the same names, and behind each the id in brackets, as somebody may have to type it.

        What stands in quotes is what somebody typed: it stays as it is.
        """
        return UNQUOTED.sub(lambda word: f"{name} [{word[0]}]" if (name := self._of_id(word[0])) else word[0], text)

    def in_refusal(self, text: str) -> str:
        """A message with the names of all that stands in it by an id, kinds and bins too; what was typed stays."""
        parts = TYPED.split(text)
        named = (part if n % 2 else WORD.sub(lambda word: self._of_any(word[0]), part) for n, part in enumerate(parts))
        return "".join(named)

    def _of_any(self, word: str) -> str:
        """What goes by an id of several words is called; any other word is itself."""
        if word in self._bins and word not in self.catalogue.grades:
            return self.bin(word)
        return self._of_id(word) or self._of_trade(word) or (self.kind(word) if self.catalogue.knows(word) else word)

    def _of_id(self, word: str) -> str:
        """What a find, haul, ticket or round is called that goes by an id with a number; "" for any other word."""
        sort = next((one for one in NUMBERED if word in self._ids(one)), "") if NUMBER.search(word) else ""
        name: str = getattr(self, sort)(word) if sort else ""
        return name

    def _of_trade(self, word: str) -> str:
        """What a buyer or a grade is called that goes by an id of several words."""
        return self._buyers.get(word) or (self.grade(word) if word in self.catalogue.grades else "")

    def _ids(self, sort: str) -> frozenset[str]:
        if sort not in self._known_ids:
            self._known_ids[sort] = frozenset(key.partition(":")[2] for key in self.book.keys(f"{sort}:"))
        return self._known_ids[sort]

    @lazily
    def _known_ids(self) -> dict[str, frozenset[str]]:
        return {}

    def listing(self, listing: str) -> str:
        """An offer; what is offered is said beside it."""
        return "offer"

    def payer(self, of: str) -> str:
        """Whoever money came from: a buyer, or the ticket that was paid."""
        return self.ticket(of) if trading.ticket(self.book, of) else self.buyer(of) if of else ""

    def haul(self, haul: str) -> str:
        """A haul by its day and where it went: "Tuesday's haul, harbour yard"."""
        now = trading.haul(self.book, haul)
        where = [self.buyer(stop) for stop in (now.stops if now else ())]
        return ", ".join([of_day("haul", self._made(f"haul:{haul}")), *_few(where)])

    def round(self, name: str) -> str:
        """A collecting round by its day."""
        return of_day("round", self._made(f"round:{name}"))

    def ticket(self, ticket: str) -> str:
        """A ticket by its day and its buyer: "ticket of 12 March, harbour yard"."""
        now = trading.ticket(self.book, ticket)
        return ", ".join([of_day("ticket", self._made(f"ticket:{ticket}")), *([self.buyer(now.buyer)] if now else [])])

    def day(self, day: dt.date | dt.datetime) -> str:
        """A day, or the day of a moment, as it is spoken of."""
        return day_said(day_of(day, self.zone) if isinstance(day, dt.datetime) else day, self.today)

    def moment(self, moment: dt.datetime) -> str:
        """A moment: "yesterday at 14:03"."""
        here = local(moment, self.zone)
        return f"{self.day(here.date())} at {here:%H:%M}"

    def act(self, what: Payload) -> str:
        """What an event was, in a few words: "the opening of the microwave"."""
        template = DOING.get(what.KIND, what.KIND)
        return template.format_map(_Named(self, what))

    def just(self, find: str) -> str:
        """A find of which somebody did something right now: with its day only where another of its kind waits."""
        try:
            kind = self.kind(standing.find(self.book, find).kind)
        except KeyError:
            return self.find(find)
        others = [one for one in self._by_kind.get(kind, ()) if one.id != find]
        return self.find(find) if others else kind

    def _gone(self, find: str) -> str:
        try:
            return self._with_day(standing.find(self.book, find))
        except KeyError:
            return "find that is not known here"

    def _with_day(self, now: FindNow) -> str:
        day = self.day(now.found)
        return f"{day}'s {self.kind(now.kind)}" if day in SOON else f"{self.kind(now.kind)} of {day}"

    def _found(self, now: FindNow) -> dt.date:
        return day_of(now.found, self.zone)

    def _made(self, subject: str) -> str:
        maker = self.book.makers([subject]).get(subject)
        if maker is None:
            return "a day that is not known"
        event = self.book.event(maker)
        return self.day(event.happened if event else time_of(maker))


class _Named(dict[str, str]):
    """The fields of an event by their names, each as what it names is called."""

    def __init__(self, called: Called, what: Payload) -> None:
        super().__init__()
        self._called, self._what = called, what

    def __missing__(self, name: str) -> str:
        value, called = str(getattr(self._what, name)), self._called
        if name in AS_TYPED:
            return value if len(value) <= LONGEST else f"{value[: LONGEST - 1].rstrip()}…"
        if name == "to_bin":
            return called.bin(value)
        text: str = getattr(called, name)(value)
        return the(text) if name in ("find", "kind", "haul", "ticket", "round", "buyer") else text


def the(name: str) -> str:
    """A name in the middle of a sentence: "the microwave oven", "yesterday's haul"."""
    return name if "'s " in name else f"the {name}"


def _few(names: list[str]) -> list[str]:
    return names if len(names) < 3 else [names[0], f"{len(names) - 1} more"]


def _ordinal(number: int) -> str:
    words = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
    return words[number - 1] if number <= len(words) else f"one after {number - 1} others"


def _number(name: str) -> int:
    tail = name.partition(MARK)[0].rpartition("-")[2]
    return int(tail) if tail.isdecimal() else 0
