"""What a ledger taught: figures of one's own in place of the catalogue's estimates, with their count and origin."""

from partway.valuing.learned import resale
from partway.valuing.learned.learner import Learner
from partway.valuing.learned.own_scale import learned
from partway.valuing.learned.seen import seen_in

__all__ = ["LEARNERS", "Learner"]

# In the order in which they are applied: each gets the anatomy as those before it left it.
LEARNERS: tuple[Learner, ...] = (Learner(learned, seen_in), Learner(resale.learn, resale.resale_seen))
