"""What a phone noted without signal comes back: done once, in words, and never half."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from app_client import Visitor, visitor
from noted import Phone

from partway.ledger.workspaces import workspace_id

BACK = "/pocket/back"


@pytest.fixture
def v(tmp_path: Any) -> Iterator[Visitor]:
    with visitor(tmp_path) as made:
        for name, value in {"currency": "CAD", "unit": "lb"}.items():
            made.client.post("/api/set", json={"name": name, "value": value})
        yield made


def back(v: Visitor, phone: Phone, workspace: str | None = None) -> Any:
    sent = phone.sent(workspace_id(v.book) if workspace is None else workspace)
    return v.client.post(BACK, json=sent)


def test_a_day_away_is_done_in_its_order_and_once(v: Visitor) -> None:
    phone, before = Phone(), v.count()
    kettle = phone.note("found", kind="microwave", source="harbour street")
    phone.note("tested", find=f"@{kettle}", works="no")
    phone.note("spent", what="fuel", amount="30", category="fuel")
    first = back(v, phone)
    assert first.status_code == 200, first.text
    results = first.json()["results"]
    assert [one["outcome"] for one in results] == ["done"] * 3, results
    name = results[0]["name"]
    assert v.book.facts(f"find:{name}", "works") == {(f"find:{name}", "works"): "no"}
    count = v.count()
    again = back(v, phone).json()["results"]
    assert [one["outcome"] for one in again] == ["already"] * 3
    assert [one["undo"] for one in again] == [one["undo"] for one in results]
    assert v.count() == count > before
    print(results, again)
