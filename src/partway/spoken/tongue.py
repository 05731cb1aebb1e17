"""The words of one language in which numbers, masses, money, times and days are said, from its lexicon file."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from partway.errors import BadCatalogue

Phrases = tuple[tuple[str, ...], ...]  # each a row of words, the longest first


class ByFirst(Phrases):
    """Phrases that are found by their first word."""

    firsts: Mapping[str, Phrases]

    def __new__(cls, rows: Iterable[tuple[str, ...]]) -> ByFirst:
        """Of rows of words, in their order."""
        found = super().__new__(cls, rows)
        firsts: dict[str, list[tuple[str, ...]]] = {}
        for row in found:
            firsts.setdefault(row[0], []).append(row)
        found.firsts = {first: tuple(rows) for first, rows in firsts.items()}
        return found


Words = frozenset[str]


PHRASES = (
    "free", "pays", "takes", "refusals", "passing", "all", "minimum", "maximum", "weighs", "from_lot", "and_up",
    "open_prices", "changes", "now", "old_columns",
    "on_all", "since", "unchanged", "from_money", "visits", "either", "below",
    "above", "of_them", "hundredth_parts", "corrects", "they_pay", "rises", "falls",
)  # fmt: skip

NO_OPENERS = frozenset(
    ["old_columns", "now", "since", "on_all", "visits", "takes", "of_them", "hundredth_parts"]
)  # only behind something else


@dataclass(frozen=True)
class Tongue:
    """What is said in one language. Names of fields are those of the file, section by section."""

    ones: Mapping[str, int]
    tens: Mapping[str, int]
    large: Mapping[str, int]
    zeros: Words
    point: Words
    joiner: Words
    one: Words
    fractions: Mapping[str, tuple[int, int]]
    of: Words
    minus: Words
    to: Words
    between: Words
    sounds: Mapping[str, int]
    hundredths: Words
    pence: Words
    money: Mapping[str, str]
    pounds: Words
    coins: Mapping[str, int]
    free: Phrases
    pays: Phrases
    takes: Phrases
    they_pay: Phrases
    tons: Words
    tonne_sign: Words
    kinds_of_ton: Mapping[str, str]
    short_for_ton: Mapping[str, str]
    hundredweight: Words
    per: Words
    each: Words
    no_mass: Words
    kilometres: Words
    hours: Words
    minutes: Words
    days: Words
    weeks: Words
    workdays: Words
    ago: Words
    on: Words
    last: Words
    today: Mapping[tuple[str, ...], int]
    weekdays: Mapping[str, int]
    months: Mapping[str, int]
    nth: Words
    am: Words
    pm: Words
    noon: Mapping[str, int]
    at: Words
    past: Words
    until: Words
    sharp: Words
    halves: Mapping[str, str]
    noise: Words
    apart: Words
    refusals: Phrases
    passing: Phrases
    changes: Phrases
    now: Phrases
    describes: Words
    qualifies: Words
    fittings: Words
    without: Words
    fitted: Words
    altered: Words
    dirt: Words
    tails: Words
    all: Phrases
    all_before_price: Words
    minimum: Phrases
    maximum: Phrases
    upward: Words
    weighs: Phrases
    from_lot: Phrases
    and_up: Phrases
    fillers: Words
    pieces: Words
    header: Words
    asides: Words
    payments: Words
    open_prices: Phrases
    fees: Words
    consignments: Words
    fee_names: Words
    of_ticket: Words
    fee_fillers: Words
    speaks: Words
    old_columns: Phrases
    codes: Words
    notes: Words
    over_prices: Words
    over_words: Words
    names_behind: Words
    since: Phrases
    on_all: Phrases
    corrects: Phrases
    unchanged: Phrases
    from_money: Phrases
    visits: Phrases
    either: Phrases
    relative: Words
    sellers: Words
    hundredth_parts: Phrases
    added: Words
    of_them: Phrases
    even: Words
    shares: Words
    less: Words
    off: Words
    below: Phrases
    above: Phrases
    rises: Phrases
    falls: Phrases

    @cached_property
    def opens_number(self) -> Words:
        """Every word that a number may begin with."""
        return frozenset({*self.ones, *self.tens, *self.fractions, *self.zeros, *self.point, *self.one})

    @cached_property
    def opens(self) -> Words:
        """Every word that something else than a name may begin with in a list: phrases, numbers, bounds, changes."""
        firsts = (first for name in PHRASES if name not in NO_OPENERS for first in self.phrases_of(name).firsts)
        words = (self.all_before_price, self.tails, self.between, self.minus, self.sounds, self.of, self.opens_number)
        return frozenset({*firsts, *(word for some in words for word in some), "no", "not"})

    def phrases_of(self, name: str) -> ByFirst:
        """The phrases of one of PHRASES."""
        found = getattr(self, name)
        assert isinstance(found, ByFirst)  # noqa: S101  made so
        return found


@cache
def english() -> Tongue:
    """English, the only language so far."""
    return tongue_from(Path(__file__).parent / "english.toml")


def tongue_from(file: Path) -> Tongue:
    """A language from its file. Raises BadCatalogue where the file is none."""
    try:
        said = tomllib.loads(file.read_text(encoding="utf-8"))
        return _tongue(said)
    except (tomllib.TOMLDecodeError, KeyError, TypeError, ValueError, AttributeError) as error:
        raise BadCatalogue(str(error), "the words of a language, as english.toml has them", file.name) from None


def _tongue(said: Mapping[str, Any]) -> Tongue:
    numbers, money, times, lists = (said[part] for part in ("numbers", "money", "times", "lists"))
    found: dict[str, Any] = {**numbers, **money, **said["units"], **times, **lists}
    found["ones"] = {word: number for number, word in enumerate(numbers["ones"].split())}
    found["fractions"] = {word: _fraction(text) for word, text in numbers["fractions"].items()}
    found["joiner"], found["money"] = found.pop("and"), money["units"]
    found.pop("units")
    found["today"] = {tuple(words.split()): ago for words, ago in times["today"].items()}
    found["from_lot"] = found.pop("from")
    found |= {name: phrases(found[name]) for name in PHRASES}
    found |= {name: lists[name].split() for name in ("noise", "header")}
    fields: dict[str, Any] = {name: frozenset(w) if isinstance(w, list) else w for name, w in found.items()}
    return Tongue(**fields)


def phrases(said: Sequence[str]) -> Phrases:
    """Phrases as rows of words, the longest first."""
    return ByFirst(sorted((tuple(words.split()) for words in said), key=lambda row: -len(row)))


def _fraction(text: str) -> tuple[int, int]:
    if "/" in text:
        above, _, below = text.partition("/")
        return int(above), int(below)
    return Decimal(text).as_integer_ratio()


@dataclass(frozen=True)
class Hearing:
    """What a text is heard against: who writes it, and where.

    `currency` is the code money is counted in ("" where none is set), `unit` that of a bare mass and of a bare price,
    `distance` that of a bare distance; `comma`: decimals come after a comma there.
    """

    currency: str = ""
    unit: str = ""
    comma: bool = False
    distance: str = ""
    tongue: Tongue = field(default_factory=english)
