"""From the ledger to the scenario that a plan is computed from; every default that is used is named in its notes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from partway.actions.buyers.trade import Sellers
from partway.actions.haul.trip_end import one_trip, trip_end
from partway.actions.home.driving import speed_usual
from partway.actions.home.settings import NONE, ROOM
from partway.actions.recording import reading
from partway.catalogue import Catalogue, shipped
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.ledger.fold.driving import cost_per_km, distance_unit, kmh
from partway.ledger.fold.standing import FindNow
from partway.ledger.offers import on_offer_now
from partway.planning.instance.offers import offered_as
from partway.planning.instance.room import room_of
from partway.quantities import MG_PER_KG, parse_mass, parse_price, parse_volume
from partway.things import defaults
from partway.things.anatomy import Anatomy
from partway.things.limits.opening import clock, clock_text
from partway.things.scenario import Buyer, Find, Hours, InConflict, MassUnit, Point, Scenario, Vehicle
from partway.valuing.known import catalogue_of
from partway.valuing.learned.odds import Odds, chance_of_find, odds_of
from partway.valuing.learned.resale import resale_learned
from partway.valuing.left import Before, before, untouched
from partway.valuing.room.inflow import measured_inflow

# Taken where the workspace has no setting, as a setting is written; each is named in the notes.
DEFAULTS = {
    "bench": f"{defaults.BENCH_HOURS:g}",
    "away": f"{defaults.AWAY_HOURS:g}",
    "trips": f"{defaults.TRIPS}",
    "wage": f"{defaults.WAGE:g}",
    "payload": f"{defaults.PAYLOAD_KG:g} kg",
    "kmh": f"{defaults.KMH:g}",
    # named in the notes where it decides something (planning.instance.build)
    "whole_above": f"{defaults.WHOLE_ABOVE_KG:g} kg",
}


def usual(name: str, known: Mapping[str, str]) -> str:
    """What is taken where a setting is not made, as the workspace's people read it."""
    return speed_usual(DEFAULTS[name], known) if name == "kmh" else DEFAULTS[name]


@dataclass(frozen=True, slots=True)
class Overrides:
    """Hours, trips and vehicle of one plan, in place of the settings."""

    bench: float | None = None
    away: float | None = None
    wage: float | None = None
    trips: int | None = None
    payload_kg: float | None = None
    volume_l: float | None = None


@dataclass
class _Settings:
    """Settings with defaults, which are noted once each."""

    known: dict[str, str]
    notes: list[str] = field(default_factory=list)

    def text(self, name: str) -> str:
        if name not in self.known:
            free = ": your hours count as free" if name == "wage" else ""
            self.notes.append(f"{name} not set, taken as {usual(name, self.known)}{free}.")
        return self.known.get(name, DEFAULTS[name])

    def number(self, name: str, given: float | None = None) -> float:
        return float(self.text(name)) if given is None else given


def scenario_from_book(
    book: Book,
    on: dt.date,
    overrides: Overrides | None = None,
    *,
    counting: bool = True,
    waiting: Mapping[str, FindNow] | None = None,
) -> Scenario:
    """What can be planned on a day from what stands in the ledger now.

    Raises Refused where no currency is set, unless nothing will be counted in it (`counting` False): it is XXX then,
    the ISO 4217 code for no currency, and defaults that only a plan uses are not noted. `waiting` are the finds that
    are not closed, where they were read already.
    """
    currency = reading.currency(book, "plan") if counting else standing.settings(book).get("currency", "XXX")
    settings = _Settings(standing.settings(book))
    given = overrides or Overrides()
    hours = Hours(
        settings.number("bench", given.bench),
        settings.number("away", given.away),
        settings.number("wage", given.wage),
        int(settings.number("trips")) if given.trips is None else given.trips,
        float(settings.known["trip"]) if "trip" in settings.known else None,
        int(settings.known.get("helpers", "0")),
        clock(settings.known["leave"]) if "leave" in settings.known else None,
    )
    keep, known = settings.known.get("keep_factor", ROOM), catalogue_of(book)
    home = _home(settings.known.get("home"))
    sellers = Sellers(book, on, home)
    buyers = sellers.buyers()
    end = trip_end(settings.known, home, buyers, settings.notes)
    hours = one_trip(hours, end, settings.notes)
    if hours.leave is None and any(buyer.open for buyer in buyers):
        settings.notes.append(f"leave not set, taken as {clock_text(defaults.LEAVE)}.")
    finds, find_notes, doubtful = _finds(book, known, standing.finds(book) if waiting is None else waiting)
    anatomies = {**known.own, **{find.kind: known.anatomy(find.kind) for find in finds}}
    stock, stock_notes = _stock(book)
    vehicle = _vehicle(settings, buyers, home, given)
    storage, inflow = _storage(settings, vehicle), settings.known.get("inflow")
    return Scenario(
        name=settings.known.get("name") or f"the ledger on {on}",
        currency=currency,
        on=on,
        hours=hours,
        vehicle=vehicle,
        buyers=buyers,
        finds=finds,
        stock=stock,
        grades=shipped().grades,
        anatomies=anatomies,
        cautions=shipped().cautions,
        roads=sellers.roads(),
        home=home,
        end=end,
        keep_factor=None if keep == ROOM else float(keep),
        storage_l=storage,
        inflow_kg_week=None if inflow is None else float(parse_mass(inflow, "inflow")),
        inflow=measured_inflow(book, on) if counting else {},
        unit=_unit(settings.known, sellers),
        distance=distance_unit(settings.known),
        notes=(*(settings.notes if counting else ()), *sellers.notes(), *find_notes, *stock_notes),
        conflict=(*doubtful, *_bins_in_conflict(book)),
        known=known,
        listed=_listed(book, finds, anatomies),
        copper=_copper(settings.known, currency),
    )


def prices_from_book(book: Book, on: dt.date, waiting: Mapping[str, FindNow]) -> Scenario:
    """The same without the finds, for what asks for prices alone; how full the shed is still counts them."""
    found = scenario_from_book(book, on, counting=False, waiting={})
    if found.storage_l is None:
        return found
    return replace(found, room=room_of(scenario_from_book(book, on, counting=False, waiting=waiting)))


def _listed(book: Book, finds: tuple[Find, ...], anatomies: Mapping[str, Anatomy]) -> dict[tuple[str, str, str], int]:
    """How many of each part of the kinds here are on offer, besides finds that the scenario has: 0 where none is."""
    found = {
        (find.kind, piece.id, part.name): 0
        for find in finds
        for piece in anatomies[find.kind].pieces
        for part in piece.parts
    }
    if not found:
        return {}
    for key, record in resale_learned(book).records.items():
        if key in found:
            found[key] = record.on_offer
    for find in finds:  # those stand in the find itself
        part = offered_as(anatomies[find.kind], find.works)
        if find.listed and part is not None:
            key = find.kind, anatomies[find.kind].whole.id, part.name
            found[key] = max(0, found[key] - find.listed)
    return found


def _bins_in_conflict(book: Book) -> Iterator[InConflict]:
    """Bins whose mass is in doubt; the plan counts them as the ledger has them, unless it leaves them out (_stock)."""
    if not book.conflicts():
        return
    for now in standing.bins(book).values():
        if now.conflict and now.mg >= 0 and now.grade in shipped().grades:
            yield InConflict(f"bin:{now.id}", now.grade, now.conflict)


def _copper(known: Mapping[str, str], currency: str) -> float | None:
    """What was said to be paid per kg of No. 2 copper; None where nothing was, or it was taken back."""
    said = known.get("copper", NONE)
    return None if said == NONE else float(parse_price(said, currency, "copper"))


def _home(text: str | None) -> Point | None:
    if text is None:
        return None
    latitude, longitude = text.split(",")
    return float(latitude), float(longitude)


def _unit(known: dict[str, str], sellers: Sellers) -> MassUnit:
    """The workspace's, or what most quotes were said in."""
    said = known.get("unit") or sellers.spoken_unit()
    return "lb" if said in ("lb", "oz") else "kg"


def _vehicle(settings: _Settings, buyers: tuple[Buyer, ...], home: Point | None, given: Overrides) -> Vehicle | None:
    if not any(buyer.is_visited for buyer in buyers):
        return None
    known = settings.known
    payload = given.payload_kg or float(parse_mass(settings.text("payload"), "payload"))
    volume = given.volume_l or (float(parse_volume(known["volume"], "volume")) if "volume" in known else None)
    if volume is None:
        settings.notes.append("volume not set, loads are limited by payload alone.")
    if "cost_per_km" not in known:
        settings.notes.append("cost_per_km not set, driving counts as costing time only.")
    if "road_factor" not in known and home is not None:
        settings.notes.append(f"road_factor not set, taken as {defaults.ROAD_FACTOR:g} times the straight line.")
    return Vehicle(
        payload_kg=payload,
        volume_l=volume,
        cost_per_km=float(cost_per_km(known) or 0),
        kmh=float(kmh(settings.text("kmh"))),
        road_factor=float(known.get("road_factor", defaults.ROAD_FACTOR)),
        whole_above_kg=float(parse_mass(known.get("whole_above", DEFAULTS["whole_above"]), "whole_above")),
        lift_kg=float(parse_mass(known["lift"], "lift")) if "lift" in known else None,
    )


def _storage(settings: _Settings, vehicle: Vehicle | None) -> float | None:
    """Litres of the shed; where nobody said, that is noted as far as it decides anything."""
    if (said := settings.known.get("storage")) is not None:
        return float(parse_volume(said, "storage"))
    if vehicle is not None and settings.known.get("keep_factor", ROOM) == ROOM:
        settings.notes.append("storage not set, the shed is counted as less than half full.")
    return None


def _finds(
    book: Book, known: Catalogue, waiting: Mapping[str, FindNow]
) -> tuple[tuple[Find, ...], list[str], list[InConflict]]:
    """Finds that are whole still, alike ones together; the others are named. Last those whose mass is in doubt."""
    counts: dict[Find, int] = {}
    on_offer: dict[Find, int] = {}
    offers = on_offer_now(book)
    if not waiting:
        return (), [], []
    doubtful: list[InConflict] = []
    partly, unknown, voided, odds = [], [], book.voided(), odds_of(book)
    touched = book.subjects(("opened", "sold"), standing.OPEN)
    for now in waiting.values():
        if not known.knows(now.kind):
            unknown.append(now.id)
            continue
        past = before(book, now, voided) if f"find:{now.id}" in touched else untouched(now)
        find = _whole(now, past, odds)
        if find is None:
            partly.append(now.id)
            continue
        doubtful += [InConflict(f"find:{now.id}", now.kind, now.conflict)] if now.conflict else []
        one = replace(find, count=1)
        counts[one] = counts.get(one, 0) + find.count
        whole = known.anatomy(find.kind).whole.id
        listed = sum(o.left for o in offers if (o.find, o.what, o.bin) == (now.id, whole, None))
        on_offer[one] = on_offer.get(one, 0) + min(find.count, listed)
    notes = [f"Partly opened, left out of the plan: {', '.join(partly)}."] if partly else []
    if unknown:
        notes.append(f"Of a kind that is not in the catalogue, left out of the plan: {', '.join(unknown)}.")
    finds = tuple(replace(one, count=count, listed=on_offer[one]) for one, count in counts.items())
    return finds, notes, doubtful


def _whole(now: FindNow, past: Before, odds: Odds) -> Find | None:
    """What is whole of a find; None where nothing is, or nobody knows."""
    if not past.known or not past.whole:
        return None
    weighed = now.mg > 0 and not past.runs  # what is left of opened ones weighs in with the whole ones
    mass = float(Decimal(now.mg) / MG_PER_KG / past.whole) if weighed else None
    return Find(now.kind, past.whole, now.works, mass, chance_of_find(odds, now))


def _stock(book: Book) -> tuple[dict[str, float], list[str]]:
    sums: dict[str, int] = {}
    short = []
    for (place, grade), mg in sorted(book.balances("bin:").items()):
        if mg < 0 or grade not in shipped().grades:
            short.append(place[4:])
        else:
            sums[grade] = sums.get(grade, 0) + mg
    notes = [f"Less than nothing in the bin, or of no known grade, left out: {', '.join(short)}."] if short else []
    return {grade: float(Decimal(mg) / MG_PER_KG) for grade, mg in sums.items()}, notes
