"""What a kind is worth lifting for, as it is shown at the curb in ten seconds.

Every amount counts what the find brings once it is on the vehicle. The way here is driven already and is not counted,
and neither is the haul to a buyer: a plan shares that out over a whole load.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partway.catalogue.cards import CautionCard

Verdict = Literal["take", "if-works", "leave", "depot", "unknown"]
Outlet = Literal["grade", "part", "keep", "stop"]
CENT = 0.005  # less than that is nothing


@dataclass(frozen=True, slots=True)
class Money:
    """What it brings, hours not yet paid: 10 and 90 of 100 seeded draws, and the mean of all luck."""

    low: float
    expected: float
    high: float

    @property
    def nothing(self) -> bool:
        """Whether nobody pays a cent."""
        return max(self.expected, self.high) < CENT

    @property
    def varies(self) -> bool:
        """Whether there is a range to speak of."""
        return self.high - self.low >= CENT


@dataclass(frozen=True, slots=True)
class EndLine:
    """Where `count` of a piece end: `to` names the grade or the part, `buyer` who quotes it best ("" for nobody).

    `value` is what they bring, hours not paid: with all other ends it adds up to the money, operations' costs aside.
    """

    piece: str
    name: str
    count: int
    mass_kg: float
    outlet: Outlet
    to: str
    buyer: str
    value: float


@dataclass(frozen=True, slots=True)
class Way:
    """What it would take: operations in the order they are done, none where it is sold whole, and where it ends."""

    opens: tuple[str, ...]
    tools: tuple[str, ...]
    ends: tuple[EndLine, ...]

    @property
    def whole(self) -> bool:
        """Whether nothing is opened."""
        return not self.opens


@dataclass(frozen=True, slots=True)
class World:
    """One state of the find. `minutes` are at the bench and to load and unload; `net` has them paid at the wage.

    `works` "tested" is an unknown find that is tested first, then taken either way, by its chances.
    """

    works: Literal["yes", "no", "unknown", "tested"]
    money: Money
    minutes: float
    bench_minutes: float
    per_hour: float
    net: float


@dataclass(frozen=True, slots=True)
class Size:
    """Of the whole thing. `litres` is an estimate: its mass by the bulk density of the grade it would ride as.

    None where no grade is known for it.
    """

    low_kg: float
    kg: float
    high_kg: float
    litres: float | None
    grade: str
    grade_name: str


@dataclass(frozen=True, slots=True)
class Hinge:
    """What the verdict hangs on, and what it `becomes`.

    works: `if_works` and `if_not` say what each is worth. price: the best quote of a grade per kg, `today` and where
    the verdict turns (`flip`); `includes_postage` where the best buyer is a mail-in whose postage is paid out of it.
    sale: a part that is sold with a `chance`.
    """

    what: Literal["works", "price", "sale"]
    becomes: Verdict | None = None
    grade: str = ""
    name: str = ""
    today: float | None = None
    flip: float | None = None
    includes_postage: bool = False
    chance: float | None = None


@dataclass(frozen=True, slots=True)
class Curb:
    """The verdict on one kind. Cautions come first; `money` and all with it is None where nothing in it is quoted.

    `place` is who takes it whole, where it has to go whole: "" where no buyer here is known to.
    """

    kind: str
    name: str
    works: str
    on: str
    currency: str
    unit: str
    wage: float
    cautions: tuple[CautionCard, ...]
    verdict: Verdict
    shown: World | None
    if_works: World | None
    if_not: World | None
    way_if_works: Way | None
    way_if_not: Way | None
    chance_works: float | None
    test_minutes: float | None
    size: Size
    handling_minutes: float
    per_kg: float | None
    per_litre: float | None
    shut: str
    place: str
    hinges: tuple[Hinge, ...]
    unquoted: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def hours_free(self) -> bool:
        """Whether no wage is set, so that hours count as free."""
        return self.wage == 0.0


@dataclass(frozen=True, slots=True)
class RankLine:
    """One kind in the ranking: the figures of the world its verdict speaks of."""

    kind: str
    name: str
    verdict: Verdict
    money: Money
    minutes: float
    per_hour: float
    kg: float
    litres: float | None
    per_kg: float
    per_litre: float | None
    caution: str
    cautions: int


@dataclass(frozen=True, slots=True)
class Ranking:
    """Kinds worth stopping for at the quotes of a day, by money per hour, and those whose space is known by litre.

    `depot` are kinds that go whole to a depot, `unknown` those in which nothing is quoted, `left` the rest.
    """

    on: str
    currency: str
    unit: str
    wage: float
    lines: tuple[RankLine, ...]
    by_space: tuple[RankLine, ...]
    depot: tuple[tuple[str, str], ...]
    unknown: tuple[tuple[str, str], ...]
    left: tuple[tuple[str, str], ...]
