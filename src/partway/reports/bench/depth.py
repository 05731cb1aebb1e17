"""How far to open one find, as it is shown and as `--json` writes it."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue.cards import CautionCard
from partway.valuing.finds.facts import Chances, FlipPrice, OnlyIf, Question, TestFirst


@dataclass(frozen=True, slots=True)
class DepthStep:
    """One operation that could be run. `chosen` says whether the best depth runs it.

    `gain` is its worth above the best other option of the same piece, hours paid at the wage; `per_hour` the
    money per bench hour behind that gain, wage not taken off; `minutes` include deeper operations that follow.
    `flip_wage` is the wage nearest to today's at which running it starts or stops being the best thing to do; null
    where no wage does it, however high. `note` is what the catalogue says about it. One that is a `question` takes
    nothing apart, it gives the answers. One that is run `only_if` a question is answered so is told for a find that
    has it.
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
    note: str = ""
    question: Question | None = None
    only_if: OnlyIf | None = None


@dataclass(frozen=True, slots=True)
class End:
    """Where one piece ends under the best depth; `as_what` is sell, part, keep or stop.

    What only some finds have (`only_if` a question is answered so) counts in mass and value by its share, so that all
    ends add up. `note` is what decides about the piece: its own, else that of the grade it goes as.
    """

    piece: str
    name: str
    count: int
    mass_kg: float
    as_what: str
    to: str
    value: float
    why: str
    note: str = ""
    only_if: OnlyIf | None = None


@dataclass(frozen=True, slots=True)
class Depth:
    """One find at today's prices: `value` at the best depth, `as_is` without opening it at all, hours paid.

    `per_hour` is what a bench hour adds to leaving it as it is, without any hour at the bench, the wage not taken off;
    null where it is not opened. `note` is what decides about the kind, `notes` what the figures count on.
    """

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
    steps: tuple[DepthStep, ...]
    ends: tuple[End, ...]
    chances: Chances
    test_first: TestFirst | None
    notes: tuple[str, ...]
    note: str = ""
