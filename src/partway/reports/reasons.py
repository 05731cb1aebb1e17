"""Why something is kept, in one clause that names the fact behind it."""

from __future__ import annotations

from partway.planning.allowed import required_on
from partway.planning.blocks import is_whole, large_enough
from partway.planning.decision import Decision
from partway.planning.instance import Instance, Node
from partway.planning.milp import MAIL

FULL = 0.995


def why_grade_kept(instance: Instance, decision: Decision, g: int, kg: float) -> str:
    """The reason a grade stays in its bin."""
    grade = instance.grades[g]
    offer = instance.market.best(grade)
    if offer is None:
        return "nobody here quotes it"
    if offer.price < 0:
        return f"{offer.buyer} would charge {-offer.price:.2f} a kg for it"
    smallest = _smallest_lot(instance, offer.buyer, offer.grade)
    if offer.grade == grade and kg < smallest:
        return f"{offer.buyer} takes lots from {smallest:.1f} kg"
    if offer.buyer not in served(instance, decision):
        return f"{offer.buyer} {'pays best' if offer.price > 0 else 'takes it for nothing'} and is not on this haul"
    full = _what_is_full(instance, decision)
    return f"the {full} is full" if full else "what is open to it now pays less than keeping it"


def served(instance: Instance, decision: Decision) -> set[str]:
    """Buyers this decision drives or mails to."""
    driven = {instance.buyer_at[s] for tour in decision.tours if tour for s in tour.stops}
    mailed = {instance.lots[i].buyer for i, _, k in decision.lots if k == MAIL}
    return {instance.buyers[b].id for b in driven | mailed}


def _smallest_lot(instance: Instance, buyer: str, grade: str) -> float:
    quotes = [q for b in instance.buyers if b.id == buyer for q in b.quotes if q.grade == grade]
    return min((max(q.from_kg, q.minimum_kg) for q in quotes), default=0.0)


def _what_is_full(instance: Instance, decision: Decision) -> str:
    vehicle = instance.scenario.vehicle
    if vehicle is None:
        return ""
    for k, tour in enumerate(decision.tours):
        load = [(i, kg) for (i, _, trip), kg in decision.lots.items() if trip == k]
        if tour and sum(kg for _, kg in load) >= FULL * vehicle.payload_kg:
            return "payload"
        litres = sum(kg * instance.litres_per_kg[instance.lots[i].grade] for i, kg in load)
        if tour and vehicle.volume_l is not None and litres >= FULL * vehicle.volume_l:
            return "vehicle"
    return ""


def why_piece_kept(instance: Instance, decision: Decision, n: int) -> str:
    """The reason a find or a piece stays as it is."""
    node = instance.nodes[n]
    if node.piece.stop:
        caution = instance.scenario.cautions.get(node.piece.stop)
        return f"stays shut ({(caution.name if caution else node.piece.stop).lower()}); no buyer here takes it as it is"
    if not instance.sales_of[n] and required_on(instance.groups[node.group].anatomy, node.piece.id):
        return f"may be sold by grade only after: {_required_name(instance, node)}"
    if not instance.sales_of[n] and not instance.openings_of[n]:
        return "no buyer here quotes it"
    if _too_large(instance, n):
        return "loaded whole, it is too large for any load, parcel or lot here"
    return _unopened_reason(instance, decision, n)


def _too_large(instance: Instance, n: int) -> bool:
    """Whether somebody takes it as it is, and nothing carries it there in one piece."""
    sales = [instance.grade_sales[s] for s in instance.sales_of[n]]
    wanted = any(instance.market.best(instance.grades[sale.grade]) is not None for sale in sales)
    return wanted and all(is_whole(instance, sale) and not large_enough(instance, sale) for sale in sales)


def _required_name(instance: Instance, node: Node) -> str:
    anatomy = instance.groups[node.group].anatomy
    return next(op.name for op in anatomy.operations_on(node.piece.id) if op.required)


def _has_room(instance: Instance, decision: Decision, buyer: str, n: int) -> bool:
    """Whether one more of a node would fit on some trip that stops at a buyer."""
    vehicle, node = instance.scenario.vehicle, instance.nodes[n]
    stops = {stop for b, stop in enumerate(instance.stops) if instance.buyers[b].id == buyer}
    if vehicle is None or stops == {None}:
        return True
    litres = max(instance.litres_per_kg[instance.grade_sales[s].grade] for s in instance.sales_of[n]) * node.kg
    for k, tour in enumerate(decision.tours):
        if tour is None or not stops & set(tour.stops):
            continue
        load = [(i, kg) for (i, _, trip), kg in decision.lots.items() if trip == k]
        full_kg = sum(kg for _, kg in load) + node.kg
        full_litres = sum(kg * instance.litres_per_kg[instance.lots[i].grade] for i, kg in load) + litres
        if full_kg <= vehicle.payload_kg and (vehicle.volume_l is None or full_litres <= vehicle.volume_l):
            return True
    return False


def _unopened_reason(instance: Instance, decision: Decision, n: int) -> str:
    offers = [instance.market.best(instance.grades[instance.grade_sales[s].grade]) for s in instance.sales_of[n]]
    away = [o for o in offers if o is not None and o.price >= 0 and o.buyer not in served(instance, decision)]
    if away:
        best = max(away, key=lambda offer: offer.price)
        return f"{best.buyer} {'pays best' if best.price > 0 else 'takes it for nothing'} and is not on this haul"
    if any(o is not None and not _has_room(instance, decision, o.buyer, n) for o in offers):
        return "no room left for it on this haul"
    if instance.openings_of[n]:
        return "opening it earns less than these bench hours bring elsewhere"
    return "what is open to it now pays less than keeping it"
