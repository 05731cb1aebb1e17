"""What a person asks of the calculators, read from text as it was typed."""
