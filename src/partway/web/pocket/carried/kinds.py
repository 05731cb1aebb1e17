"""The verdict on every kind, and on things that no kind is, as `/curb` gives it."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from partway.actions.curb.curb import conditions, kinds
from partway.quantities import kg_per
from partway.reports.calculators.answer import figure
from partway.reports.curb.curb import Curb
from partway.reports.curb.names import KindNames, named, words
from partway.reports.curb.verdict_words import CONDITIONS, VERDICTS
from partway.reports.pocket.shape import PocketGuess, PocketGuesses, PocketKind, PocketVerdict
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario, Works
from partway.things.traits import SIZE_NAMES, Traits
from partway.valuing.finds.curb import World
from partway.valuing.learned.odds import AtCurb, Odds
from partway.web.show import Show

SIZES = SIZE_NAMES[1:7]  # what a hand finds at the curb: 0.1 to 100 kg
THING = "thing"  # what it is called where nobody says: no word of danger, which names alone tell of
GUESSED = "A guess: nobody has opened one. A cord, a motor or a battery in it would change it."

Odd = Callable[[str], AtCurb]


def pocket_kinds(scenario: Scenario, odds: Odds, show: Show) -> tuple[PocketKind, ...]:
    """Every kind, by name."""
    known = kinds(scenario)
    names = sorted(named(known.values()), key=lambda one: (one.names[0].casefold(), one.kind))
    return tuple(_kind(scenario, known[one.kind], one, odds.at_curb(known[one.kind], ""), show) for one in names)


def pocket_guesses(scenario: Scenario, mostly: dict[str, str], show: Show) -> PocketGuesses:
    """Things that no kind is: mostly so, and of such a mass."""
    rows = [_guess(scenario, row, name, show) for row, name in mostly.items()]
    return PocketGuesses(GUESSED, tuple(size_words(size, show.say.unit) for size in SIZES), tuple(rows))


def size_words(size: str, unit: str) -> str:
    """A size in the unit of the workspace: "0.1 to 0.3 kg", "0.22 to 0.66 lb"."""
    ends = (float(end) / float(kg_per(unit)) for end in size.removesuffix("kg").split("-"))
    return f"{' to '.join(figure(end, 2) for end in ends)} {unit}"


def folded(names: Iterable[str]) -> tuple[str, ...]:
    """Names as they are looked for, each once."""
    return tuple(dict.fromkeys(" ".join(words(name)) for name in names))


def _kind(scenario: Scenario, anatomy: Anatomy, of: KindNames, known: AtCurb, show: Show) -> PocketKind:
    found = conditions(scenario, of.kind, known)
    others = [*of.names[2:], *of.offered]
    return PocketKind(
        id=of.kind,
        name=of.names[0],
        names=tuple(others),
        folded=folded([*of.names, *of.offered]),
        hazards=tuple(card.id for card in found["unknown"].cautions),
        conditions=tuple(verdict_in_words(it, works, show) for works, it in found.items()),
        note=show.sentence(anatomy.note) if anatomy.note else "",
    )


def _guess(scenario: Scenario, mostly: str, name: str, show: Show) -> PocketGuess:
    found = [conditions(scenario, Traits(mostly, size=size).kind(THING), wanted=("unknown",)) for size in SIZES]
    hazards = dict.fromkeys(card.id for one in found for card in one["unknown"].cautions)
    cells = tuple(verdict_in_words(one["unknown"], "unknown", show) for one in found)
    return PocketGuess(mostly, show.capital(name), tuple(hazards), cells)


def verdict_in_words(it: Curb, works: Works, show: Show) -> PocketVerdict:
    """One verdict with its figures, as the page shows them."""
    shown = it.shown
    paid = shown is not None and not shown.money.nothing
    return PocketVerdict(
        condition=works,
        words=CONDITIONS[works],
        verdict=it.verdict,
        says=VERDICTS[it.verdict],
        brings=_brings(shown, works, show) if shown else "",
        range=_range(shown, show) if shown and paid else "",
        hour=f"{show.about(shown.per_hour)} an hour" if shown and paid else "",
        minutes=show.minutes(shown.minutes) if shown else "",
        mass=show.kg(it.size.kg),
        litres=f"≈ {show.litres(it.size.litres)}" if it.size.litres else "",
        notes=tuple(_notes(it, show)),
    )


def _brings(shown: World, works: Works, show: Show) -> str:
    if shown.money.nothing:
        return "Nobody here pays for it"
    if shown.works == "tested":
        return f"{show.about(shown.money.expected)} on average, tested first"
    only = ", if it works" if shown.works == "yes" and works == "unknown" else ""
    return f"{show.about(shown.money.expected)} on average{only}"


def _range(shown: World, show: Show) -> str:
    money = shown.money
    return f"mostly {show.about(money.low)} to {show.about(money.high)}" if money.varies else ""


def _notes(it: Curb, show: Show) -> Iterable[str]:
    """What the verdict cannot do without."""
    if it.shut:
        yield f"It stays shut. {_taken_by(it)}"
    if it.look is not None:
        yield it.look.ask
    if it.estimated:
        yield f"Estimated from the price of No. 2 copper: {', '.join(it.estimated)}."
    if it.shown is None and it.unquoted:
        yield f"Nobody quotes {', '.join(it.unquoted)}."
    if it.hours_free:
        yield "No wage is set: your hours count as free."


def _taken_by(it: Curb) -> str:
    return f"Taken whole by {it.place}." if it.place else "No buyer of yours is known to take it: ask the town."
