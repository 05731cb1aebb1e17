"""Pages name things as people do: no id of a find, haul, ticket, offer or round, and no ISO day, but on
the ledger's own page of one event.

Walks every page that is reached by links from home in the demo. A hint beside a field may show a day as it can be typed
there. A bin whose id is that of its grade was never named by anybody and goes by the grade's name; an id that is not is
what somebody typed when making the bin, and is its name where it has no other.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, forms_on, visitor
from page_words import words
from test_every_form import POST, bare, forms_of_the_demo, sort_of, typed_fields

import partway.web
from partway.catalogue import shipped
from partway.ledger import trading
from partway.ledger.fold import standing

ISO = re.compile(r"\b[0-9]{4}-[0-9]{2}-[0-9]{2}")
LINK = re.compile(r'href="(/[^"#]*)')
NOT_WALKED = (
    "/api",  # for programs
    "/books/ledger/",  # one event of the ledger, which says to the letter what was recorded
    "/books/export",  # files
    "/pocket",  # worked out in the background: test_pocket_carries.py looks at it
    "/bins/labels",  # printed, and read by a scanner
    "/kinds/",  # files of one's own
    "/static",
)
ONE_OF = ("/curb/", "/what/", "/cautions/", "/prices/", "/place/")  # alike but for what they are about: a few of each
FEW = 3


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("demo"), demo=True) as there:
        yield there


def ids_in(there: Visitor) -> set[str]:
    """All ids of the ledger that nobody chose, and that are no word of any language."""
    book = there.book
    keys = {
        key.partition(":")[2]
        for sort in ("find", "haul", "ticket", "listing", "round")
        for key in book.keys(f"{sort}:")
    }
    bins = {name for name, now in standing.bins(book).items() if name == now.grade}
    return {name for name in keys | bins if re.search(r"-[0-9]", name)}


def shown_ids(page: str, ids: set[str]) -> set[str]:
    """Ids and ISO days in what a page says to whoever reads it."""
    told = re.sub(r'<(p|small|span) class="hint"[^>]*>.*?</\1>', " ", page, flags=re.DOTALL)
    said = words(told)
    return (set(re.findall(r"[\w~]+(?:-[\w~]+)+", said)) & ids) | set(ISO.findall(said))


def test_an_id_and_an_iso_day_are_found(demo: Visitor) -> None:
    ids = ids_in(demo)
    haul = next(iter(trading.hauls(demo.book)))
    assert haul in ids and len(ids) > 50
    assert shown_ids(f"<main>On {haul}, 2026-03-14", ids) == {haul, "2026-03-14"}
    assert shown_ids(f'<main><a href="/haul/{haul}">Tuesday</a> <p class="hint">or 2026-03-14</p>', ids) == set()


def test_no_page_shows_an_id(demo: Visitor) -> None:
    ids, todo, seen, wrong = ids_in(demo), ["/"], set[str](), dict[str, set[str]]()
    of_kind = dict.fromkeys(ONE_OF, 0)
    while todo:
        path = todo.pop()
        bare = path.partition("?")[0]
        if bare in seen or bare.startswith(NOT_WALKED):
            continue
        seen.add(bare)
        alike = next((start for start in ONE_OF if bare.startswith(start)), "")
        if alike:
            of_kind[alike] += 1
            if of_kind[alike] > FEW:
                continue
        answer = demo.client.get(path)
        assert answer.status_code == 200, path
        if "text/html" not in answer.headers["content-type"]:
            continue
        if found := shown_ids(answer.text, ids):
            wrong[path] = found
        todo += sorted(html.unescape(link) for link in LINK.findall(answer.text))
    assert len(seen) > 30
    assert [f"{path}: {sorted(found)}" for path, found in wrong.items()] == []


# -- what is refused ----------------------------------------------------------------------------

ALERT = re.compile(r'<(div|fieldset|p)[^>]*(?:role="alert"|class="error")[^>]*>.*?</\1>', re.DOTALL)
EXAMPLE = re.compile(r"(?:such as|or) (?:[^;.]*, )?[0-9]{4}-[0-9]{2}-[0-9]{2}|by-law|mail-in|drop-off")
WRONG = ("99999 lb", "2001-01-01")  # more than there is, and before anything was found
SEARCHES = ("/haul", "/haul/plan", "/settings")  # set a search to work; many fields, none of which names anything


def refused_ids(page: str, ids: set[str]) -> set[str]:
    """Ids in what a page says is wrong, but for what somebody typed, which stands in quotes."""
    said = " ".join(words(match[0]) for match in ALERT.finditer(page))
    said = EXAMPLE.sub(" ", re.sub(r'"[^"]*"', " ", said))
    return set(re.findall(r"[\w~]+(?:-[\w~]+)+", said)) & ids


def test_no_form_refuses_with_an_id(demo: Visitor) -> None:
    """Each field of a form of each sort, wrong by itself and together with all others."""
    ids = ids_in(demo) | known_ids(demo)
    refused, wrong = 0, dict[str, set[str]]()
    kept: dict[str, set[str]] = {}
    for place in forms_of_the_demo(demo):
        sort = sort_of(place.action, POST)
        if sort in kept or sort.startswith(SEARCHES):
            continue
        page = demo.client.get(place.page).text
        form = next((form for form in forms_on(page) if bare(form.action) == bare(place.action)), None)
        fields = typed_fields(form) if form else []
        kept[sort] = set(fields)
        for typed in [dict.fromkeys(fields, WRONG[0]), *({one: text} for one in fields[:FIELDS] for text in WRONG)]:
            before = demo.count()
            assert form is not None
            answer = demo.send(form, **typed)
            for event in demo.book.newest(demo.count() - before) if demo.count() > before else ():
                demo.client.post("/api/correct", json={"events": [str(event.id)]})
            refused += answer.status_code in (409, 422)
            if found := refused_ids(answer.text, ids):
                wrong[f"{sort} {typed}"] = found
    assert wrong == {}
    assert refused > 60


FIELDS = 4  # of a form with many alike, so many
# A search that broke off; what an answer of the test key means; the macro itself.
NO_REFUSAL = {"job.error", "other.error", "means", "wrong(form)"}


def known_ids(there: Visitor) -> set[str]:
    """Ids of several words of kinds, grades, bins and buyers."""
    called = shipped()
    known = {*called.kinds, *called.grades, *standing.bins(there.book), *trading.buyers(there.book)}
    names = {grade.name.lower() for grade in called.grades.values()}
    return {one for one in known if "-" in one and one not in names}


def test_every_template_says_what_is_wrong_with_names() -> None:
    """`show.refusal` puts names in place of ids; a template that says a refusal as it is would show them."""
    said = re.compile(r"\{\{ ([^}]*(?:problem|wrong|error|refused|asked\.given|question\.given|means)\b[^}]*) \}\}")
    found = {
        f"{file.name}: {match}"
        for file in (Path(partway.web.__file__).parent / "templates").rglob("*.html")
        for match in said.findall(file.read_text(encoding="utf-8"))
        if "show.refusal(" not in match and '"' not in match and not match.startswith("ui.") and match not in NO_REFUSAL
    }
    assert found == set()
