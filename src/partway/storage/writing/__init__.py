"""Adding events: one transaction, and everything that follows from events kept up to date in it."""
