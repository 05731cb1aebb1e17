"""Asking the tables: movements and words over time, what a period came to, a ledger that may only be read."""
