"""What there is to tell about an action: small, plain, in milligrams, minutes and exact money."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from partway.actions.books.consequences import Consequences
from partway.catalogue.cards import CautionCard
from partway.reports.haul.ticket_audit import LineSeen


@dataclass(frozen=True, slots=True)
class FindTold:
    """A find after something was said of it; `mass_mg` is 0 where nobody weighed it."""

    what: str
    find: str
    kind: str
    name: str
    count: int
    works: str
    mass_mg: int
    cautions: tuple[CautionCard, ...] = ()


@dataclass(frozen=True, slots=True)
class OpenTold:
    """The mass balance of an opening: was = pieces + residue + loss + left."""

    find: str
    was_mg: int
    pieces: tuple[tuple[str, int, str, int], ...]  # piece, count, bin, mg
    residue_mg: int
    loss_mg: int
    left_mg: int
    minutes: int
    closed: bool
    reweighed: bool
    new_bins: tuple[str, ...]
    cautions: tuple[CautionCard, ...]


@dataclass(frozen=True, slots=True)
class BinTold:
    """A bin after something was done to it; `change_mg` is by how much it differs from before."""

    what: str
    bin: str
    grade: str
    mass_mg: int
    change_mg: int = 0
    other: str = ""
    cautions: tuple[CautionCard, ...] = ()


@dataclass(frozen=True, slots=True)
class SoldTold:
    """A part or a whole find sold; `net` is price times count less fee and postage."""

    find: str
    what: str
    count: int
    net: Decimal
    left_mg: int
    closed: bool
    cautions: tuple[CautionCard, ...] = ()


@dataclass(frozen=True, slots=True)
class BuyerTold:
    """A buyer's terms as they now stand; `new` for one not known before."""

    buyer: str
    kind: str
    new: bool
    changed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class QuoteTold:
    """One quote as recorded; `before` and `before_unit` are what the same buyer said last."""

    buyer: str
    grade: str
    price: Decimal | None
    unit: str
    from_mg: int = 0
    before: Decimal | None = None
    before_unit: str = ""


@dataclass(frozen=True, slots=True)
class QuotesTold:
    """Quotes recorded together."""

    quotes: tuple[QuoteTold, ...]
    cautions: tuple[CautionCard, ...] = ()


@dataclass(frozen=True, slots=True)
class HaulTold:
    """A haul set out on or finished."""

    haul: str
    status: str
    stops: tuple[str, ...]
    km: Decimal | None = None
    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class TicketTold:
    """A ticket as recorded, held against scale, plan and quote; `gap` is total less what its lines make."""

    ticket: str
    buyer: str
    lines: tuple[LineSeen, ...]
    total: Decimal
    gap: Decimal
    cautions: tuple[CautionCard, ...] = ()


@dataclass(frozen=True, slots=True)
class MoneyTold:
    """Money in (above 0) or out (below). `rounding` is what coins were less than a ticket that they paid in full."""

    what: str
    amount: Decimal
    of: str = ""
    open: Decimal | None = None
    rounding: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class HoursTold:
    """Minutes worked."""

    activity: str
    minutes: int
    find: str = ""


@dataclass(frozen=True, slots=True)
class IdentifiedTold:
    """What pieces turned out to be; `known` is how many of their context are confirmed by now."""

    material: str
    name: str
    context: str
    count: int
    grade: str | None
    known: int
    cautions: tuple[CautionCard, ...] = ()


@dataclass(frozen=True, slots=True)
class RuleTold:
    """A place card as filled in; `before` is what it said until then."""

    card: str
    name: str
    says: str
    source: str
    seen: str
    before: str


@dataclass(frozen=True, slots=True)
class CorrectTold:
    """What no longer counts, what counts instead, and the masses that stand because they were weighed later.

    `preview`: nothing was recorded, this is what would follow.
    """

    event: str
    kind: str
    what: str
    instead: str
    stands: tuple[tuple[str, int], ...] = ()
    follows: Consequences | None = None
    preview: bool = False


@dataclass(frozen=True, slots=True)
class SettingTold:
    """A setting before and after."""

    name: str
    value: str
    before: str
