"""Forms: saved once or not at all; what was typed stays; what is wrong stands beside its field."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

import pytest
from app_client import Visitor, visitor
from fastapi import APIRouter, Request
from fastapi.responses import Response

from partway.actions.bench.finds import find
from partway.actions.home.settings import set_
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, Form, LineField, TextField, TickField, Typed
from partway.web.pages import Page, environment, render
from partway.web.posting import FormSaved, inside, save_form

router = APIRouter()
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{ 7 * 7 }}",
    "\u202ecod\u202c",
    "مرحبا بالعالم",
    "🔩🔧",
    "a\x00b",
    "'; DROP TABLE event; --",
    "../../etc/passwd",
    " " * 500,
)


class TryBlank(Form):
    kind = LineField("Kind", "what it is")
    mass = LineField("Mass", mode="decimal")
    note = TextField("Note")
    works = ChoiceField("Works", choices=[("yes", "Yes"), ("no", "No")], look="buttons")
    sure = TickField("Sure")


@dataclass(frozen=True, kw_only=True)
class TryPage(Page):
    template: ClassVar[str] = "try.html"
    form: TryBlank


@router.get("/try")
def try_page(desk: At) -> Response:
    return render(desk, TryPage(title="Try", form=TryBlank()))


@router.post("/try")
def try_it(desk: At) -> Response:
    form = TryBlank(desk.typed)

    def act() -> FormSaved:
        if form.note.text == "ask" and form.answer("really") is None:
            raise Asked(
                "two ways to read it", "one of them", "note", "really", (("a", "the first"), ("b", "the second"))
            )
        if form.note.text == "nowhere":
            raise Refused("this", "that", "somewhere else")
        return FormSaved.of(desk, find(desk.book, desk.context(), form.kind.text, mass=form.mass.text or None), "/try")

    return save_form(desk, form, act, lambda: TryPage(title="Try", form=form), {"kind of find": "kind"})


TEMPLATE = """{% extends "base.html" %}{% import "ui.html" as ui with context %}
{% block main %}<form method="post" action="/try">{{ ui.opening(form) }}
{{ ui.field(form.kind) }}{{ ui.field(form.mass) }}{{ ui.field(form.note) }}
{{ ui.field(form.works) }}{{ ui.field(form.sure) }}<button>Save</button></form>{% endblock %}"""


@pytest.fixture
def v(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> object:
    from jinja2 import ChoiceLoader, DictLoader

    loader = environment().loader
    assert loader is not None
    monkeypatch.setattr(environment(), "loader", ChoiceLoader([loader, DictLoader({"try.html": TEMPLATE})]))
    with visitor(tmp_path) as known:
        known.app.include_router(router)
        set_(known.book, known.context(), "unit", "kg")
        yield known


def test_a_form_is_saved_and_what_was_saved_is_said_once(v: Visitor) -> None:
    before = v.count()
    answer = v.fill("/try", "/try", kind="fan", mass="3.1")
    assert answer.status_code == 200 and answer.history[0].status_code == 303
    assert v.count() == before + 1
    assert "Found: fan" in answer.text and "Undo" in answer.text
    assert "fan-1 found" not in v.open("/try"), "shown once"


def test_sent_twice_it_is_saved_once(v: Visitor) -> None:
    form = v.form(v.open("/try"), "/try")
    first = v.send(form, kind="fan", mass="3.1")
    count = v.count()
    again = v.send(form, kind="fan", mass="3.1")
    assert v.count() == count
    assert first.status_code == again.status_code == 200
    assert "saved already" in again.text and "Found: fan" in again.text


def test_a_used_page_with_something_else_in_it_asks_to_be_sent_again(v: Visitor) -> None:
    """The back button, another mass, sent: not lost, not saved in silence."""
    form = v.form(v.open("/try"), "/try")
    v.send(form, kind="fan", mass="3.1")
    count = v.count()
    answer = v.send(form, kind="fan", mass="4.2")
    assert answer.status_code == 409 and v.count() == count
    assert "saved once already" in answer.text
    again = v.form(answer.text, "/try")
    assert dict(again.values)["mass"] == "4.2"
    assert v.send(again).status_code == 200 and v.count() == count + 1


def test_a_draft_that_was_sent_before_is_not_saved_again_under_a_new_token(v: Visitor) -> None:
    """The answer never reached the browser: it opens the page anew, and says under which tokens it has sent this."""
    form = v.form(v.open("/try"), "/try")
    v.send(form, kind="fan", mass="3.1")
    count, sent = v.count(), [dict(form.values)["token"]]
    page = v.form(v.open("/try"), "/try")
    again = v.send(page, kind="fan", mass="3.1", sent=["no token", *sent])
    assert again.status_code == 200 and "saved already" in again.text and v.count() == count
    other = v.send(page, kind="fan", mass="4.2", sent=sent)
    assert other.status_code == 409 and "saved once already" in other.text and v.count() == count
    assert "data-judged" in other.text and "data-judged" not in v.open("/try"), "the browser need not ask again"
    assert v.send(v.form(other.text, "/try")).status_code == 200 and v.count() == count + 1


def test_a_page_of_an_earlier_start_keeps_what_was_typed(v: Visitor) -> None:
    form = v.form(v.open("/try"), "/try")
    count = v.count()
    v.app.state.partway.tokens.__init__()  # a new secret, as after a new start
    answer = v.send(form, kind="fan", note="by the blue door")
    assert answer.status_code == 409 and v.count() == count
    assert "out of date" in answer.text and "by the blue door" in answer.text
    assert v.send(v.form(answer.text, "/try")).status_code == 200
    assert v.count() == count + 1


def test_a_forged_token_saves_nothing(v: Visitor) -> None:
    v.open("/try")
    count = v.count()
    for token in ("", "x", v.app.state.partway.tokens.new("somebody else")):
        assert v.client.post("/try", data={"token": token, "kind": "fan"}).status_code == 409
    assert v.client.post("/try").status_code == 409
    assert v.count() == count


def test_a_refusal_stands_beside_its_field_and_everything_stays(v: Visitor) -> None:
    count = v.count()
    answer = v.fill("/try", "/try", kind="fan", mass="heaps", note="kept", works="no", sure="y")
    assert answer.status_code == 422 and v.count() == count
    assert 'id="mass-wrong"' in answer.text and 'aria-invalid="true"' in answer.text
    kept = dict(v.form(answer.text, "/try").values)
    assert (kept["mass"], kept["note"], kept["works"], kept["sure"]) == ("heaps", "kept", "no", "y")


def test_a_refusal_of_no_field_stands_on_top(v: Visitor) -> None:
    answer = v.fill("/try", "/try", note="nowhere")
    assert answer.status_code == 422
    assert "somewhere else: got this; expected that" in answer.text


def test_a_question_is_answered_with_a_button(v: Visitor) -> None:
    answer = v.fill("/try", "/try", kind="fan", note="ask")
    assert answer.status_code == 409
    assert 'name="answer-really" value="a"' in answer.text
    done = v.send(v.form(answer.text, "/try"), **{"answer-really": "a"})
    assert done.status_code == 200 and "Found: fan" in done.text


@pytest.mark.parametrize("text", HOSTILE, ids=lambda t: repr(t)[:20])
def test_hostile_text_is_kept_as_text_and_changes_nothing(v: Visitor, text: str) -> None:
    count = v.count()
    answer = v.fill("/try", "/try", kind=text, mass=text, note=text)
    assert answer.status_code == 422 and v.count() == count
    kept = dict(v.form(answer.text, "/try").values)
    assert kept["kind"] == text and kept["note"].replace("\r\n", "\n") == text
    assert "<script>alert" not in answer.text and "<img src=x" not in answer.text and "49" not in kept["kind"]


def test_ten_megabytes_are_refused_beside_the_field(v: Visitor) -> None:
    count = v.count()
    answer = v.fill("/try", "/try", kind="fan", note="x" * 10_000_000)
    assert answer.status_code == 422 and v.count() == count
    assert "at most 20,000 characters" in answer.text
    assert len(dict(v.form(answer.text, "/try").values)["note"]) == 10_000_000


@pytest.mark.parametrize(
    "path", ["//yard.example", "/\\yard.example", "http://yard.example", "", "javascript:x", "/a\nb"]
)
def test_a_way_back_stays_inside(path: str) -> None:
    assert inside(path) == "/"
    assert inside("/bins?x=1") == "/bins?x=1"


def test_take_it_back(v: Visitor) -> None:
    saved = v.fill("/try", "/try", kind="fan")
    back = v.send(v.form(saved.text, "/undo"))
    assert "Taken back: " in back.text
    assert len(v.book.voided()) == 1


def test_a_form_that_others_kept_out_may_be_sent_again(v: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was typed stays, with the reason, and the same page is saved once the ledger is free."""
    monkeypatch.setattr(v.book._decisions, "_patience", 0.1)
    count = v.count()
    form = v.form(v.open("/try"), "/try")
    with ThreadPoolExecutor(1) as another, v.book.deciding():  # a decision is its own thread's
        answer = another.submit(v.send, form, kind="fan", note="kept out").result(60)
    assert answer.status_code == 503 and "another program keeps locked" in answer.text
    assert dict(v.form(answer.text, "/try").values)["note"] == "kept out"
    assert v.count() == count
    for _ in range(2):
        assert v.send(form, kind="fan", note="kept out").status_code == 200
        assert v.count() == count + 1


def test_a_form_sent_several_times_at_once_is_saved_once(v: Visitor) -> None:
    count = v.count()
    form = v.form(v.open("/try"), "/try")
    with ThreadPoolExecutor(3) as people:
        with v.book.deciding():  # until all of them wait
            sent = [people.submit(v.send, form, kind="fan") for _ in range(3)]
        assert [answer.result(60).status_code for answer in sent] == [200, 200, 200]
    assert v.count() == count + 1


def test_what_is_not_kept_is_not_shown_either(v: Visitor) -> None:
    """Inside the transaction nothing is taken from what was worked out before it, and nothing put there."""
    state = v.app.state.partway
    desk = RequestContext(Request({"type": "http", "headers": []}), state, Typed())
    assert desk.settings == {"unit": "kg"}
    with suppress(ZeroDivisionError), v.book.deciding():
        set_(v.book, v.context(), "unit", "lb")
        assert desk.settings == {"unit": "lb"}
        raise ZeroDivisionError
    assert desk.settings == {"unit": "kg"}
