"""One decided plan in many worlds: what is not known drawn together, and the plan's money in each draw."""
