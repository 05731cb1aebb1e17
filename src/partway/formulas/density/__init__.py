"""Density by weighing in air and in water, and what alloys it leaves."""
