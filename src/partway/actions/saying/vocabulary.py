"""What may be meant by a name right now: kinds, finds, pieces, bins, buyers and grades, by what people call them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache

from partway.actions.recording.context import Context
from partway.actions.recording.heard import hearing
from partway.catalogue import shipped
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow, FindNow
from partway.ledger.fold.things import MARK
from partway.pricelist.layout.ticket_fees import ticket_fee_in
from partway.pricelist.lexicon import Lexicon, lexicon_of
from partway.pricelist.names import words_of
from partway.reports.called import Called
from partway.reports.curb.names import KindMatch, KindNames, find_kinds, name_key, named, with_a_word_of, words
from partway.saying.loose.near_words import by_sound, sound
from partway.things.buyers import buyer_name
from partway.valuing.known import estimates_of

PRONOUNS = frozenset({"it", "them", "that", "that one", "same one"})
ORDINALS = {
    "first": 0,
    "1st": 0,
    "second": 1,
    "2nd": 1,
    "third": 2,
    "3rd": 2,
    "fourth": 3,
    "4th": 3,
    "fifth": 4,
    "5th": 4,
}
ONE = frozenset({"one", "ones"})
Choices = tuple[tuple[str, str], ...]  # what is answered, and what it means


@dataclass(frozen=True)
class Vocabulary:
    """The names of one ledger as it is now. `last` is the find that was spoken of last in what is being said."""

    book: Book
    called: Called
    last: str = ""

    @classmethod
    def of(cls, book: Book, context: Context, last: str = "") -> Vocabulary:
        """Those of a book."""
        return cls(book, Called(book, context.day, context.clock().tzinfo), last)

    def known(self, sort: str, said: str) -> bool:
        """Whether something of a sort may be called so; a pronoun may, whatever was spoken of."""
        if sort in ("find", "thing", "waiting") and _of_what_was_said(said):
            return sort != "waiting"
        if sort in ("find", "thing") and self.kinds(said):
            return True
        return bool(next(iter(getattr(self, f"{sort}s")(said)), None))

    @cached_property
    def _kinds(self) -> _KindTable:
        return self.book.once(_kind_table)

    @cached_property
    def _finds(self) -> dict[str, FindNow]:
        return standing.finds(self.book)

    @cached_property
    def bins_now(self) -> dict[str, BinNow]:
        """All bins."""
        return standing.bins(self.book)

    def kinds(self, said: str) -> tuple[str, ...]:
        """Kinds that go by a name, or may as well be meant by it."""
        return self._kinds.by_key.get(name_key(said), ())

    def near_kinds(self, said: str) -> tuple[KindMatch, ...]:
        """Kinds whose names are near."""
        known = self._kinds.names
        return find_kinds(said, known) or with_a_word_of(said, known)

    def kind_name(self, kind: str) -> str:
        """What a kind is called."""
        return self.called.kind(kind)

    def finds(self, said: str) -> tuple[str, ...]:
        """Finds that wait and may be called so, by id, by their kind, or by words of its name; the last found first."""
        if said in PRONOUNS:
            return (self.last,) if self.last in self._finds else ()
        first, _, rest = said.partition(" ")
        if first in ORDINALS and rest:
            return self._nth(ORDINALS[first], rest)
        kind, _, number = said.rpartition(" ")
        if kind and number.isdecimal() and (numbered := self._numbered(kind, number)):
            return numbered
        key = said.replace(" ", "-")
        of_id = [one for one in self._finds if one.partition(MARK)[0] == key or one == key]
        if of_id:
            return tuple(of_id)
        kinds = set(self.kinds(said))
        there = [now for now in self._finds.values() if now.kind in kinds] or [
            now for now in self._finds.values() if self._names_of(now.kind).have(_wanted(said))
        ]
        return tuple(now.id for now in sorted(there, key=lambda now: (now.found, now.id), reverse=True))

    def _numbered(self, kind: str, number: str) -> tuple[str, ...]:
        """The find of a kind that has a number in its name: "inkjet 2"."""
        return tuple(one for one in self.finds(kind) if one.partition(MARK)[0].endswith(f"-{number}"))

    def _nth(self, place: int, rest: str) -> tuple[str, ...]:
        """One of several of a kind, in the order they were found; "the second one" is of the kind just said."""
        last = self._finds.get(self.last)
        of_kind = tuple(one for one, now in self._finds.items() if last and now.kind == last.kind)
        there = sorted(of_kind if rest in ONE else self.finds(rest), key=lambda one: (self._finds[one].found, one))
        return tuple(there[place:][:1])

    def _names_of(self, kind: str) -> _CalledSo:
        return self._kinds.of.get(kind) or _CalledSo.of((self.called.kind(kind),))

    def bins(self, said: str) -> tuple[str, ...]:
        """Bins that may be called so: by name, by id, by what is in them."""
        key = name_key(said)
        exact = [one for one, names in self._bins.items() if key in names.keys]
        if exact:
            return tuple(exact)
        grades, wanted = set(self.grades(said)), _wanted(said)
        return tuple(
            one for one, names in self._bins.items() if self.bins_now[one].grade in grades or names.have(wanted)
        )

    @cached_property
    def _bins(self) -> dict[str, _CalledSo]:
        return {one: _CalledSo.of(tuple(self._bin_names(now))) for one, now in self.bins_now.items()}

    def _bin_names(self, now: BinNow) -> Iterator[str]:
        yield from (now.name, now.id.partition(MARK)[0].replace("-", " "))
        if not now.name and now.id == now.grade:
            yield self.called.grade(now.grade)

    def things(self, said: str) -> tuple[str, ...]:
        """Finds and bins that may be called so, each with its sort before it."""
        return (*(f"find:{one}" for one in self.finds(said)), *(f"bin:{one}" for one in self.bins(said)))

    def buyers(self, said: str) -> tuple[str, ...]:
        """Buyers that may be called so."""
        key, wanted = name_key(said), _wanted(said)
        exact = [one for one, names in self._buyers.items() if key in names.keys]
        return tuple(exact or [one for one, names in self._buyers.items() if names.have(wanted)])

    @cached_property
    def _buyers(self) -> dict[str, _CalledSo]:
        known = trading.buyers(self.book)
        return {one: _CalledSo.of((buyer_name(one, terms.name), one)) for one, terms in known.items()}

    def grades(self, said: str) -> tuple[str, ...]:
        """Grades that may be called so."""
        scores, whole = _grades_called(said)
        return scores if whole else ()

    def waitings(self, said: str) -> tuple[str, ...]:
        """Finds that wait, where the name of a kind alone is none."""
        return self.finds(said)

    def fees(self, said: str) -> tuple[str, ...]:
        """A fee of each ticket that a text says."""
        return (said,) if ticket_fee_in(f"{said} fee", hearing(self.book)) is not None else ()

    def near_words(self, said: str) -> tuple[str, ...]:
        """Words of names that sound like one; nothing for a word that is in a name."""
        own, shared = self.book.once(_near_table), _shared_sounds()
        key = sound(said)
        if any(said in table.get(key, ()) for table in (own, shared)):
            return ()
        return tuple(dict.fromkeys((*own.get(key, ()), *shared.get(key, ()))))

    def near_grades(self, said: str) -> tuple[str, ...]:
        """Grades that have some of the words in their names."""
        return _grades_called(said)[0]


def _of_what_was_said(said: str) -> bool:
    """Whether a name is one of what was spoken of before: "it", "the second one"."""
    first, _, rest = said.partition(" ")
    return said in PRONOUNS or (first in ORDINALS and rest in ONE)


@dataclass(frozen=True, slots=True)
class _CalledSo:
    """The names of one thing: run together, and as sets of words."""

    keys: frozenset[str]
    words: tuple[frozenset[str], ...]

    @classmethod
    def of(cls, names: tuple[str, ...]) -> _CalledSo:
        return cls(frozenset(map(name_key, names)), tuple(map(_wanted, names)))

    def have(self, wanted: frozenset[str]) -> bool:
        """Whether all words are among those of one name."""
        return bool(wanted) and any(wanted <= name for name in self.words)


@lru_cache(maxsize=4096)
def _wanted(said: str) -> frozenset[str]:
    return frozenset(name_key(word) for word in words(said))


@dataclass(frozen=True)
class _KindTable:
    """Kinds by every name they go by."""

    names: tuple[KindNames, ...]
    by_key: Mapping[str, tuple[str, ...]]
    of: Mapping[str, _CalledSo]


def _kind_table(book: Book) -> _KindTable:
    return _table_of(named(estimates_of(book).all_anatomies()))


@lru_cache(maxsize=8)
def _table_of(names: tuple[KindNames, ...]) -> _KindTable:
    by_key: dict[str, list[str]] = {}
    for kind in names:
        for name in dict.fromkeys(map(name_key, (*kind.names, *kind.offered))):
            by_key.setdefault(name, []).append(kind.kind)
    called = {one.kind: _CalledSo.of(one.names) for one in names}
    return _KindTable(names, {key: tuple(kinds) for key, kinds in by_key.items()}, called)


@lru_cache(maxsize=4096)
def _grades_called(said: str) -> tuple[tuple[str, ...], bool]:
    """Grades that a name means, likeliest first, and whether it says it all."""
    scores, whole = _grade_names().match(words_of(said))
    return tuple(grade for grade, _ in scores), whole


@cache
def _grade_names() -> Lexicon:
    return lexicon_of(shipped().grades)


def _near_table(book: Book) -> Mapping[str, tuple[str, ...]]:
    """Words in the names of what is there, by how they sound: buyers, bins, finds."""
    grades, kinds = shipped().grades, book.once(_kind_table).of
    names = [buyer_name(one, terms.name) for one, terms in trading.buyers(book).items()]
    names += [f"{now.name} {grades[now.grade].name}" for now in standing.bins(book).values() if now.grade in grades]
    there = dict.fromkeys(now.kind for now in standing.finds(book).values())
    return by_sound(
        (
            *(word for name in names for word in words(name)),
            *(word for kind in there if kind in kinds for some in kinds[kind].words for word in some),
        )
    )


@cache
def _shared_sounds() -> Mapping[str, tuple[str, ...]]:
    """The same of the names of grades."""
    return by_sound(word for grade in shipped().grades.values() for word in words(grade.name))
