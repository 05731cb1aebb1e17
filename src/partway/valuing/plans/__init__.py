"""What a plan decided, in figures: what its lines are worth, where things go, why something stays."""
