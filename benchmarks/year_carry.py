"""A plan carried out in the hidden world: pieces weigh, and work takes, more or less than was planned."""

from __future__ import annotations

from collections import Counter, defaultdict

from year_app import BENCH, PAYLOAD_KG, VOLUME_L
from year_chosen import Chosen
from year_offers import is_whole, take_down
from year_shed import Shed
from year_things import Thing
from year_truth import MG
from year_work import Act

from partway.planning.check.verify import Checked
from partway.planning.instance.blocks import downgraded_kg
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import MAIL
from partway.things.anatomy import Anatomy

DUST_KG = 1e-6


def carry_out(shed: Shed, instance: Instance, checked: Checked) -> list[str]:
    """Work at the bench, then drive and sell. Who was visited."""
    _at_the_bench(shed, Chosen(instance, checked))
    flows = _loaded(shed, instance, checked)
    for k, tour in enumerate(checked.decision.tours):
        if tour is not None:
            _haul(shed, instance, k, flows)
            shed.pay(-instance.drive_money(tour), "driving")
            shed.counts["hauls"] += 1
    _haul(shed, instance, MAIL, flows)
    shed.work(checked.away_hours, "away")
    stops = {stop for tour in checked.decision.tours if tour for stop in tour.stops}
    return [instance.buyers[instance.buyer_at[stop]].id for stop in stops]


def _at_the_bench(shed: Shed, chosen: Chosen) -> None:
    """Every thing in turn, until the hours of the week are used up. What is sold whole takes no hour."""
    anatomies = [group.anatomy for group in chosen.instance.groups]
    for thing in list(shed.things):
        group = chosen.group(thing.asked, on_offer=False)
        _do(shed, chosen, group, anatomies[group], thing)
    for listing in [one for one in shed.listed if is_whole(shed, one)]:
        groups = chosen.groups.get((listing.thing.asked, True), [])
        if groups and chosen.left.get(chosen.node[groups[0], anatomies[groups[0]].whole.id]):
            group = groups.pop(0)
            if _first(chosen, group, anatomies[group])[0] != "keep":
                take_down(shed, listing)
                _do(shed, chosen, group, anatomies[group], listing.thing)


def _first(chosen: Chosen, group: int, anatomy: Anatomy) -> Act:
    """What is planned next for a whole thing, not used up."""
    left = [p for p in chosen.left.get(chosen.node[group, anatomy.whole.id], []) if p.count > 0]
    return left[0].act if left else ("keep", "")


def _do(shed: Shed, chosen: Chosen, group: int, anatomy: Anatomy, thing: Thing) -> None:
    act = chosen.of(group, anatomy.whole.id)
    if act[0] == "keep" or (act[0] in ("open", "part") and shed.bench >= BENCH):
        return
    first: list[Act] = [act, act]  # asked for twice: whether it stays whole, and what is done
    shed.take_apart(thing, lambda _, piece: first.pop() if first else chosen.of(group, piece), anatomy)


Flows = dict[tuple[int, int], dict[int, int]]  # (lot, trip) -> mg out of each grade's bin


def _loaded(shed: Shed, instance: Instance, checked: Checked) -> Flows:
    """How much of each bin goes to each lot: the planned part of what is really there."""
    into, kept = _as_lots(instance, checked), checked.decision.kept_kg
    flows: Flows = defaultdict(dict)
    for g, grade in enumerate(instance.grades):
        out = {key: kg for key, by in into.items() if (kg := by.get(g, 0.0)) > DUST_KG}
        planned, there = sum(out.values()), shed.bins[grade]
        if not out or not there:
            continue
        goes = there if kept.get(g, 0.0) <= DUST_KG else min(there, round(planned * MG))
        for key, kg in out.items():
            flows[key][g] = int(goes * kg / planned)
        last = max(out, key=lambda key: out[key])
        flows[last][g] += goes - sum(flows[key][g] for key in out)
    return flows


def _as_lots(instance: Instance, checked: Checked) -> dict[tuple[int, int], dict[int, float]]:
    """For each lot and trip, the kilograms that come out of each grade's bin, downgrades followed back up."""
    need: dict[tuple[int, int], float] = defaultdict(float)
    for (i, _, k), kg in checked.decision.lots.items():
        need[i, k] += kg
    inflow: dict[int, dict[int, float]] = defaultdict(dict)
    for d, kg in _downgraded(instance, checked).items():
        upper, lower = instance.downgrades[d]
        inflow[lower][upper] = inflow[lower].get(upper, 0.0) + kg
    total: dict[int, float] = defaultdict(float)
    for (i, _), kg in need.items():
        total[instance.lots[i].grade] += kg
    for d, kg in _downgraded(instance, checked).items():
        total[instance.downgrades[d][0]] += kg
    for g, kg in checked.decision.kept_kg.items():
        total[g] += kg

    def origins(g: int) -> dict[int, float]:
        """Shares of where a kilogram of a grade comes from."""
        shares: dict[int, float] = defaultdict(float)
        above = sum(inflow[g].values()) / total[g] if total[g] > DUST_KG else 0.0
        shares[g] = max(0.0, 1.0 - above)
        for upper, kg in inflow[g].items():
            for origin, share in origins(upper).items():
                shares[origin] += share * kg / total[g]
        return shares

    return {
        (i, k): {g: share * kg for g, share in origins(instance.lots[i].grade).items()} for (i, k), kg in need.items()
    }


def _downgraded(instance: Instance, checked: Checked) -> dict[int, float]:
    return downgraded_kg(instance, checked.decision)


def _haul(shed: Shed, instance: Instance, trip: int, flows: Flows) -> None:
    """Hand over what goes on a trip or into the mail; what the load does not hold, or is refused, stays."""
    here = {i: by for (i, k), by in flows.items() if k == trip}
    kg = {i: sum(by.values()) / MG for i, by in here.items()}
    litres = sum(v * instance.litres_per_kg[instance.lots[i].grade] for i, v in kg.items())
    fits = 1.0 if trip == MAIL else min(1.0, PAYLOAD_KG / max(sum(kg.values()), 1e-9), VOLUME_L / max(litres, 1e-9))
    posted: Counter[int] = Counter()
    for i, by in here.items():
        lot, grade = instance.lots[i], instance.grades[instance.lots[i].grade]
        moved = {g: int(mg * fits) for g, mg in by.items()}
        mass = sum(moved.values())
        buyer = instance.buyers[lot.buyer].id
        price = shed.market.price(buyer, grade, shed.week, mass / MG)
        if price is None or not mass:
            continue
        for g, mg in moved.items():
            shed.bins[instance.grades[g]] -= mg
        shed.gone_mg[buyer] += mass
        shed.pay(price * mass / MG, f"sold {buyer}")
        posted[lot.buyer] += mass
    if trip == MAIL:
        for b, mass in posted.items():
            step = instance.buyers[b].shipping[-1]
            shed.pay(-step.cost * -(-mass // int(step.up_to_kg * MG)), "postage")
