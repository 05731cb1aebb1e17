"""Hauls and their tickets, and the scenario that a plan is computed from."""
