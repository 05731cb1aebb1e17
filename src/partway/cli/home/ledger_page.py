"""The ledger as a page."""

from __future__ import annotations

import datetime as dt

import click

from partway.reports.books.ledger import LedgerLine, LedgerLines
from partway.reports.called import day_said


def show_ledger(report: LedgerLines, today: dt.date) -> None:
    """Under each day what happened on it, a line an event, with the end of its id in brackets."""
    if len(report.lines) < report.of:
        click.echo(f"the last {len(report.lines)} of {report.of} events; --last 0 shows all")
    day = ""
    for line in report.lines:
        on, _, time = line.happened.partition(" ")
        if on != day:
            click.echo(f"{_day(on, today)}:")
            day = on
        click.echo(f"  {time:5}  {_said(line)}  [{line.id}]")


def _day(on: str, today: dt.date) -> str:
    said = day_said(dt.date.fromisoformat(on), today)
    return f"{said[:1].upper()}{said[1:]}"


def _said(line: LedgerLine) -> str:
    return f"{line.kind}: {line.words}{'' if line.counts else ' (no longer counts)'}"
