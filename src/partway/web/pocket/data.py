"""The pocket's data, key and paper, as they were worked out last."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from partway.web.context import At, RequestContext
from partway.web.pages import render
from partway.web.pocket.carried.paper import style_hash
from partway.web.pocket.kept import DATA, KEY, PAPER
from partway.web.serving.answers import FailurePage
from partway.web.serving.failures import PROBLEM, problem
from partway.web.serving.headers import POLICY

router = APIRouter()
AGAIN = "5"  # seconds
YET = "The pocket is being worked out. Ask again in a few seconds."


@router.get("/pocket/data.json")
def pocket_data(ctx: At) -> Response:
    """Everything but the test key."""
    return _sent(ctx, DATA, "application/json")


@router.get("/pocket/key.json")
def pocket_key(ctx: At) -> Response:
    """The test key."""
    return _sent(ctx, KEY, "application/json")


@router.get("/pocket.html")
def pocket_paper(ctx: At) -> Response:
    """All of it as one document without script. Its style is within it, and allowed by its digest alone."""
    sent = _sent(ctx, PAPER, "text/html; charset=utf-8")
    if sent.status_code != 503:
        policy = {**POLICY, "style-src": style_hash(), "script-src": "'none'"}
        sent.headers["content-security-policy"] = "; ".join(f"{name} {value}" for name, value in policy.items())
    return sent


def _sent(ctx: RequestContext, name: str, media: str) -> Response:
    """A file with its entity tag (RFC 9110, sections 8.8.3 and 13.1.2), or that it is not there yet (15.6.4)."""
    file = ctx.app.pocket.file(name)
    if file is None:
        return _not_yet(ctx, name)
    tag = f'"{file.tag}"'
    headers = {"etag": tag, "vary": "accept-encoding"}
    if _is_known(ctx.request.headers.get("if-none-match", ""), file.tag):
        return Response(status_code=304, headers=headers)
    if "gzip" in ctx.request.headers.get("accept-encoding", ""):
        return Response(file.packed, media_type=media, headers={**headers, "content-encoding": "gzip"})
    return Response(file.content, media_type=media, headers=headers)


def _not_yet(ctx: RequestContext, name: str) -> Response:
    """Words for now, and when to ask again (RFC 9110, section 10.2.3)."""
    if name == PAPER:
        sent = render(ctx, FailurePage(title="In a moment", status=503, words=YET), 503)
    else:
        sent = Response(problem(503, YET, {"title": "In a moment"}), 503, media_type=PROBLEM)
    sent.headers["retry-after"] = AGAIN
    return sent


def _is_known(given: str, tag: str) -> bool:
    """Whether the asker has this one already."""
    named = [one.strip().removeprefix("W/").strip('"') for one in given.split(",")]
    return "*" in named or tag in named
