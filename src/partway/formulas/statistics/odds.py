"""How likely a thing is to work: odds, signs that change them, and what one's own tests teach."""

from __future__ import annotations

import math

from partway.formulas.checked import above_zero, at_least_zero, within

LEAST, MOST = 0.02, 0.98  # nothing seen from outside makes anybody surer than that (a choice of ours)


def log_odds(chance: float) -> float:
    """The logarithm of the odds of a chance: ln(p / (1 - p)).

    Takes: chance, p, from 0 to 1; below 0.02 and above 0.98 counts as these.
    Gives: a plain number, 0 for one in two.
    Valid: any chance; the ends are cut so that no single sign decides.
    Source: Bayes' theorem in odds form, as in Jaynes, "Probability Theory", 2003, ch. 4; the ends are a choice of ours.

    >>> round(log_odds(0.5), 6), round(log_odds(0.8), 6)
    (0.0, 1.386294)
    """
    within(chance, 0.0, 1.0, "a chance")
    p = min(MOST, max(LEAST, chance))
    return math.log(p / (1.0 - p))


def chance_of(logit: float) -> float:
    """The chance of some log odds, 1 / (1 + exp(-x)), kept from 0.02 to 0.98.

    Takes: logit, x, a plain number.
    Gives: a chance.
    Valid: any number.
    Source: as `log_odds`, turned round.

    >>> chance_of(0.0), round(chance_of(1.386294), 4), chance_of(99.0)
    (0.5, 0.8, 0.98)
    """
    return min(MOST, max(LEAST, 1.0 / (1.0 + math.exp(-max(-50.0, min(50.0, logit))))))


def weight_of_sign(works: float, broken: float, seen: bool) -> float:
    """What a sign adds to the log odds: ln(P(sign | works) / P(sign | broken)), of what is not there the same of 1 - P.

    Takes: works and broken, how many of those that work, and of those that do not, show it, above 0 and below 1;
        seen, whether it is there.
    Gives: a plain number, above 0 where it speaks for working.
    Valid: signs that hang together only by whether the thing works (naive Bayes): two that say the same count twice.
    Source: as `log_odds`; I. J. Good, "Probability and the Weighing of Evidence", 1950.

    >>> round(weight_of_sign(0.25, 0.05, True), 4), round(weight_of_sign(0.25, 0.05, False), 4)
    (1.6094, -0.2364)
    """
    for value in (works, broken):
        within(value, 1e-6, 1.0 - 1e-6, "how many show a sign")
    return math.log(works / broken) if seen else math.log((1.0 - works) / (1.0 - broken))


def shrunk(successes: float, trials: float, prior: float, weight: float) -> float:
    """The mean of a Beta posterior: (s + w m) / (n + w), a rate of one's own drawn towards what was thought.

    Takes: successes, s, and trials, n, at least 0; prior, m, the rate that was thought, 0 to 1; weight, w, above 0: how
        many trials of one's own that thought is worth.
    Gives: a rate.
    Valid: trials that have nothing to do with each other; no more successes than trials.
    Source: Gelman et al., "Bayesian Data Analysis", 3rd ed., 2013, section 2.4: Beta(w m, w (1 - m)) as the prior.

    >>> shrunk(0, 0, 0.4, 4), shrunk(6, 6, 0.4, 4)
    (0.4, 0.76)
    """
    at_least_zero(trials, "trials")
    within(successes, 0.0, trials, "successes")
    within(prior, 0.0, 1.0, "the rate that was thought")
    above_zero(weight, "the weight of what was thought")
    return (successes + weight * prior) / (trials + weight)


def shift(successes: float, expected: float, trials: float, weight: float) -> float:
    """How far the log odds of a group lie from what was expected of it, drawn towards none.

    logit((s + w m) / (n + w)) - logit(m), with m = e / n: what each trial was expected to bring on average.

    Takes: successes, s; expected, e, the sum of the chances of the trials before them; trials, n, at least 0; weight,
        w, above 0, in trials.
    Gives: a plain number to add to the log odds of all in the group; 0 without a trial.
    Valid: where all of the group had about one chance, this is the Beta posterior exactly; else close to it.
    Source: `shrunk` on the scale of log odds, our own form of partial pooling.

    >>> shift(0, 0.0, 0, 4), round(shift(3, 4.0, 8, 4), 4)
    (0.0, -0.3365)
    """
    at_least_zero(trials, "trials")
    if trials == 0:
        return 0.0
    mean = min(MOST, max(LEAST, expected / trials))
    return log_odds(shrunk(successes, trials, mean, weight)) - log_odds(mean)
