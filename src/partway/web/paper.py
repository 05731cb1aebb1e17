"""Which paper a place prints on, and how a paper is handed out."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from fastapi.responses import Response

if TYPE_CHECKING:
    from partway.paper.typeset import Typeset

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


def pdf_answer(made: Typeset, name: str) -> Response:
    """A paper to look at in the browser, to print or to keep; `name` is the file's, without its ending."""
    return file_answer(made.pdf, "application/pdf", f"{name}.pdf")


def file_answer(content: bytes, media_type: str, name: str, shown: str = "inline") -> Response:
    """A file that was made for whoever asks: to look at, or to keep where `shown` is "attachment"."""
    return Response(content, media_type=media_type, headers={"content-disposition": f'{shown}; filename="{name}"'})
