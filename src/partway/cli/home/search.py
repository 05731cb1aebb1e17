"""`partway search`."""

from __future__ import annotations

import click

from partway.cli.context import CommandContext, as_json, looking

TITLES = {"find": "Finds", "bin": "Bins", "buyer": "Buyers", "kind": "Kinds", "grade": "Grades"}
SHOWS = {
    "find": "partway open {id} --steps",
    "bin": "partway stock",
    "buyer": "partway buyer {id}",
    "kind": "partway curb {id}",
    "grade": "partway prices {id}",
}


@click.command("search")
@click.argument("words", nargs=-1, required=True)
@looking
def search_command(ctx: CommandContext, words: tuple[str, ...]) -> None:
    """Everything that goes by a name: finds, bins and buyers of yours, kinds and grades of the catalogue.

    \b
      partway search copper
      partway search microwave oven
    """
    from dataclasses import asdict

    from partway.errors import Refused
    from partway.reports.called import Called
    from partway.reports.curb.names import LONGEST
    from partway.reports.home.search import NameFound, search

    text = " ".join(words)
    if not text.strip() or len(text) > LONGEST or not text.isprintable():
        raise Refused(f'"{text[:60]}"', f"printable words, at most {LONGEST} characters", "words")
    report = search(Called(ctx.book, ctx.now().date(), ctx.now().tzinfo), text)
    if ctx.as_json:
        as_json(asdict(report))
        return
    by_sort: dict[str, list[NameFound]] = {}
    for one in report.found:
        by_sort.setdefault(one.sort, []).append(one)
    for sort, found in by_sort.items():
        click.echo(f"{TITLES[sort]}:")
        for one in found:
            more = "" if one.more == one.id else one.more  # its id stands in the command behind it
            click.echo(f"  {_said(one.name, more)}{_careful(one.careful)}: {SHOWS[sort].format(id=one.id)}")
    if report.left_out:
        click.echo(f"and {report.left_out} more; more words find fewer")
    if not report.found:
        click.echo(f"Nothing goes by the name {text}.")


def _said(name: str, more: str) -> str:
    return f"{name} ({more})" if more and more != name else name


def _careful(names: tuple[str, ...]) -> str:
    more = f" and {len(names) - 1} more" if len(names) > 1 else ""
    return f", careful: {names[0].lower()}{more}" if names else ""
