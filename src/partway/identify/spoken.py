"""Answers as they are typed: a test and its answer, not sure, or a density with its uncertainty."""

from __future__ import annotations

import re
from collections.abc import Mapping

from partway.catalogue.reading.messages import suggestion, unknown
from partway.errors import Refused
from partway.identify.evidence import LEAST, MOST, NOT_SURE, Answer, Measured, needs_met
from partway.quantities import shown
from partway.things.testkey import KeyContext, KeyTest, MaterialKey

NUMBER = r"[0-9]{1,2}(?:\.[0-9]{1,6})?"
DENSITY = re.compile(rf"({NUMBER})\s*(?:(?:\+-|\+/-|±)\s*({NUMBER}))?\s*(?:g/cm3|g/cm³)?")
UNSURE = frozenset({"not sure", "not-sure", "notsure", "unsure", "?"})


def read_answers(key: MaterialKey, context: KeyContext, given: Mapping[str, str]) -> dict[str, Answer]:
    """Answers by test, in the key's order. Raises Refused."""
    for name in given:
        if name not in context.tests:
            raise unknown(Refused, name, f"test for {context.id}", context.tests, "answer")
    answers = {name: read_answer(key.tests[name], given[name]) for name in key.tests if name in given}
    for name, answer in answers.items():
        if answer != NOT_SURE and not needs_met(key.tests[name], answers):
            needed = ", ".join(f"{test}={wanted}" for test, wanted in key.tests[name].needs.items())
            expected = f"also {needed}: without it {key.tests[name].name} says nothing"
            raise Refused(f'"{name}={given[name][:60]}"', expected, "answer")
    return answers


def read_answer(test: KeyTest, text: str) -> Answer:
    """One answer. Raises Refused."""
    plain = text.strip().casefold()
    if plain in UNSURE:
        return NOT_SURE
    if test.measures:
        return _density(test, plain)
    known = [name for name, _ in test.answers]
    if plain not in known:
        expected = f"{', '.join(known)} or not-sure{suggestion(plain, known)}"
        raise Refused(shown(text), expected, f"answer {test.id}")
    return plain


def _density(test: KeyTest, plain: str) -> Measured:
    match = DENSITY.fullmatch(plain)
    density = float(match[1]) if match else 0.0
    off = float(match[2]) if match and match[2] else test.spread * density
    if not LEAST <= density <= MOST or not 0.0 < off <= density:
        expected = f"a density from {LEAST:g} to {MOST:g} g/cm3, such as 8.4 or 8.4+-0.2, or not-sure"
        raise Refused(shown(plain), expected, f"answer {test.id}")
    return Measured(density, off)


def answer_text(answer: Answer) -> str:
    """An answer as it is typed and recorded."""
    return f"{answer.density:g}+-{answer.off:.3g}" if isinstance(answer, Measured) else answer
