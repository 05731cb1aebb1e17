"""Tolerances of scales against the regulations.

Sources: (11) OIML R 76-1, table 6. (12) NIST Handbook 44, section 2.20: two worked values; the bands from memory (M).
(13) Canada, SI/98-81, section 8. Numbers as in the project's list of outside checks.
"""

from __future__ import annotations

import pytest

from partway.errors import BadQuantity
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


@pytest.mark.parametrize(
    ("country", "scale_class", "ends"),
    [
        # (11) table 6; the largest number of divisions of a class: table 3, from memory
        ("oiml", "II", {5_000: 1, 20_000: 2, 100_000: 3}),
        ("oiml", "III", {500: 1, 2_000: 2, 10_000: 3}),
        ("oiml", "IIII", {50: 1, 200: 2, 1_000: 3}),
        # (12) table 6 and table 3, from memory
        ("us", "II", {5_000: 1, 20_000: 2, 100_000: 3}),
        ("us", "III", {500: 1, 2_000: 2, 4_000: 3, 10_000: 5}),
        ("us", "III L", {500: 1, 1_000: 2, 1_500: 3, 9_500: 19, 10_000: 20}),
        ("us", "IIII", {50: 1, 200: 2, 400: 3, 1_200: 5}),
        # Canada: (13), the largest numbers from memory
        ("canada", "II", {5_000: 1, 20_000: 2, 100_000: 3}),
        ("canada", "III", {500: 1, 2_000: 2, 10_000: 3}),
        ("canada", "IIII", {50: 1, 200: 2, 1_200: 3}),
    ],
)
def test_every_class_ends_where_the_table_says(country: str, scale_class: str, ends: dict[int, int]) -> None:
    """At the end of a band its own tolerance, half a division further that of the next, and past the last none."""
    of = rule(country, scale_class)
    for end, most in ends.items():
        assert in_divisions(end, of) == most
        assert in_divisions(end, of, new=True) == most / 2
    for end, following in zip(ends, list(ends.values())[1:], strict=False):
        assert in_divisions(end + 0.5, of) == (following if scale_class != "III L" else ends[end] + 1)
    with pytest.raises(BadQuantity, match=f"{max(ends):g} divisions"):
        in_divisions(max(ends) + 0.5, of)


def test_truck_scale_practice() -> None:
    """Common practice, no source: with a division of 20 lb a lot of 200 lb belongs on a platform scale.

    A tenth of it may be the scale's; on a platform scale of 0.2 lb the same lot is right to half a per cent.
    """
    assert tolerance(200.0, 20.0, rule("us", "III L")) / 200.0 >= 0.1
    assert tolerance(200.0, 0.2, rule("us", "III")) / 200.0 <= 0.005
    assert smallest_lot(20.0, 0.01, rule("us", "III L")) == pytest.approx(2000.0)
