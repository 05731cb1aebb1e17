"""`partway say`: one line for everything, as people speak."""

from __future__ import annotations

import sys
from dataclasses import asdict, replace
from typing import TYPE_CHECKING

import click

from partway.cli.context import CommandContext, as_json, recording

if TYPE_CHECKING:
    from partway.actions.saying.results import SayLine, SayReading


@click.command("say")
@click.argument("text", nargs=-1)
@click.option("--answer", "given", multiple=True, metavar="LINE.WHAT=ANSWER", help="An answer to a question.")
@click.option("--language", default="", metavar="en|fr|es", help="Said in it; default the setting `language`.")
@recording
def say_command(ctx: CommandContext, text: tuple[str, ...], given: tuple[str, ...], language: str) -> None:
    """Record what happened, as you would say it.

    \b
      partway say "found two microwaves, one works"
      partway say "opened the oven, nineteen minutes, cord point six"
      partway say "weighed the motor bin forty one and a half"
      partway say "sold the keyboard for twenty five, three fifty postage"
      partway say "no. 2 at the harbour four ten, fuel forty bucks"
      partway say "harbour ticket: no 2 copper 20 lb at 4.10, total 82"
      partway say "yesterday 3 pm, took the cord off the microwave"

    What would be recorded is shown first. What is not clear is asked, at most three
    answers each, and remembered where it was about a word. It is saved as a whole or
    not at all: at a terminal you are asked, elsewhere --yes saves it, and one
    `partway undo` takes all of it back.
    """
    from partway.actions.saying.say import read_said, say
    from partway.actions.saying.shown import shown_of

    said = " ".join(text) if text else sys.stdin.read()
    answers = _answers(given)
    context = ctx.context
    reading = read_said(ctx.book_or_none, context, said, answers, language)
    while ctx.may_ask and reading.open:
        answers |= {line.option: _asked(line) for line in reading.open}
        reading = read_said(ctx.book_or_none, context, said, answers, language)
    if ctx.as_json and not ctx.yes:
        as_json(asdict(shown_of(reading)))
        return
    if not ctx.as_json:
        _show(reading)
    if not ctx.yes and not _agreed(ctx, reading):
        click.echo("nothing was saved" if ctx.may_ask else "nothing was saved: --yes saves it", err=True)
        if not reading.ready:
            ctx.run(say, (said, answers, language, reading.shown), {})  # which says why
        return
    done = ctx.run(say, (said, answers, language, reading.shown), {})
    ctx.tell(done if ctx.as_json else replace(done, result=replace(done.result, cautions=())))


def _agreed(ctx: CommandContext, reading: SayReading) -> bool:
    """Whether somebody is there who wants it saved."""
    return reading.ready and ctx.may_ask and click.confirm("save all of it?", err=True, default=True)


def _answers(given: tuple[str, ...]) -> dict[str, str]:
    from partway.errors import Refused

    answers = {}
    for text in given:
        name, equals, answer = text.partition("=")
        if not equals or not name.strip():
            raise Refused(f'"{text}"', "a question and its answer, such as 1.kind=microwave", "answer")
        answers[name.strip()] = answer.strip()
    return answers


def _show(reading: SayReading) -> None:
    """Every line as it was read: what can hurt first, then what would be recorded, and what is open."""
    from partway.actions.recording.describe import careful

    for line in careful(reading.cautions):
        click.echo(line)
    for one in reading.lines:
        click.echo(f"{one.number}. {one.said}")
        for told in dict.fromkeys((*one.told, *one.more)):
            click.echo(f"   {told}")
        if one.refused:
            click.echo(f"   not taken: {one.refused}")
        if one.asked:
            click.echo(f"   {one.asked.given}: which is it?")
            if one.entry:
                click.echo(f"     --answer {one.option}=...  {one.entry}")
            for answer, means in one.choices:
                click.echo(f"     --answer {one.option}={answer}  {means}")
        for doubt in one.doubts:
            click.echo(f"   ? {doubt}")
        if one.waits:
            click.echo("   waits for the line above")


def _asked(line: SayLine) -> str:
    """The answer of somebody at the terminal, by its number; Enter takes the first."""
    assert line.asked is not None  # noqa: S101  only lines that ask come here
    click.echo(f"{line.number}. {line.asked.given}", err=True)
    if line.entry:
        return str(click.prompt(f"  {line.entry}", err=True))
    for number, (_, means) in enumerate(line.choices, 1):
        click.echo(f"  {number}  {means}", err=True)
    chosen = click.prompt("  which", type=click.IntRange(1, len(line.choices)), default=1, err=True)
    return line.choices[int(chosen) - 1][0]
