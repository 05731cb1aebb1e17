"""The one way a form is saved: once, whole or not at all, and what was typed stays when it is not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any
from uuid import UUID

from fastapi.responses import RedirectResponse, Response

from partway.actions.recording.context import Recorded
from partway.actions.recording.describe import Told, tell
from partway.catalogue import shipped
from partway.errors import Refused
from partway.storage.refusals import BadLedger
from partway.storage.writing.answered import AnsweredBefore
from partway.web.context import Note, RequestContext
from partway.web.forms import Form
from partway.web.pages import NOTE, Page, render
from partway.web.serving.answers import note_refusal
from partway.web.serving.durable import SavedForm, form_name
from partway.web.serving.failures import status_of
from partway.web.serving.tokens import TokenStanding, Verdict, content_of, of_saved

DRAFT = "draft"  # the name under which the browser keeps what is typed into a form, until it was saved
DRAFT_MOST = 200
TOKEN = "token"  # noqa: S105 (the name of a field)
SENT = "sent"  # tokens under which the same draft was sent before, without an answer that reached the browser
SENT_MOST = 20
NOT_TYPED = (TOKEN, SENT, DRAFT)  # fields that a page brings along
Fields = Sequence[tuple[str, str]]
SAID = {
    TokenStanding.STALE: (
        "This page was out of date, so nothing was saved. What you typed is still here: look at it and send it again."
    ),
    TokenStanding.OTHER: (
        "This page was saved once already, with something else in it. Nothing more was saved; "
        "send it again if you want both."
    ),
}


@dataclass(frozen=True)
class FormSaved:
    """Something was saved: what to say about it, how to take it back, where to go on.

    `right` is where the same screens open filled in, to put it right; empty where there are none.
    """

    told: Told
    undo: tuple[UUID, ...]
    to: str
    right: str = ""

    @classmethod
    def onward(cls, to: str, said: str = "") -> FormSaved:
        """Nothing to take back, and at most a sentence to say."""
        return cls(Told(said), (), to)

    @classmethod
    def of(cls, ctx: RequestContext, recorded: Recorded[Any], to: str, right: str = "") -> FormSaved:
        """From what an action recorded."""
        told = tell(recorded.result, ctx.show.say, ctx.named_anew(), recorded.clock)
        return cls(told, recorded.undo, to, right)


def save_form(
    ctx: RequestContext,
    form: Form,
    act: Callable[[], FormSaved],
    again: Callable[[], Page],
    names: dict[str, str] | None = None,
    *,
    decides: bool = True,
    content: Fields | Callable[[], Fields | None] | None = None,
) -> Response:
    """Save a form by `act` and go on, or show the page `again` with what was typed and what is wrong with it.

    `names` maps what the action calls a field to the form's name for it. `act` raises Refused for what it will not
    take, and then has recorded nothing: it is one transaction of the ledger, with what it reads. `decides` is False
    for what takes long, such as a search, and records nothing or sees to that itself. `content` is what makes two of
    them the same, where that is not what the fields say; a function is asked after `act`, or where something was saved
    under the form's token before. Pages are drawn outside, so that nobody waits for them.
    """
    sent = _Sent(ctx, form, act, names, decides, content)
    try:
        with ctx.app.turn():
            verdict, status = sent.saved()
    except BadLedger as refused:
        form.refuse(refused, names)
        verdict, status = Verdict(TokenStanding.FRESH), status_of(refused)
    else:
        ctx.judged = True
    if status is not None:
        return render(ctx, again(), status)
    return _on(ctx, verdict.name, verdict.went, again=verdict.standing is TokenStanding.SAVED)


@dataclass
class _Sent:
    """A form that was sent, and what is to be done with it."""

    ctx: RequestContext
    form: Form
    act: Callable[[], FormSaved]
    names: dict[str, str] | None
    decides: bool
    same: Fields | Callable[[], Fields | None] | None

    @cached_property
    def content(self) -> str:
        """A digest of what makes two of them the same."""
        same = self.same() if callable(self.same) else self.same
        return content_of(self.ctx.request.url.path, _content(self.ctx) if same is None else same)

    def saved(self) -> tuple[Verdict, int | None]:
        """Where its saving led to, now or before; or the status that says why it is not saved."""
        ctx, verdict = self.ctx, self._judged()
        if verdict.standing is not TokenStanding.FRESH:
            return self._not_now(verdict)
        if not self.form.validate():
            return verdict, 422
        try:
            done = self._done(verdict.name)
        except AnsweredBefore:  # so long ago that only the ledger knows it
            return self._not_now(of_saved(verdict.name, self._before(verdict.name) or ("", "/"), self.content))
        except Refused as refused:
            note_refusal(self.ctx.request, refused)
            self.form.refuse(refused, self.names)
            return verdict, status_of(refused)
        # Only now: what the transaction did not keep was not saved, and may be sent again.
        ctx.app.tokens.saved(verdict.name, self.content, done.to)
        ctx.app.leave(verdict.name, Note(done.told, done.undo, done.to, right=done.right, done=_draft(ctx)))
        return Verdict(TokenStanding.FRESH, verdict.name, done.to), None

    def _judged(self) -> Verdict:
        """What the form's token says; where that is new, what those say under which the same draft was sent before."""
        tokens, session = self.ctx.app.tokens, self.ctx.session
        verdict = tokens.judge(self.ctx.typed.get(TOKEN, ""), session, self._said, self._before)
        if verdict.standing is not TokenStanding.FRESH:
            return verdict
        earlier = (tokens.judge(one, session, self._said, self._before) for one in self._sent_before())
        known = (TokenStanding.SAVED, TokenStanding.OTHER)
        return next((one for one in earlier if one.standing in known), verdict)

    def _said(self) -> str:
        return self.content

    def _sent_before(self) -> list[str]:
        return [str(one) for one in self.ctx.typed.getlist(SENT)][-SENT_MOST:]

    def _not_now(self, verdict: Verdict) -> tuple[Verdict, int | None]:
        """The same again leads where it led before; anything else is said not to be saved."""
        if verdict.standing is TokenStanding.SAVED:
            return verdict, None
        self.form.problem = SAID[verdict.standing]
        return verdict, 409

    def _done(self, name: str) -> FormSaved:
        if not self.decides:
            return self.act()
        shipped()  # slow the first time: not while others wait
        durable, now = self.ctx.app.durable, self.ctx.now
        durable.tidy(now)
        with self.ctx.book.deciding():
            done = self.act()
            durable.keep(form_name(name), self.content, SavedForm(done.to, done.told, done.undo).kept(), now)
            return done

    def _before(self, name: str) -> tuple[str, str] | None:
        """What was saved under a name before the app was started, with its note for the next page."""
        kept = self.ctx.app.durable.known(form_name(name))
        if kept is None:
            return None
        saved = SavedForm.of(kept)
        self.ctx.app.leave(name, Note(saved.told, saved.undo, saved.to, done=_draft(self.ctx)))
        return kept.digest, saved.to


def _on(ctx: RequestContext, name: str, to: str, *, again: bool = False) -> Response:
    """To the next page, which says what was recorded."""
    note = ctx.app.notes.get(name)
    if again and note is not None:
        ctx.app.leave(name, replace(note, again=True, done=_draft(ctx)))
    response = RedirectResponse(to, 303)
    response.set_cookie(ctx.cookie(NOTE), name, max_age=60, httponly=True, samesite="strict", secure=ctx.is_secure)
    return response


def _draft(ctx: RequestContext) -> str:
    """The name of the draft that was saved, for the browser to forget."""
    return str(ctx.typed.get(DRAFT, ""))[:DRAFT_MOST]


def _content(ctx: RequestContext) -> Fields:
    return [(name, value) for name, value in ctx.typed.multi_items() if name not in (TOKEN, SENT)]


def inside(path: str, otherwise: str = "/") -> str:
    """A path of this app to go back to; anything else is not followed."""
    safe = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable()
    return path if safe else otherwise
