"""How a phone is told to trust the app's own authority, and how that is undone. Open to all: it holds no secret."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from fastapi import APIRouter
from fastapi.responses import Response

from partway.web.context import At, RequestContext
from partway.web.pages import Page, render
from partway.web.serving.failures import NotHere

router = APIRouter()
MEDIA = "application/x-x509-ca-cert"  # what phones take for an authority (common practice, no source)
Reached = Literal["authority", "known", "plain", "here"]


@dataclass(frozen=True, kw_only=True)
class TrustPage(Page):
    """`reached` is how a phone gets here: by https with an authority of one's own or a known one, by plain http, or not
    at all. `fingerprint` is that of the authority, in pairs of digits.
    """

    template: ClassVar[str] = "trust/trust.html"
    place: ClassVar[str] = "settings"
    styles: ClassVar[tuple[str, ...]] = ("trust.css",)
    reached: Reached
    fingerprint: tuple[str, ...]


@router.get("/trust")
def trust_page(ctx: At) -> Response:
    """Steps for each sort of phone. Nothing of the ledger is on it, nor its name."""
    page = TrustPage(
        title="Trust on a phone",
        reached=_reached(ctx),
        fingerprint=_fingerprint(ctx.setup.authority),
    )
    return render(ctx, page, bare=True)


@router.get("/trust/authority.crt")
def authority(ctx: At) -> Response:
    """The authority's certificate: its public part alone."""
    if not ctx.setup.authority:
        raise NotHere("an authority", "an app that was started with one (partway serve --phone)", "address")
    return Response(ctx.setup.authority, media_type=MEDIA)


def _reached(ctx: RequestContext) -> Reached:
    setup = ctx.setup
    if setup.authority:
        return "authority"
    if not setup.address:
        return "here"
    return "known" if setup.address.startswith("https:") else "plain"


def _fingerprint(authority: bytes) -> tuple[str, ...]:
    """Four lines of eight pairs."""
    if not authority:
        return ()
    from cryptography import x509

    from partway.web.secure.authority import fingerprint_of

    pairs = fingerprint_of(x509.load_der_x509_certificate(authority)).split(":")
    return tuple(":".join(pairs[start : start + 8]) for start in range(0, len(pairs), 8))
