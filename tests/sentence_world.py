"""The bench on which the sentences of references/sentences are said, and what is recorded of one in short words."""

from __future__ import annotations

import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

sys.path.insert(0, str(Path(__file__).parent / "unit"))

import fresh_words
from ledger_day import Day
from test_say import evening

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.saying.say import read_said, say
from partway.errors import Refused

SENTENCES = Path(__file__).parent / "references" / "sentences"
Outcome = Literal["right", "asked", "refused", "wrong"]


@dataclass(frozen=True)
class Sentence:
    """What is said, what is recorded of it (nothing where it has to be asked or refused), and what else is no fault."""

    said: str
    right: tuple[str, ...]
    may: str


def sentences(half: str) -> list[Sentence]:
    """One half of them."""
    rows = tomllib.loads((SENTENCES / f"{half}.toml").read_text(encoding="utf-8"))["sentence"]
    return [Sentence(row["said"], tuple(row["right"]), row["may"]) for row in rows]


def bench() -> Day:
    """The evening of the other tests with more things: a toaster, a laptop, two fans, two bins more."""
    day = evening()
    for kind in ("toaster", "laptop", "fan", "fan"):
        day.do(finds.find, kind)
    for grade in ("light-iron", "board-low"):
        day.do(bins.add_bin, grade)
    return day


HANDS = {  # what is at hand before each of the fresh sentences, as their writer says at their head
    "a": "microwave toaster keyboard fan bread-machine laptop desktop-pc vcr cordless-drill treadmill dehumidifier"
    " inkjet-printer inkjet-printer",
    "b": "kettle upright-vacuum fan-heater slow-cooker stereo-receiver washer-front flat-tv sewing-machine game-console"
    " laptop laptop laptop",
}
BINS = "copper-1 copper-2 brass-yellow al-cast al-sheet motors light-iron board-low lead-acid"
CORDS, COUNTED_IN = {"a": "wire-cord-plugs", "b": "wire-appliance-cord"}, {"a": ("USD", "lb"), "b": ("GBP", "kg")}


def town(which: str) -> Day:
    """Where the fresh sentences of one person are said."""
    currency, unit = COUNTED_IN[which]
    day = Day(currency=currency, unit=unit)
    for name in ("harbour-yard", "ridge-yard", "town-depot"):
        day.do(buyers.buyer, name, Terms(kind="yard", km="9"))
    day.do(buyers.buyer, "mail-in-board-buyer", Terms(kind="mail-in"))
    for kind in HANDS[which].split():
        day.do(finds.find, kind)
    for grade in (*BINS.split(), CORDS[which]):
        day.do(bins.add_bin, grade)
    return day


def outcome(sentence: Sentence, there: Day | None = None, *, by_sense: bool = False) -> tuple[Outcome, str]:
    """How a sentence ends where nobody answers anything, and what was recorded, asked or refused.

    `by_sense`: what is right is in the words of a stranger (fresh_words).
    """
    day = there or bench()
    try:
        reading = read_said(day.book, day.context(), sentence.said)
    except Refused as refused:
        return "refused", str(refused)
    if not reading.ready:
        told = "; ".join(str(line.asked or line.refused) for line in reading.lines if line.asked or line.refused)
        return ("asked" if reading.open else "refused"), told
    events = day.do(say, sentence.said, shown=reading.shown).events
    kinds = {event.kind for event in events}
    aside = {"set", *({"binned"} if kinds - {"binned", "set"} else set())}  # what a word means; a bin made for a piece
    found = tuple(short(event.what) for event in events if event.kind not in aside)
    same = found == sentence.right if there is None else sorted(found) == sorted(sentence.right)
    same = fresh_words.same(found, sentence.right) if by_sense else same
    return ("right" if same and found else "wrong"), " + ".join(found)


def at_fault(sentence: Sentence, how: Outcome) -> bool:
    """Whether something was recorded that was not said, or a plain sentence was not understood at once."""
    if how in ("right", "wrong"):
        return how == "wrong"
    return bool(sentence.right) and sentence.may not in ("refused", how)


def short(what: Any) -> str:
    """A record in short words."""
    kind = what.KIND
    return " ".join(str(one) for one in (NAMES.get(kind, kind), *SHORT[kind](what)) if one != "")


NAMES = {"binned": "bin"}
SHORT: dict[str, Any] = {
    "found": lambda w: (w.count, w.kind, w.works, f"{w.mass_mg} mg" if w.mass_mg else ""),
    "tested": lambda w: (w.find, w.works),
    "weighed": lambda w: (w.find, f"{w.mass_mg} mg"),
    "recounted": lambda w: (w.bin, f"{w.mass_mg} mg"),
    "opened": lambda w: (w.find, w.minutes, "min", *(f"{p.piece}={p.mass_mg}" for p in w.pieces if p.mass_mg)),
    "sold": lambda w: (w.find, w.price, *(("postage", w.postage) if w.postage else ())),
    "discarded": lambda w: (w.find,),
    "quoted": lambda w: (w.buyer, w.grade, f"{w.price}/{w.unit}"),
    "spent": lambda w: (w.amount, w.category),
    "paid": lambda w: (w.buyer, w.amount),
    "worked": lambda w: (w.activity, w.minutes),
    "traded": lambda w: (w.buyer, *w.refuses),
    "hauled": lambda w: (f"{w.km} km" if w.km is not None else "",),
    "binned": lambda w: (w.bin,),
    "listed": lambda w: (w.find, w.asking),
    "ticketed": lambda w: (w.buyer, *(f"{line.grade}={line.mass_mg}" for line in w.lines), w.total),
    "noted": lambda w: (w.text,),
    "said": lambda w: (w.what,),
    "corrected": lambda w: ("",),
}
