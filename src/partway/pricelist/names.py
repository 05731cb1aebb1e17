"""The file of names (names.toml) and the plain words of a name: in one spelling, singular, without the little ones."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal

from partway.errors import BadCatalogue
from partway.pricelist.folding import folded
from partway.spoken.tokens import tokens_of

REMEMBERED = 5000  # words whose plain form is kept
NAMES = Path(__file__).parent / "names.toml"


def words_of(text: str) -> tuple[str, ...]:
    """The plain words of a name."""
    return tuple(plain_words(token.text for token in folded(tokens_of(text)) if token.kind in {"word", "number"}))


def plain_words(words: Iterable[str]) -> Iterable[str]:
    """Words in one spelling, in the singular, without the little ones."""
    for word in words:
        yield from _plain(word)


@lru_cache(maxsize=REMEMBERED)
def _plain(word: str) -> tuple[str, ...]:
    table = _words()
    singulars = (singular(one) for one in table.get(word, word).split())
    plain = (same for one in singulars for same in table.get(one, one).split())
    return tuple(one for one in plain if one not in little())


def is_short(word: str) -> bool:
    """Whether it stands for another word: "alum" for aluminium."""
    table = _words()
    said = table.get(word) or table.get(singular(word))
    return said is not None and said not in {singular(word), word.removesuffix("s")}


def singular(word: str) -> str:
    """An English word without its plural ending: "cans" and "can", "batteries" and "battery"."""
    if len(word) <= 3 or word.endswith(("ss", "us", "is")) or word in kept():
        return word
    if word.endswith("ies"):
        return f"{word[:-3]}y"
    return word[:-2] if word.endswith(("sses", "xes", "ches", "shes")) else word.removesuffix("s")


@cache
def _file() -> dict[str, object]:
    try:
        return tomllib.loads(NAMES.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise BadCatalogue(str(error), "a TOML file in UTF-8", NAMES.name) from None


@cache
def _words() -> dict[str, str]:
    words = _file()["words"]
    assert isinstance(words, dict)  # noqa: S101  our own file; a test reads all of it
    return words


def little() -> frozenset[str]:
    """Words that carry nothing."""
    return listed("little")


def kept() -> frozenset[str]:
    """Words that look like plurals and are none."""
    return listed("kept")


def idle() -> frozenset[str]:
    """Words that say nothing more of a grade than its name does."""
    return listed("idle")


def states() -> frozenset[str]:
    """Words that say how a thing is, and of no grade alone what it is."""
    return listed("states")


@cache
def listed(*path: str) -> frozenset[str]:
    """A list of words of the file; empty where it has none of that name."""
    found: object = _file()
    for part in path:
        found = found.get(part, []) if isinstance(found, dict) else []
    assert isinstance(found, list)  # noqa: S101  our own file; a test reads all of it
    return frozenset(found)


@cache
def spoken() -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
    """The trade's spoken names as plain words, each with the ids of the grades it may mean."""
    rows = _file()["spoken"]
    assert isinstance(rows, list)  # noqa: S101
    return tuple((words_of(name), tuple(row["grades"])) for row in rows for name in row["say"])


@cache
def unlike() -> Mapping[frozenset[str], frozenset[str]]:
    """Of spoken names of several grades those that nobody means by just that name, however near the price is."""
    rows = _file()["spoken"]
    assert isinstance(rows, list)  # noqa: S101
    told = ((name, row["unlike"]) for row in rows if "unlike" in row for name in row["say"])
    return {frozenset(words_of(name)): frozenset(grades) for name, grades in told}


@cache
def meant(what: Literal["usual", "refused", "priced"]) -> Mapping[frozenset[str], str]:
    """Of spoken names of several grades the one that is mostly meant, or surely meant where it is refused."""
    rows = _file()["spoken"]
    assert isinstance(rows, list)  # noqa: S101
    return {frozenset(words_of(name)): row[what] for row in rows if what in row for name in row["say"]}
