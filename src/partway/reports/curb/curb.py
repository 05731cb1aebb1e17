"""What a kind is worth lifting for, as it is shown at the curb in ten seconds.

Every amount counts what the find brings once it is on the vehicle. The way here is driven already and is not counted.
Its share of the haul to a buyer, by the room it takes, is taken off what it is worth.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partway.catalogue.cards import CautionCard
from partway.reports.learned import LearnedLine
from partway.valuing.finds.curb import Size, World
from partway.valuing.finds.facts import OnlyIf, Question, Span, TestFirst, WorthALook
from partway.valuing.finds.verdict import Hinge, Verdict

Outlet = Literal["grade", "part", "keep", "stop"]


@dataclass(frozen=True, slots=True)
class CurbEnd:
    """Where `count` of a piece end: `to` names the grade or the part, `buyer` who quotes it best ("" for nobody).

    `value` is what they bring, hours not paid: with all other ends it adds up to the money, operations' costs aside.
    For that, what only some finds have (`only_if` a question is answered so) counts in mass and value by its share.
    """

    piece: str
    name: str
    count: int
    mass_kg: float
    outlet: Outlet
    to: str
    buyer: str
    value: float
    only_if: OnlyIf | None = None


@dataclass(frozen=True, slots=True)
class CurbWay:
    """What it would take: operations in the order they are done, none where it is sold whole, and where it ends."""

    opens: tuple[str, ...]
    tools: tuple[str, ...]
    ends: tuple[CurbEnd, ...]

    @property
    def whole(self) -> bool:
        """Whether nothing is opened."""
        return not self.opens


@dataclass(frozen=True, slots=True)
class Curb:
    """The verdict on one kind. Cautions come first; `money` and all with it is None where nothing in it is quoted.

    `place` is who takes it whole, where it has to go whole: "" where no buyer here is known to. `note` is what decides
    about the kind, `notes` what the figures count on. `test` is what testing it first gains, where nobody knows if it
    works; `tests_of_kind` and `tests_of_all` are how many of the user's own tests the chance rests on, besides what is
    thought of it. `signs` (id, name) may show on such a kind, `seen` are those that do ("cord-cut -boxed": not boxed),
    and `look` is the one to look for first, where it can change what is done. `questions` are what to ask with a piece
    in the hand, where the answer brings more than a few minutes of one's hour. `learned` are the figures of the kind
    from one's own scale and clock. `estimated` are grades in it that nobody quotes, their price estimated from one,
    that of No. 2 `copper` per kg as the user said it; none: all that counts is quoted.
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
    way_if_works: CurbWay | None
    way_if_not: CurbWay | None
    chance_works: float | None
    test_minutes: float | None
    test: TestFirst | None
    tests_of_kind: int
    tests_of_all: int
    seen: str
    signs: tuple[tuple[str, str], ...]
    look: WorthALook | None
    size: Size
    handling_minutes: float
    room: float
    per_kg: float | None
    per_litre: float | None
    shut: str
    place: str
    hinges: tuple[Hinge, ...]
    unquoted: tuple[str, ...]
    notes: tuple[str, ...]
    note: str = ""
    questions: tuple[Question, ...] = ()
    learned: tuple[LearnedLine, ...] = ()
    estimated: tuple[str, ...] = ()
    copper: float | None = None

    @property
    def hours_free(self) -> bool:
        """Whether no wage is set, so that hours count as free."""
        return self.wage == 0.0


@dataclass(frozen=True, slots=True)
class RankLine:
    """One kind in the ranking: the figures of the world its verdict speaks of. `estimated`: some price in it is."""

    kind: str
    name: str
    verdict: Verdict
    money: Span
    minutes: float
    per_hour: float
    kg: float
    litres: float | None
    per_kg: float
    per_litre: float | None
    caution: str
    cautions: int
    estimated: bool = False


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
