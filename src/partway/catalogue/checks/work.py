"""What operations are held to by the cards: no work that a card forbids, and goggles wherever something may fly."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from partway.catalogue.checks.graph import Flaw
from partway.quantities import shown
from partway.things.anatomy import Anatomy, Operation
from partway.things.material import Caution

# Tools and words of work that strike, cut, grind, tear or let a spring go. Common practice, no source.
FLYING = re.compile(
    r"\b(?:hammer|sledge|sledgehammer|chisel|punch|drift|wedges|press|puller|pry|saw|hacksaw|grinder|drill|"
    r"bolt cutters?|snips|cutters|knife|stripper|impact|breaker|spring|springs|knock|break|crack|cut|cuts|strike|grind|"
    r"tear)\b"
)
STRUCK = re.compile(
    r"\b(?:hammer|sledge|sledgehammer|chisel|punch|drift|wedges|press|saw|hacksaw|grinder|bolt cutters?|impact|"
    r"knock|break|crack)\b"
)
SPARED = re.compile(r"plastic pry tool|warm pad")  # soft, and used on glued screens
FLYING_CARD = "flying-metal"
GOGGLES = re.compile(r"\b(?:goggles|eye protection|eye and ear protection)\b")


def work_flaws(anatomy: Anatomy, cautions: Mapping[str, Caution]) -> Iterable[Flaw]:
    """Operations that a card of their kind forbids, and those without eye protection where something may fly."""
    for operation in anatomy.operations:
        place = f"anatomy[{anatomy.kind}].operation[{operation.id}]"
        for card, word in forbidden(anatomy, operation, cautions):
            yield Flaw(shown(word), f"no work that the card {shown(card)} forbids", place, operation.on)
        if may_fly(operation) and not GOGGLES.search(" ".join(operation.tools)):
            yield Flaw(
                "work that makes chips or springs fly", "goggles among its tools", f"{place}.tools", operation.on
            )
        if is_struck(operation) and FLYING_CARD not in operation.cautions:
            yield Flaw(
                "work that strikes, saws or grinds", f"the card {FLYING_CARD}", f"{place}.cautions", operation.on
            )


def forbidden(anatomy: Anatomy, operation: Operation, cautions: Mapping[str, Caution]) -> Iterator[tuple[str, str]]:
    """Each card over an operation with the word of it that the card forbids."""
    given = [anatomy.piece(gives.piece).name for gives in operation.gives if not anatomy.piece(gives.piece).stop]
    said = " | ".join([operation.id.replace("-", " "), operation.name, *operation.tools, *given]).casefold()
    for card in dict.fromkeys([*anatomy.cautions, *operation.cautions]):
        for word in cautions[card].forbids if card in cautions else ():
            if re.search(rf"\b{re.escape(word)}\b", said):
                yield card, word


def may_fly(operation: Operation) -> bool:
    """Whether something is struck, cut, ground or under spring: by its tools, its name or its cards."""
    return bool(FLYING.search(_said(operation))) or "springs" in operation.cautions


def is_struck(operation: Operation) -> bool:
    """Whether chips fly hard: then the card is shown first, too."""
    return bool(STRUCK.search(_said(operation)))


def _said(operation: Operation) -> str:
    """Its name and tools, but for those that harm nobody."""
    return SPARED.sub("", " | ".join([operation.name, *operation.tools]).casefold())
