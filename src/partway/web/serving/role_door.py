"""The one door at which a role is asked, before anything that could write, or answer a request from memory."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from partway.errors import PartwayError
from partway.ledger.roles import Permission
from partway.web.context import AppState, RequestContext
from partway.web.forms import Typed
from partway.web.serving import answers
from partway.web.serving.rules import SAFE, permission_at


class RoleDoor:
    """Stands behind the guard, which knows who asks, and before everything else."""

    def __init__(self, app: ASGIApp, state: AppState) -> None:
        self.app, self.state = app, state

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request. What only reads is open to each role, and costs nothing here."""
        if scope["type"] == "http" and scope["method"] not in SAFE:
            request = Request(scope)
            try:
                await run_in_threadpool(self._ask, request)
            except PartwayError as refused:
                answer = await run_in_threadpool(answers.failed, request, refused)
                await answer(scope, receive, send)
                return
        await self.app(scope, receive, send)

    def _ask(self, request: Request) -> None:
        """Raises NotAllowed, and BadLedger where the ledger cannot be asked."""
        ctx = RequestContext(request, self.state, Typed())
        path = request.scope["path"]  # as the app's routes see it: an address made of it may end sooner, at a "?"
        ctx.rights.check(permission_at(request.method, path) or Permission.UNSTATED, ctx.who)
