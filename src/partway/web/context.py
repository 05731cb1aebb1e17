"""One request at work on the book: who asks, what was typed, and what stands in the ledger right now."""

from __future__ import annotations

import datetime as dt
import secrets
import threading
from collections import OrderedDict
from collections.abc import Hashable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Annotated, cast
from uuid import UUID

from fastapi import Depends, Request

from partway.actions.curb.curb import bare
from partway.actions.haul.prices import prices_from_book
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.plans.jobs import Jobs
from partway.actions.recording.context import Context, when
from partway.actions.recording.describe import Say, Told
from partway.catalogue import Catalogue
from partway.lazily import lazily
from partway.ledger import trading
from partway.ledger.days import local, zone_of, zone_said
from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Traded
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow, FindNow
from partway.ledger.roles import Permission, Rights, Role, rights_of
from partway.reports.books.conflicts import ConflictLine, report_conflicts
from partway.reports.called import Called
from partway.storage.refusals import locked
from partway.storage.store import SqlBook
from partway.storage.writing.device_keys import owners, role_of
from partway.things.scenario import KnownKinds, Scenario
from partway.valuing.known import catalogue_of
from partway.web.cache import Cache, cached
from partway.web.forms import ANSWER, Typed
from partway.web.paper import paper_of
from partway.web.pocket.keeper import PocketKeeper
from partway.web.serving.durable import Durable, KeyOfRequest
from partway.web.serving.entry import STRANGER, Caller, cookie_name
from partway.web.serving.guard import BODY_MOST
from partway.web.serving.setup import Setup
from partway.web.serving.tokens import Tokens
from partway.web.show import Show

SESSION = "partway_session"
NOTES_MOST = 1000


@dataclass(frozen=True, slots=True)
class Note:
    """What was just recorded, and the events with which it can be taken back. `again` says it was saved before.

    `right` is where it is put right, `done` the name of the draft that it was typed in; both may be empty.
    """

    told: Told
    undo: tuple[UUID, ...] = ()
    back: str = "/"
    again: bool = False
    right: str = ""
    done: str = ""


@dataclass
class AppState:
    """What all requests of one running app share."""

    setup: Setup
    tokens: Tokens = field(default_factory=Tokens)
    cache: Cache = field(default_factory=Cache)
    by_prices: Cache = field(default_factory=Cache)  # what stays while finds and bins change
    saving: threading.Lock = field(default_factory=threading.Lock)
    jobs: Jobs = field(default_factory=Jobs)
    notes: OrderedDict[str, Note] = field(default_factory=OrderedDict)
    fresh_keys: dict[str, str] = field(default_factory=dict)  # by device: the address with its key, until it was used
    durable: Durable = field(init=False)
    pocket: PocketKeeper = field(init=False)

    _noting: threading.Lock = field(default_factory=threading.Lock)

    def __post_init__(self) -> None:
        """The ledger remembers what was saved."""
        self.durable = Durable(self.setup.book)
        self.pocket = PocketKeeper(self.setup.book, self.clock)

    def clock(self) -> dt.datetime:
        """The time by the clock of the workspace; by the app's where the workspace has no zone yet."""
        now = self.setup.clock()
        return local(now, zone_of(self.setup.book) or now.tzinfo)

    @contextmanager
    def turn(self) -> Iterator[None]:
        """Forms are saved one after another, so that one sent twice at the same moment is saved once.

        Raises BadLedger for whom the ones before keep waiting too long.
        """
        book = self.setup.book
        if not self.saving.acquire(timeout=book.patience):
            raise locked(book.where)
        try:
            yield
        finally:
            self.saving.release()

    def leave(self, name: str, note: Note) -> None:
        """Leave a note for the next page."""
        with self._noting:
            self.notes[name] = note
            while len(self.notes) > NOTES_MOST:
                self.notes.popitem(last=False)


@dataclass
class RequestContext:
    """A request and the book. What it works out once it keeps, for as long as the ledger stays as it is."""

    request: Request
    app: AppState
    typed: Typed
    judged: bool = False  # a form that was sent was looked at, so that the browser knows what came of it

    @property
    def setup(self) -> Setup:
        """How the app was started."""
        return self.app.setup

    @property
    def book(self) -> SqlBook:
        """The ledger."""
        return self.app.setup.book

    @property
    def who(self) -> str:
        """Who types: whose device it is, or who started the app."""
        caller: Caller = getattr(self.request.state, "caller", STRANGER)
        return caller.who or self.setup.who

    @property
    def device(self) -> str:
        """The device that asks, by the name of its key; empty for the machine itself."""
        caller: Caller = getattr(self.request.state, "caller", STRANGER)
        return caller.device

    @lazily
    def rights(self) -> Rights:
        """What whoever asks may do."""
        caller: Caller = getattr(self.request.state, "caller", STRANGER)
        role = role_of(self.book, self.who) if caller.desk else caller.role
        if role is Role.OWNER:
            return Rights(desk=caller.desk)
        ask = " or ".join(_owners(self)) or ("" if caller.desk else self.setup.who)
        return rights_of(role, self.settings, desk=caller.desk, ask=ask)

    @property
    def at_desk(self) -> bool:
        """Whether this is a browser of the machine itself, and not a device that was given a key."""
        return self.rights.may(Permission.KEYS)

    @property
    def is_secure(self) -> bool:
        """Whether this request came by https."""
        return self.setup.tls_before or self.request.url.scheme == "https"

    def cookie(self, name: str) -> str:
        """What a cookie of this name is called in this request."""
        return cookie_name(name, secure=self.is_secure)

    def clock(self) -> dt.datetime:
        """The time by the clock of the workspace; by the app's where the workspace has no zone yet."""
        return self.app.clock()

    @lazily
    def now(self) -> dt.datetime:
        """The time of this request."""
        return self.clock()

    @property
    def today(self) -> dt.date:
        """The day of this request."""
        return self.now.date()

    @lazily
    def session(self) -> str:
        """What this browser is known by; new for one that was never here."""
        return self.request.cookies.get(self.cookie(SESSION)) or secrets.token_urlsafe(16)

    def context(self, on: str = "") -> Context:
        """Who types and when; `on` is when it happened, as typed, empty for now. Raises Refused."""
        happened = when(on, self.now, "on", self.typed.get(f"{ANSWER}on", "")) if on.strip() else None
        zone = self.setup.zone if zone_said(self.book) is None else ""
        key: KeyOfRequest | None = getattr(self.request.state, "key", None)
        caller: Caller = getattr(self.request.state, "caller", STRANGER)
        return Context(
            self.who,
            self.clock,
            new_id,
            happened,
            self.setup.mark,
            exact=True,
            zone=zone,
            intent=None if key is None else key.intent,
            rights=self.rights,
            device=caller.device,
        )

    @lazily
    def state(self) -> Hashable:
        """What changes with the ledger and with the day."""
        return (self.book.mark(), self.today)

    @property
    def only_prices(self) -> Hashable:
        """What changes with prices, wage and what was learned of kinds."""
        return _only_prices(self)

    @lazily
    def prices(self) -> Scenario:
        """Buyers, quotes, stock and settings, without finds: quick, and enough for most pages."""
        return _prices(self)

    @lazily
    def scenario(self) -> Scenario:
        """All that can be planned. Where no currency is set it is XXX; what counts money refuses that itself."""
        return _scenario(self)

    @lazily
    def conflicts(self) -> tuple[ConflictLine, ...]:
        """What cannot all be true, as lines."""
        return _conflicts(self)

    def conflicts_of(self, subject: str) -> tuple[ConflictLine, ...]:
        """Those that touch one find, bin or buyer."""
        return tuple(line for line in self.conflicts if subject in line.subjects)

    @lazily
    def bins(self) -> dict[str, BinNow]:
        """All bins by id."""
        return _bins(self)

    @lazily
    def finds(self) -> dict[str, FindNow]:
        """Finds that are not closed, by id."""
        return _finds(self)

    @property
    def catalogue(self) -> Catalogue:
        """The kinds that this ledger knows, with grades and cautions."""
        return _catalogue(self)

    @lazily
    def buyers(self) -> dict[str, Traded]:
        """Buyers with their terms, by id."""
        return _buyers(self)

    @property
    def settings(self) -> dict[str, str]:
        """The settings of the workspace."""
        return _settings(self)

    @property
    def paper(self) -> str:
        """The paper that is usual where the workspace is."""
        return paper_of(self.settings.get("locale", ""), self.settings.get("zone", ""))

    @lazily
    def called(self) -> Called:
        """What people call finds, bins, hauls and tickets."""
        return _called(self)

    def named_anew(self) -> Called:
        """The same, read from the ledger as it is now, within the transaction that is under way."""
        return Called(self.book, self.today, self.now.tzinfo)

    @lazily
    def show(self) -> Show:
        """Numbers in the workspace's unit, currency and locale."""
        return Show(_say(self), self.today, self.now.tzinfo, self.called)


@cached
def _prices(ctx: RequestContext) -> Scenario:
    return prices_from_book(ctx.book, ctx.today, lambda: ctx.scenario)


@cached
def _only_prices(ctx: RequestContext) -> tuple[Scenario, KnownKinds | None]:
    return bare(ctx.prices), ctx.prices.known


@cached
def _scenario(ctx: RequestContext) -> Scenario:
    return scenario_from_book(ctx.book, ctx.today, counting=False, waiting=ctx.finds)


@cached
def _conflicts(ctx: RequestContext) -> tuple[ConflictLine, ...]:
    return report_conflicts(ctx.book, ctx.show.say.units, ctx.now.tzinfo, called=ctx.show.called)


@cached
def _bins(ctx: RequestContext) -> dict[str, BinNow]:
    return standing.bins(ctx.book)


@cached
def _finds(ctx: RequestContext) -> dict[str, FindNow]:
    return standing.finds(ctx.book)


@cached
def _catalogue(ctx: RequestContext) -> Catalogue:
    return catalogue_of(ctx.book)


@cached
def _buyers(ctx: RequestContext) -> dict[str, Traded]:
    return trading.buyers(ctx.book)


@cached
def _settings(ctx: RequestContext) -> dict[str, str]:
    return standing.settings(ctx.book)


@cached
def _owners(ctx: RequestContext) -> tuple[str, ...]:
    return owners(ctx.book)


@cached
def _called(ctx: RequestContext) -> Called:
    return Called(ctx.book, ctx.today, ctx.now.tzinfo)


@cached
def _say(ctx: RequestContext) -> Say:
    return Say.of(ctx.book)


async def typed(request: Request) -> Typed:
    """What was posted as a form; nothing for other requests."""
    kind = request.headers.get("content-type", "")
    if request.method != "POST" or not kind.startswith(("application/x-www-form-urlencoded", "multipart/form-data")):
        return Typed()
    return Typed.of(await request.form(max_files=0, max_fields=5000, max_part_size=BODY_MOST))


def context_of(request: Request, posted: Annotated[Typed, Depends(typed)]) -> RequestContext:
    """The context of a request."""
    return RequestContext(request, cast(AppState, request.app.state.partway), posted)


At = Annotated[RequestContext, Depends(context_of)]
