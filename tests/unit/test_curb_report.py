"""The verdict at the curb: sums by hand, an independent recursion (tests/graphs.py), and what outranks money."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from bench_day import DAY
from graphs import KIND, Worths
from graphs import scenario as graph

from partway.actions.bench.depths import depth
from partway.actions.curb.curb import curb, ranking
from partway.catalogue import shipped
from partway.catalogue.shipped import DATA
from partway.errors import Refused
from partway.reports.curb.curb import Curb
from partway.reports.names import ScenarioNames
from partway.storage.scenario.scenario import read_scenario
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Scenario, Works
from partway.valuing.finds.curb import HANDLING, HEAVY_HANDLING, World
from partway.valuing.finds.facts import CENT
from partway.valuing.finds.hand import Holding
from partway.valuing.finds.hands import HoldingValues

exact = Estimate.exact
TOWN = read_scenario(DATA.parent / "demo" / "harbour-week.toml")
RANKED = sorted(anatomy.kind for anatomy in shipped().all_anatomies() if not anatomy.became)  # others take no find
IRON = Grade("iron", "Iron", "ferrous", exact(0.4))
COPPER = Grade("copper-2", "No. 2 copper", "copper", exact(1.2))


def one(anatomy: Anatomy, wage: float = 12.0, **prices: float) -> Scenario:
    quotes = tuple(Quote(g.replace("_", "-"), exact(p), DAY) for g, p in prices.items())
    return Scenario(
        name="curb",
        currency="EUR",
        on=DAY,
        hours=Hours(6.0, 5.0, wage),
        vehicle=None,
        buyers=(Buyer("yard", "yard", "the yard", km=5.0, quotes=quotes),) if quotes else (),
        finds=(),
        stock={},
        grades={g.id: g for g in (IRON, COPPER)},
        anatomies={anatomy.kind: anatomy},
    )


def box(*parts: Part, works: float | None = None) -> Anatomy:
    """12 kg of iron around 2 kg of copper that comes out in 6 minutes."""
    pieces = (
        Piece("whole", "Box", exact(12.0), (SaleAs("iron"),), parts),
        Piece("winding", "Winding", exact(2.0), (SaleAs("copper-2"),)),
        Piece("case", "Case", exact(10.0), (SaleAs("iron"),)),
    )
    out = Operation("out", "take the winding out", "whole", exact(6.0), (Gives("winding"), Gives("case")), ("pliers",))
    return Anatomy("box", "Box", pieces, (out,), works=works, test_minutes=exact(3.0) if works else None)


def sure(report: Curb) -> World:
    assert report.shown is not None
    return report.shown


def test_sums_by_hand() -> None:
    """2 kg at 6 and 10 kg at 0.20 are 14; 6 minutes at the bench and 4 to load and unload are 10, at 12 an hour 2."""
    report = curb(one(box(), iron=0.2, copper_2=6.0), "box", "no")
    shown = sure(report)
    assert report.verdict == "take"
    assert (shown.money.low, shown.money.expected, shown.money.high) == pytest.approx((14.0, 14.0, 14.0))
    assert (shown.bench_minutes, shown.minutes) == (6.0, 6.0 + HANDLING)
    assert shown.per_hour == pytest.approx(14.0 / 10.0 * 60.0)
    assert shown.net == pytest.approx(14.0 - 2.0)
    assert (report.size.kg, report.size.litres) == pytest.approx((12.0, 12.0 / 0.4))
    assert (report.per_kg, report.per_litre) == pytest.approx((14.0 / 12.0, 14.0 / 30.0))
    way = report.way_if_not
    assert way is not None and not way.whole
    assert way.opens == ("take the winding out",) and way.tools == ("pliers",)
    ends = [(end.name, end.to, end.buyer) for end in way.ends]
    assert ends == [("Winding", "No. 2 copper", "the yard"), ("Case", "Iron", "the yard")]
    assert [end.value for end in way.ends] == pytest.approx([12.0, 2.0])


def test_the_price_it_hangs_on() -> None:
    """12 kg of iron, sold whole, pay for four minutes at 12 an hour, which is 0.80, down to a price of 0.8 / 12."""
    plain = replace(box(), operations=())
    dear, cheap = curb(one(plain, iron=0.1), "box"), curb(one(plain, iron=0.06), "box")
    assert (dear.verdict, cheap.verdict) == ("take", "leave")
    for report, becomes in ((dear, "leave"), (cheap, "take")):
        (hinge,) = report.hinges
        assert (hinge.what, hinge.grade, hinge.becomes) == ("price", "iron", becomes)
        assert hinge.flip == pytest.approx(0.8 / 12.0, rel=1e-6)


def test_hours_count_as_free_without_a_wage_and_that_is_said() -> None:
    report = curb(one(box(), wage=0.0, iron=0.001), "box")
    assert report.hours_free and report.verdict == "take"
    assert not curb(one(box(), iron=0.001), "box").hours_free


BOTH: tuple[Works, ...] = ("yes", "no")
SALE = Part(price=exact(40.0), chance=0.5, minutes=exact(10.0), needs="works")


def test_only_if_it_works() -> None:
    """Working, half of them sell for 40, the others stay and nothing is kept for them: 20 on average, 0 to 40."""
    scenario = replace(one(box(SALE), iron=0.01, copper_2=0.1), keep_factor=0.0)
    report = curb(scenario, "box")
    assert report.verdict == "if-works"
    assert (sure(report).money.low, sure(report).money.high) == (0.0, 40.0)
    assert sure(report).money.expected == pytest.approx(20.0)
    assert [h.what for h in report.hinges][:2] == ["works", "sale"]
    assert report.hinges[0].becomes == "take" and report.hinges[1].chance == 0.5
    assert curb(scenario, "box", "yes").verdict == "take"
    assert curb(scenario, "box", "no").verdict == "leave"


def test_an_unknown_find_is_tested_first_where_that_earns_more() -> None:
    """Less the carrying, what the depth report says that it is worth with the test run."""
    scenario = one(box(SALE, works=0.4), iron=0.2, copper_2=6.0)
    report, deep = curb(scenario, "box"), depth(scenario, "box", "unknown")
    assert deep.test_first is not None and deep.test_first.worth_it
    assert sure(report).works == "tested"
    carrying = HANDLING / 60.0 * 12.0
    assert sure(report).net + carrying == pytest.approx(deep.value)
    known = curb(scenario, "box", "no")
    assert sure(known).works == "no" and sure(known).money.expected < sure(report).money.expected


def test_unquoted_is_unknown_and_not_nothing() -> None:
    report = curb(one(box()), "box")
    assert report.verdict == "unknown" and report.shown is None and report.per_kg is None
    assert report.unquoted == ("Iron", "No. 2 copper")
    partly = curb(one(box(), iron=0.2), "box")
    assert partly.verdict == "take" and partly.unquoted == ("No. 2 copper",)


def test_a_kind_nobody_knows() -> None:
    with pytest.raises(Refused, match="kind: got"):
        curb(one(box()), "bocks")


@pytest.mark.parametrize("works", BOTH)
def test_where_it_ends_adds_up_to_the_money(works: Works) -> None:
    for kind in shipped().kinds:
        report = curb(TOWN, kind, works)
        way = report.way_if_works if works == "yes" else report.way_if_not
        if way is not None:
            costs = sum(op.cost for op in shipped().anatomy(kind).operations if op.name in way.opens)
            assert sum(end.value for end in way.ends) - costs == pytest.approx(sure(report).money.expected, abs=1e-6)


@pytest.mark.parametrize("first", range(0, 120, 40))
def test_worth_is_that_of_the_recursion_less_the_handling(first: int) -> None:
    for seed in range(first, first + 40):
        it = graph(seed)
        for works in BOTH:
            plain = Worths(replace(it, finds=(replace(it.finds[0], mass_kg=None, works=works),)), it.hours.wage)
            report = curb(it, KIND, works)
            net = plain.best() - HANDLING / 60.0 * it.hours.wage
            if report.shown is not None:
                assert report.shown.net == pytest.approx(net, abs=1e-9)
                gross = report.shown.net + report.shown.minutes / 60.0 * it.hours.wage
                assert report.shown.money.expected == pytest.approx(gross, abs=1e-9)
                assert (report.verdict == "take") is (net > CENT)


# --- the shipped kinds ---------------------------------------------------------------------------


SHUT = ("car-battery", "dehumidifier", "fridge", "smoke-detector", "tube-tv", "window-ac")


def test_what_stays_shut_goes_whole_to_the_depot_and_says_first_what_hurts() -> None:
    for kind, first in (("fridge", "refrigerant"), ("tube-tv", "picture-tube"), ("smoke-detector", "smoke-alarm")):
        report = curb(TOWN, kind)
        assert report.verdict == "depot" and report.shut
        assert report.cautions[0].id == first and report.cautions[0].first
    assert curb(TOWN, "fridge").place == "town depot"


@pytest.mark.parametrize("kind", SHUT)
def test_a_hard_stop_outranks_hope_and_a_missing_quote(kind: str) -> None:
    """Condition unknown or no quote at all: never "only if it works", never "leave", never merely "unknown"."""
    assert curb(TOWN, kind).verdict in ("depot", "take")
    bare = replace(TOWN, buyers=())
    assert curb(bare, kind).verdict == "depot" and curb(bare, kind).place == ""


def test_heavy_things_take_longer_to_load() -> None:
    assert curb(TOWN, "washer-top").handling_minutes == HEAVY_HANDLING
    assert curb(TOWN, "toaster").handling_minutes == HANDLING


def test_the_ranking_agrees_with_each_kind_alone() -> None:
    report = ranking(TOWN)
    for line in report.lines:
        alone = curb(TOWN, line.kind)
        assert alone.verdict == line.verdict
        assert sure(alone).money.expected == pytest.approx(line.money.expected)
        assert sure(alone).per_hour == pytest.approx(line.per_hour)
        assert (alone.size.kg, alone.size.litres) == (line.kg, line.litres)
        assert line.caution == (alone.cautions[0].name if alone.cautions else "")
    kinds = [line.kind for line in report.lines]
    others = [kind for kind, _ in (*report.depot, *report.unknown, *report.left)]
    assert sorted(kinds + others) == RANKED
    assert set(report.depot) >= {("fridge", "Fridge"), ("tube-tv", "Picture-tube television")}


def test_the_ranking_is_in_order() -> None:
    report = ranking(TOWN)
    hours = np.array([line.per_hour for line in report.lines])
    space = np.array([line.per_litre for line in report.by_space], dtype=float)
    assert len(hours) > 20 and (np.diff(hours) <= 0).all() and (np.diff(space) <= 0).all()
    assert {line.kind for line in report.by_space} == {line.kind for line in report.lines}


def test_without_quotes_nothing_is_worth_stopping_for_yet() -> None:
    report = ranking(replace(TOWN, buyers=()))
    assert report.lines == () and report.left == ()
    assert len(report.unknown) + len(report.depot) == len(RANKED)


def test_one_answer_to_testing_first() -> None:
    """The depth of a find, the bench and the curb: the same gain, and the same answer to whether it pays."""
    asked = paying = 0
    for kind in shipped().kinds:
        it = replace(TOWN, anatomies={kind: shipped().anatomy(kind)})
        test = depth(it, kind, "unknown").test_first
        if test is None:
            continue
        asked += 1
        one = Holding(kind, "unknown", None, ((it.anatomies[kind].whole.id, 1),))
        at_bench = HoldingValues.at(it).of([one])[one].test
        assert (at_bench is not None) is test.worth_it, kind
        lifted = curb(it, kind, "unknown")
        if at_bench is not None:
            paying += 1
            assert at_bench.first.gain == pytest.approx(test.gain), kind
            if lifted.verdict == "take" and lifted.shown is not None and lifted.if_not is not None:
                assert lifted.shown.works == "tested"
                assert lifted.shown.net - lifted.if_not.net == pytest.approx(test.gain), kind
        elif lifted.shown is not None:
            assert lifted.shown.works != "tested", kind
    assert asked > paying > 0


def test_a_buyer_without_a_name_is_called_as_in_a_plan() -> None:
    """The curb once said "town-depot" where the plan and its load sheet say "town depot"."""
    unnamed = replace(TOWN, buyers=tuple(replace(buyer, name="") for buyer in TOWN.buyers))
    place = curb(unnamed, "fridge").place
    assert place and place == ScenarioNames(unnamed).buyer(next(b.id for b in TOWN.buyers if b.kind == "drop-off"))
    assert "-" not in place
