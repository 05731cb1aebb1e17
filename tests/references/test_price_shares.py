"""Prices of grades as a share of No. 2 copper on the same list and day, against the catalogue's ratios.

Source of every figure: public US price lists of scrap yards and markets, 2011 to 2024 (their names are left out on
purpose; dated, of one country). A share lies inside our range; a range is at most twice as wide (high over low) as it
was before, in March 2026, unless the lists themselves spread so far.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from partway.catalogue import shipped

SHARES: dict[str, tuple[float, ...]] = {
    "al-dirty": (0.039,), "al-extrusion": (0.227,), "al-wheels": (0.298,), "alternator": (0.099,),
    "brass-yellow": (0.506,), "coil-al-cu-clean": (0.381, 0.526), "coil-al-cu-dirty": (0.45, 0.448),
    "copper-1": (1.024, 1.073, 1.085), "copper-bare-bright": (1.325, 1.048, 1.118), "copper-light": (0.896,),
    "copper-yoke": (0.166,), "heavy-melt-1": (0.036,), "lead-acid": (0.126,), "lead-soft": (0.169,),
    "li-ion": (0.215,), "motors": (0.106,), "radiator-cu-brass": (0.662, 0.586), "stainless-304": (0.159,),
    "transformer-al": (0.02,), "transformer-cu": (0.06, 0.099, 0.097), "wire-appliance-cord": (0.209,),
    "wire-building": (0.616,), "wire-data": (0.383,), "wire-house-cable": (0.49, 0.357, 0.597),
    "wire-string-lights": (0.086, 0.06),
}  # fmt: skip

# Low and high of March 2026, of the ranges that moved since.
BEFORE = {
    "brass-yellow": (0.52, 0.66), "coil-al-cu-clean": (0.44, 0.60), "copper-1": (1.04, 1.12),
    "copper-bare-bright": (1.10, 1.22), "copper-yoke": (0.20, 0.45), "lead-acid": (0.045, 0.09),
    "transformer-al": (0.035, 0.09), "transformer-cu": (0.10, 0.22), "wire-building": (0.70, 1.04),
    "wire-house-cable": (0.50, 0.80),
}  # fmt: skip


@pytest.mark.parametrize(("grade", "share"), [(grade, share) for grade, all_of in SHARES.items() for share in all_of])
def test_a_published_share_lies_within_our_ratio(grade: str, share: float) -> None:
    ratio = shipped().grades[grade].ratio
    assert ratio is not None and ratio.low <= share <= ratio.high


@pytest.mark.parametrize("grade", BEFORE)
def test_no_range_grew_to_be_right(grade: str) -> None:
    ratio, (low, high) = shipped().grades[grade].ratio, BEFORE[grade]
    assert ratio is not None and ratio.high / ratio.low <= 2.0 * high / low
    assert shipped().grades[grade].on != shipped().grades["copper-light"].on  # a moved range has a day of its own


def test_better_copper_never_has_the_lower_ratio() -> None:
    """Ends and middle of the copper grades fall from bare bright to dirty: the lists agree on the order."""
    order = [shipped().grades[g].ratio for g in ("copper-bare-bright", "copper-1", "copper-2", "copper-light")]
    for better, worse in pairwise(order):
        assert better is not None and worse is not None
        assert better.low >= worse.low and better.likely > worse.likely and better.high > worse.high
