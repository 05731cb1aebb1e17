"""How far to open one find, as it is shown and as `--json` writes it."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue.cards import CautionCard


@dataclass(frozen=True, slots=True)
class FlipPrice:
    """The best quote per kg of `grade` today, and the quote nearest to it at which the answer turns over.

    `flip` is null where no price does it. `includes_postage` is true where the best buyer is a mail-in that charges
    postage: both prices are what it quotes, and postage (a kilogram's share of the cheapest full parcel) has to be paid
    out of them.
    """

    grade: str
    today: float
    flip: float | None
    includes_postage: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One operation that could be run. `chosen` says whether the best depth runs it.

    `gain` is its worth above the best other option of the same piece, hours paid at the wage; `per_hour` the
    money per bench hour behind that gain, wage not taken off; `minutes` include deeper operations that follow.
    `flip_wage` is the wage nearest to today's at which running it starts or stops being the best thing to do; null
    where no wage does it, however high.
    """

    piece: str
    operation: str
    name: str
    chosen: bool
    reached: bool
    gain: float
    minutes: float
    per_hour: float
    otherwise: str
    flip_wage: float | None
    flip_price: FlipPrice | None
    cautions: tuple[str, ...]
    tools: tuple[str, ...]
    required: bool


@dataclass(frozen=True, slots=True)
class End:
    """Where one piece ends under the best depth; `as_what` is sell, part, keep or stop."""

    piece: str
    name: str
    count: int
    mass_kg: float
    as_what: str
    to: str
    value: float
    why: str


@dataclass(frozen=True, slots=True)
class Chances:
    """Seeded draws with the choice held fixed: 10, 50 and 90 of 100, and how often opening wins."""

    low: float
    middle: float
    high: float
    opening_wins: float | None
    draws: int
    seed: int


@dataclass(frozen=True, slots=True)
class TestFirst:
    """For an unknown condition: the worth of knowing before deciding, the test's minutes paid."""

    chance_works: float
    minutes: float
    value_if_works: float
    value_if_not: float
    value_untested: float
    gain: float
    worth_it: bool


@dataclass(frozen=True, slots=True)
class Depth:
    """One find at today's prices: `value` at the best depth, `as_is` without opening it at all."""

    kind: str
    name: str
    works: str
    mass_kg: float
    currency: str
    on: str
    wage: float
    cautions: tuple[CautionCard, ...]
    verdict: str
    value: float
    as_is: float
    as_is_how: str
    minutes: float
    per_hour: float | None
    steps: tuple[Step, ...]
    ends: tuple[End, ...]
    chances: Chances
    test_first: TestFirst | None
    notes: tuple[str, ...]
