"""What a price is for, which reading of it is meant, or that it has to be asked."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from partway.errors import BadQuantity
from partway.pricelist.against.bands import USUAL_IN, Band
from partway.pricelist.copying import replace
from partway.pricelist.lines import EACH, PIECES, Item, ListedLot, ListSheet, Status
from partway.pricelist.names import plain_words
from partway.quantities import LARGEST_PRICE, MG_PER_KG, kg_per, to_mg
from partway.spoken.money import Heard
from partway.things.units import TONS

MOST_PIECES, LEAST_A_TON = 100_000, 10  # of a price for a ton: common practice, no source
WHOLE = {"cents": -1, "whole": 0}  # the reading of a whole number that was answered for the whole list
Reading = tuple[Decimal, str]  # money per one unit


@dataclass(frozen=True, slots=True)
class Priced:
    """The price as far as it is settled, and the readings to choose from where it is not."""

    status: Status
    price: Decimal | None = None
    options: tuple[Reading, ...] = ()


@dataclass(frozen=True, slots=True)
class PricedFor:
    """What a price is for: one `unit`, or a piece, which weighs `kg`; how much is taken at one visit.

    `unit` is empty where it is open, `kg` None where that is; `most` (mg, pieces) is None where its unit is open.
    """

    unit: str
    kg: Decimal | None
    piece_mg: int
    most: tuple[int, int] | None
    piece_by: str = ""

    @classmethod
    def of(cls, item: Item, grade: str | None, sheet: ListSheet) -> PricedFor:
        """As it was said, as the buyer said it last, or as others do: what one piece weighs, where pieces count."""
        free = all(price == 0 for heard in item.prices for price in heard.readings[:1])
        each, most = item.each and not free, _most(item)
        piece, by = lot_mg(item.piece) or (sheet.pieces.get(grade or "", 0) if item.piece is None else 0), ""
        counts = each or (most is not None and bool(most[1]))
        if counts and grade and item.piece is None and not piece:
            words = tuple(plain_words(item.words or item.called))
            other = sheet.elsewhere(grade, words)
            piece, by = (other.mg, other.by) if other is not None else (0, "")
        if each:
            kg = Decimal(piece) / MG_PER_KG if piece else None
            return cls(EACH, kg, piece, most, by)
        unit = "" if len(item.units) > 1 else item.units[0] if item.units else sheet.unit
        kg = kg_per(unit) if unit else None
        return cls(unit, kg, piece if counts else 0, most, by)

    @property
    def counted(self) -> bool:
        """Whether pieces count, so that it matters what one weighs."""
        return self.unit == EACH or bool(self.most and self.most[1])


def lot_mg(lot: ListedLot | None) -> int | None:
    """Whole milligrams of a lot; None where its unit is open or there is no such mass."""
    if lot is None or len(lot.units) != 1 or lot.units[0] == PIECES:
        return None
    try:
        return to_mg(lot.amount * kg_per(lot.units[0]), "price list") or None
    except BadQuantity:
        return None


def _most(item: Item) -> tuple[int, int] | None:
    """The most in milligrams and in pieces: a bare number is one of pieces where the price is by the piece."""
    if item.most is None:
        return 0, 0
    if item.most.units != (PIECES,) and (item.most.units or not item.each):
        mg = lot_mg(item.most)
        return None if mg is None else (mg, 0)
    amount = item.most.amount
    return (0, int(amount)) if amount == int(amount) and 1 <= amount <= MOST_PIECES else None


def priced(item: Item, per: PricedFor, band: Band | None, sheet: ListSheet) -> Priced:
    """Settles the price of an item, held against what is believed. It is known what the price is for."""
    unit, kg = per.unit, per.kg or Decimal(1)
    said = tuple(dict.fromkeys(heard.readings[0] for heard in item.prices))
    if item.sure:
        return Priced("understood", said[0])
    if len(said) > 1:
        return Priced("ambiguous", None, tuple((price, unit) for price in said))
    heard = _of_a_ton(item.prices[0], unit, sheet)
    said = heard.readings[:1]
    believed = [price for price in heard.readings if band is not None and band.holds(price / kg)]
    left = [price for price in heard.readings if band is None or float(price / kg) < band.absurd]
    if len(left) == 1 and left[0] in believed and heard.style in {"bare", "split", "dash"}:
        return Priced("understood", left[0])
    if heard.style == "comma" and len(believed) == 1:
        return Priced("understood", believed[0])  # "4,15" beside coppers of 3.90: the other is a hundred times that
    settled = _settled(heard, band, believed, sheet)
    if settled is not None:
        return Priced("understood", settled)
    if _asked_anyway(heard, unit, band, believed):
        return Priced("ambiguous", None, tuple((price, unit) for price in heard.readings))
    if band is None or believed:
        return Priced("understood", said[0])
    others = _nearer(item, said[0], per, band)
    bare = heard.style in {"bare", "split"} and others
    return Priced("ambiguous" if bare else "unlikely", None if bare else said[0], ((said[0], unit), *others))


def _of_a_ton(heard: Heard, unit: str, sheet: ListSheet) -> Heard:
    """Of "one forty a ton" the 140: nothing is bought at a price for a ton that small."""
    large = tuple(price for price in heard.readings if price >= LEAST_A_TON)
    told = heard.style == "split" and unit in TONS and sheet.currency in USUAL_IN
    small = told and 0 < len(large) < len(heard.readings)
    return replace(heard, readings=large, style="exact", ends=()) if small else heard


def doubted(item: Item, per: PricedFor, usual: Band, found: Priced) -> Priced:
    """What was settled with nothing to compare with, to be asked about where it is beyond what is paid in any year."""
    if found.status != "understood" or item.sure or not found.price or found.price < 0:
        return found
    if usual.holds(found.price / (per.kg or Decimal(1))):
        return found
    return Priced("unlikely", found.price, ((found.price, per.unit), *_nearer(item, found.price, per, usual)))


def _settled(heard: Heard, band: Band | None, believed: list[Decimal], sheet: ListSheet) -> Decimal | None:
    """The reading of a whole number that the rest of the list, or an answer for all of it, says."""
    if heard.style not in {"bare", "dash"} or len(heard.readings) < 2 or heard.readings[0] == 0:
        return None
    if band is not None and band.by == "smallest" and len(believed) == 1:
        return believed[0]  # the list's own price of a smaller lot
    whole = WHOLE.get(sheet.whole or sheet.votes)
    if whole is not None and (heard.readings[whole] in believed if band is not None else bool(sheet.whole)):
        return heard.readings[whole]
    pointed = band is None and not sheet.whole and heard.style == "bare" and heard.readings[0] <= sheet.highest
    return heard.readings[0] if pointed else None


def _asked_anyway(heard: Heard, unit: str, band: Band | None, believed: list[Decimal]) -> bool:
    """Whether the way it was said leaves more than one reading open."""
    if len(heard.readings) == 1 or heard.readings[0] == 0:
        return False
    if heard.style == "comma":
        return True
    if heard.style in {"minus", "dash"}:
        return believed != [heard.readings[0]]
    if band is not None:
        return bool(believed) and believed != [heard.readings[0]]
    # Nothing to compare with. "Four ten" a pound is 4.10 and "180" a ton is 180; "38" a pound may be 38 cents, and
    # "one eighty" a ton may be 180.
    # So is 12 apiece.
    return (heard.style == "bare") is not (unit in TONS or unit == EACH)


def _nearer(item: Item, price: Decimal, per: PricedFor, band: Band) -> tuple[Reading, ...]:
    """Other ways to read an unbelievable price that would be believed: hundredths, hundreds, or a price for a ton."""
    kg = per.kg or Decimal(1)
    readings = [(price / 100, per.unit, kg), (price * 100, per.unit, kg)]
    if not item.units and per.unit not in (*TONS, EACH):
        readings += [(price, ton, kg_per(ton)) for ton in TONS]
    return tuple((value, unit) for value, unit, of in readings if value and band.holds(value / of))


def price_fault(item: Item, kg: Decimal, currency: str) -> str:
    """Why what was said can be no price for a mass, or nothing."""
    if item.fault:
        return f'"{item.fault}" is no mass, and a price per lb, kg or another mass is needed'
    for heard in item.prices:
        if heard.fault:
            return heard.fault
        most = LARGEST_PRICE * (min(kg, Decimal(1)) if item.each else kg)
        if any(abs(price) > most for price in heard.readings):
            return f"no price is above {LARGEST_PRICE:,.0f} {currency} per kg"
    return ""
