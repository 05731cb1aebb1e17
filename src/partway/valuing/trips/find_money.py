"""What single finds brought and are worth: parts sold, what came out of them at its price, and what still waits."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping

from partway.ledger.book import Book
from partway.ledger.events.effects import RESIDUE
from partway.planning.instance.market import Market
from partway.things.scenario import Scenario
from partway.valuing.finds.hands import HoldingValues
from partway.valuing.finds.waiting import WaitingFind, holding_of
from partway.valuing.kinds import PricedMasses, received
from partway.valuing.known import catalogue_of
from partway.valuing.trips.rounds import FindMoney

AT_BENCH = ("minutes:bench", "minutes:list")


def find_money(
    book: Book, finds: Collection[str], waiting: Iterable[WaitingFind], prices: Scenario
) -> dict[str, FindMoney]:
    """Money of some finds, every minute at them paid at one's wage. `waiting` are those that are still there, `prices`
    a scenario that knows their kinds.
    """
    hour = prices.hours.wage
    worked, parts = _tagged(book, AT_BENCH), _tagged(book, ("parts",))
    out = _came_out(book, finds)
    priced = PricedMasses(
        received(book.moved(), book.posted()), Market.of(prices), prices.grades, prices.cautions, catalogue_of(book)
    )
    left = _still_there(waiting, prices)
    found = {}
    for find in finds:
        at_tickets, at_quotes, _ = priced.worth(out.get(find, {}))
        brought = parts.get(find, 0.0) + at_tickets + at_quotes - hour * worked.get(find, 0.0) / 60.0
        found[find] = FindMoney(brought, left.get(find, 0.0))
    return found


def _tagged(book: Book, accounts: tuple[str, ...]) -> Mapping[str, float]:
    """Sums by find of accounts that begin so."""
    sums: dict[str, float] = defaultdict(float)
    for account in accounts:
        for (_, find), amount in book.tagged(account).items():
            sums[find] += float(amount)
    return sums


def _came_out(book: Book, finds: Collection[str]) -> dict[str, Counter[str]]:
    """Milligrams by grade that went from each find into bins."""
    out: dict[str, Counter[str]] = {}
    for flow in book.flows("find:") if finds else ():
        find = flow.move.source.removeprefix("find:")
        if find in finds and flow.move.target.startswith("bin:") and flow.move.grade != RESIDUE:
            out.setdefault(find, Counter())[flow.move.grade] += flow.move.mg
    return out


def _still_there(waiting: Iterable[WaitingFind], prices: Scenario) -> dict[str, float]:
    """What waiting finds are worth with the bench paid, as the queue values them."""
    holdings = {find.find: (holding_of(prices, [find]), find.count) for find in waiting}
    values = HoldingValues.at(prices).of(holding for holding, _ in holdings.values())
    hour = prices.hours.wage / 60.0
    return {
        find: count * (values[holding].brings - hour * values[holding].minutes)
        for find, (holding, count) in holdings.items()
    }
