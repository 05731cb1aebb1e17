"""A ledger of ten years: how long it takes to open, to add to and to ask, beside the same statements without us.

One device kept it, and nothing in it contradicts itself, as in most ledgers.

.venv/bin/python benchmarks/ledger.py [share of ten years, 1 unless told]
"""

from __future__ import annotations

import datetime as dt
import random
import shutil
import sqlite3
import statistics
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import event as on
from sqlalchemy import func, select

from partway.ledger import trading
from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built, new_id
from partway.ledger.events.stamp import Stamp
from partway.ledger.fold import standing
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t
from partway.storage.workspace import open_file

START = dt.datetime(2016, 3, 1, 8, tzinfo=dt.UTC)
DAYS = 3650
FINDS, OPENED, QUOTES, TICKETS, OTHERS = 20_000, 18_000, 50_000, 2_000, 10_000
PIECES = 8  # with residue and loss ten movements for each find opened
GRADES = [f"grade-{n}" for n in range(40)]
BUYERS = [f"buyer-{n}" for n in range(12)]
APPENDS = 200
MASS = 4_000_000  # mg
Statement = tuple[str, Any, bool]  # text, parameters, whether they are many


def event(number: int, total: int, what: p.Payload) -> Event:
    """One of so many events spread over ten years."""
    when = START + dt.timedelta(seconds=number * DAYS * 86_400 // total)
    return Event(built(int(when.timestamp() * 1000), number), "me", when, when, what)


def opened(draw: random.Random, number: int) -> p.Opened:
    pieces = []
    for piece in range(PIECES):
        grade = draw.choice(GRADES)
        pieces.append(p.PieceOut(f"piece-{piece}", 1, grade, f"bin-{grade}", draw.randrange(1_000, 450_000)))
    rest = MASS - 100 - sum(piece.mass_mg for piece in pieces)
    return p.Opened(f"f{number}", tuple(pieces), MASS, (p.Run("whole", "open"),), 25, rest, 100)


def ticket(draw: random.Random, number: int, held: Counter[str]) -> p.Ticketed:
    """Four lots, each of at most half of what its bin holds."""
    lines = []
    for grade in draw.sample([grade for grade in GRADES if held[grade] > 1_000], 4):
        mass = draw.randrange(1, held[grade] // 2)
        held[grade] -= mass
        lines.append(p.TicketLine(grade, f"bin-{grade}", mass, mass, Decimal("4.10"), "kg", Decimal("41.30")))
    return p.Ticketed(f"t{number}", draw.choice(BUYERS), tuple(lines), Decimal("165.20"))


def quote(draw: random.Random) -> p.Quoted:
    price = Decimal(draw.randrange(1, 900)).scaleb(-2)
    return p.Quoted(draw.choice(BUYERS), draw.choice(GRADES), price, "lb", START.date())


def ten_years(share: float) -> list[p.Payload]:
    """Payloads in an order that could have been: a find is opened after it was found, all else in between."""
    draw = random.Random(1)
    finds, least = int(FINDS * share), int(FINDS * share) - int(OPENED * share)
    others: list[p.Payload] = [quote(draw) for _ in range(int(QUOTES * share))]
    others += [p.Worked("bench", draw.randrange(5, 200)) for _ in range(int(OTHERS * share))]
    draw.shuffle(others)
    held, openings = Counter[str](), OPENED // TICKETS
    result: list[p.Payload] = [p.Traded(buyer, "yard", km=Decimal(14)) for buyer in BUYERS]
    result += [p.Binned(f"bin-{grade}", grade) for grade in GRADES]
    for number in range(finds):
        result.append(p.Found(f"f{number}", "fan", mass_mg=MASS, source="curb"))
        if number >= least:
            one = opened(draw, number - least)
            held.update({piece.grade: piece.mass_mg for piece in one.pieces})
            result.append(one)
            if (number - least) % openings == 0:  # no more is sold than there is
                result.append(ticket(draw, (number - least) // openings, held))
        result += others[number * len(others) // finds : (number + 1) * len(others) // finds]
    return result


def seconds(work: Callable[[], object], times: int = 1) -> float:
    """The median time of some runs."""
    took = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        took.append(time.perf_counter() - began)
    return statistics.median(took)


def still_whole(share: float) -> range:
    """Numbers of finds of `ten_years` that nothing was done with yet."""
    return range(int(OPENED * share), min(int(FINDS * share), int(OPENED * share) + 2 * APPENDS))


def recorded_now(book: SqlBook, what: p.Payload) -> None:
    """One event, made and appended in one transaction."""
    with book.deciding():
        book.append([Stamp(book, "me", dt.datetime.now(dt.UTC), new_id).event(what)])


def appends(book: SqlBook, share: float) -> tuple[float, list[list[Statement]]]:
    """The median of recording one find opened, as an action does it, and the statements each of them took."""
    draw = random.Random(2)
    said: list[list[Statement]] = []
    recorded: list[Statement] = []

    def record(_c: Any, _k: Any, statement: str, parameters: Any, _x: Any, many: bool) -> None:
        recorded.append((statement, parameters, many))

    what = [opened(draw, n) for n in still_whole(share)]
    half = len(what) // 2
    took = [seconds(lambda one=one: recorded_now(book, one)) for one in what[:half]]  # not while listening
    on.listen(book.engine, "before_cursor_execute", record)
    for one in what[half:]:
        recorded_now(book, one)
        said.append(recorded[:])
        recorded.clear()
    on.remove(book.engine, "before_cursor_execute", record)
    return statistics.median(took), said


def bare(path: Path, several: list[list[Statement]]) -> float:
    """The median of the same statements through the driver alone, with the same promises to the disk."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")

        def replay(statements: list[Statement]) -> None:
            for statement, parameters, many in statements:
                if many:
                    connection.executemany(statement, parameters)
                else:
                    connection.execute(statement, parameters).fetchall()
            connection.execute("COMMIT")

        return statistics.median(seconds(lambda s=s: replay(s)) for s in several)


def questions(book: SqlBook) -> Iterator[tuple[str, Callable[[], object], str]]:
    """What `today` asks, and the plain statement for it."""
    words, masses = "SELECT subject, name, value FROM word", "SELECT place, grade, mg FROM balance"
    yield "open finds", lambda: standing.finds(book), f"{words} WHERE name = 'kind' AND subject >= 'find:'"
    yield "bins", lambda: standing.bins(book), f"{words} WHERE subject >= 'bin:' AND subject < 'bin;'"
    yield "masses", book.balances, masses
    yield "facts of finds", lambda: book.facts("find:"), f"{words} WHERE subject >= 'find:' AND subject < 'find;'"
    yield "buyers", lambda: trading.buyers(book), f"{words} WHERE name = 'terms'"
    yield "quotes", lambda: trading.quotes(book), f"{words} WHERE name = 'heard'"
    yield "quotes, kept only", lambda: book.facts("quote:", "heard"), f"{words} WHERE name = 'heard'"
    yield "accounts", book.accounts, "SELECT name, amount FROM account"
    yield "settings", lambda: standing.settings(book), f"{words} WHERE subject >= 'setting:' AND subject < 'setting;'"


def main() -> None:
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    what = ten_years(share)
    events = [event(n, len(what), payload) for n, payload in enumerate(what)]
    with tempfile.TemporaryDirectory() as folder:
        path, copy = Path(folder) / "ledger.sqlite", Path(folder) / "copy.sqlite"
        print(f"an empty ledger: {1000 * seconds(lambda: open_file(path).close()):.0f} ms")
        with open_file(path) as book:
            bulk = seconds(lambda: book.append(events))
            with book.reading() as connection:
                moves = connection.execute(select(func.count()).select_from(t.move)).scalar_one()
            print(f"{len(events)} events, {moves} movements in one append: {bulk:.1f} s")
        again = seconds(lambda: open_file(path).close(), 5)
        print(f"{path.stat().st_size / 1e6:.0f} MB; opened again in {1000 * again:.1f} ms")
        shutil.copy(path, copy)
        with open_file(path) as book:
            took, statements = appends(book, share)
            print(f"append one find opened: {1000 * took:.2f} ms median; {len(statements[0])} statements")
            alone = bare(copy, statements)
            print(f"the bare statements:    {1000 * alone:.2f} ms median; ratio {took / alone:.2f}")
            with closing(sqlite3.connect(path)) as plain:
                for name, ask, statement in questions(book):
                    took = seconds(ask, 5)
                    alone = seconds(lambda s=statement: plain.execute(s).fetchall(), 5)
                    print(
                        f"{name:18} {1000 * took:8.2f} ms; statement {1000 * alone:8.2f} ms; ratio {took / alone:6.1f}"
                    )
            print(f"rebuild: {seconds(book.rebuild):.1f} s")


if __name__ == "__main__":
    main()
