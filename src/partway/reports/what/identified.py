"""From a case and its answers to the report of what it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.identify import ASIDE, NOT_SURE, Answer, Answers, Case, Measured, Proposal, Rates
from partway.identify.evidence import barred_by, needs_met
from partway.identify.spoken import answer_text
from partway.reports.what.identify import (
    AnswerLine,
    AskLine,
    IdentifiedBin,
    Identify,
    LeadLine,
    MaterialLine,
    NeverLine,
    NotNowLine,
)
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade
from partway.things.testkey import KeyTest, Material, Never

LIKELY = 0.01  # a material below this chance is not worth a line, and brings up no caution
BINS_SHOWN = 6
LEADS_SHOWN = 12
NO_BIN = "set it aside"
STOPS = {
    "": "",
    "no-test-changes-it": "no test that is left, nor two of them in a row, can change the bin",
    "costs-more": "what is left to test costs more in damage and danger than it would bring",
    "below-wage": "what is left to test brings less than your hour is worth",
}


@dataclass(frozen=True)
class Known:
    """All that a report is made from."""

    case: Case
    answers: Answers
    grades: Mapping[str, Grade]
    cautions: Mapping[str, Caution]
    rates: Rates
    mass_kg: float
    confirmed: int
    on: str | None
    notes: tuple[str, ...]


def report_identify(known: Known) -> Identify:
    """The report: nothing is decided here that the case has not decided."""
    case, answers = known.case, known.answers
    chances, money = case.posterior(answers), case.expected(answers)
    chosen = case.bin(answers)
    proposals, stop = case.proposals(answers), case.stop(answers)
    asked = [case.tests[proposal.test] for proposal in proposals]
    return Identify(
        context=case.context.id,
        context_name=case.context.name,
        currency=known.rates.currency,
        on=known.on,
        mass_kg=known.mass_kg,
        wage=case.wage,
        cautions=_cautions(known, chances, asked, chosen),
        never=never_lines(case.key.never),
        answers=tuple(_answer(case.key.tests[name], answer) for name, answer in answers.items()),
        bin=_grade(chosen),
        bin_name=_named(chosen, known.grades),
        expected=money[chosen],
        perfect=max(0.0, case.perfect(answers)),
        materials=tuple(_material(known, name, chance) for name, chance in _ranked(chances)),
        bins=tuple(_bin(known, chances, name) for name in _bins_shown(known, chances, chosen)),
        tests=tuple(_ask(known, proposal) for proposal in proposals),
        not_now=tuple(_not_now(known, {proposal.test for proposal in proposals})),
        stop=stop,
        stop_why=STOPS[stop],
        confirmed=known.confirmed,
        notes=(*known.notes, *_nobody_takes(known, chances)),
    )


def never_lines(never: Iterable[Never]) -> tuple[NeverLine, ...]:
    """What is never done."""
    return tuple(NeverLine(each.what, each.why) for each in never)


def _ranked(numbers: Mapping[str, float]) -> list[tuple[str, float]]:
    return sorted(numbers.items(), key=lambda item: -item[1])


def _grade(name: str) -> str | None:
    return None if name == ASIDE else name


def _named(name: str, grades: Mapping[str, Grade]) -> str:
    return NO_BIN if name == ASIDE else grades[name].name


def likely(case: Case, chances: Mapping[str, float]) -> list[Material]:
    """What it may be, the likeliest first."""
    return [case.key.materials[name] for name, chance in _ranked(chances) if chance >= LIKELY]


def _cautions(
    known: Known, chances: Mapping[str, float], asked: Iterable[KeyTest], chosen: str
) -> tuple[CautionCard, ...]:
    """Of what it may be, of the tests that are proposed, of the bin it goes to."""
    bins = [known.grades[chosen]] if chosen != ASIDE else []
    named = [
        *((one.name, one.cautions) for one in likely(known.case, chances)),
        *((test.name, test.cautions) for test in asked),
    ]
    return cards_by_hazard(known.cautions, [*named, *((one.name, one.hazards) for one in bins)])


def _answer(test: KeyTest, answer: Answer) -> AnswerLine:
    said = answer_text(answer)
    says = dict(test.answers).get(said, f"{said} g/cm3" if isinstance(answer, Measured) else said)
    return AnswerLine(test.id, test.name, said, says)


def _material(known: Known, name: str, chance: float) -> MaterialLine:
    material = known.case.key.materials[name]
    best = known.case.bins.best[known.case.bins.materials.index(name)]
    return MaterialLine(
        name, material.name, chance, _grade(best), _named(best, known.grades), material.aside, material.source
    )


def _bins_shown(known: Known, chances: Mapping[str, float], chosen: str) -> list[str]:
    """The bin it goes to, and those that what it may be belongs in, the likeliest first."""
    best = dict(zip(known.case.bins.materials, known.case.bins.best, strict=True))
    return list(dict.fromkeys([chosen, *(best[one.id] for one in likely(known.case, chances))]))[:BINS_SHOWN]


def _bin(known: Known, chances: Mapping[str, float], name: str) -> IdentifiedBin:
    """What a wrong bin costs: against the bin each material belongs in, over those for which this one is wrong."""
    bins = known.case.bins
    money = bins.money[:, bins.grades.index(name)]
    lost = bins.perfect - money
    wrong = lost > 1e-9 * float(np.abs(bins.money).max())
    weights = np.array([chances[m] for m in bins.materials])
    share = float(weights[wrong].sum())
    worst = int(np.argmax(weights * lost))
    price = Estimate.exact(0.0) if name == ASIDE else known.rates.by_grade[name].price
    return IdentifiedBin(
        grade=_grade(name),
        name=_named(name, known.grades),
        expected=float(weights @ money),
        right=max(0.0, 1.0 - share),
        loses=float((weights * lost)[wrong].sum()) / share if share > 0.0 else 0.0,
        worst=bins.materials[worst] if wrong[worst] else "",
        worst_loss=float(lost[worst]) if wrong[worst] else 0.0,
        price_low=price.low,
        price=price.mean,
        price_high=price.high,
        how="" if name == ASIDE else known.rates.by_grade[name].how,
    )


def _ask(known: Known, proposal: Proposal) -> AskLine:
    case, test = known.case, known.case.tests[proposal.test]
    names = dict(test.answers)
    leads = [lead for lead in proposal.leads if not test.measures or lead[1] >= LIKELY][:LEADS_SHOWN]
    return AskLine(
        test=test.id,
        name=test.name,
        ask=test.ask,
        answers=test.answers,
        gain=proposal.gain,
        with_next=proposal.with_next,
        cost=proposal.cost,
        minutes=proposal.minutes,
        per_minute=proposal.per_minute,
        worth_it=proposal.per_minute > 0.0 and proposal.per_minute * 60.0 >= case.wage,
        leads=tuple(
            LeadLine(
                answer,
                names.get(answer, f"{answer} g/cm3"),
                chance,
                _grade(grade),
                _named(grade, known.grades),
                proposal.then.get(answer, ""),
            )
            for answer, chance, grade in leads
        ),
        cautions=test.cautions,
        why=_why(known, proposal),
    )


def _why(known: Known, proposal: Proposal) -> str:
    """What the test could change, in words."""
    now = known.case.bin(known.answers)
    moves = [lead for lead in proposal.leads if lead[2] != now and lead[1] >= LIKELY]
    if moves:
        ways = dict.fromkeys(_named(grade, known.grades) for _, _, grade in sorted(moves, key=lambda lead: -lead[1]))
        chance = sum(lead[1] for lead in moves)
        return f"{chance:.0%} that it leads to another bin: {', '.join(list(ways)[:3])}"
    then = dict.fromkeys(known.case.tests[name].name for name in proposal.then.values())
    if then:
        return f"opens the way to {', '.join(list(then)[:3])}"
    return "small chance that it leads to another bin"


def _not_now(known: Known, proposed: set[str]) -> Iterable[NotNowLine]:
    case, answers = known.case, known.answers
    for name, test in case.tests.items():
        if name in proposed:
            continue
        if name in answers:
            why = "asked; not sure" if answers[name] == NOT_SURE else "answered"
        elif barred := barred_by(test, case.key, answers):
            names = " or ".join(case.key.materials[m].name.lower() for m in barred)
            why = f"it may still be {names}, which must be spared it"
        elif not needs_met(test, answers):
            needed = [f"{case.key.tests[n].name} = {dict(case.key.tests[n].answers)[a]}" for n, a in test.needs.items()]
            why = f"only after {', '.join(needed)}"
        else:
            why = "cannot change the bin"
        yield NotNowLine(name, test.name, why)


def _nobody_takes(known: Known, chances: Mapping[str, float]) -> Iterable[str]:
    for name, chance in chances.items():
        material = known.case.key.materials[name]
        if material.aside and chance >= LIKELY:
            yield f"{material.name}: {material.aside}."
