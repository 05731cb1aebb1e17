"""A thing that the catalogue does not know: its name, and what somebody says it is mostly made of."""

from __future__ import annotations

from dataclasses import dataclass, replace

from partway.actions.recording import reading
from partway.actions.recording.kinds import kind_meant
from partway.actions.recording.questions import Asked
from partway.catalogue import Catalogue
from partway.errors import Hint, Refused
from partway.quantities import shown
from partway.things.traits import MARK, Traits, plain_name, size_of, traits_in

NONE_OF_THESE = "none of these: a thing of its own"
HAS = {"yes": "yes", "no": "no", "unknown": ""}


@dataclass(frozen=True, slots=True)
class MadeOf:
    """What was said of a thing besides its name, as typed; `own` says that it is none of the kinds there are."""

    mostly: str = ""
    cord: str = ""
    motor: str = ""
    battery: str = ""
    own: bool = False

    @property
    def anything(self) -> bool:
        """Whether something was said of what it is made of."""
        answers = (self.cord, self.motor, self.battery)
        return bool(self.mostly.strip()) or any(answer.strip() not in {"", "unknown"} for answer in answers)


@dataclass(frozen=True, slots=True)
class Meant:
    """A kind of the catalogue, or the name of a thing of its own with its traits."""

    kind: str
    traits: Traits | None = None

    @property
    def here(self) -> str:
        """The kind by which it is looked up."""
        return self.traits.kind(self.kind) if self.traits else self.kind


def meant(given: str, said: MadeOf, known: Catalogue, kg: float | None = None, where: str = "kind") -> Meant:
    """The kind that is meant, or a thing of its own. Raises Asked with near kinds, or for what it is mostly made of.

    `kg` is what one of them weighs. A name with a bare tilde behind it is a thing of its own, as is a kind that was
    made of what somebody said before.
    """
    before = traits_in(given) if known.knows(given) else None
    if before is not None:
        return _described(*before, said, known, kg)
    if said.own or given.endswith(MARK):
        return _described(_name(given.removesuffix(MARK), where), None, said, known, kg)
    kind = _kind(given, said, known, where)
    if kind is None:
        return _described(_name(given, where), None, said, known, kg)
    if said.anything:
        given = f"{kind}, which the catalogue knows, and what it is made of"
        raise Refused(given, "the kind alone", where, hint=Hint("own-kind"))
    return Meant(kind)


def _kind(given: str, said: MadeOf, known: Catalogue, where: str) -> str | None:
    """The kind of the catalogue; None where none is near."""
    try:
        return kind_meant(given, where, known)
    except Asked as asked:
        name = plain_name(given)
        own = ((f"{name}{MARK}", NONE_OF_THESE),) if name else ()
        choices = (*asked.choices, *own)
        said_as = (asked.given, asked.expected, where, asked.option, choices, asked.likely)
        raise Asked(*said_as, hint=Hint("own-kind")) from None
    except Refused:
        _name(given, where)  # what can be nothing's name is not asked about
        if said.mostly.strip():
            return None
        raise _what_it_is(f"{shown(given)}, which the catalogue does not know", known) from None


def _name(given: str, where: str) -> str:
    name = plain_name(given) if given.isprintable() else ""
    if not name:
        raise Refused(shown(given), "a name with letters or digits in it", where)
    return name


def _described(name: str, before: Traits | None, said: MadeOf, known: Catalogue, kg: float | None) -> Meant:
    """A thing of its own by what was said of it before and now."""
    traits = before or Traits("")
    if said.mostly.strip():
        traits = replace(traits, mostly=mostly_said(said.mostly, known))
    if not traits.mostly:
        raise _what_it_is(f"{shown(name)}, a thing of its own", known)
    for what in ("cord", "motor", "battery"):
        if getattr(said, what).strip():
            traits = replace(traits, **{what: has_said(getattr(said, what), what)})
    return Meant(name, traits if kg is None else replace(traits, size=size_of(kg)))


def mostly_said(given: str, known: Catalogue) -> str:
    """What a thing mostly is, by its id or its plain words. Raises Refused."""
    names = known.guesses.names
    by_name = {name: mostly for mostly, name in names.items()}
    plain = " ".join(given.split()).lower()
    starts = [mostly for mostly in names if plain and mostly.startswith(plain)]
    found = by_name.get(plain) or (plain if plain in names else starts[0] if len(starts) == 1 else "")
    if not found:
        raise Refused(shown(given), f"one of {', '.join(starts or names)}", "mostly")
    return found


def has_said(given: str, where: str) -> str:
    """Whether it has something: yes, no, or nothing for unknown. Raises Refused."""
    return HAS[reading.one_of(given, HAS, "answer (yes, no, unknown)", where)]


def _what_it_is(given: str, known: Catalogue) -> Asked:
    choices = tuple(known.guesses.names.items())
    listed = ", ".join(mostly for mostly, _ in choices)
    return Asked(given, f"what it is mostly: {listed}", "mostly", "mostly", choices)
