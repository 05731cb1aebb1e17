"""What the made-up town says: some of its rules, one of them looked up too long ago."""

from __future__ import annotations

import datetime as dt

from partway.actions.demo.town import Town
from partway.actions.what import placing

# card, what it says, where that is written, days before the demo begins that it was looked up
RULES = (
    ("curbside", "from 7 in the evening before collection until 7 in the morning", "demo: town by-law 12", 30),
    ("seller-identity", "a photo card, and where it came from", "demo: notice at the harbour yard", 20),
    ("payment", "no cash for copper; a cheque the same day", "demo: notice at the harbour yard", 20),
    ("battery-drop-off", "town depot, taped and bagged, ten at a time", "demo: leaflet of the town depot", 500),
)


def rules(town: Town, began: dt.date) -> None:
    """Fill in a few place cards, looked up before the day the demo began."""
    for card, says, source, ago in RULES:
        seen = began - dt.timedelta(days=ago)
        placing.fill_in(town.book, town.context(), card, says, source, seen.isoformat())
