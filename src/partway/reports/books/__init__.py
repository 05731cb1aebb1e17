"""What the books show: the ledger, what an hour brought, what cannot all be true."""
