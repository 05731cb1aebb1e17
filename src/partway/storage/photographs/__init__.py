"""Photographs beside a ledger: in a folder, or in a table where there is no folder."""
