"""Stops of one trip near others, valued by arithmetic, without a programme."""
