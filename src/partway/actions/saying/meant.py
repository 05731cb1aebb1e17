"""Which find, kind, piece, bin, buyer or grade is meant by a word: looked up, remembered or asked, never guessed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from partway.actions.recording import reading
from partway.actions.recording.context import Context
from partway.actions.recording.questions import Asked
from partway.actions.saying.remembered import meant_before, remembering
from partway.actions.saying.vocabulary import Choices, Vocabulary
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Set
from partway.ledger.fold.standing import settings
from partway.quantities import shown, to_mg
from partway.saying.amounts import Ear, SaidAmount, amount
from partway.saying.clauses import SaidSlot
from partway.spoken import moment_text

OFFERED = 3  # answers at most
LEFT_OUT = ("leave", "leave it out")


@dataclass
class Meaning:
    """Looks up the words of one clause. `answers` are those given to its questions; what comes of it is in `doubts`,
    which are worth a second look, and in `learned`, which is remembered from an answer.
    """

    book: Book
    context: Context
    names: Vocabulary
    answers: Mapping[str, str] = field(default_factory=dict)
    doubts: list[str] = field(default_factory=list)
    learned: list[Set] = field(default_factory=list)
    ear: Ear = field(default_factory=lambda: Ear(dt.date.min))

    def one(
        self,
        slot: SaidSlot,
        found: Sequence[str],
        tell: Callable[[str], str],
        what: str,
        *,
        buyer: str = "",
        remember: bool = False,
        near: Choices = (),
    ) -> str:
        """The one that is meant. Raises Asked where several may be, or only others are near; Refused where none is."""
        choices = tuple((one, tell(one)) for one in found) or near
        if not choices:
            raise Refused(shown(slot.said), f"a {what} that is known", slot.name)
        if len(found) == 1:
            return found[0]
        keys = [one for one, _ in choices]
        answer = self.answers.get(slot.name, "")
        if answer in keys:
            if remember:
                self.learned += remembering(self.context.who, slot.words, what, answer, buyer)
            return answer
        before = meant_before(self.book, self.context.who, slot.words, what, buyer) if remember else ""
        if before in keys:
            self.doubts.append(f"“{slot.said}” is {tell(before)}, as you said before")
            return before
        listed = " or ".join(means for _, means in choices[:OFFERED])
        more = f", or {len(choices) - OFFERED} more: say it in full" if len(choices) > OFFERED else ""
        given = f"“{slot.said}”, which may be more than one {what}"
        raise Asked(given, f"{listed}{more}", slot.name, slot.name, choices[:OFFERED])

    def kind(self, slot: SaidSlot) -> str:
        """A kind of thing."""
        found = self.names.kinds(slot.words)
        matches = () if found else self.names.near_kinds(slot.words)
        near = tuple((match.kind, match.name) for match in matches)
        if not found and not near:
            hint = Hint("own-kind")
            raise Refused(
                shown(slot.said), "a kind that is known; what it is mostly is said at the curb", "kind", hint=hint
            )
        return self.one(slot, found, self.names.kind_name, "kind", remember=True, near=near)

    def sounds_like(self, sound: SaidSlot, of: SaidSlot) -> int:
        """A count that dictation may have written as another word: asked."""
        self.sure(f"{sound.said} {of.said}", "heard", f"it is {sound.words} {of.said}")
        return int(sound.words)

    def sure(self, said: str, option: str, means: str) -> None:
        """Something that may have been meant otherwise: asked, with the one thing it would be recorded as."""
        if self.answers.get(option, "") != "yes":
            raise Asked(f"“{said}”", f"whether {means}", option, option, (("yes", means),))

    def agreed(self, said: str, option: str, means: str) -> bool:
        """The same, where it may be left out as well: whether it is recorded."""
        answer = self.answers.get(option, "")
        if answer not in ("yes", LEFT_OUT[0]):
            raise Asked(f"“{said}”", f"whether {means}", option, option, (("yes", means), LEFT_OUT))
        if answer == LEFT_OUT[0]:
            self.doubts.append(f"left out: “{said}”")
        return answer == "yes"

    def typed(self, name: str, given: str, entry: str) -> SaidSlot:
        """An amount that was not said, as somebody answers it. Raises Asked where nobody has, or where it is none."""
        text = self.answers.get(name, "")
        found = amount(name, text, self.ear) if text else None
        if found is None:
            wrong = f", not “{text}”" if text else ""
            raise Asked(f"“{given}”", f"{entry}{wrong}", name, name, entry=entry)
        return SaidSlot(name, text, text, found)

    def which(self, name: str, given: str, found: Sequence[str], tell: Callable[[str], str]) -> str:
        """One of those there are, where none was said."""
        choices = tuple((one, tell(one)) for one in found)
        answer = self.answers.get(name, "")
        if answer not in [key for key, _ in choices]:
            if not choices:
                raise Refused(shown(given), f"a {name} that is known", name)
            raise Asked(f"“{given}”", f"which {name}", name, name, choices[:OFFERED])
        return answer

    def find(self, slot: SaidSlot) -> str:
        """A find that waits."""
        found = self.names.finds(slot.words)
        if not found:
            raise Refused(shown(slot.said), "a find that is still there", "find", hint=Hint("finds"))
        return self.one(slot, found, self.names.called.find, "find")

    def bin(self, slot: SaidSlot) -> str:
        """A bin."""
        found = self.names.bins(slot.words)
        if not found:
            raise Refused(shown(slot.said), "a bin there is", "bin", hint=Hint("new-bin"))
        return self.one(slot, found, self.names.called.bin, "bin", remember=True)

    def thing(self, slot: SaidSlot) -> tuple[str, str]:
        """A find or a bin, as its sort and its id."""
        found = self.names.things(slot.words)
        if not found:
            raise Refused(shown(slot.said), "a find that is there, or a bin", "weigh", hint=Hint("finds"))
        sort, _, name = self.one(slot, found, self._thing_name, "find or bin").partition(":")
        return sort, name

    def _thing_name(self, one: str) -> str:
        sort, _, name = one.partition(":")
        return f"the bin {self.names.called.bin(name)}" if sort == "bin" else self.names.called.find(name)

    def buyer(self, slot: SaidSlot) -> str:
        """A buyer."""
        found = self.names.buyers(slot.words)
        if not found:
            raise Refused(shown(slot.said), "a buyer that is known", "buyer", hint=Hint("new-buyer"))
        return self.one(slot, found, self.names.called.buyer, "buyer", remember=True)

    def grades(self, slot: SaidSlot) -> tuple[str, ...]:
        """All grades that a word names; those near are asked about."""
        found = self.names.grades(slot.words)
        if found:
            return found
        near = tuple((one, self.names.called.grade(one)) for one in self.names.near_grades(slot.words))
        return (self.one(slot, (), self.names.called.grade, "grade", near=near, remember=True),)

    def grade(self, slot: SaidSlot, buyer: str = "") -> str:
        """The one grade that is meant."""
        return self.one(slot, self.grades(slot), self.names.called.grade, "grade", buyer=buyer, remember=True)

    def money(self, slot: SaidSlot, most: Decimal | None = None) -> Decimal:
        """An amount; one that may be read in two ways is asked about, unless one of them is more than `most`."""
        code, said = reading.currency(self.book), self._amount(slot)
        found = [reading.money(self.book, Decimal(text), slot.name) for text in said.readings]
        left = [one for one in found if most is None or one <= most] or found
        if len(found) > 1 and len(left) == 1:
            self.doubts.append(f"“{slot.said}” is {left[0]} {code}")
        return Decimal(self._chosen(slot, [f"{one}" for one in left], code))

    def mass(self, slot: SaidSlot, option: str = "") -> int:
        """A mass in milligrams; a bare number is in the unit of the scale."""
        named = replace(slot, name=option or slot.name)
        text = self._chosen(named, self._amount(slot).readings)
        unit = settings(self.book).get("unit", "") if " " not in text else ""
        if " " not in text and not unit:
            return reading.mass_mg(self.book, text, slot.name)  # which refuses it
        return to_mg(f"{text} {unit}".strip(), slot.name)

    def minutes(self, slot: SaidSlot) -> int:
        """Whole minutes."""
        return int(self._chosen(slot, self._amount(slot).readings, "minutes"))

    def day(self, slot: SaidSlot) -> str:
        """A day or a moment of it, as actions read it; of several only those that have passed are asked about."""
        now, readings = self.context.clock(), self._amount(slot).readings
        plain = now.replace(tzinfo=None)
        passed = [one for one in readings if dt.datetime.fromisoformat(one) <= plain]
        return self.one(slot, passed or readings, self.moment_name, slot.name)

    def moment_name(self, one: str) -> str:
        """A day or a moment as people say it."""
        moment = dt.datetime.fromisoformat(one)
        return moment_text(moment.date(), moment.time() if " " in one else None, self.context.clock().date())

    def _chosen(self, slot: SaidSlot, readings: Sequence[str], unit: str = "") -> str:
        return self.one(slot, readings, lambda one: f"{one} {unit}".strip(), slot.name)

    def _amount(self, slot: SaidSlot) -> SaidAmount:
        said = slot.amount
        assert said is not None  # noqa: S101  the grammar reads it
        if said.fault:
            raise Refused(shown(slot.said), said.fault, slot.name)
        return said


def whole(slots: Iterable[SaidSlot | None], default: int) -> int:
    """The count that was said; `default` where none was."""
    slot = next((one for one in slots if one is not None), None)
    return default if slot is None or slot.amount is None else int(slot.amount.readings[0])
