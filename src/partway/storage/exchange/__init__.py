"""A ledger as files for other programs and other devices, and back: Data Package, JSON Lines, union."""
