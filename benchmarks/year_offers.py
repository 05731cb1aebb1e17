"""Resale in the simulated year: who buys what is on offer, and what comes down again."""

from __future__ import annotations

from collections import Counter
from math import exp
from typing import TYPE_CHECKING

from year_seen import Listing
from year_things import Thing
from year_truth import GOT_SD, drawn

if TYPE_CHECKING:
    from year_shed import Shed

PATIENCE = 1.5  # times the days in which a part is said to sell: then it comes down
ALIKE = 0.5  # power of the number on offer by which buyers grow: 0, all wait for the same one; 1, each has its own


def offer(shed: Shed, thing: Thing, piece: str, part: int, mg: int) -> None:
    """List a thing or a piece of it."""
    said = shed.kind(thing).guess.piece(piece).parts[part]
    if said.needs == "works" and not thing.works:
        raise AssertionError(f"a {thing.kind} that does not work is offered as working")
    shed.work(said.minutes.mean / 60.0, "list")
    shed.listed.append(Listing(thing, piece, part, mg, shed.week, shed.bin_of(thing, piece)))
    shed.counts["listed"] += 1


def resale_week(shed: Shed) -> None:
    """Who asks this week buys the longest on offer; what found nobody in a long while comes down again.

    Several alike draw more buyers than one, but not as many more (ALIKE).
    """
    for key in dict.fromkeys((one.thing.kind, one.piece, one.part) for one in shed.listed):
        sale = shed.truth.kinds[key[0]].sales[key[1], key[2]]
        on_offer = [one for one in shed.listed if (one.thing.kind, one.piece, one.part) == key]
        shed.seen.offered[key] += 1
        rng = drawn(shed.truth.seed, "buyers", *key, shed.week)
        for one in on_offer[: rng.poisson(sale.rate * 7.0 * len(on_offer) ** ALIKE)]:
            got = sale.price * exp(GOT_SD * rng.standard_normal())
            shed.listed.remove(one)
            shed.gone_mg["resale"] += one.mg
            shed.pay(got * (1.0 - sale.fee) - sale.postage, "resale")
            shed.seen.got.setdefault(key, []).append(got)
            shed.counts["resold"] += 1
    for one in [x for x in shed.listed if (shed.week - x.week) * 7.0 >= PATIENCE * _days(shed, x)]:
        take_down(shed, one)


def is_whole(shed: Shed, one: Listing) -> bool:
    """Whether a thing is on offer as it is."""
    return one.piece == shed.kind(one.thing).guess.whole.id


def parts_on_offer(shed: Shed) -> Counter[tuple[str, str, str]]:
    """How many of a part are on offer, whole things apart: by kind, piece and name of the part."""
    pieces = [one for one in shed.listed if not is_whole(shed, one)]
    return Counter(
        (one.thing.kind, one.piece, shed.kind(one.thing).guess.piece(one.piece).parts[one.part].name) for one in pieces
    )


def _days(shed: Shed, one: Listing) -> float:
    return shed.kind(one.thing).sales[one.piece, one.part].days


def take_down(shed: Shed, one: Listing) -> None:
    """A whole thing goes back among the others, a piece into its bin."""
    shed.listed.remove(one)
    if is_whole(shed, one):
        shed.things.append(one.thing)
    else:
        shed.into_bin(one.thing, one.piece, one.grade, one.mg)
