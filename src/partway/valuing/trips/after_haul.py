"""A haul that is over: what was planned against what the tickets and the clock say, per stop and per hour."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from partway.formulas.ticket_fees import fee_of
from partway.ledger.events.kinds import Traded
from partway.quantities import MG_PER_KG, kg_per
from partway.valuing.planned_lots import Drive, PlannedLot, lots_for
from partway.valuing.trips.ticket_seen import TicketSeen

What = Literal["mass", "price", "not-handed-over", "not-planned", "deductions", "arithmetic", "minutes", "km"]
MINUTES_PER_HOUR = Decimal(60)
CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Difference:
    """One reason why it came out otherwise: `money` more (below 0: less) than planned.

    `planned` and `got` are kilograms, prices per kg, minutes or km, as `what` says; None where there is no such figure.
    """

    what: What
    buyer: str
    grade: str
    name: str
    planned: float | None
    got: float | None
    money: Decimal


@dataclass(frozen=True, slots=True)
class AfterStop:
    """One stop: kilograms and money, planned and on its tickets; `differences` add up to the money apart."""

    buyer: str
    name: str
    planned_kg: float
    got_kg: float
    planned: Decimal
    got: Decimal
    differences: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class AfterHaul:
    """The whole haul. `per_hour` is money on tickets less driving, by the hour home to home; None where no time was
    said. `largest` is the difference that most money hangs on, driving and time at one's wage among them.
    """

    stops: tuple[AfterStop, ...]
    planned: Decimal
    got: Decimal
    planned_km: Decimal | None
    km: Decimal | None
    planned_minutes: int | None
    minutes: int | None
    planned_per_hour: float | None
    per_hour: float | None
    largest: Difference | None


@dataclass(frozen=True, slots=True)
class Costs:
    """What a kilometre and an hour cost, and the smallest coin."""

    km: Decimal
    hour: Decimal
    coin: Decimal = CENT


def after_haul(
    lots: Sequence[PlannedLot],
    stops: Iterable[tuple[str, str, Sequence[TicketSeen]]],
    planned: Drive | None,
    driven: Drive,
    costs: Costs,
    terms: Mapping[str, Traded] | None = None,
) -> AfterHaul | None:
    """The haul held against its plan; None where it set out with none. `stops` are ids, names and tickets, `terms`
    those of the buyers when it set out: a plan counts with their fees.
    """
    if not lots:
        return None
    known = terms or {}
    after = tuple(
        _stop(buyer, name, lots_for(lots, buyer), tickets, costs, known.get(buyer)) for buyer, name, tickets in stops
    )
    wanted, got = sum((s.planned for s in after), Decimal(0)), sum((s.got for s in after), Decimal(0))
    found = [*(d for stop in after for d in stop.differences), *_of_the_road(planned, driven, costs)]
    return AfterHaul(
        stops=after,
        planned=wanted,
        got=got,
        planned_km=planned.km if planned else None,
        km=driven.km,
        planned_minutes=planned.minutes if planned else None,
        minutes=driven.minutes,
        planned_per_hour=_per_hour(wanted, planned, costs) if planned else None,
        per_hour=_per_hour(got, driven, costs),
        largest=max((d for d in found if abs(d.money) >= costs.coin), key=lambda d: abs(d.money), default=None),
    )


def _per_hour(money: Decimal, drive: Drive, costs: Costs) -> float | None:
    """Money less driving, by the hour; None where the time is not known."""
    if not drive.minutes:
        return None
    return float((money - costs.km * (drive.km or 0)) / (drive.minutes / MINUTES_PER_HOUR))


def _of_the_road(planned: Drive | None, driven: Drive, costs: Costs) -> Iterable[Difference]:
    if planned is None:
        return
    if planned.minutes is not None and driven.minutes is not None:
        money = costs.hour * (planned.minutes - driven.minutes) / MINUTES_PER_HOUR
        yield Difference("minutes", "", "", "", planned.minutes, driven.minutes, round(money, 2))
    if planned.km is not None and driven.km is not None:
        money = costs.km * (planned.km - driven.km)
        yield Difference("km", "", "", "", float(planned.km), float(driven.km), round(money, 2))


def _stop(
    buyer: str,
    name: str,
    lots: Sequence[PlannedLot],
    tickets: Sequence[TicketSeen],
    costs: Costs,
    terms: Traded | None,
) -> AfterStop:
    fee = fee_of(map(_amount, lots), terms.ticket_fee, terms.ticket_share) if terms else Decimal(0)
    planned = sum((_amount(lot) for lot in lots), Decimal(0)) - fee
    got = sum((ticket.total for ticket in tickets), Decimal(0))
    return AfterStop(
        buyer=buyer,
        name=name,
        planned_kg=sum(lot.mass_mg for lot in lots) / MG_PER_KG,
        got_kg=sum(line.mass_mg for ticket in tickets for line in ticket.lines) / MG_PER_KG,
        planned=round(planned, 2),
        got=got,
        differences=tuple(d for d in _differences(buyer, lots, tickets, fee) if abs(d.money) >= costs.coin),
    )


def _differences(
    buyer: str, lots: Sequence[PlannedLot], tickets: Sequence[TicketSeen], fee: Decimal
) -> Iterable[Difference]:
    """By grade: the mass apart at the planned price and the price apart on the mass there was; they add up to all, with
    what was taken off beyond the planned fee.
    """
    lines = [line for ticket in tickets for line in ticket.lines]
    for grade in dict.fromkeys([*(lot.grade for lot in lots), *(line.grade for line in lines)]):
        wanted = [lot for lot in lots if lot.grade == grade]
        had = [line for line in lines if line.grade == grade]
        name = had[0].name if had else grade
        planned_kg, got_kg = _kg(lot.mass_mg for lot in wanted), _kg(line.mass_mg for line in had)
        planned, got = sum(map(_amount, wanted), Decimal(0)), sum((line.amount for line in had), Decimal(0))
        if not wanted or not had:
            what: What = "not-planned" if had else "not-handed-over"
            yield Difference(what, buyer, grade, name, float(planned_kg), float(got_kg), round(got - planned, 2))
            continue
        price = planned / planned_kg if planned_kg else Decimal(0)
        mass = round((got_kg - planned_kg) * price, 2)
        yield Difference("mass", buyer, grade, name, float(planned_kg), float(got_kg), mass)
        at = got / got_kg if got_kg else Decimal(0)
        yield Difference("price", buyer, grade, name, float(price), float(at), round(got - planned, 2) - mass)
    taken = sum((amount for ticket in tickets for _, amount in ticket.deductions), Decimal(0))
    yield Difference("deductions", buyer, "", "", None, None, round(fee - taken, 2))
    yield Difference("arithmetic", buyer, "", "", None, None, sum((ticket.gap for ticket in tickets), Decimal(0)))


def _kg(masses: Iterable[int]) -> Decimal:
    return Decimal(sum(masses)) / MG_PER_KG


def _amount(lot: PlannedLot) -> Decimal:
    """What a lot would have come to; from its price per unit, exactly."""
    return Decimal(lot.mass_mg) / MG_PER_KG / kg_per(lot.unit) * lot.price
