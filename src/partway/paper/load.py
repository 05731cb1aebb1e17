"""The load sheet on paper: the sheet's own figures in words, each line with room for what the ticket says."""

from __future__ import annotations

import datetime as dt
from typing import Any

from partway.paper.say import PaperWords, caution
from partway.paper.typeset import Typeset, typeset
from partway.reports.haul.load_sheet import HandOver, LoadSheet, SheetStop

# Common practice, no source.
AT_THE_WINDOW = "Ask before it is weighed: the grade and today's price of each line. After: gross, tare and net, and why anything was taken off."  # noqa: E501
RANGE = "Said as a range, {low} to {high}: ask which it is today."
FROM_BENCH = "Still to come from the bench, or out of a better grade"


def load_paper(sheet: LoadSheet, words: PaperWords, paper: str, *, pictures: bool = False) -> Typeset:
    """A trip's load sheet as PDF, on Letter or a4. Raises Refused for another paper."""
    data = {
        "title": f"Load {sheet.trip} of {sheet.trips}" if sheet.trips > 1 else "The load",
        "name": sheet.name,
        "day": words.day(sheet.on),
        "facts": _facts(sheet, words),
        "way": [name if stop else f"past {name}" for name, stop in sheet.driven],
        "last": f"{sheet.ends_at}, where it ends" if sheet.ends_at else "home",
        "cautions": [caution(card, words) for card in sorted(sheet.cautions, key=lambda card: not card.carry)],
        "stops": [_stop(stop, words) for stop in reversed(sheet.stops)],
        "window": AT_THE_WINDOW,
        "mass": words.kg(sheet.mass_kg),
        "expected": words.money(sheet.expected),
    }
    return typeset("load", data, paper, dt.date.fromisoformat(sheet.on), pictures=pictures)


def _facts(sheet: LoadSheet, words: PaperWords) -> str:
    room = "in bulk, the volume of the vehicle is not known"
    if sheet.volume_l is not None:
        room = f"of {words.litres(sheet.volume_l)}"
    return (
        f"{words.km(sheet.km)}, {words.hours(sheet.hours)} with time on site. "
        f"{words.kg(sheet.mass_kg)} of {words.kg(sheet.payload_kg)}; {words.litres(sheet.litres)} {room}."
    )


def _stop(stop: SheetStop, words: PaperWords) -> dict[str, Any]:
    fee = f"Its fee of {words.money(stop.fee)} is off. " if stop.fee else ""
    pays = f"Pays 8 times in 10 {words.between(stop.low, stop.high)}. " if stop.low != stop.high else ""
    return {
        "turn": str(stop.turn),
        "name": stop.name,
        "site": f"{pays if stop.lots else ''}{fee}About {words.minutes(stop.minutes)} on site.",
        "bring": list(stop.bring),
        "lots": [_lot(lot, words) for lot in stop.lots],
        "mass": words.kg(stop.mass_kg),
        "expected": words.money(stop.expected),
    }


def _lot(lot: HandOver, words: PaperWords) -> dict[str, Any]:
    ask = RANGE.format(low=words.price(lot.ends[0]), high=words.price(lot.ends[1])) if lot.ends else ""
    return {
        "name": lot.name,
        "hazards": list(lot.hazards),
        "bins": [words.bin(one) for one in lot.bins],
        "coming": "" if lot.bins else FROM_BENCH,
        "whole": [{"name": one.name, "of": f"{one.count} ×, {words.kg(one.mass_kg)}"} for one in lot.whole],
        "asks": [text for text in (lot.note, ask) if text],
        "mass": words.kg(lot.mass_kg),
        "board": words.kg(lot.on_board_kg),
        "price": _price(lot, words),
        "amount": words.money(lot.amount),
    }


def _price(lot: HandOver, words: PaperWords) -> str:
    if lot.each is None:
        return words.price(lot.price_per_kg)
    return f"{words.number(lot.pieces)} at {words.money(lot.each)} each"
