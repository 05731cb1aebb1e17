"""A said text as clauses: acts in their order, each with what says more of it, or how far it was understood."""

from __future__ import annotations

from collections.abc import Sequence

from partway.errors import Refused
from partway.quantities import shown
from partway.saying.amounts import Ear
from partway.saying.attempts import REMARK, Attempt
from partway.saying.clauses import Clause
from partway.saying.corrections import mended
from partway.saying.lexicon import SayLexicon
from partway.saying.slots import Known, SlotEnds
from partway.saying.tokens import SaidWord, normal, said_words

REMARKS_MOST = 2  # of a text: with more of them little of it was understood
WAYS = ((False, False), (True, False), (False, True), (True, True))  # lax, with remarks


def clauses_of(text: str, lexicon: SayLexicon, known: Known, ear: Ear) -> tuple[Clause, ...]:
    """What a text says. Raises Refused, with how far it was understood.

    Names that are known come first; where they do not make sense of it, words where a name should stand are taken for
    one, and whoever looks it up asks what is meant. Words beside an act that mean nothing here come last, as remarks:
    whether they may be left out is asked as well.
    """
    whole = normal(text)
    words = [word for word in lexicon.in_english(said_words(whole)) if word.text not in lexicon.skip]
    if not any(word.sort != "break" for word in words):
        raise Refused("nothing", 'what happened, such as "found two fans"', "say")
    attempts = {lax: Attempt(whole, SlotEnds(words, lexicon, known, ear, lax)) for lax in (False, True)}
    for lax, remarks in WAYS:
        found = attempts[lax].read(remarks=remarks)
        if found is not None and sum(len(clause.all(REMARK.does)) for clause in found) <= REMARKS_MOST:
            return mended(found, ear)
    far = max(attempt.far for attempt in attempts.values())
    raise _not_understood(whole, words, far)


def _not_understood(text: str, words: Sequence[SaidWord], far: int) -> Refused:
    start = words[far].start if far < len(words) else len(text)
    before, rest = text[:start].strip(" ,;.\n\t"), text[start:].strip()
    upto = f"; understood up to {shown(before[-80:])}" if before else ""
    return Refused(f"{shown(rest[:80])}{upto}", 'an act, such as "found two fans" or "weighed the bin 41 lb"', "say")
