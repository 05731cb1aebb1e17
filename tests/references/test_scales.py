"""Tolerances of scales against the regulations.

Sources: (11) OIML R 76-1, table 6. (12) NIST Handbook 44, section 2.20: two worked values; the bands from memory (M).
(13) Canada, SI/98-81, section 8. Numbers as in the project's list of outside checks.
"""

from __future__ import annotations

import pytest

from partway.formulas.scale import Rule, rule, smallest_lot, tolerance


def in_divisions(n: float, of: Rule, *, new: bool = False) -> float:
    return tolerance(n, 1.0, of, "new" if new else "in service")


@pytest.mark.parametrize(("n", "e"), [(500, 0.5), (501, 1.0), (2000, 1.0), (2001, 1.5)])
def test_check_11_oiml_class_iii(n: int, e: float) -> None:
    """At initial verification; in service twice that."""
    of = rule("oiml", "III")
    assert in_divisions(n, of, new=True) == e
    assert in_divisions(n, of) == 2 * e


def test_check_12_handbook_44_worked_values() -> None:
    """150 lb at 0.05 lb, 3000 divisions: 0.15 lb in service; 5000 divisions: 2.5 divisions at acceptance."""
    of = rule("us", "III")
    assert tolerance(150.0, 0.05, of) == pytest.approx(0.15, rel=1e-12)
    assert in_divisions(5000, of, new=True) == 2.5


@pytest.mark.parametrize(
    ("n", "d"), [(1, 1), (500, 1), (501, 2), (2000, 2), (2001, 3), (4000, 3), (4001, 5), (10000, 5)]
)
def test_check_12_handbook_44_bands(n: int, d: int) -> None:
    """From memory."""
    assert in_divisions(n, rule("us", "III")) == d


@pytest.mark.parametrize(("n", "e"), [(500, 1), (501, 2), (2000, 2), (2001, 3), (10000, 3)])
def test_check_13_canada_class_iii(n: int, e: int) -> None:
    assert in_divisions(n, rule("canada", "III")) == e


@pytest.mark.parametrize(
    ("n", "e"), [(500, 1), (501, 2), (1300, 2), (1301, 3), (17_300, 22), (17_301, 22), (99_999, 22)]
)
def test_check_13_canada_class_iiihd(n: int, e: int) -> None:
    """1 e more for each 800 e, at most 22 e; at acceptance half."""
    assert in_divisions(n, rule("canada", "IIIHD")) == e
    assert in_divisions(n, rule("canada", "IIIHD"), new=True) == e / 2


def test_truck_scale_practice() -> None:
    """Common practice, no source: with a division of 20 lb a lot of 200 lb belongs on a platform scale.

    A tenth of it may be the scale's; on a platform scale of 0.2 lb the same lot is right to half a per cent.
    """
    assert tolerance(200.0, 20.0, rule("us", "III L")) / 200.0 >= 0.1
    assert tolerance(200.0, 0.2, rule("us", "III")) / 200.0 <= 0.005
    assert smallest_lot(20.0, 0.01, rule("us", "III L")) == pytest.approx(2000.0)
