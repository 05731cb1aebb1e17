"""Items held against the catalogue, the last quotes and each other: what is understood, and what is asked."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from partway.pricelist.against.bands import COPPER, Band, band_of, usual_band
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
from partway.pricelist.against.earlier import moved, told_by_list, told_by_older, usual_first, usual_of
from partway.pricelist.asking.beside import neighbours_wait, refusals_asked
from partway.pricelist.asking.columns import in_that_column, paid_so
from partway.pricelist.asking.leftover import leftovers_asked, put_aside, shifted_asked
from partway.pricelist.asking.lots import open_lot
from partway.pricelist.asking.once import (
    asked_once,
    in_that_ton,
    is_nearly,
    lots_alike,
    with_lots,
)
from partway.pricelist.asking.questions import (
    Question,
    fee_counts,
    keep_one,
    per_text,
    settled,
    taken_or_not,
    what_price,
    which_grade,
    which_price,
    which_unit,
    who_pays,
)
from partway.pricelist.asking.scale import scaled
from partway.pricelist.asking.twice import counts
from partway.pricelist.asking.yards import is_of_another, priced_by_several, yard_asked
from partway.pricelist.copying import replace
from partway.pricelist.layout.ticket_fees import both, ticket_fee_in
from partway.pricelist.lines import EACH, Item, ListSheet, PassedOver, PriceLine
from partway.pricelist.names import listed
from partway.pricelist.passing import passed_over_why
from partway.pricelist.pricing import Priced, PricedFor, doubted, lot_mg, price_fault, priced

NOT_KNOWN = "by how much it moved does not say what it is now"


def judged(said: Sequence[Said], sheet: ListSheet) -> list[PriceLine]:
    """Every line read as far as it can be. The order of the lines decides nothing."""
    others = {position for position, _, item in said if is_of_another(item, sheet)}
    if others:
        left_out = [remark(_line(one, (None, ()), sheet, None, None), "left out") for one in said if one[0] in others]
        kept = judged([one for one in said if one[0] not in others], sheet)
        return sorted([*kept, *left_out], key=lambda line: line.position)
    sheet = replace(sheet, lots_alike=lots_alike(item for _, _, item in said))
    said = [
        (position, text, with_lots(in_that_ton(in_that_column(item, sheet), sheet), sheet))
        for position, text, item in said
    ]
    names = [_named(item, sheet) for _, _, item in said]
    names = [told_by_older(item, name, sheet) for (_, _, item), name in zip(said, names, strict=True)]
    said = [
        (at, text, paid_so(moved(item, grade, sheet), grade, sheet))
        for (at, text, item), (grade, _) in zip(said, names, strict=True)
    ]
    sheet = replace(sheet, coppers=coppers_of(said, names, sheet), without={})
    copper = copper_of(said, names, sheet)
    sheet = replace(sheet, implying=implied_copper(said, names, sheet), without={})
    own = {grade for (_, _, item), (grade, _) in zip(said, names, strict=True) if grade and item.prices}
    names = [told_by_list(item, name, own, sheet) for (_, _, item), name in zip(said, names, strict=True)]
    names = [told_apart(item, name, sheet, copper) for (_, _, item), name in zip(said, names, strict=True)]
    names = [usual_first(item, name, sheet) for (_, _, item), name in zip(said, names, strict=True)]
    in_list = smallest_of(COPPER, said, names, sheet, None)
    sheet = replace(sheet, coppers={**sheet.coppers, **({COPPER: in_list} if in_list else {})})
    copper = in_list or sheet.known.get(COPPER)
    sheet, copper = consistent(said, names, sheet, copper)
    tiered = {grade for (_, _, item), (grade, _) in zip(said, names, strict=True) if grade and item.from_lot}
    smallest = {grade: smallest_of(grade, said, names, sheet, copper) for grade in tiered}
    lines = [
        _line(one, name, sheet, copper, smallest.get(name[0] or "") if one[2].from_lot else None)
        for one, name in zip(said, names, strict=True)
    ]
    if sheet.yards and not sheet.yard and priced_by_several(lines, sheet):
        return yard_asked(lines, sheet)
    lines = refusals_asked(shifted_asked(_once_each(lines, sheet), sheet))
    return asked_once(neighbours_wait(leftovers_asked(lines, sheet)), sheet)


def _named(item: Item, sheet: ListSheet) -> Names:
    if item.exact:
        return item.exact, ((item.exact, 1.0),)
    scores, whole = sheet.lexicon.match(item.words)
    sure = whole and len(scores) == 1 and scores[0][1] == 1.0
    return (scores[0][0] if sure else None), scores


def _line(said: Said, name: Names, sheet: ListSheet, copper: float | None, smallest: float | None) -> PriceLine:
    position, text, item = said
    grade, candidates = name
    band, per = band_of(grade, sheet, copper, smallest) if grade else None, PricedFor.of(item, grade, sheet)
    known = not item.refuses and bool(item.prices) and per.kg is not None
    fits = known and not price_fault(item, per.kg or Decimal(1), sheet.currency)
    found = priced(item, per, band, sheet) if fits else Priced("unknown")
    if grade and not sheet.whole and not sheet.known and (usual := usual_band(grade, sheet, wide=True)) is not None:
        doubt = doubted(item, per, usual, found)
        found, band = (doubt, usual) if doubt is not found else (found, band)
    if (reading := scaled(item, found, sheet)) is not None:
        return _line((position, text, settled(item, reading)), name, sheet, copper, smallest)
    passed_over = passed_over_why(item, name, sheet)
    asked = _fee_asked(text, item, sheet) if passed_over == "ticket" else None
    asked = asked if passed_over else _asked(text, item, name, sheet, found, band, per)
    status, asks, question, choices = asked or ("remark" if passed_over else "understood", "", "", ())
    ends = next((ends for heard in item.prices if (ends := heard.ends_at(found.price or Decimal(0)))), None)
    line = PriceLine(
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
        nearly=grade is None and _proposed(item, name, sheet),
        passed_over=passed_over,
        piece_by=per.piece_by,
        item=item,
        sheet=sheet,
    )
    return remark(line, passed_over) if status == "remark" else line


def _proposed(item: Item, name: Names, sheet: ListSheet) -> bool:
    """Whether the first candidate is what the name nearly is, or mostly means."""
    return is_nearly(name[1], whole=sheet.lexicon.match(item.words)[1]) or bool(usual_of(item, name, sheet))


def _fee_asked(text: str, item: Item, sheet: ListSheet) -> Question | None:
    """Whether a fee of each ticket is to count, unless that was said before."""
    fee = None if item.fee else ticket_fee_in(text, sheet.hearing)
    known = fee is None or " ".join(text.lower().split()) in sheet.noted
    if fee is None or known or all(now in (0, was) for now, was in zip(both(fee), both(sheet.known_fee), strict=True)):
        return None
    return fee_counts(text, item, fee, sheet)


def _asked(
    text: str, item: Item, name: Names, sheet: ListSheet, found: Priced, band: Band | None, per: PricedFor
) -> Question | None:
    """The first question about a line, None when it is understood."""
    grade, candidates = name
    if grade is None:
        return which_grade(text, item, candidates, sheet)
    zero = bool(item.prices) and not item.sure and item.prices[0].readings[0] == 0
    if item.prices and (item.refuses or zero):
        return taken_or_not(text, item, sheet)
    if not item.prices:
        return (
            None if item.refuses else what_price(text, item, "no price was heard" if item.moved is None else NOT_KNOWN)
        )
    per_open = item.per_open and not (item.units or item.each or item.sure)
    if len(item.units) > 1 or per_open:
        return which_unit(text, replace(item, units=(EACH, sheet.unit)) if per_open else item)
    fault = price_fault(item, per.kg or Decimal(1), sheet.currency)
    if fault:
        return what_price(text, item, fault)
    asked = open_lot(text, item, sheet, per) or _open_price(text, item, grade, found, band, per, sheet)
    return asked or put_aside(text, item, grade, sheet)


def _open_price(
    text: str, item: Item, grade: str, found: Priced, band: Band | None, per: PricedFor, sheet: ListSheet
) -> Question | None:
    """Asks who pays, or which price it is."""
    if _payer_open(item, grade, found, sheet):
        return who_pays(text, item, per_text(found.price or Decimal(0), per.unit, sheet.currency))
    if found.status == "understood":
        return None
    return which_price(text, item, found, band, sheet, sheet.grades[grade].name, per.kg or Decimal(1))


def _payer_open(item: Item, grade: str, found: Priced, sheet: ListSheet) -> bool:
    """Whether nobody said who pays for a thing that people mostly pay to be rid of, and no older price says it."""
    asked = item.payer_known or item.sure or sheet.known.get(grade, 0.0) != 0.0
    return grade in listed("charged") and bool(found.price and found.price > 0) and not asked


def _once_each(lines: Sequence[PriceLine], sheet: ListSheet) -> list[PriceLine]:
    """Asks about lines that give a grade two different prices for the same lots; the same one twice does no harm."""
    lines = _corrected(lines)
    said: dict[tuple[str | None, int], set[tuple[Decimal | None, int, int, int]]] = {}
    for line in (line for line in lines if line.status == "understood"):
        per_kg = None if line.per_kg is None else round(line.per_kg, 15)  # 0.09 /lb is 180 /short ton
        said.setdefault(lot_key(line), set()).add((per_kg, line.minimum_mg, line.most_mg, line.most_pieces))
    same: dict[tuple[str | None, int], list[PriceLine]] = {}
    for line in lines:
        if line.status == "understood" and line.grade and len(said[lot_key(line)]) > 1:
            same.setdefault(lot_key(line), []).append(line)
    return [_keep_one(line, same.get(lot_key(line), ()), sheet) for line in lines]


def _corrected(lines: Sequence[PriceLine]) -> list[PriceLine]:
    """The lines, those passed over whose place a later one of the same grade takes: "sorry, 19"."""
    better: set[tuple[str | None, int]] = set()
    found: list[PriceLine] = []
    for line in reversed(lines):
        sure = line.status == "understood"
        found.append(remark(line, "corrected") if sure and lot_key(line) in better else line)
        better |= {lot_key(line)} if sure and line.item.corrects else set()
    return found[::-1]


def _keep_one(line: PriceLine, same: Sequence[PriceLine], sheet: ListSheet) -> PriceLine:
    """The line with the question which of the same ones counts, if it is the first of them; else waiting for its
    answer.
    """
    if line.status != "understood" or not line.grade or not same:
        return line
    if (kept := counts(line, same, sheet)) is not None:
        return line if kept else remark(line, "left out")
    if line is not same[0]:
        return replace(line, status="ambiguous", asks="with")
    status, asks, question, choices = keep_one(same, sheet.grades[line.grade].name)
    return replace(line, status=status, asks=asks, question=question, choices=choices)


def remark(line: PriceLine, why: PassedOver) -> PriceLine:
    """The line as one of which nothing is kept."""
    plain = replace(line, status="remark", asks="", question="", choices=(), candidates=())
    return replace(plain, grade=None, price=None, refuses=False, passed_over=why)


def lot_key(line: PriceLine) -> tuple[str | None, int]:
    """What a price is for: the grade and where its tier begins. A grade's refusal is a word on its first tier."""
    return line.grade, line.from_mg
