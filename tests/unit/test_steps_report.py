"""Steps at the bench in working order, where pieces go, why it stops there; and the parts that sell.

The motor is worked by hand, as in test_queue_report: opening it brings 13.40 an hour. It stops paying at a wage of
13.40, and at the copper price where 0.2 kg brings 0.30 - 0.24 + 10 x 0.1 h = 1.06: 5.30 a kg.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_day import METALS, bench_day

from partway.catalogue import shipped
from partway.reports.bench.steps import BenchStep, Comes, Working
from partway.things.anatomy import Part
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Quote, Scenario, Works
from partway.valuing.finds.hand import Holding, ValuedHolding
from partway.valuing.finds.parts import PartOffer, parts_to_sell
from partway.valuing.finds.together import solved_alone

MOTOR = bench_day({"harbour-yard": METALS}, {})


def hand(it: Scenario, kind: str, works: Works = "no") -> ValuedHolding:
    whole = it.anatomies[kind].whole.id
    one = Holding(kind, works, None, ((whole, 1),))
    return solved_alone(it, one)


def steps(it: Scenario, kind: str = "motor", **bins: tuple[str, ...]) -> tuple[BenchStep, ...]:
    return Working(hand(it, kind), {g.replace("_", "-"): held for g, held in bins.items()}).steps()


def oven(**prices: float) -> Scenario:
    catalogue = shipped()
    quotes = tuple(Quote(g.replace("_", "-"), Estimate.exact(p), MOTOR.on) for g, p in prices.items())
    return replace(
        MOTOR,
        buyers=(Buyer("harbour-yard", "yard", km=4.0, quotes=quotes),),
        grades=catalogue.grades,
        cautions=catalogue.cautions,
        anatomies={"microwave": catalogue.anatomy("microwave")},
        keep_factor=0.8,
    )


def test_the_motor_by_hand() -> None:
    (step,) = steps(MOTOR)
    assert (step.number, step.operation, step.times, step.minutes.likely) == (1, "open", 1, 6.0)
    assert step.per_hour == pytest.approx(13.4)
    assert step.otherwise == "sell as iron"
    assert step.flips.wage == pytest.approx(13.4)
    assert step.flips.price is not None
    assert step.flips.price.grade == "copper"
    assert step.flips.price.flip == pytest.approx(5.3)
    assert [(c.piece, c.grade) for c in step.gives] == [("winding", "copper"), ("core", "iron")]
    assert [c.value for c in step.gives] == pytest.approx([1.40, 0.24])


def test_why_it_stops_by_hand() -> None:
    """At 4.00 a kg of copper 1.04 comes out for 0.30: 7.40 an hour, your hour is worth 10; it pays from 5.30 a kg."""
    it = bench_day({"harbour-yard": {**METALS, "copper": 4.0}}, {})
    (left,) = Working(hand(it, "motor"), {}).left_as_it_is()
    assert left.why is not None and left.why.flips is not None and left.why.flips.price is not None
    assert (left.why.sort, left.why.operation) == ("less", "open")
    assert left.why.minutes == pytest.approx(6.0)
    assert left.why.per_hour == pytest.approx(7.4)
    assert left.why.flips.price.flip == pytest.approx(5.3)


def test_every_piece_is_taken_out_before_it_is_opened() -> None:
    found = steps(oven(copper_2=9.0, copper_light=8.0, light_iron=0.25), "microwave")
    out = {"whole"}
    for step in found:
        assert step.piece in out
        out |= {c.piece for c in step.gives}
        assert all(c.step > step.number for c in step.gives if c.way == "open")
    assert [s.number for s in found] == list(range(1, len(found) + 1))


def test_the_capacitor_comes_out_first_of_all_that_is_inside() -> None:
    """Common practice, no source; the catalogue has it as required."""
    found = steps(oven(copper_2=9.0, light_iron=0.25), "microwave")
    inside = [s for s in found if s.piece == "body"]
    assert [(s.operation, s.required) for s in inside] == [("discharge", True)]
    assert inside[0].cautions[0].id == "hv-capacitor"
    capacitor = next(c for c in inside[0].gives if c.piece == "capacitor")
    assert capacitor.why is not None and (capacitor.why.sort, capacitor.why.hazard) == (
        "stop",
        "High-voltage capacitor",
    )


def test_unquoted_has_no_value() -> None:
    given = [c for s in steps(oven(light_iron=0.25, copper_2=9.0), "microwave") for c in s.gives]
    assert {c.piece: c.value for c in given}["tray"] is None, "nobody here quotes glass"


@pytest.mark.parametrize(
    ("held", "expected"),
    [
        ((), ("", ())),
        (("shelf",), ("shelf", ())),
        (("shelf", "iron"), ("iron", ())),
        (("shelf", "yard-side"), ("", ("shelf", "yard-side"))),
    ],
)
def test_the_bin_a_piece_goes_into(held: tuple[str, ...], expected: tuple[str, tuple[str, ...]]) -> None:
    """The grade's own bin, else the only one; of several nobody chooses for you."""
    core: Comes = steps(MOTOR, iron=held)[0].gives[1]
    assert (core.bin, core.bins) == expected


def part_line(it: Scenario, works: Works) -> PartOffer:
    here, if_works = hand(it, "motor", works), hand(it, "motor", "yes")
    (line,) = parts_to_sell(here, if_works)
    return line


def with_part(**fields: object) -> Scenario:
    anatomy = MOTOR.anatomies["motor"]
    part = Part(price=Estimate.exact(20.0), chance=0.5, minutes=Estimate.exact(15.0), fee=0.1, postage=4.0, days=30.0)
    whole = replace(anatomy.whole, parts=(replace(part, **fields),))  # type: ignore[arg-type]
    return replace(MOTOR, anatomies={"motor": replace(anatomy, pieces=(whole, *anatomy.pieces[1:]))})


def test_a_part_by_hand() -> None:
    """0.5 x (20 x 0.9 - 4) = 7.00, nothing for what stays unsold; 0.30 as iron; in 0.25 h: 26.80 an hour."""
    line = part_line(with_part(), "no")
    assert (line.brings, line.otherwise, line.per_hour) == pytest.approx((7.0, 0.3, 26.8))
    assert (line.allowed, line.chosen, line.after) == (True, True, "")


def test_what_has_to_work_is_shown_and_not_counted() -> None:
    it = with_part(needs="works")
    assert [(part_line(it, w).allowed, part_line(it, w).chosen) for w in ("no", "unknown", "yes")] == [
        (False, False),
        (False, False),
        (True, True),
    ]


def test_a_part_inside_names_what_takes_it_out() -> None:
    it = oven(copper_2=9.0, light_iron=0.25)
    lines = {line.piece: line for line in parts_to_sell(hand(it, "microwave"), hand(it, "microwave", "yes"))}
    assert lines["tray"].after == "take the tray and ring out, cut the cord"
    assert lines["tray"].price is not None and lines["tray"].price.likely == pytest.approx(2.17 * 9.0)
