"""The books: pages, forms and JSON of money, hours and the ledger."""
