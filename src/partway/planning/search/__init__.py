"""How the best plan is looked for: sets of tours, bounds on them, and when to stop."""
