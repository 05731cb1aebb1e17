"""Tickets that were read in a photograph, with the names of lists."""
