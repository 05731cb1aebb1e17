"""partway: how far to take each find apart, what each piece is, and where and when to sell it."""

__version__ = "0.1.0"
