"""`partway identify`: the test key at the bench, and the board and wire guides."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from partway.cli.common import json_option, page, read, scenario_option, workspace_option, write_json
from partway.cli.context import CommandContext, on_option, who_option, yes_option
from partway.cli.said import SaidCount
from partway.errors import Refused

if TYPE_CHECKING:
    from partway.reports.what.identify import Identify
    from partway.things.scenario import Scenario


def _contexts(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[Any]:
    from partway.catalogue import shipped

    return [name for name in shipped().key.contexts if name.startswith(incomplete)]


@click.command("identify")
@click.argument("features", nargs=-1, metavar="[FEATURE]...")
@click.option("--context", default="loose", show_default=True, shell_complete=_contexts, metavar="WHERE",
              help="Where the piece comes from: loose, screws, wire, components, taps, plastics.")  # fmt: skip
@click.option("--answer", "said", multiple=True, metavar="TEST=ANSWER", help="What a test said; again for more.")
@click.option("--mass", metavar="MASS", help='What it weighs, such as "2 lb"; the money at stake.')
@click.option("--guide", metavar="boards|wire", help="What is seen on a board or wire, and the grade it makes.")
@click.option("--confirm", metavar="MATERIAL", help="Record what it turned out to be; the next ones learn from it.")
@click.option(
    "--count", default=1, show_default=True, type=SaidCount(), metavar="N", help="With --confirm: how many alike."
)
@scenario_option
@json_option
@yes_option
@on_option
@who_option
@workspace_option
def identify_command(features: tuple[str, ...], **given: Any) -> None:
    """What is it? Asks one test after another, the one first that brings most money a minute.

    \b
      partway identify                                   asks; 0 is not sure, b goes back
      partway identify --context taps --answer look=bright --answer magnet=none --mass "2 lb"
      partway identify --answer look=yellow --answer density=8.4+-0.2 --json
      partway identify --context taps --answer colour=yellow --confirm chrome-brass
      partway identify --guide boards green cpu-socket

    It stops where no test can change the bin. Prices are the scenario's or the ledger's;
    without any it goes by the catalogue's ratios to No. 2 copper. Never acid, flame,
    sparks on a white metal nobody knows, or a file on ceramic.
    """
    ask = Asking(features=features, **given)
    if ask.guide is not None:
        ask.show_guide()
        return
    if features:
        raise Refused(f'"{features[0]}"', "features only with --guide boards or --guide wire", "identify")
    if ask.confirm is not None:
        ask.record(ask.confirm, ask.answers())
        return
    ask.run()


@dataclass
class Asking:
    """One piece asked about."""

    features: tuple[str, ...]
    context: str
    said: tuple[str, ...]
    mass: str | None
    guide: str | None
    confirm: str | None
    count: int
    file: Path | None
    as_json: bool
    yes: bool
    on: str | None
    who: str | None
    workspace: str | None

    def __post_init__(self) -> None:
        self.ctx = CommandContext(
            self.workspace, self.as_json, self.who, self.on, self.yes, makes=self.confirm is not None
        )

    def answers(self) -> dict[str, str]:
        """The answers given as options. Raises Refused."""
        found: dict[str, str] = {}
        for text in self.said:
            test, equals, answer = text.partition("=")
            if not equals or not answer.strip() or test.strip() in found:
                raise Refused(f'"{text[:60]}"', "one TEST=ANSWER for each test, such as magnet=none", "answer")
            found[test.strip()] = answer.strip()
        return found

    def has_ledger(self) -> bool:
        """Whether a ledger is there to take prices and confirmed pieces from; one that is named has to be."""
        if self.file is not None and self.workspace is None:
            return False
        try:
            return bool(self.ctx.book)
        except Refused:
            if self.workspace is not None and not self.ctx.makes:
                raise
            return False

    def scenario(self) -> Scenario | None:
        """The file's, or the ledger's; none where neither is there."""
        if self.file is not None:
            return read(self.file)
        if not self.has_ledger():
            return None
        from partway.actions.haul.scenario import scenario_from_book

        return scenario_from_book(self.ctx.book, self.ctx.now().date(), counting=False)

    def show_guide(self) -> None:
        """The guide's page or JSON."""
        from partway.actions.what.identifying import guide

        scenario = self.scenario()
        report = guide(scenario, self.guide or "", self.features)
        if self.as_json:
            write_json(report)
            return
        from partway.cli.what.identify_page import show_guide

        show_guide(page(), report, scenario.unit if scenario else "kg")

    def record(self, material: str, answers: dict[str, str]) -> None:
        """Record what it turned out to be."""
        from partway.actions.what.found_out import confirm

        self.ctx.record(confirm, material, self.context, self.count, answers, self.mass)

    def run(self) -> None:
        """Ask while somebody is there to answer, then show the page; else the page or JSON at once."""
        from partway.actions.recording.said_amounts import kg_said
        from partway.actions.what.identifying import context_named, identify

        where = context_named(self.context).id
        kg = None if self.mass is None else float(kg_said(self.mass, "mass", positive=True))
        scenario, confirmed = self.scenario(), {}
        if self.has_ledger():
            from partway.actions.what.found_out import confirmed as known

            confirmed = known(self.ctx.book, where)

        def report(answers: dict[str, str]) -> Identify:
            return identify(scenario, where, answers, kg, confirmed)

        answers = self.answers()
        if self.as_json:
            write_json(report(answers))
            return
        from partway.cli.what.identify_page import show_identify

        if self.ctx.may_ask:
            answers = ask_all(report, answers)
        show_identify(page(), report(answers), scenario.unit if scenario else "kg")
        if self.ctx.may_ask:
            said = "".join(f" --answer {test}={answer}" for test, answer in answers.items())
            click.echo(f"\nOnce it is known: partway identify --context {where}{said} --confirm MATERIAL")


def ask_all(report: Callable[[dict[str, str]], Identify], answers: dict[str, str]) -> dict[str, str]:
    """One test after another until none is worth it; numbers answer, 0 is not sure, b goes back, q stops."""
    from partway.cli.refusals import in_words
    from partway.cli.what.identify_page import first_words

    given = dict(answers)
    shown: set[str] = set()
    while True:
        now = report(given)
        for line in first_words(now, shown):
            click.echo(line)
        if now.stop or not now.tests:
            return given
        test = now.tests[0]
        click.echo(f"\n{test.name}: {test.ask}")
        for number, (_, means) in enumerate(test.answers, 1):
            click.echo(f"  {number}  {means}")
        click.echo("  0  not sure     b  back     q  stop here")
        while (said := _said(test.test, test.answers)) is None:
            pass
        if said == "q":
            return given
        if said == "b":
            _back(given, answers)
            continue
        try:
            report({**given, test.test: said})
        except Refused as refused:
            click.echo(f"  {in_words(refused, identify_command)}")
            continue
        given[test.test] = said


def _said(test: str, answers: tuple[tuple[str, str], ...]) -> str | None:
    """One reply; None where it means nothing."""
    reply = str(click.prompt(f"  {test}", prompt_suffix="? ")).strip().casefold()
    if reply in ("b", "q"):
        return reply
    if reply == "0":
        return "not-sure"
    if not answers:
        return reply
    if reply.isdecimal() and 1 <= int(reply) <= len(answers):
        return answers[int(reply) - 1][0]
    if reply in dict(answers):
        return reply
    click.echo(f"  a number from 0 to {len(answers)}, b or q")
    return None


def _back(given: dict[str, str], first: dict[str, str]) -> None:
    """Forget the last answer; those that came with the command stay."""
    if len(given) > len(first):
        given.popitem()
    else:
        click.echo("  there is nothing to go back to")
