"""What every calculator answers with: cautions first, then the answer in a sentence, its figures and its doubts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.catalogue.cards import CautionCard


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One figure as people read it, and where it is from or what it means."""

    name: str
    value: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Cautions come before all else and are never left out; `notes` name defaults that were used, and doubts."""

    cautions: tuple[CautionCard, ...]
    verdict: str
    rows: tuple[AnswerRow, ...]
    notes: tuple[str, ...]


def figure(value: float, digits: int = 3) -> str:
    """A number with that many digits that count, never with an exponent: "0.0757", "2970"."""
    if value == 0.0:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def spread(low: float, likely: float, high: float, digits: int = 3) -> str:
    """A number with its range; the number alone where the range has no width."""
    middle = figure(likely, digits)
    return middle if low == high else f"{middle} ({figure(low, digits)} to {figure(high, digits)})"


def give_or_take(value: float, expanded: float) -> str:
    """A value and its expanded uncertainty, both to the second digit of the latter: "10.368 ± 0.014"."""
    decimals = max(0, 1 - math.floor(math.log10(expanded)))
    return f"{value:.{decimals}f} ± {expanded:.{decimals}f}"
