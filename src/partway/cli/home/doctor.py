"""`partway doctor`."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from partway.cli.common import json_option, workspace_option, write_json

if TYPE_CHECKING:
    from partway.storage.doctor.findings import CheckResult, Examination


@click.command("doctor")
@json_option
@workspace_option
@click.pass_context
def doctor_command(ctx: click.Context, as_json: bool, workspace: str | None) -> None:
    """Look the workspace over, and say for each thing that is wrong what to do. It changes nothing.

    The file and who may read it, room on the disk, other copies of the ledger beside
    it, every event, the mass balance, what follows from the events, photographs, backups,
    prices, the clock. Of a ledger on a server, what does not concern files.

    Exit status: 0 all is well, 1 something needs doing, 2 there is no ledger to look at.
    """
    from partway.actions.recording.zones import now_of
    from partway.cli.context import absent
    from partway.storage.doctor import examine
    from partway.storage.refusals import NoLedger

    try:
        found = examine(workspace, now_of(None))
    except NoLedger as none:
        raise absent(none) from None
    if as_json:
        write_json({**asdict(found), "todo": found.todo})
    else:
        _show(found)
    ctx.exit(1 if found.todo else 0)


def _show(found: Examination) -> None:
    click.echo(found.ledger)
    for checked in found.checks:
        _line("ok" if checked.well else "!", checked)
    count = "1 thing needs" if found.todo == 1 else f"{found.todo} things need"
    click.echo(f"{count} doing." if found.todo else "All is well.")


def _line(mark: str, checked: CheckResult) -> None:
    """One check: what was found in order on its line, then each finding with what to do about it."""
    lines = [checked.said] if checked.said else []
    for finding in checked.findings:
        lines += [finding.what, f"  to do: {finding.todo}"]
    lines += [f"  note: {remark}" for remark in checked.remarks]
    for number, line in enumerate(lines):
        head = f"{mark:2} {checked.check:11}" if number == 0 else " " * 14
        click.echo(f"{head} {line}")
