"""How long a paper takes to typeset, in processor time, by the number of its lines. All invented."""

from __future__ import annotations

import datetime as dt
import statistics
import sys
import time
from dataclasses import replace

from partway.actions.recording.describe import Say
from partway.ledger.memory import MemoryBook
from partway.paper.load import load_paper
from partway.reports.called import Called
from partway.reports.haul.load_sheet import HandOver, LoadSheet, SheetStop
from partway.web.show import Show

DAY = dt.date(2026, 3, 14)
LOT = HandOver(0, "copper-2", "No. 2 copper", ("blue crate",), 6.0, 5.0, 9.0, 54.0, ())
STOP = SheetStop(1, "harbour", "harbour yard", "yard", 20.0, (LOT,), 6.0, 5.0, 54.0, 54.0, 54.0, ())


def sheet(lots: int) -> LoadSheet:
    """A load of so many lots, for one yard; no two are called alike."""
    stop = replace(STOP, lots=tuple(replace(LOT, name=f"lot {n}") for n in range(lots)))
    return LoadSheet("", DAY.isoformat(), 1, 1, (), (stop,), (stop.name,), 20.0, 1.0, 6.0 * lots, 5e3, 5.0 * lots, None)


def main(times: int) -> None:
    """The first paper reads the fonts; then the median of so many, with a lot's mass changed each time."""
    book = MemoryBook()
    words = Show(Say.of(book), DAY, dt.UTC, Called(book, DAY, dt.UTC))
    began = time.process_time()
    load_paper(sheet(3), words, "a4")
    print(f"the first: {1000 * (time.process_time() - began):.0f} ms")
    for lots in (10, 100, 1000):
        spent = []
        for n in range(times):
            load = replace(sheet(lots), mass_kg=float(n))
            began = time.process_time()
            made = load_paper(load, words, "a4")
            spent.append(1000 * (time.process_time() - began))
        print(f"{lots} lots: {statistics.median(spent):.0f} ms, {len(made.pdf) // 1024} kB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
