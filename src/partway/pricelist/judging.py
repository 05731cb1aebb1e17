"""Items held against the catalogue, the last quotes and each other: what is understood, and what is asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from partway.pricelist.against.bands import COPPER, Band, band_of
from partway.pricelist.against.compared import (
    Names,
    Said,
    consistent,
    copper_of,
    coppers_of,
    implied_copper,
    smallest_of,
    told_apart,
)
from partway.pricelist.layout.ticket_fees import both, ticket_fee_in
from partway.pricelist.lexicon import WORTH_ASKING
from partway.pricelist.lines import EACH, PIECES, Item, ListedLot, ListSheet, LotField, PassedOver, PriceLine
from partway.pricelist.once import asked_once, in_that_ton, left_out, lots_alike, with_lots
from partway.pricelist.pricing import MOST_PIECES, Priced, PricedFor, lot_mg, price_fault, priced
from partway.pricelist.questions import (
    Question,
    fee_counts,
    keep_one,
    taken_or_not,
    what_price,
    which_grade,
    which_mass,
    which_piece,
    which_price,
    which_unit,
)
from partway.things.units import TONS


def judged(said: Sequence[Said], sheet: ListSheet) -> list[PriceLine]:
    """Every line read as far as it can be. The order of the lines decides nothing."""
    sheet = replace(sheet, lots_alike=lots_alike(item for _, _, item in said))
    said = [(position, text, with_lots(in_that_ton(item, sheet), sheet)) for position, text, item in said]
    names = [_named(item, sheet) for _, _, item in said]
    sheet = replace(sheet, coppers=coppers_of(said, names, sheet))
    copper = copper_of(said, names, sheet)
    sheet = replace(sheet, implied=implied_copper(said, names, sheet))
    names = [told_apart(item, name, sheet, copper) for (_, _, item), name in zip(said, names, strict=True)]
    listed = smallest_of(COPPER, said, names, sheet, None)
    sheet = replace(sheet, coppers={**sheet.coppers, **({COPPER: listed} if listed else {})})
    copper = listed or sheet.known.get(COPPER)
    sheet, copper = consistent(said, names, sheet, copper)
    tiered = {grade for (_, _, item), (grade, _) in zip(said, names, strict=True) if grade and item.from_lot}
    smallest = {grade: smallest_of(grade, said, names, sheet, copper) for grade in tiered}
    lines = [
        _line(one, name, sheet, copper, smallest.get(name[0] or "") if one[2].from_lot else None)
        for one, name in zip(said, names, strict=True)
    ]
    return asked_once(_once_each(lines, sheet), sheet)


def _named(item: Item, sheet: ListSheet) -> Names:
    if item.exact:
        return item.exact, ((item.exact, 1.0),)
    scores, whole = sheet.lexicon.match(item.words)
    sure = whole and len(scores) == 1 and (scores[0][1] == 1.0 or sheet.near == "yes")
    return (scores[0][0] if sure else None), scores


def _line(said: Said, name: Names, sheet: ListSheet, copper: float | None, smallest: float | None) -> PriceLine:
    position, text, item = said
    grade, candidates = name
    band, per = band_of(grade, sheet, copper, smallest) if grade else None, PricedFor.of(item, grade, sheet)
    known = not item.refuses and bool(item.prices) and per.kg is not None
    fits = known and not price_fault(item, per.kg or Decimal(1), sheet.currency)
    found = priced(item, per, band, sheet) if fits else Priced("unknown")
    passed_over = _passed_over(item, name, sheet)
    asked = _fee_asked(text, item, sheet) if passed_over == "ticket" else None
    asked = asked if passed_over else _asked(text, item, name, sheet, found, band, per)
    status, asks, question, choices = asked or ("remark" if passed_over else "understood", "", "", ())
    ends = next((ends for heard in item.prices if (ends := heard.ends_at(found.price or Decimal(0)))), None)
    return PriceLine(
        text=text,
        position=position,
        grade=grade,
        candidates=candidates,
        price=found.price,
        unit=per.unit,
        from_mg=lot_mg(item.from_lot) or 0,
        minimum_mg=lot_mg(item.minimum) or 0,
        refuses=item.refuses and not item.prices and status != "remark",
        status=status,
        question=question,
        choices=choices,
        asks=asks,
        most_mg=per.most[0] if per.most else 0,
        most_pieces=per.most[1] if per.most else 0,
        piece_mg=per.piece_mg,
        ends=ends,
        nearly=grade is None and len(candidates) == 1 and sheet.lexicon.match(item.words)[1],
        passed_over=passed_over,
        piece_by=per.piece_by,
        item=item,
        sheet=sheet,
    )


def _fee_asked(text: str, item: Item, sheet: ListSheet) -> Question | None:
    """Whether a fee of each ticket is to count, unless that was said before."""
    fee = None if item.fee else ticket_fee_in(text, sheet.hearing)
    known = fee is None or " ".join(text.lower().split()) in sheet.noted
    if fee is None or known or all(now in (0, was) for now, was in zip(both(fee), both(sheet.known_fee), strict=True)):
        return None
    return fee_counts(text, item, fee, sheet)


def _passed_over(item: Item, name: Names, sheet: ListSheet) -> PassedOver:
    """Why words say no price and no refusal of any grade: "thanks for calling", "TODAY'S PRICES", "tires - no"."""
    if item.term:
        return "ticket"
    if item.heads:
        return "heading"
    if left_out(item, *name, sheet):
        return "left out"
    if item.open_price and not (item.prices or item.refuses):
        return "when asked"
    if not _is_remark(item, name, sheet):
        return ""
    return "ticket" if item.most or item.minimum else "no price"  # "minimum 50 lb a load"


def _is_remark(item: Item, name: Names, sheet: ListSheet) -> bool:
    grade, candidates = name
    whole = grade is not None or sheet.lexicon.match(item.words)[1]
    if item.named and not whole and sheet.lexicon.untraded(item.words):
        return True
    if whole or item.prices or item.each or item.units or not item.named:
        return False
    best = max((score for _, score in candidates), default=0.0)
    return not item.refuses or best <= WORTH_ASKING  # a refusal of what is of no grade, "no dogs"


def _asked(
    text: str, item: Item, name: Names, sheet: ListSheet, found: Priced, band: Band | None, per: PricedFor
) -> Question | None:
    """The first question about a line, None when it is understood."""
    grade, candidates = name
    if grade is None:
        return which_grade(text, item, candidates, sheet)
    zero = bool(item.prices) and not item.sure and item.prices[0].readings[0] == 0
    if item.refuses or zero:
        return taken_or_not(text, item, sheet) if item.prices else None
    if not item.prices:
        return what_price(text, item, "no price was heard")
    per_open = item.per_open and not (item.units or item.each or item.sure)
    if len(item.units) > 1 or per_open:
        return which_unit(text, replace(item, units=(EACH, sheet.unit)) if per_open else item)
    fault = price_fault(item, per.kg or Decimal(1), sheet.currency)
    if fault:
        return what_price(text, item, fault)
    open_lot = _open_lot(text, item, sheet, per)
    if open_lot is not None:
        return open_lot
    if found.status == "understood":
        return None
    return which_price(text, item, found, band, sheet, sheet.grades[grade].name, per.kg or Decimal(1))


def _open_lot(text: str, item: Item, sheet: ListSheet, per: PricedFor) -> Question | None:
    """Asks about a mass or a number of pieces that is open, or that cannot be."""
    lots: tuple[tuple[LotField, ListedLot | None], ...]
    lots = (("from_lot", item.from_lot), ("minimum", item.minimum), ("piece", item.piece))
    for which, lot in lots:
        if lot is not None and lot_mg(lot) is None:
            return which_mass(text, item, which, _lot_units(lot, sheet))
    if per.most is None and item.most is not None:
        return which_mass(text, item, "most", _lot_units(item.most, sheet, pieces=True))
    least = max(lot_mg(item.from_lot) or 0, lot_mg(item.minimum) or 0)
    if per.most and 0 < per.most[0] < least:
        return which_mass(text, item, "most", ())
    return which_piece(text, item, sheet.unit) if per.counted and not per.piece_mg else None


def _lot_units(lot: ListedLot, sheet: ListSheet, *, pieces: bool = False) -> tuple[str, ...]:
    """Units that a mass may be in, where asking makes sense; of a maximum also pieces."""
    units = lot.units or tuple(dict.fromkeys((sheet.unit, "lb", "kg", *TONS)))
    found = tuple(unit for unit in units if lot_mg(ListedLot(lot.amount, (unit,))) is not None)
    whole = pieces and not lot.units and lot.amount == int(lot.amount) and 1 <= lot.amount <= MOST_PIECES
    return (*found, PIECES) if whole else found


def _once_each(lines: Sequence[PriceLine], sheet: ListSheet) -> list[PriceLine]:
    """Asks about lines that give a grade two different prices for the same lots; the same one twice does no harm."""
    said: dict[tuple[str | None, int], set[tuple[Decimal | None, int, int, int]]] = {}
    for line in (line for line in lines if line.status == "understood"):
        per_kg = None if line.per_kg is None else round(line.per_kg, 15)  # 0.09 /lb is 180 /short ton
        said.setdefault(lot_key(line), set()).add((per_kg, line.minimum_mg, line.most_mg, line.most_pieces))
    result: list[PriceLine] = []
    for line in lines:
        if line.status == "understood" and line.grade and len(said[lot_key(line)]) > 1:
            asked = keep_one(line.text, line.item, sheet.grades[line.grade].name)
            line = replace(line, status=asked[0], asks=asked[1], question=asked[2], choices=asked[3])  # noqa: PLW2901
        result.append(line)
    return result


def lot_key(line: PriceLine) -> tuple[str | None, int]:
    """What a price is for: the grade and where its tier begins. A grade's refusal is a word on its first tier."""
    return line.grade, line.from_mg
