"""What an address says of a piece: where it comes from, what was answered in which order, what it weighs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from partway.catalogue import shipped
from partway.errors import Refused
from partway.quantities import shown
from partway.web.forms import Typed

KEY = "/what/key"
UNSURE = "not-sure"


@dataclass(frozen=True, slots=True)
class PieceAsked:
    """A piece on the way through the test key; all of it stands in the address of its page."""

    context: str
    answers: tuple[tuple[str, str], ...] = ()
    mass: str = ""

    @classmethod
    def of(cls, typed: Typed) -> PieceAsked:
        """From an address or a form. Raises Refused for an answer without its test, and for two to one test."""
        found: dict[str, str] = {}
        for text in typed.getlist("answer"):
            test, equals, answer = text.partition("=")
            if not equals or not answer.strip() or test in found:
                raise Refused(shown(text), "one answer for each test, such as magnet=none", "answer")
            found[test] = answer.strip()
        return cls(typed.get("context", ""), tuple(found.items()), typed.get("mass", "").strip())

    @property
    def given(self) -> Mapping[str, str]:
        """Answers by test."""
        return dict(self.answers)

    @property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """All of it as fields of a form."""
        mass = (("mass", self.mass),) if self.mass else ()
        return (("context", self.context), *(("answer", f"{t}={a}") for t, a in self.answers), *mass)

    def address(self, more: Iterable[tuple[str, str]] = ()) -> str:
        """The address of its page."""
        return f"{KEY}?{urlencode([*self.fields, *more])}"

    def answered(self, test: str, answer: str) -> PieceAsked:
        """With one answer more."""
        return replace(self, answers=(*self.answers, (test, answer)))

    def without(self, test: str) -> PieceAsked:
        """Without one answer, and without those that say nothing any more once it is gone."""
        left = {name: answer for name, answer in self.answers if name != test}
        tests = shipped().key.tests
        while lost := [
            name for name in left if name in tests and any(left.get(n) != a for n, a in tests[name].needs.items())
        ]:
            left = {name: answer for name, answer in left.items() if name not in lost}
        return replace(self, answers=tuple(left.items()))

    def back(self) -> PieceAsked | None:
        """Without the last answer; None where there is none."""
        return self.without(self.answers[-1][0]) if self.answers else None
