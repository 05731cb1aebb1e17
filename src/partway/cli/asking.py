"""Questions at the terminal: numbered answers, of which Enter takes the likely one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from partway.cli.context import CommandContext

Choices = Sequence[tuple[str, str]]  # answer, what it means


def answered(given: str, choices: Choices, likely: str = "") -> str | bool:
    """The answer of somebody at the terminal; one choice is a yes or no, to which Enter alone says nothing."""
    click.echo(given, err=True)
    if len(choices) == 1:
        answer, means = choices[0]
        if not click.confirm(f"  {means}?", err=True):
            raise click.Abort
        return True if answer == "yes" else answer
    return chosen(choices, likely)


def chosen(choices: Choices, likely: str = "", *, or_other: bool = False, ids: bool = True) -> str:
    """One of several answers, by its number, its name or how either begins; `or_other`: else what was typed.

    `ids`: the answers themselves are shown behind what they mean.
    """
    for number, (answer, means) in enumerate(choices, 1):
        also = f" ({answer})" if ids and means and means != answer else ""
        click.echo(f"  {number}. {means or answer}{also}", err=True)
    answers = [answer for answer, _ in choices]
    default = str(answers.index(likely) + 1) if likely in answers else None
    while True:
        said: str = click.prompt("  which", default=default, err=True)
        found = picked(said, choices)
        if found is None and or_other:
            return said.strip()
        if found is not None:
            return found
        click.echo(f"  a number from 1 to {len(choices)}, please", err=True)


def picked(said: str, choices: Choices) -> str | None:
    """The answer that a text picks; None where it picks none, or several."""
    plain = said.strip().casefold()
    names = {answer.casefold(): answer for answer, _ in choices} | {means.casefold(): a for a, means in choices}
    if plain in names:
        return names[plain]
    if plain.isascii() and plain.isdecimal():
        return choices[int(plain) - 1][0] if 1 <= int(plain) <= len(choices) else None
    begun = {answer for name, answer in names.items() if plain and name.startswith(plain)}
    return begun.pop() if len(begun) == 1 else None


def grade_settled(ctx: CommandContext, given: str, where: str, buyer: str = "") -> str:
    """The id of the grade that a text names, asked about where somebody is there. Raises Refused.

    What this person answered before of the name, at the buyer, is not asked again.
    """
    from partway.actions.recording import reading
    from partway.actions.recording.questions import Asked
    from partway.actions.saying.remembered import meant_before

    try:
        return reading.grade(given, where)
    except Asked as question:
        before = meant_before(ctx.book_or_none, ctx.by, given, "grade", buyer) if buyer else ""
        if before in dict(question.choices):
            return before
        if not ctx.may_ask:
            raise
        return str(answered(question.given, question.choices, question.likely))
