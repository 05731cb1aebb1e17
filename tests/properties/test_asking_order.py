"""Which test is asked next: against the fixed order, the habit of magnet and file, and the best possible order.

Pieces are drawn from the raw rows with fixed seeds, answers and all, so that every way of choosing meets the same ones.
"""

from __future__ import annotations

import random
from functools import cache

import pytest
from drawn_pieces import (
    Drawn,
    Exhaustive,
    Policy,
    Score,
    by_gain,
    case_of,
    drawn,
    in_order,
    magnet_and_file,
    scored,
)

from partway.identify import NOT_SURE, Answer, Case

CONTEXTS = ("loose", "screws", "wire", "components", "taps", "plastics")
METALS = CONTEXTS[:-1]
SMALL = ("wire", "screws", "plastics")  # few enough states to try every order
PIECES = 400


@cache
def pieces(context: str) -> tuple[Case, list[Drawn]]:
    case, rng = case_of(context), random.Random(f"{context} 5")
    return case, [drawn(case, rng) for _ in range(PIECES)]


@cache
def score(context: str, policy: Policy, wage: float = 0.0) -> Score:
    case, drawn_ones = pieces(context)
    return scored(case if wage == 0.0 else case_of(context, wage=wage), drawn_ones, policy)


def test_a_drawn_piece_is_as_common_as_the_prior_says() -> None:
    """Or all that follows would be of other pieces: chi-squared by scipy, over all contexts."""
    from scipy import stats

    for context in CONTEXTS:
        case, drawn_ones = pieces(context)
        common = [name for name, share in case.prior.items() if share * PIECES >= 5.0]
        counts = [sum(piece.material == name for piece in drawn_ones) for name in common]
        expected = [case.prior[name] * PIECES for name in common]
        counts.append(PIECES - sum(counts))
        expected.append(PIECES - sum(expected))
        if expected[-1] < 1.0:
            counts, expected = counts[:-1], [e * sum(counts[:-1]) / sum(expected[:-1]) for e in expected[:-1]]
        assert stats.chisquare(counts, expected).pvalue > 1e-4, context


# --- against the fixed order -----------------------------------------------------------------------------------


@pytest.mark.parametrize("context", CONTEXTS)
def test_as_right_as_the_fixed_order_with_fewer_tests(context: str) -> None:
    """Both stop where no test can change the bin; pieces in the right bin within 2 in 100 of one another."""
    ours, fixed = score(context, by_gain), score(context, in_order)
    assert ours.accuracy >= fixed.accuracy - 0.02
    assert ours.mean_tests <= fixed.mean_tests
    assert ours.mean_lost <= fixed.mean_lost * 1.1 + 1e-4


@pytest.mark.parametrize("context", ["loose", "components", "taps", "wire"])
def test_a_good_deal_fewer_where_there_are_many_tests(context: str) -> None:
    assert score(context, by_gain).mean_tests < 0.9 * score(context, in_order).mean_tests


@pytest.mark.parametrize("context", METALS)
def test_with_an_hour_worth_something_it_costs_less_than_the_fixed_order(context: str) -> None:
    """Money lost in wrong bins and minutes at the wage together, an hour worth 1.5 kg of No. 2 copper."""
    ours, fixed = score(context, by_gain, 1.5), score(context, in_order)
    cost = [each.mean_lost + each.minutes / each.pieces * 1.5 / 60.0 for each in (ours, fixed)]
    assert cost[0] < cost[1]
    assert ours.mean_tests < fixed.mean_tests


@pytest.mark.parametrize("context", METALS)
def test_it_loses_far_less_than_magnet_and_file_alone(context: str) -> None:
    ours, habit = score(context, by_gain), score(context, magnet_and_file)
    assert ours.mean_lost < 0.7 * habit.mean_lost
    assert ours.accuracy > habit.accuracy


@pytest.mark.parametrize(("context", "least"), [("loose", 0.85), ("screws", 0.8), ("wire", 0.93), ("taps", 0.9)])
def test_most_pieces_end_in_the_right_bin(context: str, least: float) -> None:
    assert score(context, by_gain).accuracy > least


# --- against the best possible order ---------------------------------------------------------------------------


@pytest.mark.parametrize("context", SMALL)
@pytest.mark.parametrize("wage", [0.0, 0.5, 4.0])
def test_close_to_the_best_possible_order_and_never_above_it(context: str, wage: float) -> None:
    """Exact: over every state, minutes at the wage, damage and danger paid; of what testing can bring at all, 98 %."""
    tried = Exhaustive(case_of(context, mass=40.0 if context == "plastics" else 2.0, wage=wage))
    nothing, ours, best = tried.stopped(()), tried.ours(()), tried.best(())
    assert nothing <= ours + 1e-12
    assert ours <= best + 1e-12
    assert best <= tried.informed + 1e-12
    assert best > nothing, "or there is nothing to be close to"
    assert ours - nothing >= 0.98 * (best - nothing)


def test_the_exhaustive_search_finds_what_a_poor_order_misses() -> None:
    """The comparison can fail: stopping at once is not within 98 % of the best."""
    tried = Exhaustive(case_of("wire"))
    assert tried.best(()) > 2.0 * tried.stopped(())


# --- what a proposal says ----------------------------------------------------------------------------------------


def some_states(context: str, count: int, seed: int) -> list[dict[str, Answer]]:
    case, drawn_ones = pieces(context)
    rng, found = random.Random(seed), []
    for piece in rng.sample(drawn_ones, count):
        given: dict[str, Answer] = {}
        for _ in range(rng.randint(0, 4)):
            open_ = [test for test in case.tests if case.may_ask(test, given)]
            if open_:
                test = rng.choice(open_)
                given[test] = NOT_SURE if rng.random() < 0.1 else piece.says[test]
        found.append(given)
    return found


@pytest.mark.parametrize("context", CONTEXTS)
def test_no_test_is_worth_less_than_nothing_or_more_than_knowing(context: str) -> None:
    case, _ = pieces(context)
    for given in some_states(context, 60, 6):
        for proposal in case.proposals(given):
            assert -1e-12 <= proposal.gain <= case.perfect(given) + 1e-12
            assert proposal.gain <= proposal.with_next + 1e-12
            assert proposal.with_next <= case.perfect(given) + 1e-12
            assert sum(chance for _, chance, _ in proposal.leads) == pytest.approx(1.0)
            assert proposal.cost >= 0.0


@pytest.mark.parametrize("context", SMALL)
def test_the_gain_is_what_the_bins_after_each_answer_bring_more(context: str) -> None:
    """By updating on each answer in turn, which the proposal does not do."""
    case, _ = pieces(context)
    for given in some_states(context, 30, 7):
        now = max(case.expected(given).values())
        for proposal in case.proposals(given):
            after = [(chance, {**given, proposal.test: answer}) for answer, chance, _ in proposal.leads]
            mean = sum(chance * max(case.expected(later).values()) for chance, later in after)
            assert proposal.gain == pytest.approx(mean - now, abs=1e-12)
            for (_, later), (_, _, bin_) in zip(after, proposal.leads, strict=True):
                assert case.bin(later) == bin_


@pytest.mark.parametrize("context", SMALL)
def test_it_stops_only_where_no_test_and_no_two_can_change_the_bin(context: str) -> None:
    case, _ = pieces(context)
    stopped = 0
    for given in some_states(context, 120, 8):
        if case.stop(given) != "no-test-changes-it":
            continue
        stopped += 1
        here = case.bin(given)
        for later in followers(case, given):
            for after in (later, *followers(case, later)):
                money = case.expected(after)
                assert money[here] >= max(money.values()) - 1e-8 * max(map(abs, money.values()))
    assert stopped > 5


def followers(case: Case, given: dict[str, Answer]) -> list[dict[str, Answer]]:
    return [
        {**given, name: answer}
        for name, test in case.tests.items()
        if case.may_ask(name, given)
        for answer, _ in test.answers
    ]


def test_a_higher_wage_asks_no_more() -> None:
    asked = [score("loose", by_gain, wage).minutes for wage in (0.0, 0.3, 1.5, 10.0, 1000.0)]
    assert asked == sorted(asked, reverse=True)
    assert asked[-1] == 0.0


def test_learned_priors_need_fewer_tests_and_lose_less_where_pieces_are_unlike_the_catalogue() -> None:
    """A box of taps that are nearly all zinc: after a hundred confirmed ones the key has learned it."""
    rng = random.Random(9)
    box = {"chrome-zinc": 0.9, "chrome-brass": 0.1}
    catalogue = case_of("taps", wage=1.5)
    learned = case_of("taps", wage=1.5, confirmed={"chrome-zinc": 90, "chrome-brass": 10})
    drawn_ones = [drawn(catalogue, rng, box) for _ in range(300)]
    before, after = scored(catalogue, drawn_ones, by_gain), scored(learned, drawn_ones, by_gain)
    cost = [each.lost + each.minutes * 1.5 / 60.0 for each in (before, after)]
    assert cost[1] < cost[0]
    assert after.mean_tests <= before.mean_tests
