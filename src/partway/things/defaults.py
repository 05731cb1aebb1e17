"""What is taken where nobody said otherwise, in a scenario file as in a workspace; notes name each that was used.

Those of a scenario file stand in docs/scenario.md; how far roads commonly wind and what one person lifts are common
practice, no source.
"""

from __future__ import annotations

TRIPS = 1
LEAVE = 8.0  # hours of the day: when a trip leaves, where some buyer has opening hours
WAGE = 0.0  # any other number would be somebody else's
BENCH_HOURS = 6.0
AWAY_HOURS = 5.0
KEPT_SHARE = 0.9  # of the best price, for what is sold another day: money later, and a price that may have moved
FULL_LOAD = 0.85  # of what the vehicle carries: an ordinary load, as pieces leave gaps (common practice, no source)
LOAD_DENSITY = 0.25  # kg/L of a mixed load, where nobody said how much the vehicle holds (common practice, no source)
PAYLOAD_KG = 450.0
KMH = 45.0
ROAD_FACTOR = 1.3  # times the straight line
WHOLE_ABOVE_KG = 25.0  # what one person lifts and does not cut up to fill a load
