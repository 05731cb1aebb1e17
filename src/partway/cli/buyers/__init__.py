"""Buyers and quotes on the command line."""
