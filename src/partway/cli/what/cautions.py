"""`partway cautions`: what can hurt, card by card."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import click

from partway.cli.common import json_option, page, workspace_option, write_json
from partway.errors import Refused

if TYPE_CHECKING:
    from rich.console import Console

    from partway.catalogue import Catalogue
    from partway.catalogue.cards import CautionCard
    from partway.reports.what.caution_cards import CautionReport, Within


@click.command("cautions")
@click.argument("name", required=False)
@json_option
@workspace_option
def cautions_command(name: str | None, as_json: bool, workspace: str | None) -> None:
    """What can hurt: all cards, or with NAME one of them whole, and where it comes up.

    Each says what can hurt, what to do first, who is licensed, which rule with its edition
    and place, and what never to do. A reminder, not a rule book: check your local code.
    Under the rule stands what single places say, those that your place cards name first.

    \b
      partway cautions
      partway cautions hv-capacitor
    """
    from partway.reports.what.caution_cards import all_cards, report_caution

    found = all_cards()
    if name is None:
        write_json([_plain(card) for card in found]) if as_json else show_cards(page(), found)
        return
    catalogue, places = _here(workspace)
    report = report_caution(catalogue, _known(name, found), places)
    write_json(report) if as_json else show_caution(page(), report)


def _here(workspace: str | None) -> tuple[Catalogue, tuple[str, ...]]:
    """The kinds that the ledger knows and the places that its place cards name: those that ship and none without a
    ledger, but one that is named has to be.
    """
    from partway.catalogue import shipped
    from partway.cli.context import CommandContext
    from partway.reports.what.caution_cards import places_of
    from partway.valuing.known import estimates_of

    try:
        book = CommandContext(workspace, as_json=False).book
        return estimates_of(book), places_of(book)
    except Refused:
        if workspace is not None:
            raise
        return shipped(), ()


def _known(name: str, found: Iterable[CautionCard]) -> str:
    """The id of a card by its id, its name, or how either begins. Raises Refused."""
    from difflib import get_close_matches

    wanted = name.strip().casefold()
    by_text = {text.casefold(): card.id for card in found for text in (card.id, card.name)}
    begun = {card for text, card in by_text.items() if wanted and text.startswith(wanted)}
    if wanted in by_text or len(begun) == 1:
        return by_text.get(wanted) or begun.pop()
    close = get_close_matches(wanted, by_text, n=1)
    hint = f", such as {', '.join(sorted(begun))}" if begun else f', such as "{by_text[close[0]]}"' if close else ""
    raise Refused(f'"{name}"', f"one that `partway cautions` lists{hint}", "partway cautions")


def _plain(card: CautionCard) -> dict[str, Any]:
    from dataclasses import asdict

    return asdict(card)


def show_cards(console: Console, found: Iterable[CautionCard]) -> None:
    """Each card in short: what can hurt, what first."""
    from rich.text import Text

    from partway.cli.words import MORE, sentence

    for card in found:
        console.print(Text.assemble((card.name, "bold"), f" ({card.id}): {card.hurts}."))
        console.print(Text(f"  {sentence(card.first)}."))
    console.print()
    console.print(MORE)


def show_caution(console: Console, report: CautionReport) -> None:
    """One card whole, and then where it comes up."""
    from rich.table import Table
    from rich.text import Text

    card = report.card
    console.print(Text.assemble((card.name, "bold"), f" ({card.id})"))
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    for title, text in card.full:
        table.add_row(Text(f"  {title}"), Text(text))
    for line in report.law:
        table.add_row(Text(""), Text(line.words, style="bold" if line.here else ""))
    console.print(table)
    if report.out_first:
        console.print("  It comes out first: what still holds it is not sold by a grade that does not name it.")
    _where(console, "Kinds", [_within(within) for within in report.kinds])
    _where(console, "Inside many kinds", [_within(within) for within in report.components])
    _where(console, "Grades", [f"{grade.name} ({grade.id})" for grade in report.grades])
    _where(console, "What is it?", [f"{one.name} ({one.id})" for one in report.key])
    _where(console, "Calculators", [f"partway {command}" for command in report.commands])


def _within(within: Within) -> str:
    parts = [piece.name.lower() for piece in within.pieces] + [operation.name for operation in within.operations]
    at = "" if within.of_all or not parts else f": {', '.join(dict.fromkeys(parts))}"
    return f"{within.name} ({within.id}){at}"


def _where(console: Console, title: str, lines: list[str]) -> None:
    from rich.text import Text

    if lines:
        console.print()
        console.print(Text(title.upper(), style="bold"))
    for line in lines:
        console.print(Text(f"  {line}"))
