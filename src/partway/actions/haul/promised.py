"""The same bin is promised once: what a haul under way has on board, no plan and no other haul counts on."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from partway.actions.haul.scenario import Overrides, scenario_from_book
from partway.actions.recording.words import mass
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.quantities import MG_PER_KG
from partway.things.buyers import buyer_name
from partway.things.scenario import Scenario
from partway.valuing.planned_lots import PlannedLot
from partway.valuing.trips.loads import ROUNDED_MG
from partway.valuing.trips.taken import FreeStock, free_stock


def scenario_to_plan(
    book: Book, on: dt.date, overrides: Overrides | None = None, zone: dt.tzinfo | None = None
) -> Scenario:
    """What can be planned on a day: the bins less what hauls under way took along, which its notes say.

    Raises Refused where no currency is set.
    """
    scenario = scenario_from_book(book, on, overrides)
    held = free_stock(book, shipped().grades, zone).held
    if not held:
        return scenario
    stock = {grade: kg - sum(mg for _, mg in held.get(grade, ())) / MG_PER_KG for grade, kg in scenario.stock.items()}
    left = {grade: kg for grade, kg in stock.items() if kg > ROUNDED_MG / MG_PER_KG}
    return replace(scenario, stock=left, notes=(*scenario.notes, *_notes(book, held)))


def with_bins_alone(scenario: Scenario) -> Scenario:
    """The same without its finds: what can be set out with now, nothing being opened before."""
    return replace(scenario, finds=(), hours=replace(scenario.hours, bench=0.0))


def check_free(
    book: Book, lots: Sequence[PlannedLot], zone: dt.tzinfo | None, coming_kg: Mapping[str, float] | None = None
) -> None:
    """Refuse lots that another haul under way has on board; `coming_kg` of a grade come out of finds, not out of bins.

    Raises Refused with the haul that has it.
    """
    free = free_stock(book, shipped().grades, zone)
    wanted: Counter[str] = Counter()
    for lot in lots:
        wanted[lot.grade] += lot.mass_mg
    for grade, mg in wanted.items():
        out_of_bins = mg - round((coming_kg or {}).get(grade, 0.0) * MG_PER_KG)
        if grade in free.held and out_of_bins > free.mg.get(grade, 0) + ROUNDED_MG:
            raise _promised_already(book, grade, mg, free)


def _promised_already(book: Book, grade: str, mg: int, free: FreeStock) -> Refused:
    known = shipped().grades
    name = known[grade].name if grade in known else grade
    has = ", ".join(f"{haul} has {mass(book, of)} along" for haul, of in free.held[grade])
    expected = f"at most the {mass(book, free.mg.get(grade, 0))} that no haul under way took along: {has}"
    return Refused(f"{mass(book, mg)} of {name}", expected, "haul")


def haul_names(book: Book) -> dict[str, str]:
    """The hauls under way by where they go: "harbour yard, ridge yard"."""
    known = trading.buyers(book)

    def name(buyer: str) -> str:
        return buyer_name(buyer, known[buyer].name if buyer in known else "")

    return {haul: ", ".join(map(name, now.stops)) for haul, now in trading.started(book).items()}


def _notes(book: Book, held: Mapping[str, Sequence[tuple[str, int]]]) -> Iterator[str]:
    """One for each haul: what it has is left out."""
    grades, names = shipped().grades, haul_names(book)
    for haul in dict.fromkeys(haul for hauls in held.values() for haul, _ in hauls):
        on_board = [(grade, mg) for grade, hauls in held.items() for of, mg in hauls if of == haul]
        said = ", ".join(f"{grades[g].name if g in grades else g} ({mass(book, mg)})" for g, mg in on_board)
        yield f"The haul to {names[haul]} is under way, and what it took along is left out of the plan: {said}."
