"""What the pages of today ask of the ledger, worked out once for each state of it."""

from __future__ import annotations

from partway.reports.home.firststeps import FirstSteps, first_steps
from partway.reports.home.today import Today, report_today
from partway.web.cache import cached
from partway.web.desk import Desk


@cached
def steps(desk: Desk) -> FirstSteps:
    """What a new workspace still lacks."""
    return first_steps(desk.book)


@cached
def today(desk: Desk) -> Today:
    """What matters now."""
    return report_today(desk.book, desk.scenario, desk.now, desk.finds)
