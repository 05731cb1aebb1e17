"""Where a place lies, as programs of a phone pass it on to each other."""

from __future__ import annotations

from decimal import Decimal

from partway.quantities import plain_text

DIGITS = 6  # of a degree: a tenth of a metre, more than anybody types


def geo_uri(at: tuple[Decimal | float, Decimal | float] | None) -> str:
    """A latitude and longitude (WGS 84) as a `geo:` URI (RFC 5870, section 3.3), which the phone's own map opens; empty
    where there are none.
    """
    if at is None:
        return ""
    latitude, longitude = (plain_text(round(Decimal(str(degrees)), DIGITS)) for degrees in at)
    return f"geo:{latitude},{longitude}"
