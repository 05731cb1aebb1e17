"""Instance to mixed-integer programme (docs/model.md, "The plan"), and a solution back to a decision.

What makes it fast without changing the optimum: a piece with a single way out has no variable; for every other piece
one way out is continuous, as it is whole when the others are; shares of listed tours are continuous, as whole visits
make them whole; trips have no order.

What is loaded whole (`blocks`) is counted by lot and trip. The loose programme allows it to be cut like anything else:
a relaxation with far fewer whole numbers, in which the search looks for tours.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from partway.planning.instance.blocks import Rides, rides, whole_sales
from partway.planning.instance.counted import counted_by
from partway.planning.instance.frozen import Instance, Lot
from partway.planning.instance.packing import FITS, patterns
from partway.planning.making import all_kept
from partway.planning.model.columns import Columns
from partway.planning.model.costs import costs
from partway.planning.model.linear import INFINITY, Linear, Terms

FAMILIES = (
    "pieces",
    "grades",
    "tier_low",
    "tier_high",
    "tier_one",
    "whole_in_lot",
    "pieces_in_lot",
    "most_pieces",
    "visit_lot",
    "ticket",
    "visit_tour",
    "one_tour",
    "payload",
    "volume",
    "parcels",
    "whole_in_parcels",
    "bench_hours",
    "away_hours",
    "part_cap",
)

ROUNDING = 1e-9
SAME = 1e-9  # pieces
MAIL = -1  # the "trip" of a lot that goes by mail


@dataclass
class Model:
    """A programme together with what its columns and rows mean."""

    instance: Instance
    linear: Linear
    columns: Columns
    rides: Rides
    packed: frozenset[int] = frozenset()  # buyers whose parcels are filled one by one
    restricted: bool = False  # some plans are left out: too many ways to fill a parcel


@all_kept()
def formulate(
    instance: Instance,
    plain: bool = False,
    loose: bool = False,
    packed: frozenset[int] = frozenset(),
    known: Rides | None = None,
) -> Model:
    """Make the whole programme. `plain` keeps every variable and makes all counts and tours integer, for comparison.

    `loose` gives the relaxation in which whole pieces may be cut. For buyers in `packed` each parcel is filled piece by
    piece; for the others only mass and count must fit, which nearly always gives the same plan. `known` are the
    `rides` of the instance, where another programme of it has them.
    """
    model = Model(instance, Linear(), Columns(), rides(instance) if known is None else known, packed)
    maker = _Maker(model, plain, loose, packed)
    maker.piece_columns()
    maker.lot_columns()
    maker.tour_columns()
    maker.piece_rows()
    maker.grade_rows()
    maker.lot_rows()
    maker.trip_rows()
    maker.mail_rows()
    maker.hour_rows()
    model.linear.objective = costs(instance, model.columns, len(model.linear.names))
    return model


class _Maker:
    """Adds columns, then rows. Bench and away hours gather as the columns that use them are made."""

    def __init__(self, model: Model, plain: bool, loose: bool, packed: frozenset[int]) -> None:
        self.instance = model.instance
        self.rides = model.rides
        self.rides_of: dict[int, dict[int, int]] = defaultdict(dict)
        for (s, i), most in self.rides.items():
            self.rides_of[s][i] = most
        self.whole = whole_sales(model.instance)
        self.loose, self.packed = loose, packed
        self.model = model
        self.linear = model.linear
        self.columns = model.columns
        self.plain = plain
        self.names = [self._named(n) for n in range(len(model.instance.nodes))]
        self.bench: Terms = []
        self.away: Terms = []
        self.inflow: dict[int, Terms] = defaultdict(list)
        self.inflow_constant: dict[int, float] = defaultdict(float)

    # -- pieces ---------------------------------------------------------------------------------

    def piece_columns(self) -> None:
        """Counts opened, sold by grade, sold as parts and kept."""
        for o, opening in enumerate(self.instance.openings):
            name = f"open({self.names[opening.node]}.{opening.operation.id})"
            column = self._count(name, self.instance.nodes[opening.node].most)
            self.columns.opened[o] = column
            self.bench.append((column, opening.hours))
        for p, part in enumerate(self.instance.part_sales):
            node = self.instance.nodes[part.node]
            most = node.most if part.step is None else min(node.most, int(1.0 / node.piece.share + ROUNDING))
            column = self._count(f"part({self.names[part.node]}.{p})", most)
            self.columns.parts[p] = column
            self.bench.append((column, part.hours))
        for n in range(len(self.instance.nodes)):
            self._outlets(n)

    def _outlets(self, n: int) -> None:
        """Columns for the sales of one node. Keeping has a column only where it differs from selling into one's own
        bin.

        Nothing that is loaded whole goes into a bin.
        """
        instance = self.instance
        node, sales = instance.nodes[n], instance.sales_of[n]
        if not self.whole.isdisjoint(sales) and (self._counts(sales) or not (self.loose and self._all_ride(n))):
            self._whole_outlets(n)
            return
        others = len(instance.openings_of[n]) + len(instance.parts_of[n])
        if len(sales) == 1 and not others and not self.plain and not node.offered:
            self.columns.single[n] = sales[0]
            return
        for i, s in enumerate(sales):
            name = f"sell({self.names[n]}.{instance.grades[instance.grade_sales[s].grade]})"
            self.columns.sold[s] = self._count(name, node.most, implied=i == 0)
        if not sales or self.plain or node.offered:
            self.columns.kept[n] = self._count(f"keep({self.names[n]})", node.most, implied=not sales)

    def _counts(self, sales: Sequence[int]) -> bool:
        """Whether some lot that a piece may go to is counted: then it is not cut in the loose programme either."""
        return any(counted_by(self.instance.lots[i]) for s in sales for i in self.rides_of[s])

    def _all_ride(self, n: int) -> bool:
        """Whether every sale could carry all pieces there may be, so that the loose programme only gains by cutting
        them.
        """
        most = self.instance.nodes[n].most
        return all(self._most_riding(s) >= most for s in self.instance.sales_of[n])

    def _most_riding(self, s: int) -> int:
        return sum(most * len(self._trips(i)) for i, most in self.rides_of[s].items())

    def _whole_outlets(self, n: int) -> None:
        """A piece loaded whole: so many of it in each lot on each trip, and the rest kept."""
        instance = self.instance
        node = instance.nodes[n]
        for s in instance.sales_of[n]:
            lots = self.rides_of[s]
            sold = f"({self.names[n]}.{instance.grades[instance.grade_sales[s].grade]}"
            if self.loose and lots and not self._counts(instance.sales_of[n]):
                self.columns.sold[s] = self._count(f"sell{sold})", min(node.most, self._most_riding(s)))
                continue
            for i, most in lots.items():
                for k in self._trips(i):
                    lot = instance.lots[i]
                    name = f"load{sold}.{instance.buyers[lot.buyer].id}.{instance.grades[lot.grade]}{_trip(k)})"
                    self.columns.blocks[s, i, k] = self._count(name, most)
        self.columns.kept[n] = self._count(f"keep({self.names[n]})", node.most, implied=True)

    def _mailed(self, i: int) -> bool:
        return self.instance.stops[self.instance.lots[i].buyer] is None

    def _trips(self, i: int) -> Sequence[int]:
        return (MAIL,) if self._mailed(i) else self.instance.trips_to(self.instance.lots[i].buyer)

    def _count(self, name: str, most: float, implied: bool = False) -> int:
        return self.linear.column(name, upper=most, integer=self.plain or not implied)

    def piece_rows(self) -> None:
        """Pieces found and made = opened + sold + kept, per piece; a piece with one way out goes straight into its
        grade.
        """
        instance, columns = self.instance, self.columns
        loaded, makers, sales = self._load(), instance.makers_of, instance.sales_of
        for n, node in enumerate(instance.nodes):
            made = [(columns.opened[o], float(count)) for o, count in makers[n]]
            if n in columns.single:
                self._flow(columns.single[n], made, float(node.found))
                continue
            out = [columns.opened[o] for o in instance.openings_of[n]]
            out += [columns.parts[p] for p in instance.parts_of[n]]
            for s in sales[n]:
                if s in columns.sold:
                    out.append(columns.sold[s])
                    self._flow(s, [(columns.sold[s], 1.0)], 0.0)
                out += loaded[s]
            if n in columns.kept:
                out.append(columns.kept[n])
            terms = [*made, *((c, -1.0) for c in out)]
            self.linear.row("pieces", self.names[n], terms, -float(node.found), -float(node.found))

    def _load(self) -> dict[int, list[int]]:
        """Columns of each sale that is loaded whole; each piece brings its kilograms to its lot's own grade."""
        loaded: dict[int, list[int]] = defaultdict(list)
        for (s, i, _), column in self.columns.blocks.items():
            loaded[s].append(column)
            for grade, kg in self.instance.flows(self.instance.grade_sales[s]):
                at = self.instance.lots[i].grade if grade == self.instance.grade_sales[s].grade else grade
                self.inflow[at].append((column, kg))
        return loaded

    def _flow(self, s: int, terms: Terms, found: float) -> None:
        """Send the pieces counted by `terms` (and `found` more) into their grade and into residue."""
        for grade, kg in self.instance.flows(self.instance.grade_sales[s]):
            self.inflow[grade] += [(column, count * kg) for column, count in terms]
            self.inflow_constant[grade] += found * kg

    # -- grades and lots ------------------------------------------------------------------------

    def lot_columns(self) -> None:
        """Kilograms per lot, tier and trip; a yes or no where the size of the lot matters; visits."""
        instance = self.instance
        sold_at = {lot.buyer for lot in instance.lots}
        for b in sorted(sold_at):
            for k in instance.trips_to(b) if instance.stops[b] is not None else (MAIL,):
                self._visit(b, k)
        for i, lot in enumerate(instance.lots):
            for k in self._trips(i):
                self._ticket(lot, k)
                for t, tier in enumerate(lot.tiers):
                    name = f"({instance.buyers[lot.buyer].id}.{instance.grades[lot.grade]}.{t + 1}{_trip(k)})"
                    self.columns.lots[i, t, k] = self.linear.column("kg" + name, upper=tier.high)
                    if lot.has_steps:
                        self.columns.lot_taken[i, t, k] = self.linear.column("lot" + name, upper=1.0, integer=True)
        for d, (upper, lower) in enumerate(instance.downgrades):
            name = f"downgrade({instance.grades[upper]}.{instance.grades[lower]})"
            self.columns.downgraded[d] = self.linear.column(name, upper=instance.supply[upper])
        for g, grade in enumerate(instance.grades):
            self.columns.kept_kg[g] = self.linear.column(f"kept({grade})", upper=instance.supply[g])

    def _visit(self, b: int, k: int) -> None:
        hours = self.instance.on_site_hours(b)
        if k == MAIL and not hours:
            return
        name = f"visit({self.instance.buyers[b].id}{_trip(k)})"
        self.columns.visits[b, k] = self.linear.column(name, upper=1.0, integer=True)
        self.away.append((self.columns.visits[b, k], hours))

    def _ticket(self, lot: Lot, k: int) -> None:
        """A yes or no for the flat fee of a ticket, which is due where any lot on it pays."""
        buyer = self.instance.buyers[lot.buyer]
        pays = any(tier.price > 0.0 for tier in lot.tiers)
        if buyer.ticket_fee and pays and (lot.buyer, k) not in self.columns.tickets:
            name = f"ticket({buyer.id}{_trip(k)})"
            self.columns.tickets[lot.buyer, k] = self.linear.column(name, upper=1.0, integer=True)

    def grade_rows(self) -> None:
        """Stock + inflow = lots + downgrades out + kept, per grade."""
        instance, columns = self.instance, self.columns
        balance: dict[int, Terms] = {g: list(self.inflow[g]) for g in range(len(instance.grades))}
        for (i, _, _), column in columns.lots.items():
            balance[instance.lots[i].grade].append((column, -1.0))
        for d, (upper, lower) in enumerate(instance.downgrades):
            balance[upper].append((columns.downgraded[d], -1.0))
            balance[lower].append((columns.downgraded[d], 1.0))
        for g, terms in balance.items():
            terms.append((columns.kept_kg[g], -1.0))
            there = instance.stock[g] + self.inflow_constant[g]
            self.linear.row("grades", instance.grades[g], terms, -there, -there)

    def lot_rows(self) -> None:
        """Tiers: low * taken <= kg <= high * taken, one tier a lot; nothing is sold without a visit."""
        linear, columns = self.linear, self.columns
        taken: dict[tuple[int, int], list[int]] = defaultdict(list)
        for (i, t, k), kg in columns.lots.items():
            lot, tier = self.instance.lots[i], self.instance.lots[i].tiers[t]
            name = linear.names[kg][3:-1]
            if (i, t, k) in columns.lot_taken:
                yes = columns.lot_taken[i, t, k]
                taken[i, k].append(yes)
                linear.row("tier_high", name, [(kg, 1.0), (yes, -tier.high)], upper=0.0)
                if tier.low > 0.0:
                    linear.row("tier_low", name, [(kg, 1.0), (yes, -tier.low)], lower=0.0)
            elif (lot.buyer, k) in columns.visits:
                linear.row("visit_lot", name, [(kg, 1.0), (columns.visits[lot.buyer, k], -tier.high)], upper=0.0)
            if tier.price > 0.0 and (lot.buyer, k) in columns.tickets:
                due = (columns.tickets[lot.buyer, k], -tier.high)
                linear.row("ticket", name, [(kg, 1.0), due], upper=0.0)
        whole = self._whole_in_lots()
        for (i, k), pieces in self._counted_rows(whole).items():
            terms = [(columns.lots[i, t, k], 1.0) for t in range(len(self.instance.lots[i].tiers))]
            linear.row("whole_in_lot", self._lot_name(i, k), [*terms, *pieces], lower=0.0)
        for (i, k), choices in taken.items():
            buyer = self.instance.lots[i].buyer
            name = self._lot_name(i, k)
            terms = [(c, 1.0) for c in choices]
            if (buyer, k) in columns.visits:
                linear.row("tier_one", name, [*terms, (columns.visits[buyer, k], -1.0)], upper=0.0)
            else:
                linear.row("tier_one", name, terms, upper=1.0)

    def _counted_rows(self, whole: dict[tuple[int, int], Terms]) -> dict[tuple[int, int], Terms]:
        """A counted lot has whole pieces and, out of a bin, so many times what one weighs; those of `whole` left."""
        linear, columns, instance = self.linear, self.columns, self.instance
        for (i, _, k), kg in columns.lots.items():
            quote = counted_by(instance.lots[i])
            if quote is None or quote.piece_kg is None:
                continue
            name, most = self._lot_name(i, k), linear.upper[kg] / quote.piece_kg
            loose = columns.loose_pieces[i, k] = linear.column(
                f"pieces({name})", upper=float(int(most + SAME)), integer=True
            )
            rows: Terms = [(kg, 1.0), (loose, -quote.piece_kg), *whole.pop((i, k), [])]
            linear.row("pieces_in_lot", name, rows, 0.0, 0.0)
            if quote.most_pieces is not None:
                blocks = [(c, instance.share_of(s)) for (s, *at), c in columns.blocks.items() if at == [i, k]]
                linear.row("most_pieces", name, [(loose, 1.0), *blocks], upper=float(quote.most_pieces))
        return whole

    def _whole_in_lots(self) -> dict[tuple[int, int], Terms]:
        """Terms that make each lot at least as heavy as what is loaded whole into it."""
        pieces: dict[tuple[int, int], Terms] = defaultdict(list)
        for (s, i, k), c in self.columns.blocks.items():
            pieces[i, k].append((c, -self.instance.grade_sales[s].kg))
        return pieces

    def _lot_name(self, i: int, k: int) -> str:
        lot = self.instance.lots[i]
        return f"{self.instance.buyers[lot.buyer].id}.{self.instance.grades[lot.grade]}{_trip(k)}"

    # -- trips, mail, hours ---------------------------------------------------------------------

    def tour_columns(self) -> None:
        """One share per tour and trip, or just the money and hours of a trip where tours are not enumerated."""
        instance = self.instance
        # With two tours of the same stops, a mixture of both would be a tour that nobody can drive.
        not_uniform = instance.roads is not None and not (instance.roads.uniform and not instance.opening.part)
        for k in range(instance.scenario.hours.trips):
            if instance.tours is None:
                money = self.linear.column(f"tour_money{_suffix(k)}")
                hours = self.linear.column(f"tour_hours{_suffix(k)}")
                self.columns.tour_money[k], self.columns.tour_hours[k] = money, hours
                self.away.append((hours, 1.0))
                continue
            for r, tour in enumerate(instance.tours):
                if all((instance.buyer_at[stop], k) in self.columns.visits for stop in tour.stops):
                    name = (
                        "tour("
                        + ".".join(instance.buyers[instance.buyer_at[s]].id for s in tour.stops)
                        + _trip(k)
                        + ")"
                    )
                    self.columns.tours[r, k] = self.linear.column(name, upper=1.0, integer=self.plain or not_uniform)
                    self.away.append((self.columns.tours[r, k], tour.spent))

    def trip_rows(self) -> None:
        """Each trip: at most one tour, which makes its visits; payload and volume."""
        instance, columns = self.instance, self.columns
        vehicle = instance.scenario.vehicle
        for k in range(instance.scenario.hours.trips):
            shares = {r: c for (r, trip), c in columns.tours.items() if trip == k}
            if shares:
                self.linear.row("one_tour", f"{k + 1}", [(c, 1.0) for c in shares.values()], upper=1.0)
            through: dict[int, Terms] = defaultdict(list)
            for r, column in shares.items():
                for stop in (instance.tours or ())[r].stops:
                    through[instance.buyer_at[stop]].append((column, -1.0))
            for (b, trip), visit in columns.visits.items():
                if trip == k and instance.tours is not None:
                    name = f"{instance.buyers[b].id}{_trip(k)}"
                    self.linear.row("visit_tour", name, [(visit, 1.0), *through[b]], 0.0, 0.0)
            load = [(c, i) for (i, _, trip), c in columns.lots.items() if trip == k]
            if vehicle is None or not load:
                continue
            self.linear.row("payload", f"{k + 1}", [(c, 1.0) for c, _ in load], upper=vehicle.payload_kg)
            if vehicle.volume_l is not None:
                litres = [(c, instance.litres_per_kg[instance.lots[i].grade]) for c, i in load]
                self.linear.row("volume", f"{k + 1}", litres, upper=vehicle.volume_l)

    def mail_rows(self) -> None:
        """Parcels must hold what is mailed to a buyer; each costs its step's postage."""
        for b, buyer in enumerate(self.instance.buyers):
            lots = [c for (i, _, k), c in self.columns.lots.items() if k == MAIL and self.instance.lots[i].buyer == b]
            if not lots or not buyer.shipping:
                continue
            terms: Terms = [(c, 1.0) for c in lots]
            for step, postage in enumerate(buyer.shipping):
                parcel = self.linear.column(
                    f"parcels({buyer.id}.{step + 1})",
                    upper=_most_parcels(self.instance, b, step) + self._most_mailed(b, postage.up_to_kg),
                    integer=True,
                )
                self.columns.parcels[b, step] = parcel
                terms.append((parcel, -postage.up_to_kg))
            self.linear.row("parcels", buyer.id, terms, upper=0.0)
            self._whole_in_parcels(b)

    def _whole_in_parcels(self, b: int) -> None:
        """A parcel of 20 kg holds one piece of 12 kg, not one and two thirds."""
        buyer, columns, sales = self.instance.buyers[b], self.columns, self.instance.grade_sales
        mailed = [(sales[s].kg, c) for (s, i, _), c in columns.blocks.items() if self.instance.lots[i].buyer == b]
        fit: dict[
            tuple[int, ...], float
        ] = {}  # of masses that as many fit of, the least: its row says all the others do
        for kg in sorted({kg for kg, _ in mailed}, reverse=True):
            fit[tuple(int(postage.up_to_kg * FITS / kg) for postage in buyer.shipping)] = kg
        for often, kg in sorted(fit.items(), key=lambda one: one[1]):
            terms: Terms = [(c, 1.0) for other, c in mailed if other >= kg]
            terms += [(columns.parcels[b, step], -float(n)) for step, n in enumerate(often)]
            self.linear.row("whole_in_parcels", f"{buyer.id}.{kg:g}", terms, upper=0.0)
        if b in self.packed:
            self._pack(b, mailed)

    def _pack(self, b: int, mailed: list[tuple[float, int]]) -> None:
        """Every parcel is filled by one pattern, and the patterns hold every piece.

        Gilmore and Gomory, "A linear programming approach to the cutting-stock problem", Operations Research 9, 1961.
        """
        buyer, masses = self.instance.buyers[b], sorted({kg for kg, _ in mailed}, reverse=True)
        holds: dict[float, Terms] = {kg: [(c, 1.0) for other, c in mailed if other == kg] for kg in masses}
        for step, postage in enumerate(buyer.shipping):
            used: Terms = [(self.columns.parcels[b, step], -1.0)]
            ways, every = patterns(masses, postage.up_to_kg)
            self.model.restricted |= not every
            for p, pattern in enumerate(ways):
                column = self.linear.column(f"packed({buyer.id}.{step + 1}.{p + 1})", integer=True)
                self.columns.patterns[len(self.columns.patterns)] = column
                used.append((column, 1.0))
                for kg, n in zip(masses, pattern, strict=True):
                    holds[kg].append((column, -float(n)))
            self.linear.row("whole_in_parcels", f"{buyer.id}.parcels.{step + 1}", used, upper=0.0)
        for kg, terms in holds.items():
            self.linear.row("whole_in_parcels", f"{buyer.id}.packed.{kg:g}", terms, upper=0.0)

    def _most_mailed(self, b: int, up_to_kg: float) -> int:
        """Every piece that goes by mail whole may need a parcel of its own."""
        lots, sales = self.instance.lots, self.instance.grade_sales
        return sum(n for (s, i), n in self.rides.items() if lots[i].buyer == b and sales[s].kg <= up_to_kg * FITS)

    def hour_rows(self) -> None:
        """Bench hours, away hours over all trips, and the most units of a part."""
        hours = self.instance.scenario.hours
        self.linear.row("bench_hours", "", self.bench, upper=hours.bench)
        self.linear.row("away_hours", "", self.away, upper=hours.away)
        for i, cap in enumerate(self.instance.caps):
            terms = [(self.columns.parts[p], self.instance.units(p)) for p in cap.sales]
            self.linear.row("part_cap", f"{i + 1}", terms, upper=float(cap.most))

    def _named(self, n: int) -> str:
        node = self.instance.nodes[n]
        group = self.instance.groups[node.group]
        return f"{group.anatomy.kind}.{node.group + 1}.{node.piece.id}"


def _most_parcels(instance: Instance, b: int, step: int) -> float:
    """Enough parcels of this size for everything this buyer could be sent."""
    kg = sum(lot.tiers[-1].high for lot in instance.lots if lot.buyer == b)
    return float(int(kg / instance.buyers[b].shipping[step].up_to_kg) + 1) if kg < INFINITY else INFINITY


def _trip(k: int) -> str:
    return "" if k == MAIL else f".{k + 1}"


def _suffix(k: int) -> str:
    return f"({k + 1})"
