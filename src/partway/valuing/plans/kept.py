"""Why a plan keeps something: the fact behind it, as data; who shows it puts it into words."""

from __future__ import annotations

from partway.planning.decision import Decision
from partway.planning.instance.allowed import required_on
from partway.planning.instance.blocks import is_whole, large_enough
from partway.planning.instance.frozen import Instance
from partway.planning.instance.market import LotOffer, Offer, lot_offers
from partway.planning.model.milp import MAIL
from partway.valuing.plans.facts import Reason
from partway.valuing.plans.limits import closed, takes_no_more, too_heavy
from partway.valuing.plans.trips import load_of
from partway.valuing.room.coming import reached_on, weekly_inflow

FULL = 0.995
ROOM = 1e-6  # kg


def why_grade_kept(instance: Instance, decision: Decision, g: int, kg: float) -> Reason:
    """The reason a grade stays in its bin."""
    best = _best_for(instance, decision, instance.grades[g], kg)
    if isinstance(best, Reason):
        return best
    small = _small_lot(instance, decision, g, kg)
    if small is not None:
        return small
    return (
        _not_on_haul(instance, decision, best)
        or takes_no_more(instance, decision, best)
        or _full(instance, decision, best)
        or Reason("pays-less")
    )


def _next_load(instance: Instance, decision: Decision) -> bool:
    """Whether what stays waits for a load: nobody is driven to, and its room is counted."""
    return instance.market.room is not None and not any(decision.tours)


def served(instance: Instance, decision: Decision) -> set[str]:
    """Buyers this decision drives or mails to."""
    driven = {instance.buyer_at[s] for tour in decision.tours if tour for s in tour.stops}
    mailed = {instance.lots[i].buyer for i, _, k in decision.lots if k == MAIL}
    return {instance.buyers[b].id for b in driven | mailed}


def _best_for(instance: Instance, decision: Decision, grade: str, kg: float) -> Offer | LotOffer | Reason:
    """Who pays best for `kg` of a grade; or why nobody is worth it: no quote, a charge, its postage."""
    offer = instance.market.best(grade)
    if offer is None:
        return Reason("unquoted", grade=grade)
    if offer.price < 0.0:
        if offer.quote.price.mean >= 0.0:
            return Reason("postage-too-dear", offer.buyer, offer.grade)
        return Reason("charges", offer.buyer, offer.grade, per_kg=-offer.price)
    if not _is_posted(instance, offer.buyer) or _room_in_parcels(instance, decision, offer.buyer) >= kg - ROOM:
        return offer
    return _alone_by_post(instance, offer, grade, kg)


def _alone_by_post(instance: Instance, offer: Offer, grade: str, kg: float) -> Offer | LotOffer | Reason:
    """The best for a lot that needs parcels of its own, where `offer` is best in full ones."""
    lots = lot_offers(instance.scenario, instance.market, grade, kg)
    there = [one for one in lots if (one.buyer, one.grade) == (offer.buyer, offer.grade)]
    if not any(one.lot.reached(kg) and one.lot.net_per_kg >= 0.0 for one in there):
        least = min((one.lot.from_kg for one in there if one.lot.by_post), default=None)
        if least is not None:
            return Reason("small-to-post", offer.buyer, offer.grade, least_kg=least)
    return next((one for one in lots if one.lot.net_per_kg >= 0.0), offer)


def _is_posted(instance: Instance, buyer: str) -> bool:
    return any(b.id == buyer and not b.is_visited for b in instance.buyers)


def _room_in_parcels(instance: Instance, decision: Decision, buyer: str) -> float:
    """Kilograms more that the parcels of this plan to a buyer would hold."""
    steps = {b: of.shipping for b, of in enumerate(instance.buyers) if of.id == buyer}
    room = sum(n * steps[b][step].up_to_kg for (b, step), n in decision.parcels.items() if b in steps)
    return room - sum(kg for (i, _, k), kg in decision.lots.items() if k == MAIL and instance.lots[i].buyer in steps)


def _not_on_haul(instance: Instance, decision: Decision, offer: Offer | LotOffer) -> Reason | None:
    if offer.buyer in served(instance, decision):
        return None
    if _is_posted(instance, offer.buyer):
        return Reason("not-posted", offer.buyer, offer.grade)
    shut = closed(instance, offer)
    if shut is not None:
        return shut
    if _next_load(instance, decision):
        return Reason("next-load", offer.buyer, offer.grade)
    free = offer.quote.price.mean <= 0.0
    return Reason("taken-free-elsewhere" if free else "pays-best-elsewhere", offer.buyer, offer.grade)


def _small_lot(instance: Instance, decision: Decision, g: int, kg: float) -> Reason | None:
    """Where none of a grade goes to its best buyer: less stays than its least lot, or that has no room on the trip."""
    offer = instance.market.best(instance.grades[g])
    if offer is None or offer.grade != instance.grades[g]:
        return None
    buyer = next(b for b in instance.buyers if b.id == offer.buyer)
    least = min(quote.least_kg for quote in buyer.quotes if quote.grade == offer.grade)
    if any((instance.lots[i].grade, instance.buyers[instance.lots[i].buyer]) == (g, buyer) for i, *_ in decision.lots):
        return None
    if kg < least:
        weekly = weekly_inflow(instance.scenario).get(offer.grade, 0.0)
        by = reached_on(instance.scenario, least - kg, weekly)
        return Reason("small-lot", buyer.id, offer.grade, least_kg=least, weekly_kg=weekly if by else None, by=by)
    goes = buyer.id in served(instance, decision)
    room = not goes or _has_room(instance, decision, buyer.id, least, least * instance.litres_per_kg[g])
    return None if room else Reason("no-room-for-lot", buyer.id, offer.grade, least_kg=least)


def _full(instance: Instance, decision: Decision, offer: Offer | LotOffer) -> Reason | None:
    """What of the vehicle is used up; nothing where it goes by mail."""
    vehicle = instance.scenario.vehicle
    if vehicle is None or _is_posted(instance, offer.buyer):
        return None
    for k, tour in enumerate(decision.tours):
        load = load_of(instance, decision, k)
        if tour and load.kg >= FULL * vehicle.payload_kg:
            return Reason("payload-full")
        if tour and vehicle.volume_l is not None and load.litres >= FULL * vehicle.volume_l:
            return Reason("vehicle-full")
    return None


def why_piece_kept(instance: Instance, decision: Decision, n: int, count: int = 1) -> Reason:
    """The reason that `count` of a find or a piece stay as they are."""
    node = instance.nodes[n]
    anatomy = instance.groups[node.group].anatomy
    if node.offered:
        return Reason("on-offer")
    if not instance.sales_of[n] and required_on(anatomy, node.piece.id):
        required = next(op for op in anatomy.operations_on(node.piece.id) if op.required)
        if not node.piece.stop:
            return Reason("required-first", kind=anatomy.kind, operation=required.id)
    if too_heavy(instance, n):
        return Reason("too-heavy", most_kg=instance.scenario.lifted_kg)
    best = [_best_for(instance, decision, instance.grades[g], kg * count) for g, kg in _as_grades(instance, n)]
    offers = [one for one in best if not isinstance(one, Reason)]
    reasons = [one for one in best if isinstance(one, Reason) and one.code != "unquoted"]
    if not offers and not reasons and node.piece.stop:
        return Reason("stays-shut", caution=node.piece.stop)
    if not offers and not instance.openings_of[n] and not instance.parts_of[n]:
        return reasons[0] if reasons else Reason("unquoted")
    shut = closed(instance, max(offers, key=_pays)) if offers else None
    if shut is None and _too_large(instance, n):
        return Reason("too-large")
    return shut or _unopened_reason(instance, decision, n, offers)


def _too_large(instance: Instance, n: int) -> bool:
    """Whether somebody takes it as it is, and nothing carries it there in one piece."""
    sales = [instance.grade_sales[s] for s in instance.sales_of[n]]
    wanted = any(instance.market.best(instance.grades[sale.grade]) is not None for sale in sales)
    return wanted and all(is_whole(instance, sale) and not large_enough(instance, sale) for sale in sales)


def _as_grades(instance: Instance, n: int) -> list[tuple[int, float]]:
    """The grades one of a node may be sold as, and the kg of each."""
    return [(instance.grade_sales[s].grade, instance.grade_sales[s].kg) for s in instance.sales_of[n]]


def _has_room(instance: Instance, decision: Decision, buyer: str, kg: float, litres: float) -> bool:
    """Whether so much more would fit on some trip that stops at a buyer."""
    vehicle = instance.scenario.vehicle
    stops = {stop for b, stop in enumerate(instance.stops) if instance.buyers[b].id == buyer}
    if vehicle is None or stops == {None}:
        return True
    for k, tour in enumerate(decision.tours):
        if tour is None or not stops & set(tour.stops):
            continue
        load = load_of(instance, decision, k)
        fits = vehicle.volume_l is None or load.litres + litres <= vehicle.volume_l
        if fits and load.kg + kg <= vehicle.payload_kg:
            return True
    return False


def _room_for_one(instance: Instance, decision: Decision, buyer: str, n: int) -> bool:
    """Whether one more of a node would fit."""
    kg = instance.nodes[n].kg
    litres = max(instance.litres_per_kg[instance.grade_sales[s].grade] for s in instance.sales_of[n]) * kg
    return _has_room(instance, decision, buyer, kg, litres)


def _unopened_reason(instance: Instance, decision: Decision, n: int, offers: list[Offer | LotOffer]) -> Reason:
    away = [(_pays(o), _not_on_haul(instance, decision, o)) for o in offers]
    elsewhere = [(pays, reason) for pays, reason in away if reason is not None]
    if elsewhere:
        return max(elsewhere, key=lambda one: one[0])[1]
    for offer in offers:
        enough = takes_no_more(instance, decision, offer, _kg_as(instance, n, offer.grade))
        if enough is not None:
            return enough
    if any(not _room_for_one(instance, decision, o.buyer, n) for o in offers):
        return Reason("no-room")
    return Reason("opening-earns-less" if instance.openings_of[n] else "pays-less")


def _kg_as(instance: Instance, n: int, grade: str) -> float:
    sales = [instance.grade_sales[s] for s in instance.sales_of[n]]
    return max((sale.kg for sale in sales if instance.grades[sale.grade] == grade), default=instance.nodes[n].kg)


def _pays(offer: Offer | LotOffer) -> float:
    return offer.price if isinstance(offer, Offer) else offer.lot.net_per_kg
