"""What people call a grade: its name, its id, its clues and the trade's own spoken names (names.toml)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from functools import cached_property, lru_cache

from partway.pricelist.names import idle, is_short, listed, plain_words, spoken, words_of
from partway.things.material import Grade

SIZE = re.compile(r"(?:6|8|1[0-8])/[2-5]")  # a gauge and so many wires of a house cable
ALIKE = 0.8  # least likeness of a mistyped word; "moter" and "motor" have it, "cable" and "table" would too
TINY = 1e-9  # for what is exactly as alike as it has to be
SHORTEST = 4  # letters: "led" is not a mistyped "lead"
PARTLY = 0.8  # a name of which a word is missing or left over never reaches what a whole one does
WORTH_ASKING = 0.3
NEAR = 0.1  # names that score this close to the best are asked about
MOST = 9
REMEMBERED = 5000  # words whose likeness to others is kept

Score = tuple[str, float]


@dataclass(frozen=True)
class Lexicon:
    """Names of grades as sets of plain words: each phrase with the grades it may mean."""

    phrases: Mapping[frozenset[str], tuple[str, ...]]
    clues: Mapping[str, frozenset[str]]
    vocabulary: frozenset[str]
    families: Mapping[str, str]
    goes_with: Mapping[str, frozenset[str]]  # words that say nothing new of a grade: those of its other names
    _alike: dict[str, dict[str, float]] = field(default_factory=dict, repr=False, compare=False)
    _matched: dict[frozenset[str], tuple[tuple[Score, ...], bool]] = field(
        default_factory=dict, repr=False, compare=False
    )

    def match(self, words: Iterable[str]) -> tuple[tuple[Score, ...], bool]:
        """Grades that words may mean, likeliest first, and whether the words say it all.

        Said it all: every word is part of the name and every part of the name is there, if perhaps mistyped.
        """
        said = frozenset(plain_words(words))
        found = self._matched.get(said)
        if found is None:
            if len(self._matched) > REMEMBERED:
                self._matched.clear()
            found = self._matched[said] = self._shared_match(said) if said else ((), False)
        return found

    def _shared_match(self, said: frozenset[str]) -> tuple[tuple[Score, ...], bool]:
        """The same; how much of a wire is copper, "65 %", and its size, "12/2", say nothing more of a name."""
        shares = {word for word in said if word.endswith("%") or SIZE.fullmatch(word)}
        scores, whole = self._match(said - shares) if said - shares else ((), False)
        return scores, whole and (not shares or all(self.families[grade] == "wire" for grade, _ in scores))

    def _match(self, said: frozenset[str]) -> tuple[tuple[Score, ...], bool]:
        whole = self._best(said, whole=True) or self._with_more(said)
        if whole:
            return whole, True
        partly = self._best(said, whole=False)
        return (partly or self._by_clues(said))[:MOST], False

    def _best(self, said: frozenset[str], *, whole: bool) -> tuple[Score, ...]:
        if whole and self.vocabulary.issuperset(said):  # spelt as they are, they are one phrase or none
            return tuple((grade, 1.0) for grade in self.phrases.get(said, ()))
        alike = [self._near(word) for word in said]
        if whole and not all(alike):
            return ()  # a word that is like none is of no name
        likest: dict[str, float] = {}
        for word, likeness in ((word, likeness) for near in alike for word, likeness in near.items()):
            likest[word] = max(likeness, likest.get(word, 0.0))
        scores: dict[str, float] = {}
        for place, hits in sorted(self._hits(likest).items()):  # others score nothing
            phrase, grades = self._rows[place]
            if whole and len(phrase) != len(said):
                continue
            score = _whole_score(alike, likest, phrase) if whole else _score(hits, len(alike) + len(phrase))
            for grade in grades if score else ():
                scores[grade] = max(score, scores.get(grade, 0.0))
        best = max(scores.values(), default=0.0)
        near = 0.05 if whole else NEAR
        kept = [(grade, round(score, 3)) for grade, score in scores.items() if score >= best - near]
        return tuple(sorted(kept, key=lambda pair: -pair[1]))

    def _hits(self, likest: Mapping[str, float]) -> dict[int, float]:
        """Of each phrase with any of these words its place, and how many of them it has, a mistyped one in part."""
        found: dict[int, float] = {}
        for word, likeness in likest.items():
            for place in self._places.get(word, ()):
                found[place] = found.get(place, 0.0) + likeness
        return found

    def surely(self, words: Iterable[str]) -> str:
        """The one grade that words surely mean; "" where there is none."""
        scores, whole = self.match(words)
        return scores[0][0] if whole and len(scores) == 1 and scores[0][1] == 1.0 else ""

    def knows(self, words: Iterable[str]) -> bool:
        """Whether any of the words is of the trade, if perhaps mistyped."""
        return any(self._near(word) for word in plain_words(words) if word not in listed("talk"))

    def has(self, word: str) -> bool:
        """Whether it is a word of the trade as it is spelt here."""
        plain = tuple(plain_words((word,)))
        return bool(plain) and all(one in self.vocabulary for one in plain)

    def families_of(self, word: str) -> frozenset[str]:
        """The families of all that go by a name with a plain word in it."""
        return frozenset(self.families[grade] for _, grades in self._with_any((word,)) for grade in grades)

    def spelt_out(self, word: str) -> bool:
        """Whether it is a word of the trade that is short for no other: "brass", not "alum"."""
        return len(word) >= SHORTEST and self.has(word) and not is_short(word)

    def untraded(self, words: Iterable[str]) -> bool:
        """Whether something is named that is never a grade, and nothing else of the trade: tires, paint."""
        plain, never = frozenset(plain_words(words)), listed("untraded")
        return not plain.isdisjoint(never) and not self.knows(plain - never)

    def _with_more(self, said: frozenset[str]) -> tuple[Score, ...]:
        """Grades whose name is there with words around it that change nothing: "scrap lead wheel weights".

        The longest of such names counts; one that may mean several, "copper", only where there is no other.
        """
        sure: dict[int, dict[str, float]] = {}
        open_: dict[int, dict[str, float]] = {}
        for phrase, grades in self._with_any(said):
            if phrase < said and any(said - phrase <= self.goes_with[grade] | idle() for grade in grades):
                (sure if len(grades) == 1 else open_).setdefault(len(phrase), {}).update(dict.fromkeys(grades, 1.0))
        found = sure or open_
        return tuple(found[max(found)].items()) if found else ()

    def _with_any(self, words: Iterable[str]) -> Iterator[tuple[frozenset[str], tuple[str, ...]]]:
        """The phrases with any of these words, in the order of all phrases, and what they mean."""
        for place in sorted({place for word in words for place in self._places.get(word, ())}):
            yield self._rows[place]

    @cached_property
    def _rows(self) -> tuple[tuple[frozenset[str], tuple[str, ...]], ...]:
        return tuple(self.phrases.items())

    @cached_property
    def _places(self) -> dict[str, list[int]]:
        """Of each word of the vocabulary the places of its phrases."""
        found: dict[str, list[int]] = {}
        for place, (phrase, _) in enumerate(self._rows):
            for word in phrase:
                found.setdefault(word, []).append(place)
        return found

    def _near(self, word: str) -> dict[str, float]:
        """Words of the vocabulary that this one may be, with their likeness."""
        near = self._alike.get(word)
        if near is None:
            if len(self._alike) > REMEMBERED:
                self._alike.clear()
            near = {word: 1.0} if word in self.vocabulary else dict(self._mistyped(word))
            self._alike[word] = near
        return near

    def _mistyped(self, word: str) -> Iterable[tuple[str, float]]:
        if len(word) < SHORTEST or not word.isalpha():
            return
        matcher, letters = SequenceMatcher(None, "", ""), _letters(word)
        for known, others in self._longer.get(word[0], ()):
            same = ALIKE / 2 * (len(word) + len(known)) - TINY  # letters that two words so alike have in common
            if abs(len(known) - len(word)) > 2 or (letters & ~others).bit_count() > len(word) - same:
                continue
            if (others & ~letters).bit_count() > len(known) - same:
                continue
            matcher.set_seqs(word, known)
            if matcher.quick_ratio() >= ALIKE and (alike := matcher.ratio()) >= ALIKE:  # the first is the cheaper
                yield known, alike

    @cached_property
    def _longer(self) -> dict[str, list[tuple[str, int]]]:
        """Words that others may be mistyped for, each with its letters, by the first of them."""
        found: dict[str, list[tuple[str, int]]] = {}
        for known in (one for one in self.vocabulary if len(one) >= SHORTEST):
            found.setdefault(known[0], []).append((known, _letters(known)))
        return found

    def _by_clues(self, said: frozenset[str]) -> tuple[Score, ...]:
        """Grades whose clues have at least half of the words: worth asking about, never more."""
        shares = {grade: len(said & clues) / len(said) for grade, clues in self.clues.items()}
        found = [(grade, round(WORTH_ASKING * share, 3)) for grade, share in shares.items() if share >= 0.5]
        return tuple(sorted(found, key=lambda pair: (-pair[1], pair[0])))


def _letters(word: str) -> int:
    """The letters of a word as bits; letters of other alphabets share some, which only lets more words through."""
    bits = 0
    for letter in word:
        bits |= 1 << (ord(letter) & 31)
    return bits


def _whole_score(alike: Sequence[Mapping[str, float]], likest: Mapping[str, float], phrase: frozenset[str]) -> float:
    """How well words, each with what it is like, are a phrase, 0 to 1; `likest` is what the likest of them is like."""
    hits = [likest.get(part, 0.0) for part in phrase]
    fits = len(alike) == len(phrase) and all(hits) and all(near.keys() & phrase for near in alike)
    return sum(hits) / len(hits) if fits else 0.0


def _score(hits: float, words: int) -> float:
    """How well words are a part of a phrase, or have it in them, of both together so many; 0 where they hardly do."""
    score = PARTLY * 2.0 * hits / words
    return score if score >= WORTH_ASKING else 0.0


Called = tuple[tuple[str, str, tuple[str, ...], str], ...]  # of each grade its id, its name, its clues and its family


def called(grades: Mapping[str, Grade]) -> Called:
    """All that is read of some grades here: what is worked out from it is kept."""
    return tuple((grade.id, grade.name, tuple(grade.clues), grade.family) for grade in grades.values())


def lexicon_of(grades: Mapping[str, Grade]) -> Lexicon:
    """The names of some grades; spoken names of any other grade are left out."""
    return _lexicon(called(grades))


@lru_cache(maxsize=4)
def _lexicon(grades: Called) -> Lexicon:
    known = {grade for grade, *_ in grades}
    phrases: dict[frozenset[str], list[str]] = {}
    for grade, name, *_ in grades:
        for one in (name, grade.replace("-", " ")):
            _add(phrases, words_of(one), [grade])
    for said, meant in spoken():
        _add(phrases, said, [grade for grade in meant if grade in known])
    return Lexicon(
        phrases={phrase: tuple(meant) for phrase, meant in phrases.items()},
        clues={grade: frozenset(word for clue in clues for word in words_of(clue)) for grade, _, clues, _ in grades},
        vocabulary=frozenset(word for phrase in phrases for word in phrase),
        families={grade: family for grade, _, _, family in grades},
        goes_with=_goes_with(grades, phrases),
    )


def _goes_with(grades: Called, phrases: Mapping[frozenset[str], Sequence[str]]) -> dict[str, frozenset[str]]:
    """Of each grade the words that go without saying in its family, and those of the names that are its alone."""
    found = {grade: set(listed("goes", family)) for grade, _, _, family in grades}
    for phrase, meant in phrases.items():
        if len(meant) == 1:
            found[meant[0]] |= phrase
    return {grade: frozenset(words) for grade, words in found.items()}


def _add(phrases: dict[frozenset[str], list[str]], words: tuple[str, ...], grades: list[str]) -> None:
    """Enters a phrase, and as one word too: "barebright"."""
    joined = ("".join(words),) if len(words) > 1 and all(word.isalpha() for word in words) else ()
    for phrase in (frozenset(words), frozenset(joined)):
        if phrase and grades:
            known = phrases.setdefault(phrase, [])
            known.extend(grade for grade in grades if grade not in known)
