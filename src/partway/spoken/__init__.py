"""Numbers, masses, ways, money, prices, times and days as people write and say them: the one reader of all of them.

Two doors. A whole text: `read_mass`, `read_distance`, `read_volume`, `read_money`, `read_price`, `read_minutes`,
`read_day`, `read_moment`, `read_number`, each with the value or a refusal that says what was understood up to where.
A place in a longer text (`tokens_of`): `number_at`, `mass_at`, `distance_at`, `money_at`, `said_price_at`,
`minutes_at`, `day_at`, `moment_at`, each with what stands there and where it ends, or None.
"""

from partway.spoken.days import SaidDay, day_at
from partway.spoken.distances import SaidDistance, distance_at
from partway.spoken.durations import minutes_at
from partway.spoken.masses import SaidMass, mass_at
from partway.spoken.moments import SaidMoment, moment_at
from partway.spoken.money import Heard, money_at
from partway.spoken.numbers import number_at
from partway.spoken.prices import SaidPrice, said_price_at
from partway.spoken.texts import (
    NotUnderstood,
    day_text,
    moment_text,
    read_day,
    read_distance,
    read_mass,
    read_minutes,
    read_moment,
    read_money,
    read_number,
    read_price,
    read_volume,
)
from partway.spoken.tokens import Token, tokens_of
from partway.spoken.tongue import Hearing, Tongue, english
from partway.spoken.units import SaidUnit, per_at

__all__ = [
    "Heard",
    "Hearing",
    "NotUnderstood",
    "SaidDay",
    "SaidDistance",
    "SaidMass",
    "SaidMoment",
    "SaidPrice",
    "SaidUnit",
    "Token",
    "Tongue",
    "day_at",
    "day_text",
    "distance_at",
    "english",
    "mass_at",
    "minutes_at",
    "moment_at",
    "moment_text",
    "money_at",
    "number_at",
    "per_at",
    "read_day",
    "read_distance",
    "read_mass",
    "read_minutes",
    "read_moment",
    "read_money",
    "read_number",
    "read_price",
    "read_volume",
    "said_price_at",
    "tokens_of",
]
