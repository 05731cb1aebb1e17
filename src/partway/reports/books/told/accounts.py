"""What the ledger's accounts of money are called: plain words, of no country's forms."""

from __future__ import annotations

from partway.reports.called import Called

# By the sort of an account, which is what stands before its colon; in the order in which papers have them.
CATEGORIES = {
    "sales": "Sold to buyers",
    "deductions": "Taken off by buyers",
    "parts": "Parts and whole things sold",
    "parts-fees": "Selling fees",
    "parts-postage": "Postage",
    "spent": "Spent",
}


def category(account: str) -> str:
    """What an account is: "Spent", for any that something was spent on; "" for what is no money in or out."""
    return CATEGORIES.get(account.partition(":")[0], "")


def whose(account: str, called: Called) -> str:
    """The buyer of an account, or what was spent on; "" where it is of neither."""
    sort, _, of = account.partition(":")
    return called.buyer(of) if sort in ("sales", "deductions") else of.replace("-", " ")


def order(account: str) -> tuple[int, str]:
    """The place of an account among others."""
    sort = account.partition(":")[0]
    return list(CATEGORIES).index(sort) if sort in CATEGORIES else -1, account
