"""The balance sheet of mass: in = out + stock + residue + loss, to the milligram."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from partway.ledger.book import Balance, Facts
from partway.ledger.events.effects import LOSS, OUTSIDE, PEOPLE, RESIDUE


@dataclass(frozen=True, slots=True)
class BalanceSheet:
    """Masses in mg. A negative `loss`: scales found more than was lost.

    `residue_mg`: all residue that has not gone to a tip, in bins of that grade or, by older events, in a place of its
    own. It is not part of the stock, so the figure does not change when residue is put into a bin.

    `short`: places that gave more than the ledger had in them; their negative mass is part of the stock.
    """

    in_mg: int
    buyers_mg: int
    tips_mg: int
    people_mg: int
    finds_mg: int
    bins_mg: int
    residue_mg: int
    loss_mg: int
    short: Mapping[tuple[str, str], int]

    @property
    def out_mg(self) -> int:
        """What buyers, tips and people took."""
        return self.buyers_mg + self.tips_mg + self.people_mg

    @property
    def stock_mg(self) -> int:
        """What is still there: finds not opened, and bins but for those of residue."""
        return self.finds_mg + self.bins_mg

    @property
    def apart_mg(self) -> int:
        """In minus all the rest: 0, or the ledger is unsound."""
        return self.in_mg - self.out_mg - self.stock_mg - self.residue_mg - self.loss_mg


def sheet(balances: Balance, tips: Collection[str] = ()) -> BalanceSheet:
    """The sheet of a book's balances, all of them or summed; `tips` are ids of buyers that only bury or burn."""
    sums = {"find": 0, "bin": 0, "buyer": 0, "tip": 0, OUTSIDE: 0, PEOPLE: 0, RESIDUE: 0, LOSS: 0}
    for (place, grade), mg in balances.items():
        sort = sort_of(place, grade, tips)
        if sort in sums:  # any other place leaves the sheet apart, which is what a reader should see
            sums[sort] += mg
    return BalanceSheet(
        in_mg=-sums[OUTSIDE],
        buyers_mg=sums["buyer"],
        tips_mg=sums["tip"],
        people_mg=sums[PEOPLE],
        finds_mg=sums["find"],
        bins_mg=sums["bin"],
        residue_mg=sums[RESIDUE],
        loss_mg=sums[LOSS],
        short={key: mg for key, mg in balances.items() if mg < 0 and key[0].startswith(("find:", "bin:"))},
    )


def sort_of(place: str, grade: str, tips: Collection[str]) -> str:
    """The sort of a place: find, bin, buyer, tip, residue (also in a bin), people, loss, outside."""
    sort, _, name = place.partition(":")
    if sort == "buyer" and name in tips:
        return "tip"
    return RESIDUE if sort == "bin" and grade == RESIDUE else sort


def tips_in(facts: Facts) -> frozenset[str]:
    """Ids of the buyers that are tips, from facts about buyers (`terms`)."""
    terms = (
        json.loads(value) for (subject, name), value in facts.items() if name == "terms" and subject[:6] == "buyer:"
    )
    return frozenset(term["buyer"] for term in terms if term["kind"] == "tip")
