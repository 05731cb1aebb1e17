"""Say it: what somebody says is looked up in the ledger, read back act by act, and saved whole or not at all."""
