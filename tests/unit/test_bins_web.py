"""The bins' pages: what they show and say, and their forms filled in rightly and wrongly."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import segno
from app_client import NOW, Visitor, visitor
from page_words import words

from partway.actions.bench.finds import find as find_one
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.catalogue import shipped
from partway.reports.bins.labels import BORDER, code_of
from partway.things.families import family_name

LB_KG = 0.45359237  # the international avoirdupois pound, exact
HOSTILE = "<script>alert(1)</script> \u202eABC 🔩 ' \" --"


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    """Two bins, one of them of what can hurt, and a buyer with a price."""
    with visitor(tmp_path) as there:
        book = there.book
        set_(book, there.context(), "currency", "CAD")
        set_(book, there.context(), "unit", "lb")
        bins.add_bin(book, there.context(), "copper-2", capacity="20 L", holds="10 lb")
        bins.add_bin(book, there.context(), "li-ion", holds="2 lb")
        buyer(book, there.context(), "harbour", Terms(kind="yard", name="harbour yard", km="9"))
        quote(book, there.context(), "harbour", "copper-2", "4.10 /lb", minimum="5 lb")
        quote(book, there.context(), "harbour", "li-ion", "0.30 /lb")
        yield there


def test_what_can_hurt_comes_before_the_money(there: Visitor) -> None:
    page = there.open("/bins")
    assert "CA$41.60" in page and "12 lb" in page
    assert page.index("Lithium-ion battery") < page.index("CA$")
    one = there.open("/bins/li-ion")
    assert one.index("Lithium-ion battery") < one.index("CA$0.60")
    assert one.index("check your local code") < one.index("CA$0.60")
    assert "no figure is known here" in one


def test_a_bin_says_where_it_sells_how_full_it_is_and_what_is_unknown(there: Visitor) -> None:
    page = there.open("/bins/copper-2")
    assert "CA$41.00" in page and "harbour yard" in page and "best" in page and "% full" in page
    assert "Nobody knows how full it is" in there.open("/bins/li-ion")


def test_recount(there: Visitor) -> None:
    answer = there.fill("/bins/copper-2", "/bins/copper-2/recount", **{"recount-mass": "9.5 lb"})
    assert answer.status_code == 200 and "9.5 lb" in answer.text and "Undo" in answer.text
    assert there.book.balances("bin:copper-2")["bin:copper-2", "copper-2"] == 4309128


def test_a_recount_that_is_no_mass_keeps_what_was_typed_and_saves_nothing(there: Visitor) -> None:
    before = there.count()
    for typed in ("lots", "", "-3 lb", "1e99 lb", HOSTILE, "9" * 150):
        answer = there.fill("/bins/copper-2", "/bins/copper-2/recount", **{"recount-mass": typed})
        assert answer.status_code == 422 and 'id="recount-mass-wrong"' in answer.text, typed
        assert "<script>alert" not in answer.text
    assert 'value="999' in answer.text
    answer = there.fill("/bins/copper-2", "/bins/copper-2/recount", **{"recount-mass": "1 lb", "recount-on": "someday"})
    assert answer.status_code == 422 and 'id="recount-on-wrong"' in answer.text and 'value="someday"' in answer.text
    assert there.count() == before


def test_the_same_form_twice_counts_once(there: Visitor) -> None:
    form = there.form(there.open("/bins/copper-2"), "/bins/copper-2/recount")
    there.send(form, **{"recount-mass": "9 lb"})
    after = there.count()
    again = there.send(form, **{"recount-mass": "9 lb"})
    assert "saved already" in again.text and there.count() == after
    other = there.send(form, **{"recount-mass": "8 lb"})
    assert other.status_code == 409 and 'value="8 lb"' in other.text and there.count() == after


def test_moving_into_another_grade_is_asked_about_and_then_done(there: Visitor) -> None:
    bins.add_bin(there.book, there.context(), "copper-light")
    before = there.count()
    asked = there.fill("/bins/copper-2", "/bins/copper-2/move", **{"move-to": "copper-light", "move-mass": "3 lb"})
    assert asked.status_code == 409 and "counts as Light copper" in asked.text and there.count() == before
    form = there.form(asked.text, "/bins/copper-2/move")
    done = there.send(form, **{"answer-regrade": "yes"})
    assert done.status_code == 200 and "3 lb" in there.open("/bins/copper-light")


def test_a_hazard_is_not_lost_by_moving(there: Visitor) -> None:
    refused = there.fill("/bins/li-ion", "/bins/li-ion/move", **{"move-to": "copper-2"})
    assert refused.status_code == 422 and 'id="move-to-wrong"' in refused.text and "li-ion" in refused.text


def test_a_bin_is_added_with_its_capacity(there: Visitor) -> None:
    answer = there.fill("/bins/new", "/bins/new", grade="motors", capacity="60 L", name="blue drum", holds="6 lb")
    assert answer.status_code == 200 and "blue drum" in answer.text and "6 lb" in answer.text
    assert "of 60 L" in answer.text
    for wrong, field in ((("grade", "moonshine"), "grade"), (("capacity", "60"), "capacity"), (("id", "labels"), "id")):
        typed = {"grade": "motors", **dict([wrong])}
        refused = there.fill("/bins/new", "/bins/new", **typed)
        assert refused.status_code == 422 and f'id="{field}-wrong"' in refused.text, wrong


def test_a_bin_is_renamed_and_the_same_again_is_refused(there: Visitor) -> None:
    typed = {"change-name": HOSTILE.replace("\u202e", ""), "change-capacity": "25 L"}
    answer = there.fill("/bins/copper-2", "/bins/copper-2/change", **typed)
    assert answer.status_code == 200 and "<script>alert" not in answer.text and "of 25 L" in answer.text
    before = there.count()
    assert there.fill("/bins/copper-2", "/bins/copper-2/change").status_code == 422
    assert there.count() == before


def test_a_bin_that_is_not_there(there: Visitor) -> None:
    there.open("/bins/nowhere", 404)
    there.open("/bins/" + "x" * 3000, 404)
    form = there.form(there.open("/bins/copper-2"), "/bins/copper-2/recount")
    form.action = "/bins/nowhere/recount"
    assert there.send(form, **{"recount-mass": "1 lb"}).status_code in (404, 422)


def test_an_empty_workspace_has_a_way_on(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        assert "/bins/new" in there.open("/bins")
        assert "No bins to label" in there.open("/bins/labels")


# --- labels ---


def test_labels_name_what_can_hurt_and_lead_to_the_bin_as_the_phone_sees_it(tmp_path: Path) -> None:
    with visitor(tmp_path, address="http://192.168.7.20:8737") as there:
        bins.add_bin(there.book, there.context(), "li-ion", holds="2 lb")
        bins.add_bin(there.book, there.context(), "motors")
        page = there.open("/bins/labels?paper=letter&bin=li-ion")
    code = code_of("http://192.168.7.20:8737/bins/li-ion")  # tests of code_of read it back
    assert f'aria-label="QR code"><path d="{code.path}"/>' in page
    assert 'class="danger"' in page and "Lithium-ion battery" in page and 'class="labels letter large"' in page
    assert "/bins/motors" not in page and "only this machine" not in page


def test_without_a_phone_let_in_the_labels_say_so(there: Visitor) -> None:
    page = there.open("/bins/labels?paper=papyrus&size=huge")
    assert "only this machine can open" in page and 'class="labels a4 large"' in page


def test_families_are_called_in_plain_words(there: Visitor) -> None:
    """Each by a name of its own that says what lies in it, wherever a family stands; its id stays in addresses."""
    families = {grade.family for grade in shipped().grades.values()}
    assert len({family_name(one) for one in families}) == len(families) > 8
    bins.add_bin(there.book, there.context(), "motors", holds="3 lb")
    bins.add_bin(there.book, there.context(), "lead-soft", holds="3 lb")
    buyer(there.book, there.context(), "ridge", Terms(kind="yard", name="ridge yard", km="9", refuses=["careful"]))
    for path in ("/bins", "/bins/labels", "/buyers", "/prices", "/buyers/ridge"):
        seen = words(there.open(path))
        assert not re.search(r"\b(wound|careful|inert|other) (\d|bin|all grades|of any)", seen), path
        assert path == "/buyers/ridge" or "motors and coils" in seen, path
    assert "Turns away handle with care of any grade" in words(there.open("/buyers/ridge"))
    assert "Prices: motors and coils" in words(there.open("/buyers?family=wound"))


def test_the_drawn_code_is_that_of_the_library() -> None:
    """The path is read back into modules and held against segno's own matrix (ISO/IEC 18004)."""
    text = "http://192.168.7.20:8737/bins/board-laptop-server"
    code, drawn, x, y = code_of(text), set(), 0, 0
    for command, first, second in re.findall(r"([Mmh])(\d+)(?: (\d+(?:\.5)?))?", code.path):
        if command == "M":
            x, y = int(first), int(float(second))
        elif command == "m":
            x += int(first)
        else:
            drawn |= {(x + step, y) for step in range(int(first))}
            x += int(first)
    matrix = segno.make(text, error="m", boost_error=False, micro=False).matrix
    dark = {(x + BORDER, y + BORDER) for y, row in enumerate(matrix) for x, value in enumerate(row) if value}
    assert drawn == dark and code.size == len(matrix) + 2 * BORDER


def test_an_even_flow_is_explained_and_folded(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        book, then = there.book, replace(there.context(), happened=NOW - dt.timedelta(weeks=8), exact=True)
        set_(book, then, "currency", "CAD")
        set_(book, there.context(), "unit", "lb")
        find = find_one(book, there.context(), "toaster", mass="64 kg", works="no", sure=True).result.find
        open_up(book, there.context(), find, [PieceGiven("whole", "64 kg", grade="light-iron")], sure=True)
        buyer(book, there.context(), "harbour", Terms(kind="yard", name="harbour yard", km="9"))
        quote(book, there.context(), "harbour", "light-iron", "0.2 /kg")
        assert "An even flow" not in there.open("/bins/light-iron"), "a trip that costs nothing needs no lot"
        set_(book, there.context(), "cost_per_km", "0.5")
        folded = '<details class="notes"><summary>An even flow makes {:,.0f} lb a good lot'
        assert folded.format(450 / LB_KG) in there.open("/bins/light-iron"), "a full load, of 450 kg, at most"
        quote(book, there.context(), "harbour", "light-iron", "2 /kg")
        # Harris 1913: 8 kg a week at 2.00 a kg and 10 % a year for money, 18 km at 0.50.
        lot_lb = math.sqrt(2 * 8 * 52 * (2 * 9 * 0.5) / (2.0 * 0.1)) / LB_KG
        assert folded.format(lot_lb) in there.open("/bins/light-iron")
