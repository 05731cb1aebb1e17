"""Prices that are too old, and entries dated in the future."""

from __future__ import annotations

import datetime as dt

from partway.ledger.days import local
from partway.ledger.fold import standing
from partway.reports.books.overview import stale_prices
from partway.reports.called import Called
from partway.spoken.texts import dated
from partway.storage.doctor.findings import CheckResult, DoctorFinding, entries
from partway.storage.doctor.patient import Patient
from partway.things.ages import NOTICE_DAYS, OLD_DAYS
from partway.valuing.lots import stock_of
from partway.valuing.price_book import PriceBook

AHEAD = dt.timedelta(minutes=2)  # two clocks of one person are hardly closer
NAMED_MOST = 10


def prices(patient: Patient) -> CheckResult:
    """How old the best price of each grade in the bins is."""
    if not patient.sound:
        return CheckResult("prices", "not looked at until the ledger is sound")
    book = patient.book
    known = PriceBook.of(book, patient.now.date())
    called = Called(book, patient.now.date(), patient.now.tzinfo)
    bins = [b for b in standing.bins(book).values() if b.mg > 0]
    found = stale_prices(known, bins, stock_of(bins))
    old = [s for s in found if s.days is not None and s.days > OLD_DAYS]
    findings = tuple(
        DoctorFinding(
            f"{called.grade(s.grade)}: {s.days} days old, from {called.buyer(s.buyer)}",
            f"ask, then partway quote {s.buyer} {s.grade} PRICE",
        )
        for s in old
    )
    remarks = [
        f"{called.grade(s.grade)}: {s.days} days old" for s in found if s.days is not None and s.days <= OLD_DAYS
    ]
    remarks += [f"{called.grade(s.grade)}: nobody has quoted it" for s in found if s.days is None]
    grades = len({b.grade for b in bins if b.grade in known.grades})
    said = f"of the last {NOTICE_DAYS} days for {grades - len(found)} of {grades} grades in the bins"
    return CheckResult("prices", said, findings, tuple(remarks))


def clock(patient: Patient) -> CheckResult:
    """Whether the clock shows a time before that of a recorded entry."""
    late = [e for e in patient.events if max(e.typed, e.happened) > patient.now + AHEAD]
    if not late:
        return CheckResult("clock", f"{_said(patient.now)}, after everything recorded")
    last = local(max(max(e.typed, e.happened) for e in late), patient.now.tzinfo)
    named = tuple(str(event.id) for event in late[:NAMED_MOST])
    what = f"{entries(len(late))} later than the clock ({_said(patient.now)}), up to {_said(last)}"
    first = " ".join(name[-8:] for name in named)
    todo = f"set the clock; if the clock is right, see partway ledger and partway correct {first}"
    return CheckResult("clock", "", (DoctorFinding(what, todo, named),))


def _said(moment: dt.datetime) -> str:
    return f"{dated(moment.date())} at {moment:%H:%M}"
