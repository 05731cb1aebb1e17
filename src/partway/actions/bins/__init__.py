"""Bins: new ones, recounts, moves."""
