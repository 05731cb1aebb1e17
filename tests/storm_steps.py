"""Random steps of several people at one ledger, each as JSON interface, actions and command line take it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any

from partway.actions.bench import finds, selling
from partway.actions.bins import bins
from partway.actions.books import corrections, money, opening_anew
from partway.actions.buyers import quoting
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.haul import hauls, tickets
from partway.actions.home import settings
from partway.actions.recording.context import Context
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.web.api.bodies import Body
from partway.web.bench import bodies as bench
from partway.web.books import bodies as books
from partway.web.buyers import bodies as trade

KINDS = ("kettle", "microwave", "toaster")
BINS = ("copper-2", "copper-2-shed")
YARDS = ("harbour-yard", "ridge-yard")
# Where a step is sent, the form of its body, and the action it stands for.
ACTIONS: dict[str, tuple[type[Body], Callable[..., Any]]] = {
    "/api/find": (bench.FindBody, finds.find),
    "/api/test": (bench.TestBody, finds.test),
    "/api/weigh": (bench.WeighBody, finds.weigh),
    "/api/open": (bench.OpenBody, opening_anew.record_opening),
    "/api/sell": (bench.SellBody, selling.sell),
    "/api/discard": (bench.DiscardBody, selling.discard),
    "/api/bin": (bench.BinBody, bins.add_bin),
    "/api/recount": (bench.RecountBody, bins.recount),
    "/api/move": (bench.MoveBody, bins.move),
    "/api/quote": (trade.QuoteBody, quoting.quote),
    "/api/ticket": (trade.TicketBody, tickets.ticket),
    "/api/haul/start": (trade.StartBody, hauls.start),
    "/api/haul/finish": (trade.FinishBody, hauls.finish),
    "/api/paid": (trade.PaidBody, money.paid),
    "/api/spend": (books.SpendBody, money.spend),
    "/api/hours": (books.HoursBody, money.hours),
    "/api/set": (books.SetBody, settings.set_),
}


@dataclass(frozen=True)
class Step:
    """One step: an address and what is sent there, and the same as arguments of the command."""

    path: str
    body: dict[str, Any]
    arguments: tuple[str, ...]

    def act(self, book: Book, context: Context) -> Any:
        """The action itself."""
        if self.path == "/api/correct":
            return corrections.correct(book, context, self.body["events"][0], self.body["why"])
        form, action = ACTIONS[self.path]
        return action(book, context, **form.model_validate(self.body).given())


def town(book: Book, context: Context) -> None:
    """Two yards, two bins of one grade with 60 kg in them, and their settings: all invented."""
    settings.set_many(book, context, {"currency": "CAD", "unit": "kg"})
    for name in YARDS:
        buyer(book, context, name, Terms(kind="yard", km="14"))
    for name, holds in zip(BINS, ("40 kg", "20 kg"), strict=True):
        bins.add_bin(book, context, "copper-2", name, holds=holds)


def step(draw: Random, book: Book, mine: Sequence[str]) -> Step:
    """What somebody does next who has looked at the ledger a moment ago; `mine` are events they recorded."""
    there = sorted(standing.finds(book))
    kg = f"{draw.randrange(200, 4000) / 1000} kg"
    what = draw.choices(list(SORTS), [weight for weight, _ in SORTS.values()])[0]
    if (what in OF_FINDS and not there) or (what == "correct" and not mine):
        what = "find"
    return SORTS[what][1](draw, kg, there, mine)


def _find(draw: Random, kg: str, _: Sequence[str], __: Sequence[str]) -> Step:
    kind = draw.choice(KINDS)
    return Step("/api/find", {"kind": kind, "mass": kg}, ("find", kind, "--mass", kg))


def _test(draw: Random, _: str, there: Sequence[str], __: Sequence[str]) -> Step:
    find, works = draw.choice(there), draw.choice(("yes", "no"))
    return Step("/api/test", {"find": find, "works": works}, ("test", find, works))


def _weigh(draw: Random, kg: str, there: Sequence[str], _: Sequence[str]) -> Step:
    find = draw.choice(there)
    return Step("/api/weigh", {"find": find, "mass": kg}, ("weigh", find, kg))


def _open(draw: Random, _: str, there: Sequence[str], __: Sequence[str]) -> Step:
    find = draw.choice([name for name in there if name.startswith("microwave")] or there)
    body = {
        "find": find,
        "operations": ["cord-and-tray"],
        "pieces": [{"piece": "cord", "mass": "0.1 kg"}],
        "gap": "left",
    }
    return Step("/api/open", body, ("open", find, "cord=0.1 kg", "--op", "cord-and-tray", "--gap", "left"))


def _sell(draw: Random, _: str, there: Sequence[str], __: Sequence[str]) -> Step:
    find = draw.choice(there)
    return Step("/api/sell", {"find": find, "price": "12.50"}, ("sell", find, "12.50"))


def _discard(draw: Random, _: str, there: Sequence[str], __: Sequence[str]) -> Step:
    find = draw.choice(there)
    return Step("/api/discard", {"find": find}, ("discard", find))


def _recount(draw: Random, _: str, __: Sequence[str], ___: Sequence[str]) -> Step:
    name, kg = draw.choice(BINS), f"{draw.randrange(5, 60)} kg"
    return Step("/api/recount", {"bin": name, "mass": kg}, ("recount", name, kg))


def _move(draw: Random, kg: str, _: Sequence[str], __: Sequence[str]) -> Step:
    one, other = draw.sample(BINS, 2)
    return Step("/api/move", {"bin": one, "to": other, "mass": kg}, ("move", one, other, kg))


def _ticket(draw: Random, _: str, __: Sequence[str], ___: Sequence[str]) -> Step:
    yard, name, kg = draw.choice(YARDS), draw.choice(BINS), f"{draw.randrange(2, 20)} kg"
    line = {"grade": "copper-2", "mass": kg, "price": "9.10 /kg", "own": "yard", "bin": name}
    said = f"copper-2 {kg} at 9.10 /kg ~yard @{name}"
    return Step("/api/ticket", {"buyer": yard, "lines": [line]}, ("ticket", yard, said))


def _start(draw: Random, _: str, __: Sequence[str], ___: Sequence[str]) -> Step:
    yard = draw.choice(YARDS)
    return Step("/api/haul/start", {"stops": [yard]}, ("haul", "start", yard))


def _finish(draw: Random, _: str, __: Sequence[str], ___: Sequence[str]) -> Step:
    km = str(draw.randrange(10, 90))
    return Step("/api/haul/finish", {"km": km}, ("haul", "finish", "--km", km))


def _paid(draw: Random, _: str, __: Sequence[str], ___: Sequence[str]) -> Step:
    yard, amount = draw.choice(YARDS), f"{draw.randrange(1, 90)}.00"
    return Step("/api/paid", {"buyer": yard, "amount": amount}, ("paid", yard, amount))


def _spend(draw: Random, _: str, __: Sequence[str], ___: Sequence[str]) -> Step:
    amount = f"{draw.randrange(1, 90)}.05"
    return Step("/api/spend", {"what": "blades", "amount": amount}, ("spend", "blades", amount))


def _hours(draw: Random, _: str, there: Sequence[str], __: Sequence[str]) -> Step:
    minutes, find = str(draw.randrange(1, 200)), draw.choice(there)
    body = {"activity": "bench", "time": minutes, "find": find}
    return Step("/api/hours", body, ("hours", "bench", minutes, "--find", find))


def _quote(draw: Random, _: str, __: Sequence[str], ___: Sequence[str]) -> Step:
    yard, price = draw.choice(YARDS), f"{draw.randrange(700, 999) / 100} /kg"
    return Step("/api/quote", {"buyer": yard, "grade": "copper-2", "price": price}, ("quote", yard, "copper-2", price))


def _set(draw: Random, _: str, __: Sequence[str], ___: Sequence[str]) -> Step:
    wage = str(draw.randrange(10, 30))
    return Step("/api/set", {"name": "wage", "value": wage}, ("set", "wage", wage))


def _correct(draw: Random, _: str, __: Sequence[str], mine: Sequence[str]) -> Step:
    event = draw.choice(mine)
    return Step("/api/correct", {"events": [event], "why": "slip"}, ("correct", event, "--why", "slip"))


OF_FINDS = ("test", "weigh", "open", "sell", "discard", "hours")
SORTS: dict[str, tuple[int, Callable[[Random, str, Sequence[str], Sequence[str]], Step]]] = {
    "find": (8, _find),
    "test": (1, _test),
    "weigh": (3, _weigh),
    "open": (3, _open),
    "sell": (1, _sell),
    "discard": (2, _discard),
    "recount": (4, _recount),
    "move": (4, _move),
    "ticket": (6, _ticket),
    "start": (1, _start),
    "finish": (1, _finish),
    "paid": (2, _paid),
    "spend": (1, _spend),
    "hours": (1, _hours),
    "quote": (1, _quote),
    "set": (1, _set),
    "correct": (4, _correct),
}
