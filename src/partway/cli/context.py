"""What the ledger's commands share: whose book, who says so, when, and how the answer is written."""

from __future__ import annotations

import functools
import json
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from inspect import signature
from typing import TYPE_CHECKING, Any, TypeVar

import click

from partway.cli.asking import answered
from partway.cli.common import json_option, workspace_option
from partway.errors import PartwayError, Refused

if TYPE_CHECKING:
    import datetime as dt

    from partway.actions.recording.context import Context, Recorded
    from partway.catalogue.cards import CautionCard
    from partway.cli.careful import Careful
    from partway.ledger.book import Book
    from partway.ledger.roles import Rights
    from partway.reports.called import Called
    from partway.storage.refusals import NoLedger
    from partway.storage.store import SqlBook

F = TypeVar("F", bound=Callable[..., Any])
TYPED = ("listing", "find", "ticket", "haul", "round")  # fields of results with a name that a later command takes

who_option = click.option("--who", metavar="NAME", help="Who says so; default $PARTWAY_WHO or your user name.")
on_option = click.option("--on", metavar="WHEN", help='When it happened: yesterday, 2026-03-14, "2026-03-14 15:30".')
yes_option = click.option("--yes", is_flag=True, help="Ask nothing: what is not clear is refused with the question.")


@dataclass
class CommandContext:
    """One command at work on one book."""

    workspace: str | None
    as_json: bool
    who: str | None = None
    on: str | None = None
    yes: bool = False
    makes: bool = False
    chosen: str = ""  # which of two times is meant where the clock showed --on twice

    @functools.cached_property
    def book(self) -> SqlBook:
        """The workspace's book. Raises Refused where there is none: only `record` makes one."""
        from partway.storage.refusals import NoLedger
        from partway.storage.workspace import open_workspace

        try:
            book = open_workspace(self.workspace, make=False)
        except NoLedger as none:
            raise absent(none) from None
        click.get_current_context().call_on_close(book.close)
        return book

    @functools.cached_property
    def book_or_none(self) -> Book:
        """The workspace's book, or an empty one in memory where a first entry is still to be made."""
        from partway.ledger.memory import MemoryBook
        from partway.storage.refusals import NoLedger

        try:
            return self.book
        except NoLedger:
            if not self.makes:
                raise
            return MemoryBook()

    def begin(self) -> None:
        """Make the workspace, where there is none yet."""
        from partway.storage.workspace import open_workspace

        if "book" not in self.__dict__:
            book = open_workspace(self.workspace)
            click.get_current_context().call_on_close(book.close)
            self.__dict__ |= {"book": book, "book_or_none": book}

    @functools.cached_property
    def context(self) -> Context:
        """Who, when and the ids of new events."""
        from partway.actions.recording.context import Context, when
        from partway.actions.recording.zones import machine_zone
        from partway.ledger.days import zone_said
        from partway.ledger.events.ids import new_id

        return Context(
            who=self.by,
            clock=self.now,
            new_id=new_id,
            happened=None if self.on is None else when(self.on, self.now(), chosen=self.chosen),
            mark=os.environ.get("PARTWAY_MARK", ""),
            zone=machine_zone() if zone_said(self.book_or_none) is None else "",
            rights=self._rights(),
        )

    def _rights(self) -> Rights:
        """What somebody of this name may, where a device of theirs has a role. Another name is another person: this
        keeps helpers from slips, not from the database whose password they have.
        """
        from partway.ledger.fold.standing import settings
        from partway.ledger.roles import Rights, Role, rights_of
        from partway.storage.store import SqlBook
        from partway.storage.writing.device_keys import owners, role_of

        book = self.book_or_none
        role = role_of(book, self.by) if isinstance(book, SqlBook) else Role.OWNER
        if role is Role.OWNER or not isinstance(book, SqlBook):
            return Rights()
        return rights_of(role, settings(book), desk=True, ask=" or ".join(owners(book)))

    @property
    def by(self) -> str:
        """Who runs the command, as events have it."""
        from partway.cli.common import user_name

        return self.who or os.environ.get("PARTWAY_WHO") or user_name()

    @functools.cached_property
    def careful(self) -> Careful:
        """How cautions are shown to them."""
        from partway.cli.careful import Careful

        return Careful(self)

    def _context(self) -> Context:
        """The context, asking which of two times is meant where the clock showed --on twice."""
        from partway.actions.recording.questions import Asked

        try:
            return self.context
        except Asked as question:
            if not self.may_ask:
                raise
            self.chosen = str(answered(question.given, question.choices, question.likely))
            return self.context

    def now(self) -> dt.datetime:
        """The time by the clock of the workspace."""
        from partway.actions.recording.zones import now_of

        return now_of(self.book_or_none)

    @functools.cached_property
    def called(self) -> Called:
        """What people call the things of the ledger, today."""
        from partway.reports.called import Called

        now = self.now()
        return Called(self.book, now.date(), now.tzinfo)

    @property
    def may_ask(self) -> bool:
        """Whether somebody is there to answer."""
        return not self.yes and not self.as_json and sys.stdin.isatty()

    def record(self, action: Callable[..., Recorded[Any]], *args: Any, **options: Any) -> None:
        """Run an action, asking what it asks where somebody is there, and tell what was recorded."""
        self.tell(self.run(action, args, options))

    def run(
        self, action: Callable[..., Recorded[Any]], args: tuple[Any, ...], options: dict[str, Any], **more: Any
    ) -> Recorded[Any]:
        """What an action recorded, its questions asked where somebody is there; answers are kept in `options`.

        Where there is no workspace it is tried in memory first: if it is refused, none is made.
        """
        from partway.actions.recording.questions import Asked

        options_of, answers = signature(action).parameters, dict[str, Any]()
        while True:
            given = signature(action).bind(self.book_or_none, self._context(), *args, **options, **more)
            given.arguments.update(answers)
            try:
                done = action(*given.args, **given.kwargs)
                if "book" in self.__dict__:
                    return done
                self.begin()
            except Asked as question:
                if not self.may_ask or not question.choices or question.option not in options_of:
                    raise
                answers[question.option] = answered(question.given, question.choices, question.likely)
                if question.option in options:
                    options[question.option] = answers[question.option]

    def tell(self, recorded: Recorded[Any]) -> None:
        """What was recorded, and how to take it back."""
        if self.as_json:
            from partway.actions.recording.saved import saved

            as_json(asdict(saved(recorded)))
            return
        self.show(recorded)
        if recorded.undo:
            last, whole = str(recorded.undo[-1])[-8:], len(recorded.undo) > 1
            click.echo(f"  take it back: partway {f'undo {last}' if whole else f'correct {last}'}")

    def show(self, recorded: Recorded[Any], *, err: bool = False) -> None:
        """What was recorded, or would be, in lines, what can hurt first."""
        from partway.actions.recording.describe import Say, tell
        from partway.cli.words import typed

        self.__dict__.pop("called", None)  # what was recorded has names of its own
        cards: tuple[CautionCard, ...] = getattr(recorded.result, "cautions", ())
        told = tell(recorded.result, Say.of(self.book), self.called, recorded.clock, alone=True)
        made = next((name for sort in TYPED if (name := getattr(recorded.result, sort, ""))), "")
        said = f"{told.said}{typed(made) if made else ''}"
        for line in (*self.careful.lines(cards), said, *(f"  {more.strip()}" for more in told.more[len(cards) :])):
            click.echo(line, err=err)


def as_json(data: Mapping[str, Any] | list[Any]) -> None:
    """JSON on stdout; money as exact text."""
    click.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False, default=str))


def recording(command: F) -> F:
    """Adds the options of a command that records something; it gets a CommandContext as `ctx`."""
    return _desked(command, (json_option, yes_option, on_option, who_option, workspace_option), makes=True)


def looking(command: F) -> F:
    """Adds the options of a command that only looks; it gets a CommandContext as `ctx`."""
    return _desked(command, (json_option, workspace_option), makes=False)


def _desked(command: F, options: tuple[Callable[[Any], Any], ...], *, makes: bool) -> F:
    @functools.wraps(command)
    def with_desk(*args: Any, **values: Any) -> Any:
        named = {name: values.pop(name) for name in ("workspace", "as_json", "who", "on", "yes") if name in values}
        ctx = CommandContext(**named, makes=makes)
        with blaming(ctx), naming(ctx):
            done = command(*args, ctx=ctx, **values)
        if "careful" in ctx.__dict__:
            ctx.careful.note()
        return done

    wrapped: Any = with_desk
    for option in options:
        wrapped = option(wrapped)
    result: F = wrapped
    return result


def absent(none: NoLedger) -> NoLedger:
    """The refusal to look into a place without a ledger, with the commands that begin one."""
    from partway.storage.refusals import NoLedger

    begin = "partway find KIND begins one, partway demo --workspace DIR makes one up"
    return NoLedger(none.given, f"{none.expected}; {begin}", none.where)


@contextmanager
def naming(ctx: CommandContext) -> Iterator[None]:
    """Things in a refusal go by their names, with what to type behind it; what was typed stays as it was."""
    try:
        yield
    except Refused as refused:
        if "book" in ctx.__dict__:
            refused.given, refused.expected = map(ctx.called.to_type, (refused.given, refused.expected))
        raise


@contextmanager
def blaming(ctx: CommandContext) -> Iterator[None]:
    """Where something breaks that should not, look whether the ledger is damaged; then that is the message."""
    try:
        yield
    except (PartwayError, click.ClickException, click.Abort, click.exceptions.Exit):
        raise
    except Exception as error:
        from partway.storage.doctor import damage_in

        book = ctx.__dict__.get("book")
        damage = None if book is None else damage_in(book)
        if damage is None:
            raise
        raise damage from error
