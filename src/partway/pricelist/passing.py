"""Why words of a list say no price and no refusal of any grade, so that they are passed over, with the reason."""

from __future__ import annotations

from partway.pricelist.against.compared import Names
from partway.pricelist.folding import FIRST_TWO
from partway.pricelist.lexicon import WORTH_ASKING
from partway.pricelist.lines import Item, ListSheet, PassedOver
from partway.pricelist.names import listed, plain_words


def passed_over_why(item: Item, name: Names, sheet: ListSheet) -> PassedOver:
    """Why words say no price and no refusal of any grade: "thanks for calling", "TODAY'S PRICES", "tires - no"."""
    if item.settled == "left out":
        return "left out"
    if item.term or _only_a_lot(item):
        return "ticket"
    if item.note:
        return "no price"
    if item.heads:
        return "heading"
    if item.open_price and not (item.prices or item.refuses):
        return "when asked"
    if not _refuses_example(item) and not _is_remark(item, name, sheet):
        return ""
    return "ticket" if item.most or item.minimum else "no price"  # "minimum 50 lb a load"


def _only_a_lot(item: Item) -> bool:
    """Whether nothing but a least or a most is said, of no grade: "minimum shipment 20 lb"."""
    return not item.named and bool(item.minimum or item.most) and not (item.prices or item.refuses or item.units)


def _refuses_example(item: Item) -> bool:
    """Whether a thing is refused that is only one of those that go as its grade: "not taking printers"."""
    said = " ".join(plain_words(item.words))
    return item.refuses and not (item.prices or item.exact) and said in listed("examples")


def _of_a_price(word: str, sheet: ListSheet) -> bool:
    """Whether a word is a figure, or says what is done to a price: "stainless off 10%" is of stainless."""
    return any(char.isdigit() for char in word) or word in sheet.hearing.tongue.qualifies


def _is_remark(item: Item, name: Names, sheet: ListSheet) -> bool:
    grade, candidates = name
    mistyped = item.bare and candidates and candidates[0][1] < 1.0  # "bring the kids" is no boring
    whole = grade is not None or (sheet.lexicon.match(item.words)[1] and not mistyped)
    if item.named and not whole and sheet.lexicon.untraded(item.words):
        return True
    if whole or item.prices or item.each or item.units or not item.named or item.moved:
        return False
    plain = [word for word in item.words if word in FIRST_TWO.values() or not _of_a_price(word, sheet)]
    figures = any(char.isdigit() for word in item.words for char in word)
    if figures and not item.refuses and len(plain) < len(item.words) and sheet.lexicon.match(plain)[1]:
        return False  # "#1 cu 4.9x": a price that was not understood is not passed over
    best = max((score for _, score in candidates), default=0.0)
    return not item.refuses or best <= WORTH_ASKING  # a refusal of what is of no grade, "no dogs"
