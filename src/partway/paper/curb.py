"""The curb card: kinds worth stopping for at a day's prices, what can hurt named before any money."""

from __future__ import annotations

import datetime as dt
from typing import Any

from partway.paper.say import PaperWords, caution, day_with_year
from partway.paper.typeset import Typeset, typeset
from partway.reports.curb.card import CurbCard
from partway.reports.curb.curb import RankLine
from partway.reports.curb.verdict_words import VERDICTS

MOST = 48  # kinds with their figures; a person at the curb reads no further


def curb_paper(card: CurbCard, words: PaperWords, paper: str, most: int = MOST, *, pictures: bool = False) -> Typeset:
    """The card as PDF, on Letter or a4: the `most` best kinds with their figures, others by name.

    Raises Refused for another paper.
    """
    ranking, lines = card.ranking, card.ranking.lines
    data = {
        "title": "At the curb",
        "day": day_with_year(ranking.on),
        "facts": _facts(card, words),
        "cautions": [caution(one, words) for one in card.cautions],
        "lines": [_line(line, card, words) for line in lines[:most]],
        "more": [_named(line.kind, line.name, card) for line in lines[most:]],
        "less": f"Worth less an hour than {words.about(lines[most - 1].per_hour)}" if lines[most:] else "",
        "depot": [_named(kind, name, card) for kind, name in ranking.depot],
        "left": [name for _, name in ranking.left],
        "unknown": [name for _, name in ranking.unknown],
    }
    return typeset("curb", data, paper, dt.date.fromisoformat(ranking.on), pictures=pictures)


def _facts(card: CurbCard, words: PaperWords) -> str:
    wage = card.ranking.wage
    hours = f"Hours count at {words.money(wage)}." if wage else "No wage is set, so hours count as free."
    estimated = any(line.estimated for line in card.ranking.lines)
    more = " Estimated: nobody quotes what is in it, its price follows from one." if estimated else ""
    return f"Condition not known. The drive and the haul are not counted. {hours}{more}"


def _named(kind: str, name: str, card: CurbCard) -> dict[str, Any]:
    return {"name": name, "hazards": list(card.hazards[kind]), "bench": card.at_bench[kind]}


def _line(line: RankLine, card: CurbCard, words: PaperWords) -> dict[str, Any]:
    room = f", {words.litres(line.litres)}" if line.litres is not None else ""
    return {
        **_named(line.kind, line.name, card),
        "said": VERDICTS[line.verdict] if line.verdict == "if-works" else "",
        "hour": f"{words.about(line.per_hour)} an hour",
        "money": f"{words.about(line.money.expected)} on average, mostly {words.about(line.money.low)} to "
        f"{words.about(line.money.high)}{', estimated' if line.estimated else ''}",
        "size": f"{words.minutes(line.minutes)}, {words.kg(line.kg)}{room}",
    }
