"""What comes into the shed, and when there is enough of it."""
