"""A photograph of a price board: its text is put into the field of a buyer's list, and nothing is saved unread."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from photographs import saved, scene

from partway.errors import Refused
from partway.storage.photographs.folder import FOLDER
from partway.web.buyers import lists

PAGE = "/buyers/harbour-yard/list"
READ = "HARBOUR YARD\nNo. 2 copper  4.10 /lb\nMotors  <38c>"
SENT = saved(scene())


@pytest.fixture
def v(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path / "w", demo=True) as there:
        yield there


def photographed(v: Visitor, content: bytes) -> tuple[int, str]:
    form = v.form(v.open(PAGE), f"{PAGE}/photograph#main")
    values = {name: value for name, value in form.values if name != "file"}
    answer = v.client.post(f"{PAGE}/photograph", data=values, files={"file": ("a.jpg", content, "image/jpeg")})
    return answer.status_code, answer.text


def test_what_is_read_stands_in_the_field_and_is_saved_after_a_look(
    v: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lists, "can_read", lambda: True)
    monkeypatch.setattr(lists, "text_in", lambda content: READ)
    before, quotes = v.count(), len(list(v.book.events(("quoted",))))
    status, page = photographed(v, SENT)
    assert status == 200 and "Hold it against the board" in page and "&lt;38c&gt;" in page
    form = v.form(page, PAGE)
    assert dict(form.values)["text"] == READ
    looked = v.client.post(PAGE, data=dict(form.values) | {"step": "look"})
    assert looked.status_code == 200 and "No. 2 copper" in looked.text
    assert v.count() == before and len(list(v.book.events(("quoted",)))) == quotes
    assert not (Path(v.book.where).parent / FOLDER).exists()


@pytest.mark.parametrize("content", [b"", b"<svg onload=alert(1)>", SENT[:200]])
def test_what_is_none_is_refused_with_one_message(content: bytes, v: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lists, "can_read", lambda: True)
    monkeypatch.setattr("partway.photographs.reading.can_read", lambda: True)
    before = v.count()
    status, page = photographed(v, content)
    assert status == 422 and page.count('role="alert"') == 1
    assert v.count() == before


def test_where_nothing_reads_the_page_says_what_it_takes(v: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lists, "can_read", lambda: False)
    page = v.open(PAGE)
    assert "/list/photograph" not in page and "partway[reading]" in page

    def absent(content: bytes) -> str:
        raise Refused("a photograph", "the text in it", "file", says="That is not installed.")

    monkeypatch.setattr(lists, "can_read", lambda: True)
    monkeypatch.setattr(lists, "text_in", absent)
    status, page = photographed(v, SENT)
    assert status == 422 and "That is not installed." in page
