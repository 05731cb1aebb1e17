"""Copies of a ledger that are known to open, and when the last one was made."""
