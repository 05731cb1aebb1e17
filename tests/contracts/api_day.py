"""A day of work on the demo workspace: each write of the JSON interface beside the action it stands for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from partway.actions.bench import finds, listing, opening, selling
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books import money, notes
from partway.actions.buyers import buyers, quoting
from partway.actions.buyers import price_lists as lists
from partway.actions.curb import rounds
from partway.actions.haul import hauls, tickets
from partway.actions.haul.tickets import LineGiven
from partway.actions.home import settings
from partway.actions.recording.context import Context, Recorded
from partway.actions.saying.say import say
from partway.actions.what import found_out as identifying
from partway.actions.what import own_kinds, placing
from partway.ledger.book import Book

Act = Callable[[Book, Context], Recorded[Any]]


@dataclass(frozen=True)
class Written:
    """What is sent where, and the same said to the action."""

    path: str
    body: dict[str, Any]
    act: Act


LIST = "no 2 copper 4.10, motors 38c, 304 stainless not taking"
TICKET = {"grade": "motors-al", "mass": "13.1 lb", "price": "0.22 /lb"}
OPENED = {
    "find": "stereo-receiver-2",
    "operations": ["cover-off"],
    "minutes": "9",
    "pieces": [{"piece": "cord", "mass": "0.3 kg"}],
    "gap": "left",
}

TOY = '[[anatomy]]\nkind = "desk-toy"\n[[anatomy.piece]]\nid = "whole"\nmass_kg = [0.5, 0.75, 1.0]\n'


def save_list(book: Book, context: Context) -> Recorded[Any]:
    return lists.save_list(book, context, "harbour-yard", lists.read_list(book, "harbour-yard", LIST))


DAY = (
    Written(
        "/api/find",
        {"kind": "microwave", "mass": "13.2 kg", "source": "maple street"},
        lambda b, c: finds.find(b, c, "microwave", 1, 13_200_000, source="maple street"),
    ),
    Written(
        "/api/round/start",
        {"where": "west streets"},
        lambda b, c: rounds.start_round(b, c, "west streets"),
    ),
    Written(
        "/api/round/end",
        {"km": "14", "left": ["sofa bed", "tube tv"]},
        lambda b, c: rounds.end_round(b, c, km="14", left=["sofa bed", "tube tv"]),
    ),
    Written(
        "/api/round",
        {"where": "west streets", "begin": "6:10", "end": "7:40", "km": "14"},
        lambda b, c: rounds.past_round(b, c, "west streets", "6:10", "7:40", "14"),
    ),
    Written(
        "/api/test",
        {"find": "microwave-13", "works": "no"},
        lambda b, c: finds.test(b, c, "microwave-13", "no"),
    ),
    Written(
        "/api/weigh",
        {"find": "router-9", "mass": "640 g"},
        lambda b, c: finds.weigh(b, c, "router-9", 640_000),
    ),
    Written(
        "/api/open",
        OPENED,
        lambda b, c: opening.open_up(
            b, c, "stereo-receiver-2", [PieceGiven("cord", 300_000)], ["cover-off"], 9, gap="left"
        ),
    ),
    Written(
        "/api/sell",
        {"find": "speaker-8", "price": "25.00", "minutes": "15"},
        lambda b, c: selling.sell(b, c, "speaker-8", Decimal(25), minutes=15),
    ),
    Written(
        "/api/list",
        {"find": "microwave-13", "asking": "35.00", "where": "the board"},
        lambda b, c: listing.put_on_offer(b, c, "microwave-13", Decimal(35), where="the board"),
    ),
    Written(
        "/api/reprice",
        {"listing": "microwave-13-offer-1", "asking": "28.00"},
        lambda b, c: listing.reprice(b, c, "microwave-13-offer-1", Decimal(28)),
    ),
    Written(
        "/api/take-down",
        {"listing": "microwave-13-offer-1"},
        lambda b, c: listing.take_down(b, c, "microwave-13-offer-1"),
    ),
    Written(
        "/api/return",
        {"sale": "speaker-8", "refund": "25.00"},
        lambda b, c: listing.take_back(b, c, "speaker-8", Decimal(25)),
    ),
    Written("/api/discard", {"find": "fan-13"}, lambda b, c: selling.discard(b, c, "fan-13")),
    Written(
        "/api/bin",
        {"grade": "copper-2", "bin": "copper-2-shed", "capacity": "20 L"},
        lambda b, c: bins.add_bin(b, c, "copper-2", "copper-2-shed", capacity="20 L"),
    ),
    Written("/api/recount", {"bin": "motors", "mass": "4.6 lb"}, lambda b, c: bins.recount(b, c, "motors", "4.6 lb")),
    Written(
        "/api/move",
        {"bin": "brass-taps", "to": "copper-2-shed", "mass": "0.1 kg", "regrade": "yes"},
        lambda b, c: bins.move(b, c, "brass-taps", "copper-2-shed", 100_000, regrade=True),
    ),
    Written(
        "/api/buyer",
        {"buyer": "ridge-yard", "minutes": "25", "refuses": ["li-ion"]},
        lambda b, c: buyers.buyer(b, c, "ridge-yard", buyers.Terms(minutes="25", refuses=["li-ion"])),
    ),
    Written(
        "/api/quote",
        {"buyer": "harbour-yard", "grade": "copper-2", "price": "4.10 /lb"},
        lambda b, c: quoting.quote(b, c, "harbour-yard", "copper-2", "4.10 /lb"),
    ),
    Written("/api/quotes", {"buyer": "harbour-yard", "text": LIST}, save_list),
    Written(
        "/api/haul/finish",
        {"km": "61", "minutes": "2 h 10"},
        lambda b, c: hauls.finish(b, c, km="61", minutes=130),
    ),
    Written(
        "/api/haul/start",
        {"stops": ["harbour-yard", "ridge-yard"]},
        lambda b, c: hauls.start(b, c, ["harbour-yard", "ridge-yard"]),
    ),
    Written(
        "/api/ticket",
        {"buyer": "harbour-yard", "lines": [TICKET]},
        lambda b, c: tickets.ticket(b, c, "harbour-yard", [LineGiven("motors-al", "13.1 lb", "0.22 /lb")]),
    ),
    Written(
        "/api/paid",
        {"buyer": "harbour-yard", "amount": "9.33", "ticket": "ticket-16"},
        lambda b, c: money.paid(b, c, "harbour-yard", Decimal("9.33"), "ticket-16"),
    ),
    Written(
        "/api/spend",
        {"what": "fuel, full tank", "amount": "62.40", "category": "fuel"},
        lambda b, c: money.spend(b, c, "fuel, full tank", Decimal("62.4"), "fuel"),
    ),
    Written(
        "/api/hours",
        {"activity": "collect", "time": "1 h 30"},
        lambda b, c: money.hours(b, c, "collect", 90),
    ),
    Written(
        "/api/note",
        {"text": "closes at noon on saturdays", "buyer": "harbour-yard"},
        lambda b, c: notes.note(b, c, "closes at noon on saturdays", buyer="harbour-yard"),
    ),
    Written(
        "/api/identify",
        {"material": "chrome-brass", "context": "taps", "count": 3, "answers": {"colour": "yellow"}, "mass": "2.4 kg"},
        lambda b, c: identifying.confirm(b, c, "chrome-brass", "taps", 3, {"colour": "yellow"}, 2_400_000),
    ),
    Written(
        "/api/place",
        {"card": "payment", "says": "no cash for copper", "source": "notice at the yard", "seen": "2026-03-01"},
        lambda b, c: placing.fill_in(b, c, "payment", "no cash for copper", "notice at the yard", "2026-03-01"),
    ),
    Written("/api/own-kinds", {"anatomy": TOY}, lambda b, c: own_kinds.add_kinds(b, c, TOY)),
    Written("/api/own-kinds/given-up", {"kind": "desk-toy"}, lambda b, c: own_kinds.give_up_kind(b, c, "desk-toy")),
    Written(
        "/api/own-kinds/from",
        {
            "find": "microwave-12",
            "hazards": "mains,sharp-edges",
            "name": "Oven",
            "names": "old oven",
            "kind": "my-oven",
        },
        lambda b, c: own_kinds.kind_from(b, c, "microwave-12", "mains,sharp-edges", "Oven", "old oven", "my-oven"),
    ),
    Written(
        "/api/say",
        {"text": "found two microwaves, one works. fuel forty bucks", "save": True},
        lambda b, c: say(b, c, "found two microwaves, one works. fuel forty bucks"),
    ),
    Written("/api/set", {"name": "wage", "value": "18"}, lambda b, c: settings.set_(b, c, "wage", "18")),
)
