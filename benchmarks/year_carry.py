"""A plan carried out in the hidden world: pieces weigh, and work takes, more or less than was planned."""

from __future__ import annotations

from collections import Counter, defaultdict

from year_app import BENCH, PAYLOAD_KG, VOLUME_L
from year_shed import Shed
from year_truth import MG, Thing
from year_work import Act

from partway.planning.check.verify import Checked
from partway.planning.instance.blocks import downgraded_kg
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import MAIL
from partway.things.anatomy import Anatomy

DUST_KG = 1e-6


class Chosen:
    """What the plan does with each piece: counts that are used up, thing by thing, in the order of the work."""

    def __init__(self, instance: Instance, checked: Checked) -> None:
        self.instance, decision = instance, checked.decision
        self.node = {
            (instance.groups[node.group].find.kind, instance.groups[node.group].find.works, node.piece.id): n
            for n, node in enumerate(instance.nodes)
        }
        self.anatomies = {(group.find.kind, group.find.works): group.anatomy for group in instance.groups}
        self.left: dict[int, list[list[object]]] = defaultdict(list)  # by node: [act, count]
        for o, n in enumerate(decision.opened):
            self._add(instance.openings[o].node, ("open", instance.openings[o].operation.id), n)
        for p, n in enumerate(decision.parts):
            sale = instance.part_sales[p]
            piece = instance.nodes[sale.node].piece
            self._add(sale.node, ("part", str(piece.parts.index(sale.part))), n)
        for s, n in enumerate(decision.sold):
            self._add(instance.grade_sales[s].node, ("bin", instance.grades[instance.grade_sales[s].grade]), n)
        for n, count in enumerate(decision.kept):
            self._add(n, ("keep", ""), count)

    def anatomy(self, kind: str, known: str) -> Anatomy:
        """The anatomy that was planned with."""
        return self.anatomies[kind, known]

    def _add(self, node: int, act: Act, count: int) -> None:
        if count:
            self.left[node].append([act, count])

    def of(self, thing: Thing, known: str, piece: str) -> Act:
        """The next act planned for such a piece; the last one again where more turn up than were planned."""
        acts = self.left.get(self.node[thing.kind, known, piece], [])
        for act in acts:
            if act[1] > 0:  # type: ignore[operator]
                act[1] -= 1  # type: ignore[operator]
                return act[0]  # type: ignore[return-value]
        return acts[-1][0] if acts else ("keep", "")  # type: ignore[return-value]


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
    for thing in list(shed.things):
        known = thing.known
        first: list[Act] = []

        def choose(one: Thing, piece: str, known: str = known, first: list[Act] = first) -> Act:
            if first:
                return first.pop()
            return chosen.of(one, known, piece)

        act = chosen.of(thing, known, shed.kind(thing).guess.whole.id)
        if act[0] in ("open", "part") and shed.bench >= BENCH:
            continue
        if act[0] != "keep":
            first += [act, act]  # asked for twice: whether it stays whole, and what is done
            shed.take_apart(thing, choose, chosen.anatomy(thing.kind, known))


Flows = dict[tuple[int, int], dict[int, int]]  # (lot, trip) -> mg out of each grade's bin


def _loaded(shed: Shed, instance: Instance, checked: Checked) -> Flows:
    """How much of each bin goes to each lot: the planned part of what is really there."""
    decision, lots = checked.decision, Counter[tuple[int, int]]()
    for (i, _, k), kg in decision.lots.items():
        lots[i, k] += kg  # type: ignore[assignment]
    into = _as_lots(instance, checked)
    kept = decision.kept_kg
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
