"""Commands of the calculators."""
