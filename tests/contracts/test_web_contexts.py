"""Every page's fields and its template agree: nothing used that is not there, nothing there that is not used."""

from __future__ import annotations

from dataclasses import fields
from functools import cache

import pytest
from jinja2 import meta, nodes

from partway.web.pages import GIVEN, Page, environment


def pages() -> list[type[Page]]:
    from partway.web.app import page_routers

    page_routers()
    known, waiting = [], [Page]
    while waiting:
        kinds = waiting.pop().__subclasses__()
        known += kinds
        waiting += kinds
    return sorted(
        (k for k in known if "template" in vars(k) and k.__module__.startswith("partway.")),
        key=lambda k: (k.__module__, k.__name__),
    )


def source(template: str) -> str:
    loader = environment().loader
    assert loader is not None
    return loader.get_source(environment(), template)[0]


@cache  # base.html and the macros are read once, not for each page
def read(template: str) -> tuple[list[str], set[str]]:
    """The templates that one names, and the names it takes from its page, without the arguments of its own macros."""
    tree = environment().parse(source(template))
    own = {node.target for node in tree.find_all(nodes.Import)} | {node.name for node in tree.find_all(nodes.Macro)}
    own |= {n.target.name for n in tree.find_all(nodes.Assign) if isinstance(n.target, nodes.Name)}
    others = [other for other in meta.find_referenced_templates(tree) if other]
    return others, meta.find_undeclared_variables(tree) - own - set(environment().globals)


def templates_of(name: str) -> set[str]:
    """A template with all that it extends, imports and includes."""
    found, waiting = set[str](), [name]
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            waiting += read(one)[0]
    return found


@pytest.mark.parametrize("page", pages(), ids=lambda p: p.__name__)
def test_a_page_and_its_template_agree(page: type[Page]) -> None:
    used = {name for template in templates_of(page.template) for name in read(template)[1]}
    has = {f.name for f in fields(page)}
    assert used - GIVEN - has == set(), "used by the template, not a field of the page"
    assert has - used == set(), "a field of the page that its template does not use"


def test_every_template_belongs_to_a_page() -> None:
    used = {template for page in pages() for template in templates_of(page.template)}
    assert set(environment().list_templates()) == used


def test_no_template_has_scripts_or_styles_in_its_text() -> None:
    """The Content-Security-Policy would not run them; data blocks are JSON."""
    for template in environment().list_templates():
        text = source(template)
        assert " style=" not in text, template
        # the paper is one file by itself, whose style is let in by its digest
        assert "<style" not in text or template == "pocket/paper.html", template
        for piece in text.split("<script")[1:]:
            head = piece.partition(">")[0]
            assert 'src="/static/' in head or 'type="application/json"' in head, template
        assert not any(f" on{event}=" in text for event in ("click", "change", "submit", "input", "load")), template
        assert "|safe" not in text, template
