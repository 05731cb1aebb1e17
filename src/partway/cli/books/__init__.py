"""Keeping the books on the command line: corrections, conflicts, and the ledger out of the house and back."""
