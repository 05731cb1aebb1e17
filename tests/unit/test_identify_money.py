"""What a bin brings, by hand: quotes, ratios where there are none, and mixed bins priced at their worst piece."""

from __future__ import annotations

import datetime as dt

import pytest

from partway.actions.what.identifying import identify
from partway.catalogue import shipped
from partway.identify import ASIDE, bins_of, rates_of
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Hours, Postage, Quote, Scenario

DAY = dt.date(2026, 3, 14)
GRADES = shipped().grades
KEY = shipped().key


def quoting(
    prices: dict[str, float], stock: dict[str, float] | None = None, wage: float = 0.0, **buyer: object
) -> Scenario:
    """A scenario with one buyer of these prices per kg: invented."""
    quotes = tuple(Quote(grade, Estimate.exact(price), DAY) for grade, price in prices.items())
    return Scenario(
        name="demo",
        currency="CAD",
        on=DAY,
        hours=Hours(6.0, 5.0, wage),
        vehicle=None,
        buyers=(Buyer("harbour", "yard", quotes=quotes, **buyer),),  # type: ignore[arg-type]
        finds=(),
        stock=stock or {},
        grades=GRADES,
        anatomies={},
    )


def money(context: str, prices: dict[str, float], stock: dict[str, float], material: str, grade: str) -> float:
    """What 2 kg of a material bring in a bin."""
    where = KEY.contexts[context]
    rates = rates_of(GRADES, quoting(prices))
    bins = bins_of([KEY.materials[name] for name in where.shares], where, GRADES, rates, 2.0, stock)
    return float(bins.money[bins.materials.index(material), bins.grades.index(grade)])


# --- prices ------------------------------------------------------------------------------------------------------


def test_a_quote_is_the_price() -> None:
    rates = rates_of(GRADES, quoting({"brass-yellow": 5.0}))
    assert (rates.mean("brass-yellow"), rates.by_grade["brass-yellow"].how) == (5.0, "quoted")
    assert rates.currency == "CAD"


def test_unquoted_goes_by_the_ratio_to_what_is_quoted_of_the_same_metal() -> None:
    """Stainless 316 by 304, though copper stands far higher than that; brass by copper."""
    rates = rates_of(GRADES, quoting({"stainless-304": 1.0, "copper-2": 20.0}))
    ratio = {grade: GRADES[grade].ratio for grade in ("stainless-304", "stainless-316", "brass-yellow")}
    nickel, higher, brass = (r.mean for r in ratio.values() if r is not None)
    assert rates.mean("stainless-316") == pytest.approx(higher / nickel)
    assert rates.mean("brass-yellow") == pytest.approx(20.0 * brass)
    assert rates.by_grade["stainless-316"].how == "ratio"
    assert rates.by_grade["stainless-316"].price.low < rates.mean("stainless-316")
    assert rates.copper == 20.0


def test_a_metal_nobody_quotes_goes_by_copper_and_nothing_quoted_by_copper_alone() -> None:
    ratio = GRADES["lead-soft"].ratio
    assert ratio is not None
    assert rates_of(GRADES, quoting({"copper-2": 20.0})).mean("lead-soft") == pytest.approx(20.0 * ratio.mean)
    bare = rates_of(GRADES, None)
    assert (bare.mean("lead-soft"), bare.currency, bare.copper) == (ratio.mean, None, 1.0)
    assert rates_of(GRADES, quoting({})).currency is None


def test_a_better_grade_fetches_at_least_what_the_lower_one_is_quoted_at() -> None:
    rates = rates_of(GRADES, quoting({"brass-red": 2.0, "brass-yellow": 5.0}))
    assert (rates.mean("brass-red"), rates.by_grade["brass-red"].how) == (5.0, "as a lower grade")


def test_a_refusal_voids_a_quote_and_postage_is_taken_off() -> None:
    assert rates_of(GRADES, quoting({"brass-yellow": 5.0}, refuses=("brass",))).currency is None
    mailed = quoting({"brass-yellow": 5.0}, shipping=(Postage(20.0, 10.0),))
    assert rates_of(GRADES, mailed).mean("brass-yellow") == pytest.approx(4.5)


def test_nobody_pays_for_what_has_neither_quote_nor_ratio() -> None:
    rates = rates_of(GRADES, None)
    assert (rates.mean("residue"), rates.by_grade["residue"].how) == (0.0, "unquoted")


# --- bins --------------------------------------------------------------------------------------------------------

PRICES = {"copper-2": 10.0, "brass-yellow": 6.0, "brass-red": 7.0, "al-sheet": 2.0, "al-cast": 1.5, "lead-soft": 1.8}
PRICES |= {"light-iron": 0.2, "zinc-diecast": 1.0, "stainless-304": 1.2, "magnesium": 1.0, "breakage": 0.9}


@pytest.mark.parametrize(
    ("material", "grade", "expected"),
    [
        ("copper", "copper-2", 20.0),  # 2 kg at 10
        ("brass-red", "brass-yellow", 12.0),  # it may also be sold as yellow
        ("brass-yellow", "copper-2", 12.0 - 6.0 * 4.0),  # 6 kg of copper become brass
        ("brass-yellow", "brass-red", 12.0 - 6.0 * 1.0),
        ("copper", "brass-yellow", 12.0),  # too good for the bin spoils nothing
        ("al-cast", "al-sheet", 3.0 - 6.0 * 0.5),
        ("mild-steel", "brass-yellow", 0.4 - 6.0 * 5.8),  # both may be sold as light iron
        ("al-sheet", "lead-soft", -6.0 * 1.8),  # no grade takes both: the bin is worth nothing
        ("magnesium", "al-cast", -6.0 * 1.5),
        ("ceramic", "copper-2", -6.0 * 10.0),
        ("titanium", "al-cast", -6.0 * 1.5),
        ("copper", ASIDE, 0.25 * 20.0 - 0.005 * 2.0 * 10.0),
        ("titanium", ASIDE, 0.005 * 2.0 * 10.0),
    ],
)
def test_a_mixed_bin_is_priced_at_its_worst_piece(material: str, grade: str, expected: float) -> None:
    """2 kg into a bin of unknown mass, which counts as holding 6 kg more."""
    assert money("loose", PRICES, {}, material, grade) == pytest.approx(expected)


@pytest.mark.parametrize(("held", "others"), [(0.5, 6.0), (15.0, 15.0), (400.0, 20.0)])
def test_a_bin_of_known_mass_loses_by_what_it_holds(held: float, others: float) -> None:
    """At least three times the piece, as more will come into the bin; up to ten: of a fuller bin the yard picks it
    out. Counted with what is in it now alone, a nearly empty bin of dirty copper took every doubtful tap.
    """
    brought = money("loose", PRICES, {"copper-2": held}, "brass-yellow", "copper-2")
    assert brought == pytest.approx(12.0 - others * 4.0)


def test_the_decision_follows_the_prices() -> None:
    """Bright and not magnetic, 55 % brass: a bin of brass where zinc is nearly as good, aside where it is worthless."""
    said = {"look": "bright", "magnet": "none", "ring": "rings"}
    close = quoting({"brass-taps": 5.0, "zinc-diecast": 4.5, "stainless-304": 4.0, "light-iron": 3.5})
    apart = quoting({"brass-taps": 0.3, "zinc-diecast": 0.01, "stainless-304": 0.01, "light-iron": 0.0})
    assert identify(close, "taps", said, 1.0).bin == "brass-taps"
    assert identify(apart, "taps", {"look": "bright"}, 1.0).bin is None


def test_a_full_bin_is_not_risked_for_a_small_piece() -> None:
    """The same chance of being wrong: into an empty brass bin, but not into one that has much to lose."""
    said = {"look": "bright", "magnet": "none", "ring": "rings"}
    empty = identify(quoting(PRICES | {"brass-taps": 5.0}, {"brass-taps": 0.0}), "taps", said, 1.0)
    full = identify(quoting(PRICES | {"brass-taps": 5.0}, {"brass-taps": 50.0}), "taps", said, 1.0)
    assert empty.bin == "brass-taps"
    assert full.bin != "brass-taps"
    assert full.perfect > empty.perfect, "so knowing is worth more there"


def test_a_fee_for_residue_makes_a_wrong_bin_no_better() -> None:
    paying = quoting(PRICES | {"residue": -0.5})
    report = identify(paying, "components", {"look": "stone", "magnet": "none", "continuity": "no"}, 1.0)
    assert report.materials[0].material == "ceramic"
    assert report.materials[0].grade == "residue"
    assert report.bin in (None, "residue")


def test_the_wage_of_the_scenario_stops_the_asking() -> None:
    free = identify(quoting(PRICES), "taps", {"look": "bright"}, 0.2)
    dear = identify(quoting(PRICES, wage=5000.0), "taps", {"look": "bright"}, 0.2)
    assert (free.stop, dear.stop) == ("", "below-wage")
    assert dear.tests
    assert not any(line.worth_it for line in dear.tests)
    assert any("minutes count as free" in note for note in free.notes)
