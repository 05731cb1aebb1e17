"""The desk's answers to what a phone handed back, in the words of the app; the command line says the same."""

from __future__ import annotations

from dataclasses import dataclass

from partway.actions.pocket.intents import HandedBack, Outcome
from partway.actions.recording.questions import Asked
from partway.reports.called import Called
from partway.web.wording import by_itself


@dataclass(frozen=True, slots=True)
class BackChoice:
    """One answer to a question, and what it means."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class BackRow:
    """What came of one entry. Done and already: it is in the ledger, and the phone may forget it. Refused and asked:
    nothing was recorded; put right, it may come again under the same id. `field` of its body is where. Failed: the
    same, by a fault of partway's own; those after it were taken.
    """

    id: str
    outcome: Outcome
    words: str
    more: tuple[str, ...] = ()
    name: str = ""
    undo: tuple[str, ...] = ()
    given: str = ""
    expected: str = ""
    field: str = ""
    choices: tuple[BackChoice, ...] = ()


@dataclass(frozen=True, slots=True)
class BackAnswer:
    """What came of all of it, in the order of the list; `state` changes with what a phone would load."""

    schema: int
    results: tuple[BackRow, ...]
    state: str


def row_of(answer: HandedBack, called: Called) -> BackRow:
    """One answer, in which things go by their names; what can hurt comes before the rest."""
    refused = answer.refused
    if refused is None:
        told = answer.told
        return BackRow(str(answer.id), answer.outcome, told.said, told.more, answer.name, tuple(map(str, answer.undo)))
    choices = (
        tuple(BackChoice(value, called.in_refusal(means)) for value, means in refused.choices)
        if isinstance(refused, Asked)
        else ()
    )
    field = refused.option or refused.field if isinstance(refused, Asked) else refused.field
    return BackRow(
        str(answer.id),
        answer.outcome,
        called.in_refusal(by_itself(refused)),
        given=refused.given,
        expected=refused.expected,
        field=field,
        choices=choices,
    )
