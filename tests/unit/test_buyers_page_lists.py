"""A price list typed on the phone: looked at, asked about, then saved as a whole or not at all."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from app_client import Visitor, visitor

from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.price_lists import read_list
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.ledger import trading
from partway.pricelist import PriceLine

PATH = "/buyers/harbour/list"


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        set_(there.book, there.context(), "currency", "CAD")
        set_(there.book, there.context(), "unit", "lb")
        buyer(there.book, there.context(), "harbour", Terms(kind="yard", name="harbour yard", km="9"))
        quote(there.book, there.context(), "harbour", "copper-2", "4.00 /lb")
        yield there


def looked(there: Visitor, text: str, **more: str) -> str:
    """The page after looking; nothing is written by it."""
    before = there.count()
    answer = there.fill(PATH, PATH, text=text, step="look", **more)
    assert answer.status_code == 200 and there.count() == before
    return answer.text


def prices(there: Visitor) -> dict[str, Decimal | None]:
    return {quote.grade: quote.price for quote in trading.quotes(there.book, "harbour")}


def test_what_each_line_was_understood_as_before_and_after(there: Visitor) -> None:
    page = looked(there, "no 2 copper 4.10, motors 38c, 304 stainless not taking")
    assert "No. 2 copper 4.10 /lb" in page and "before CA$4.00/lb, up 2.5" in page
    assert "Electric motors 0.38 /lb" in page and "new" in page
    assert "Stainless 304 not taking" in page and "All understood" in page


def test_what_can_hurt_comes_before_its_price(there: Visitor) -> None:
    page = looked(there, "lithium-ion, cobalt 0.30").partition("<ol")[2]
    assert page.index("Careful: lithium-ion battery") < page.index("0.30")


def test_saved_as_a_whole_and_only_once(there: Visitor) -> None:
    form = there.form(looked(there, "no 2 copper 4.10, motors 38c, 304 stainless not taking"), PATH)
    answer = there.send(form, step="save")
    assert answer.url.path == "/buyers/harbour" and "Undo" in answer.text
    assert prices(there) == {"copper-2": Decimal("4.10"), "motors": Decimal("0.38"), "stainless-304": None}
    after = there.count()
    assert "saved already" in there.send(form, step="save").text and there.count() == after


def test_a_list_that_is_saved_is_read_once_and_once_to_know_that_it_was_saved(
    there: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    form = there.form(looked(there, "no 2 copper 4.10, motors 38c"), PATH)
    readings = []

    def counted(*arguments: Any, **options: Any) -> list[PriceLine]:
        readings.append(there.book.is_deciding)
        return read_list(*arguments, **options)

    monkeypatch.setattr("partway.web.buyers.lists.read_list", counted)
    there.send(form, step="save")
    assert readings == [True]  # within the transaction that saves it: nobody quotes in between
    assert "saved already" in there.send(form, step="save").text and len(readings) == 2
    other = {"step": "save", "text": "no 2 copper 4.20"}
    assert there.send(form, **other).status_code == 409 and prices(there)["copper-2"] == Decimal("4.10")


def test_what_is_not_clear_is_asked_beside_the_line_and_answered(there: Visitor) -> None:
    page = looked(there, "number 2 copper 4.10, iron 200 a ton")
    assert "Some lines need an answer" in page and 'value="save"' not in page
    form = there.form(page, PATH)
    page = there.send(form, **{"ask-2": "light-iron", "step": "look"}).text
    assert "which ton" in page
    page = there.send(there.form(page, PATH), **{"ask-2": "short ton", "step": "look"}).text
    assert "Light iron 200.00 /short ton" in page
    assert "All understood" in page
    there.send(there.form(page, PATH), step="save")
    assert prices(there)["light-iron"] == Decimal(200)


def test_an_answer_in_words_of_ones_own(there: Visitor) -> None:
    page = looked(there, "flux capacitors 3, motors 38c")
    answer = there.send(there.form(page, PATH), **{"other-1": "brass", "step": "look"})
    assert answer.status_code == 422 and 'id="wrong-1"' in answer.text
    answer = there.send(there.form(answer.text, PATH), **{"other-1": "yellow brass", "step": "look"})
    assert "Yellow brass 3.00 /lb" in answer.text
    there.send(there.form(answer.text, PATH), step="save")
    assert prices(there)["brass-yellow"] == Decimal(3)


def test_a_line_may_be_left_out(there: Visitor) -> None:
    page = looked(there, "flux capacitors 3, motors 38c")
    page = there.send(there.form(page, PATH), **{"ask-1": "leave out", "step": "look"}).text
    assert (
        "flux" not in page.partition("Or change what was typed")[0].replace('value="flux', "")
        and "All understood" in page
    )


def test_saving_with_a_question_open_saves_nothing_and_asks_again(there: Visitor) -> None:
    before = there.count()
    form = there.form(looked(there, "flux capacitors 3, motors 38c"), PATH)
    answer = there.send(form, step="save")
    assert answer.status_code == 422 and 'name="ask-1"' in answer.text and there.count() == before
    assert "motors 38c" in answer.text


@pytest.mark.parametrize("text", ["", "   ", "!!!", "\x00\x01", "x" * 10_001, "a\u202eb " * 20])
def test_texts_that_are_no_list_are_refused_or_asked_about_and_kept(there: Visitor, text: str) -> None:
    before = there.count()
    answer = there.fill(PATH, PATH, text=text, step="look")
    assert answer.status_code in (200, 422) and there.count() == before
    assert 'id="text-wrong"' in answer.text or 'name="ask-1"' in answer.text
    if len(text) > 10_000:
        assert text in answer.text and "at most 10,000 characters" in answer.text


def test_hostile_lines_and_answers_are_text_and_nothing_else(there: Visitor) -> None:
    page = looked(there, '<script>alert(1)</script> 3, motors 38c" onload="x')
    assert "<script>alert" not in page and 'onload="x"' not in page
    form = there.form(page, PATH)
    answers = [f"{n}={v}" for n in ("1", "-1", "99999999999", "x", "") for v in ("leave out", "<i>", "")]
    answer = there.send(form, answered=answers, **{"ask-x": "y", "other-": "z", "step": "look"})
    assert answer.status_code in (200, 422) and "<i>" not in answer.text


def test_a_comma_means_decimals_where_it_is_said_to(there: Visitor) -> None:
    page = looked(there, "no 2 copper 4,10", comma="y")
    assert "No. 2 copper 4.10 /lb" in page
    assert there.send(there.form(page, PATH), step="save").status_code == 200
    assert prices(there)["copper-2"] == Decimal("4.10")


def test_a_list_of_another_day_and_of_no_day(there: Visitor) -> None:
    page = looked(there, "motors 38c", on="2026-03-12")
    there.send(there.form(page, PATH), step="save")
    assert trading.quotes(there.book, "harbour", "motors")[0].on.isoformat() == "2026-03-12"
    answer = there.fill(PATH, PATH, text="motors 38c", on="someday", step="look")
    assert answer.status_code == 422 and 'id="on-wrong"' in answer.text and "motors 38c" in answer.text


def test_a_workspace_without_a_unit_says_what_to_do(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        buyer(there.book, there.context(), "harbour", Terms(kind="yard", km="9"))
        answer = there.fill(PATH, PATH, text="motors 38c", step="look")
    assert answer.status_code == 422 and re.search(r'id="text-wrong"', answer.text)


NAMES = "moters 30c, yelow brass 2.40, lithum ion cobalt 0.30, frandles 1.20"


def test_names_that_are_not_sure_are_one_question_with_a_choice_for_each(there: Visitor) -> None:
    page = looked(there, NAMES)
    assert page.count("<legend>") == 1 and "Right as shown?" in page and page.count("<select") == 4
    assert page.index("Careful") < page.index("<ol")  # of what is only shown, too
    form = there.form(page, PATH)
    page = there.send(form, step="look", **{"ask-1": "yes", "name-2": "brass-red"}).text
    assert "All understood" in page and "Left out, as you said" in page
    there.send(there.form(page, PATH), step="save")
    assert {"motors": Decimal("0.30"), "brass-red": Decimal("2.40")}.items() <= prices(there).items()


def test_a_name_that_was_changed_alone_leaves_the_others_asked(there: Visitor) -> None:
    form = there.form(looked(there, NAMES), PATH)
    page = there.send(form, step="look", **{"name-1": "alternator"}).text
    assert "Right as shown?" in page and page.count("<select") == 3 and "Alternators 0.30 /lb" in page
