"""The pocket as one document without script: for a phone's files, for paper, for any browser."""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import ClassVar

from partway.reports.pocket.key import PocketTree
from partway.reports.pocket.shape import Pocket
from partway.web.pages import Page, environment, shown_fields
from partway.web.show import Show

USUAL = "usual"  # the mass whose questions stand on paper: those of all three would be three times as many


@dataclass(frozen=True, kw_only=True)
class PaperPage(Page):
    """All of it on one page. `titles` are the names of the cards by id, `style` its style, which it has within itself.

    `starts` are the names of where pieces come from, each with its first node.
    """

    template: ClassVar[str] = "pocket/paper.html"
    pocket: Pocket
    titles: dict[str, str]
    tree: PocketTree
    starts: tuple[tuple[str, str, int], ...]
    style: str


def paper_of_pocket(pocket: Pocket, tree: PocketTree, show: Show) -> str:
    """The document."""
    starts = tuple(
        (one.name, start.words, start.node) for one in tree.whence for start in one.masses if start.id == USUAL
    )
    page = PaperPage(
        title="In the pocket",
        pocket=pocket,
        titles={card.id: card.title for card in pocket.cards},
        tree=tree,
        starts=starts,
        style=paper_style(),
    )
    return environment().get_template(page.template).render(**shown_fields(page), chrome=None, show=show)


@cache
def paper_style() -> str:
    """Its style: a file that is saved on a phone has no other beside it."""
    return (resources.files("partway.web") / "static" / "paper.css").read_text(encoding="utf-8")


def style_hash() -> str:
    """The style as a policy names it (Content Security Policy Level 3, section 6.7.3.3): that text, and no other."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(paper_style().encode()).digest()).decode()}'"


def tree_read(content: bytes, pocket: Pocket) -> PocketTree:
    """The test key as it was kept, as of another day: no answer of it would be another one."""
    from pydantic import TypeAdapter

    return replace(TypeAdapter(PocketTree).validate_json(content), on=pocket.on, day=pocket.day)
