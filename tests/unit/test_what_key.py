"""The test key's pages: one question at a time, all of it in the address, nothing written by looking, one tap to
record what it was.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, forms_on, visitor
from page_words import words

from partway.actions.haul.scenario import scenario_from_book
from partway.actions.what.found_out import confirmed
from partway.actions.what.identifying import identify
from partway.catalogue import shipped
from partway.ledger.events.kinds import Identified
from partway.web.forms import Typed
from partway.web.what.asked import PieceAsked

GONE = "gone"
HOSTILE = "<script>alert(1)</script> \u202eABC 🔩 ' \" --"
KEY = shipped().key


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("what"), demo=True) as there:
        yield there


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        yield there


def answers_on(page: str) -> list[str]:
    return re.findall(r'<button class="answer[^"]*" name="answer" value="([^"]+)"', page)


def test_every_context_guide_and_calculator_is_one_tap_from_the_place(demo: Visitor) -> None:
    page = demo.open("/what")
    for context in KEY.contexts:
        assert f'href="/what/key?context={context}"' in page
    for guide in KEY.guides:
        assert f'href="/what/guide/{guide}"' in page
    for name in ("wire", "density", "battery", "capacitor", "scale", "motor", "stainless"):
        assert f'href="/what/{name}"' in page
    assert 'href="/cautions"' in page and 'href="/place"' in page
    assert '<a href="/what" aria-current="page">' in page and '<a href="/what">' in demo.open("/curb")


def test_the_bar_has_the_six_places_in_their_order(there: Visitor) -> None:
    page = there.open("/what")
    bar = page[page.index('aria-label="Places"') : page.index("<main")]
    assert re.findall(r'<a href="/(\w+)"', bar) == ["curb", "bench", "bins", "haul", "what", "books"]


@pytest.mark.parametrize("context", KEY.contexts)
def test_the_question_is_the_one_that_pays_most_a_minute_and_not_sure_is_always_there(
    demo: Visitor, context: str
) -> None:
    scenario = scenario_from_book(demo.book, demo.app.state.partway.setup.clock().date(), counting=False, waiting={})
    it = identify(scenario, context, {}, None, confirmed(demo.book, context))
    page = demo.open(f"/what/key?context={context}")
    first = it.tests[0]
    assert first.per_minute == max(test.per_minute for test in it.tests)
    if it.stop:  # an hour is worth more than telling plastics apart: it can be asked for all the same
        assert "It is time to stop" in page
        page = demo.open(f"/what/key?context={context}&test={first.test}")
    assert first.ask in words(page)
    assert answers_on(page) == [f"{first.test}={a}" for a, _ in first.answers] + [f"{first.test}=not-sure"]
    assert "a minute" in page and words(page).index("Never acid") < words(page).index("a minute")


def walk(there: Visitor, page: str, turns: int = 12) -> tuple[str, list[str]]:
    """Tap the first answer of every question until there is none; the last page, and what was tapped."""
    taken: list[str] = []
    for _ in range(turns):
        tapped = answers_on(page)
        if not tapped:
            return page, taken
        form = next(f for f in forms_on(page) if f.action == "/what/key" and not dict(f.values).get("measures"))
        answer = there.client.get("/what/key", params=[*form.values, ("answer", tapped[0])])
        assert answer.status_code == 200
        page = answer.text
        taken.append(tapped[0])
    raise AssertionError(f"no end after {taken}")


@pytest.mark.parametrize("context", KEY.contexts)
def test_it_ends_with_a_verdict_and_looking_writes_nothing(demo: Visitor, context: str) -> None:
    before = demo.count()
    page, taken = walk(demo, demo.open(f"/what/key?context={context}"))
    assert (taken or context == "plastics") and 'class="verdict"' in page and "That is what it was" in page
    assert demo.count() == before


def test_back_drops_the_last_answer_and_each_can_be_asked_again(demo: Visitor) -> None:
    page = demo.open("/what/key?context=taps&answer=look=bright&answer=magnet=none&answer=drag=none&mass=2+lb")
    assert 'href="/what/key?context=taps&amp;answer=look%3Dbright&amp;answer=magnet%3Dnone&amp;mass=2+lb">Back' in page
    again = demo.open("/what/key?context=taps&answer=look=bright&mass=2+lb&test=magnet")
    assert KEY.tests["magnet"].ask in words(again)
    first = demo.open("/what/key?context=taps")
    assert '<a class="button quiet" href="/what">Back</a>' in first


def test_an_answer_taken_back_takes_those_with_it_that_hang_on_it() -> None:
    piece = PieceAsked.of(Typed([("context", "loose"), ("answer", "magnet=none"), ("answer", "drag=weak")]))
    needs = KEY.tests["drag"].needs
    assert needs == {"magnet": "none"}
    assert piece.without("magnet").answers == ()
    assert piece.without("drag").answers == (("magnet", "none"),)


def test_the_mass_is_the_money_at_stake_and_one_that_is_none_is_said_beside_its_field(demo: Visitor) -> None:
    path = "/what/key?context=screws&answer=look=yellow&answer=magnet=none&answer=colour=yellow"
    assert "Into Yellow brass" in demo.open(f"{path}&mass=2+lb")
    two, four = (re.search(r"Worth \$([\d.]+) there", words(demo.open(f"{path}&mass={m}+lb"))) for m in (2, 4))
    assert two and four and float(four[1]) == pytest.approx(2 * float(two[1]), abs=0.02)
    wrong = demo.open(f"{path}&mass=heavy", 422)
    assert 'value="heavy"' in wrong and "expected" in wrong and 'aria-invalid="true"' in wrong
    assert "Into Yellow brass" in wrong


def test_a_density_is_typed_becomes_an_answer_and_a_wrong_one_stays_in_its_field(demo: Visitor) -> None:
    path = "/what/key?context=loose&answer=look=yellow&test=density"
    page = demo.open(path)
    assert KEY.tests["density"].ask in words(page) and 'href="/what/density"' in page
    form = next(f for f in forms_on(page) if dict(f.values).get("measures"))
    fields = [(name, value) for name, value in form.values if name != "measured"]
    typed = demo.client.get("/what/key", params=[*fields, ("measured", "8.4+-0.1")])
    assert typed.status_code == 200 and "8.4" in typed.text
    assert typed.url.params.get_list("answer") == ["look=yellow", "density=8.4+-0.1"]
    for text in ("", "heavy", "99", HOSTILE):
        wrong = demo.client.get("/what/key", params=[*fields, ("measured", text)])
        assert wrong.status_code == 422 and "<script>alert" not in wrong.text
        assert 'id="measured-wrong"' in wrong.text


@pytest.mark.parametrize(
    "query",
    [
        "context=loose&answer=magnet",
        "context=loose&answer=magnet=none&answer=magnet=weak",
        "context=loose&answer=magnet=maybe",
        "context=loose&answer=nope=none",
        "context=plastics&answer=magnet=none",
        "context=loose&answer=drag=none",
    ],
)
def test_an_address_that_says_what_cannot_be_is_refused(demo: Visitor, query: str) -> None:
    assert "expected" in demo.open(f"/what/key?{query}", 422)


def test_where_nothing_is_said_it_begins_and_where_nothing_is_it_says_so(demo: Visitor) -> None:
    assert str(demo.client.get("/what/key").url).endswith("/what")
    assert "&lt;script&gt;" in demo.client.get("/what/key", params={"context": HOSTILE}).text
    demo.open("/what/key?context=nowhere", 404)
    demo.open(f"/what/key?context={'x' * 5000}", 404)
    demo.open(f"/what/key?context=loose&answer={'x' * 5000}", 422)


def test_without_a_quote_money_is_in_copper_and_says_so(there: Visitor) -> None:
    page = words(there.open("/what/key?context=taps"))
    assert "of No. 2 copper a minute" in page and "$" not in page


# --- what it was ----------------------------------------------------------------------------------

STOPPED = "/what/key?context=screws&answer=look=yellow&answer=magnet=none&answer=colour=yellow&mass=20+g"
SEND = "/what/key/confirm"


def identified(there: Visitor) -> list[Identified]:
    return [e.what for e in there.book.events(("identified",)) if isinstance(e.what, Identified)]


def test_what_it_was_is_one_tap_is_recorded_and_the_next_ones_learn_from_it(there: Visitor) -> None:
    before = there.open("/what/key?context=screws")
    answer = there.fill(STOPPED, SEND, material="brass-yellow", count="12")
    assert answer.status_code == 200 and str(answer.url.path) == "/what/key"
    assert "confirmed there by now" in answer.text and "Undo" in answer.text
    (what,) = identified(there)
    assert (what.material, what.context, what.count, what.mass_mg) == ("brass-yellow", "screws", 12, 20_000)
    assert {said.test: said.answer for said in what.answers} == {"look": "yellow", "magnet": "none", "colour": "yellow"}
    after = there.open("/what/key?context=screws")
    assert "Learned from 12 confirmed pieces" in words(after) and share_of(after) > share_of(before)
    undo = there.form(answer.text, "/undo")
    assert there.send(undo).status_code == 200
    assert share_of(there.open("/what/key?context=screws")) == share_of(before)


def share_of(page: str, name: str = "Yellow brass") -> int:
    found = re.search(rf'<span class="name">(?:<svg.*?</svg>)?{name}</span><span class="n">(\d+) %', page)
    return int(found[1]) if found else 0


def test_something_else_is_chosen_from_all_there_is(there: Visitor) -> None:
    answer = there.fill(STOPPED, SEND, material="", other="bronze")
    assert answer.status_code == 200 and identified(there)[0].material == "bronze"


@pytest.mark.parametrize(
    ("typed", "status", "beside"),
    [
        ({"material": "", "other": ""}, 422, "other"),
        ({"material": HOSTILE}, 422, "other"),
        ({"material": "abs"}, 422, "other"),
        ({"material": "brass-yellow", "count": "0"}, 422, "count"),
        ({"material": "brass-yellow", "count": "a few"}, 422, "count"),
        ({"material": "brass-yellow", "count": "9" * 300}, 422, "count"),
        ({"material": "brass-yellow", "mass": "heavy"}, 422, ""),
        ({"material": "brass-yellow", "answer": ["look=nope"]}, 422, ""),
        ({"material": "brass-yellow", "context": "nowhere"}, 404, ""),
    ],
)
def test_what_cannot_be_recorded_is_said_and_nothing_is(
    there: Visitor, typed: dict[str, str | list[str]], status: int, beside: str
) -> None:
    before = there.count()
    answer = there.fill(STOPPED, SEND, **typed)
    assert answer.status_code == status and there.count() == before
    assert "<script>alert" not in answer.text
    if beside:
        assert f'href="#{beside}"' in answer.text
    elif status == 422:
        assert "expected" in answer.text


def test_twice_is_once_stale_is_asked_again_and_huge_is_too_much(there: Visitor) -> None:
    form = there.form(there.open(STOPPED), SEND)
    there.send(form, material="brass-yellow")
    again = there.send(form, material="brass-yellow")
    assert "Nothing was saved twice" in again.text and len(identified(there)) == 1
    stale = there.send(form, material="brass-yellow", token=GONE)
    assert stale.status_code == 409 and "still here" in stale.text and len(identified(there)) == 1
    huge = there.client.post(SEND, data={"material": "x" * 20_000_000})
    assert huge.status_code == 413 and len(identified(there)) == 1


def test_the_bin_it_leads_to_is_one_tap_away(demo: Visitor, there: Visitor) -> None:
    assert 'href="/bins/new?grade=' in there.open(STOPPED)
    from partway.actions.bins.bins import add_bin

    add_bin(there.book, there.context(), "brass-yellow", "yellow-pail")
    assert 'href="/bins/yellow-pail"' in there.open(STOPPED)
