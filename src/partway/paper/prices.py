"""A buyer's price sheet: its word on each grade with its age, and room for what it says today."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any

from partway.catalogue.cards import cards_of_grades
from partway.paper.say import PaperWords, caution, day_with_year
from partway.paper.typeset import Typeset, typeset
from partway.reports.buyers.fee_words import fee_words
from partway.reports.buyers.one import BuyersWord, OneBuyer
from partway.things.buyers import buyer_name
from partway.things.families import family_name
from partway.valuing.price_book import QuotedPrice

SAID = {"refused": "turned away", "not taken": "not taken any more", "unquoted": "not asked yet"}


def prices_paper(
    buyer: OneBuyer,
    doubts: Mapping[str, str],
    words: PaperWords,
    paper: str,
    on: dt.date,
    *,
    pictures: bool = False,
) -> Typeset:
    """The sheet as PDF; `doubts` say of a grade why its price is in doubt. Raises Refused for another paper."""
    name = buyer_name(buyer.id, buyer.name)
    data = {
        "title": f"Prices of {name}",
        "day": day_with_year(on),
        "facts": list(_facts(buyer, on, words)),
        "refuses": ", ".join(one.name for one in buyer.refuses),
        "cautions": [caution(card, words) for card in cards_of_grades(one.grade for one in buyer.asked)],
        "families": [
            {
                "name": family_name(family).capitalize() if family else "Others",
                "rows": [row for one in of for row in _rows(one, doubts, words)],
            }
            for family, of in groupby(_in_order(buyer.asked), key=lambda one: one.family)
        ],
    }
    return typeset("prices", data, paper, on, pictures=pictures)


def _in_order(asked: Iterable[BuyersWord]) -> list[BuyersWord]:
    """By family, what it quotes first."""
    return sorted(asked, key=lambda one: (one.family, one.cell.state != "quoted"))


def _facts(buyer: OneBuyer, on: dt.date, words: PaperWords) -> Iterator[str]:
    way = f", {words.km(float(buyer.km))} away" if buyer.km is not None else ""
    heard = "It never said a price"
    if buyer.heard is not None:
        heard = f"Last heard {day_with_year(on - dt.timedelta(days=buyer.heard))}"
    yield f"{buyer.kind.capitalize()}{way}. {heard}."
    if buyer.phone:
        yield f"Telephone {buyer.phone}."
    yield f"Open {', '.join(buyer.open)}." if buyer.open else "Opening hours: unknown."
    if fees := fee_words(buyer, words.money):
        yield f"{fees.capitalize()}; the prices are before that."
    if buyer.note:
        yield buyer.note
    if buyer.parcels:
        steps = (f"up to {words.kg(one.up_to_kg)} {words.money(one.cost)}" for one in buyer.parcels)
        yield f"A parcel costs: {', '.join(steps)}."


def _rows(one: BuyersWord, doubts: Mapping[str, str], words: PaperWords) -> Iterator[dict[str, Any]]:
    """A row for each price, the first of a grade with its name."""
    first = {
        "name": one.name,
        "hazards": list(one.careful),
        "stock": words.kg(one.stock_kg) if one.stock_kg else "",
        "doubt": doubts.get(one.grade, ""),
    }
    more = {"name": "", "hazards": [], "stock": "", "doubt": ""}
    if one.cell.state != "quoted":
        yield {
            **first,
            "best": "",
            "price": SAID[one.cell.state],
            "lots": "",
            "heard": words.day(one.cell.on) if one.cell.on else "",
        }
    for at, price in enumerate(one.cell.prices):
        yield {
            **(more if at else first),
            "price": words.price(price.per_kg),
            "lots": "; ".join(_lots(price, words)),
            "heard": words.day(price.on) + ("" if price.age == "fresh" else f", {price.age}"),
            "best": "best known" if one.cell.best == at else "",
        }


def _lots(price: QuotedPrice, words: PaperWords) -> Iterator[str]:
    if price.ends:
        yield f"said {words.price(price.ends[0])} to {words.price(price.ends[1])}"
    if price.each is not None:
        yield f"{words.money(price.each)} each"
    if price.from_kg:
        yield f"from {words.kg(price.from_kg)}"
    if price.minimum_kg:
        yield f"{words.kg(price.minimum_kg)} at least"
    if price.most_kg:
        yield f"at most {words.kg(price.most_kg)}"
    elif price.most_pieces:
        yield f"at most {price.most_pieces}"
