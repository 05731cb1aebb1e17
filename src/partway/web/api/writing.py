"""How a write is taken: a JSON body and no other, and once for each key."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import Annotated, Any, TypeVar, cast

from fastapi import APIRouter, Depends, Header, Request
from fastapi.responses import Response
from fastapi.routing import APIRoute
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect

from partway.actions.recording.context import Recorded
from partway.actions.recording.saved import Saved, saved
from partway.catalogue import shipped
from partway.errors import PartwayError
from partway.quantities import shown
from partway.storage.writing.answered import AnsweredBefore
from partway.web.api.bodies import Body
from partway.web.api.once import HEADER, KEY, Once, check_same, digest_of, key_of
from partway.web.api.problems import WRITING, may
from partway.web.api.strict_json import parsed
from partway.web.context import AppState, RequestContext
from partway.web.serving import answers
from partway.web.serving.durable import KeyOfRequest, answer_of, key_name, result_sent
from partway.web.serving.failures import NotJson, SavedElsewhere, TooMuch, Underway, status_of
from partway.web.serving.guard import BODY_MOST

R = TypeVar("R")
Handle = Callable[[Request], Coroutine[Any, Any, Response]]


class WritingRoute(APIRoute):
    """A route whose body is JSON, and which answers a key that it knows as it did before."""

    async def taken(self, request: Request) -> bytes:
        """The body, which has to be JSON that every reader reads alike. Raises Refused."""
        body = await body_of(request)
        kind = request.headers.get("content-type", "")
        if kind.partition(";")[0].strip().lower() != "application/json":
            raise NotJson(shown(kind) if kind else "a body of no stated type", "application/json", "content-type")
        parsed(body)
        return body

    def get_route_handler(self) -> Handle:
        """FastAPI's own handler behind our checks."""
        handle = super().get_route_handler()

        async def checked(request: Request) -> Response:
            body = await self.taken(request)
            key, digest = key_of(request), digest_of(request, body)
            if key is None:
                return await handle(request)
            once = cast(Once, request.app.state.once)
            answer = once.begin(key, digest)
            if answer is None:
                try:
                    answer = await _once(handle, request, key, digest)
                finally:
                    once.end(key, digest, answer)
            return _again(answer)

        return checked


async def _once(handle: Handle, request: Request, key: str, digest: str) -> Response:
    """The answer that the ledger knows from before the app was started, or the one that is given now."""
    state = cast(AppState, request.app.state.partway)
    name, now = key_name(key), state.setup.clock()
    known = await run_in_threadpool(state.durable.known, name)
    if known is not None:
        check_same(key, known.digest, digest)
        return answer_of(known)
    await run_in_threadpool(state.durable.tidy, now)
    request.state.key = KeyOfRequest(name, digest)
    answer = await _answered(handle, request)
    if answer.status_code >= 400:
        await run_in_threadpool(state.durable.keep_refusal, name, digest, answer, now)
    return answer


async def _answered(handle: Handle, request: Request) -> Response:
    """The answer, also where it is a refusal; what may go better another time is raised."""
    try:
        return await handle(request)
    except PartwayError as error:
        if status_of(error) >= 500 or isinstance(error, Underway):
            raise
        return answers.failed(request, error)


def _again(answer: Response) -> Response:
    """A copy: what stands before and after the app adds its headers to each answer."""
    copy = Response(answer.body, answer.status_code)
    copy.raw_headers = list(answer.raw_headers)
    return copy


async def body_of(request: Request) -> bytes:
    """The body of a request, whole. Raises TooMuch."""
    try:
        return await request.body()
    except ClientDisconnect:
        raise TooMuch("a body without end", f"at most {BODY_MOST:,} bytes", "body") from None


def key_header(
    key: Annotated[
        str | None,
        Header(
            alias=HEADER,
            pattern=KEY,
            description="A text of your own choosing, in quotes. The same request with it is carried out once.",
            examples=['"8e03978e-40d5-43dd-bc93-6894a57f9324"'],
            json_schema_extra={"format": "sf-string"},  # a string of RFC 9651, by the OpenAPI format registry
        ),
    ] = None,
) -> None:
    """Nothing: the route has seen to it. This makes it a part of the document."""


def writing(tag: str, route: type[WritingRoute] = WritingRoute) -> APIRouter:
    """A router for addresses that write."""
    return APIRouter(
        prefix="/api", tags=[tag], route_class=route, dependencies=[Depends(key_header)], responses=may(*WRITING)
    )


def record(ctx: RequestContext, body: Body, action: Callable[..., Recorded[R]], **more: Any) -> Saved[R]:
    """Run an action on what was sent, `more` in place of what the action calls otherwise."""
    return saving(ctx, lambda: action(ctx.book, ctx.context(body.on), **(body.given() | more)))


def saving(ctx: RequestContext, act: Callable[[], Recorded[R]]) -> Saved[R]:
    """What an action records. Under a key, its answer is kept in the same transaction."""
    key: KeyOfRequest | None = getattr(ctx.request.state, "key", None)
    if key is None:
        return saved(act())
    shipped()  # slow the first time: not while others wait
    try:
        with ctx.book.deciding():
            _check_new(ctx, key)
            result = saved(act())
            ctx.app.durable.keep(key.name, key.digest, result_sent(ctx.request, result), None)
            return result
    except AnsweredBefore:
        raise Underway(f"{key.name} a second time", "the first to be answered before", HEADER) from None


def _check_new(ctx: RequestContext, key: KeyOfRequest) -> None:
    """Raises SavedElsewhere where a copy of the ledger saved this request under this key, and was merged into it."""
    if ctx.app.durable.known(key.name) is None and ctx.book.asked_for([key.intent]):
        given = f"{key.name}, under which a copy of this ledger has saved this already"
        raise SavedElsewhere(given, "a key under which nothing was saved", HEADER)
