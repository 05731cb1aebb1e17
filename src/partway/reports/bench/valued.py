"""What a holding is worth, with its ways in words."""

from __future__ import annotations

from dataclasses import dataclass

from partway.reports.bench.words import in_words, spoken
from partway.things.scenario import Scenario
from partway.valuing.finds.hands import Valued, WorthTesting


@dataclass(frozen=True, slots=True)
class TestLine:
    """Finding out first if it works: minutes, the chance that it does, and what knowing gains on average."""

    minutes: float
    chance: float
    gain: float
    if_works: str
    if_not: str

    @classmethod
    def of(cls, test: WorthTesting, scenario: Scenario) -> TestLine:
        """With what is done after it in words."""
        ways = (in_words(use, scenario) for use in (test.if_works, test.if_not))
        return cls(test.first.minutes, test.first.chance_works, test.first.gain, *ways)


@dataclass(frozen=True, slots=True)
class ValueLine:
    """One holding. `way`: open, part, grade, keep or stop; `how` says it in words.

    `brings` is money before hours, `shut` the same without opening anything, `shut_how` in words; a test that is worth
    it is counted in. `unquoted` are grades that nobody here prices, so that their pieces count as nothing. `note` is
    what the catalogue says about the first operation.
    """

    way: str
    how: str
    brings: float
    shut: float
    shut_how: str
    minutes: float
    per_hour: float | None
    test: TestLine | None
    cautions: tuple[str, ...]
    unquoted: tuple[str, ...]
    note: str = ""

    @classmethod
    def of(cls, value: Valued, scenario: Scenario) -> ValueLine:
        """In the words of a scenario."""
        return cls(
            way=value.way,
            how=in_words(value.use, scenario),
            brings=value.brings,
            shut=value.shut,
            shut_how=in_words(value.shut_use, scenario),
            minutes=value.minutes,
            per_hour=value.per_hour,
            test=TestLine.of(value.test, scenario) if value.test else None,
            cautions=value.cautions,
            unquoted=tuple(dict.fromkeys(spoken(scenario, grade) for grade in value.unquoted)),
            note=value.use.note,
        )
