"""What is asked about a list: the one sentence about a line, and what one answer settles for all of it."""
