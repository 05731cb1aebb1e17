"""Lists that end lose nothing: each price, grade and bin is a link or a fold away; a search finds what is meant."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from html import unescape
from html.parser import HTMLParser

import pytest
from app_client import Visitor, visitor
from quoted_everywhere import BUYERS, fill, price_list

from partway.actions.bins import bins
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.home.settings import set_
from partway.actions.recording.context import record
from partway.catalogue import shipped
from partway.ledger import trading
from partway.ledger.events.kinds import Quoted
from partway.ledger.fold import standing
from partway.pricelist.names import spoken
from partway.reports.bins.all import report_bins
from partway.reports.bins.families import families_of
from partway.reports.buyers.search import find_grades

GRADES = shipped().grades
Price = tuple[str, str]  # name of the buyer, grade


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("full")) as there:
        fill(there.book, there.context())
        yield there


@pytest.fixture(scope="module")
def months(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("months"), demo=True) as there:
        yield there


@pytest.fixture
def bare(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("bare")) as there:
        set_(there.book, there.context(), "currency", "CAD")
        set_(there.book, there.context(), "unit", "lb")
        yield there


def links(page: str, start: str) -> list[str]:
    return [unescape(link) for link in re.findall(r'href="([^"]+)"', page) if unescape(link).startswith(start)]


def sheet_of(page: str) -> dict[Price, str]:
    """Each cell of a sheet by buyer and grade, in words."""
    found = {}
    for row in page.split("<tr ")[1:]:
        grade = re.search(r'href="/prices/([^"?]+)"', row)
        for name, text in re.findall(r'data-buyer="([^"]+)"><div>(.*?)</div></td>', row, re.DOTALL) if grade else ():
            found[unescape(name), grade[1]] = " ".join(re.sub(r"<[^>]+>", " ", text).split())  # type: ignore[index]
    return found


def quoted(v: Visitor) -> set[Price]:
    """What the ledger has a price of, refusals left out: these outrank a price."""
    names = {terms.buyer: terms.name for terms in trading.buyers(v.book).values()}
    turned = {
        (terms.name, grade.id)
        for terms in trading.buyers(v.book).values()
        for grade in GRADES.values()
        if set(terms.refuses) & {grade.id, grade.family, *grade.hazards}
    }
    return {(names[said.buyer], said.grade) for said in trading.quotes(v.book) if said.price is not None} - turned


# --- prices ---


@pytest.mark.parametrize("which", ["months", "full"])
def test_every_quoted_price_is_a_link_away_from_the_buyers(which: str, request: pytest.FixtureRequest) -> None:
    v: Visitor = request.getfixturevalue(which)
    page = v.open("/buyers")
    families = links(page, "/buyers?family=")
    assert families and links(page, "/prices")
    by_family = {key: text for family in families for key, text in sheet_of(v.open(family)).items()}
    whole = sheet_of(v.open("/prices"))
    prices = {key for key, text in by_family.items() if re.match(r"-?[0-9]", text)}
    assert prices == {key for key, text in whole.items() if re.match(r"-?[0-9]", text)} == quoted(v)


def test_each_price_is_the_one_that_was_said(full: Visitor) -> None:
    whole = sheet_of(full.open("/prices"))
    assert len(whole) == len(BUYERS) * len(GRADES)
    for at, name in enumerate(BUYERS):
        page = full.open(f"/buyers/{name.replace(' ', '-')}")
        for grade, price in price_list(at).items():
            assert whole[name, grade].split()[0] == f"{price:.2f}", (name, grade)
            assert f"<b>{price:.2f}</b>" in page, (name, grade)


@pytest.mark.parametrize("which", ["months", "full", "bare"])
def test_no_grade_is_lost_among_the_families(which: str, request: pytest.FixtureRequest) -> None:
    v: Visitor = request.getfixturevalue(which)
    if which == "bare":
        buyer(v.book, v.context(), "ridge", Terms(kind="yard", km="9"))
    families = links(v.open("/buyers"), "/buyers?family=")
    shown = Counter(grade for family in families for grade in dict.fromkeys(links(v.open(family), "/prices/")))
    assert shown == Counter(f"/prices/{grade}" for grade in GRADES)


def test_what_is_quoted_stands_before_what_is_not(months: Visitor) -> None:
    for family in links(months.open("/buyers"), "/buyers?family="):
        rows: dict[str, bool] = {}
        for (_, grade), text in sheet_of(months.open(family)).items():
            rows[grade] = rows.get(grade, False) or text[:1].isdigit() or text.startswith("-")
        assert list(rows.values()) == sorted(rows.values(), reverse=True), family


def test_a_grade_of_no_catalogue_keeps_its_price(bare: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    """An older ledger may quote what the catalogue no longer has."""
    buyer(bare.book, bare.context(), "ridge", Terms(kind="yard", name="ridge yard", km="9"))
    day = bare.app.state.partway.setup.clock().date()
    record(bare.book, bare.context(), [Quoted("ridge", "whalebone", Decimal("1.50"), "lb", day)], None)
    (other,) = links(bare.open("/buyers"), "/prices#")
    assert sheet_of(bare.open(other.partition("#")[0]))["ridge yard", "whalebone"].startswith("1.50")
    assert 'href="/prices/whalebone"' in bare.open("/buyers?q=whaleb")


# --- search ---


@pytest.mark.parametrize("grade", GRADES)
def test_a_grade_is_found_by_every_name_it_has(grade: str) -> None:
    names = [GRADES[grade].name, grade, *(" ".join(said) for said, meant in spoken() if grade in meant)]
    assert [name for name in names if grade not in find_grades(name)] == []
    assert find_grades(GRADES[grade].name)[0] == grade


def test_a_part_of_a_name_a_slip_and_another_word_for_it_find_it(full: Visitor) -> None:
    for typed, grade in {
        "eatsink": "al-heatsink", "bare br": "copper-bare-bright", "coper": "copper-1", "mobo": "board-pc",
        "no 2": "copper-2", "NICKEL-CAD": "nicd", "ss 304": "stainless-304",
    }.items():  # fmt: skip
        page = full.open(f"/buyers?q={typed}")
        assert f'href="/prices/{grade}"' in page, typed
        part = full.open(f"/buyers?part=found&q={typed}")
        assert sheet_of(part) == sheet_of(page) != {}, typed
        assert "<main" not in part


def test_the_others_that_are_meant_are_named_and_counted(full: Visitor) -> None:
    page, meant = full.open("/buyers?q=board"), find_grades("board")
    named = [grade for grade in meant if f'href="/prices/{grade}"' in page]
    more = re.search(r"and (\d+) more: type more of the name", page)
    assert len(named) + int(more[1] if more else 0) == len(meant) > 10


def test_nothing_found_says_so_and_what_was_typed_is_text(full: Visitor) -> None:
    page = full.open("/buyers?q=%3Cb%3Ezzqxj")
    assert "No grade is called" in page and "&lt;b&gt;zzqxj" in page and "<b>zzqxj" not in page
    assert links(page, "/buyers?family="), "the families are still there"
    assert "No grade is called" not in full.open("/buyers?q=%20") and "No grade" not in full.open("/buyers")


# --- buyers ---


def test_a_buyer_is_called_by_its_number_and_only_where_it_has_one(bare: Visitor) -> None:
    buyer(bare.book, bare.context(), "ridge", Terms(kind="yard", km="9", phone="+1 (555) 0142 ext 7"))
    buyer(bare.book, bare.context(), "harbour", Terms(kind="yard", km="9"))
    assert links(bare.open("/buyers"), "tel:") == ["tel:+15550142;ext=7"] == links(bare.open("/buyers/ridge"), "tel:")
    assert links(bare.open("/buyers/harbour"), "tel:") == []
    typed = bare.fill("/buyers/harbour", "/buyers/harbour/terms", **{"terms-phone": "555-0100"})
    assert links(typed.text, "tel:") == ["tel:5550100"]
    before = bare.count()
    bad = bare.fill("/buyers/harbour", "/buyers/harbour/terms", **{"terms-phone": "the blue one"})
    assert bad.status_code == 422 and 'id="terms-phone-wrong"' in bad.text and 'value="the blue one"' in bad.text
    sent = {"buyer": "harbour", "phone": "the blue one"}
    refused = bare.client.post("/api/buyer", json=sent)
    assert refused.status_code == 422 and "telephone number" in refused.text and bare.count() == before
    assert bare.client.post("/api/buyer", json=sent | {"phone": "555-0101"}).status_code == 200
    assert bare.client.get("/api/buyers/harbour/sheet").json()["phone"] == "555-0101"


def test_what_to_ask_leads_to_a_price_with_its_grade_filled_in(months: Visitor) -> None:
    page = months.open("/buyers")
    assert page.count("Ask: ") >= 3
    asked = links(months.open("/buyers/ridge-yard"), "/buyers/ridge-yard?grade=")
    assert asked
    grade = asked[0].partition("grade=")[2].partition("#")[0]
    assert f'value="{grade}"' in months.open(asked[0]).partition("<datalist")[0]
    assert grade in {now.grade for now in standing.bins(months.book).values() if now.mg > 0}


def test_of_many_buyers_the_others_are_folded(bare: Visitor) -> None:
    for n in range(12):
        buyer(bare.book, bare.context(), f"yard-{n}", Terms(kind="yard", km="9"))
    page = bare.open("/buyers")
    assert "4 more buyers" in page
    assert len({link for link in links(page, "/buyers/yard-") if not link.endswith("/list")}) == 12


def test_a_list_that_is_typed_is_a_draft_until_it_is_saved(bare: Visitor) -> None:
    buyer(bare.book, bare.context(), "harbour", Terms(kind="yard", km="9"))
    assert 'data-draft="list:harbour"' in bare.open("/buyers/harbour/list")
    looked = bare.fill("/buyers/harbour/list", "/buyers/harbour/list", text="no 2 copper 4.10", step="look")
    assert looked.text.count('data-draft="list:harbour"') == 1
    assert ("draft", "list:harbour") in bare.form(looked.text, "/buyers/harbour/list").values


# --- bins ---


class Folds(HTMLParser):
    """Links of lines, and whether each stands in something folded away."""

    def __init__(self) -> None:
        super().__init__()
        self.closed, self.lines = 0, list[tuple[str, bool]]()
        self._open: list[bool] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "details":
            self._open.append("open" in given)
        if tag == "a" and "line" in (given.get("class") or "").split():
            self.lines.append((given["href"] or "", not all(self._open)))

    def handle_endtag(self, tag: str) -> None:
        if tag == "details":
            self._open.pop()


def lines_of(page: str) -> list[tuple[str, bool]]:
    reader = Folds()
    reader.feed(page)
    return reader.lines


@pytest.mark.parametrize("which", ["months", "full"])
def test_every_bin_is_there_once_and_few_are_in_sight(which: str, request: pytest.FixtureRequest) -> None:
    v: Visitor = request.getfixturevalue(which)
    lines = lines_of(v.open("/bins"))
    assert Counter(line for line, _ in lines) == Counter(f"/bins/{name}" for name in standing.bins(v.book))
    assert 0 < sum(not folded for _, folded in lines) <= 3


def test_a_bin_that_is_full_is_in_sight(bare: Visitor) -> None:
    buyer(bare.book, bare.context(), "ridge", Terms(kind="yard", km="9"))
    for grade, mass in {"copper-2": "40 lb", "copper-1": "30 lb", "glass": "30 lb", "motors": "1 lb"}.items():
        bins.add_bin(bare.book, bare.context(), grade, capacity="8 L" if grade == "glass" else None, holds=mass)
    for grade in ("copper-2", "copper-1", "motors"):
        quote(bare.book, bare.context(), "ridge", grade, "4 /lb")
    page = bare.open("/bins")
    in_sight = [line for line, folded in lines_of(page) if not folded]
    assert in_sight == ["/bins/copper-2", "/bins/copper-1", "/bins/glass"], "worth most, and the full one"
    assert ">over</b>" in page or "nearly full" in page


def test_the_sums_of_the_families_are_those_of_the_bins(full: Visitor) -> None:
    known = report_bins(full.book, full.app.state.partway.setup.clock())
    families = families_of(known)
    assert sum(one.value for one in families) == pytest.approx(known.value)
    assert sum(one.mass_kg for one in families) == pytest.approx(known.mass_kg)
    assert [one.value for one in families] == sorted((one.value for one in families), reverse=True)


# --- labels ---


def test_labels_are_two_taps_from_home_and_all_are_printed(months: Visitor) -> None:
    assert "/bins" in links(months.open("/"), "/bins") and "/bins/labels" in links(months.open("/bins"), "/bins/labels")
    page, known = months.open("/bins/labels"), set(standing.bins(months.book))
    assert set(re.findall(r'name="bin" value="([^"]+)"', page)) == known
    assert len(re.findall(r'<li class="label">', page)) == len(known)
    assert f"All {len(known)} labels" in page
    some = months.open("/bins/labels?bin=copper-2&bin=nicd")
    assert len(re.findall(r'<li class="label">', some)) == 2 and len(re.findall(r" checked>", some)) == 2
    assert links(months.open("/bins/copper-2"), "/bins/labels") == ["/bins/labels?bin=copper-2"]


def test_what_is_read_otherwise_by_now_is_shown_again_and_not_saved(bare: Visitor) -> None:
    """Looked at per pound; on another phone the unit became kg; saving as shown would have kept 4.10 a kilogram."""
    buyer(bare.book, bare.context(), "harbour", Terms(kind="yard", km="9"))
    looked = bare.fill("/buyers/harbour/list", "/buyers/harbour/list", text="no 2 copper 4.10", step="look")
    set_(bare.book, bare.context(), "unit", "kg")
    again = bare.send(bare.form(looked.text, "/buyers/harbour/list"), step="save")
    assert again.status_code == 422
    assert "is read otherwise than when you looked at it" in again.text and "4.10 /kg" in again.text
    assert not trading.quotes(bare.book, "harbour")
    bare.send(bare.form(again.text, "/buyers/harbour/list"), step="save")
    assert [(one.price, one.unit) for one in trading.quotes(bare.book, "harbour")] == [(Decimal("4.10"), "kg")]
