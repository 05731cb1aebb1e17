"""A price as it is said in a price list, where a command takes one: "four ten", "38c", 410."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import click

from partway.cli.context import CommandContext

if TYPE_CHECKING:
    from partway.ledger.book import Book

BELOW_ZERO = re.compile(r"-\s*[0-9.,]+")


def price_heard(ctx: CommandContext, buyer: str, grade: str, given: str, *, printed: bool = False) -> str:
    """The price of a grade as an action takes it. Raises Refused, Asked where nobody is there to say which it is.

    What is written whole stays as it is, and so does a bare number that is `printed` or below zero: it is per one of
    the workspace's unit. Anything else is read, and asked about, as a line of a price list.
    """
    from partway.actions.buyers.quoting import NOT_TAKEN

    text = given.strip()
    bare = printed or bool(BELOW_ZERO.fullmatch(text))
    if text.lower() in NOT_TAKEN or _whole(ctx.book_or_none, text, bare=bare):
        return text
    return _as_a_line(ctx, buyer, grade, text)


def with_unit(book: Book, given: str) -> str:
    """A bare price per one of the workspace's unit; anything else as it is."""
    from partway.actions.recording import reading

    return reading.price(book, given, "price")


def _whole(book: Book, text: str, *, bare: bool) -> bool:
    """Whether the action takes it as it is written."""
    from partway.actions.recording import reading
    from partway.actions.recording.heard import is_plain
    from partway.errors import Refused

    try:
        return is_plain(with_unit(book, text) if bare else reading.pointed(book, text, "price"), reading.currency(book))
    except Refused:
        return False


def _as_a_line(ctx: CommandContext, buyer: str, grade: str, text: str) -> str:
    from partway.actions.buyers.price_lists import price_of, read_list
    from partway.actions.recording.questions import Asked
    from partway.catalogue import shipped
    from partway.cli.buyers.list_page import asked_all
    from partway.errors import Refused
    from partway.quantities import shown

    expected = 'a price, such as "4.10 /lb", 38c or "four ten"'
    try:
        lines = read_list(ctx.book_or_none, buyer, f"{shipped().grades[grade].name} {text}")
    except Refused:  # of a whole list, which nobody typed
        raise Refused(shown(text), expected, "price") from None
    if len(lines) != 1 or lines[0].grade != grade:
        raise Refused(shown(text), expected, "price")
    if lines[0].question:
        if not ctx.may_ask:
            choices = tuple((choice.key, choice.label) for choice in lines[0].choices)
            expected = " or ".join(f'"{key}"' for key, _ in choices if "/" in key) or 'a price, such as "4.10 /lb"'
            raise Asked(shown(text), expected, "price", option="price", choices=choices)
        lines = asked_all(lines)
        if not lines:
            raise click.Abort
    return price_of(lines[0])
