"""A newcomer's way through the app: one question a screen, to a first verdict that says what it is estimated from."""

from __future__ import annotations

import re
from decimal import Decimal
from html import unescape
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from ledger_day import Day

from partway.actions.buyers import buyers, quoting
from partway.actions.curb.curb import curb, ranking
from partway.actions.curb.in_sight import in_sight, room_left, sight_lines, things_seen
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.settings import set_
from partway.actions.recording.describe import Say
from partway.errors import Refused
from partway.ledger.fold.standing import settings
from partway.things.scenario import Scenario
from partway.valuing.finds.estimated import ESTIMATE
from partway.web.home.places import my_places, place_of

MOST_TAPS = 12
MARK = "estimated from one price"


class Newcomer:
    """Somebody who taps links and buttons of the page before them, and nothing else; each tap and number counts."""

    def __init__(self, v: Visitor) -> None:
        self.v, self.taps, self.numbers = v, 0, 0
        self.page = v.client.get("/", headers={"accept-language": "en-CA,en;q=0.8"}).text

    def follow(self, text: str) -> None:
        """A link by what it says."""
        links = re.findall(r'<a [^>]*href="([^"]*)"[^>]*>(.*?)</a>', self.page, re.DOTALL)
        found = [href for href, inside in links if text in re.sub(r"<[^>]*>", "", inside)]
        assert found, f"no link that says {text}"
        self.taps += 1
        self.page = self.v.open(unescape(found[0]))

    def send(self, action: str, **values: str) -> None:
        """A form of this page; each value is one number typed, but those that a button sends."""
        self.taps += 1
        self.page = self.v.send(self.v.form(self.page, action), **values).text

    def type(self, action: str, **values: str) -> None:
        self.numbers += len(values)
        self.send(action, **values)


def test_a_newcomer_comes_to_a_verdict_in_few_taps_and_one_number(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        me = Newcomer(v)
        assert "<h1>Where do you scrap?</h1>" in me.page and "Canadian dollars, pounds, kilometres" in me.page
        (chosen,) = re.findall(r'name="place" value="([^"]*)">Yes', me.page)
        me.send("/first/place", place=chosen)
        assert {"currency": "CAD", "unit": "lb", "distance": "km"}.items() <= settings(v.book).items()
        assert "<h1>What stands in front of you?</h1>" in me.page
        me.follow("Microwave")
        assert "<h1>No. 2 copper today?</h1>" in me.page
        me.type("/first/price", copper="4.10")
        assert re.search(r'<p class="verdict is-take">', me.page) and MARK in me.page
        assert me.taps <= MOST_TAPS and me.numbers == 1
        main = me.page[me.page.index("<main") :]
        assert main.index(MARK) < main.index('<p class="brings">')  # said before the money
        me.send("/curb/microwave/taken")
        me.page = v.open("/")
        assert "<h1>Who takes your metal?</h1>" in me.page
        me.follow("A scrap yard")
        assert 'value="yard" checked' in me.page
        me.send("/buyers/new", name="harbour", km="9")
        me.page = v.open("/")
        assert "<h1>What does harbour pay?</h1>" in me.page
        me.follow("Type its price list")
        assert not v.book.facts("quote:")  # no price was put into any buyer's mouth


def test_each_first_question_of_home_has_the_box_below_its_first_act(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        me = Newcomer(v)
        assert me.page.index('class="big') < me.page.index('<form class="say"')
        (chosen,) = re.findall(r'name="place" value="([^"]*)">Yes', me.page)
        me.send("/first/place", place=chosen)
        assert me.page.index('class="button big') < me.page.index('<form class="say"')
        me.send("/say", said="found two fans, one works")
        assert "This would be recorded" in me.page
        me.send("/say", step="save")
        assert [getattr(event.what, "kind", "") for event in v.book.events(["found"])] == ["fan", "fan"]


def test_what_is_typed_before_a_kind_is_asked_about_or_leads_on(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        v.fill("/settings", "/settings", currency="CAD", unit="kg")
        assert "/first/price?kind=microwave" in v.open("/first/thing?q=micro")
        answer = v.client.get("/first/thing?q=microwave")
        assert answer.url.path == "/first/price" and "for one kg" in answer.text
        assert "No kind goes by" in v.open("/first/thing?q=zzzz")
        v.open("/first/price?kind=nothing-such", 404)


@pytest.mark.parametrize("typed", ["", "lots", "-1", "0", "4.10 /ton", "USD 4 /lb"])
def test_a_price_that_is_none_is_refused_and_nothing_is_written(tmp_path: Path, typed: str) -> None:
    with visitor(tmp_path) as v:
        v.fill("/settings", "/settings", currency="CAD", unit="lb")
        before = v.count()
        answer = v.fill("/first/price?kind=fan", "/first/price", copper=typed)
        assert answer.status_code == 422 and 'class="error"' in answer.text and v.count() == before


def test_a_place_that_nobody_offered_is_refused(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        for typed in ("", "en_CA|CAD", "en_CA|CAD|lb", "en_CA|XXX|lb|km", "en_CA|CAD|ton|km", "en_CA|CAD|lb|ft"):
            assert v.send(v.form(v.open("/"), "/first/place"), place=typed).status_code == 422
        assert v.count() == 0


@pytest.mark.parametrize(
    ("header", "currency", "unit", "distance"),
    [  # currencies by ISO 4217 and the country codes of ISO 3166; roads by the example of UTS #35, Part 6
        ("en-US,en;q=0.9", "USD", "lb", "mi"),
        ("fr-CA", "CAD", "lb", "km"),
        ("de-DE,de;q=0.9,en;q=0.8", "EUR", "kg", "km"),
        ("en-GB", "GBP", "kg", "mi"),
        ("zh-Hant-TW", "TWD", "kg", "km"),
    ],
)
def test_the_place_is_what_the_browser_names(header: str, currency: str, unit: str, distance: str) -> None:
    first, other = my_places(header)
    assert (first.currency, first.unit, first.distance, other.distance) == (currency, unit, distance, distance)
    assert (other.currency, {first.unit, other.unit}) == (currency, {"lb", "kg"})


@pytest.mark.parametrize("header", ["", "en", "*", "xx-YY", "en-" + "A" * 500, "<script>"])
def test_a_browser_that_names_no_country_is_given_a_choice(header: str) -> None:
    assert len(my_places(header)) == 3 and place_of("en", "YY") is None


# --- one price ------------------------------------------------------------------------------------


def newcomer(price: str = "4.10 /lb") -> Day:
    day = Day()
    day.do(set_, "copper", price)
    return day


def scenario(day: Day) -> Scenario:
    return scenario_from_book(day.book, day.now.date(), counting=False)


def test_nothing_is_estimated_without_a_price() -> None:
    it = curb(scenario(Day()), "microwave")
    assert (it.verdict, it.estimated, it.copper) == ("unknown", (), None)
    assert not any(line.estimated for line in ranking(scenario(Day())).lines)


def test_a_verdict_of_one_price_says_so_everywhere() -> None:
    day = newcomer()
    it = curb(scenario(day), "microwave")
    assert it.verdict == "take" and "No. 2 copper" in it.estimated
    assert it.copper == pytest.approx(4.10 / 0.45359237)  # the pound, exactly (1959)
    lines = ranking(scenario(day)).lines
    assert lines and all(line.estimated for line in lines)
    seen = in_sight(scenario(day), things_seen(scenario(day), "microwave, fan"), room_left(day.book, "", "", ""))
    assert seen.lift and all(line.estimated for line in seen.lift)
    assert all(MARK in text for text in list(sight_lines(seen, Say.of(day.book)))[: len(seen.lift)])


def test_where_somebody_quotes_the_quote_counts_and_the_mark_goes() -> None:
    day = newcomer()
    day.do(buyers.buyer, "harbour", buyers.Terms(kind="yard", km="14", minutes="20"))
    known = scenario(day).grades
    day.do(quoting.quotes, "harbour", [quoting.QuoteGiven("copper-2", "1.00 /lb")])
    it = curb(scenario(day), "copper-pipe")
    assert known["copper-2"].name not in it.estimated
    alone = Day()
    alone.do(buyers.buyer, "harbour", buyers.Terms(kind="yard", km="14", minutes="20"))
    every = [quoting.QuoteGiven(grade, "1.00 /lb") for grade in known]
    for each in (alone, day):
        each.do(quoting.quotes, "harbour", every)
    assert curb(scenario(day), "microwave").estimated == ()
    assert curb(scenario(day), "microwave").shown == curb(scenario(alone), "microwave").shown


def test_the_price_taken_back_estimates_nothing() -> None:
    day = newcomer()
    day.do(set_, "copper", "none")
    assert scenario(day).copper is None and curb(scenario(day), "fan").verdict == "unknown"
    with pytest.raises(Refused, match="above 0"):
        day.do(set_, "copper", "-2 /lb")


def test_no_plan_and_no_buyer_knows_of_the_estimate() -> None:
    day = newcomer()
    assert ESTIMATE not in {buyer.id for buyer in scenario(day).buyers}
    it = curb(scenario(day), "absorption-fridge")
    assert it.place == ""  # nobody is said to take it whole


def test_estimates_leave_out_what_can_hurt() -> None:
    day = newcomer()
    from partway.valuing.finds.estimated import with_estimates

    made = with_estimates(scenario(day)).buyers[-1]
    grades = scenario(day).grades
    assert made.id == ESTIMATE and not any(grades[quote.grade].hazards for quote in made.quotes)
    copper = next(quote for quote in made.quotes if quote.grade == "copper-2")
    assert copper.price.mean == pytest.approx(float(Decimal("4.10") / Decimal("0.45359237")))
