"""The words of one language: what acts are called, how they are said, and which of our words another's stand for."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from partway.errors import BadCatalogue, Refused
from partway.quantities import shown
from partway.saying.patterns import ActFrame, ActPattern, Phrases, Sets, by_first, pattern_of, phrases_of, spelt
from partway.saying.tokens import said_words

WORDS = Path(__file__).parent / "words"
DEFAULT = "en"
LANGUAGE = "language"  # the setting
VOWELS, TWICE = re.compile("[aeiouy]"), re.compile(r"(.)\1+")
STATES = ("works", "dead")  # sets of words
SHORTEST = 3  # letters that are left of a word


@dataclass(frozen=True)
class SayLexicon:
    """One language. `heads` begin an act, `parts` say more of the one before; `skip` are words that say nothing.

    `english` are phrases of the language with what they are in the words that names and numbers are read in; `tables`
    are closed lists of words, such as the activities, each with what it means. Words that are only quoted have none of
    `telling` in them, which say that it was otherwise, nor one of `states`, by which a thing works or not, nor words
    with which an act begins, unless they are `weak`; a remark has none of `amounts`.
    """

    language: str
    source: str
    heads: tuple[ActPattern, ...]
    parts: tuple[ActPattern, ...]
    skip: frozenset[str]
    joins: frozenset[str]
    english: Mapping[tuple[str, ...], tuple[str, ...]]
    tables: Mapping[str, Mapping[tuple[str, ...], str]]
    weak: frozenset[str] = frozenset()
    telling: frozenset[str] = frozenset()
    amounts: frozenset[str] = frozenset()
    states: tuple[tuple[str, ...], ...] = ()
    dead: frozenset[tuple[str, ...]] = frozenset()
    frames: tuple[ActFrame, ...] = ()
    idle: Phrases = field(default_factory=dict)
    asides: Phrases = field(default_factory=dict)
    intent: Phrases = field(default_factory=dict)
    rather: Phrases = field(default_factory=dict)
    verdict: Phrases = field(default_factory=dict)
    boxes: Phrases = field(default_factory=dict)
    asking: frozenset[str] = frozenset()
    never: frozenset[str] = frozenset()
    before: frozenset[str] = frozenset()
    behind: frozenset[str] = frozenset()
    fillers: Phrases = field(default_factory=dict)
    apologies: Phrases = field(default_factory=dict)

    @cached_property
    def openings(self) -> Phrases:
        """Phrases with which an act begins, by their first word."""
        return by_first(
            phrase for head in self.heads if not (head.starts or head.apart) for phrase in head.pieces[0].words
        )

    @cached_property
    def shortened(self) -> Mapping[str, tuple[str, ...]]:
        """Words with which an act begins, by what is left of them without their vowels: "opnd", "wghd"."""
        found: dict[str, list[str]] = {}
        for phrases in self.openings.values():
            for word in (phrase[0] for phrase in phrases if len(phrase) == 1):
                found.setdefault(bones(word), []).append(word)
        return {key: tuple(words) for key, words in found.items() if len(key) >= SHORTEST}

    @cached_property
    def told(self) -> Phrases:
        """The states by their first word."""
        return by_first(self.states)

    @cached_property
    def verbs(self) -> Phrases:
        """Words by which the frames know an act."""
        return by_first(verb for frame in self.frames for verb in frame.verbs)

    @cached_property
    def plain(self) -> frozenset[str]:
        """Every word of the patterns and of the lists: none of them was meant for another."""
        phrases = (phrase for way in (*self.heads, *self.parts) for phrase in way.phrases)
        lists = (
            table
            for by_word in (self.idle, self.asides, self.boxes, self.fillers, self.verbs, self.told)
            for table in by_word.values()
        )
        tables = (phrase for table in self.tables.values() for phrase in table)
        said = (*phrases, *(phrase for some in lists for phrase in some), *tables)
        more = self.skip | self.joins | self.telling | self.amounts | self.never | self.before | self.behind
        return more | {word for phrase in said for word in phrase}

    @cached_property
    def part_words(self) -> Mapping[str, frozenset[str]]:
        """With which words that which says more of an act may begin, by the act."""
        found: dict[str, set[str]] = {}
        for part in self.parts:
            for does in part.of:
                found.setdefault(does, set()).update(part.opens)
        return {does: frozenset(words) for does, words in found.items()}

    def parts_of(self, does: str) -> tuple[ActPattern, ...]:
        """The parts that say more of an act."""
        return self._parts.get(does, ())

    def part_names(self, does: str) -> frozenset[str]:
        """What they are called."""
        return frozenset(one.does for one in self.parts_of(does))

    @cached_property
    def _parts(self) -> Mapping[str, tuple[ActPattern, ...]]:
        acts = {does for part in self.parts for does in part.of}
        return {does: tuple(part for part in self.parts if does in part.of) for does in acts}


def bones(word: str) -> str:
    """A word without the vowels behind its first letter, and each consonant once."""
    return TWICE.sub(r"\1", word[:1] + VOWELS.sub("", word[1:]))


@cache
def lexicon_named(language: str) -> SayLexicon:
    """The lexicon of a language, by its code. Raises Refused for one that is not there."""
    if language not in languages():
        raise Refused(shown(language), f"a language: {', '.join(languages())}", "language")
    path = WORDS / f"{language}.toml"
    try:
        return _read(tomllib.loads(path.read_text(encoding="utf-8")), language)
    except (tomllib.TOMLDecodeError, KeyError) as error:
        raise BadCatalogue(str(error), "a lexicon of acts", path.name) from None


@cache
def languages() -> tuple[str, ...]:
    """The codes of the languages there are."""
    return tuple(sorted(path.stem for path in WORDS.glob("*.toml")))


def _read(rows: Mapping[str, object], language: str) -> SayLexicon:
    english = _phrases(rows.get("english", {}))
    words: dict[str, Sequence[str]] = {name: rows[name] for name in ("skip", "joins")}  # type: ignore[misc]
    sets = phrases_of(_table(rows["set"]))
    return SayLexicon(
        language=language,
        source=str(rows["source"]),
        heads=_patterns(rows["act"], sets),
        parts=_patterns(rows["part"], sets),
        skip=frozenset(words["skip"]),
        joins=frozenset(words["joins"]),
        weak=frozenset(_more(rows, "weak")),
        telling=frozenset(_more(rows, "telling")),
        amounts=frozenset(_more(rows, "amounts")),
        states=tuple(one for name in STATES for one in sets[name]) if "telling" in rows else (),
        dead=frozenset(sets[STATES[1]]),
        frames=tuple(_frame(row, sets) for row in _more(rows, "frame")),
        idle=by_first(_spoken(rows, "idle")),
        asking=frozenset(_more(rows, "asking")),
        before=frozenset(_more(rows, "before")),
        behind=frozenset(_more(rows, "behind")),
        fillers=by_first(spelt(map(str, _more(rows, "fillers")))),
        apologies=by_first(spelt(map(str, _more(rows, "apologies")))),
        never=frozenset(_more(rows, "never")),
        asides=by_first(_spoken(rows, "asides")),
        intent=by_first(_spoken(rows, "intent")),
        rather=by_first(_spoken(rows, "rather")),
        verdict=by_first(_spoken(rows, "verdict")),
        boxes=by_first(sets.get("box", ())),
        english={said: tuple(meant.split()) for said, meant in english.items()},
        tables={name: _phrases(said) for name, said in _table(rows["table"]).items()},
    )


def _frame(row: Mapping[str, Any], sets: Sets) -> ActFrame:
    """An act's frame; a verb is a phrase, or a set of them."""
    verbs = (
        phrase
        for verb in row.get("verbs", ())
        for phrase in (sets[verb[1:-1]] if verb.startswith("<") else spelt([verb]))
    )
    fixed = tuple(row.get("with", {}).items())
    return ActFrame(row["does"], frozenset(verbs), tuple(row["needs"]), tuple(row.get("may", ())), "bare" in row, fixed)


def _spoken(rows: Mapping[str, object], name: str) -> Iterator[tuple[str, ...]]:
    """Phrases without the words that are skipped in any text."""
    skip = set(_more(rows, "skip"))
    kept = (tuple(word for word in words if word not in skip) for words in spelt(map(str, _more(rows, name))))
    return (words for words in kept if words)


def _more(rows: Mapping[str, object], name: str) -> Sequence[Any]:
    """A list that a language may do without."""
    found = rows.get(name, [])
    assert isinstance(found, list)  # noqa: S101
    return found


def _table(value: object) -> Mapping[str, object]:
    assert isinstance(value, dict)  # noqa: S101  our own file; a test reads all of it
    return value


def _phrases(value: object) -> dict[tuple[str, ...], str]:
    """Phrases by the words they are made of; a value with several phrases has them in a list under its meaning."""
    found: dict[tuple[str, ...], str] = {}
    for meant, said in _table(value).items():
        for phrase in said if isinstance(said, list) else [said]:
            found[tuple(word.text for word in said_words(str(phrase)))] = meant
    return found


def _patterns(value: object, sets: Sets) -> tuple[ActPattern, ...]:
    assert isinstance(value, list)  # noqa: S101
    return tuple(pattern_of(text, row, sets) for row in value for text in row["say"])
