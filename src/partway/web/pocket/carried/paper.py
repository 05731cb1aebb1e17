"""The pocket as one document without script: for a phone's files, for paper, for any browser."""

from __future__ import annotations

import base64
import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import ClassVar

from markupsafe import Markup

from partway.actions.pocket.tree import RARE_WORDS
from partway.reports.pocket.key import KeyEnd, KeyQuestion, PocketTree
from partway.reports.pocket.shape import Pocket, PocketVerdict
from partway.things.ages import NOTICE_DAYS, OLD_DAYS
from partway.web.pages import Page, environment, shown_fields
from partway.web.show import Show

INLINE = 4  # nodes: a part of the key that comes up again and has more of them stands once, under a number of its own
USUAL = "usual"  # the mass whose questions stand on paper: those of all three would be three times as many


@dataclass(frozen=True, kw_only=True)
class PaperPage(Page):
    """All of it on one page. `titles` are the names of the cards by id, `style` its style, which it has within itself.

    `first` is what comes first of each card, by id; after `look` days a price needs a call, after `old` it is only a
    memory. `verdicts` are those on each kind, by id, conditions that make no difference together; `always` are the
    notes that every one of them has. `starts` are the names of where pieces come from, each with its first node;
    `apart` are numbers of questions that stand by themselves, by node; `rares` are the nodes after which nothing but
    `rare` comes: not worked out.
    """

    template: ClassVar[str] = "pocket/paper.html"
    pocket: Pocket
    titles: dict[str, str]
    first: dict[str, str]
    verdicts: dict[str, tuple[tuple[str, PocketVerdict], ...]]
    always: tuple[str, ...]
    tree: PocketTree
    rares: frozenset[int]
    starts: tuple[tuple[str, str, int], ...]
    apart: dict[int, int]
    style: Markup
    rare: str = RARE_WORDS
    look: int = NOTICE_DAYS
    old: int = OLD_DAYS


def paper_of_pocket(pocket: Pocket, tree: PocketTree, show: Show) -> str:
    """The document."""
    starts = tuple(
        (one.name, start.words, start.node) for one in tree.whence for start in one.masses if start.id == USUAL
    )
    page = PaperPage(
        title="In the pocket",
        pocket=pocket,
        titles={card.id: card.title for card in pocket.cards},
        first={card.id: card.first for card in pocket.cards},
        verdicts={kind.id: tuple(together(kind.conditions)) for kind in pocket.kinds},
        always=always_noted([it for kind in pocket.kinds for it in kind.conditions]),
        tree=tree,
        rares=rare_nodes(tree.nodes),
        starts=starts,
        apart=set_apart(tree.nodes, [node for _, _, node in starts]),
        style=Markup(paper_style()),  # noqa: S704 - a file of ours
    )
    return environment().get_template(page.template).render(**shown_fields(page), chrome=None, show=show)


def together(conditions: Sequence[PocketVerdict]) -> Iterator[tuple[str, PocketVerdict]]:
    """The verdicts as they are written: those that differ in nothing but their condition once, with its names."""
    alike: dict[PocketVerdict, list[str]] = {}
    for it in conditions:
        alike.setdefault(replace(it, condition="unknown", words=""), []).append(it.words)
    for it, words in alike.items():
        yield "; ".join([words[0], *(name[:1].lower() + name[1:] for name in words[1:])]), it


def always_noted(verdicts: Sequence[PocketVerdict]) -> tuple[str, ...]:
    """The notes that every verdict has: with no wage set, for one."""
    return tuple(note for note in verdicts[0].notes if all(note in it.notes for it in verdicts)) if verdicts else ()


def rare_nodes(nodes: Sequence[KeyQuestion | KeyEnd]) -> frozenset[int]:
    """The ends that were not worked out, and the questions after which nothing else comes: nobody need ask those."""

    @cache
    def is_rare(at: int) -> bool:
        node = nodes[at]
        return (
            all(is_rare(then) for _, then in node.answers) if isinstance(node, KeyQuestion) else node.end == RARE_WORDS
        )

    return frozenset(at for at in range(len(nodes)) if is_rare(at))


def set_apart(nodes: Sequence[KeyQuestion | KeyEnd], starts: Iterable[int]) -> dict[int, int]:
    """The questions that more than one answer leads to and that go on for long, numbered from 1."""
    led_to, sizes = Counter[int](starts), dict[int, int]()

    def size(at: int) -> int:
        if at not in sizes:
            node = nodes[at]
            then = [after for _, after in node.answers] if isinstance(node, KeyQuestion) else []
            led_to.update(then)
            sizes[at] = 1 + sum(size(after) for after in then)
        return sizes[at]

    for at in list(led_to):
        size(at)
    rares = rare_nodes(nodes)
    found = [at for at, times in led_to.items() if times > 1 and sizes[at] > INLINE and at not in rares]
    return {at: number for number, at in enumerate(sorted(found), start=1)}


@cache
def paper_style() -> str:
    """Its style: a file that is saved on a phone has no other beside it."""
    return (resources.files("partway.web") / "static" / "paper.css").read_text(encoding="utf-8")


def style_hash() -> str:
    """The style as a policy names it (Content Security Policy Level 3, section 6.7.3.3): that text, and no other."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(paper_style().encode()).digest()).decode()}'"


def tree_read(content: bytes, workspace: str, on: str, day: str) -> PocketTree:
    """The test key as it was kept, as of another day: no answer of it would be another one."""
    from pydantic import TypeAdapter

    return replace(TypeAdapter(PocketTree).validate_json(content), workspace=workspace, on=on, day=day)
