"""Which paper a place prints on."""

from __future__ import annotations

from functools import cache

# Everywhere else it is A4: CLDR 46, supplemental measurement data, paperSize "US-Letter".
LETTER = frozenset({"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"})


@cache
def paper_of(locale: str, zone: str) -> str:
    """Letter or a4: by the country of the locale ("en_CA"), else by that of the zone ("America/Halifax"), else a4."""
    from babel import Locale, UnknownLocaleError
    from babel.core import get_global

    try:
        country = Locale.parse(locale).territory if locale else None
    except (ValueError, UnknownLocaleError):
        country = None
    country = country or get_global("zone_territories").get(zone)
    return "letter" if country in LETTER else "a4"
