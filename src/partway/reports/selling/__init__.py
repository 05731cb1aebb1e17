"""What is written of a thing to sell it."""
