"""What one learns from one's own weighings, clock, tests and sales: by the app's own learning, told without a ledger.

Where a checkout of the app does not have it yet, a plain stand-in: every observation counts, the catalogue for four.
"""

from __future__ import annotations

import importlib
from dataclasses import replace
from functools import cache
from math import exp, log
from statistics import fmean
from typing import TYPE_CHECKING, Any

from year_signs import has_signs, odds_of

from partway.catalogue import shipped
from partway.things.anatomy import Anatomy, Operation, Part, Piece
from partway.things.estimate import Estimate

if TYPE_CHECKING:
    from year_shed import Shed

WEIGHT = 4.0  # how many observations of one's own the catalogue counts for in the stand-in


@cache
def _app(name: str) -> Any:
    """A module of the app's own learning; None where this checkout has none."""
    try:
        return importlib.import_module(f"partway.valuing.learned.{name}")
    except ModuleNotFoundError:
        return None


def learned(anatomies: dict[str, Anatomy], shed: Shed) -> dict[str, Anatomy]:
    """Every kind with what was seen of it until now."""
    for learn in (_measured, _resold, _tested):
        anatomies = learn(anatomies, shed)
    return anatomies


# -- masses and minutes ---------------------------------------------------------------------------


def _measured(anatomies: dict[str, Anatomy], shed: Shed) -> dict[str, Anatomy]:
    masses, minutes, seen = _app("masses"), _app("minutes"), _app("seen")
    if seen is None or masses is None or minutes is None:
        return {kind: _moved_all(anatomy, shed) for kind, anatomy in anatomies.items()}
    found = {}
    for kind, anatomy in anatomies.items():
        pieces = [seen.PieceSeen(p, kg, None) for (k, p), kgs in shed.seen.masses.items() if k == kind for kg in kgs]
        work = [seen.WorkSeen(runs, total) for runs, total in shed.seen.work.get(kind, ())]
        known = seen.KindSeen((), tuple(sorted(pieces, key=lambda p: (p.piece, p.kg))), tuple(work))
        found[kind] = minutes.with_minutes(masses.with_masses(anatomy, known), known)
    return found


def _moved_all(anatomy: Anatomy, shed: Shed) -> Anatomy:
    masses, minutes = shed.seen.masses, shed.seen.minutes
    pieces = tuple(replace(p, mass=_moved(p.mass, masses.get((anatomy.kind, p.id), []))) for p in anatomy.pieces)
    operations = tuple(_operation(op, minutes.get((anatomy.kind, op.id), [])) for op in anatomy.operations)
    return replace(anatomy, pieces=pieces, operations=operations)


def _operation(op: Operation, seen: list[float]) -> Operation:
    return replace(op, minutes=_moved(op.minutes, seen))


def _moved(estimate: Estimate, values: list[float]) -> Estimate:
    """An estimate with its logarithm drawn towards the mean of what was seen."""
    if not values or estimate.mean <= 0.0:
        return estimate
    shift = len(values) / (len(values) + WEIGHT) * (fmean(map(log, values)) - log(estimate.mean))
    return estimate.scaled(exp(shift))


# -- whether it works -----------------------------------------------------------------------------


def _tested(anatomies: dict[str, Anatomy], shed: Shed) -> dict[str, Anatomy]:
    if not has_signs():
        return {kind: _beta(anatomy, shed) for kind, anatomy in anatomies.items()}
    known = odds_of(shed, learns=True)
    return {kind: known.learned(anatomy) for kind, anatomy in anatomies.items()}


def _beta(anatomy: Anatomy, shed: Shed) -> Anatomy:
    tests = [thing.works for thing in shed.seen.tested if thing.kind == anatomy.kind]
    if anatomy.works is None or not tests:
        return anatomy
    return replace(anatomy, works=(WEIGHT * anatomy.works + sum(tests)) / (WEIGHT + len(tests)))


# -- resale ---------------------------------------------------------------------------------------


def _resold(anatomies: dict[str, Anatomy], shed: Shed) -> dict[str, Anatomy]:
    resale, record, pooling = _app("resale"), _app("record"), _app("pooling")
    if resale is None or record is None or pooling is None or not shed.seen.offered:
        return {kind: _rates(anatomy, shed) for kind, anatomy in anatomies.items()}
    found = {}
    for (kind, piece, i), weeks in shed.seen.offered.items():
        got = shed.seen.got.get((kind, piece, i), [])
        name = shipped().anatomy(kind).piece(piece).parts[i].name
        on_offer = sum((x.thing.kind, x.piece, x.part) == (kind, piece, i) for x in shed.listed)
        total = sum(got)
        found[kind, piece, name] = record.PartRecord(len(got), 7.0 * weeks, on_offer, 0, got, total, total)
    known = learned_from(resale, pooling, found, shed.market.best("copper-2", 0))
    return {kind: known.learned(anatomy) for kind, anatomy in anatomies.items()}


def learned_from(resale: Any, pooling: Any, found: dict[Any, Any], copper: float) -> Any:
    """As `ResaleLearned.of` does with a book, from records that are there already."""
    catalogue = shipped()
    families = {key: catalogue.anatomy(key[0]).family or key[0] for key in found}
    parts = {key: resale._part(catalogue.anatomy(key[0]), key) for key in found}
    sold = {key: (found[key].sold, resale._prior(part).mean * found[key].days) for key, part in parts.items()}
    logs = {
        key: resale._logs(found[key], price) for key, part in parts.items() if (price := resale._price(part, copper))
    }
    family = families.__getitem__
    rates = pooling.rates_seen(sold, resale.SHAPE, family)
    return resale.ResaleLearned(found, rates, pooling.ratios_seen(logs, resale.WEIGHT, family), copper)


def _rates(anatomy: Anatomy, shed: Shed) -> Anatomy:
    return replace(anatomy, pieces=tuple(_rate_of(anatomy.kind, piece, shed) for piece in anatomy.pieces))


def _rate_of(kind: str, piece: Piece, shed: Shed) -> Piece:
    return replace(piece, parts=tuple(_part((kind, piece.id, i), part, shed) for i, part in enumerate(piece.parts)))


def _part(key: tuple[str, str, int], part: Part, shed: Shed) -> Part:
    """Gamma on the rate of buyers, its prior from the catalogue's chance within its days; price by the logarithm."""
    got, days = shed.seen.got.get(key, []), 7.0 * shed.seen.offered[key]
    if not days:
        return part
    prior = -log(1.0 - part.chance) / part.days
    rate = (WEIGHT + len(got)) / (WEIGHT / prior + days)
    price = part.price
    if got and part.in_copper:
        unit = shed.market.best("copper-2", 0)
        price = _moved(price, [money / unit for money in got])
    return replace(part, chance=1.0 - exp(-rate * part.days), price=price)
