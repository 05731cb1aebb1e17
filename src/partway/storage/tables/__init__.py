"""The tables of a ledger on disk, their rows, and how an older ledger comes to have them."""
