"""What `partway import` and `partway merge` say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from partway.cli.common import write_json

if TYPE_CHECKING:
    from partway.ledger.book import Book
    from partway.reports.books.conflicts import ConflictLine
    from partway.storage.exchange.preview import Changes, MassDifference
    from partway.storage.exchange.union import Arrivals

MOST_LINES = 40  # of a preview, on the page; --json has them all


def tell(
    book: Book, found: Arrivals, told: Changes | None, conflicts: Sequence[ConflictLine], name: str, as_json: bool
) -> None:
    """What was added, or would be, and what cannot all be true then: as a page in the workspace's units, or as JSON."""
    if as_json:
        write_json({**_report(found, told), "conflicts": [asdict(line) for line in conflicts]})
        return
    kinds = ", ".join(f"{kind} {count}" for kind, count in sorted(found.kinds.items()))
    verb = "added" if told is None else "new"
    click.echo(f"{name}: {events(len(found.new))} {verb}, {found.present} already there")
    if kinds:
        click.echo(f"  {kinds}")
    if told is not None:
        _show(book, told, conflicts)


def _report(found: Arrivals, told: Changes | None) -> dict[str, Any]:
    """Decimals as text: exact."""
    report: dict[str, Any] = {"new": len(found.new), "present": found.present, "kinds": dict(found.kinds)}
    if told is not None:
        report["masses"] = [asdict(mass) for mass in told.masses]
        report["accounts"] = [
            {"account": a.account, "before": f"{a.before:f}", "after": f"{a.after:f}"} for a in told.accounts
        ]
        report["said"] = dict(told.words)
        report["voided"] = told.voided
    return report


def _show(book: Book, told: Changes, conflicts: Sequence[ConflictLine]) -> None:
    lines = [f"{m.place} {m.grade}".rstrip() + f"  {_from_to(book, m)}" for m in told.masses]
    lines += [f"{a.account}  {a.before:f} -> {a.after:f}" for a in told.accounts]
    lines += [f"{subject}: {count} new or changed" for subject, count in sorted(told.words.items())]
    lines += [f"corrected: {told.voided} events count no longer"] if told.voided > 0 else []
    lines += [f"to settle: {line.words}" for line in conflicts]
    if lines:
        click.echo("What would change:")
    for line in lines[:MOST_LINES]:
        click.echo(f"  {line}")
    if len(lines) > MOST_LINES:
        click.echo(f"  and {len(lines) - MOST_LINES} more; --json has them all")
    click.echo("Nothing was written.")


def _from_to(book: Book, change: MassDifference) -> str:
    """Two masses as this workspace shows them, or in milligrams where that would not tell them apart."""
    from partway.actions.recording.words import mass

    before, after = mass(book, change.before_mg), mass(book, change.after_mg)
    return f"{before} -> {after}" if before != after else f"{change.before_mg} mg -> {change.after_mg} mg"


def events(count: int) -> str:
    """A number of events."""
    return "1 event" if count == 1 else f"{count} events"
