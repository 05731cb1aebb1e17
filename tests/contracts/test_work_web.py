"""A find step by step, and put right later: the form holds every section, saves once, and takes the first one back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import FormSeen, Visitor, visitor
from httpx2 import Response

from partway.actions.bench import finds
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.books.corrections import correct
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.ledger.events.event import Event
from partway.ledger.fold import standing

OVEN = "/bench/microwave-1"
WORK = f"{OVEN}/work"
PRICES = {"copper-2": "9.00", "copper-light": "8.00", "light-iron": "0.25", "motors": "0.80", "wire-cord-plugs": "2.20"}
# 13 kg in: 0.3 + 0.9 + 0.06 + 0.15 + 1.8 + 3 + 6.7 = 12.91 out, 90 g lost.
WEIGHED = {
    "open-mass.cord": "0.3",
    "open-mass.tray": "0.9",
    "open-mass.ring": "60 g",
    "open-mass.capacitor": "150 g",
    "open-mass.cover": "1.8",
    "open-mass.transformer": "3",
    "open-mass.carcass": "6.7",
    "open-into.transformer": "transformer-cu",
    "open-into.ring": "residue",
    "open-minutes": "12",
}


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    """A microwave that does not work, weighed, in a town that pays."""
    with visitor(tmp_path) as there:
        book = there.book
        for name, value in {"currency": "CAD", "unit": "kg", "wage": "15"}.items():
            set_(book, there.context(), name, value)
        buyer(book, there.context(), "harbour", Terms(kind="yard", name="harbour yard", km="9"))
        for grade, price in PRICES.items():
            quote(book, there.context(), "harbour", grade, f"{price} /kg")
        finds.find(book, there.context(), "microwave", mass="13 kg", works="no")
        yield there


def form(there: Visitor, page: str = WORK) -> FormSeen:
    return there.form(there.open(page), f"{WORK}#main")


def recorded(there: Visitor, **other: str) -> Response:
    """The oven opened down to its transformer, which goes into a bin as it is."""
    sent = form(there)
    saw = {"open-done.transformer.copper.saw", "open-done.transformer.copper.unstack"}
    sent.values = [(name, value) for name, value in sent.values if name not in saw]
    return there.send(sent, **{**WEIGHED, **other})


def opening(there: Visitor) -> Event:
    voided = there.book.voided()
    return [event for event in there.book.events(("opened",)) if event.id not in voided][-1]


def right(there: Visitor) -> str:
    return f"{WORK}?instead={opening(there).id}"


# --- one screen, and its steps ---


def test_the_find_on_one_screen_leads_on(there: Visitor) -> None:
    page = there.open(OVEN)
    assert f'href="{WORK}#step-1"' in page and f'href="{OVEN}/whole"' in page
    assert "Open it" in page and "Careful" in page and "Put right" not in page
    assert page.index("Careful") < page.index("CA$")


def test_every_operation_of_the_plan_is_a_section_with_the_pieces_it_frees(there: Visitor) -> None:
    """By the catalogue's file: the tray comes out of `cord-and-tray`, the cover of `discharge`."""
    page = there.open(WORK)
    sections = page.split('<section class="step"')[1:]
    assert len(sections) >= 4 and 'id="step-end"' in sections[-1]
    assert 'id="step-1"' in sections[0] and "open-mass.tray" in sections[0] and "open-mass.cover" not in sections[0]
    assert "open-mass.cover" in sections[1] and "open-mass.capacitor" in sections[1]
    assert "CA$" not in page, "nothing on the steps is about money"
    assert page.count("<form") == 1 and len(re.findall(r'name="open-mass.tray"', page)) == 1
    assert 'data-draft="open:microwave-1"' in page and 'data-state="' in page


def test_without_scripts_the_whole_form_saves_as_it_stands(there: Visitor) -> None:
    answer = recorded(there)
    assert answer.status_code == 200 and answer.url.path == "/bench" and "mass balance" in answer.text
    assert standing.find(there.book, "microwave-1").closed
    assert there.book.balances("bin:light-iron")["bin:light-iron", "light-iron"] == 8_500_000


def test_a_refusal_comes_back_on_the_same_page_with_all_that_was_typed(there: Visitor) -> None:
    before = there.count()
    answer = recorded(there, **{"open-mass.cover": "lots"})
    assert answer.status_code == 422 and there.count() == before and answer.url.path == WORK
    assert 'id="open-mass.cover-wrong"' in answer.text and 'value="6.7"' in answer.text
    assert 'id="step-1"' in answer.text
    asked = recorded(there, **{"open-mass.carcass": "5.7"})
    assert asked.status_code == 409 and 'name="answer-gap"' in asked.text and there.count() == before


def test_the_balance_of_the_steps_records_nothing(there: Visitor) -> None:
    before = there.count()
    sent = form(there)
    sent.action = f"{OVEN}/balance?by=step"
    answer = there.send(sent, **{"open-mass.cover": "1.8"})
    assert answer.status_code == 200 and there.count() == before and 'id="step-end"' in answer.text
    assert "Mass balance" in answer.text and 'value="1.8"' in answer.text


def test_sent_twice_it_is_saved_once_and_the_draft_is_forgotten_by_its_name(there: Visitor) -> None:
    sent = form(there)
    saw = {"open-done.transformer.copper.saw", "open-done.transformer.copper.unstack"}
    sent.values = [(n, v) for n, v in sent.values if n not in saw] + [("draft", "open:microwave-1")]
    first = there.send(sent, **WEIGHED)
    assert 'data-done="open:microwave-1"' in first.text
    after = there.count()
    again = there.send(sent, **WEIGHED)
    assert there.count() == after and "saved already" in again.text and 'data-done="open:microwave-1"' in again.text
    assert "data-done" not in there.open("/bench"), "said once"


def test_a_refused_form_forgets_no_draft(there: Visitor) -> None:
    sent = form(there)
    sent.values += [("draft", "open:microwave-1")]
    answer = there.send(sent, **{"open-mass.cover": "lots"})
    assert answer.status_code == 422 and "data-done" not in answer.text


def test_a_hostile_name_of_a_draft_stays_text(there: Visitor) -> None:
    answer = recorded(there, draft='"><script>alert(1)</script>' + "x" * 5000)
    assert answer.status_code == 200 and "<script>alert" not in answer.text and len(answer.text) < 200_000


# --- put right ---


def test_put_right_opens_filled_in_and_takes_the_first_one_back(there: Visitor) -> None:
    said = recorded(there, **{"open-mass.cover": "0.18", "answer-gap": "loss", "answer-sure": "yes"})
    first = opening(there)
    assert f'href="{WORK}?instead={first.id}"' in said.text, "beside the note"
    filled = dict(form(there, right(there)).values)
    assert (filled["open-mass.cover"], filled["open-mass.tray"], filled["open-minutes"]) == ("0.18", "0.9", "12")
    assert filled["open-into.transformer"].startswith("transformer-cu") and filled["instead"] == str(first.id)
    assert "open-done.discharge" in filled and "open-done.transformer.copper.saw" not in filled
    before = there.count()
    answer = there.send(form(there, right(there)), **{"open-mass.cover": "1.8", "open-loss": ""})
    assert answer.status_code == 200 and "Put right, " in answer.text
    now = opening(there)
    assert there.count() == before + 2 and now.id != first.id and now.happened == first.happened
    assert there.book.balances("bin:light-iron")["bin:light-iron", "light-iron"] == 8_500_000
    back = there.send(there.form(answer.text, "/undo"))
    assert back.status_code == 200 and opening(there).id == first.id


def test_unchanged_it_is_the_same_again(there: Visitor) -> None:
    """What the form is filled with is what was recorded, to the milligram."""
    recorded(there)
    first, masses = opening(there).what, dict(there.book.balances())
    there.send(form(there, right(there)))
    assert opening(there).what == first and dict(there.book.balances()) == masses


def test_what_was_left_in_it_stays_in_it(there: Visitor) -> None:
    recorded(there, **{"open-mass.carcass": "5.7", "answer-gap": "left"})
    assert not standing.find(there.book, "microwave-1").closed
    assert "Put right" in there.open(OVEN)
    answer = there.send(form(there, right(there)), **{"open-mass.cover": "1.7"})
    assert answer.status_code == 200 and "Put right, " in answer.text
    assert standing.find(there.book, "microwave-1").mg == 13_000_000 - 11_810_000


def test_two_devices_do_not_put_the_same_right(there: Visitor) -> None:
    recorded(there)
    sent = form(there, right(there))
    correct(there.book, there.context(), str(opening(there).id))
    before = there.count()
    answer = there.send(sent, **{"open-mass.cover": "1.75"})
    assert answer.status_code == 422 and "no longer counts" in answer.text and "1.75" in answer.text
    assert there.count() == before
    there.open(f"{WORK}?instead={dict(sent.values)['instead']}", 422)


def test_pressed_twice_it_is_put_right_once(there: Visitor) -> None:
    recorded(there)
    sent = form(there, right(there))
    there.send(sent, **{"open-mass.cover": "1.75"})
    after = there.count()
    again = there.send(sent, **{"open-mass.cover": "1.75"})
    assert there.count() == after and "saved already" in again.text


def test_a_find_of_which_nothing_is_left_and_its_event_lead_to_putting_it_right(there: Visitor) -> None:
    recorded(there)
    assert f'href="{right(there)}"' in there.open(OVEN)
    assert f'href="{right(there)}"' in there.open(f"/books/ledger/{opening(there).id}")
    correct(there.book, there.context(), str(opening(there).id))
    assert "?instead=" not in there.open(OVEN)


def test_what_cannot_be_put_right_here_is_said(there: Visitor) -> None:
    finds.find(there.book, there.context(), "fan", mass="3 kg")
    recorded(there)
    there.open(f"/bench/fan-1/work?instead={opening(there).id}", 404)
    there.open(f"{WORK}?instead=nothing", 422)
    halves = [PieceGiven("cord", "0.1 kg", 1, "wire-cord-plugs"), PieceGiven("cord", "0.1 kg", 1, "residue")]
    open_up(there.book, there.context(), "fan-1", halves, gap="left")
    assert "one by one, in the ledger" in there.open(f"/bench/fan-1/work?instead={opening(there).id}", 422)


def test_by_json_in_one_act(there: Visitor) -> None:
    recorded(there, **{"open-mass.cover": "1.7"})
    first = opening(there)
    body = {
        "find": "microwave-1",
        "operations": ["cord-and-tray", "discharge", "transformer-out"],
        "pieces": [{"piece": "cover", "mass": "1.8 kg"}],
        "gap": "residue",
        "instead": str(first.id),
    }
    answer = there.client.post("/api/open", json=body)
    assert answer.status_code == 200 and answer.json()["told"]["put_right"] is True
    assert opening(there).happened == first.happened
    again = there.client.post("/api/open", json=body)
    assert again.status_code == 422 and "no longer counts" in again.json()["detail"]


def test_the_bar_of_the_clock_and_the_drafts_are_on_every_page(there: Visitor) -> None:
    for path in ("/", "/curb", "/bench", OVEN, WORK, "/bins", "/haul", "/what", "/books", "/buyers", "/settings"):
        page = there.open(path)
        assert page.count("data-clock-bar") == 1 and page.count("/static/draft.js") == 1, path
