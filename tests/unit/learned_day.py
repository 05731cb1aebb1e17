"""A day on which fans were opened whose motors are heavier than estimated: all invented."""

from __future__ import annotations

from ledger_day import Day

from partway.actions.bench import finds
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.buyers import buyers
from partway.actions.buyers.quoting import quote
from partway.catalogue import shipped

MOTOR = shipped().anatomy("fan").piece("motor").mass.likely


def worked(times: int = 6, heavier: float = 1.6) -> Day:
    """Fans were opened whose motors are heavier than estimated, in half the time, and one more waits."""
    day = Day(unit="kg")
    day.do(buyers.buyer, "harbour-yard", buyers.Terms(kind="yard", km="5", minutes="10"))
    for grade, price in (("motors-al", "0.60 /kg"), ("light-iron", "0.20 /kg"), ("wire-cord-plugs", "1.50 /kg")):
        day.do(quote, "harbour-yard", grade, price)
    for _ in range(times):
        named = day.do(finds.find, "fan", works="no").result.find
        pieces = [PieceGiven("motor", f"{MOTOR * heavier:.3f} kg", grade="motors-al"), PieceGiven("cord", "0.2 kg")]
        day.do(open_up, named, pieces, ["motor-out"], minutes="2")
    day.do(finds.find, "fan", works="no")
    return day
