"""What finds are worth at a day's prices, and how far to open them: alone, in hand, at the curb, step by step."""
