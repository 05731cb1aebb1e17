"""What is told of what is on offer: a listing, a price cut, and what came back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from partway.actions.recording.describe import Say, capital, careful
from partway.catalogue.cards import CautionCard
from partway.reports.called import Called


@dataclass(frozen=True, slots=True)
class OfferResult:
    """A listing after something was said of it; `count` is what is left on offer, `asked` what was asked at first."""

    what: str
    listing: str
    find: str
    piece: str
    count: int
    asking: Decimal
    asked: Decimal
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """One line, cautions first."""
        yield from careful(self.cautions)
        units = f"{self.count} × " if self.count > 1 else ""
        if self.what == "taken-down":
            left = f"; {self.count} still on offer" if self.count else ""
            yield f"{self.listing} taken down{left}"
        elif self.what == "repriced":
            yield f"{self.listing}: {say.money(self.asking)} asked now, {say.money(self.asked)} at first"
        else:
            yield f"{self.listing}: {units}{self.piece} of {self.find} on offer at {say.money(self.asking)}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "On offer: motor of the microwave, $12.00"."""
        what = called.piece(self.find, self.piece)
        if self.what == "taken-down":
            return f"Not on offer any more: {what}{f'; {self.count} still are' if self.count else ''}"
        if self.what == "repriced":
            return f"{capital(what)}: {say.money(self.asking)} asked now, {say.money(self.asked)} at first"
        units = f"{self.count} × " if self.count > 1 else ""
        return f"On offer: {units}{what}, {say.money(self.asking)}"


@dataclass(frozen=True, slots=True)
class BackResult:
    """Units that came back; `bin` and `listing` are empty where they lie in their find and are not on offer again."""

    find: str
    what: str
    count: int
    refund: Decimal
    mass_mg: int
    bin: str
    listing: str
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """One line, cautions first."""
        yield from careful(self.cautions)
        units = f"{self.count} × " if self.count > 1 else ""
        mass = f", {say.mass(self.mass_mg)}" if self.mass_mg else ""
        lies = f"in {self.bin}" if self.bin else f"in {self.find}"
        again = f"; on offer again by {self.listing}" if self.listing else ""
        paid = say.money(self.refund)
        yield f"{units}{self.what} of {self.find} is back{mass}, {paid} paid back; it lies {lies}{again}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Back: motor of the microwave, $12.00 paid back"."""
        units = f"{self.count} × " if self.count > 1 else ""
        return f"Back: {units}{called.piece(self.find, self.what)}, {say.money(self.refund)} paid back"
