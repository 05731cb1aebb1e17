"""`partway export`, `import`, `merge`, `backup`, `restore` and `rebuild`: a ledger out of the house and back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from partway.cli.books.exchange_page import events, tell
from partway.cli.common import json_option, workspace_option
from partway.errors import ToSettle

if TYPE_CHECKING:
    from partway.ledger.book import Book
    from partway.ledger.photographs import Photographs
    from partway.reports.books.conflicts import ConflictLine
    from partway.storage.exchange.preview import Changes
    from partway.storage.exchange.union import Read
    from partway.storage.store import SqlBook

path_argument = click.Path(path_type=Path)
preview_option = click.option("--preview", is_flag=True, help="Say what would change, and write nothing.")


@click.command("export")
@click.argument("target", type=path_argument)
@click.option(
    "--as",
    "form",
    type=click.Choice(["package", "events"]),
    help="What to write; default: events where TARGET ends in .jsonl, else a package.",
)
@click.option("--since", metavar="TIME", help="Only what happened at this time or later.")
@click.option("--until", metavar="TIME", help="Only what happened before this time.")
@workspace_option
def export_command(target: Path, form: str | None, since: str | None, until: str | None, workspace: str | None) -> None:
    """Write the ledger to TARGET, which must not be there yet, in an open format.

    \b
      package   a Data Package (datapackage.org): CSV tables that say what their
                columns mean; a folder, or one file where TARGET ends in .zip
      events    JSON Lines (jsonlines.org): one event a line

    Both hold every event to the last digit, and partway import reads them back.
    TIME is a day such as 2026-03-14, which begins at midnight here, or a time such
    as 2026-03-14T09:30.
    """
    with _there(workspace) as book:
        first, last = _moment(book, since, "since"), _moment(book, until, "until")
        count = _export(book, target, form or _form_of(target), first, last)
    click.echo(f"{target}: {events(count)}")


@click.command("import")
@click.argument("source", type=path_argument)
@preview_option
@json_option
@workspace_option
def import_command(source: Path, preview: bool, as_json: bool, workspace: str | None) -> None:
    """Add the events of SOURCE, a Data Package or a file of events, to the ledger.

    Events that are there already are left alone, so the same file can come twice.
    One that says something else than the ledger's event of the same id is refused,
    and so is a file that is damaged or cut short: then nothing is added.

    Where events of two devices cannot all be true, all are kept, each is listed with what
    settles it, and the exit status is 3 (partway conflicts lists them again).
    """
    from partway.storage.exchange.jsonl import read_lines
    from partway.storage.exchange.package_files import is_package
    from partway.storage.exchange.package_photographs import photographs_of
    from partway.storage.exchange.unpack import read_package

    if not is_package(source):
        _unite(workspace, read_lines(source), str(source), preview, as_json)
        return
    with photographs_of(source) as photographs:
        _unite(workspace, read_package(source), str(source), preview, as_json, photographs)


@click.command("merge")
@click.argument("other")
@preview_option
@json_option
@workspace_option
def merge_command(other: str, preview: bool, as_json: bool, workspace: str | None) -> None:
    """Add the events of OTHER, another workspace, to this one. OTHER keeps its own.

    Where events of the two cannot all be true, such as one find sold here and given up
    there, all are kept, each is listed with what settles it, and the exit status is 3
    (partway conflicts lists them again).
    """
    from partway.storage.exchange.union import of_book

    with _there(other) as source:
        read = of_book(source, source.where)
        _unite(workspace, read, source.where, preview, as_json, source.photographs)


@click.command("backup")
@click.argument("file", type=path_argument)
@workspace_option
def backup_command(file: Path, workspace: str | None) -> None:
    """Copy the ledger to FILE, which must not be there yet, also while it is in use.

    The copy is opened and checked before it gets its name.
    """
    from partway.storage.backup.backup import backup
    from partway.storage.backup.backups import note_backup

    with _there(workspace) as book:
        count = backup(book, file)
        noted = note_backup(book, str(file.absolute()), count, dt.datetime.now(dt.UTC))
    click.echo(f"{file}: {events(count)}, checked")
    if not noted:
        click.echo("  partway doctor will not know of it: nothing can be written beside the ledger")


@click.command("restore")
@click.argument("file", type=path_argument)
@click.option("--overwrite", is_flag=True, help="Also where the workspace has a ledger; that one is kept beside it.")
@workspace_option
def restore_command(file: Path, overwrite: bool, workspace: str | None) -> None:
    """Make FILE, a backup, the ledger of the workspace."""
    from partway.storage.backup.backup import restore

    kept = restore(file, workspace, overwrite=overwrite)
    click.echo(f"{file}: checked, and now the ledger")
    if kept is not None:
        click.echo(f"  the ledger before it is kept as {kept}")


@click.command("rebuild")
@workspace_option
def rebuild_command(workspace: str | None) -> None:
    """Work out balances, quotes and accounts anew from the events. It changes none."""
    with _there(workspace) as book:
        book.rebuild()
        click.echo(f"{book.where}: worked out anew")


def _export(book: Book, target: Path, form: str, since: dt.datetime | None, until: dt.datetime | None) -> int:
    if form == "events":
        from partway.storage.exchange.jsonl import write_lines

        return write_lines(book.recorded(since, until), target)
    from partway.storage.exchange.package import write_package

    return write_package(book, target, since, until)


def _form_of(target: Path) -> str:
    return "events" if target.suffix.lower() in {".jsonl", ".ndjson"} else "package"


def _moment(book: Book, text: str | None, where: str) -> dt.datetime | None:
    """A day or a time by the clock of the workspace, unless it has an offset of its own. Raises Refused."""
    from partway.actions.recording.context import start_said
    from partway.actions.recording.zones import now_of

    return None if text is None else start_said(text, now_of(book), where)


@contextmanager
def _there(workspace: str | None) -> Iterator[SqlBook]:
    """The book of a workspace that has one: nothing is made only to be read from."""
    from partway.storage.workspace import open_workspace

    with open_workspace(workspace, make=False) as book:
        yield book


def _unite(
    workspace: str | None,
    read: Iterable[Read],
    name: str,
    preview: bool,
    as_json: bool,
    photographs: Photographs | None = None,
) -> None:
    """Add what is new, or say what it would change. A workspace is made only once there is something to put in it."""
    from partway.ledger.memory import MemoryBook
    from partway.storage.exchange.preview import changes
    from partway.storage.exchange.union import added, arrivals
    from partway.storage.refusals import NoLedger
    from partway.storage.workspace import open_workspace

    with ExitStack() as stack:
        book: Book = MemoryBook()
        with suppress(NoLedger):
            book = stack.enter_context(_there(workspace))
        found = arrivals(book, read)
        told = changes(book, found) if preview else None
        if not preview and (found.new or photographs):
            target = stack.enter_context(open_workspace(workspace)) if isinstance(book, MemoryBook) else book
            found = added(target, found, photographs)
            book = target
        lines = _conflicts(book, told, as_json)
        tell(book, found, told, lines, name, as_json)
    if lines and not preview:
        from partway.cli.books.conflicts import to_settle

        raise ToSettle(to_settle(lines))


def _conflicts(book: Book, told: Changes | None, as_json: bool) -> Sequence[ConflictLine]:
    """What cannot all be true once the events are added, or would be added; to the letter for programs."""
    from partway.actions.recording.words import units
    from partway.actions.recording.zones import now_of
    from partway.reports.books.conflicts import conflict_lines
    from partway.reports.called import Called

    found, now = book.conflicts() if told is None else told.conflicts, now_of(book)
    called = None if as_json else Called(book, now.date(), now.tzinfo)
    return conflict_lines(found, units(book), now.tzinfo, book.head().device, called)
