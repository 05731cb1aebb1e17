"""Bins on the command line."""
