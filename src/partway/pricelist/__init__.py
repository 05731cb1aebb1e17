"""A price list as it is pasted or dictated, understood line by line; what is not sure is asked, never guessed."""

from partway.pricelist.lines import GradeChoice, PriceLine, all_understood, fee_of
from partway.pricelist.preview import PreviewRow, preview, written
from partway.pricelist.reading import answer, read_price_list

__all__ = [
    "GradeChoice",
    "PreviewRow",
    "PriceLine",
    "all_understood",
    "answer",
    "fee_of",
    "preview",
    "read_price_list",
    "written",
]
