"""Two scales on one thing: how far apart they may honestly be, and whether a yard reads light."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest

from partway.errors import BadQuantity
from partway.formulas.scale import rule, tolerance
from partway.formulas.statistics.agreement import agreement, gone_beyond, parts_for, share_of_each
from partway.valuing.trips.scales import OWN_KG, TwoScales, printed_step
from partway.valuing.trips.ticket import ALARMS

KG = 1_000_000
VEHICLE = 5.0  # kilograms: a division from which on a scale here is one for vehicles
LB = 453_592.37  # milligrams (NIST Special Publication 811, B.8)

# Peak expiratory flow of 17 people by two meters, l/min, first readings: Bland and Altman, Lancet 1986; i: 307-310,
# table 1, typed from memory; that they give the published sums (check 22) shows that they are right.
WRIGHT = (494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427)
MINI = (512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451)


def test_two_meters_agree_as_bland_and_altman_published() -> None:
    """Mean difference -2.1176, sd 38.7651, limits (2 sd) -79.65 to 75.41: the figures of their paper, unrounded."""
    found = agreement([a - b for a, b in zip(WRIGHT, MINI, strict=True)])
    assert found.mean == pytest.approx(-2.1176, abs=5e-5)
    assert found.sd == pytest.approx(38.7651, abs=5e-5)
    assert list(found.limits) == pytest.approx([-79.65, 75.41], abs=5e-3)


def test_the_range_of_a_mean_holds_it_as_often_as_it_says() -> None:
    """GUM, table G.2: 95.45 of 100. A count of 4000 lies within 0.7 % of that nineteen times in twenty."""
    random = np.random.default_rng(22)
    for count in (2, 4, 9):
        draws = random.normal(-0.02, 0.01, (4000, count))
        found = [agreement(list(map(float, row))) for row in draws]
        held = sum(one.low <= -0.02 <= one.high for one in found) / len(found)
        assert held == pytest.approx(0.9545, abs=0.01)


def test_of_a_single_pair_nobody_knows_the_range() -> None:
    assert agreement([0.1]).high == math.inf
    with pytest.raises(BadQuantity, match="at least one"):
        agreement([])


@pytest.mark.parametrize(
    ("halves", "share", "beyond"),
    [
        ((2.0,), 0.05, 1.8),  # a rectangle: 5 % of its width
        ((1.0, 1.0), 0.05, 2.0 - math.sqrt(0.4)),  # a triangle: (2 - x)^2 / 8 = 0.05
        ((1.0, 0.5), 0.02, 1.5 - math.sqrt(0.08)),  # a trapezium's flank: (1.5 - x)^2 / (2 x 2 x 1) = 0.02
        ((0.5,) * 3, 1e-3, 1.5 - 6e-3 ** (1 / 3)),  # Irwin-Hall, three: (1.5 - x)^3 / 6
    ],
)
def test_sums_of_rectangles_are_gone_beyond_as_geometry_says(
    halves: tuple[float, ...], share: float, beyond: float
) -> None:
    assert gone_beyond(halves, share) == pytest.approx(beyond, abs=1e-5 * sum(halves))


def test_sums_of_unlike_rectangles_are_gone_beyond_as_draws_say() -> None:
    random = np.random.default_rng(3)
    for halves in ((1.0, 0.5, 0.5, 0.05, 0.025), (3.0, 0.1, 0.1), (1.0,) * 7):
        drawn = sum(random.uniform(-half, half, 400_000) for half in halves)
        for share in (0.05, 0.01):
            assert float(np.mean(drawn > gone_beyond(halves, share))) == pytest.approx(share, rel=0.05)


def test_many_alike_parts_keep_their_variance() -> None:
    for times in range(8):
        assert math.fsum(half**2 for half in parts_for(0.3, times)) == pytest.approx(times * 0.09)


@pytest.mark.parametrize("lines", [1, 2, 5])
@pytest.mark.parametrize(
    ("currency", "own", "yard", "readings"),
    [("CAD", 0.05, 0.4536, 1), ("USD", 0.1, 0.2268, 6), ("EUR", 0.02, 0.0227, 1), ("CAD", 0.05, 9.072, 3)],
)
def test_honest_tickets_are_asked_about_at_the_stated_rate(
    currency: str, own: float, yard: float, readings: int, lines: int
) -> None:
    """One in twenty, whatever the scales and however many lines; 30,000 tickets tell it to a quarter of a percent."""
    assert 0.04 <= alarms(currency, own, yard, readings, lines) <= 0.06


def test_the_rate_holds_over_scales_that_show_the_same_steps() -> None:
    """Where all that can be read lies on one grid, no limit gives just one in twenty for each pair of scales: the rate
    is above it with some and below it with others, and right over all of them.
    """
    pairs = [(own, yard) for own in (0.01, 0.02, 0.05, 0.1) for yard in (0.1, 0.2, 0.5, 1.0)]
    rates = [alarms(currency, *pair, 1, 1) for pair in pairs for currency in ("CAD", "USD")]
    assert 0.04 <= sum(rates) / len(rates) <= 0.06


def alarms(currency: str, own: float, yard: float, readings: int, lines: int) -> float:
    """The share of honest tickets asked about. Errors are drawn as the table of the rule has them (in service, anywhere
    within it), readings and zeros rounded to the division, one's own lot in several weighings.
    """
    scales = TwoScales.of({"currency": currency, "division": f"{own} kg"}, (), "kg")
    scales = TwoScales(scales.country, own, True, yard, True)
    random, tickets = np.random.default_rng(14), 30_000
    share = share_of_each(ALARMS, lines)
    alarmed = np.zeros(tickets, dtype=bool)
    for line in range(lines):
        mass = 37.0 * (line + 1) * (40.0 if yard >= VEHICLE else 1.0)
        at = tolerance(mass, yard, rule(scales.country, "IIIHD" if yard >= VEHICLE else "III"))
        mine = max(own, mass / readings / 10_000)  # class III goes no further than so many divisions
        each = tolerance(mass / readings, mine, rule(scales.country, "III"))
        true = mass + random.uniform(-5 * yard, 5 * yard, tickets)
        printed = _read(true + random.uniform(-at, at, tickets), yard, random)
        weighed = sum(
            _read(true / readings + random.uniform(-each, each, tickets), mine, random) for _ in range(readings)
        )
        limit = scales.explained(round(mass * KG), round(mass * KG), readings, share) / KG
        alarmed |= weighed - printed > limit
    return float(alarmed.mean())


def _read(mass: np.ndarray, division: float, random: np.random.Generator) -> np.ndarray:
    """What a scale shows of a mass put on beside a container whose own reading was taken off: both are rounded."""
    box = random.uniform(30.0, 40.0, mass.shape) * division
    shown: np.ndarray = np.round((mass + box) / division) * division - np.round(box / division) * division
    return shown


def test_the_yards_division_is_read_from_what_it_printed() -> None:
    pounds = [round(LB * lb) for lb in (42, 180, 17, 9, 33, 61)]
    step, sure = printed_step(pounds, "lb")
    assert (step, sure) == (float(Decimal("0.45359237")), True)
    assert printed_step([round(LB * lb) for lb in (10.2, 44.6, 180, 7.8, 6, 31)], "short ton")[0] == pytest.approx(
        0.2 * 0.45359237
    )
    vehicle = [kg * KG for kg in (1240, 860, 2020, 1500, 980, 1440)]
    assert printed_step(vehicle, "tonne") == (20.0, True)
    assert printed_step([100 * KG], "kg") == (0.5, False)  # one round mass says little: what is usual
    assert printed_step([9_980_000], "kg") == (0.02, False)
    assert printed_step([], "kg") == (0.5, False)


def test_a_default_that_was_used_is_told() -> None:
    unsaid = TwoScales.of({"currency": "CAD"}, (), "kg")
    assert (unsaid.said, unsaid.own_kg, unsaid.country) == (False, OWN_KG, "canada")
    said = TwoScales.of({"currency": "EUR", "division": "20 g"}, (), "kg")
    assert (said.said, said.own_kg, said.country) == (True, 0.02, "oiml")
    assert unsaid.good_to(10 * KG) == 75_000  # one division in service (Canada, SI/98-81) and half of one to round


def test_more_weighings_and_more_lines_explain_more() -> None:
    scales = TwoScales("canada", 0.1, True, 0.1, True)
    by_readings = [scales.explained(50 * KG, 50 * KG, n, 0.05) for n in (1, 4, 30)]
    by_lines = [scales.explained(50 * KG, 50 * KG, 1, share_of_each(0.05, n)) for n in (1, 3, 10)]
    for found in (by_readings, by_lines):
        assert all(one < other for one, other in pairwise(found))
