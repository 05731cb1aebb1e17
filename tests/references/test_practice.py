"""Facts of the trade as acceptance scenarios: common practice, no source (reference list, check 6).

Each is a small scenario in an invented harbour town, over the catalogue we ship. Prices are invented too,
most of them the catalogue's likely ratios times a price of No. 2 copper. Every scenario also has a twin in
which the fact should not hold, so that the test can fail.
"""

from __future__ import annotations

import random
import re
from collections.abc import Mapping
from dataclasses import replace

import pytest
from town import COPPER, GRADES, binned, finds, opened, planned, ratio, sold, town, usual, yard

from partway.catalogue import shipped
from partway.errors import Refused
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.reports.haul.plan import Plan
from partway.things.scenario import Scenario

# --- small motors stay shut ------------------------------------------------------------------------

LOOSE_MOTOR = """
[[anatomy]]
kind = "loose-motor"
name = "Small motor, loose"
  [[anatomy.piece]]
  id = "motor"
  like = "motor-small"
  mass_kg = [0.6, 0.9, 1.3]
"""
MOTOR_GRADES = ("copper-2", "copper-dirty", "motors", "light-iron")


def motors(wage: float, prices: Mapping[str, float]) -> Plan:
    """Twelve loose small motors at one yard."""
    return planned(town(yard("harbour-yard", prices) + LOOSE_MOTOR + finds("loose-motor", count=12), wage))


@pytest.mark.parametrize("wage", [12.0, 16.0, 20.0])
def test_small_motors_are_sold_unopened(wage: float) -> None:
    """Common practice, no source: at ordinary wages and usual prices small motors go shut."""
    report = motors(wage, usual(*MOTOR_GRADES))
    assert opened(report) == {}
    assert sold(report) == {"motors": pytest.approx(12 * (0.6 + 4 * 0.9 + 1.3) / 6)}


@pytest.mark.parametrize("end", ["low", "high"])
def test_small_motors_stay_shut_at_either_end_of_the_usual_ratio(end: str) -> None:
    """Common practice, no source."""
    estimate = GRADES["motors"].ratio
    assert estimate is not None
    prices = usual(*MOTOR_GRADES) | {"motors": COPPER * (estimate.low if end == "low" else estimate.high)}
    assert opened(motors(12.0, prices)) == {}


def test_small_motors_open_for_nothing_an_hour_or_at_a_far_higher_copper_price() -> None:
    """The two ways out of the fact above: by hand, 0.104 kg of copper against 9.5 minutes a motor."""
    prices = usual(*MOTOR_GRADES)
    assert opened(motors(0.0, prices)) == {"motor.unscrew": 12}
    dear = prices | {"copper-2": 8 * COPPER, "copper-dirty": 8 * COPPER * ratio("copper-dirty")}
    assert sum(opened(motors(16.0, dear)).values()) == 12


# --- appliance shells and their papers --------------------------------------------------------------

SHELLS = usual("light-iron") | {"appliance-shell": 1.5 * COPPER * ratio("light-iron")}
RECOVERED = """
[[anatomy]]
kind = "cooler"
name = "Cooler"
cautions = ["refrigerant"]
  [[anatomy.piece]]
  id = "whole"
  mass_kg = 60.0
  sells = [ { grade = "appliance-shell" }, { grade = "light-iron" } ]
  [[anatomy.piece]]
  id = "charge"
  name = "Refrigerant, in the technician's bottle"
  mass_kg = 0.2
  stop = "refrigerant"
"""
TAGGED = """
  [[anatomy.piece]]
  id = "shell"
  name = "Shell with its tag"
  mass_kg = "rest"
  sells = [ { grade = "appliance-shell" }, { grade = "light-iron" } ]
"""
UNTAGGED = TAGGED.replace("Shell with its tag", "Shell, papers lost").replace('{ grade = "appliance-shell" }, ', "")
RECOVERY = """
  [[anatomy.operation]]
  id = "recovery"
  name = "a licensed technician recovers the refrigerant and signs the tag"
  on = "whole"
  minutes = 10
  cost = 4.0
  required = true
  gives = [ { piece = "charge" }, { piece = "shell" } ]
"""


def coolers(anatomy: str) -> Plan:
    """Two coolers at a yard that pays more for tagged shells than for light iron."""
    return planned(town(yard("harbour-yard", SHELLS) + anatomy + finds("cooler", count=2), 3.0))


def test_a_tagged_shell_beats_light_iron() -> None:
    """Common practice, no source: recovery first, then the shell goes by its own grade."""
    report = coolers(RECOVERED + TAGGED + RECOVERY)
    assert opened(report) == {"recovery": 2}
    assert binned(report)["shell"] == {"appliance-shell"}
    assert sold(report) == {"appliance-shell": pytest.approx(2 * 59.8)}


def test_a_shell_without_its_papers_is_light_iron() -> None:
    """Common practice, no source: the same shell, the same yard, the papers lost."""
    report = coolers(RECOVERED + UNTAGGED + RECOVERY)
    assert binned(report)["shell"] == {"light-iron"}
    assert "appliance-shell" not in sold(report)


def test_before_recovery_nothing_of_it_is_sold_by_grade() -> None:
    """The recovery is licensed work: where the anatomy has none, the cooler stays, and says why."""
    sealed = RECOVERED.partition('  [[anatomy.piece]]\n  id = "charge"')[0].replace(
        "mass_kg = 60.0", 'mass_kg = 60.0\n  stop = "refrigerant"'
    )
    report = coolers(sealed)
    assert not report.sales and not report.open
    (kept,) = report.kept
    assert (kept.piece, kept.count, kept.value) == ("whole", 2, 0.0)
    assert GRADES["appliance-refrigerant"].hazards[0] == "refrigerant"
    assert shipped().cautions["refrigerant"].name.lower() in kept.reason


def test_light_iron_never_becomes_an_appliance_shell() -> None:
    """What was graded iron has no papers: nothing in the catalogue may be sold as a shell instead."""
    assert not [g.id for g in GRADES.values() if "appliance-shell" in g.downgrades]


def test_a_file_that_opens_what_stays_shut_is_refused() -> None:
    with pytest.raises(Refused, match="stays shut"):
        coolers(RECOVERED.replace("mass_kg = 60.0", 'mass_kg = 60.0\n  stop = "refrigerant"') + TAGGED + RECOVERY)


COOLED = ("fridge", "window-ac", "dehumidifier")


@pytest.mark.parametrize("kind", COOLED)
def test_the_cooled_kinds_we_ship_never_reach_a_shell_or_a_sealed_unit(kind: str) -> None:
    """Recovery is no operation of ours, so no price brings out what lies behind it."""
    rich = dict.fromkeys(("appliance-shell", "light-iron", "sealed-unit", "copper-2", "coil-al-cu-clean"), 1000.0)
    report = planned(town(yard("harbour-yard", rich) + finds(kind), 0.0))
    anatomy = shipped().anatomy(kind)
    circuit = [p.id for p in anatomy.pieces if p.stop == "refrigerant"]
    assert circuit
    assert not {"appliance-shell", "sealed-unit"} & sold(report).keys()
    for piece in circuit:  # all it may ever be called is what it is, and nobody here takes that
        assert binned(report).get(piece, {"appliance-refrigerant"}) == {"appliance-refrigerant"}
    assert "appliance-refrigerant" not in sold(report)


# --- magnetic fasteners ----------------------------------------------------------------------------

SCREWS = """
[[anatomy]]
kind = "screws"
name = "Box of screws that a magnet picks up"
  [[anatomy.piece]]
  id = "box"
  mass_kg = 6.0
  sells = [ { grade = "light-iron" } ]
"""


def reachable(grade: str) -> set[str]:
    """The grade and all it may be sold as in the end."""
    return {grade}.union(*(reachable(lower) for lower in GRADES[grade].downgrades))


def test_a_magnetic_screw_is_priced_as_iron() -> None:
    """Common practice, no source: whatever stainless fetches, what a magnet picks up goes with iron."""
    prices = usual("light-iron", "stainless-304", "stainless-316", "stainless-400")
    report = planned(town(yard("harbour-yard", prices) + SCREWS + finds("screws"), 15.0))
    assert sold(report) == {"light-iron": pytest.approx(6.0)}
    assert "magnetic screws" in GRADES["light-iron"].qualifies


def test_no_grade_that_a_magnet_holds_is_sold_as_one_that_it_does_not() -> None:
    """Strong to none is a step up in price, not down; residue and mixed grades aside."""
    strong = [g.id for g in GRADES.values() if g.magnet == "strong"]
    assert {GRADES[g].family for g in strong} == {"ferrous", "wound", "boards", "other", "careful"}
    assert [g for g in strong if GRADES[g].family == "careful"] == ["oil-heater-shut"]  # a steel shell, its oil in it
    assert [g for g in strong if GRADES[g].family == "other"] == ["stainless-400"]
    wrong = {g: [low for low in reachable(g) if GRADES[low].magnet == "none"] for g in strong}
    assert {g: lower for g, lower in wrong.items() if set(lower) - {"residue"}} == {}
    assert "magnetic stainless" in GRADES["stainless-304"].spoilers


def test_screws_in_the_kinds_we_ship_go_with_iron() -> None:
    named = [
        (anatomy.kind, piece)
        for anatomy in shipped().all_anatomies()
        for piece in anatomy.pieces
        if re.search(r"\b(screws|bolts|nails)\b", piece.name.lower()) and piece.sells
    ]
    assert len(named) >= 6
    for kind, piece in named:
        best = max((s.grade for s in piece.sells), key=lambda g: ratio(g) if GRADES[g].ratio else 0.0)
        assert GRADES[best].family == "ferrous" and GRADES[best].magnet == "strong", (kind, piece.id)


# --- lithium packs ---------------------------------------------------------------------------------

PACKS = ("li-ion", "li-ion-lfp")
CORDLESS = ("cordless-drill", "laptop", "e-scooter", "robot-cleaner", "phone-tablet")


def cordless(seed: int, refuses: tuple[str, ...]) -> Scenario:
    """A few cordless finds, a yard that quotes packs dearly, and perhaps a depot that takes them."""
    rng = random.Random(seed)
    scrap = {
        g: COPPER * ratio(g) * rng.uniform(0.5, 2.0) for g in ("light-iron", "e-scrap-mixed", "motors", "al-dirty")
    }
    tables = yard("harbour-yard", scrap | {pack: rng.uniform(2.0, 40.0) for pack in PACKS})
    if rng.random() < 0.7:
        price = rng.choice([-0.5, 0.4, 1.5])
        tables += yard("town-depot", dict.fromkeys(PACKS, price), kind="drop-off", km=rng.uniform(0.1, 3.0))
    for kind in rng.sample(CORDLESS, rng.randint(1, 3)):
        tables += finds(kind, works=rng.choice(["yes", "no", "unknown"]), count=rng.randint(1, 4))
    if rng.random() < 0.5:
        tables = tables.replace("[[find]]", '[stock]\nli-ion = "3 kg"\n[[find]]', 1)
    it = town(tables, rng.choice([0.0, 10.0, 20.0]), rng.choice([0.0, 0.8]))
    dear, *others = it.buyers  # a file may not both price a grade and refuse it, so the refusal is added here
    return replace(it, buyers=(replace(dear, refuses=refuses), *others))


def pack_lots(it: Scenario) -> set[tuple[str, str]]:
    """Buyer and grade of every lot of packs; a pack is only ever put in a bin that names it."""
    instance = build(it)
    decision = verify(instance, search(instance, 20.0).decision).decision
    lots = {
        (instance.buyers[instance.lots[i].buyer].id, instance.grades[instance.lots[i].grade])
        for i, _, _ in decision.lots
    }
    for sale, times in zip(instance.grade_sales, decision.sold, strict=True):
        node = instance.nodes[sale.node]
        if times and any("li-ion" in GRADES[s.grade].hazards for s in node.piece.sells):
            assert "li-ion" in GRADES[instance.grades[sale.grade]].hazards
    return {(buyer, grade) for buyer, grade in lots if "li-ion" in GRADES[grade].hazards}


@pytest.mark.parametrize("refuses", ["li-ion", "batteries"])
def test_a_lithium_pack_never_rides_to_a_yard_that_refuses_it(refuses: str) -> None:
    """Common practice, no source. Refused by hazard or by family, whatever that yard would pay."""
    assert {GRADES[pack].family for pack in PACKS} == {"batteries"}
    to_depot = 0
    for seed in range(25) if refuses == "li-ion" else range(25, 50):
        lots = pack_lots(cordless(seed, (refuses,)))
        assert not [grade for buyer, grade in lots if buyer == "harbour-yard"], seed
        to_depot += bool(lots)
    assert to_depot >= 5


def test_a_file_that_prices_what_its_buyer_refuses_is_refused() -> None:
    text = yard("harbour-yard", {"li-ion": 9.0}).replace("minutes = 0", 'minutes = 0\nrefuses = ["li-ion"]')
    with pytest.raises(Refused, match="either the price or the refusal"):
        town(text, 0.0)


def test_the_same_yard_gets_the_packs_when_it_takes_them() -> None:
    taken = [bool([1 for buyer, _ in pack_lots(cordless(seed, ())) if buyer == "harbour-yard"]) for seed in range(10)]
    assert sum(taken) >= 7


# --- apart or whole --------------------------------------------------------------------------------

CLEANER_GRADES = (
    "motors", "copper-2", "board-mid", "wire-appliance-cord", "wire-cord-plugs", "e-scrap-mixed",
    "light-iron", "li-ion", "plastics-abs-hips",
)  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "strip", "metal", "first", "dear"),
    [
        ("robot-cleaner", "strip", {"motors", "board-mid", "wire-appliance-cord"}, {"battery-out"}, 12.0),
        ("upright-vacuum", "unscrew", {"motors", "light-iron", "copper-2"}, set(), 30.0),
    ],
)
def test_a_small_cleaner_pays_more_apart_than_whole_until_an_hour_is_dear(
    kind: str, strip: str, metal: set[str], first: set[str], dear: float
) -> None:
    """Common practice, no source: motors, boards and wire sorted out beat mixed scrap, if the time is cheap.

    The pack comes out of the robot at any wage: it is not sold by grade before.
    """
    there = yard("harbour-yard", usual(*CLEANER_GRADES)) + finds(kind, count=4)
    apart, whole = (planned(town(there, wage, 0.0)) for wage in (2.0, dear))
    assert opened(apart)[strip] == 4
    assert metal <= sold(apart).keys()
    assert apart.money.sales > 1.5 * whole.money.sales
    assert opened(whole).keys() == first
    assert "e-scrap-mixed" in sold(whole) and "motors" not in sold(whole)


# --- wire ------------------------------------------------------------------------------------------


def test_half_copper_wire_fetches_a_third_to_a_half_of_no_2() -> None:
    """Common practice, no source: 50 to 60 % appliance wire brings .34 to .55 of No. 2 copper."""
    heavy, light = GRADES["wire-heavy-cord"].ratio, GRADES["wire-appliance-cord"].ratio
    assert heavy is not None and light is not None
    assert "recovery 45 to 62 %" in GRADES["wire-heavy-cord"].qualifies
    assert 0.34 <= heavy.likely <= 0.55
    assert heavy.low <= 0.34 and heavy.high >= 0.55  # the grade holds a little poorer and richer wire too
    assert heavy.low >= 0.34 - 0.06 and heavy.high <= 0.55 + 0.06  # but not by much
    assert light.likely < 0.34  # 28 to 48 % wire fetches less
