"""Hours and money of each person, worked by hand. What somebody else put right stays with whom it was of."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ledgers.servers import empty_workspace

from partway.actions.bench.finds import find
from partway.actions.books import money
from partway.actions.books.corrections import correct
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.ids import new_id
from partway.ledger.fold.period import first_said
from partway.ledger.memory import MemoryBook
from partway.ledger.roles import NotAllowed, Rights, Role, a_role, role_named
from partway.storage.workspace import open_workspace
from partway.valuing.earned import by_person, earned_in

NOW = dt.datetime(2026, 3, 20, 18, 0, tzinfo=dt.UTC)


class Clock:
    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> dt.datetime:
        self.now += dt.timedelta(minutes=1)
        return self.now


def context(who: str, clock: Clock, role: Role = Role.OWNER) -> Context:
    return Context(who, clock, new_id, rights=Rights(role), device=f"phone of {who}")


def worked_day(book: Book) -> dict[str, str]:
    """Ann: 60 min, 12.00 spent. Ben: 45 min, which Ann puts right to 90 and then to 75; 3.50 spent."""
    clock = Clock()
    ann, ben = context("Ann", clock), context("Ben", clock, Role.HELPER)
    set_(book, ann, "currency", "CAD")
    money.hours(book, ann, "bench", "60 min")
    money.spend(book, ann, "diesel", "12")
    first = money.hours(book, ben, "collect", "45 min").undo[0]
    spent = money.spend(book, ben, "blades", "3.50").undo[0]
    second = correct(book, ann, str(first), changes={"minutes": "90"}).result.instead
    third = correct(book, ann, second, changes={"minutes": "75"}).result.instead
    return {"first": str(first), "spent": str(spent), "third": third}


def check(book: Book) -> None:
    ids = worked_day(book)
    lines = book.posted()
    ann, ben = sorted(by_person(lines), key=lambda one: one.who)
    assert (ann.who, ann.worked, ann.sold, ann.spent, ann.net) == ("Ann", 60, Decimal(0), Decimal(-12), Decimal(-12))
    assert (ben.who, ben.worked, ben.spent) == ("Ben", 75, Decimal("-3.50"))  # also in the words of Ann
    assert ann.per_hour == pytest.approx(-12.0)
    assert ben.per_hour == pytest.approx(-3.5 / 1.25)
    whole = earned_in(lines)
    assert ann.net + ben.net == whole.net
    assert book.device_of(UUID(ids["spent"])) == "phone of Ben"
    assert book.device_of(UUID(ids["third"])) == "phone of Ann"
    assert book.device_of(new_id(None)) == ""


def test_in_memory() -> None:
    check(MemoryBook())


@pytest.mark.parametrize("kind", ["sqlite", "postgres"])
def test_on_each_database(kind: str, tmp_path: Path) -> None:
    with empty_workspace(kind, tmp_path) as where, open_workspace(where) as book:
        check(book)


def test_nobody_who_recorded_nothing_is_listed() -> None:
    book, clock = MemoryBook(), Clock()
    find(book, context("Dora", clock), "microwave")
    assert by_person(book.posted()) == ()


@given(st.dictionaries(st.integers(0, 12), st.integers(0, 12)))
def test_what_stands_in_the_place_of_what_ends(put_right: dict[int, int]) -> None:
    found = first_said(put_right)
    assert found.keys() == put_right.keys()
    for one, first in found.items():
        seen, at = set(), one
        while at in put_right and at not in seen:
            seen.add(at)
            at = put_right[at]
        assert first == at or first in seen  # the latter only where they go in a ring


def test_a_viewer_writes_nothing_by_any_action() -> None:
    book, clock = MemoryBook(), Clock()
    with pytest.raises(NotAllowed) as refused:
        find(book, context("Cleo", clock, Role.VIEWER), "microwave")
    assert refused.value.exit_status == 2
    assert str(refused.value) == "who: A viewer may not record anything here. Ask the owner. Got Cleo, a viewer."
    assert not list(book.events())


def test_the_zone_that_nobody_types_is_no_setting_of_a_helper() -> None:
    book, clock = MemoryBook(), Clock()
    helper = Context("Ben", clock, new_id, zone="UTC", rights=Rights(Role.HELPER))
    find(book, helper, "microwave")
    assert [event.kind for event in book.events()] == ["set", "found"]
    with pytest.raises(NotAllowed):
        set_(book, helper, "zone", "UTC")


def test_roles_by_their_words() -> None:
    assert [a_role(role_named(f" {role.value.upper()} ")) for role in Role] == ["an owner", "a helper", "a viewer"]
    with pytest.raises(Refused, match="owner, helper or viewer"):
        role_named("boss")
