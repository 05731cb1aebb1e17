"""Where a plan's scenario comes from: a file, or the ledger as it stands."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from partway.cli.common import read
from partway.cli.context import CommandContext, blaming
from partway.cli.said import SaidCount, SaidHours, SaidWage, wage_in

if TYPE_CHECKING:
    from partway.things.scenario import Scenario

bench_option = click.option("--bench", type=SaidHours(0, 8784), metavar="HOURS", help="Most hours at the bench.")
away_option = click.option("--away", type=SaidHours(0, 8784), metavar="HOURS", help="Most hours away.")
trips_option = click.option("--trips", type=SaidCount(0, 9), metavar="N", help="Most trips.")
wage_option = click.option("--wage", type=SaidWage(0, 1e6), metavar="MONEY", help="What an hour is worth.")


@dataclass(frozen=True)
class PlanSource:
    """A scenario file, or a workspace where there is none; hours and trips said on the command line come first."""

    file: Path | None
    workspace: str | None
    bench: float | None = None
    away: float | None = None
    wage: float | None = None
    trips: int | None = None

    def scenario(self) -> Scenario:
        """The scenario. Raises Refused."""
        if self.file is None:
            return self._from_ledger()
        scenario = read(self.file)
        wage = wage_in(scenario.currency, self.wage)
        said = {"bench": self.bench, "away": self.away, "wage": wage, "trips": self.trips}
        changes = {name: value for name, value in said.items() if value is not None}
        return replace(scenario, hours=replace(scenario.hours, **changes)) if changes else scenario  # type: ignore[arg-type]

    def in_names(self, notes: tuple[str, ...]) -> tuple[str, ...]:
        """Notes for a page: finds of the ledger by what people call them."""
        if self.file is not None:
            return notes
        return tuple(map(CommandContext(self.workspace, as_json=False).called.in_text, notes))

    def _from_ledger(self) -> Scenario:
        return ledger_scenario(CommandContext(self.workspace, as_json=False), self)


def ledger_scenario(ctx: CommandContext, given: PlanSource) -> Scenario:
    """The ledger as it stands, with the hours and trips that were said. Raises Refused."""
    from partway.actions.haul.promised import scenario_to_plan
    from partway.actions.haul.scenario import Overrides
    from partway.actions.recording import reading

    with blaming(ctx):
        wage = given.wage if given.wage is None else wage_in(reading.currency(ctx.book, "plan"), given.wage)
        said = Overrides(given.bench, given.away, wage, given.trips)
        return scenario_to_plan(ctx.book, ctx.now().date(), said, ctx.now().tzinfo)
