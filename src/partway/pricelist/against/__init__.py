"""What a price is held against: the last quotes, copper, the rest of its own list."""
