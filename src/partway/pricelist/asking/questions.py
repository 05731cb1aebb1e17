"""The one sentence that asks about a line, and its choices."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from partway.pricelist.against.bands import Band
from partway.pricelist.copying import replace
from partway.pricelist.joining import with_lot
from partway.pricelist.layout.ticket_fees import TicketFee
from partway.pricelist.lines import EACH, Asks, GradeChoice, Item, ListedLot, ListSheet, LotField, PriceLine, Status
from partway.pricelist.pricing import Priced, Reading
from partway.quantities import kg_per, plain_text
from partway.spoken.money import Heard
from partway.things.currencies import decimals
from partway.things.units import HUNDREDWEIGHTS, TONS

Question = tuple[Status, Asks, str, tuple[GradeChoice, ...]]
LEAVE_OUT = GradeChoice("leave out", "leave this line out")
THEY_PAY, YOU_PAY = "they pay", "you pay"
TAKEN_BY = 40  # characters of what was said that a question repeats


def price_text(price: Decimal, currency: str) -> str:
    """A price as `read_price_list` reads it back, with at least two decimals where there are any: "4.10", "0.095"."""
    text = plain_text(price)
    least = min(2, decimals(currency))
    whole, _, after = text.partition(".")
    return f"{whole}.{after.ljust(least, '0')}" if after or least else whole


def per_text(price: Decimal, unit: str, currency: str) -> str:
    """A price with what it is for: "4.10 /lb", "12.00 each"."""
    return f"{price_text(price, currency)} {unit if unit == EACH else f'/{unit}'}"


def either(labels: Iterable[str]) -> str:
    """Choices in a row: "a", "a or b", "a, b or c"; "a; b, c or d" where one has a comma in it."""
    *first, last = labels
    apart = "; " if any("," in label for label in (*first, last)) else ", "
    return f"{apart.join(first)} or {last}" if first else last


def which_grade(text: str, item: Item, candidates: Sequence[tuple[str, float]], sheet: ListSheet) -> Question:
    """Asks for the grade: among the candidates, or openly where there is none."""
    if not candidates:
        name = " ".join(item.words)
        what = f'no grade goes by "{_short(name)}"' if name else "no grade was named"
        return "unknown", "grade", f"{quoted(text)}: {what}; which grade is it, or leave it out?", (LEAVE_OUT,)
    choices = tuple(
        GradeChoice(grade, sheet.grades[grade].name, replace(item, exact=grade, words=(), called=item.words))
        for grade, _ in candidates
    )
    question = f"{quoted(text)}: is it {either(choice.label for choice in choices)}?"
    return "ambiguous", "grade", question, (*choices, *_all_of(choices, candidates), LEAVE_OUT)


def _all_of(choices: Sequence[GradeChoice], candidates: Sequence[tuple[str, float]]) -> tuple[GradeChoice, ...]:
    """One price for every grade that goes by the name."""
    first, *others = [choice.becomes for choice in choices]
    if not others or any(score < 1.0 for _, score in candidates):
        return ()
    also = tuple(item for item in others if item is not None)
    return (GradeChoice("all of these", "all of these at that price", first, also),)


def fee_counts(text: str, item: Item, fee: TicketFee, sheet: ListSheet) -> Question:
    """Asks whether a fee is kept back of each ticket, so that it counts, or only to be kept in the buyer's note."""
    said = fee.words(sheet.currency)
    choices = (
        GradeChoice("yes", f"keeps back {said} of each ticket", replace(item, fee="yes")),
        GradeChoice("no", "only keep it in the note", replace(item, fee="no")),
    )
    question = f"{quoted(text)}: do they keep back {said} of each ticket that pays? It then counts in every figure."
    return "ambiguous", "fee", question, (*choices, LEAVE_OUT)


def taken_or_not(text: str, item: Item, sheet: ListSheet) -> Question:
    """Asks about a line that has both a price and a refusal, or a price of 0, which may stand for one."""
    price = price_text(item.prices[0].readings[0], sheet.currency)
    choices = (
        GradeChoice("not taking", "not taking it", replace(item, refuses=True, prices=(), units=(), fault="")),
        GradeChoice("price", price, replace(item, refuses=False, sure=item.prices[0].readings[0] == 0)),
    )
    return "ambiguous", "price", f"{quoted(text)}: do they refuse it, or pay {price}?", (*choices, LEAVE_OUT)


def what_price(text: str, item: Item, why: str) -> Question:
    """Asks for a price where there is none, or none that can be used."""
    refuse = GradeChoice("not taking", "not taking it", replace(item, refuses=True, prices=(), units=(), fault=""))
    question = f"{quoted(text)}: {why}; what is the price, or do they not take it?"
    return "unknown", "price", question, (refuse, LEAVE_OUT)


def which_unit(text: str, item: Item) -> Question:
    """Asks which ton, or which hundredweight."""
    choices = tuple(GradeChoice(unit, unit, in_unit(item, unit)) for unit in item.units)
    what = "is it per hundredweight of" if item.units[0] in HUNDREDWEIGHTS else "which ton is it,"
    what = what if item.units[0] in HUNDREDWEIGHTS or set(item.units) <= set(TONS) else "is it per"
    what = "is it for" if EACH in item.units else what
    question = f"{quoted(text)}: {what} {either('each piece' if u == EACH else u for u in item.units)}?"
    return "ambiguous", "unit", question, (*choices, LEAVE_OUT)


def in_unit(item: Item, unit: str) -> Item:
    """The item per one of the units that it may be per; a hundredweight is so many of one that prices are kept in."""
    if unit == EACH:
        return replace(item, each=True, units=(), per_open=False)
    of, count = HUNDREDWEIGHTS.get(unit, (unit, Decimal(1)))
    if count == 1:
        return replace(item, units=(of,))
    return replace(item, units=(of,), prices=tuple(heard.one_of(count) for heard in item.prices))


def which_mass(text: str, item: Item, which: LotField, units: Sequence[str]) -> Question:
    """Asks what unit a mass is in, of a tier, a minimum lot, a maximum or one piece; `units` is empty where the mass
    is impossible.
    """
    lot = getattr(item, which)
    choices = [GradeChoice(unit, unit, with_lot(item, which, ListedLot(lot.amount, (unit,)))) for unit in units]
    if which != "piece":
        choices.append(GradeChoice("any", "for any mass", with_lot(item, which, None)))
    amount = plain_text(lot.amount)
    impossible = {"most": "can be no maximum here", "piece": "is no mass of a piece"}.get(which, "is no lot")
    asked = (
        f"{amount} of what: {either(choice.label for choice in choices)}" if units else f"{_short(amount)} {impossible}"
    )
    return "ambiguous", "mass", f"{quoted(text)}: {asked}?", (*choices, LEAVE_OUT)


def who_pays(text: str, item: Item, price: str) -> Question:
    """Asks who pays for what is mostly paid for by whoever brings it."""
    theirs = replace(item, payer_known=True)
    mine = replace(theirs, prices=tuple(heard.negative() for heard in item.prices))
    choices = (GradeChoice(THEY_PAY, f"they pay {price}", theirs), GradeChoice(YOU_PAY, f"you pay {price}", mine))
    return "ambiguous", "price", f"{quoted(text)}: do they pay that, or do you pay it?", (*choices, LEAVE_OUT)


def which_piece(text: str, item: Item, unit: str) -> Question:
    """Asks what one piece weighs, where pieces count and nobody said it."""
    refuse = GradeChoice("not taking", "not taking it", replace(item, refuses=True, prices=(), units=(), fault=""))
    by_mass = "; or what is the price by mass" if item.each else ""
    question = (
        f"{quoted(text)}: what does one piece weigh, such as {'40 lb' if unit in {'lb', 'oz'} else '18 kg'}{by_mass}?"
    )
    return "unknown", "piece", question, (refuse, LEAVE_OUT)


def which_price(
    text: str, item: Item, found: Priced, band: Band | None, sheet: ListSheet, name: str, kg: Decimal
) -> Question:
    """Asks which reading of a price for `kg` is meant, saying what it was held against."""
    labels = [per_text(price, unit, sheet.currency) for price, unit in found.options]
    choices = tuple(
        GradeChoice(label, label, settled(item, option)) for label, option in zip(labels, found.options, strict=True)
    )
    if found.status == "unlikely":
        against = _against(found.options[0], kg, band, sheet)
        question = f"{quoted(text)}: {name} at {labels[0]} {against}; is it {either([*labels, 'another price'])}?"
    else:
        question = f"{quoted(text)}: is {name} {either(labels)}?"
    return found.status, "price", question, (*choices, LEAVE_OUT)


def settled(item: Item, reading: Reading) -> Item:
    """The item at one reading of its price, which somebody has stood by."""
    each = reading[1] == EACH
    units = () if each else (reading[1],)
    ends = next((ends for heard in item.prices if (ends := heard.ends_at(reading[0]))), None)
    heard = Heard((reading[0],), ends=(ends,) if ends else ())
    return replace(item, prices=(heard,), units=units, each=each, fault="", sure=True)


SOURCES = {
    "last": "the last price",
    "copper": "what No. 2 copper makes likely",
    "others": "what this list's other copper makes likely",
    "usual": "what it mostly is",
    "list": "what the rest of this list makes likely",
    "smallest": "what this list pays for the smallest lot",
}


def _against(reading: Reading, kg: Decimal, band: Band | None, sheet: ListSheet) -> str:
    if band is None:
        return "is not believed"
    factor = kg_per(sheet.unit)
    expected = price_text(round(Decimal(band.likely) * factor, 3), sheet.currency)
    what = f"{SOURCES[band.by]}, {expected}"
    times = float(reading[0] / kg) / band.likely
    return f"is {times:.2g} times {what} /{sheet.unit}"


def keep_one(lines: Sequence[PriceLine], name: str) -> Question:
    """Asks, beside the first of them, which line counts of a grade that the list prices more than once."""
    firsts: dict[tuple[object, ...], PriceLine] = {}
    for line in lines:
        firsts.setdefault(_what(line), line)
    lines = list(firsts.values())
    labels = [f"{said_by(line)} ({quoted(line.text)})" for line in lines]
    keep = [
        GradeChoice("keep" if line is lines[0] else f"keep line {line.position}", label, line.item)
        for line, label in zip(lines, labels, strict=True)
    ]
    question = f"{name} comes more than once in this list: which counts, {either(labels)}?"
    return "ambiguous", "twice", question, (*keep, LEAVE_OUT)


def _what(line: PriceLine) -> tuple[object, ...]:
    return line.price, line.unit, line.minimum_mg, line.most_mg, line.most_pieces


def said_by(line: PriceLine) -> str:
    """What a line says of its grade: its price with what it is for, or that it is refused."""
    if line.price is None or line.sheet is None:
        return "not taking"
    return per_text(line.price, line.unit, line.sheet.currency)


def quoted(text: str) -> str:
    """What was said, as a question repeats it."""
    return f'"{_short(" ".join(text.split()))}"'


def _short(text: str) -> str:
    return text if len(text) <= TAKEN_BY else f"{text[: TAKEN_BY - 3]}..."
