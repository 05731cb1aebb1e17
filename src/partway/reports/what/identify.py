"""What a piece is, as it is shown and as `--json` writes it. Cautions come first, money last."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue.cards import CautionCard


@dataclass(frozen=True, slots=True)
class NeverLine:
    """What is never done to find out, and why."""

    what: str
    why: str


@dataclass(frozen=True, slots=True)
class AnswerLine:
    """An answer given; `says` is what it means."""

    test: str
    name: str
    answer: str
    says: str


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """What it may be. `grade` is the bin it would belong in, null where no grade takes it (`aside` says what to do)."""

    material: str
    name: str
    chance: float
    grade: str | None
    grade_name: str
    aside: str
    source: str


@dataclass(frozen=True, slots=True)
class IdentifiedBin:
    """A bin it could go into; `grade` is null for setting it aside.

    `expected` is what it brings there on average, `right` the chance that no other bin would be better, `loses` the
    average cost of a wrong bin where it is wrong, and `worst` the material that makes up most of that, with its own
    `worst_loss`. The price is per kg.
    """

    grade: str | None
    name: str
    expected: float
    right: float
    loses: float
    worst: str
    worst_loss: float
    price_low: float
    price: float
    price_high: float
    how: str


@dataclass(frozen=True, slots=True)
class LeadLine:
    """An answer, its chance, and the bin it would lead to (null: aside)."""

    answer: str
    name: str
    chance: float
    grade: str | None
    grade_name: str
    then: str


@dataclass(frozen=True, slots=True)
class AskLine:
    """A test that could change the bin, best first.

    `gain` is the money expected of asking it, `with_next` the same with the tests that may follow (`then` of its
    leads), `cost` the damage and danger of them, `minutes` theirs, `per_minute` what counts.
    """

    test: str
    name: str
    ask: str
    answers: tuple[tuple[str, str], ...]
    gain: float
    with_next: float
    cost: float
    minutes: float
    per_minute: float
    worth_it: bool
    leads: tuple[LeadLine, ...]
    cautions: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class NotNowLine:
    """A test that is not proposed, and why."""

    test: str
    name: str
    why: str


@dataclass(frozen=True, slots=True)
class Identify:
    """One piece. Money is in `currency`, or in kg of No. 2 copper where that is null: nothing was quoted.

    `bin` is null where the piece is best set aside. `perfect` is what knowing for sure would bring more than `bin`.
    """

    context: str
    context_name: str
    currency: str | None
    on: str | None
    mass_kg: float
    wage: float
    cautions: tuple[CautionCard, ...]
    never: tuple[NeverLine, ...]
    answers: tuple[AnswerLine, ...]
    bin: str | None
    bin_name: str
    expected: float
    perfect: float
    materials: tuple[MaterialLine, ...]
    bins: tuple[IdentifiedBin, ...]
    tests: tuple[AskLine, ...]
    not_now: tuple[NotNowLine, ...]
    stop: str
    stop_why: str
    confirmed: int
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GuideMatch:
    """A grade that agrees with what was seen; `spoils` are what takes it down. Prices per kg as in IdentifiedBin."""

    grade: str
    name: str
    qualifies: str
    seen: tuple[str, ...]
    to_see: tuple[str, ...]
    whole: bool
    price_low: float
    price: float
    price_high: float
    how: str
    spoils: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GuideReport:
    """A guide asked with some features seen; `look_for` tells the grades that are left apart."""

    guide: str
    name: str
    currency: str | None
    cautions: tuple[CautionCard, ...]
    never: tuple[NeverLine, ...]
    features: tuple[tuple[str, str], ...]
    seen: tuple[str, ...]
    matches: tuple[GuideMatch, ...]
    look_for: tuple[str, ...]
    notes: tuple[str, ...]
