"""What is photographed, and what is written about a thing to sell it."""
