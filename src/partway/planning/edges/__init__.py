"""Trips as edges between places: columns, rows that trips keep to, and the cuts that hold them together."""
