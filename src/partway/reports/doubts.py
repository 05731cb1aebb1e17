"""What is not certain about a plan, in a sentence each, by the codes of `planning.search.Found.doubts`."""

from __future__ import annotations

DOUBTS = {
    "most-stops": "This is the best plan with at most 12 stops a trip; a trip of more stops may bring more.",
    "no-time-to-drive": "The plan drives nowhere because time ran out before a trip was found; allow it more time.",
}
