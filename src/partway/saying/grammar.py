"""A said text as clauses: acts in their order, each with what says more of it, or how far it was understood."""

from __future__ import annotations

from collections.abc import Sequence

from partway.errors import Refused
from partway.quantities import shown
from partway.saying.amounts import Ear
from partway.saying.attempts import Attempt
from partway.saying.clauses import Clause
from partway.saying.corrections import mended
from partway.saying.fillers import said_plainly
from partway.saying.gaps import GapReading
from partway.saying.lexicon import SayLexicon
from partway.saying.passage import Known
from partway.saying.slots import SlotEnds
from partway.saying.tokens import SaidWord, normal, said_words


def clauses_of(text: str, lexicon: SayLexicon, known: Known, ear: Ear) -> tuple[Clause, ...]:
    """What a text says. Raises Refused, with how far it was understood.

    What is said as the lexicon has it comes first. Where that does not make sense of all of it, what is understood is
    told beside what is not, and about that it is asked.
    """
    whole = normal(text)
    words = said_plainly(lexicon.in_english(said_words(whole)), lexicon, known)
    if not any(word.sort != "break" for word in words):
        raise Refused("nothing", 'what happened, such as "found two fans"', "say")
    attempts = [Attempt(whole, SlotEnds(words, lexicon, known, ear, lax)) for lax in (False, True)]
    found = attempts[0].read() or GapReading(attempts[1]).read()
    if found is not None:
        return mended(found, ear)
    attempts[1].read()  # how far it is understood
    far = max(attempt.far for attempt in attempts)
    raise _not_understood(whole, words, far)


def _not_understood(text: str, words: Sequence[SaidWord], far: int) -> Refused:
    start = words[far].start if far < len(words) else len(text)
    before, rest = text[:start].strip(" ,;.\n\t"), text[start:].strip()
    upto = f"; understood up to {shown(before[-80:])}" if before else ""
    return Refused(f"{shown(rest[:80])}{upto}", 'an act, such as "found two fans" or "weighed the bin 41 lb"', "say")
