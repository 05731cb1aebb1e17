"""What a ledger taught: figures of one's own in place of the catalogue's estimates, with their count and origin."""
