"""Answers of the calculators: numbers for programs, and the words that every rim shows."""
