"""The buyers' pages: the sheet, one buyer, its terms and prices, and prices over time."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from app_client import Visitor, visitor

from partway.actions.bins import bins
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.ledger import trading

HOSTILE = "<script>alert(1)</script> 🔩 ' \" -- مرحبا"


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        book = there.book
        set_(book, there.context(), "currency", "CAD")
        set_(book, there.context(), "unit", "lb")
        terms = Terms(kind="yard", name="harbour yard", km="9", minutes="20", refuses=["li-ion"])
        buyer(book, there.context(), "harbour", terms)
        buyer(book, there.context(), "ridge", Terms(kind="yard", km="21"))
        bins.add_bin(book, there.context(), "copper-2", holds="10 lb")
        quote(book, there.context(), "harbour", "copper-2", "4.10 /lb")
        quote(book, there.context(), "ridge", "copper-2", "4.00 /lb")
        quote(book, there.context(), "ridge", "copper-2", "4.30 /lb", from_lot="60 lb")
        yield there


def cells(page: str, grade: str) -> dict[str, str]:
    """The words of a row of the sheet, by buyer."""
    row = next(row for row in page.split("<tr ")[1:] if f'/prices/{grade}"' in row)
    found = re.findall(r'data-buyer="([^"]+)"><div>(.*?)</div></td>', row, re.DOTALL)
    return {name: " ".join(re.sub(r"<[^>]+>", " ", text).split()) for name, text in found}


# --- the sheet ---


def test_the_sheet_says_each_state_in_words_and_marks_the_best_in_words(there: Visitor) -> None:
    quote(there.book, there.context(), "ridge", "li-ion", "0.30 /lb")
    page = there.open("/prices")
    assert cells(page, "copper-2") == {"harbour yard": "4.10 best today", "ridge": "4.00 4.30 from 60 lb today"}
    assert cells(page, "li-ion") == {"harbour yard": "refuses", "ridge": "0.30 best today"}
    quote(there.book, there.context(), "ridge", "li-ion", "no")
    quote(there.book, there.context(), "ridge", "motors", "0.40 /lb")
    page = there.open("/prices")
    assert cells(page, "li-ion")["ridge"] == "not any more today"
    assert cells(page, "motors")["harbour yard"] == "unquoted"
    assert page.index("Careful: lithium-ion battery") < page.index("not any more")


def test_all_grades_of_a_family_and_no_such_family(there: Visitor) -> None:
    page = there.open("/buyers?family=copper")
    assert "Bare bright copper" in page and cells(page, "copper-1") == {"harbour yard": "unquoted", "ridge": "unquoted"}
    there.open("/buyers?family=gold%3Cscript%3E", 404)


def test_without_buyers_the_sheet_shows_the_way(tmp_path: Path) -> None:
    with visitor(tmp_path) as empty:
        assert 'href="/buyers/new"' in empty.open("/buyers")


# --- a new buyer ---


def test_a_buyer_is_added_under_a_short_name_made_from_its_name(there: Visitor) -> None:
    answer = there.fill(
        "/buyers/new",
        "/buyers/new",
        name="Cannery Lane",
        kind="yard",
        km="7",
        note="Sat till noon",
        refuses="li-ion, oil",
    )
    assert answer.status_code == 200 and answer.url.path == "/buyers/cannery-lane"
    assert "Sat till noon" in answer.text and "lithium-ion" in answer.text.lower() and "7 km" in answer.text


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("kind", {"kind": ""}),
        ("kind", {"kind": "shop"}),
        ("km", {"km": "far"}),
        ("minutes", {"minutes": "3 days"}),
        ("refuses", {"refuses": "gold dust"}),
        ("parcels", {"kind": "mail-in", "parcels": "10 lb for 14"}),
        ("parcels", {"parcels": "10 lb = 14"}),
        ("id", {"id": "harbour"}),
        ("id", {"id": "new"}),
        ("note", {"note": "x" * 201}),
    ],
)
def test_a_buyer_that_will_not_do_is_refused_beside_the_field(
    there: Visitor, field: str, typed: dict[str, str]
) -> None:
    before = there.count()
    answer = there.fill("/buyers/new", "/buyers/new", **{"name": "depot", "kind": "yard", **typed})
    assert answer.status_code == 422 and f'id="{field}-wrong"' in answer.text, re.findall(
        r'id="\w+-wrong"', answer.text
    )
    assert 'value="depot"' in answer.text and there.count() == before


# --- terms ---


def test_only_what_was_changed_is_said_anew(there: Visitor) -> None:
    form = there.form(there.open("/buyers/harbour"), "/buyers/harbour/terms")
    buyer(there.book, there.context(), "harbour", Terms(minutes="35"))  # somebody else, meanwhile
    answer = there.send(form, **{"terms-km": "11"})
    assert answer.status_code == 200
    now = trading.buyers(there.book)["harbour"]
    assert (now.km, now.minutes, now.refuses, now.name) == (Decimal(11), 35, ("li-ion",), "harbour yard")


def test_terms_as_they_were_are_no_change(there: Visitor) -> None:
    before = there.count()
    assert there.fill("/buyers/harbour", "/buyers/harbour/terms").status_code == 422
    assert there.count() == before


def test_refusals_can_be_taken_back_and_parcels_changed(there: Visitor) -> None:
    there.fill("/buyers/harbour", "/buyers/harbour/terms", **{"terms-refuses": ""})
    assert trading.buyers(there.book)["harbour"].refuses == ()
    buyer(there.book, there.context(), "boards", Terms(kind="mail-in", shipping=[("10 lb", "14")]))
    page = there.open("/buyers/boards")
    assert "10 lb = 14" in page
    there.fill("/buyers/boards", "/buyers/boards/terms", **{"terms-parcels": "10 lb = 15\r\n40 lb = 22.50\r\n"})
    assert [step.cost for step in trading.buyers(there.book)["boards"].shipping] == [Decimal("15.00"), Decimal("22.50")]


def test_wrong_terms_keep_what_was_typed_and_what_they_started_from(there: Visitor) -> None:
    answer = there.fill("/buyers/harbour", "/buyers/harbour/terms", **{"terms-km": HOSTILE, "terms-note": HOSTILE})
    assert answer.status_code == 422 and 'id="terms-km-wrong"' in answer.text and "<script>alert" not in answer.text
    again = there.send(there.form(answer.text, "/buyers/harbour/terms"), **{"terms-km": "12"})
    assert again.status_code == 200 and trading.buyers(there.book)["harbour"].note == HOSTILE


# --- one price ---


def heard(there: Visitor, **typed: str) -> str:
    answer = there.fill("/buyers/harbour", "/buyers/harbour/quote", **{f"quote-{k}": v for k, v in typed.items()})
    return f"{answer.status_code}"


@pytest.mark.parametrize(
    ("typed", "price", "unit"),
    [
        ({"price": "4.25"}, "4.25", "lb"),
        ({"price": "38c"}, "0.38", "lb"),
        ({"price": "180", "unit": "short ton"}, "180", "short ton"),
        ({"price": "9 /kg"}, "9", "kg"),
        ({"price": "-0.05"}, "-0.05", "lb"),
        ({"price": "6", "unit": "each", "piece": "12 lb"}, "1.102311", "kg"),
        ({"price": "6 each", "piece": "12 lb"}, "1.102311", "kg"),
    ],
)
def test_a_price_as_it_was_heard(there: Visitor, typed: dict[str, str], price: str, unit: str) -> None:
    assert heard(there, grade="motors", **typed) == "200"
    (now,) = trading.quotes(there.book, "harbour", "motors")
    assert (now.price, now.unit) == (Decimal(price), unit)


def test_no_ends_a_price(there: Visitor) -> None:
    assert heard(there, grade="copper-2", price="no") == "200"
    assert trading.quotes(there.book, "harbour", "copper-2")[0].price is None


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("grade", {"grade": "", "price": "4"}),
        ("grade", {"grade": "li-ion", "price": "4"}),  # which this buyer refuses
        ("price", {"grade": "motors", "price": ""}),
        ("price", {"grade": "motors", "price": "fourish"}),
        ("price", {"grade": "motors", "price": "£4"}),
        ("piece", {"grade": "motors", "price": "6", "unit": "each"}),  # what a piece weighs is what is missing
        ("price", {"grade": "motors", "price": "200 /ton"}),
        ("from_lot", {"grade": "motors", "price": "1", "from_lot": "much"}),
        ("minimum", {"grade": "motors", "price": "1", "minimum": "-3 lb"}),
        ("on", {"grade": "motors", "price": "1", "on": "2199-01-01x"}),
    ],
)
def test_a_price_that_will_not_do(there: Visitor, field: str, typed: dict[str, str]) -> None:
    before = there.count()
    given = {f"quote-{name}": text for name, text in typed.items()}
    answer = there.fill("/buyers/harbour", "/buyers/harbour/quote", **given)
    assert answer.status_code == 422 and f'id="quote-{field}-wrong"' in answer.text
    assert there.count() == before


def test_the_grade_is_filled_in_where_the_page_is_come_to_from_a_bin(there: Visitor) -> None:
    assert 'name="quote-grade"' in there.open("/buyers/harbour?grade=motors")
    assert 'value="motors"' in there.open("/buyers/harbour?grade=motors").partition("<datalist")[0]


def test_a_buyer_says_when_things_are_unknown(there: Visitor) -> None:
    page = there.open("/buyers/ridge")
    assert "Opening hours: unknown" in page
    buyer(there.book, there.context(), "depot", Terms(kind="drop-off"))
    page = there.open("/buyers/depot")
    assert "no way known" in page and "never said a price" in page
    there.open("/buyers/nobody", 404)


# --- prices over time ---


def test_prices_over_time_say_the_same_in_the_drawing_and_in_the_table(there: Visitor) -> None:
    page = there.open("/prices/copper-2")
    ticks = [(float(y), float(text)) for y, text in re.findall(r'y="([\d.]+)" dy=".35em"[^>]*>([\d.]+)<', page)]
    (y1, v1), (y2, v2) = ticks[0], ticks[-1]
    names = re.findall(r"<title>(.*?)</title>", page.partition("<figure")[2])
    ends = re.findall(r'class="price dash-\d" d="M[^"]*V([\d.]+)"', page.partition("<table")[0])
    lasts = {name: v1 + (float(y) - y1) / (y2 - y1) * (v2 - v1) for name, y in zip(names, ends, strict=True)}
    assert lasts == pytest.approx({"harbour yard": 4.1, "ridge": 4.0, "ridge from 60 lb": 4.3}, abs=0.005)
    assert "The scale begins at 4.0, not at 0." in page
    assert "CA$4.00/lb to CA$4.10/lb" in page and "no trend" in page
    table = page.partition("Each buyer")[2]
    assert "harbour yard" in table and "4.30" in table


def test_prices_that_nobody_named_or_of_what_is_no_grade(there: Visitor) -> None:
    assert "Nobody named a price" in there.open("/prices/motors?days=all")
    there.open("/prices/gold-dust", 404)
    there.open("/prices/copper-2?buyer=nobody", 404)
    assert "Nobody" not in there.open("/prices/copper-2?days=sideways&buyer=ridge").partition("<table")[0].replace(
        "nobody knows", ""
    )


def test_what_can_hurt_comes_before_the_prices(there: Visitor) -> None:
    quote(there.book, there.context(), "ridge", "li-ion", "0.30 /lb")
    page = there.open("/prices/li-ion")
    assert page.index("Lithium-ion battery") < page.index("CA$0.30")
