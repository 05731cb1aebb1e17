"""Finds and depth on the command line."""
