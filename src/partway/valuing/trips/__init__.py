"""Tickets, hauls and collecting rounds that were made: what they should have come to, and what they did."""
