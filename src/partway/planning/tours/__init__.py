"""The way: roads between places, round trips through every set of stops."""
