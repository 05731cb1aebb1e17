"""Finding a kind by two letters, typed with a thumb: the start of any word of any of its names, or nearly so."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache, lru_cache

from partway.things.anatomy import Anatomy

ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
BESIDE = 0.5  # a slip to the key next to the one that was meant
SLIPS = ((3, 1.0), (7, 2.0))  # from so many letters on, so many slips are forgiven
BEGINNING = 0.5  # the start of a word, rather than all of it
LATER = 0.05  # each word that stands before the one that was meant
OTHER_NAME = 0.1
ABOUT_AS_NEAR = 0.5
NO = 99.0
LONGEST = 40
ONLY_OFFERED = "?"
SHORTEST_PLURAL = 4  # "ups" is no plural


@dataclass(frozen=True, slots=True)
class KindNames:
    """A kind and everything people call it; `names[0]` is its own name, then its id.

    `offered` are words that may as well mean another thing: the kind is found by them, never decided on.
    """

    kind: str
    names: tuple[str, ...]
    offered: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KindMatch:
    """A kind that was meant, likeliest first. `called` is the other name it was found by, "" for its own."""

    kind: str
    name: str
    called: str


def named(anatomies: Iterable[Anatomy]) -> tuple[KindNames, ...]:
    """Kinds with their names, and what else people call them. One that was split is nowhere offered any more."""
    return tuple(_named(one.kind, one.name, one.names) for one in anatomies if not one.became)


@lru_cache(maxsize=1024)
def _named(kind: str, name: str, names: tuple[str, ...]) -> KindNames:
    offered = tuple(other.removesuffix(ONLY_OFFERED) for other in names if other.endswith(ONLY_OFFERED))
    sure = (other for other in names if not other.endswith(ONLY_OFFERED))
    return KindNames(kind, (name, kind, *sure), offered)


def kind_called(text: str, kinds: Iterable[KindNames]) -> str | None:
    """The one kind that goes by exactly this name: its own, its id or another name of it alone; None where it is asked.

    Case, accents, spaces, hyphens and a plural do not matter. Nothing near a name is good enough: what is decided here
    is a verdict on what somebody is about to pick up.
    """
    if len(text) > LONGEST or not text.isprintable():
        return None
    known, wanted = tuple(kinds), name_key(text)
    if any(text == kind.kind for kind in known):
        return text  # an id always means itself, whatever else somebody's own kinds are called
    called = {kind.kind for kind in known if wanted and wanted in map(name_key, kind.names)}
    return called.pop() if len(called) == 1 else None


@lru_cache(maxsize=4096)
def name_key(text: str) -> str:
    """A name without what does not matter: small letters run together, the last word in the singular."""
    run = "".join(words(text))
    if len(run) > len("ies") + 1 and run.endswith("ies"):
        return f"{run[:-3]}y"
    return run[:-1] if len(run) >= SHORTEST_PLURAL and run.endswith("s") and not run.endswith("ss") else run


def find_kinds(text: str, kinds: Iterable[KindNames]) -> tuple[KindMatch, ...]:
    """Kinds that a text may mean: whole words, then beginnings; slips are forgiven only where there is neither.

    Ties go to the shorter name.
    """
    typed = words(text[:LONGEST])
    if not typed:
        return ()
    known = tuple(kinds)
    found = _near(typed, known, _starts)
    if not found:
        found = _near(typed, known, _slips)
        found = [one for one in found if one[0] <= min(found)[0] + ABOUT_AS_NEAR]
    return tuple(match for _, _, _, match in sorted(found, key=lambda one: one[:3]))


def with_a_word_of(text: str, kinds: Iterable[KindNames]) -> tuple[KindMatch, ...]:
    """Kinds that have a whole word of a text in one of their names: a toaster oven may be a toaster."""
    wanted = {name_key(word) for word in words(text[:LONGEST]) if len(word) >= SHORTEST_PLURAL}

    def has(kind: KindNames) -> bool:
        return not wanted.isdisjoint(name_key(word) for name in (*kind.names, *kind.offered) for word in words(name))

    return tuple(KindMatch(kind.kind, kind.names[0], "") for kind in kinds if has(kind))


def _near(
    typed: tuple[str, ...], kinds: Iterable[KindNames], apart: Callable[[str, str], float]
) -> list[tuple[float, int, str, KindMatch]]:
    found = []
    for kind in kinds:
        own = min([_distance(typed, words(name), apart) for name in kind.names[:2]])
        others = [
            (_distance(typed, words(name), apart) + OTHER_NAME, name) for name in (*kind.names[2:], *kind.offered)
        ]
        best, called = min([(own, ""), *others])
        if best < NO:
            found.append((best, len(kind.names[0]), kind.kind, KindMatch(kind.kind, kind.names[0], called)))
    return found


@lru_cache(maxsize=4096)
def words(text: str) -> tuple[str, ...]:
    """Words in small letters without accents or marks; "A/C" is one word."""
    plain = unicodedata.normalize("NFKD", text).casefold()
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    plain = re.sub(r"(?<![^\W_])([^\W_])[/.]([^\W_])(?![^\W_])", r"\1\2", plain)
    return tuple(re.findall(r"[^\W_]+", plain))


def _distance(typed: tuple[str, ...], name: tuple[str, ...], apart: Callable[[str, str], float]) -> float:
    """How far what was typed is from a name: each of its words from the nearest, or all of them run together."""
    each = 0.0
    for one in typed:
        each += min([apart(one, word) + LATER * min(i, 4) for i, word in enumerate(name)], default=NO)
        if each >= NO:
            break
    return min(each, apart("".join(typed), "".join(name)), NO)


def _starts(typed: str, word: str) -> float:
    """0 for the word itself, a little for its beginning."""
    return 0.0 if word == typed else BEGINNING if word.startswith(typed) else NO


@lru_cache(maxsize=8192)
def _slips(typed: str, word: str) -> float:
    """Slips between what was typed and a word or its beginning, as many as its length forgives."""
    allowed = max((slips for letters, slips in SLIPS if len(typed) >= letters), default=0.0)
    if not allowed or not set(typed[:2]) & {*word[:2], *_beside(word[0])}:
        return _starts(typed, word)
    unmet = len(set(typed) - set(word)) * BESIDE  # each such letter is a slip, at least to the key beside it
    if max(unmet, len(typed) - len(word)) > allowed:
        return NO
    row = slipped(typed, word[: len(typed) + 2], allowed)
    ends = [slips + (0.0 if at == len(word) else BEGINNING) for at, slips in enumerate(row) if slips <= allowed]
    return min(ends, default=NO)


@lru_cache(maxsize=4096)
def slipped(typed: str, meant: str, most: float = NO) -> tuple[float, ...]:
    """Slips between a word and every beginning of another: a letter missing, extra, wrong or swapped is one.

    A key beside the right one is half of it. Optimal string alignment: Damerau, "A technique for computer detection
    and correction of spelling errors", Communications of the ACM 7, 1964. Where there are more than `most`, it is left.
    """
    before: list[float] = []
    row = [float(i) for i in range(len(meant) + 1)]
    for i, a in enumerate(typed):
        older, before, row = before, row, [i + 1.0]
        near = _beside(a)
        for j, b in enumerate(meant):
            cost = 0.0 if a == b else BESIDE if b in near else 1.0
            best = before[j] + cost
            if (left := row[j] + 1.0) < best:
                best = left
            if (above := before[j + 1] + 1.0) < best:
                best = above
            if i and j and a == meant[j - 1] and typed[i - 1] == b:
                best = min(best, older[j - 1] + 1.0)
            row.append(best)
        if min(row) > most and min(before) > most:  # no later row is less: a swap looks two rows back
            return (NO,) * len(row)
    return tuple(row)


@cache
def _beside(letter: str) -> str:
    """Keys that touch a letter's key."""
    for r, row in enumerate(ROWS):
        at = row.find(letter)
        if at >= 0:
            near = [ROWS[r + up][max(0, at - 1) : at + 2] for up in (-1, 0, 1) if 0 <= r + up < len(ROWS)]
            return "".join(near).replace(letter, "")
    return ""
