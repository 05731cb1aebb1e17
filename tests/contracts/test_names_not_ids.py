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

import pytest
from app_client import Visitor, visitor
from page_words import words

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
