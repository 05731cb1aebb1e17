"""Statistics that learning rests on, held to published figures and to another library (checks 21 to 26).

Sources stand beside each check. The data are those of the sources, typed from memory: the published results, to all
their digits, could not come from other data.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from partway.errors import BadQuantity
from partway.formulas.statistics.beta import beta_below, beta_mean, beta_quantile
from partway.formulas.statistics.dirichlet import share_spread, shares
from partway.formulas.statistics.local_level import levels, on_day, steady_variance
from partway.formulas.statistics.normal_gamma import NormalKnown, mean_range, next_range, student_quantile, updated
from partway.formulas.statistics.pooling import apart_squared, drawn_together, pooled_mean
from partway.formulas.statistics.samples import mean_and_spread, variance_ratio

# NIST Statistical Reference Datasets, univariate: Michelso, Dorsey's speed of light (1000 km/s).
MICHELSO = """
299.85 299.74 299.90 300.07 299.93 299.85 299.95 299.98 299.98 299.88 300.00 299.98 299.93 299.65 299.76 299.81 300.00
300.00 299.96 299.96 299.96 299.94 299.96 299.94 299.88 299.80 299.85 299.88 299.90 299.84 299.83 299.79 299.81 299.88
299.88 299.83 299.80 299.79 299.76 299.80 299.88 299.88 299.88 299.86 299.72 299.72 299.62 299.86 299.97 299.95 299.88
299.91 299.85 299.87 299.84 299.84 299.85 299.84 299.84 299.84 299.89 299.81 299.81 299.82 299.80 299.77 299.76 299.74
299.75 299.76 299.91 299.92 299.89 299.86 299.88 299.72 299.84 299.85 299.85 299.78 299.89 299.84 299.78 299.81 299.76
299.81 299.79 299.81 299.82 299.85 299.87 299.87 299.81 299.74 299.81 299.94 299.95 299.80 299.81 299.87
"""
# NIST Statistical Reference Datasets, analysis of variance: AtmWtAg, atomic weight of silver by two instruments; what
# comes after 107.86 times 10^7.
ATMWTAG = """
81568 81465 81572 81785 81446 81903 81526 81494 81616 81587 81519 81486 81419 81569 81508 81672 81385 81518 81662 81424
81360 81333 81610 81477
and by the other
81079 81344 81513 81197 81604 81385 81642 81365 81151 81082 81517 81448 81198 81482 81334 81609 81101 81512 81469 81360
81254 81261 81450 81368
"""
# Rubin 1981: eight schools.
SCHOOLS, ERRORS = [28.0, 8, -3, 7, -1, 1, 18, 12], [15.0, 10, 16, 11, 9, 11, 10, 18]
# Hoff 2009, section 5.3: wings of midges, mm.
WINGS = [1.64, 1.70, 1.72, 1.74, 1.82, 1.82, 1.82, 1.90, 2.08]
# Flow of the Nile at Aswan 1871-1970, Durbin and Koopman.
NILE = """
1120 1160 963 1210 1160 1160 813 1230 1370 1140 995 935 1110 994 1020 960 1180 799 958 1140 1100 1210 1150 1250 1260
1220 1030 1100 774 840 874 694 940 833 701 916 692 1020 1050 969 831 726 456 824 702 1120 1100 832 764 821 768 845 864
862 698 845 744 796 1040 759 781 865 845 944 984 897 822 1010 771 676 649 846 812 742 801 1040 860 874 848 890 744 749
838 1050 918 986 797 923 975 815 1020 906 901 1170 912 746 919 718 714 740
"""
NOISE, WANDER = 15099.0, 1469.1


def test_mean_and_spread_of_close_numbers() -> None:
    """Check 21. NIST StRD: NumAcc4 is 10000000.2, then a thousand of 10000000.1 and 10000000.3 by turns."""
    numbers = [10000000.2, *[10000000.1, 10000000.3] * 500]
    mean, sd = mean_and_spread(numbers)
    assert mean == pytest.approx(10000000.2, abs=1e-8)
    assert sd == pytest.approx(0.1, rel=1e-7)  # the numbers themselves are stored to 2e-9
    mean, sd = mean_and_spread([float(one) for one in MICHELSO.split()])
    assert mean == pytest.approx(299.8524, rel=1e-14)
    assert sd == pytest.approx(0.0790105478190518, rel=1e-12)


def test_whether_groups_differ() -> None:
    """Check 21. NIST StRD, AtmWtAg: F 15.9467335627930."""
    groups = [[107.86 + float(one) * 1e-7 for one in part.split()] for part in ATMWTAG.split("and by the other")]
    assert variance_ratio(groups) == pytest.approx(15.9467335627930, rel=1e-9)  # inputs are stored to 1e-14
    for groups, expected in (
        ([[1.0, 1.0], [2.0, 2.0]], "some spread within the groups"),
        ([[1.0], [2.0]], "two groups or more, more values"),  # as many values as groups: none varies within one
        ([[1.0, 2.0]], "two groups or more, more values"),
        ([[1.0, 2.0, 3.0], []], "two groups or more, more values"),
    ):
        with pytest.raises(BadQuantity) as problem:
            variance_ratio(groups)
        assert problem.value.expected == expected
    # Three by hand, around 5: (3 x 9 + 3 x 1 + 3 x 16) / 2 over 6 / 6; unlike in number, (2 x 9 + 3 x 1 + 9) / 2 over
    # 16 / 3.
    assert variance_ratio([[1.0, 2.0, 3.0], [3.0, 4.0, 5.0], [8.0, 9.0, 10.0]]) == pytest.approx(39.0, rel=1e-12)
    assert variance_ratio([[0.0, 4.0], [4.0, 6.0, 8.0], [8.0]]) == pytest.approx(2.8125, rel=1e-12)


def test_eight_schools() -> None:
    """Check 23. Rubin 1981; Bayesian Data Analysis, section 5.5: 7.7 over all; DerSimonian and Laird say 0 between."""
    assert pooled_mean(SCHOOLS, ERRORS)[0] == pytest.approx(7.6856, abs=5e-5)
    together = dict(zip("ABCDEFGH", drawn_together(SCHOOLS, ERRORS, 5.0), strict=True))
    assert {name: round(together[name], 2) for name in "ACE"} == {"A": 9.87, "C": 6.89, "E": 5.76}
    assert apart_squared(SCHOOLS, ERRORS) == 0.0
    all_alike = drawn_together(SCHOOLS, ERRORS, 0.0)
    assert all_alike == pytest.approx([7.6856] * 8, abs=5e-5)  # no division by the 0


def test_groups_that_do_lie_apart() -> None:
    """Against draws: of 400 true means 3 apart, seen with errors of 1 to 2, tau comes out as 3 within its own error."""
    rng = np.random.default_rng(4)
    errors = rng.uniform(1.0, 2.0, 400)
    means = 10.0 + rng.normal(0.0, 3.0, 400) + rng.normal(0.0, 1.0, 400) * errors
    assert math.sqrt(apart_squared(list(means), list(errors))) == pytest.approx(3.0, abs=0.35)


def test_wings_of_midges() -> None:
    """Check 24. Hoff 2009, section 5.3: prior 1.9, k0 1, s0^2 0.01, n0 1."""
    known = updated(NormalKnown(1.9, 0.01, 1.0, 1.0), WINGS)
    assert (round(known.mean, 3), round(known.variance, 6), known.k, known.n) == (1.814, 0.015324, 10.0, 10.0)
    assert mean_range(known, 0.95) == pytest.approx((1.72678, 1.90122), abs=5e-6)


def test_one_after_another_is_as_all_at_once_and_in_any_order() -> None:
    prior = NormalKnown(1.9, 0.01, 1.0, 1.0)
    one_by_one = prior
    for value in reversed(WINGS):
        one_by_one = updated(one_by_one, [value])
    at_once = updated(prior, WINGS)
    for name in ("mean", "variance", "k", "n"):
        assert getattr(one_by_one, name) == pytest.approx(getattr(at_once, name), rel=1e-12)


def test_the_next_one_lies_in_its_range_as_often_as_said() -> None:
    """Against draws from the model itself, 40,000 of them: 80 of 100 within half a point."""
    rng = np.random.default_rng(7)
    inside, rounds = 0, 4000
    for _ in range(rounds):
        variance = 4.0 * 0.09 / rng.chisquare(4.0)
        mean = rng.normal(1.0, math.sqrt(variance / 2.0))
        values = rng.normal(mean, math.sqrt(variance), 3)
        low, high = next_range(updated(NormalKnown(1.0, 0.09, 2.0, 4.0), list(values)), 0.8)
        inside += int(np.sum((low <= (more := rng.normal(mean, math.sqrt(variance), 10))) & (more <= high)))
    assert inside / rounds / 10 == pytest.approx(0.8, abs=0.01)


def test_student_and_beta_as_another_library_has_them() -> None:
    """scipy.stats; the rounded values of JCGM 100:2008, table G.2, column 95.45 %."""
    for share in (0.5, 0.75, 0.9, 0.975, 0.9995):
        for freedom in (1.0, 2.0, 4.0, 5.5, 11.0, 50.0, 5000.0, 1e6):
            expected = stats.t.ppf(share, freedom)
            assert student_quantile(share, freedom) == pytest.approx(expected, rel=1e-6, abs=1e-9), (share, freedom)
    assert [round(student_quantile(0.977250, n), 2) for n in (3, 5, 10)] == [3.31, 2.65, 2.28]
    for a, b in ((0.5, 0.5), (1.0, 3.0), (7.0, 2.5), (120.0, 40.0)):
        assert beta_mean(a, b) == pytest.approx(stats.beta.mean(a, b))
        for x in (0.001, 0.2, 0.5, 0.9):
            assert beta_below(x, a, b) == pytest.approx(stats.beta.cdf(x, a, b), rel=1e-9, abs=1e-15)
        for share in (0.1, 0.5, 0.9):
            assert beta_quantile(share, a, b) == pytest.approx(stats.beta.ppf(share, a, b), rel=1e-8)


def test_the_poll() -> None:
    """Check 25. Bayesian Data Analysis, section 3.4: 727, 583 and 137 of 1447, a uniform prior."""
    mean, sd = share_spread([1.0] * 3, [727, 583, 137], [1.0, -1.0, 0.0])
    assert (round(mean, 6), round(sd, 6)) == (0.099310, 0.024835)
    assert sum(shares([1.0] * 3, [727, 583, 137])) == pytest.approx(1.0)
    drawn = np.random.default_rng(2).dirichlet([728, 584, 138], 200_000)
    assert float(np.std(drawn[:, 0] - drawn[:, 1])) == pytest.approx(sd, rel=0.01)


def test_the_nile() -> None:
    """Check 26. Durbin and Koopman, sections 2.2 and 2.7; statsmodels' local level, exact diffuse, gives the digits."""
    flow = [float(one) for one in NILE.split()]
    found = levels(list(enumerate(flow)), NOISE, WANDER)
    assert [round(level.mean, 3) for level in found[:3]] == [1120.0, 1140.928, 1072.799]
    assert found[-1].mean == pytest.approx(798.370, abs=5e-4)
    assert found[-1].variance + WANDER == pytest.approx(5501.258, abs=5e-4)
    assert steady_variance(NOISE, WANDER) == pytest.approx(5501.258, abs=5e-4)


def test_days_without_a_look_are_as_daily_steps_without_one() -> None:
    """Check 26. Nile without the years 21 to 40: the variance a year ahead is 33414.196 at the 40th; and whatever the
    gaps, the same as a filter that steps each day.
    """
    flow = [float(one) for one in NILE.split()]
    seen = [(float(year), value) for year, value in enumerate(flow, start=1) if not 21 <= year <= 40]
    found = levels(seen, NOISE, WANDER)
    assert on_day(found[19], 40.0, WANDER).variance == pytest.approx(33414.196, abs=5e-4)
    by_day = _daily(seen)
    for level in found:
        assert [level.mean, level.variance] == pytest.approx(list(by_day[level.day]), rel=1e-12)


def _daily(seen: list[tuple[float, float]]) -> dict[float, tuple[float, float]]:
    """The textbook's filter, a step each day, nothing seen on most of them."""
    values, found = dict(seen), dict[float, tuple[float, float]]()
    day = seen[0][0]
    mean, variance = values[day], NOISE
    while day <= seen[-1][0]:
        if day > seen[0][0]:
            variance += WANDER
            if day in values:
                total = variance + NOISE
                mean, variance = mean + variance / total * (values[day] - mean), variance * NOISE / total
        found[day] = (mean, variance)
        day += 1.0
    return found
