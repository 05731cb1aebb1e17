"""Labels for bins, to print: each with a QR code that opens the bin on a phone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter
from fastapi.responses import Response

from partway.catalogue import shipped
from partway.reports.bins.labels import SIZES, BinLabel, Code, bin_address, code_of, report_labels
from partway.web.context import At, RequestContext
from partway.web.pages import Page, render

router = APIRouter()
PAPERS = (("a4", "A4"), ("letter", "Letter"))
SEEN = 2  # labels on the screen, to see how they come out; the style sheet counts them, too


@dataclass(frozen=True, kw_only=True)
class LabelsPage(Page):
    """A sheet of labels, of which the first `seen` show on the screen and all are printed; `families` are the bins to
    choose among. `phone` tells whether a phone can open the codes' `address`; `pdf` leads to the same as a file.
    """

    template: ClassVar[str] = "bins/labels.html"
    place: ClassVar[str] = "bins"
    styles: ClassVar[tuple[str, ...]] = ("bins.css", "bins-labels.css")
    labels: tuple[tuple[BinLabel, Code], ...]
    families: tuple[tuple[str, tuple[BinLabel, ...]], ...]
    chosen: tuple[str, ...]
    paper: str
    size: str
    papers: tuple[tuple[str, str], ...] = PAPERS
    sizes: tuple[tuple[str, str], ...] = SIZES
    address: str
    phone: bool
    pdf: str
    seen: int = SEEN


@dataclass(frozen=True, slots=True)
class LabelsAsked:
    """The labels that an address asks for, on which paper and of which size; `every` is one of each bin."""

    every: tuple[BinLabel, ...]
    chosen: tuple[str, ...]
    labels: tuple[tuple[BinLabel, Code], ...]
    paper: str
    size: str
    address: str


def labels_asked(ctx: RequestContext) -> LabelsAsked:
    """A label for each bin, or for those named; codes lead to the app as a phone reaches it, where one can."""
    asked = ctx.request.query_params
    chosen = tuple(asked.getlist("bin"))
    every = report_labels(ctx.book, dict(shipped().grades))
    address = ctx.setup.address or str(ctx.request.base_url).rstrip("/")
    return LabelsAsked(
        every=every,
        chosen=chosen,
        labels=tuple((one, code_of(bin_address(address, one.bin))) for one in every if not chosen or one.bin in chosen),
        paper=_one_of(asked.get("paper", ""), PAPERS, ctx.paper),
        size=_one_of(asked.get("size", ""), SIZES, "large"),
        address=address,
    )


@router.get("/bins/labels")
def labels_page(ctx: At) -> Response:
    """A label for each bin, or for those asked for."""
    asked = labels_asked(ctx)
    query = urlencode([*(("bin", one) for one in asked.chosen), ("paper", asked.paper), ("size", asked.size)])
    return render(
        ctx,
        LabelsPage(
            title="Labels",
            labels=asked.labels,
            families=_families(asked.every),
            chosen=asked.chosen,
            paper=asked.paper,
            size=asked.size,
            address=asked.address,
            phone=bool(ctx.setup.address),
            pdf=f"/papers/labels.pdf?{query}",
        ),
    )


def _families(every: tuple[BinLabel, ...]) -> tuple[tuple[str, tuple[BinLabel, ...]], ...]:
    names = sorted({one.family for one in every})
    return tuple((name, tuple(one for one in every if one.family == name)) for name in names)


def _one_of(given: str, known: tuple[tuple[str, str], ...], otherwise: str) -> str:
    return given if given in dict(known) else otherwise
