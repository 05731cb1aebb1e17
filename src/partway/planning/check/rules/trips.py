"""What a trip and a parcel carry: their ways, payload, volume and sizes."""

from __future__ import annotations

from partway.planning.check.direct import as_long_as
from partway.planning.check.rules.required import KG_SLACK, require
from partway.planning.decision import Decision
from partway.planning.instance.blocks import parcel_sizes
from partway.planning.instance.frozen import Instance
from partway.planning.instance.packing import packs
from partway.planning.model.milp import MAIL


def check_trips(instance: Instance, decision: Decision) -> None:
    """Trips go where they sell, are as long as said, and carry what the vehicle can; what is mailed rides on none."""
    vehicle = instance.scenario.vehicle
    require(len(decision.tours) <= instance.scenario.hours.trips, "more trips than allowed")
    for k, tour in enumerate(decision.tours):
        load = {i: kg for (i, _, trip), kg in decision.lots.items() if trip == k}
        stops = {instance.stops[instance.lots[i].buyer] for i in load}
        require(stops <= set(tour.stops if tour else ()), f"trip {k + 1} sells where it does not stop")
        if tour is None or vehicle is None or instance.roads is None:
            continue
        require(as_long_as(instance.scenario, tour), f"trip {k + 1} is not as long as said, or not a round trip")
        kg = sum(load.values())
        require(kg <= vehicle.payload_kg * (1 + 1e-6) + KG_SLACK, f"trip {k + 1} carries {kg:g} kg")
        if vehicle.volume_l is not None:
            litres = sum(kg * instance.litres_per_kg[instance.lots[i].grade] for i, kg in load.items())
            require(litres <= vehicle.volume_l * (1 + 1e-6) + KG_SLACK, f"trip {k + 1} carries {litres:g} L")
    for i, _, k in decision.lots:
        buyer = instance.buyers[instance.lots[i].buyer]
        require(
            (k == MAIL) != buyer.is_visited,
            f"a lot to {buyer.id} {'goes' if buyer.is_visited else 'does not go'} by mail",
        )
    trips = {trip for _, _, trip in decision.lots if trip != MAIL}
    require(trips <= set(range(len(decision.tours))), "a lot rides on no trip")


def check_parcels(instance: Instance, decision: Decision) -> None:
    """What is mailed fits the parcels that are paid for."""
    sound = all(isinstance(n, int) and n >= 0 for n in decision.parcels.values())
    require(sound, "a number of parcels is negative or not whole")
    for b, buyer in enumerate(instance.buyers):
        kg = sum(v for (i, _, k), v in decision.lots.items() if k == MAIL and instance.lots[i].buyer == b)
        if buyer.shipping:
            room = sum(n * buyer.shipping[step].up_to_kg for (who, step), n in decision.parcels.items() if who == b)
            require(kg <= room + KG_SLACK * max(1.0, kg), f"{kg:g} kg to {buyer.id} do not fit the parcels")
            _whole_parcels(instance, decision, b)


def _whole_parcels(instance: Instance, decision: Decision, b: int) -> None:
    """Each piece loaded whole goes into one parcel."""
    pieces = [
        instance.grade_sales[s].kg
        for (s, i, _), n in decision.blocks.items()
        if instance.lots[i].buyer == b
        for _ in range(n)
    ]
    sizes = parcel_sizes(instance, decision, b)
    require(packs(pieces, sizes), f"{len(pieces)} pieces to {instance.buyers[b].id} do not fit the parcels uncut")
