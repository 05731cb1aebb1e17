"""What is it? A posterior over materials, the bin it leads to, and the test worth asking next. Pure functions."""

from partway.identify.bins import ASIDE, BinValues, bins_of
from partway.identify.case import Case, Proposal, Stop
from partway.identify.evidence import NOT_SURE, Answer, Answers, Measured, likelihood, table
from partway.identify.guides import Match, matches
from partway.identify.priors import shares
from partway.identify.rates import Rates, rates_of
from partway.identify.spoken import read_answers

__all__ = [
    "ASIDE",
    "NOT_SURE",
    "Answer",
    "Answers",
    "BinValues",
    "Case",
    "Match",
    "Measured",
    "Proposal",
    "Rates",
    "Stop",
    "bins_of",
    "likelihood",
    "matches",
    "rates_of",
    "read_answers",
    "shares",
    "table",
]
