"""Writes a scenario as TOML text; reading it back gives the same numbers, to the last bit."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Context, Decimal
from pathlib import Path

from partway.catalogue import shipped
from partway.catalogue.writing import anatomy_text
from partway.errors import Refused
from partway.quantities import kg_per
from partway.storage.exchange.atomic_files import new_file
from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate
from partway.things.limits.opening import clock_text
from partway.things.scenario import Buyer, Find, Hours, Quote, Road, Scenario, Vehicle

DIGITS = 28  # of the division that reads a price


def scenario_text(scenario: Scenario) -> str:
    """The text of a scenario file, with anatomies that are not as they ship. Raises Refused for grades of its own."""
    _check_shipped(scenario)
    return "\n".join(_lines(scenario)) + "\n"


def save_scenario(text: str, file: Path) -> None:
    """Write a scenario to a new file, whole or not at all. Raises Refused."""
    with new_file(file) as part:
        part.write_text(text, encoding="utf-8")


def _check_shipped(scenario: Scenario) -> None:
    if scenario.grades != shipped().grades:
        raise Refused("grades of its own", "a scenario over the grades as they are shipped", "export-scenario")


def _same(kind: str, anatomy: object) -> bool:
    return shipped().knows(kind) and shipped().anatomy(kind) == anatomy


def _as_file(anatomy: Anatomy) -> Anatomy:
    """What one weighed oneself is not held against what others published of such things."""
    return replace(anatomy, published=()) if anatomy.learned else anatomy


def _lines(scenario: Scenario) -> Iterator[str]:
    for note in scenario.notes:
        yield f"# {note}"
    yield from ("", "[scenario]", f"name = {_text(scenario.name)}", f"currency = {_text(scenario.currency)}")
    yield f"on = {scenario.on}"
    yield from _keeping(scenario)
    yield from ("", "[hours]")
    yield from _hours(scenario.hours)
    if scenario.vehicle is not None:
        yield from _vehicle(scenario.vehicle, scenario.unit)
    yield from _home_and_end(scenario)
    for buyer in scenario.buyers:
        yield from _buyer(buyer, scenario.unit)
    for road in scenario.roads:
        yield from _road(road)
    yield from _by_grade("stock", scenario.stock, scenario.unit)
    if scenario.inflow:
        yield from _by_grade("inflow", scenario.inflow, scenario.unit)
    for find in scenario.finds:
        yield from _find(find, scenario.unit)
    yield from _listed(scenario)
    for kind, anatomy in scenario.anatomies.items():
        if not _same(kind, anatomy):
            yield from ("", anatomy_text(_as_file(anatomy)).rstrip())


def _keeping(scenario: Scenario) -> Iterator[str]:
    if scenario.keep_factor is not None:
        yield f"keep_factor = {scenario.keep_factor!r}"
    if scenario.storage_l is not None:
        yield f"storage = {_litres(scenario.storage_l)}"
    if scenario.inflow_kg_week is not None:
        yield f"inflow = {_mass(scenario.inflow_kg_week, scenario.unit)}"


def _by_grade(table: str, masses: Mapping[str, float], unit: str) -> Iterator[str]:
    yield from ("", f"[{table}]")
    for grade, kg in masses.items():
        yield f"{grade} = {_mass(kg, unit)}"


def _litres(litres: float) -> str:
    return f'"{Decimal(repr(litres)):f} L"'


def _hours(hours: Hours) -> Iterator[str]:
    yield f"bench = {hours.bench!r}"
    yield f"away = {hours.away!r}"
    yield f"wage = {hours.wage!r}"
    yield f"trips = {hours.trips}"
    if hours.trip is not None:
        yield f"trip = {hours.trip!r}"
    if hours.helpers:
        yield f"helpers = {hours.helpers}"
    if hours.leave is not None:
        yield f'leave = "{clock_text(hours.leave)}"'


def _vehicle(vehicle: Vehicle, unit: str) -> Iterator[str]:
    yield from ("", "[vehicle]", f"payload = {_mass(vehicle.payload_kg, unit)}")
    if vehicle.volume_l is not None:
        yield f"volume = {_litres(vehicle.volume_l)}"
    yield from (f"cost_per_km = {vehicle.cost_per_km!r}", f"kmh = {vehicle.kmh!r}")
    yield f"road_factor = {vehicle.road_factor!r}"
    yield f"whole_above = {_mass(vehicle.whole_above_kg, unit)}"
    if vehicle.lift_kg is not None:
        yield f"lift = {_mass(vehicle.lift_kg, unit)}"


def _buyer(buyer: Buyer, unit: str) -> Iterator[str]:
    yield from ("", "[[buyer]]", f"id = {_text(buyer.id)}", f"kind = {_text(buyer.kind)}")
    if buyer.name:
        yield f"name = {_text(buyer.name)}"
    if buyer.km is not None:
        yield f"km = {buyer.km!r}"
    if buyer.at is not None:
        yield f"at = [{buyer.at[0]!r}, {buyer.at[1]!r}]"
    yield f"minutes = {buyer.minutes!r}"
    if buyer.open:
        yield f"open = [{', '.join(map(_text, buyer.open))}]"
    if buyer.refuses:
        yield f"refuses = [{', '.join(map(_text, buyer.refuses))}]"
    if buyer.shipping:
        steps = ", ".join(f"{{ up_to = {_mass(s.up_to_kg, unit)}, cost = {s.cost!r} }}" for s in buyer.shipping)
        yield f"shipping = [ {steps} ]"
    for name, amount in (("ticket_fee", buyer.ticket_fee), ("ticket_share", buyer.ticket_share)):
        if amount:
            yield f"{name} = {amount!r}"
    if buyer.quotes:
        yield "price = ["
        yield from (f"  {_quote(quote, unit)}," for quote in buyer.quotes)
        yield "]"


def _quote(quote: Quote, unit: str) -> str:
    price = _each(quote.price, quote.piece_kg) if quote.each and quote.piece_kg else _price(quote.price, unit)
    fields = [f"grade = {_text(quote.grade)}", f"price = {price}", f"on = {quote.on}"]
    if quote.ends and not quote.each:
        fields.insert(2, f"range = [{', '.join(_one_price(end, unit) for end in quote.ends)}]")
    if quote.minimum_kg:
        fields.append(f"minimum = {_mass(quote.minimum_kg, unit)}")
    if quote.from_kg:
        fields.append(f"from = {_mass(quote.from_kg, unit)}")
    if quote.most_kg is not None:
        fields.append(f"most = {_mass(quote.most_kg, unit)}")
    if quote.most_pieces is not None:
        fields.append(f"most = {quote.most_pieces}")
    if quote.piece_kg is not None:
        fields.append(f"piece = {_mass(quote.piece_kg, unit)}")
    return f"{{ {', '.join(fields)} }}"


def _each(price: Estimate, piece_kg: float) -> str:
    """A price by the piece in the fewest digits that give the same price per kg again."""
    ends = (price.likely,) if price.is_exact else (price.low, price.likely, price.high)
    texts = [f'"{_said(per_kg, piece_kg)} each"' for per_kg in ends]
    return texts[0] if price.is_exact else f"[{', '.join(texts)}]"


def _said(per_kg: float, piece_kg: float) -> str:
    for digits in range(1, DIGITS):
        amount = Context(prec=digits).create_decimal(Decimal(per_kg) * Decimal(piece_kg))
        if float(amount) * (1.0 / piece_kg) == per_kg:
            return f"{amount:f}"
    return f"{Decimal(repr(per_kg * piece_kg)):f}"


def _home_and_end(scenario: Scenario) -> Iterator[str]:
    if scenario.home is not None:
        yield from ("", "[home]", f"at = [{scenario.home[0]!r}, {scenario.home[1]!r}]")
    if scenario.end is not None:
        yield from ("", "[end]", f"name = {_text(scenario.end.name)}")
        if scenario.end.at is not None:
            yield f"at = [{scenario.end.at[0]!r}, {scenario.end.at[1]!r}]"


def _road(road: Road) -> Iterator[str]:
    yield from ("", "[[road]]", f"from = {_text(road.start)}", f"to = {_text(road.end)}", f"km = {road.km!r}")
    if road.minutes is not None:
        yield f"minutes = {road.minutes!r}"
    if road.one_way:
        yield "one_way = true"


def _find(find: Find, unit: str) -> Iterator[str]:
    yield from ("", "[[find]]", f"kind = {_text(find.kind)}", f"count = {find.count}", f"works = {_text(find.works)}")
    if find.mass_kg is not None:
        yield f"mass = {_mass(find.mass_kg, unit)}"
    if find.chance is not None and find.works == "unknown":
        yield f"chance = {find.chance!r}"
    if find.listed:
        yield f"listed = {find.listed}"


def _listed(scenario: Scenario) -> Iterator[str]:
    for (kind, piece, part), count in scenario.listed.items():
        yield from ("", "[[listed]]", f"kind = {_text(kind)}", f"piece = {_text(piece)}", f"part = {_text(part)}")
        yield f"count = {count}"


def _text(text: str) -> str:
    """A TOML basic string: JSON's escapes are among its own."""
    return json.dumps(text, ensure_ascii=False)


def _mass(kg: float, unit: str) -> str:
    """In the scenario's unit or in kg, whichever takes fewer digits to say exactly."""
    return min((_mass_in(kg, name) for name in (unit, "kg")), key=len)


def _mass_in(kg: float, unit: str) -> str:
    factor = kg_per(unit)
    exact = Decimal(kg) / factor
    for digits in range(1, DIGITS):
        amount = Context(prec=digits).create_decimal(exact)
        if float(amount * factor) == kg:
            return f'"{amount:f} {unit}"'
    return f'"{Decimal(repr(kg)):f} kg"'


def _price(price: Estimate, unit: str) -> str:
    if price.is_exact:
        return _one_price(price.likely, unit)
    return f"[{', '.join(_one_price(p, unit) for p in (price.low, price.likely, price.high))}]"


def _one_price(per_kg: float, unit: str) -> str:
    factor = kg_per(unit)
    exact = Decimal(per_kg) * factor
    for digits in range(1, DIGITS):
        amount = Context(prec=digits).create_decimal(exact)
        if float(amount / factor) == per_kg:
            return f'"{amount:f} /{unit}"'
    return f'"{Decimal(repr(per_kg)):f} /kg"'
