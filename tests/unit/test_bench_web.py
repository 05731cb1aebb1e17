"""The bench's pages: cautions before money, the queue within the hours, and every form of a find filled in."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import FormSeen, Visitor, visitor
from httpx2 import Response

from partway.actions.bench import finds
from partway.actions.bench.benching import hours_given
from partway.actions.bench.counts import in_working_order
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.catalogue import shipped
from partway.ledger.fold import standing

HOSTILE = "<script>alert(1)</script> \u202eABC 🔩 ' \" --"
OVEN = "/bench/microwave-1"
WHOLE = f"{OVEN}/whole"
OPEN = f"{OVEN}/open#open"
PRICES = {"copper-2": "9.00", "copper-light": "8.00", "light-iron": "0.25", "motors": "0.80", "wire-cord-plugs": "2.20"}
# 13 kg in: 0.3 + 0.9 + 0.06 + 0.15 + 1.8 + 3 + 6.7 = 12.91 out, 90 g lost.
WEIGHED = {
    "cord": "0.3 kg",
    "tray": "0.9 kg",
    "ring": "60 g",
    "capacitor": "150 g",
    "cover": "1.8 kg",
    "transformer": "3 kg",
    "carcass": "6.7 kg",
}


def town(there: Visitor) -> None:
    book = there.book
    for name, value in {"currency": "CAD", "unit": "kg", "wage": "15"}.items():
        set_(book, there.context(), name, value)
    buyer(book, there.context(), "harbour", Terms(kind="yard", name="harbour yard", km="9"))
    for grade, price in PRICES.items():
        quote(book, there.context(), "harbour", grade, f"{price} /kg")


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Visitor]:
    """A microwave that does not work, weighed; a kettle of unknown condition; two fans; a smoke alarm."""
    with visitor(tmp_path) as there:
        town(there)
        finds.find(there.book, there.context(), "microwave", mass="13 kg", works="no")
        finds.find(there.book, there.context(), "kettle")
        finds.find(there.book, there.context(), "fan", count=2, works="no", mass="6 kg")
        finds.find(there.book, there.context(), "smoke-detector")
        yield there


def rows(**masses: str) -> dict[str, str]:
    return {f"open-mass.{piece.replace('_', '-')}": mass for piece, mass in masses.items()}


def opening(there: Visitor, path: str = OVEN) -> FormSeen:
    return there.form(there.open(f"{path}/whole"), f"{path}/open#open")


def undone(form: FormSeen, *operations: str) -> FormSeen:
    """The form with some operations not ticked."""
    names = {f"open-done.{op}" for op in operations}
    form.values = [(name, value) for name, value in form.values if name not in names]
    return form


def without_saw(there: Visitor, **fields: str) -> Response:
    """The oven opened down to its transformer, which goes into a bin as it is."""
    form = undone(opening(there), "transformer.copper.saw", "transformer.copper.unstack")
    into = {"open-into.transformer": "transformer-cu", "open-into.ring": "residue"}
    return there.send(form, **{**rows(**WEIGHED), **into, "open-minutes": "12", **fields})


# --- the queue ---


def test_what_can_hurt_comes_before_the_money(there: Visitor) -> None:
    page = there.open("/bench")
    assert page.index("Careful: ") < page.index("CA$")
    assert page[: page.index("CA$")].count("mains electricity") >= 1  # one line for the whole queue, before its money
    for one in (there.open(OVEN), there.open(WHOLE)):
        assert one.lower().index("unplug, wait, keep one hand away") < one.index("CA$")
        assert one.index("check your local code") < one.index("CA$")


def test_the_queue_is_cut_at_the_hours_given_or_set(there: Visitor) -> None:
    page = there.open("/bench")
    assert 'value="6"' in page and "6 h end here" in page
    short = there.open("/bench?hours=0.05")
    assert "With more hours" in short and "3 min end here" in short
    assert "2 h 30 end here" in there.open("/bench?hours=2%20h%2030")
    set_(there.book, there.context(), "bench", "3")
    assert "3 h end here" in there.open("/bench")


@pytest.mark.parametrize("hours", ["lots", "-1", "1e9", "9999", HOSTILE, "x" * 5000, "\u0663"])
def test_hours_that_are_none_are_said_to_be_and_kept(there: Visitor, hours: str) -> None:
    answer = there.client.get("/bench", params={"hours": hours})
    assert answer.status_code == 422 and 'id="hours-wrong"' in answer.text
    assert "<script>alert" not in answer.text
    assert "end here" in answer.text, "the queue is still there"


def test_what_is_never_opened_and_what_is_not_known(there: Visitor) -> None:
    page = there.open("/bench")
    assert "Never opened" in page and "/bench/smoke-detector-1" in page
    open_up(there.book, there.context(), "kettle-1", [PieceGiven("whole", "1 kg", 1, "light-iron")], gap="left")
    finds.find(there.book, there.context(), "microwave", mass="12 kg")
    cord = [PieceGiven("cord", "0.3 kg", 1, "wire-cord-plugs")]
    open_up(there.book, there.context(), "microwave-2", cord, gap="left")
    page = there.open("/bench")
    assert "opened without saying how" in page
    assert "nobody knows what is left in it" in there.open("/bench/microwave-2")


def test_without_a_currency_finds_are_still_there(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        assert "Nothing waits" not in there.open("/bench")
        finds.find(there.book, there.context(), "microwave")
        page = there.open("/bench")
        assert "currency" in page and "/settings" in page and OVEN in page
        assert "before this workspace has a currency" in there.open(OVEN)
        assert there.fill(WHOLE, f"{OVEN}/weigh#weigh", **{"weigh-mass": "13 kg"}).status_code == 200


def test_nothing_waits(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        set_(there.book, there.context(), "currency", "CAD")
        page = there.open("/bench")
        assert "Nothing waits at the bench" in page and "/curb" in page


# --- one find ---


def test_a_find_shows_its_verdict_picture_steps_and_why_it_stops(there: Visitor) -> None:
    page = there.open(WHOLE)
    assert "Open it" in page and ">Stop here</text>" in page
    assert page.count('class="piece opened"') >= 3 and '<line class="stop"' in page
    assert "never opened" in page and "has to come first" in page
    assert "yours is worth CA$15.00" in page or "would bring less than it does now" in page
    assert " style=" not in page
    by_mass = there.open(f"{WHOLE}?by=mass")
    assert "Height is mass" in by_mass and "Height is money" in page


@pytest.mark.parametrize("find", [OVEN, "/bench/kettle-1"])
def test_every_box_of_the_picture_leads_to_its_step_or_row_on_the_page(there: Visitor, find: str) -> None:
    """Each has a name that a screen reader says, and an address that is an id on the page, which stands there once."""
    page = there.open(f"{find}/whole")
    drawn = page[page.index('<figure class="anatomy">') : page.index("</figure>")]
    boxes = re.findall(r'<a class="piece ([a-z ]+)" href="#([^"]+)" aria-label="([^"]+)">', drawn)
    assert len(boxes) == drawn.count("<a ") >= 2
    ids = re.findall(r' id="([^"]+)"', page)
    for state, leads, name in boxes:
        assert ids.count(leads) == 1, (name, leads)
        assert leads.startswith("step-") or state not in ("opened", "small")
        assert len(name) > 20
    assert len({leads for _, leads, _ in boxes}) > 1 or len(boxes) == 2


def test_what_if_it_works(there: Visitor) -> None:
    page = there.open(f"{WHOLE}?works=yes")
    assert "As if it worked" in page and "Sell it whole, as a part" in page
    assert there.open(f"{WHOLE}?works={'x' * 300}&by=nonsense") == there.open(WHOLE) or "As if" not in there.open(WHOLE)


def test_the_numbers_of_the_list_are_those_of_the_picture(there: Visitor) -> None:
    page = there.open(WHOLE)
    listed = page[page.index('class="as-list"') : page.index("</details>", page.index('class="as-list"'))]
    for name in ("Steel cover", "Cord with plug", "High-voltage capacitor, discharged", "Roller ring"):
        assert name in listed


def test_test_weigh_and_take_it_back(there: Visitor) -> None:
    answer = there.fill("/bench/kettle-1", "/bench/kettle-1/test#tested", **{"test-works": "yes"})
    assert answer.status_code == 200 and "works" in answer.text and "Undo" in answer.text
    assert standing.find(there.book, "kettle-1").works == "yes"
    undo = there.form(answer.text, "/undo")
    back = there.send(undo)
    assert back.status_code == 200 and standing.find(there.book, "kettle-1").works == "unknown"
    weighed = there.fill("/bench/kettle-1/whole", "/bench/kettle-1/weigh#weigh", **{"weigh-mass": "1.2"})
    assert "1.2 kg" in weighed.text and standing.find(there.book, "kettle-1").mg == 1_200_000


# --- opening ---


def test_an_opening_closes_the_find_and_fills_the_bins(there: Visitor) -> None:
    answer = without_saw(there)
    assert answer.status_code == 200, re.findall(r'class="(?:wrong|error)".*?</', answer.text, re.DOTALL)
    assert answer.url.path == "/bench" and "mass balance" in answer.text and "Undo" in answer.text
    assert standing.find(there.book, "microwave-1").closed
    assert there.book.balances("bin:light-iron")["bin:light-iron", "light-iron"] == 8_500_000
    assert there.book.accounts()["minutes:bench"] == 12
    gone = there.open(OVEN)
    assert "Nothing is left of" in gone


def test_a_gap_is_asked_about_beside_the_form_and_answered(there: Visitor) -> None:
    before = there.count()
    asked = without_saw(there, **{"open-mass.carcass": "5.7 kg"})
    assert asked.status_code == 409 and there.count() == before
    assert 'name="answer-gap"' in asked.text and " missing" in asked.text
    assert 'value="5.7 kg"' in asked.text and "Mass balance" in asked.text
    form = undone(there.form(asked.text, OPEN))
    done = there.send(form, **{"answer-gap": "left"})
    assert done.status_code == 200 and not standing.find(there.book, "microwave-1").closed
    assert "partly open" in there.open(OVEN)


def test_the_balance_is_checked_without_saving(there: Visitor) -> None:
    before = there.count()
    form = opening(there)
    form.action = f"{OVEN}/balance"
    answer = there.send(form, **rows(transformer="31 kg"))
    assert answer.status_code == 200 and there.count() == before
    assert "Ten times too much? 3.1 kg would fit" in answer.text
    assert 'value="31 kg"' in answer.text and "too much</b>" in answer.text
    form.action = f"{OVEN}/balance?part=yes"
    part = there.send(form, **rows(transformer="3 kg"))
    assert "missing</b>" in part.text and "<html" not in part.text and len(part.text) < 4000


@pytest.mark.parametrize("typed", ["lots", "3 tons", "-3 kg", "0", "1e99 kg", HOSTILE, "9" * 190, "3 kg 4"])
def test_a_mass_that_is_none_stands_beside_its_field(there: Visitor, typed: str) -> None:
    before = there.count()
    answer = there.send(opening(there), **rows(cord=typed))
    assert answer.status_code == 422 and 'id="open-mass.cord-wrong"' in answer.text
    assert "<script>alert" not in answer.text and there.count() == before
    assert standing.find(there.book, "microwave-1").mg == 13_000_000


def test_what_is_wrong_elsewhere_is_said_and_all_that_was_typed_is_kept(there: Visitor) -> None:
    before = there.count()
    for field, typed in {
        "open-minutes": "soon",
        "open-residue": "some",
        "open-loss": "-1",
        "open-on": "someday",
        "open-into.cord": "moonshine",
        "open-count.cord": "many",
        "open-mass.cord": "x" * 3000,
    }.items():
        answer = there.send(opening(there), **{**rows(cord="0.3 kg", body="12.6 kg"), field: typed})
        assert answer.status_code == 422, field
        assert 'role="alert"' in answer.text and 'value="12.6 kg"' in answer.text, field
    assert there.count() == before


def test_a_hazard_goes_into_no_bin_unseen(there: Visitor) -> None:
    """The body still holds the capacitor: no sale as a motor, whatever is sent."""
    before = there.count()
    form = undone(opening(there), "discharge", "transformer-out", "transformer.saw", "strip")
    answer = there.send(form, **{**rows(body="11 kg"), "open-into.body": "motors"})
    assert answer.status_code == 422 and there.count() == before


def test_nothing_weighed_is_asked_about(there: Visitor) -> None:
    before = there.count()
    asked = there.send(opening(there))
    assert asked.status_code == 409 and there.count() == before and "none of it went on the scale" in asked.text


def test_an_operation_before_its_piece_is_out_is_refused(there: Visitor) -> None:
    before = there.count()
    answer = there.send(undone(opening(there), "cord-and-tray"), **rows(cover="1.8 kg"))
    assert answer.status_code == 422 and "cord-and-tray" in answer.text and there.count() == before


def test_twice_the_same_is_once_and_an_old_page_is_none(there: Visitor) -> None:
    form = opening(there)
    fields = {**rows(cord="0.3 kg"), "answer-gap": "left"}
    there.send(form, **fields)
    after = there.count()
    again = there.send(form, **fields)
    assert there.count() == after and "saved already" in again.text
    stale = there.form(there.open(WHOLE), f"{OVEN}/weigh#weigh")
    stale.values = [("token", "old"), ("weigh-mass", "")]
    answer = there.send(stale, **{"weigh-mass": "7 kg"})
    assert answer.status_code == 409 and 'value="7 kg"' in answer.text and there.count() == after


def test_a_find_that_was_closed_meanwhile_keeps_what_was_typed(there: Visitor) -> None:
    form = opening(there)
    there.fill(WHOLE, f"{OVEN}/discard#discard")
    before = there.count()
    answer = there.send(form, **rows(cord="0.345 kg"))
    assert answer.status_code in (409, 422) and "0.345 kg" in answer.text and there.count() == before
    assert "Nothing is left of" in answer.text


def test_one_of_several_alike(there: Visitor) -> None:
    path = "/bench/fan-1"
    form = opening(there, path)
    piece = next(name for name, _ in form.values if name.startswith("open-mass."))
    for typed in ("0", "3", "a few", HOSTILE):
        answer = there.send(form, **{piece: "0.4 kg", "open-count": typed})
        assert answer.status_code == 422, typed
    done = there.send(opening(there, path), **{piece: "0.4 kg", "open-count": "1", "open-minutes": "5"})
    assert done.status_code == 200, done.text[:500]
    assert not standing.find(there.book, "fan-1").closed


# --- parts, giving up ---


def test_a_part_is_sold(there: Visitor) -> None:
    page = there.open(f"{WHOLE}?part=tray")
    form = there.form(page, f"{OVEN}/sell#sell")
    assert dict(form.values)["sell-what"] == "tray"
    short = there.send(form, **{"sell-price": "12.50"})
    assert short.status_code == 409 and 'id="sell-mass-wrong"' in short.text and 'value="12.50"' in short.text
    sold = there.send(
        there.form(short.text, f"{OVEN}/sell#sell"), **{"sell-price": "12.50", "sell-mass": "0.9", "sell-minutes": "15"}
    )
    assert sold.status_code == 200 and "CA$12.50" in sold.text


@pytest.mark.parametrize("field", ["price", "count", "fee", "postage", "mass", "minutes", "on"])
def test_a_sale_with_something_wrong_is_no_sale(there: Visitor, field: str) -> None:
    before = there.count()
    typed = {"sell-what": "tray", "sell-price": "12.50", "sell-mass": "0.9", f"sell-{field}": HOSTILE}
    answer = there.fill(WHOLE, f"{OVEN}/sell#sell", **typed)
    assert answer.status_code == 422 and f'id="sell-{field}-wrong"' in answer.text, field
    assert "<script>alert" not in answer.text and there.count() == before


def test_given_up(there: Visitor) -> None:
    answer = there.fill(WHOLE, f"{OVEN}/discard#discard")
    assert answer.status_code == 200 and standing.find(there.book, "microwave-1").closed


def test_what_is_not_there(there: Visitor) -> None:
    there.open("/bench/nothing-7", 404)
    there.open("/bench/" + "x" * 3000, 404)
    form = opening(there)
    for action in ("open", "balance", "test", "weigh", "sell", "discard"):
        form.action = f"/bench/nothing-7/{action}"
        assert there.send(form).status_code == 404, action


def test_ten_megabytes_are_turned_away(there: Visitor) -> None:
    before = there.count()
    answer = there.send(opening(there), **rows(cord="9" * 10_000_000))
    assert answer.status_code in (413, 422) and there.count() == before


def test_the_demo_has_no_page_that_fails(tmp_path: Path) -> None:
    with visitor(tmp_path, demo=True) as there:
        page = there.open("/bench")
        links = set(re.findall(r'href="(/bench/[^"?#]+)"', page))
        assert len(links) > 5
        for link in links:
            there.open(link)
            assert there.open(f"{link}/whole").count("<form") >= 4


def test_done_otherwise_than_advised_in_any_order(there: Visitor) -> None:
    """Strip the chassis instead of taking the transformer only: its pieces, and the operations in working order."""
    form = undone(opening(there), "transformer-out", "transformer.saw", "transformer.unstack")
    masses = rows(cord="0.3 kg", tray="0.9 kg", cover="1.8 kg", capacitor="150 g", magnetron="0.75 kg", board="0.25 kg")
    into = {"open-into.magnetron": "light-iron", "open-into.board": "board-low"}
    done = there.send(form, **masses, **into, **{"open-done.strip": "y", "answer-gap": "left"})
    assert done.status_code == 200, re.findall(r'class="(?:wrong|error)".*?</', done.text, re.DOTALL)
    page = there.open(WHOLE)
    assert "partly open" in page and "Steel cavity and base" in page and "Electric" not in page[: page.index("Careful")]


def test_what_decides_stands_on_the_first_screen(there: Visitor) -> None:
    note = shipped().anatomy("microwave").note
    page = html.unescape(there.open("/bench/microwave-1"))
    assert page.index("Careful") < page.index(note) < page.index("Start")


@pytest.mark.parametrize(
    ("typed", "hours"),
    [("3", 3.0), ("2.5", 2.5), ("2,5", 2.5), ("2 h 30", 2.5), ("1:30", 1.5), ("45 min", 0.75), ("", None)],
)
def test_hours_as_they_are_typed(typed: str, hours: float | None) -> None:
    assert hours_given(typed) == hours


def test_operations_ticked_off_are_put_in_working_order(there: Visitor) -> None:
    now = standing.find(there.book, "microwave-1")
    ticked = ["transformer.copper.saw", "strip", "discharge", "cord-and-tray"]
    expected = ["cord-and-tray", "discharge", "strip", "transformer.copper.saw"]
    assert in_working_order(there.book, now, ticked) == expected
    assert in_working_order(there.book, now, ["strip", "cord-and-tray"]) == ["cord-and-tray", "strip"]


def test_what_is_best_left_shut_goes_into_its_bin_whole(there: Visitor) -> None:
    """Three adapters that nobody opens at these prices: all of them, with one mass."""
    finds.find(there.book, there.context(), "adapter", count=3, works="no")
    quote(there.book, there.context(), "harbour", "adapter-linear", "2.00 /kg")
    page = there.open("/bench/adapter-1/whole")
    assert "Put it into its bin" in page and "Leave it shut" in page
    done = there.send(opening(there, "/bench/adapter-1"), **rows(whole="0.9 kg"))
    assert done.status_code == 200 and standing.find(there.book, "adapter-1").closed
    assert there.book.balances("bin:adapter-linear")["bin:adapter-linear", "adapter-linear"] == 900_000
    assert "3 × plug-in adapter, heavy (linear), 0.9 kg" in done.text
