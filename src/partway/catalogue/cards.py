"""The one caution card: what can hurt, what comes first, who may do it, which rule, what never.

Whatever names a hazard gets its card here, so that page, JSON and command show the same one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from partway.catalogue.shipped import shipped
from partway.things.material import Caution
from partway.things.traits import said_kind

CODE = "check your local code"


@dataclass(frozen=True, slots=True)
class CautionCard:
    """One hazard with its whole card, shown before any money.

    `carry` says that it hurts as soon as the thing is lifted, carried or loaded, not only when it is worked on.
    `kinds` are what names it (kinds, grades, materials, tests); empty where the card stands by itself.
    """

    id: str
    name: str
    hurts: str
    first: str
    licensed: str
    rule: str
    never: str
    carry: bool = True
    kinds: tuple[str, ...] = ()

    @property
    def line(self) -> str:
        """The hazard and what comes first: "Capacitor: short it before you touch it."."""
        return f"{self.name}: {self.first}."

    @property
    def first_and_never(self) -> str:
        """What comes first, and what is never done, to be read after the name."""
        never = f" {_sentence(self.never)}" if self.never else ""
        return f"{self.first}.{never}"

    @property
    def full(self) -> tuple[tuple[str, str], ...]:
        """The whole card as titles and sentences, in the order in which it is read."""
        rows = (
            ("what can hurt", self.hurts),
            ("first", self.first),
            ("never", self.never),
            ("licensed", self.licensed),
            ("rule", self.rule),
        )
        return tuple((title, _sentence(text)) for title, text in rows if text)


def card(cautions: Mapping[str, Caution], hazard: str, kinds: Iterable[str] = ()) -> CautionCard:
    """The card of a hazard; one that the catalogue has no card for still shows, by its own name."""
    known = cautions.get(hazard)
    if known is None:
        return CautionCard(hazard, hazard, "", CODE, "", CODE, "", kinds=tuple(kinds))
    said = (known.name, known.hurts, known.first, known.licensed, known.rule, known.never)
    return CautionCard(hazard, *said, known.at != "work", tuple(kinds))


def cards_by_hazard(
    cautions: Mapping[str, Caution], named: Iterable[tuple[str, Iterable[str]]]
) -> tuple[CautionCard, ...]:
    """One card for each hazard, in the order met, with all that name it; `named` are names and their hazards."""
    kinds: dict[str, dict[str, None]] = {}
    for name, hazards in named:
        for hazard in hazards:
            kinds.setdefault(hazard, {})[said_kind(name)] = None
    return tuple(card(cautions, hazard, names) for hazard, names in kinds.items())


def shipped_cards(hazards: Iterable[str]) -> tuple[CautionCard, ...]:
    """Cards of the shipped catalogue, each once, in the order asked for."""
    known = shipped().cautions
    return tuple(card(known, hazard) for hazard in dict.fromkeys(hazards))


def is_hard_stop(hazard: str) -> bool:
    """Whether a card is never cut short: it forbids some work, or what it is about has to come out before a sale."""
    known = shipped().cautions.get(hazard)
    return known is None or bool(known.forbids) or known.out_first


def cards_of_grades(ids: Iterable[str]) -> tuple[CautionCard, ...]:
    """Cards of what can hurt about grades; one that the shipped catalogue does not know names none."""
    known = shipped().grades
    return shipped_cards(hazard for grade in ids if grade in known for hazard in known[grade].hazards)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
