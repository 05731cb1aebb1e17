"""What somebody says, as acts: a grammar over the words there are. It knows no page and no ledger."""
