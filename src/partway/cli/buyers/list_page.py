"""A price list before it is saved: as understood, line by line, and the questions it raises."""

from __future__ import annotations

import click

from partway.catalogue import shipped
from partway.catalogue.cards import shipped_cards
from partway.cli.asking import chosen
from partway.cli.careful import Careful
from partway.errors import Refused
from partway.pricelist import PriceLine, answer, preview


def show_cautions(lines: list[PriceLine], careful: Careful) -> None:
    """What can hurt about the grades of a list, before its prices."""
    known = shipped().grades
    for words in careful.lines(
        shipped_cards(h for line in lines if line.shown_as for h in known[line.shown_as].hazards)
    ):
        click.echo(words)


def show_lines(lines: list[PriceLine]) -> None:
    """Each line as it was read, on stderr: what is saved is said on stdout."""
    for row in preview(lines):
        change = "" if row.change is None else f"  {row.change:+.0%}"
        previous = "" if row.previous is None else f"  before {float(row.previous):.4g} /{row.unit}"
        read = row.read_as if row.status == "understood" else f"? {row.text}"
        read = f"- {row.text} ({row.passed_over})" if row.status == "remark" else read
        click.echo(f"{row.position:>3}  {read}{previous}{change}", err=True)
        if row.told_by:
            click.echo(f"     settled {row.told_by}", err=True)
        if row.piece_by and row.status == "understood":
            click.echo(f"     what one weighs: {row.piece_by}", err=True)
        if row.most_ends and row.status == "understood":
            click.echo(f"     until now {row.most_ends}: that ends, this price says none", err=True)


def _show_question(question: PriceLine, lines: list[PriceLine]) -> None:
    """What is asked; of several names each on a line of its own, with its number and how it would be read."""
    if not any(choice.together for choice in question.choices):
        click.echo(question.question, err=True)
        return
    click.echo('Right as shown? Else a number and the grade, such as "3 red brass".', err=True)
    for line in (line for line in lines if line.offers):
        click.echo(f"  {line.position:>3}  {' '.join(line.text.split())}: {line.offers[0].label}", err=True)


def asked_all(lines: list[PriceLine]) -> list[PriceLine]:
    """The lines once somebody at the terminal has answered every question."""
    while question := next((line for line in lines if line.question), None):
        _show_question(question, lines)
        choices = [(choice.key, choice.label) for choice in question.choices]
        said = chosen(choices, choices[0][0] if choices else "", or_other=True)
        number, _, other = said.partition(" ")
        apart = number.isdecimal() and any(one.offers and one.position == int(number) for one in lines) and other
        try:
            lines = answer(lines, int(number), other) if apart else answer(lines, question.position, said)
        except Refused as refused:
            click.echo(f"  {refused}", err=True)
    return lines
