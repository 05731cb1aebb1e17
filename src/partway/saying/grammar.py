"""A said text as clauses: acts in their order, each with what says more of it, or how far it was understood."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from partway.errors import Refused
from partway.quantities import shown
from partway.saying.amounts import Ear
from partway.saying.attempts import Attempt
from partway.saying.clauses import Clause
from partway.saying.corrections import mended
from partway.saying.fillers import said_plainly
from partway.saying.in_english import in_english
from partway.saying.lexicon import SayLexicon
from partway.saying.loose.gaps import GapReading
from partway.saying.loose.heard import as_heard, in_doubt, understood
from partway.saying.loose.near_words import Near, heard_otherwise, nothing_near
from partway.saying.passage import Known
from partway.saying.slots import SlotEnds
from partway.saying.tokens import SaidWord, normal, said_words


def clauses_of(text: str, lexicon: SayLexicon, known: Known, ear: Ear, near: Near = nothing_near) -> tuple[Clause, ...]:
    """What a text says. Raises Refused, with how far it was understood.

    What is said as the lexicon has it comes first. Where that does not make sense of all of it, what is understood is
    told beside what is not, and about that it is asked; where it would all be understood with words that sound like
    those that were written, it is asked whether those were meant.
    """
    whole, known = normal(text), cache(known)
    words = said_plainly(in_english(said_words(whole), lexicon.english), lexicon, known)
    if not any(word.sort != "break" for word in words):
        raise Refused("nothing", 'what happened, such as "found two fans"', "say")
    slots = SlotEnds(words, lexicon, known, ear, False)
    attempts = [first := Attempt(whole, slots), first.with_guesses()]
    found = attempts[0].read()
    if found is None:
        found = GapReading(attempts[1]).read()
        if found is None or not understood(found, known):
            found = _heard(whole, slots, in_doubt(found, known), near) or found
    if found is not None:
        return mended(found, ear)
    attempts[1].read()  # how far it is understood
    far = max(attempt.far for attempt in attempts)
    raise _not_understood(whole, words, far)


def _heard(whole: str, slots: SlotEnds, doubted: Sequence[str] | None, near: Near) -> tuple[Clause, ...] | None:
    """The acts as they may have been meant before dictation wrote them down: each of those words is asked about.

    Only words in what is `doubted` are tried, or any where nothing was understood.
    """
    words, known = slots.words, slots.known
    may = [doubted is None or any(whole[word.start : word.end] in said for said in doubted) for word in words]
    for others in heard_otherwise(words, slots.lexicon, near, may, known):
        otherwise = Attempt(whole, slots.with_words(others))
        found = otherwise.read()
        if found is None:
            found = GapReading(otherwise.with_guesses()).read()
        if found is not None and understood(found, known):
            changed = [word for word, other in zip(words, others, strict=True) if word is not other]
            return tuple(as_heard(clause, whole, changed) for clause in found)
    return None


def _not_understood(text: str, words: Sequence[SaidWord], far: int) -> Refused:
    start = words[far].start if far < len(words) else len(text)
    before, rest = text[:start].strip(" ,;.\n\t"), text[start:].strip()
    upto = f"; understood up to {shown(before[-80:])}" if before else ""
    return Refused(f"{shown(rest[:80])}{upto}", 'an act, such as "found two fans" or "weighed the bin 41 lb"', "say")
