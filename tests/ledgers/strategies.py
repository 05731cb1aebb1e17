"""Hypothesis strategies of events: days that make sense (`yards`, `histories`) and any events at all (`ledgers`).

To reuse: `from ledgers.strategies import histories`.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any, TypeVar

from hypothesis import strategies as st
from ledgers.devices import Device
from ledgers.yard import START, START_MS, Yard

from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import RANDOM_BITS, built

T = TypeVar("T")
Draw = Callable[[st.SearchStrategy[Any]], Any]
LARGEST_MG = 10**13  # what the codec allows, said again


class Drawn:
    """Choices of Hypothesis."""

    def __init__(self, draw: Draw) -> None:
        self._draw = draw

    def whole(self, least: int, most: int) -> int:
        number: int = self._draw(st.integers(least, most))
        return number

    def pick(self, among: Sequence[T]) -> T:
        picked: T = self._draw(st.sampled_from(among))
        return picked


@st.composite
def yards(draw: Draw, most: int = 20) -> Yard:
    """A yard after some steps, no corrections: its model says what the ledger must say."""
    yard = Yard(Drawn(draw))
    for _ in range(draw(st.integers(0, most))):
        yard.step()
    return yard


@st.composite
def histories(draw: Draw, most: int = 15) -> list[Event]:
    """Days that make sense, with corrections in between, of corrections too."""
    yard = Yard(Drawn(draw))
    for correct in draw(st.lists(st.sampled_from((False, False, False, True)), max_size=most)):
        if correct and yard.events:
            yard.corrected()
        else:
            yard.step()
    return yard.events


# --- any events at all ---

ids = st.sampled_from(("a", "b", "A", "a_b", "axb", "a%", "é", "straße", "1", "no 2 copper")) | st.text(
    st.characters(categories=("L", "N", "P", "S"), exclude_characters=":"), min_size=1, max_size=12
)
texts = st.text(st.characters(categories=("L", "N", "P", "S", "Zs"), include_characters="\n\t "), max_size=20).filter(
    lambda text: text.replace("\n", " ").replace("\t", " ").isprintable()
)
few = st.sampled_from(("a", "b", "c"))  # so that events meet
names = few | ids
says = texts.filter(str.strip)
masses = st.integers(0, LARGEST_MG) | st.integers(0, 5000)
signed = st.integers(-LARGEST_MG, LARGEST_MG)
minutes = st.integers(0, 10**6)
counts = st.integers(1, 10**6)
days = st.dates(dt.date(1970, 1, 1), dt.date(2199, 12, 31))


def decimals(least: str, most: str, places: int) -> st.SearchStrategy[Decimal]:
    return st.integers(0, places).flatmap(
        lambda n: st.decimals(Decimal(least), Decimal(most), allow_nan=False, allow_infinity=False, places=n)
    )


money = decimals("-9999999999", "9999999999", 6)
outlay = decimals("0", "9999999999", 6)
prices = decimals("-9999999999", "9999999999", 9)
amounts = decimals("0", "9999999999", 9)
units = st.sampled_from(("lb", "kg", "short ton", "long ton", "tonne", "oz", "g"))
has = st.sampled_from(("", "yes", "no"))
works = st.sampled_from(("yes", "no", "unknown"))
digests = st.integers(0, 9).map(lambda n: f"{n:064x}")
sides = st.integers(1, 1600)


def tuples(of: st.SearchStrategy[T]) -> st.SearchStrategy[tuple[T, ...]]:
    return st.lists(of, max_size=3).map(tuple)


own_by = st.sampled_from(("", "scale", "bin", "yard"))
lines = st.builds(p.TicketLine, names, names, masses, masses, prices, units, money, own_by)
pieces = st.builds(p.PieceOut, names, counts, names, names, masses)
payloads: dict[str, st.SearchStrategy[p.Payload]] = {
    "found": st.builds(
        p.Found, names, names, counts, works, st.none() | masses, texts, texts, texts, texts,
        mostly=st.sampled_from(("", "", "steel", "plastic-motor")), cord=has, motor=has, battery=has,
        size=st.sampled_from(("", "1-3kg")), round=st.none() | names,
        signs=st.sampled_from(("", "", "cord-cut", "-boxed wet")),
    ),
    "tested": st.builds(p.Tested, names, works),
    "weighed": st.builds(p.Weighed, names, masses, signed),
    "opened": st.builds(
        p.Opened, names, tuples(pieces), signed, tuples(st.builds(p.Run, names, names, counts)), minutes, masses,
        masses, st.booleans(),
    ),
    "binned": st.builds(p.Binned, names, names, texts, st.none() | amounts),
    "recounted": st.builds(p.Recounted, names, names, masses, signed, st.booleans()),
    "moved": st.builds(p.Moved, names, names, names, names, masses).filter(
        lambda moved: (moved.bin, moved.grade) != (moved.to_bin, moved.to_grade)
    ),
    "sold": st.builds(
        p.Parted, names, texts, counts, masses, signed, outlay, outlay, outlay, minutes, st.booleans(),
        st.none() | names,
    ),
    "discarded": st.builds(p.Discarded, names, masses, signed),
    "traded": st.builds(
        p.Traded, names, st.sampled_from(("yard", "mail-in", "drop-off", "tip")), texts, st.none() | amounts,
        st.none() | st.tuples(decimals("-90", "90", 6), decimals("-180", "180", 6)), minutes, tuples(names),
        tuples(st.builds(p.Postage, masses, outlay)), texts,
        tuples(st.sampled_from(("mon-fri 08:00-16:30", "sat 08:00-12:00", "mon,wed-thu 9:30-24:00"))),
    ),
    "quoted": st.builds(
        p.Quoted, names, names, st.none() | prices, units, days, masses, masses, texts, masses,
        st.integers(0, 10), masses, st.booleans(), st.none() | prices, st.none() | prices,
    ),
    "set": st.builds(p.Set, names, texts),
    "hauled": st.builds(
        p.Hauled, names, st.sampled_from(("started", "finished")), tuples(names), st.none() | amounts,
        st.none() | minutes, texts,
    ),
    "ticketed": st.builds(
        p.Ticketed, names, names, tuples(lines), money, tuples(st.builds(p.Deduction, texts, outlay)),
        st.none() | names, texts,
    ),
    "paid": st.builds(p.Paid, names, money, st.none() | names, texts),
    "spent": st.builds(p.Spent, texts, outlay, names),
    "worked": st.builds(
        p.Worked, st.sampled_from(("collect", "bench", "haul", "list", "other")), minutes, st.none() | names, texts
    ),
    "identified": st.builds(
        p.Identified, names, names, counts, st.none() | names, tuples(st.builds(p.Said, names, names)),
        st.none() | masses, texts,
    ),
    "ruled": st.builds(p.Ruled, names, says, says, days),
    "noted": st.builds(p.Noted, says, st.none() | names, st.none() | names, st.none() | names),
    "described": st.builds(p.Described, names, texts),
    "listed": st.builds(
        p.Listed, names, names, names, counts, outlay, texts, texts, st.none() | names, minutes, texts
    ),
    "repriced": st.builds(p.AskedAnew, names, outlay),
    "taken-down": st.builds(p.TakenDown, names, counts, texts),
    "returned": st.builds(
        p.Returned, st.integers(0, 9).map(lambda n: built(START_MS + n, n)), names, texts, counts, masses, outlay,
        outlay, listing=st.none() | names,
    ) | st.builds(
        p.Returned, st.just(built(START_MS, 1)), names, texts, counts, masses, outlay, bin=names, grade=names,
    ),
    "round": st.builds(
        p.Round, names, st.sampled_from(("started", "ended")), texts, st.none() | minutes, st.none() | amounts,
        tuples(says), texts,
    ),
    "pictured": st.builds(
        p.Pictured, digests, sides, sides, find=names, note=texts, kind=st.none(), piece=st.just(""),
    ) | st.builds(
        p.Pictured, digests, sides, sides, find=st.none() | names, kind=names, piece=names, note=texts,
    ) | st.builds(p.Pictured, digests, sides, sides, bin=names)
    | st.builds(p.Pictured, digests, sides, sides, ticket=names),
}  # fmt: skip
moments = st.integers(0, 2).map(lambda n: START + dt.timedelta(hours=n)) | st.datetimes(
    dt.datetime(1970, 1, 2), dt.datetime(2199, 12, 30), timezones=st.just(dt.UTC)
)
people = st.sampled_from(("me", "mate", "Zoë"))


@st.composite
def ledgers(draw: Draw, most: int = 8) -> list[Event]:
    """Any events, each with an id of its own; corrections of earlier ones, and of some that are not there."""
    events: list[Event] = []
    for number in range(draw(st.integers(0, most))):
        event_id = built(START_MS + number, draw(st.integers(0, 2**RANDOM_BITS - 1)))
        absent = built(START_MS - 1 - number, 7)
        targets = [event.id for event in events] + [absent]
        kind = draw(st.sampled_from((*payloads, *["corrected"] * 6)))
        if kind == "corrected":
            what: p.Payload = p.Corrected(
                draw(st.sampled_from(targets)), draw(texts), draw(st.none() | st.just(absent))
            )
        else:
            what = draw(payloads[kind])
        events.append(Event(event_id, draw(people), draw(moments), draw(moments), what))
    return events


@st.composite
def fleets(draw: Draw, most: int = 14, devices: int = 3) -> list[Device]:
    """Two or three devices after some steps of any of them, corrections, and meetings in between."""
    choose = Drawn(draw)
    fleet = [Device(choose, mark=f"0000000{n + 1}") for n in range(draw(st.integers(2, devices)))]
    for _ in range(draw(st.integers(1, most))):
        device = choose.pick(fleet)
        what = choose.pick(("step", "step", "step", "step", "correct", "meet"))
        if what == "meet":
            device.meets(choose.pick([other for other in fleet if other is not device]))
        elif what == "correct" and (known := list(device.book.recorded())):
            device.corrected(choose.pick(known).id)
        else:
            device.step()
    return fleet
