"""The whole page of a plan, section after section."""

from __future__ import annotations

from rich.console import Console

from partway.cli.haul.page import bench, find_out, head, loads, money
from partway.cli.haul.page.sheet import PlanSheet
from partway.cli.words import PageWords
from partway.reports.haul.plan import Plan
from partway.things.scenario import Scenario

# In this order: what can hurt comes before any money.
SECTIONS = (
    head.show_name,
    head.show_cautions,
    head.show_conflicts,
    head.show_expected,
    bench.show_opened,
    bench.show_whole,
    bench.show_parts,
    loads.show_loads,
    money.show_kept,
    money.show_money,
    find_out.show_find_out,
    find_out.show_notes,
)


def show_plan(console: Console, plan: Plan, scenario: Scenario) -> None:
    """Print all of it."""
    sheet = PlanSheet(console, plan, PageWords(scenario))
    for show in SECTIONS:
        show(sheet)
