"""On the screens of the bench and the curb every card stands before the first word of any operation."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from app_client import Visitor, visitor
from named_hazards import kinds, missing, squeezed
from page_words import words

from partway.actions.recording.context import record
from partway.catalogue import shipped
from partway.ledger.events.kinds import Found

KINDS = dict(kinds())
SECTION = '<section class="cautions"'


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("bench")) as there:
        for kind in shipped().kinds:  # also one that was split, of which an old ledger has a find
            record(there.book, there.context(), [Found(f"{kind}-1", kind)], None)
        yield there


@pytest.mark.parametrize("kind", KINDS)
def test_the_cards_of_a_find_stand_before_its_operations(bench: Visitor, kind: str) -> None:
    page = bench.open(f"/bench/{kind}-1").partition("<main")[2]
    before, found, after = page.partition(SECTION)
    assert found, "no cards"
    cards = words(SECTION + after.partition("</section>")[0])
    assert missing(cards, KINDS[kind]) == []
    said = squeezed(words(before))
    assert [op.id for op in shipped().anatomy(kind).operations if squeezed(op.name) in said] == []
