"""What rides on one trip, stop by stop as it is handed over: a sheet to print and take along."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.errors import Refused
from partway.formulas.ticket_fees import fee_of
from partway.ledger.events.kinds import Traded
from partway.ledger.fold.standing import BinNow
from partway.quantities import MG_PER_KG
from partway.reports.geo import geo_uri
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import SaleLine, TripLine, WholeLine
from partway.things.buyers import buyer_name
from partway.things.material import Grade
from partway.things.scenario import Buyer, Scenario
from partway.valuing.trips.loads import ROUNDED_MG

PAPERS = "Papers this place asks for: check your place card."


@dataclass(frozen=True, slots=True)
class HandOver:
    """One lot, line `line` of the plan. `bins` hold it now; none where it is still to be opened or comes down from a
    higher grade. `whole` are the things in it that are loaded in one piece. `note` is what decides about the grade,
    where something spoils it and a second look before the window pays. `pieces` and `each` as in `SaleLine`.
    `on_board_kg` is what the vehicle carries with it, loaded in the order of the sheet: the last stop first. `ends` are
    lowest and highest price per kg where the buyer said a range.
    """

    line: int
    grade: str
    name: str
    bins: tuple[str, ...]
    mass_kg: float
    litres: float
    price_per_kg: float
    amount: float
    hazards: tuple[str, ...]
    whole: tuple[WholeLine, ...] = ()
    note: str = ""
    pieces: float | None = None
    each: float | None = None
    on_board_kg: float = 0.0
    ends: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class SheetStop:
    """One stop: hazards first in its lots, what it should pay with its `fee` off, and what to bring. `geo` as in
    `StopNow`.
    """

    turn: int
    buyer: str
    name: str
    kind: str
    minutes: float
    lots: tuple[HandOver, ...]
    mass_kg: float
    litres: float
    low: float
    expected: float
    high: float
    bring: tuple[str, ...]
    geo: str = ""
    fee: float = 0.0


@dataclass(frozen=True, slots=True)
class LoadSheet:
    """One trip. `load_order` are the stops' names as they are loaded: what comes off last goes in first.

    `volume_l` is None where the vehicle's is not known. `driven` are all names in driving order, each with whether
    one stops there; () where no place is driven past and the trip ends at home, else at what `ends_at` names.
    """

    name: str
    on: str
    trip: int
    trips: int
    cautions: tuple[CautionCard, ...]
    stops: tuple[SheetStop, ...]
    load_order: tuple[str, ...]
    km: float
    hours: float
    mass_kg: float
    payload_kg: float
    litres: float
    volume_l: float | None
    driven: tuple[tuple[str, bool], ...] = ()
    ends_at: str | None = None

    @property
    def expected(self) -> float:
        """What all stops together should pay."""
        return sum(stop.expected for stop in self.stops)

    @property
    def bins(self) -> tuple[str, ...]:
        """The bins that all lots come out of, each once."""
        return tuple(dict.fromkeys(name for stop in self.stops for lot in stop.lots for name in lot.bins))


def load_sheet(
    scenario: Scenario,
    plan: Plan,
    trip: int,
    bins: Mapping[str, BinNow] | None = None,
    cards: Mapping[str, Traded] | None = None,
) -> LoadSheet:
    """The sheet of a plan's trip, which counts from 1; `bins` and buyers' `cards` from the ledger, where there is one.

    Raises Refused for a trip that the plan does not make.
    """
    line = next((t for t in plan.trips if t.trip == trip), None)
    if line is None or scenario.vehicle is None:
        expected = f"a trip from 1 to {len(plan.trips)}" if plan.trips else "a plan that drives somewhere"
        raise Refused(f"trip {trip}", expected, "trip")
    lots = [sale for sale in plan.sales if sale.trip == trip]
    writer = _Writer(scenario, plan, line, bins or {}, cards or {})
    stops = _loaded([writer.stop(turn, buyer) for turn, buyer in enumerate(line.stops, start=1)])
    riding = [(sale.grade, scenario.grades[sale.grade].hazards) for sale in lots]
    return LoadSheet(
        name=plan.name,
        on=plan.on,
        trip=trip,
        trips=len(plan.trips),
        cautions=cards_by_hazard(scenario.cautions, riding),
        stops=stops,
        load_order=tuple(stop.name for stop in reversed(stops) if stop.lots),
        km=line.km,
        hours=line.hours,
        mass_kg=line.load_kg,
        payload_kg=scenario.vehicle.payload_kg,
        litres=line.load_litres,
        volume_l=scenario.vehicle.volume_l,
        driven=tuple((writer.name(b), stop) for b, stop in line.driven) if line.past or line.ends_at else (),
        ends_at=line.ends_at,
    )


def _loaded(stops: Sequence[SheetStop]) -> tuple[SheetStop, ...]:
    """The stops in driving order, each lot with what is on board once it is loaded."""
    on_board, found = 0.0, []
    for stop in reversed(stops):
        lots = []
        for lot in stop.lots:
            on_board += lot.mass_kg
            lots.append(replace(lot, on_board_kg=on_board))
        found.append(replace(stop, lots=tuple(lots)))
    return tuple(reversed(found))


def to_come(plan: Plan, trip: int, bins: Mapping[str, BinNow]) -> dict[str, float]:
    """Kilograms by grade that a trip counts on and that are in no bin yet: they come out of finds still to be opened,
    or are finds still to be put into a bin as they are.
    """
    there: Counter[str] = Counter()
    for now in bins.values():
        there[now.grade] += now.mg
    filled = {line.grade: line.mass_kg for line in plan.bins}
    loaded: dict[str, float] = {}
    for sale in plan.sales:
        if sale.trip == trip:
            loaded[sale.grade] = loaded.get(sale.grade, 0.0) + sale.mass_kg
    missing = {
        grade: min(kg - there[grade] / MG_PER_KG, filled.get(grade, 0.0)) for grade, kg in sorted(loaded.items())
    }
    return {grade: kg for grade, kg in missing.items() if kg > ROUNDED_MG / MG_PER_KG}


@dataclass(frozen=True)
class _Writer:
    scenario: Scenario
    plan: Plan
    trip: TripLine
    bins: Mapping[str, BinNow]
    cards: Mapping[str, Traded]

    def buyer(self, buyer: str) -> Buyer:
        """The buyer of this id."""
        return next(b for b in self.scenario.buyers if b.id == buyer)

    def name(self, buyer: str) -> str:
        """What it is called on the sheet."""
        of = self.buyer(buyer)
        return buyer_name(of.id, of.name)

    def stop(self, turn: int, buyer: str) -> SheetStop:
        """One stop; lots with a hazard before the others, then the dearest first."""
        of = self.buyer(buyer)
        sales = [s for s in self.plan.sales if s.trip == self.trip.trip and s.buyer == buyer]
        lots = sorted(map(self._lot, sales), key=lambda lot: (not lot.hazards, -lot.amount))
        low, expected, high, fee = self._pays(of, sales)
        known = self.cards.get(buyer)
        note = known.note if known else ""
        return SheetStop(
            turn=turn,
            buyer=buyer,
            name=self.name(buyer),
            kind=of.kind,
            minutes=of.minutes,
            lots=tuple(lots),
            mass_kg=sum(lot.mass_kg for lot in lots),
            litres=sum(lot.litres for lot in lots),
            low=low,
            expected=expected,
            high=high,
            bring=tuple(text for text in (note, PAPERS) if text),
            geo=geo_uri(known.at if known else of.at),
            fee=fee,
        )

    def _pays(self, of: Buyer, sales: Sequence[SaleLine]) -> tuple[float, float, float, float]:
        for stop in self.plan.stops:
            if (stop.trip, stop.buyer) == (self.trip.trip, of.id):
                return stop.low, stop.expected, stop.high, stop.fee
        fee = fee_of((sale.amount for sale in sales), of.ticket_fee, of.ticket_share)
        amount = sum(sale.amount for sale in sales) - fee
        return amount, amount, amount, fee

    def _lot(self, sale: SaleLine) -> HandOver:
        grade = self.scenario.grades[sale.grade]
        return HandOver(
            line=sale.line,
            grade=sale.grade,
            name=grade.name,
            bins=tuple(b.name or b.id for b in self.bins.values() if b.grade == sale.grade and b.mg > 0),
            mass_kg=sale.mass_kg,
            litres=sale.mass_kg / grade.density.mean,
            price_per_kg=sale.price_per_kg,
            amount=sale.amount,
            hazards=self._hazards(grade),
            whole=sale.whole,
            note=grade.note if grade.spoilers else "",
            pieces=sale.pieces,
            each=sale.each,
            ends=sale.ends,
        )

    def _hazards(self, grade: Grade) -> tuple[str, ...]:
        known = self.scenario.cautions
        return tuple(known[h].name if h in known else h for h in grade.hazards)
