"""How likely a find is to work: from its kind, where it came from, what shows on it, and what one's own tests taught.

Log odds add up: those of the kind, of the origin, of each sign, and how far one's own tests lie from what was expected
of them: of all, of the family, of the kind and of the origin, one after the other, each drawn towards none by a weight
in tests. It hangs on the tested finds alone and not on the order in which they came.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from partway.catalogue import Catalogue, shipped
from partway.catalogue.signs import looked_for
from partway.formulas.statistics.odds import chance_of, log_odds, shift, shrunk, weight_of_sign
from partway.ledger.book import Book
from partway.ledger.fold.standing import FindNow
from partway.planning.instance.tested import needs_work
from partway.things.anatomy import Anatomy
from partway.things.signs import Sign, Signs, as_text, seen_in
from partway.valuing.own_kinds import own_kinds

# How many tests of one's own what was thought is worth, at each step from the widest (choices of ours): kinds differ
# from what is thought of them by about ten tests' worth, families and places as a whole by less.
WEIGHTS = {"all": 20.0, "family": 30.0, "kind": 10.0, "origin": 20.0}
SIGN_WEIGHT = 20.0  # finds of one's own that what is thought of a sign is worth, of either outcome (a choice of ours)
CURB = "curb"  # where what is lifted there is from
DIGITS = 3  # of a chance: finds that are alike stay alike


@dataclass(frozen=True, slots=True)
class TriedFind:
    """A find of which a test said whether it works."""

    kind: str
    source: str
    signs: Mapping[str, bool]
    works: bool


@dataclass(frozen=True, slots=True)
class Chance:
    """How likely something is to work, and how many tests of one's own count in that: of its kind, and of all."""

    value: float
    of_kind: int
    of_all: int


@dataclass(frozen=True, slots=True)
class AtCurb:
    """What is known of the condition of a thing in sight: how likely it is to work, and what shows of it.

    `seen` are the signs as an event has them; `signs` all that may show of its kind, as one's own tests have them.
    """

    chance: Chance | None = None
    seen: str = ""
    signs: tuple[Sign, ...] = ()

    @property
    def unseen(self) -> tuple[Sign, ...]:
        """The signs of which nothing is said yet."""
        said = seen_in(self.seen)
        return tuple(sign for sign in self.signs if sign.id not in said)


@dataclass(frozen=True)
class Odds:
    """What is known of how likely finds are to work. `shifts` are what was learned, by step and group, in log odds."""

    catalogue: Catalogue
    signs: Signs
    shifts: Mapping[tuple[str, str], float]
    counts: Mapping[str, int]
    of_all: int = 0

    def of(self, anatomy: Anatomy, source: str = "", seen: Mapping[str, bool] | None = None) -> Chance | None:
        """Of a find that nobody tested; None where it is not known of its kind, or makes no difference."""
        if anatomy.works is None or not needs_work(anatomy):
            return None
        logit = self._logit(anatomy, source, seen or {})
        return Chance(round(chance_of(logit), DIGITS), self.counts.get(anatomy.kind, 0), self.of_all)

    def at_curb(self, anatomy: Anatomy, seen: str) -> AtCurb:
        """Of a thing of a kind at the curb, with the signs that it shows."""
        signs = looked_for(self.signs, anatomy) if needs_work(anatomy) else ()
        known = {sign.id for sign in signs}
        said = {sign: there for sign, there in seen_in(seen).items() if sign in known}
        return AtCurb(self.of(anatomy, CURB, said), as_text(said), signs)

    def _logit(self, anatomy: Anatomy, source: str, seen: Mapping[str, bool]) -> float:
        logit = _thought(self.signs, anatomy, source, seen)
        return logit + sum(self.shifts.get(group, 0.0) for group in _groups(anatomy, source))

    def learned(self, anatomy: Anatomy) -> Anatomy:
        """The kind with its chance as one's own tests have it."""
        known = self.of(anatomy)
        return anatomy if known is None or not self.of_all else replace(anatomy, works=known.value)


def _groups(anatomy: Anatomy, source: str) -> tuple[tuple[str, str], ...]:
    """What a find shares with others, the widest first."""
    origin = source.strip().casefold()
    return ("all", ""), ("family", anatomy.family), ("kind", anatomy.kind), ("origin", origin)


def _thought(signs: Signs, anatomy: Anatomy, source: str, seen: Mapping[str, bool]) -> float:
    """Log odds before one's own tests."""
    known = [(signs.signs[sign], there) for sign, there in seen.items() if sign in signs.signs]
    said = sum(weight_of_sign(sign.works, sign.broken, there) for sign, there in known)
    logit = log_odds(anatomy.works or 0.0) + log_odds_of(signs.odds_from(source)) + said
    return log_odds(chance_of(logit))


def log_odds_of(odds: float) -> float:
    """Odds as what they add."""
    return log_odds(odds / (1.0 + odds))


def learn(catalogue: Catalogue, signs: Signs, tested: Iterable[TriedFind]) -> Odds:
    """What tests teach, on top of what is thought of kinds, origins and signs."""
    known = sorted(
        (it for it in tested if catalogue.knows(it.kind) and catalogue.anatomy(it.kind).works is not None),
        key=lambda it: (it.kind, it.source, sorted(it.signs.items()), it.works),
    )
    moved = replace(signs, signs=_learned_signs(signs, known))
    anatomies = [catalogue.anatomy(it.kind) for it in known]
    logits = [_thought(moved, a, it.source, it.signs) for a, it in zip(anatomies, known, strict=True)]
    shifts: dict[tuple[str, str], float] = {}
    for step in range(4):
        groups = [_groups(a, it.source)[step] for a, it in zip(anatomies, known, strict=True)]
        found = _shifts(groups, logits, [it.works for it in known])
        logits = [logit + found[group] for logit, group in zip(logits, groups, strict=True)]
        shifts |= found
    counts = {kind: sum(it.kind == kind for it in known) for kind in {it.kind for it in known}}
    return Odds(catalogue, moved, shifts, counts, len(known))


def _shifts(
    groups: Sequence[tuple[str, str]], logits: Sequence[float], works: Sequence[bool]
) -> dict[tuple[str, str], float]:
    """How far each group lies from what was expected of it; nothing for finds from nobody said where."""
    sums: dict[tuple[str, str], list[float]] = {}
    for group, logit, worked in zip(groups, logits, works, strict=True):
        row = sums.setdefault(group, [0.0, 0.0, 0.0])
        row[0] += worked
        row[1] += chance_of(logit)
        row[2] += 1.0
    return {g: 0.0 if g == ("origin", "") else shift(s, e, n, WEIGHTS[g[0]]) for g, (s, e, n) in sums.items()}


def _learned_signs(signs: Signs, tested: Sequence[TriedFind]) -> dict[str, Sign]:
    """Each sign as finds show it of which anything was said; one that was not said of such a find was not there."""
    looked = [it for it in tested if it.signs]
    works = [it for it in looked if it.works]
    broken = [it for it in looked if not it.works]

    def rate(sign: str, finds: Sequence[TriedFind], thought: float) -> float:
        return shrunk(sum(it.signs.get(sign, False) for it in finds), len(finds), thought, SIGN_WEIGHT)

    return {
        sign.id: replace(sign, works=rate(sign.id, works, sign.works), broken=rate(sign.id, broken, sign.broken))
        for sign in signs.signs.values()
    }


def odds_of(book: Book) -> Odds:
    """What a ledger teaches. A find that stands tested counts once, however often it was tested."""
    catalogue = shipped().with_own(own_kinds(book))  # as it is thought, with nothing learned
    return learn(catalogue, catalogue.signs, tested_finds(book))


def tested_finds(book: Book) -> list[TriedFind]:
    """The finds of which a test said whether they work."""
    subjects = book.subjects(("tested",), "find:")
    if not subjects:
        return []
    facts = {name: book.facts("find:", name) for name in ("works", "kind", "source", "signs")}

    def fact(subject: str, name: str) -> str:
        return facts[name].get((subject, name), "")

    return [
        TriedFind(fact(s, "kind"), fact(s, "source"), seen_in(fact(s, "signs")), fact(s, "works") == "yes")
        for s in sorted(subjects)
        if fact(s, "works") in ("yes", "no") and fact(s, "kind")
    ]


def chance_of_find(odds: Odds, now: FindNow) -> float | None:
    """How likely a find is to work that nobody tested; None where it is known, or makes no difference."""
    if now.works != "unknown" or not odds.catalogue.knows(now.kind):
        return None
    found = odds.of(odds.catalogue.anatomy(now.kind), now.source, seen_in(now.signs))
    return None if found is None else found.value
