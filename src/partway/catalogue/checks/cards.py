"""What a caution card is held to: it says everything, and short enough to be read on a phone."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from partway.catalogue.cards import CODE
from partway.catalogue.checks.graph import Flaw, repeated
from partway.catalogue.laws import PLACES
from partway.quantities import shown
from partway.things.material import Caution

LONGEST = {"name": 44, "hurts": 160, "first": 160, "licensed": 160, "rule": 160, "never": 160}  # characters
SAYS = {
    "name": "what it is called",
    "hurts": "what can hurt",
    "first": "what to do first",
    "licensed": "who is licensed, or that nobody has to be",
    "rule": f'the rule with its edition and place, and "{CODE}"',
    "never": "what never to do",
}
WHERE = 'where it hurts: "carry", as soon as it is lifted, carried or loaded, or "work", when it is worked on'


def card_flaws(cautions: Mapping[str, Caution]) -> Iterable[Flaw]:
    """Every field of a card that is missing or too long, and every rule that does not defer to the local code."""
    for card in cautions.values():
        for field, most in LONGEST.items():
            text, place = getattr(card, field).strip(), f"caution[{card.id}].{field}"
            if not text:
                yield Flaw("nothing", SAYS[field], place, card.id)
            elif len(text) > most:
                yield Flaw(f"{len(text)} characters", f"at most {most}, to be read on a phone", place, card.id)
        if not card.at:
            yield Flaw("nothing", WHERE, f"caution[{card.id}].at", card.id)
        if card.rule.strip() and CODE not in card.rule:
            yield Flaw(shown(card.rule), f'"{CODE}" in it', f"caution[{card.id}].rule", card.id)
        yield from _law_flaws(card)


def _law_flaws(card: Caution) -> Iterable[Flaw]:
    """What a place says: of a place we know, once, with a year, a section or a number, and short enough for a phone."""
    if twice := repeated(law.place for law in card.law):
        yield Flaw(f"{shown(twice)} twice", "each place once", f"caution[{card.id}].law", card.id)
    for law in card.law:
        place = f"caution[{card.id}].law[{law.place}]"
        if law.place not in PLACES:
            yield Flaw(shown(law.place), f"one of {', '.join(PLACES)}", place, card.id)
        if len(law.says) > LONGEST["rule"]:
            expected = f"at most {LONGEST['rule']}, to be read on a phone"
            yield Flaw(f"{len(law.says)} characters", expected, place, card.id)
        if not re.search(r"[0-9]", law.says):
            yield Flaw(shown(law.says), "which edition, section or number it is", place, card.id)
