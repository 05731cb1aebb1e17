"""What is told of buyers and the prices they said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from partway.actions.recording.describe import Say, careful
from partway.catalogue.cards import CautionCard


@dataclass(frozen=True, slots=True)
class BuyerResult:
    """A buyer's terms as they now stand; `new` for one not known before."""

    buyer: str
    kind: str
    new: bool
    changed: tuple[str, ...]

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        changed = f": {', '.join(self.changed)} changed" if self.changed and not self.new else ""
        yield f"buyer {self.buyer} ({self.kind}) {'added' if self.new else 'kept'}{changed}"


@dataclass(frozen=True, slots=True)
class QuoteResult:
    """One quote as recorded; `before` and `before_unit` are what the same buyer said last."""

    buyer: str
    grade: str
    price: Decimal | None
    unit: str
    from_mg: int = 0
    before: Decimal | None = None
    before_unit: str = ""


@dataclass(frozen=True, slots=True)
class QuotesResult:
    """Quotes recorded together."""

    quotes: tuple[QuoteResult, ...]
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        for quote in self.quotes:
            tier = f" from {say.mass(quote.from_mg)}" if quote.from_mg else ""
            before = f", before {quote.before} /{quote.before_unit}" if quote.before is not None else ""
            price = "not taken any more" if quote.price is None else f"{quote.price} /{quote.unit}"
            yield f"{quote.buyer} {quote.grade}{tier}: {price}{before}"
