"""Buyers and what they quote."""
