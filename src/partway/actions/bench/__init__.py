"""Finds: collected, tested, weighed, opened, sold, given up."""
